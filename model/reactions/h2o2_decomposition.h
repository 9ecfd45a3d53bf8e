/* 2 H2O2 -> 2 H2O + O2. */
#ifndef NXW_REACTION_H2O2_DECOMPOSITION_H
#define NXW_REACTION_H2O2_DECOMPOSITION_H

#include <math.h>

#include "properties/liquid_state.h"

/*
 * Peroxide that turns to water and oxygen, mol/(m3 s): by itself (a user's rate for bottles
 * tainted with metal) and in a share of the HOONO events.
 *
 *   r = k [H2O2] + s r_HOONO [H2O2] / ([H2O2] + 1 mol/m3)
 *
 * Source: k_H2O2_decomposition, peroxide_side_loss in params/constants.csv
 */
static inline double nxw_H2O2_loss_mol_m3_s(const struct nxw_parameters *p,
                                            const struct nxw_liquid *l, double HOONO_mol_m3_s)
{
    return p->value[NXW_P_k_H2O2_decomposition] * l->H2O2 +
           p->value[NXW_P_peroxide_side_loss] * HOONO_mol_m3_s * l->H2O2 /
               (sqrt(l->H2O2 * l->H2O2 + 1e-6) + 1.0);
}

#endif
