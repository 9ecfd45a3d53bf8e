/* Flux by hydrolysis in the film alone, mol N/(m2 s), from the conductance a run uses, and its
 * slope with c. */
#ifndef NXW_FILM_LAW_H
#define NXW_FILM_LAW_H

#include "reactions/no2_hydrolysis.h"

static inline double film_law_mol_m2_s(const struct nxw_liquid *l, double c, double *slope)
{
    double k2_slope;
    const double k = sqrt(nxw_NO2_film_conductance2_m2_s2(l, c, &k2_slope));
    *slope = k + (c - l->NO2_equilibrium) * 0.5 * k2_slope / k;
    return k * (c - l->NO2_equilibrium);
}

#endif
