/* Running the cases of a sweep on several threads; rows go out in the order of their numbers. */
#ifndef NXW_SWEEP_RUN_H
#define NXW_SWEEP_RUN_H

#include <signal.h>

#include "decide/sweep_row.h"

struct nxw_sweep_job {
    const struct nxw_plan *plan;
    const char *path; /* of the case; its text below */
    const char *text;
    size_t length;
    bool json;
    size_t threads;   /* 0: one for each processor this process may use */
    bool progress;    /* on stderr */
    uint64_t present; /* rows there from before */
    const volatile sig_atomic_t *interrupted;
};

struct nxw_sweep_outcome {
    uint64_t written, without_result;
    size_t threads;
    double seconds;
};

/*
 * Compute every case of the plan that the sink does not have.
 *
 * Status: 0, 6 a row could not be written, 70 memory, 130 interrupted: what was computed by then
 *         is written
 */
enum nxw_exit nxw_sweep_run(const struct nxw_sweep_job *job, const struct nxw_sweep_sink *sink,
                            struct nxw_sweep_outcome *outcome);

#endif
