/* A picture of a sweep over one or two keys, drawn by gnuplot. */
#ifndef NXW_SWEEP_PLOT_H
#define NXW_SWEEP_PLOT_H

#include "decide/sweep_store.h"
#include "study/sweep_plan.h"

/* Can the plan be drawn? false: message says why not. */
bool nxw_sweep_plot_fits(const struct nxw_plan *plan, char message[NXW_VARY_MESSAGE]);

/*
 * Draw what is kept and what escapes over the first key, a pair of curves for each value of the
 * second.
 *
 * Given:    svg  name of the file, or NULL: letters on standard output
 * Status:   0, 6 gnuplot is missing or failed, or the file cannot be written: said on stderr
 */
enum nxw_exit nxw_sweep_plot(const struct nxw_plan *plan, struct nxw_sweep_store *store,
                             const char *svg);

#endif
