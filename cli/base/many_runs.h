/* Runs that do not wait for each other, shared out among threads. */
#ifndef NXW_MANY_RUNS_H
#define NXW_MANY_RUNS_H

#include "noxwash.h"

struct nxw_run_room { /* of one thread, one run after the other */
    struct nxw_case c;
    struct nxw_result r;
};

/*
 * Do run by run, in any order; each is a step of the progress.
 *
 * Given:    n        how many
 *           threads  1 or more
 *           stop     looked at between runs; or NULL
 *           one      does run number index; NXW_ERROR_MEMORY ends all, other faults end nothing
 * Status: NXW_ERROR_CANCELLED when stopped, NXW_ERROR_MEMORY
 */
enum nxw_status nxw_many_runs(size_t n, unsigned threads, bool (*stop)(void),
                              enum nxw_status (*one)(void *user, size_t index,
                                                     struct nxw_run_room *room),
                              void *user);

#endif
