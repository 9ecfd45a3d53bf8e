/* What the rows of a sweep rest on: the table about. Internal to the sweep_*.c files. */
#ifndef NXW_SWEEP_ABOUT_H
#define NXW_SWEEP_ABOUT_H

#include "decide/sweep_db.h"

/* Write all of it into a table just made. */
bool nxw_sweep_about_put(struct nxw_sweep_db *d, const struct nxw_sweep_identity *identity);

/* Is it what this sweep rests on? 0, or 3 and a word on stderr. */
enum nxw_exit nxw_sweep_about_check(struct nxw_sweep_db *d,
                                    const struct nxw_sweep_identity *identity);

/* Do two parts rest on the same, but for the part? 0, or 3 and a word on stderr. */
enum nxw_exit nxw_sweep_about_same(struct nxw_sweep_db *outcome, struct nxw_sweep_db *part);

/* As of a part, but of the whole: part 1/1. */
bool nxw_sweep_about_copy(struct nxw_sweep_db *outcome, struct nxw_sweep_db *part);

#endif
