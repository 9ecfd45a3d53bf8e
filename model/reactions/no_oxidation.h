/* 2 NO + O2 -> 2 NO2 in the gas. */
#ifndef NXW_REACTION_NO_OXIDATION_H
#define NXW_REACTION_NO_OXIDATION_H

#include <math.h>

#include "base/product.h"
#include "properties/gas.h"

/*
 * Loss of NO per volume of gas, mol/(m3 s).
 *
 *   -d[NO]/dt = 2 k [NO]^2 [O2],  k per reaction event (two NO each): mind the 2
 *
 * Written odd in [NO], so that a trace below zero is pulled back.
 * Source: k_NO_oxidation in params/constants.csv (IUPAC line, 270-600 K)
 */
static inline double nxw_NO_oxidation_mol_m3_s(const struct nxw_chemistry *c,
                                               const struct nxw_gas_pressures *g)
{
    const double NO = g->NO_Pa / c->RT_J_mol, O2 = g->pool_Pa[NXW_O2] / c->RT_J_mol;
    return 2.0 * c->k_NO_oxidation_m6_mol2_s * fabs(NO) * nxw_product(NO, O2);
}

#endif
