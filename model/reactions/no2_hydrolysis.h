/* 2 NO2 + H2O <-> HNO2 + HNO3, in the bulk and in the film. */
#ifndef NXW_REACTION_NO2_HYDROLYSIS_H
#define NXW_REACTION_NO2_HYDROLYSIS_H

#include <math.h>

#include "base/product.h"
#include "properties/liquid_state.h"

/* Monomer c in a pool C of dissolved NO2 and N2O4: C = c + 2 K c^2 (odd in C). */
static inline double nxw_NO2_monomer_mol_m3(const struct nxw_chemistry *c, double pool_mol_m3)
{
    return 2.0 * pool_mol_m3 / (1.0 + sqrt(1.0 + 8.0 * c->K_dimer_m3_mol * fabs(pool_mol_m3)));
}

/*
 * NO2 in equilibrium with the acid and the nitrous acid of the bulk, mol/m3.
 *
 *   c_e = sqrt([HNO2] a_HNO3 / (K_hyd a_w)), rounded where there is but a trace of HNO2 or none
 *
 * It rises vertically from nothing: without the rounding, spent nitrous acid hops to and fro across
 * zero at every step.
 */
static inline double nxw_NO2_equilibrium_mol_m3(const struct nxw_chemistry *c, double HNO2,
                                                double trace_HNO2, double acid_activity,
                                                double water_activity)
{
    /* two traces below zero are no source of NO2; without a trace to go by, the rounding is far
     * below a feed of 1e-13 mol */
    const double per_HNO2 = 1.0 / (c->K_hydrolysis * water_activity);
    const double x = nxw_product(HNO2, acid_activity) * per_HNO2;
    const double small = 1e-24 + trace_HNO2 * fabs(acid_activity) * per_HNO2;
    const double root = sqrt(x * x + small * small);
    return sqrt(x >= 0.0 ? 0.5 * (x + root) : 0.5 * small * small / (root - x));
}

/* Events in the bulk, mol/(m3 s): r = k2 f^2 (c^2 - c_e^2), odd in c; f acts on the flux. */
static inline double nxw_NO2_hydrolysis_mol_m3_s(const struct nxw_liquid *l)
{
    const double f = l->acid_factor;
    return l->c.k2_m3_mol_s * f * f *
           (l->NO2 * fabs(l->NO2) - l->NO2_equilibrium * l->NO2_equilibrium);
}

/*
 * Hydrolysis in the film: square of the conductance k_f, m2/s2, and its slope with c.
 *
 *   J = k_f (c - c_e),  k_f = 2 f sqrt(k2 (D1 (|c| + 2 c_e)/3 + K D4 (|c| + c_e)^2))   mol N/(m2 s)
 *
 * The exact reversible fast-reaction film, both directions: sqrt(4/3 k2 D1 c^3) for a trace,
 * 2 H_N2O4 p_N2O4 sqrt(k D4) for rich gas.
 * Source: derived from F'' = 2 k2 (c^2 - c_e^2), F = D1 c + 2 K D4 c^2 (first integral)
 */
static inline double nxw_NO2_film_conductance2_m2_s2(const struct nxw_liquid *l, double c,
                                                     double *slope)
{
    const double e = l->NO2_equilibrium, a = fabs(c);
    const double KD = l->c.K_dimer_m3_mol * l->c.D_N2O4, D = l->c.D_NO2 / 3.0;
    const double k = 4.0 * l->acid_factor * l->acid_factor * l->c.k2_m3_mol_s;
    *slope = k * (D + 2.0 * KD * (a + e)) * (c < 0.0 ? -1.0 : 1.0);
    return k * (D * (a + 2.0 * e) + KD * (a + e) * (a + e));
}

#endif
