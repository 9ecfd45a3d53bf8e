/* What the source and the carrier send into the train, at any time. */
#ifndef NXW_SOURCE_H
#define NXW_SOURCE_H

#include "properties/gas.h"

enum { NXW_BREAKS_MAX = 2 * NXW_SOURCE_ROWS_MAX };

struct nxw_source_plan {
    const struct nxw_case *in;
    double total_mol[NXW_POOLS]; /* source without carrier; empty for tables */
    double shape_integral;       /* of a relative-strength table */
    double source_end_s, carrier_end_s, end_s, ramp_s;
    double receiver_HNO3_mol;
    size_t n_breaks;
    double breaks_s[NXW_BREAKS_MAX]; /* ascending; the integrator stops at each */
};

/* Totals, breakpoints, end of the run. The plan points into the case. */
void nxw_source_plan_make(const struct nxw_case *in, struct nxw_source_plan *out);

/* Flows into the first stage at t, mol/s; and a composition (sum 1) that is defined at any t. */
void nxw_source_flow(const struct nxw_source_plan *plan, double t_s, double flow_mol_s[NXW_POOLS],
                     double composition[NXW_POOLS]);

/* Flow of a carrier or bleed at t, added to flow. */
void nxw_carrier_flow(const struct nxw_parameters *p, const struct nxw_carrier *carrier,
                      double ramp_s, double t_s, double flow_mol_s[NXW_POOLS]);

#endif
