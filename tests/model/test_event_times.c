/*
 * Layer (d): the time of an event against its closed form, through whole runs. A run looks at its
 * accepted steps only: the event must stand at the first step that is not before the closed form.
 * The runs are tight, 1e-9, so that their steps are short and their errors smaller still.
 */
#include "../assert_near.h"

#include "../lone_train.h"

enum { STEPS_MAX = 20000 };
static struct {
    size_t n;
    double time_s[STEPS_MAX];
} steps;

static bool keep_time(const struct nxw_series_row *row, void *user)
{
    (void)user;
    if (row->stage == 0 && steps.n < STEPS_MAX)
        steps.time_s[steps.n++] = row->time_s;
    return true;
}

/* slack_s: how far the closed form itself may be off. */
static struct nxw_result happens_at(struct nxw_case *c, enum nxw_event_kind kind, double want_s,
                                    double slack_s)
{
    struct nxw_result r;
    steps.n = 0;
    c->relative_tolerance = 1e-9;
    const enum nxw_status status = nxw_estimate(c, keep_time, NULL, &r);
    if (status != NXW_OK)
        print_error("%s %s\n", r.diagnosis.path, r.diagnosis.text);
    assert_int_equal(status, NXW_OK);
    double at_s = NAN, before_s = 0.0;
    for (size_t i = 0; i < r.n_events; i++)
        if (r.events[i].kind == kind)
            at_s = r.events[i].time_s;
    for (size_t i = 0; i < steps.n; i++)
        if (steps.time_s[i] < at_s)
            before_s = steps.time_s[i];
    if (!(at_s >= want_s - slack_s && before_s <= want_s + slack_s))
        print_error("between %.6g and %.6g s, wanted %.6g s\n", before_s, at_s, want_s);
    assert_true(at_s >= want_s - slack_s);
    assert_true(before_s <= want_s + slack_s);
    assert_true(at_s - before_s < 0.1 * want_s + 0.5); /* short enough to say something */
    return r;
}

/* Rows of no gas every 10 s: what runs smoothly or straight on would be stepped over with strides
 * of a minute and more. */
static void short_steps(struct nxw_case *c, size_t rows)
{
    c->source.kind = NXW_SOURCE_TABLE;
    c->source.n_rows = rows;
    for (size_t i = 0; i < rows; i++)
        c->source.rows[i].time_s = 10.0 * (double)i;
}

/* Water of 12 degC in a bath of -8 degC, UA 0.6 W/K: 273.10 K at
 * C/UA ln(20/7.95), C = 4181 m + 140 J/K. */
static void freezing(void **state)
{
    (void)state;
    struct nxw_case c = quiet_case(NXW_STAGE_BOTTLE);
    c.isothermal = false;
    short_steps(&c, 300);
    struct nxw_stage *s = &c.stages[0];
    s->UA_W_K = 0.6;
    s->liquid_temperature_K = 285.15;
    s->bath = NXW_BATH_WATER;
    s->bath_temperature_K = 265.15;
    const double C = 4181.0 * 0.150 * 0.99950 + 140.0; /* density of water at 12 degC, g/mL */
    const double want_s = C / 0.6 * log(20.0 / 7.95);
    assert_near(want_s, 1179.1, 0.5);
    /* 1e-5 of C, 1 mK of 7.95 K */
    happens_at(&c, NXW_EVENT_FREEZING, want_s, 0.3);
}

/* Peroxide of a tainted bottle falls as exp(-k t): a hundredth is left at ln(100)/k. */
static void peroxide_spent(void **state)
{
    (void)state;
    struct nxw_case c = quiet_case(NXW_STAGE_BOTTLE);
    c.standing_s = 6000.0;
    c.stages[0].peroxide_mass_fraction = 0.03;
    c.parameters.value[NXW_P_k_H2O2_decomposition] = 1e-3;
    const struct nxw_result r =
        happens_at(&c, NXW_EVENT_PEROXIDE_SPENT, 1e3 * 4.605170186, 1.0); /* a thousandth of 1 % */
    assert_true(r.stages[0].peroxide_spent_at_s > 4600.0);
}

/* 10 g of ice in a room of 20 degC, 0.5 W/K from room to bath, nothing from the bottle:
 * 3336 J/10 W. */
static void ice_gone(void **state)
{
    (void)state;
    struct nxw_case c = quiet_case(NXW_STAGE_BOTTLE);
    short_steps(&c, 100);
    c.stages[0].bath = NXW_BATH_ICE_WATER;
    c.stages[0].ice_kg = 0.010;
    const struct nxw_result r =
        happens_at(&c, NXW_EVENT_ICE_GONE, 333.6, 0.1); /* the rounded corner: 4 mK of 20 K */
    assert_near(r.stages[0].ice_left_kg, 0.0, 0.0);
}

/* Nitrogen with NO2 through an empty vessel of 10.39 mmol: y = y0 (1 - exp(-F (t - 0.5 s)/n)), half
 * a second for the ramp. */
static struct nxw_case washed_in(double flow_mol_s, double y0)
{
    struct nxw_case c = quiet_case(NXW_STAGE_EMPTY);
    c.source.duration_s = 7200.0;
    c.source.flow_mol_s = flow_mol_s;
    c.source.NO2_fraction = y0;
    c.standing_s = 0.0;
    return c;
}

/* A thousandth of 0.2 % at n/F ln 2. */
static void brown_headspace(void **state)
{
    (void)state;
    struct nxw_case c = washed_in(1e-5, 2e-3);
    const double n = 101325.0 * 250e-6 / (8.314462618 * 293.15);
    /* n is 2e-4 larger for what keeps the pressure */
    const struct nxw_result r =
        happens_at(&c, NXW_EVENT_BROWN_HEADSPACE, 0.5 + n / 1e-5 * log(2.0), 0.3);
    assert_true(r.events[0].kind == NXW_EVENT_SOURCE_STARTS);
}

/* 5 mg/min of NO2, 1.8114e-6 mol/s, of a feed that brings 5e-6: at n/F ln(5/3.1886); after that it
 * stays above until the feed ends at 7200 s and its ramp is nearly down. */
static void vent_above_limit(void **state)
{
    (void)state;
    struct nxw_case c = washed_in(1e-4, 0.05);
    const double n = 101325.0 * 250e-6 / (8.314462618 * 293.15) + 0.2 * 1e-4;
    const double want_s = 0.5 + n / 1e-4 * log(5.0 / 3.1886);
    /* the flow follows its pressure by a fifth of a second */
    const struct nxw_result r = happens_at(&c, NXW_EVENT_VENT_ABOVE_LIMIT, want_s, 0.4);
    double step_s = 0.0;
    for (size_t i = 1; i < steps.n && steps.time_s[i - 1] < want_s; i++)
        step_s = steps.time_s[i] - steps.time_s[i - 1];
    /* down at 7200.5 s (0.36 of the flow) and the fifth of a second */
    assert_near(r.vent_time_above_s, 7200.75 - want_s, step_s + 0.5);
}

/* What the plan sets stands at its very time: start, the ends of source and carrier, the end. */
static void set_times(void **state)
{
    (void)state;
    struct nxw_case c = washed_in(1e-4, 0.01);
    c.source.duration_s = 100.0;
    c.carrier = (struct nxw_carrier){NXW_GAS_AIR, 1e-4, 0.0, 300.0};
    c.standing_s = 50.0;
    happens_at(&c, NXW_EVENT_SOURCE_ENDS, 101.0, 1e-9);
    happens_at(&c, NXW_EVENT_CARRIER_ENDS, 301.0, 1e-9);
    const struct nxw_result r = happens_at(&c, NXW_EVENT_END, 351.0, 1e-6);
    assert_near(r.events[0].time_s, 0.0, 0.0);
    assert_near(r.end_s, 351.0, 1e-6);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(freezing),         cmocka_unit_test(peroxide_spent),
        cmocka_unit_test(ice_gone),         cmocka_unit_test(brown_headspace),
        cmocka_unit_test(vent_above_limit), cmocka_unit_test(set_times),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
