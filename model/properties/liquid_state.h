/* What a liquid is made of and what follows from it, for films and reactions to ask. */
#ifndef NXW_LIQUID_STATE_H
#define NXW_LIQUID_STATE_H

#include "properties/chemistry.h"

struct nxw_liquid_state {
    double density_kg_m3;
    double viscosity_Pa_s;
    double surface_tension_N_m;
};

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

#endif
