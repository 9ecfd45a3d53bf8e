/* One run: integrate the train, watch it, account for every mole. */
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

#include "account.h"
#include "memory.h"
#include "solver.h"
#include "watch.h"

enum { STEPS_MAX = 20000, RESTARTS_MAX = 20 };

/* The largest share of NOx in what is fed, for the scale of the tolerances. */
static double richest_fraction(const struct nxw_train *train)
{
    double richest = 0.0;
    for (int i = 0; i <= 200; i++) {
        double flow[NXW_POOLS], y[NXW_POOLS], sum = 0.0;
        nxw_source_flow(&train->source, train->source.source_end_s * (i + 0.5) / 201.0, flow, y);
        for (int j = 0; j < NXW_POOLS; j++)
            sum += flow[j];
        if (sum > 0.0)
            richest = fmax(richest, nxw_gas_N(flow) / sum);
    }
    return richest;
}

static double expected_N(const struct nxw_train *train)
{
    double N = nxw_gas_N(train->source.total_mol);
    if (N > 0.0)
        return N;
    for (int i = 0; i < 400; i++) {
        double flow[NXW_POOLS], y[NXW_POOLS];
        nxw_source_flow(&train->source, train->source.source_end_s * (i + 0.5) / 400.0, flow, y);
        N += nxw_gas_N(flow) * train->source.source_end_s / 400.0;
    }
    return N > 0.0 ? N : 1e-6;
}

struct run { /* everything one run allocates */
    struct nxw_train train;
    struct nxw_watch watch;
    struct nxw_solver *solver;
    double *x0, *relative, *absolute, *rate;
};

static void run_free(struct run *run)
{
    if (run == NULL)
        return;
    nxw_solver_free(run->solver);
    nxw_release(run->x0);
    nxw_release(run->relative);
    nxw_release(run->absolute);
    nxw_release(run->rate);
    nxw_release(run);
}

/* No result: a sentence that says why. */
static enum nxw_status give_up(struct nxw_result *r, const char *why)
{
    (void)snprintf(r->diagnosis.text, sizeof r->diagnosis.text,
                   "the calculation could not be carried to its end: %s", why);
    return r->diagnosis.status = NXW_ERROR_SOLVER;
}

static enum nxw_status integrate(struct run *run, nxw_observer *observer, void *user,
                                 struct nxw_result *r)
{
    struct nxw_train *train = &run->train;
    const struct nxw_source_plan *source = &train->source;
    const double *x = run->x0;
    double t = 0.0;
    long steps = 0, restarts = 0;
    enum nxw_status status = NXW_OK;
    for (size_t b = 0; b <= source->n_breaks && status == NXW_OK; b++) {
        const double stop = b < source->n_breaks ? source->breaks_s[b] : source->end_s;
        if (b > 0 && nxw_solver_restart(run->solver) != NXW_OK)
            return give_up(r, nxw_solver_reason(run->solver));
        while (t < stop - 1e-9 * source->end_s) {
            if (steps++ > STEPS_MAX)
                return give_up(r, "it takes too many steps");
            if (nxw_solver_step(run->solver, stop, &t, &x) != NXW_OK) {
                /* a corner it cannot see around: begin afresh, with small steps of low order */
                if (restarts++ == RESTARTS_MAX || nxw_solver_restart(run->solver) != NXW_OK)
                    return give_up(r, nxw_solver_reason(run->solver));
                continue;
            }
            /* the views are those of Newton's last iterate, within the tolerance */
            nxw_watch_step(train, t, x, &run->watch, r);
            if (observer != NULL && !nxw_watch_observe(train, t, x, observer, user))
                return NXW_ERROR_CANCELLED;
            if (nxw_watch_must_end(train, t, x, &run->watch, r)) {
                status = NXW_ENDED_EARLY;
                break;
            }
        }
    }
    if (!nxw_train_rates(train, t, x, run->rate))
        return give_up(r, "rates that are not numbers at the last state");
    r->end_s = t;
    nxw_account(train, x, run->x0, r);
    return nxw_account_is_believable(train, x, r) ? status
                                                  : give_up(r, "the amounts do not add up");
}

/* Processor time of this thread alone. */
static double thread_ms(void)
{
    struct timespec t = {0, 0};
    (void)clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
    return 1e3 * (double)t.tv_sec + 1e-6 * (double)t.tv_nsec;
}

/* Of a run that failed nothing is left that could be taken for a figure. */
static enum nxw_status no_result(struct nxw_result *r, enum nxw_status status)
{
    const struct nxw_diagnosis diagnosis = r->diagnosis;
    const struct nxw_statistics statistics = r->statistics;
    const size_t n_stages = r->n_stages;
    memset(r, 0xff, sizeof *r); /* every double a NaN */
    r->bytes = sizeof *r;
    r->n_stages = n_stages;
    r->n_events = 0;
    r->warnings = 0;
    r->diagnosis = diagnosis;
    r->statistics = statistics;
    return r->status = status;
}

enum nxw_status nxw_estimate(const struct nxw_case *in, nxw_observer *observer, void *user,
                             struct nxw_result *r)
{
    *r = (struct nxw_result){.bytes = sizeof *r, .n_stages = in->n_stages};
    enum nxw_status status = nxw_case_check(in, &r->diagnosis);
    if (status != NXW_OK)
        return no_result(r, status);
    const double start_ms = thread_ms();
    struct run *run = nxw_allocate(sizeof *run);
    if (run == NULL)
        return no_result(r, NXW_ERROR_MEMORY);
    struct nxw_train *train = &run->train;
    nxw_train_make(in, train);
    run->x0 = nxw_allocate(train->n_states * sizeof *run->x0);
    run->relative = nxw_allocate(train->n_states * sizeof *run->relative);
    run->absolute = nxw_allocate(train->n_states * sizeof *run->absolute);
    run->rate = nxw_allocate(train->n_states * sizeof *run->rate);
    if (run->x0 == NULL || run->relative == NULL || run->absolute == NULL || run->rate == NULL) {
        run_free(run);
        return no_result(r, NXW_ERROR_MEMORY);
    }
    nxw_train_start(train, run->x0);
    nxw_train_tolerances(train, expected_N(train), richest_fraction(train), run->relative,
                         run->absolute);
    run->solver = nxw_solver_create(train, run->x0, run->relative, run->absolute);
    if (run->solver == NULL) {
        run_free(run);
        return no_result(r, NXW_ERROR_MEMORY);
    }
    nxw_watch_start(&run->watch, r);
    status = integrate(run, observer, user, r);
    if (status >= 0)
        nxw_watch_end(train, &run->watch, r);
    nxw_solver_statistics(run->solver, &r->statistics);
    r->statistics.processor_ms = thread_ms() - start_ms;
    run_free(run);
    return status < 0 ? no_result(r, status) : (r->status = status);
}
