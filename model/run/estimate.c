/* One run: integrate the train, watch it, account for every mole. */
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

#include "base/memory.h"
#include "run/account.h"
#include "run/solver.h"
#include "run/watch.h"

/* A first run gives up early: where coarse slices crawl finer ones mostly do not. The last one
 * makes do with what it has. */
enum attempt { FIRST, FINER, LAST };
enum { STEPS_FIRST = 1000, STEPS_MAX = 20000, STUCK = 150, RESTARTS_MAX = 20 };

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
    enum attempt attempt;
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

/* A tight tolerance takes more steps. */
static bool is_hasty(const struct run *run)
{
    return run->attempt == FIRST && run->train.in->relative_tolerance >= 1e-6;
}

struct pace { /* since a break of the source or the last look at it */
    long steps, jacobians;
    double from_s, gained_s; /* gained in the last STUCK steps between two breaks */
};

static void begin_pace(const struct run *run, double t_s, struct nxw_result *r, struct pace *pace)
{
    nxw_solver_statistics(run->solver, &r->statistics);
    pace->steps = 0;
    pace->jacobians = r->statistics.jacobians;
    pace->from_s = t_s;
}

/* After STUCK steps, and for the next ones: NULL, or why the run had better end. */
static const char *labours(const struct run *run, double t_s, struct nxw_result *r,
                           struct pace *pace)
{
    const struct pace before = *pace;
    begin_pace(run, t_s, r, pace);
    pace->gained_s = t_s - before.from_s;
    if (pace->gained_s < fmin(1e-4 * t_s, 0.05)) /* slow at the start is not stuck */
        return "it is stuck";
    return is_hasty(run) && pace->jacobians - before.jacobians >= STUCK
               ? "it needs new derivatives at every step"
               : NULL;
}

static enum nxw_status integrate(struct run *run, nxw_observer *observer, void *user,
                                 struct nxw_result *r, bool *clean)
{
    struct nxw_train *train = &run->train;
    const struct nxw_source_plan *source = &train->source;
    const double *x = run->x0;
    struct pace pace = {.gained_s = INFINITY};
    double t = 0.0;
    long steps = 0, restarts = 0;
    bool begins = true;
    enum nxw_status status = NXW_OK;
    for (size_t b = 0; b <= source->n_breaks && status == NXW_OK; b++) {
        const double stop = b < source->n_breaks ? source->breaks_s[b] : source->end_s;
        if (b > 0 && nxw_solver_restart(run->solver) != NXW_OK)
            return give_up(r, nxw_solver_reason(run->solver));
        begin_pace(run, t, r, &pace);
        while (t < stop - 1e-9 * source->end_s) {
            const char *halts = NULL;
            if (steps++ > (is_hasty(run) ? STEPS_FIRST : STEPS_MAX))
                halts = "it takes too many steps";
            else if (++pace.steps == STUCK)
                halts = labours(run, t, r, &pace);
            if (halts == NULL && nxw_solver_step(run->solver, stop, &t, &x) != NXW_OK) {
                /* a corner it cannot see around: begin afresh, with small steps of low order */
                if (restarts++ < RESTARTS_MAX && nxw_solver_restart(run->solver) == NXW_OK)
                    continue;
                halts = nxw_solver_reason(run->solver);
            }
            if (halts != NULL) {
                /* at this pace no attempt would come to the end */
                const bool crawls = pace.gained_s / STUCK * STEPS_MAX < source->end_s - t;
                if (!(crawls || run->attempt == LAST) || !nxw_train_rates(train, t, x, run->rate) ||
                    !nxw_watch_is_overfull(train, r))
                    return give_up(r, halts);
                status = NXW_ENDED_EARLY;
                break;
            }
            /* the views are those of Newton's iterate before its last correction */
            nxw_watch_step(train, t, x, &run->watch, r);
            if (observer != NULL && !nxw_watch_observe(train, t, x, begins, observer, user))
                return NXW_ERROR_CANCELLED;
            begins = false;
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
    *clean = nxw_account_is_clean(train, r);
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

static enum nxw_status run_once(const struct nxw_case *in, enum attempt attempt,
                                nxw_observer *observer, void *user, struct nxw_result *r,
                                bool *clean)
{
    *r = (struct nxw_result){.bytes = sizeof *r, .n_stages = in->n_stages};
    *clean = false;
    struct run *run = nxw_allocate(sizeof *run);
    if (run == NULL)
        return NXW_ERROR_MEMORY;
    run->attempt = attempt;
    struct nxw_train *train = &run->train;
    nxw_train_make(in, train);
    run->x0 = nxw_allocate(train->n_states * sizeof *run->x0);
    run->relative = nxw_allocate(train->n_states * sizeof *run->relative);
    run->absolute = nxw_allocate(train->n_states * sizeof *run->absolute);
    run->rate = nxw_allocate(train->n_states * sizeof *run->rate);
    if (run->x0 == NULL || run->relative == NULL || run->absolute == NULL || run->rate == NULL) {
        run_free(run);
        return NXW_ERROR_MEMORY;
    }
    nxw_train_start(train, run->x0);
    r->source_mol = expected_N(train);
    nxw_train_tolerances(train, r->source_mol, richest_fraction(train), run->relative,
                         run->absolute);
    run->solver = nxw_solver_create(train, run->x0, run->relative, run->absolute);
    if (run->solver == NULL) {
        run_free(run);
        return NXW_ERROR_MEMORY;
    }
    nxw_watch_start(&run->watch, r);
    const enum nxw_status status = integrate(run, observer, user, r, clean);
    if (status >= 0)
        nxw_watch_end(train, &run->watch, r);
    nxw_solver_statistics(run->solver, &r->statistics);
    run_free(run);
    return status;
}

/* Slices that take more than comes, traces below nothing that run away: finer they seldom do. */
static enum nxw_status run_finer(const struct nxw_case *in, size_t halves, nxw_observer *observer,
                                 void *user, struct nxw_result *r, bool *clean)
{
    struct nxw_case *finer = nxw_allocate(sizeof *finer);
    if (finer == NULL)
        return NXW_ERROR_MEMORY;
    *finer = *in;
    const size_t slices = (halves * nxw_stage_slices(in) + 1) / 2;
    finer->slices = slices < NXW_SLICES_MAX ? slices : NXW_SLICES_MAX;
    const double share = halves == 2 ? 0.05 : 0.03;
    finer->relative_tolerance = fmax(fmin(share * in->relative_tolerance, 1e-6), 1e-11);
    const enum nxw_status status = run_once(finer, FINER, observer, user, r, clean);
    nxw_release(finer);
    return status;
}

enum nxw_status nxw_estimate(const struct nxw_case *in, nxw_observer *observer, void *user,
                             struct nxw_result *r)
{
    *r = (struct nxw_result){.bytes = sizeof *r,
                             .n_stages = in->n_stages <= NXW_STAGES_MAX ? in->n_stages : 0};
    enum nxw_status status = nxw_case_check(in, &r->diagnosis);
    if (status != NXW_OK)
        return no_result(r, status);
    const double start_ms = thread_ms();
    long runs = 1;
    bool clean;
    status = run_once(in, FIRST, observer, user, r, &clean);
    /* one that labours is helped by smaller steps; slices that take too much, by more of them */
    for (size_t halves = status == NXW_ERROR_SOLVER ? 2 : 3;
         halves <= 6 && (status >= 0 ? !clean : status == NXW_ERROR_SOLVER);
         halves = halves == 2 ? 3 : 2 * halves, runs++)
        status = run_finer(in, halves, observer, user, r, &clean);
    if (status == NXW_ERROR_SOLVER) { /* then rather what the first would have come to */
        status = run_once(in, LAST, observer, user, r, &clean);
        runs++;
    }
    r->statistics.runs = runs;
    r->statistics.processor_ms = thread_ms() - start_ms;
    return status < 0 ? no_result(r, status) : (r->status = status);
}
