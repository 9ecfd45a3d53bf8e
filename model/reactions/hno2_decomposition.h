/* 2 HNO2 <-> NO + NO2 + H2O in the liquid, and NO leaving it as bubbles. */
#ifndef NXW_REACTION_HNO2_DECOMPOSITION_H
#define NXW_REACTION_HNO2_DECOMPOSITION_H

#include <math.h>

#include "base/product.h"
#include "properties/liquid_state.h"

/*
 * Events, mol/(m3 s).
 *
 *   r = k5 ([HNO2]^2 - [NO][NO2] a_w / K5)
 *
 * Source: k5_HNO2; K5 from the thermodynamic cycle (chemistry.c)
 */
static inline double nxw_HNO2_decomposition_mol_m3_s(const struct nxw_liquid *l)
{
    if (l->acid_factor == 0.0)
        return 0.0;
    return l->c.k5_m3_mol_s * (l->HNO2 * fabs(l->HNO2) -
                               nxw_product_of_pair(l->NO, l->NO2) * l->water_activity / l->c.K5);
}

/*
 * NO above its saturation leaves as bubbles, mol/(m3 s), first order in the excess above a
 * threshold that is rounded over a tenth of the saturation.
 *
 * Source: k_effervescence (judgement)
 */
static inline double nxw_NO_effervescence_mol_m3_s(const struct nxw_parameters *p,
                                                   const struct nxw_liquid *l, double pressure_Pa)
{
    const double saturation = l->c.H_NO * pressure_Pa, width = 0.1;
    const double x = l->NO / saturation - 1.0;
    double excess = 0.0;
    if (x > width)
        excess = x - 0.5 * width;
    else if (x > 0.0)
        excess = x * x * x / (width * width) * (1.0 - 0.5 * x / width);
    return p->value[NXW_P_k_effervescence] * saturation * excess;
}

#endif
