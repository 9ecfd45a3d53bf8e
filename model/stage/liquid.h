/* The well-mixed liquid of one bottle: composition, what stands in equilibrium with it, reactions.
 */
#ifndef NXW_LIQUID_H
#define NXW_LIQUID_H

#include "properties/liquid_state.h"

struct nxw_liquid_charge {  /* what does not change in a run */
    double strong_acid_mol; /* univalent background */
    bool physical_only;     /* no reaction */
    bool no_peroxide;       /* none, and nothing made of it */
    double trace_HNO2_mol;  /* less nitrous acid than that is none: a tenth of its tolerance */
};

void nxw_liquid_set(const struct nxw_parameters *p, const double amount_mol[NXW_L_AMOUNTS],
                    double T_K, const struct nxw_liquid_charge *charge, struct nxw_liquid *out);

/*
 * Reactions in the bulk: rates of the amounts, NO leaving as effervescence, O2 leaving.
 * Given:    pressure_Pa  local pressure, for the saturation of NO
 * Returned: rate_mol_s[NXW_L_AMOUNTS] (added to), *fizz_mol_s, *O2_mol_s (set)
 */
void nxw_liquid_react(const struct nxw_parameters *p, const struct nxw_liquid *l,
                      double pressure_Pa, double rate_mol_s[NXW_L_AMOUNTS], double *fizz_mol_s,
                      double *O2_mol_s);

/* Formation enthalpy part of the liquid's enthalpy per mole of each amount, J/mol. */
void nxw_liquid_molar_enthalpies(const struct nxw_parameters *p, double h_J_mol[NXW_L_AMOUNTS]);
/* Enthalpy of the liquid, J: formation at 298.15 K, mixing, sensible heat. */
double nxw_liquid_enthalpy_J(const struct nxw_parameters *p, const double amount_mol[NXW_L_AMOUNTS],
                             double T_K);
/* The same's rate without the part that goes with dT/dt, W, and the heat capacity, J/K. */
void nxw_liquid_enthalpy_rate(const struct nxw_parameters *p,
                              const double amount_mol[NXW_L_AMOUNTS],
                              const double rate_mol_s[NXW_L_AMOUNTS], double T_K, double *rate_W,
                              double *capacity_J_K);

#endif
