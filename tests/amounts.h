/* What moved in a run, and the least of its amounts: for how far below nothing they may be. */
#ifndef NXW_AMOUNTS_H
#define NXW_AMOUNTS_H

#include <math.h>

#include "noxwash.h"

/* What the source brings, and what passed from stage to stage: acid's vapour may be far more than
 * a trace that is fed. */
static inline double moved_mol(const struct nxw_result *r)
{
    double sum = r->source_mol;
    for (size_t i = 0; i < r->n_stages; i++) {
        const struct nxw_stage_result *s = &r->stages[i];
        sum += fabs(s->left_NO_mol) + fabs(s->left_NO2_mol) + fabs(s->left_HNO2_mol) +
               fabs(s->left_HNO3_mol);
    }
    return sum > 0.0 ? sum : 1.0;
}

/* The least of them and of what was least so far; NaN where there is one. */
static inline double least_of(const double *x, size_t n, double least)
{
    for (size_t i = 0; i < n; i++)
        least = isnan(x[i]) || isnan(least) ? (double)NAN : fmin(least, x[i]);
    return least;
}

/* The least amount, as a share of what it is held against: nitrogen of what moved, also what
 * escaped for one reason or another; peroxide and water of what was charged. */
static inline double least_share(const struct nxw_case *c, const struct nxw_result *r)
{
    const double moved = moved_mol(r);
    const struct nxw_why *why = &r->why;
    const double parts[] = {why->NO_never_oxidised_mol / moved, why->NO_given_back_mol / moved,
                            why->NO_given_back_peroxide_spent_mol / moved,
                            why->NO2_reformed_swept_mol / moved};
    double least = least_of(parts, sizeof parts / sizeof parts[0], (double)INFINITY);
    for (size_t i = 0; i < r->n_stages; i++) {
        const struct nxw_stage_result *s = &r->stages[i];
        const double water_mol = c->stages[i].liquid_m3 * 55.0e3;
        const double shares[] = {
            s->nitrate_mol / moved,   s->nitrous_acid_mol / moved,
            s->HOONO_mol / moved,     s->NO_aq_mol / moved,
            s->NO2_aq_mol / moved,    s->in_flight_mol / moved,
            s->water_mol / water_mol, s->peroxide_mol / (moved + s->peroxide_start_mol)};
        least = least_of(shares, sizeof shares / sizeof shares[0], least);
    }
    return least;
}

#endif
