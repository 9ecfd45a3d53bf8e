/* HNO2 + H2O2 <-> HOONO + H2O, HOONO -> HNO3: what peroxide does in a washing bottle. */
#ifndef NXW_REACTION_HNO2_PEROXIDE_H
#define NXW_REACTION_HNO2_PEROXIDE_H

#include "base/product.h"
#include "properties/liquid_state.h"

/*
 * Formation of HOONO and its isomerisation to nitric acid, mol/(m3 s).
 *
 *   r_f = k [H+] ([HNO2][H2O2] - K [HOONO])
 *   r_i = (k_i + k_c [HNO2][H+]) [HOONO]
 *
 * Source: k_HNO2_H2O2, K_HOONO, k_HOONO, k_HOONO_HNO2 in params/constants.csv
 */
static inline double nxw_HNO2_peroxide_mol_m3_s(const struct nxw_liquid *l,
                                                double *isomerisation_mol_m3_s)
{
    *isomerisation_mol_m3_s = 0.0;
    if (l->acid_factor == 0.0)
        return 0.0;
    *isomerisation_mol_m3_s = l->c.k_HOONO_1_s * l->HOONO +
                              l->c.k_HOONO_HNO2_m6_mol2_s * l->h * nxw_product(l->HNO2, l->HOONO);
    return l->c.k_peroxide_m6_mol2_s * l->h *
           (nxw_product_of_pair(l->HNO2, l->H2O2) - l->c.K_HOONO_mol_m3 * l->HOONO);
}

#endif
