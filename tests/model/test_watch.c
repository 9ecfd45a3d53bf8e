/* Layer (b): the watch shown states set by hand, one at each side of every limit. */
#include "../assert_near.h"

#include "../lone_train.h"
#include "../rich_feed.h"
#include "run/watch.h"

static struct lone_train o;
static struct nxw_watch watch;
static struct nxw_result r;

static struct nxw_case watched_case(void)
{
    struct nxw_case c = rich_feed();
    c.stages[0].peroxide_mass_fraction = 0.03;
    c.stages[0].bath = NXW_BATH_ICE_WATER;
    c.stages[0].ice_kg = 0.1;
    c.hood_flow_m3_s = 0.1;
    return c;
}

static void start(const struct nxw_case *c)
{
    lone_train_make(&o, c, 0.5);
    watch = (struct nxw_watch){.n_ring = 0};
    r = (struct nxw_result){.bytes = sizeof r, .n_stages = c->n_stages, .end_s = 1e5};
    assert_true(lone_train_rates(&o, 100.0));
    nxw_watch_start(&watch, &r);
}

static void show(double t_s) { nxw_watch_step(&o.train, t_s, o.x, &watch, &r); }

static const struct nxw_event *event(enum nxw_event_kind kind)
{
    const struct nxw_event *found = NULL;
    for (size_t i = 0; i < r.n_events; i++)
        if (r.events[i].kind == kind) {
            assert_null(found); /* once at the most */
            found = &r.events[i];
        }
    return found;
}

/* Not at 10 s, from 20 s on: that is when it happened, however often it is shown after. */
static void event_is(enum nxw_event_kind kind, double *what, double before, double after,
                     double value)
{
    *what = before;
    show(10.0);
    assert_null(event(kind));
    *what = after;
    show(20.0);
    show(30.0);
    assert_non_null(event(kind));
    assert_near(event(kind)->time_s, 20.0, 0.0);
    assert_near(event(kind)->value, value, 1e-9 * fabs(value));
    assert_int_equal(event(kind)->stage, 0);
}

/* Brown above a thousandth of NO2, blue above 50 mol/m3 of nitrous acid. */
static void colours(void **state)
{
    (void)state;
    const struct nxw_case c = watched_case();
    start(&c);
    double *head = lone_tank(&o, 0) + NXW_T_HEAD, others = 0.0;
    for (int j = 0; j < NXW_POOLS; j++)
        others += j == NXW_NO2 ? 0.0 : head[j];
    event_is(NXW_EVENT_BROWN_HEADSPACE, &head[NXW_NO2], 0.99e-3 / 0.99901 * others,
             1.01e-3 / 0.99899 * others, 1.01e-3);
    assert_near(r.stages[0].peak_NO2_headspace_fraction, 1.01e-3, 1e-12);
    start(&c);
    event_is(NXW_EVENT_BLUE_LIQUID, &o.train.views[0].liquid.HNO2, 49.9, 50.1, 50.1);
    assert_near(r.stages[0].peak_HNO2_mol_m3, 50.1, 1e-12);
    assert_int_equal(r.warnings & NXW_WARN_HNO2_OUTSIDE_DATA, 0);
    o.train.views[0].liquid.HNO2 = 2001.0;
    show(40.0);
    assert_true((r.warnings & NXW_WARN_HNO2_OUTSIDE_DATA) != 0);
}

/* NO leaves as bubbles to be seen from 1e-8 m3/s on: 1e-8 x 101325/(8.3145 x 283.15) = 4.304e-7
 * mol/s at 10 degC. The event keeps the time it began and the most that came of it. */
static void fizz(void **state)
{
    (void)state;
    const struct nxw_case c = watched_case();
    start(&c);
    o.train.views[0].head_T_K = 283.15;
    double *fizz_mol_s = &o.train.views[0].fizz_mol_s;
    event_is(NXW_EVENT_FIZZ, fizz_mol_s, 4.29e-7, 4.32e-7, 4.32e-7);
    *fizz_mol_s = 9e-6;
    show(40.0);
    *fizz_mol_s = 1e-6;
    show(50.0);
    assert_near(event(NXW_EVENT_FIZZ)->time_s, 20.0, 0.0);
    assert_near(event(NXW_EVENT_FIZZ)->value, 9e-6, 1e-20);
}

/* Peroxide spent at a hundredth of the charge, ice at 0.1 kg x 333.6 kJ/kg. */
static void used_up(void **state)
{
    (void)state;
    const struct nxw_case c = watched_case();
    start(&c);
    double *tank = lone_tank(&o, 0);
    const double charge = tank[NXW_L_H2O2];
    event_is(NXW_EVENT_PEROXIDE_SPENT, &tank[NXW_L_H2O2], 0.0101 * charge, 0.0099 * charge, 0.0);
    assert_near(r.stages[0].peroxide_spent_at_s, 20.0, 0.0);
    assert_true((r.warnings & NXW_WARN_PEROXIDE_SPENT) != 0);
    start(&c);
    assert_true(isnan(r.stages[0].peroxide_spent_at_s));
    event_is(NXW_EVENT_ICE_GONE, &lone_tank(&o, 0)[NXW_T_BATH_HEAT], 33350.0, 33370.0, 0.0);
    assert_true((r.warnings & NXW_WARN_ICE_GONE) != 0);
}

/* 500 mL hold 500 mL; water freezes at 0 degC (0.05 K of grace); above 60 degC it is too hot. */
static void liquid(void **state)
{
    (void)state;
    const struct nxw_case c = watched_case();
    start(&c);
    event_is(NXW_EVENT_OVERFULL, &o.train.views[0].liquid.volume_m3, 499e-6, 501e-6, 501e-6);
    assert_true((r.warnings & NXW_WARN_OVERFULL) != 0);
    start(&c);
    double *T = &lone_tank(&o, 0)[NXW_T_TEMPERATURE];
    event_is(NXW_EVENT_FREEZING, T, 273.11, 273.09, 273.09);
    assert_int_equal(r.warnings & (NXW_WARN_FREEZING | NXW_WARN_HOT), NXW_WARN_FREEZING);
    *T = 333.1;
    show(40.0);
    assert_int_equal(r.warnings & NXW_WARN_HOT, 0);
    *T = 333.2;
    show(50.0);
    *T = 300.0;
    show(50.001);
    assert_int_equal(r.warnings & NXW_WARN_HOT, NXW_WARN_HOT);
    assert_near(r.stages[0].peak_temperature_K, 333.2, 0.0);
    assert_near(r.stages[0].peak_at_s, 50.0, 0.0);
}

/* 5 - 2 (t - 1.3)^2, seen at uneven times; the highest at an end; a corner, seen close by. */
static void peak_between_steps(void **state)
{
    (void)state;
    static const double t[] = {0.1, 0.7, 1.6, 3.0};
    struct nxw_peak p = {0};
    for (int i = 0; i < 4; i++)
        nxw_peak_add(&p, t[i], 5.0 - 2.0 * (t[i] - 1.3) * (t[i] - 1.3));
    assert_near(p.most, 5.0, 1e-14);
    assert_near(p.at_s, 1.3, 1e-14);
    p = (struct nxw_peak){0};
    for (int i = 0; i < 4; i++)
        nxw_peak_add(&p, t[i], exp(-t[i]));
    assert_near(p.most, exp(-0.1), 0.0);
    assert_near(p.at_s, 0.1, 0.0);
    p = (struct nxw_peak){0};
    for (int i = 0; i < 4; i++)
        nxw_peak_add(&p, t[i], exp(t[i]));
    assert_near(p.most, exp(3.0), 0.0);
    p = (struct nxw_peak){0};
    static const double corner[][2] = {
        {0.0, 1.0}, {1.0, 2.0}, {1.001, 1.9}, {1.1, 1.0}, {2.0, -4.0}};
    for (int i = 0; i < 5; i++)
        nxw_peak_add(&p, corner[i][0], corner[i][1]);
    assert_near(p.most, 2.0, 0.0);
    assert_near(p.at_s, 1.0, 0.0);
}

/* 42 wt% HNO3 with 6 wt% HNO2 is outside what anyone has measured; with 4 wt% it is not, nor is
 * 38 wt% with 6 wt%. */
static void strong_acid(void **state)
{
    (void)state;
    const struct nxw_case c = watched_case();
    start(&c);
    struct nxw_liquid *l = &o.train.views[0].liquid;
    l->mass_kg = 0.3;
    l->acid_mass_fraction = 0.42;
    lone_tank(&o, 0)[NXW_L_N3] = 0.04 * 0.3 / 0.047013;
    show(10.0);
    assert_int_equal(r.warnings & NXW_WARN_STRONG_ACID_OUTSIDE_DATA, 0);
    lone_tank(&o, 0)[NXW_L_N3] = 0.06 * 0.3 / 0.047013;
    show(20.0);
    assert_true((r.warnings & NXW_WARN_STRONG_ACID_OUTSIDE_DATA) != 0);
    start(&c);
    l->mass_kg = 0.3;
    l->acid_mass_fraction = 0.38;
    lone_tank(&o, 0)[NXW_L_N3] = 0.06 * 0.3 / 0.047013;
    show(10.0);
    assert_int_equal(r.warnings & NXW_WARN_STRONG_ACID_OUTSIDE_DATA, 0);
}

/* 5 mg/min of NO2 are 5e-6/60/0.046005 = 1.8114e-6 mol/s; the time above it counts step by step.
 * A hood of 0.1 m3/s at 20 degC takes 4.157 mol/s of air. */
static void vent(void **state)
{
    (void)state;
    const struct nxw_case c = watched_case();
    start(&c);
    struct nxw_stage_view *v = &o.train.views[0];
    v->out_mol_s = 1e-3;
    event_is(NXW_EVENT_VENT_ABOVE_LIMIT, &v->out[NXW_NO2], 1.811e-6, 1.812e-6, 1.812e-6 * 0.046005);
    v->out[NXW_NO2] = 1e-5;
    v->out[NXW_NO] = 3e-5;
    v->outlet.y[NXW_NO2] = 0.01;
    v->outlet.y[NXW_NO] = 0.03;
    show(37.0);
    v->out[NXW_NO2] = v->out[NXW_NO] = 0.0;
    v->out_mol_s = 0.9e-6; /* breathing: its composition is no figure */
    v->outlet.y[NXW_NO2] = v->outlet.y[NXW_NO] = 0.5;
    show(50.0);
    nxw_watch_end(&o.train, &watch, &r);
    assert_near(r.vent_time_above_s, 27.0, 1e-12); /* 10 to 37 s */
    assert_relative(r.vent_peak_NO2_kg_s, 1e-5 * 0.046005, 1e-12);
    assert_relative(r.vent_peak_NO_kg_s, 3e-5 * 0.030006, 1e-12);
    assert_near(r.vent_peak_NO2_fraction, 0.01, 0.0);
    assert_near(r.vent_peak_NO_fraction, 0.03, 0.0);
    const double hood = 0.1 * 101325.0 / (8.314462618 * 293.15);
    assert_relative(r.hood_peak_NO2_fraction, 1e-5 / hood, 1e-12);
    assert_relative(r.hood_peak_NO_fraction, 3e-5 / hood, 1e-12);
}

/* Shows what has left up to a time: NO2 as given, NO three times that. */
static void show_left(double t_s, double mol)
{
    double *out = lone_tank(&o, 0) + NXW_T_COUNT + NXW_E_OUT;
    out[NXW_NO2] = mol;
    out[NXW_NO] = 3.0 * mol;
    show(t_s);
}

static void mean_is(double mol_s)
{
    nxw_watch_end(&o.train, &watch, &r);
    assert_relative(r.vent_mean15_NO2_kg_s, mol_s * 0.046005, 1e-9);
    assert_relative(r.vent_mean15_NO_kg_s, 3.0 * mol_s * 0.030006, 1e-9);
    const double hood = 0.1 * 101325.0 / (8.314462618 * 293.15);
    assert_relative(r.hood_mean15_NO2_fraction, mol_s / hood, 1e-9);
    assert_relative(r.hood_mean15_NO_fraction, 3.0 * mol_s / hood, 1e-9);
}

/* The largest mean over 15 minutes: of a steady flow the flow; of less than 15 minutes all of it in
 * 900 s; of uneven steps what left between t - 900 s, straight between its neighbours, and t. */
static void mean_over_15_minutes(void **state)
{
    (void)state;
    const struct nxw_case c = watched_case();
    start(&c);
    for (int i = 0; i <= 40; i++)
        show_left(50.0 * i, 1e-6 * 50.0 * i);
    mean_is(1e-6);
    start(&c);
    for (int i = 0; i <= 40; i++)
        show_left(50.0 * i, 1e-6 * fmin(50.0 * i, 300.0));
    mean_is(1e-6 * 300.0 / 900.0);
    start(&c);
    static const double row[][2] = {
        {0, 0}, {700, 7e-5}, {1000, 40e-5}, {1700, 61e-5}, {9000, 61e-5}};
    for (int i = 0; i < 5; i++)
        show_left(row[i][0], row[i][1]);
    mean_is((61e-5 - (7e-5 + 33e-5 / 3.0)) / 900.0); /* at 1700 s, from 800 s on */
}

/* More steps than it remembers, 9000 of 1 s: a flow ten times as high for 1000 s is found, before,
 * while and after the memory is thinned, to one step of the thinned one, 2 s of 900. */
static void mean_over_many_steps(void **state)
{
    (void)state;
    static const double from_s[] = {1000.0, 3300.0, 3900.0, 7000.0};
    for (int k = 0; k < 4; k++) {
        const struct nxw_case c = watched_case();
        start(&c);
        assert_true(9000 > NXW_WATCH_RING);
        for (int i = 0; i <= 9000; i++)
            show_left(i, 1e-7 * i + 9e-7 * fmin(fmax(i - from_s[k], 0.0), 1000.0));
        nxw_watch_end(&o.train, &watch, &r);
        assert_relative(r.vent_mean15_NO2_kg_s, 1e-6 * 0.046005, 2.0 / 900.0);
    }
}

/* Bubbles are told as they are at the largest flow. */
static void bubbles_at_the_peak(void **state)
{
    (void)state;
    const struct nxw_case c = watched_case();
    start(&c);
    static const double flow[] = {1e-6, 9e-6, 4e-6};
    for (int i = 0; i < 3; i++) {
        struct nxw_stage_view *v = &o.train.views[0];
        v->tip_gas_m3_s = flow[i];
        v->bubble_diameter_m = 1e-3 * (i + 1);
        v->residence_s = 0.1 * (i + 1);
        v->depth_m = 0.05 + 0.001 * i;
        show(10.0 * (i + 1));
    }
    assert_near(r.stages[0].bubble_diameter_m, 2e-3, 0.0);
    assert_near(r.stages[0].bubble_residence_s, 0.2, 1e-15);
    assert_near(r.stages[0].depth_m, 0.051, 1e-15);
}

/* A tenth of a millimole drawn in through the vent is no longer its breathing. */
static void drawn_back(void **state)
{
    (void)state;
    const struct nxw_case c = watched_case();
    start(&c);
    double *drawn = &lone_tank(&o, 0)[NXW_T_COUNT + NXW_E_DRAWN_BACK];
    event_is(NXW_EVENT_DRAWN_BACK, drawn, 0.99e-4, 1.01e-4, 0.0);
    r.stages[0].drawn_back_mol = 5e-3; /* the whole run's, which the event then carries */
    nxw_watch_end(&o.train, &watch, &r);
    assert_near(event(NXW_EVENT_DRAWN_BACK)->value, 5e-3, 0.0);
}

/* The run goes on with the one and ends with the other. */
static void ends_between(double *quantity, double goes_on, double ends)
{
    *quantity = goes_on;
    assert_false(nxw_watch_must_end(&o.train, 10.0, o.x, &watch, &r));
    *quantity = ends;
    assert_true(nxw_watch_must_end(&o.train, 20.0, o.x, &watch, &r));
}

/* It ends where vapour reaches 95 % of the pressure, where water is a fifth of the mass, where a
 * fiftieth of the charge is left, and where a tenth more than the glass holds would be in it. */
static void must_end(void **state)
{
    (void)state;
    const struct nxw_case c = watched_case();
    start(&c);
    struct nxw_liquid *l = &o.train.views[0].liquid;
    l->H2O_e_Pa = 0.90 * 101325.0;
    ends_between(&l->HNO3_e_Pa, 0.049 * 101325.0, 0.051 * 101325.0);
    assert_near(event(NXW_EVENT_BOILING)->time_s, 20.0, 0.0);
    assert_int_equal(r.warnings, NXW_WARN_BOILING);
    assert_int_equal(r.diagnosis.status, NXW_ENDED_EARLY);
    assert_string_equal(r.diagnosis.path, "train[1]");
    start(&c);
    l->mass_kg = 0.300;
    ends_between(&lone_tank(&o, 0)[NXW_L_H2O], 0.0601 / 0.018015, 0.0599 / 0.018015);
    assert_non_null(event(NXW_EVENT_WATER_NEARLY_GONE));
    assert_int_equal(r.warnings, NXW_WARN_WATER_NEARLY_GONE);
    start(&c);
    const struct nxw_stage *s = &c.stages[0];
    ends_between(&l->volume_m3, 0.0201 * s->liquid_m3, 0.0199 * s->liquid_m3);
    assert_int_equal(r.warnings, NXW_WARN_WATER_NEARLY_GONE);
    start(&c);
    ends_between(&l->volume_m3, 1.099 * s->volume_m3, 1.101 * s->volume_m3);
    assert_int_equal(r.diagnosis.status, NXW_ENDED_EARLY);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(colours),
        cmocka_unit_test(fizz),
        cmocka_unit_test(used_up),
        cmocka_unit_test(liquid),
        cmocka_unit_test(peak_between_steps),
        cmocka_unit_test(strong_acid),
        cmocka_unit_test(vent),
        cmocka_unit_test(mean_over_15_minutes),
        cmocka_unit_test(mean_over_many_steps),
        cmocka_unit_test(bubbles_at_the_peak),
        cmocka_unit_test(drawn_back),
        cmocka_unit_test(must_end),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
