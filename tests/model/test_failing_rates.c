/*
 * Layer (a): the right-hand side returns NaN, infinity or gives up at its nth call, once and for
 * ever. Once: the run steps around it and ends with the same figures. For ever: the status says
 * that the solver could not finish, and no number is left in the result.
 *
 * The linker puts the functions below in the place of the model's (--wrap); the library has no
 * hook.
 */
#include "../assert_near.h"

#include <stdlib.h>
#include <string.h>

#include "../rich_feed.h"
#include "stage/stage.h"
#include "stage/train.h"

enum fault { NONE, NOT_A_NUMBER, INFINITE, GIVES_UP };

static struct {
    enum fault fault;
    long calls, at;
    bool forever;
} plan;

static bool now(void)
{
    plan.calls++;
    return plan.forever ? plan.calls >= plan.at : plan.calls == plan.at;
}

bool __real_nxw_train_rates(struct nxw_train *train, double t_s, const double *x, double *rate);
bool __wrap_nxw_train_rates(struct nxw_train *train, double t_s, const double *x, double *rate);

bool __wrap_nxw_train_rates(struct nxw_train *train, double t_s, const double *x, double *rate)
{
    return __real_nxw_train_rates(train, t_s, x, rate) && !(plan.fault == GIVES_UP && now());
}

void __real_nxw_stage_rates(const struct nxw_stage_plan *stage, const struct nxw_gas_stream *inlet,
                            const double *x, struct nxw_weights *weights, double *rate,
                            double sums[][NXW_S_COUNT], struct nxw_stage_view *view);
void __wrap_nxw_stage_rates(const struct nxw_stage_plan *stage, const struct nxw_gas_stream *inlet,
                            const double *x, struct nxw_weights *weights, double *rate,
                            double sums[][NXW_S_COUNT], struct nxw_stage_view *view);

void __wrap_nxw_stage_rates(const struct nxw_stage_plan *stage, const struct nxw_gas_stream *inlet,
                            const double *x, struct nxw_weights *weights, double *rate,
                            double sums[][NXW_S_COUNT], struct nxw_stage_view *view)
{
    __real_nxw_stage_rates(stage, inlet, x, weights, rate, sums, view);
    if ((plan.fault == NOT_A_NUMBER || plan.fault == INFINITE) && now())
        rate[(size_t)plan.calls % stage->n_states] =
            plan.fault == INFINITE ? (double)INFINITY : (double)NAN;
}

static enum nxw_status run(enum fault fault, long at, bool forever, struct nxw_result *r)
{
    struct nxw_case c = rich_feed();
    c.relative_tolerance = 1e-6; /* one run is held against another */
    memset(&plan, 0, sizeof plan);
    plan.fault = fault;
    plan.at = at;
    plan.forever = forever;
    return nxw_estimate(&c, NULL, NULL, r);
}

static long calls_of(enum fault fault)
{
    struct nxw_result r;
    assert_int_equal(run(fault, 0, false, &r), NXW_OK); /* never at call 0 */
    assert_true(plan.calls > 500);
    return plan.calls;
}

static void no_number(const struct nxw_result *r)
{
    const double figures[] = {r->fed_mol,
                              r->kept_mol,
                              r->held_mol,
                              r->escaped_mol,
                              r->in_flight_mol,
                              r->vent_peak_NO2_kg_s,
                              r->why.acid_vapour_mol,
                              r->glass.vent_loss_Pa,
                              r->nitrogen_closure,
                              r->stages[0].nitrate_mol,
                              r->stages[0].temperature_K};
    for (size_t i = 0; i < sizeof figures / sizeof figures[0]; i++)
        assert_true(isnan(figures[i]));
    assert_int_equal(r->n_events, 0);
    assert_non_null(strstr(r->diagnosis.text, "could not be carried to its end"));
}

static void once(enum fault fault)
{
    struct nxw_result whole, r;
    const long calls = calls_of(fault);
    assert_int_equal(run(NONE, 0, false, &whole), NXW_OK);
    const long step = calls / 60;
    for (long n = 1; n <= calls; n += step) {
        const enum nxw_status status = run(fault, n, false, &r);
        if (status == NXW_ERROR_SOLVER) { /* it may not be the last state that is accounted for */
            no_number(&r);
            assert_true(n > calls - 3);
            continue;
        }
        assert_int_equal(status, NXW_OK);
        assert_near(r.kept_mol, whole.kept_mol, 1e-4 * whole.fed_mol);
        assert_near(r.escaped_mol, whole.escaped_mol, 1e-4 * whole.fed_mol);
        assert_near(r.nitrogen_closure, 0.0, 1e-6);
    }
}

static void forever(enum fault fault)
{
    struct nxw_result r;
    const long calls = calls_of(fault);
    for (long n = 1; n <= calls; n += calls / 20) {
        assert_int_equal(run(fault, n, true, &r), NXW_ERROR_SOLVER);
        no_number(&r);
    }
}

static void test_not_a_number(void **unused)
{
    (void)unused;
    once(NOT_A_NUMBER);
    forever(NOT_A_NUMBER);
}

static void test_infinite(void **unused)
{
    (void)unused;
    once(INFINITE);
    forever(INFINITE);
}

static void test_gives_up(void **unused)
{
    (void)unused;
    once(GIVES_UP);
    forever(GIVES_UP);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_not_a_number),
                                       cmocka_unit_test(test_infinite),
                                       cmocka_unit_test(test_gives_up)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
