/* 2 NO2 + H2O <-> HNO2 + HNO3, in the bulk and in the film. */
#ifndef NXW_REACTION_NO2_HYDROLYSIS_H
#define NXW_REACTION_NO2_HYDROLYSIS_H

#include <math.h>

#include "liquid.h"

/* Monomer c in a pool C of dissolved NO2 and N2O4: C = c + 2 K c^2 (odd in C). */
static inline double nxw_NO2_monomer_mol_m3(const struct nxw_chemistry *c, double pool_mol_m3)
{
    return 2.0 * pool_mol_m3 / (1.0 + sqrt(1.0 + 8.0 * c->K_dimer_m3_mol * fabs(pool_mol_m3)));
}

/*
 * NO2 in equilibrium with the acid and the nitrous acid of the bulk, mol/m3.
 *
 *   c_e = sqrt([HNO2] a_HNO3 / (K_hyd a_w)), rounded where the product vanishes
 */
static inline double nxw_NO2_equilibrium_mol_m3(const struct nxw_chemistry *c, double HNO2,
                                                double acid_activity, double water_activity)
{
    const double x = HNO2 * acid_activity / (c->K_hydrolysis * water_activity);
    const double small = 1e-16;
    return sqrt(0.5 * (x + sqrt(x * x + small * small)));
}

/* Events in the bulk, mol/(m3 s): r = k2 f^2 (c^2 - c_e^2), odd in c; f acts on the flux. */
static inline double nxw_NO2_hydrolysis_mol_m3_s(const struct nxw_liquid *l)
{
    const double f = l->acid_factor;
    return l->c.k2_m3_mol_s * f * f *
           (l->NO2 * fabs(l->NO2) - l->NO2_equilibrium * l->NO2_equilibrium);
}

/*
 * Flux into the liquid by hydrolysis in the film, mol N/(m2 s), and its slope with c.
 *
 *   J = 2 (c - c_e) f sqrt(k2 (D1 (c + 2 c_e)/3 + K D4 (c + c_e)^2))
 *
 * The exact reversible fast-reaction film, both directions: sqrt(4/3 k2 D1 c^3) for a trace,
 * 2 H_N2O4 p_N2O4 sqrt(k D4) for rich gas.
 * Source: derived from F'' = 2 k2 (c^2 - c_e^2), F = D1 c + 2 K D4 c^2 (first integral)
 */
static inline double nxw_NO2_film_flux_mol_m2_s(const struct nxw_liquid *l, double c,
                                                double *slope)
{
    const double e = l->NO2_equilibrium, a = fabs(c), sign = c < 0.0 ? -1.0 : 1.0;
    const double KD = l->c.K_dimer_m3_mol * l->c.D_N2O4, D = l->c.D_NO2 / 3.0;
    const double tiny = 1e-18 * l->c.D_NO2;
    const double q = sqrt(l->c.k2_m3_mol_s * (D * (a + 2.0 * e) + KD * (a + e) * (a + e) + tiny));
    const double dq = l->c.k2_m3_mol_s * (D + 2.0 * KD * (a + e)) * sign / (2.0 * q);
    const double f2 = 2.0 * l->acid_factor;
    *slope = f2 * (q + (c - e) * dq);
    return f2 * (c - e) * q;
}

#endif
