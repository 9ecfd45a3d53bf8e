/* NO + NO2 + H2O <-> 2 HNO2 in the gas. */
#ifndef NXW_REACTION_HNO2_FORMATION_GAS_H
#define NXW_REACTION_HNO2_FORMATION_GAS_H

#include <math.h>

#include "base/product.h"
#include "properties/gas.h"

/*
 * Events per volume of gas, mol/(m3 s); each makes two HNO2 from one NO and one NO2.
 *
 *   r = k (p_NO p_NO2 p_H2O - p_HNO2^2 / K)
 *
 * Source: k_HNO2_gas (published rates span a factor of hundreds, down to zero), K_HNO2_gas
 */
static inline double nxw_HNO2_formation_mol_m3_s(const struct nxw_chemistry *c,
                                                 const struct nxw_gas_pressures *g)
{
    const double p = g->pool_Pa[NXW_HNO2];
    /* water too must be pulled back from below zero: dry gas in an empty vessel runs out of it */
    const double forward =
        nxw_product(nxw_product_of_pair(g->NO_Pa, g->NO2_Pa), g->pool_Pa[NXW_H2O]);
    return c->k_HNO2_gas_mol_m3_s_Pa3 * (forward - p * fabs(p) / c->K_HNO2_1_Pa);
}

#endif
