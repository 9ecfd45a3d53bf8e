/* A bar on the terminal while runs go on: on stderr, only after a second, never mixed with output.
 */
#ifndef NXW_PROGRESS_H
#define NXW_PROGRESS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Begin to count; nothing is shown where it is not wanted or stderr is no terminal. */
void nxw_progress_begin(bool wanted);

/* So many runs are to come, beside those announced before. Without any the end is not told. */
void nxw_progress_expect(size_t runs);

/* One run is done; may be called from any thread. */
void nxw_progress_step(void);

/* Take the bar away: before anything is printed. */
void nxw_progress_end(void);

/* The bar itself: so many of all (0: not known), of things so called, at a rate per second. */
void nxw_progress_show(uint64_t done, uint64_t all, const char *things, double rate_1_s);

#endif
