/* The well-mixed liquid of one bottle: composition, what stands in equilibrium with it, reactions.
 */
#ifndef NXW_LIQUID_H
#define NXW_LIQUID_H

#include "bubble.h"
#include "chemistry.h"

/* Amounts carried, mol. NO2_AQ is dissolved NO2 and N2O4 together, as N. */
enum nxw_liquid_state_index {
    NXW_L_NITRATE,
    NXW_L_N3, /* nitrous acid and nitrite together */
    NXW_L_HOONO,
    NXW_L_NO_AQ,
    NXW_L_NO2_AQ,
    NXW_L_H2O2,
    NXW_L_H2O,
    NXW_L_AMOUNTS
};

/* Everything the films and reactions need, from amounts and temperature. */
struct nxw_liquid {
    struct nxw_chemistry c;
    double volume_m3, mass_kg, acid_mass_fraction, peroxide_mass_fraction;
    struct nxw_liquid_state fluid;
    double molality_mol_kg, acid_activity, water_activity;  /* activity in (mol/kg)^2 */
    double nitrate, N3, HNO2, HOONO, NO, NO2_pool, H2O2, h; /* mol/m3; HNO2 = undissociated */
    double NO2;                                             /* mol/m3, the monomer in the pool */
    double NO2_equilibrium;                                 /* c_e, mol/m3 */
    double acid_factor;                                     /* f_acid = 10^(-b c), on the flux */
    double NO_e_Pa, N2O3_e_Pa, HNO2_e_Pa, HNO3_e_Pa, H2O_e_Pa;
};

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

#define NXW_M_HNO3 0.063012 /* kg/mol, CIAAW abridged atomic weights */
#define NXW_M_HNO2 0.047013
#define NXW_M_H2O 0.018015
#define NXW_M_H2O2 0.034014
#define NXW_M_NO 0.030006
#define NXW_M_NO2 0.046005
#define NXW_M_O2 0.031998

#endif
