/*
 * What the structure of the derivatives is worth: the same right-hand side, tolerances and Newton's
 * own with the integrator's Newton and dense difference Jacobian, for one bottle and for three; and
 * what the right-hand sides alone cost. Processor time, least of five runs each. Prints; asserts
 * nothing.
 */
#include <cvodes/cvodes.h>
#include <math.h>
#include <nvector/nvector_serial.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>
#include <time.h>

#include "../lone_train.h"
#include "../rich_feed.h"

enum { RUNS = 5, RATES = 20000 };

static double now_ms(void)
{
    struct timespec t = {0, 0};
    (void)clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
    return 1e3 * (double)t.tv_sec + 1e-6 * (double)t.tv_nsec;
}

static int rates(realtype t, N_Vector x, N_Vector rate, void *user)
{
    struct lone_train *o = user;
    return nxw_train_rates(&o->train, t, N_VGetArrayPointer(x), N_VGetArrayPointer(rate)) ? 0 : 1;
}

static int weights(N_Vector x, N_Vector weight, void *user)
{
    const struct lone_train *o = user;
    const double *value = N_VGetArrayPointer(x);
    double *w = N_VGetArrayPointer(weight);
    for (size_t i = 0; i < o->train.n_states; i++)
        w[i] = 1.0 / (o->relative[i] * fabs(value[i]) + o->absolute[i]);
    return 0;
}

static int demand(int flag)
{
    if (flag < 0) {
        (void)fprintf(stderr, "the integrator failed: %d\n", flag);
        exit(1);
    }
    return flag;
}

/* The whole run with the dense difference Jacobian; its right-hand sides, those of the Jacobian
 * among them. */
static long run_dense(struct lone_train *o)
{
    SUNContext context;
    demand(SUNContext_Create(NULL, &context));
    const sunindextype n = (sunindextype)o->train.n_states;
    N_Vector x = N_VNew_Serial(n, context);
    memcpy(N_VGetArrayPointer(x), o->x, o->train.n_states * sizeof *o->x);
    SUNMatrix A = SUNDenseMatrix(n, n, context);
    SUNLinearSolver linear = SUNLinSol_Dense(x, A, context);
    void *cvode = CVodeCreate(CV_BDF, context);
    demand(CVodeInit(cvode, rates, 0.0, x));
    demand(CVodeSetUserData(cvode, o));
    demand(CVodeWFtolerances(cvode, weights));
    demand(CVodeSetLinearSolver(cvode, linear, A));
    demand(CVodeSetNonlinConvCoef(cvode, 6e-3));
    demand(CVodeSetMaxNumSteps(cvode, 100000));
    demand(CVodeSetInitStep(cvode, 1e-4));
    const struct nxw_source_plan *s = &o->train.source;
    long all = 0;
    for (size_t b = 0; b <= s->n_breaks; b++) {
        const double stop = b < s->n_breaks ? s->breaks_s[b] : s->end_s;
        long rhs = 0, extra = 0;
        realtype t = 0.0;
        demand(CVodeSetStopTime(cvode, stop));
        while (t < stop)
            demand(CVode(cvode, stop, x, &t, CV_ONE_STEP));
        demand(CVodeGetNumRhsEvals(cvode, &rhs));
        demand(CVodeGetNumLinRhsEvals(cvode, &extra));
        all += rhs + extra;
        demand(CVodeReInit(cvode, t, x));
        demand(CVodeSetInitStep(cvode, 1e-4));
    }
    CVodeFree(&cvode);
    SUNLinSolFree(linear);
    SUNMatDestroy(A);
    N_VDestroy(x);
    SUNContext_Free(&context);
    return all;
}

static void compare(size_t stages)
{
    static struct lone_train o;
    struct nxw_case c = rich_feed();
    c.n_stages = stages;
    for (size_t i = 1; i < stages; i++)
        c.stages[i] = c.stages[0];
    struct nxw_result r;
    double own_ms = INFINITY, dense_ms = INFINITY, rate_us = INFINITY;
    long dense_rates = 0;
    for (int k = 0; k < RUNS; k++) {
        if (nxw_estimate(&c, NULL, NULL, &r) < 0)
            exit(1);
        own_ms = fmin(own_ms, r.statistics.processor_ms);
        lone_train_make(&o, &c, r.fed_mol);
        double start_ms = now_ms();
        dense_rates = run_dense(&o);
        dense_ms = fmin(dense_ms, now_ms() - start_ms);
        (void)lone_train_run(&o, 1000.0);
        start_ms = now_ms();
        for (int i = 0; i < RATES; i++)
            (void)lone_train_rates(&o, 1000.0);
        rate_us = fmin(rate_us, 1e3 * (now_ms() - start_ms) / RATES);
    }
    const double rates_ms = 1e-3 * rate_us * (double)r.statistics.rhs;
    printf("%6zu  %6zu  %6.2f  %9.2f  %5.1f  %6.2f  %5ld  %8.2f  %10.2f  %9ld\n", stages,
           o.train.n_states, own_ms, dense_ms, dense_ms / own_ms, rate_us, r.statistics.rhs,
           rates_ms, own_ms / rates_ms, dense_rates);
}

int main(void)
{
    printf(
        "stages  states      ms  dense, ms  times  us/rhs    rhs  rhs, ms  ms/rhs ms  dense rhs\n");
    compare(1);
    compare(3);
    return 0;
}
