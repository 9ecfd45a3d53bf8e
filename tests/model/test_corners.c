/* Layer (b): the corners of what can happen in a bottle, each by name with its plain outcome. */
#include "../assert_near.h"

#include "../rich_feed.h"

static bool has_event(const struct nxw_result *r, enum nxw_event_kind kind, double *time_s)
{
    for (size_t i = 0; i < r->n_events; i++)
        if (r->events[i].kind == kind) {
            if (time_s != NULL)
                *time_s = r->events[i].time_s;
            return true;
        }
    return false;
}

static struct nxw_result run(const struct nxw_case *c, enum nxw_status want)
{
    struct nxw_result r;
    const enum nxw_status got = nxw_estimate(c, NULL, NULL, &r);
    if (got != want)
        print_error("%s %s\n", r.diagnosis.path, r.diagnosis.text);
    assert_int_equal(got, want);
    assert_near(r.nitrogen_closure, 0.0, 1e-6);
    assert_near(r.oxygen_closure, 0.0, 1e-5);
    assert_near(r.hydrogen_closure, 0.0, 1e-5);
    return r;
}

/* Gas at 110 degC, steady for 45 min between ramps of 10 s. */
static void hot_feed(struct nxw_source *s, const struct nxw_source_row *flows)
{
    static const double at_s[] = {0.0, 10.0, 2690.0, 2700.0};
    s->kind = NXW_SOURCE_TABLE;
    s->temperature_K = 383.15;
    s->n_rows = 4;
    for (size_t i = 0; i < 4; i++) {
        s->rows[i] = i == 1 || i == 2 ? *flows : (struct nxw_source_row){0};
        s->rows[i].time_s = at_s[i];
    }
}

/* 0.5 mol NO2 wants 0.25 mol peroxide; of 0.1 mol nothing is left, and NO comes after that. */
static void peroxide_running_out(void **state)
{
    (void)state;
    struct nxw_case c = rich_feed();
    c.stages[0].peroxide_mass_fraction = 0.0136;
    const struct nxw_result r = run(&c, NXW_OK);
    double at_s = 0.0;
    assert_true((r.warnings & NXW_WARN_PEROXIDE_SPENT) != 0);
    assert_true(has_event(&r, NXW_EVENT_PEROXIDE_SPENT, &at_s));
    assert_true(at_s > 300.0 && at_s < 2700.0);
    assert_near(r.stages[0].peroxide_spent_at_s, at_s, 0.0);
    assert_true(r.stages[0].peroxide_mol < 1e-4);
    assert_true(r.stages[0].nitrous_acid_mol > 0.01);
}

/* 50 g of ice take 16.7 kJ, the gas brings several times that. */
static void ice_running_out(void **state)
{
    (void)state;
    struct nxw_case c = rich_feed();
    c.stages[0].bath = NXW_BATH_ICE_WATER;
    c.stages[0].ice_kg = 0.05;
    c.stages[0].UA_W_K = 4.0;
    const struct nxw_result r = run(&c, NXW_OK);
    assert_true((r.warnings & NXW_WARN_ICE_GONE) != 0);
    assert_true(has_event(&r, NXW_EVENT_ICE_GONE, NULL));
    assert_near(r.stages[0].ice_left_kg, 0.0, 1e-9);
    assert_near(r.stages[0].ice_melted_kg, 0.05, 1e-9);
    assert_true(r.stages[0].temperature_K > 275.0);
}

/* As full as it may be: what much gas adds does not fit. Said with its time; the amounts still
 * close. */
static void bottle_overfilling(void **state)
{
    (void)state;
    struct nxw_case c = rich_feed();
    c.source.flow_mol_s *= 2.0;
    c.stages[0].volume_m3 = 264e-6;
    const struct nxw_result r = run(&c, NXW_OK);
    double at_s = 0.0;
    assert_true((r.warnings & NXW_WARN_OVERFULL) != 0);
    assert_true((r.warnings & NXW_WARN_HEADSPACE_SMALL) != 0);
    assert_true(has_event(&r, NXW_EVENT_OVERFULL, &at_s) && at_s > 0.0);
    assert_true(r.stages[0].liquid_m3 > 264e-6);
}

/* NO2 turns the peroxide in little, strong acid to more acid: hardly any water is left beside it,
 * and the run ends there. */
static void water_nearly_gone(void **state)
{
    (void)state;
    struct nxw_case c = rich_feed();
    c.source.flow_mol_s *= 2.0;
    c.stages[0].liquid_m3 = 15e-6;
    c.stages[0].acid_mass_fraction = 0.6;
    c.stages[0].peroxide_mass_fraction = 0.15;
    c.stages[0].depth_m = NAN;
    c.stages[0].tip_clearance_m = 0.0;
    c.stages[0].bath = NXW_BATH_WATER;
    c.stages[0].UA_W_K = 10.0;
    const struct nxw_result r = run(&c, NXW_ENDED_EARLY);
    assert_true((r.warnings & NXW_WARN_WATER_NEARLY_GONE) != 0);
    assert_true(has_event(&r, NXW_EVENT_WATER_NEARLY_GONE, NULL));
    assert_true(r.end_s < 2700.0);
}

/* Steam with acid's vapour and NO2 and no way out for its heat, 5 mol where 2 mol would do: the
 * liquid boils, and the run ends there. Gas that takes its heat along is another matter: NO2 alone
 * cannot boil a bottle, since the bubbles fill with vapour and take up less the hotter it gets. */
static void boiling(void **state)
{
    (void)state;
    struct nxw_case c = rich_feed();
    hot_feed(&c.source,
             &(struct nxw_source_row){.NO2_mol_s = 1e-5, .HNO3_mol_s = 5e-5, .H2O_mol_s = 1.9e-3});
    c.stages[0].UA_W_K = 0.0;
    const struct nxw_result r = run(&c, NXW_ENDED_EARLY);
    assert_true((r.warnings & NXW_WARN_BOILING) != 0);
    assert_true((r.warnings & NXW_WARN_HOT) != 0);
    assert_true(has_event(&r, NXW_EVENT_BOILING, NULL));
    /* water's vapour pressure is 95 % of the air's at 98.6 degC; a few per cent of acid add under a
     * degree */
    assert_near(r.stages[0].temperature_K, 372.0, 1.0);
    assert_true(r.end_s < 2700.0);
}

/* Water in a bath of -8 degC. */
static void freezing(void **state)
{
    (void)state;
    struct nxw_case c = rich_feed();
    c.stages[0].bath = NXW_BATH_WATER;
    c.stages[0].bath_temperature_K = 265.15;
    c.stages[0].liquid_temperature_K = 275.15;
    c.stages[0].UA_W_K = 4.0;
    c.source.flow_mol_s *= 0.1;
    const struct nxw_result r = run(&c, NXW_OK);
    double at_s = 0.0;
    assert_true((r.warnings & NXW_WARN_FREEZING) != 0);
    assert_true(has_event(&r, NXW_EVENT_FREEZING, &at_s) && at_s > 0.0);
}

/* NO in nitrogen after nitrogen has swept the air out: all that is fed goes out as NO. */
static void no_oxygen_at_all(void **state)
{
    (void)state;
    struct nxw_case c = rich_feed();
    c.source.kind = NXW_SOURCE_TABLE;
    c.source.n_rows = 4;
    c.source.duration_s = 7200.0;
    const double at_s[] = {0.0, 3600.0, 3610.0, 7200.0};
    for (size_t i = 0; i < 4; i++) {
        c.source.rows[i].time_s = at_s[i];
        c.source.rows[i].inert_mol_s = 5e-4;
        c.source.rows[i].NO_mol_s = i >= 2 ? 5e-5 : 0.0;
    }
    c.standing_s = 0.0;
    const struct nxw_result r = run(&c, NXW_OK);
    assert_near(r.fed_O2_mol, 0.0, 1e-15);
    assert_near(r.escaped_NO2_mol / r.fed_mol, 0.0, 1e-4);
    assert_near(r.kept_mol / r.fed_mol, 0.0, 1e-4);
    assert_near((r.escaped_NO_mol + r.in_flight_mol + r.stages[0].NO_aq_mol) / r.fed_mol, 1.0,
                1e-4);
    assert_near(r.why.NO_never_oxidised_mol / r.escaped_mol, 1.0, 2e-3);
}

/* Air alone: nothing fed, nothing caught, nothing out; no share is a division by nothing. */
static void no_NOx_at_all(void **state)
{
    (void)state;
    struct nxw_case c = rich_feed();
    c.source.NO2_fraction = 0.0;
    c.source.O2_fraction = 0.21;
    struct nxw_result r;
    assert_int_equal(nxw_estimate(&c, NULL, NULL, &r), NXW_OK);
    assert_near(r.fed_mol, 0.0, 0.0);
    assert_near(r.held_mol, 0.0, 1e-10); /* the rounding of dissolved NO2's equilibrium at zero */
    assert_near(r.escaped_mol, 0.0, 1e-10);
    assert_true(!has_event(&r, NXW_EVENT_BROWN_HEADSPACE, NULL));
    assert_true(isfinite(r.nitrogen_closure));
}

/* A fifth of a second of gas into 8 cm of water, which a bubble takes a third of a second to cross.
 */
static void source_shorter_than_a_rise(void **state)
{
    (void)state;
    struct nxw_case c = rich_feed();
    c.source.shape = NXW_SHAPE_STEADY;
    c.source.duration_s = 0.2;
    c.source.flow_mol_s = 1e-3;
    const struct nxw_result r = run(&c, NXW_OK);
    assert_relative(r.fed_mol, 0.8 * 0.2e-3, 1e-3);
    assert_near(r.held_mol + r.escaped_mol + r.in_flight_mol, r.fed_mol, 1e-6 * r.fed_mol);
    /* none of the parts below nothing, none more than there was */
    assert_true(r.held_mol > 0.0 && r.held_mol < r.fed_mol);
    assert_true(r.escaped_mol > 0.0 && r.in_flight_mol > 0.0);
}

/* The tube ends at the surface: no bubbles, a warning, and the surface still takes part. */
static void zero_depth(void **state)
{
    (void)state;
    struct nxw_case c = rich_feed();
    c.stages[0].depth_m = 0.0;
    const struct nxw_result r = run(&c, NXW_OK);
    assert_true((r.warnings & NXW_WARN_SHALLOW) != 0);
    assert_true(r.held_mol > 0.1 * r.fed_mol && r.escaped_mol > 0.01 * r.fed_mol);
    /* a level below the tip is the same by another way */
    c = rich_feed();
    c.stages[0].depth_m = NAN;
    c.stages[0].tip_clearance_m = 0.1;
    const struct nxw_result s = run(&c, NXW_OK);
    assert_true((s.warnings & NXW_WARN_SHALLOW) != 0);
    /* and a tip well under the liquid does not warn */
    c.stages[0].tip_clearance_m = 0.005;
    const struct nxw_result t = run(&c, NXW_OK);
    assert_true((t.warnings & NXW_WARN_SHALLOW) == 0);
}

/* A soluble gas with nothing to follow: the last bottle draws air in; one ahead draws the next
 * bottle's liquid, all that fits, and the account closes with what it leaves out. */
static void gas_drawn_back(void **state)
{
    (void)state;
    struct nxw_case c = rich_feed();
    struct nxw_result r = run(&c, NXW_OK);
    double at_s = 0.0;
    assert_true((r.warnings & NXW_WARN_DRAWN_BACK) != 0);
    assert_true(has_event(&r, NXW_EVENT_DRAWN_BACK, &at_s) && at_s > 0.0);
    assert_true((r.warnings & NXW_WARN_LIQUID_DRAWN) == 0);
    c.n_stages = 2;
    c.stages[1] = c.stages[0];
    r = run(&c, NXW_OK);
    assert_true((r.warnings & NXW_WARN_LIQUID_DRAWN) != 0);
    assert_true(has_event(&r, NXW_EVENT_LIQUID_DRAWN, &at_s) && at_s > 60.0);
    const double headspace_m3 = 500e-6 - r.stages[0].liquid_m3;
    assert_true(r.stages[0].liquid_drawn_m3 > 0.2 * headspace_m3);
    assert_true(r.stages[0].liquid_drawn_m3 < headspace_m3);
    assert_near(r.stages[1].liquid_drawn_m3, 0.0, 0.0);
    /* the flow of air that is said to prevent it does, half of it does not */
    const double enough_mol_s = r.stages[0].short_of_gas_mol_s;
    c.carrier.gas = NXW_GAS_AIR;
    c.carrier.flow_mol_s = 0.5 * enough_mol_s;
    r = run(&c, NXW_OK);
    assert_true(r.stages[0].liquid_drawn_m3 > 1e-6);
    c.carrier.flow_mol_s = 1.1 * enough_mol_s;
    r = run(&c, NXW_OK);
    assert_near(r.stages[0].liquid_drawn_m3, 0.0, 0.0);
    assert_true((r.warnings & (NXW_WARN_LIQUID_DRAWN | NXW_WARN_DRAWN_BACK)) == 0);
}

/* Two days: nitrous acid gives its nitrogen back, two thirds as NO, one as acid; the vent breathes.
 */
static void standing_48_h(void **state)
{
    (void)state;
    struct nxw_case c = rich_feed();
    const struct nxw_result half = run(&c, NXW_OK);
    c.standing_s = 48.0 * 3600.0;
    const struct nxw_result r = run(&c, NXW_OK);
    assert_near(r.end_s, 2700.0 + c.standing_s, 1.0);
    assert_true(r.stages[0].nitrous_acid_mol < 0.7 * half.stages[0].nitrous_acid_mol);
    assert_true(r.escaped_mol > half.escaped_mol && r.kept_mol > half.kept_mol);
    assert_near(r.stages[0].temperature_K, 293.15, 0.5);
    /* most of that NO meets the air that the vent breathes in, and comes back as acid */
    const double lost_mol = half.stages[0].nitrous_acid_mol - r.stages[0].nitrous_acid_mol;
    assert_true(r.escaped_mol - half.escaped_mol < 0.3 * lost_mol);
    assert_true(r.kept_mol - half.kept_mol > 0.6 * lost_mol);
}

/* Gas at 110 degC with as much steam as NO2, and acid's vapour: the steam condenses in the bottle
 * and heats it; the vapour is kept. */
static void hot_wet_feed(void **state)
{
    (void)state;
    struct nxw_case c = rich_feed();
    hot_feed(&c.source,
             &(struct nxw_source_row){
                 .NO2_mol_s = 1e-4, .O2_mol_s = 2.5e-5, .H2O_mol_s = 1e-4, .HNO3_mol_s = 2e-5});
    const struct nxw_result r = run(&c, NXW_OK);
    for (size_t i = 0; i < 4; i++)
        c.source.rows[i].H2O_mol_s = 0.0;
    c.source.temperature_K = 298.15;
    const struct nxw_result dry = run(&c, NXW_OK);
    assert_true(r.escaped_HNO3_mol < 1e-3 * r.fed_HNO3_mol);
    /* 0.27 mol of steam leave 44 kJ/mol, 12 kJ, in some 1.2 kJ/K with half lost on the way */
    assert_true(r.stages[0].peak_temperature_K > dry.stages[0].peak_temperature_K + 2.0);
    assert_near(r.stages[0].water_mol - dry.stages[0].water_mol, 0.269, 0.02);
}

/* Fizzing is told by its peak, not by what was seen first, which is 0.6 mL/min or little more. */
static void test_fizzing_at_its_peak(void **unused)
{
    (void)unused;
    double peak_mol_s[2] = {0.0, 0.0};
    for (int k = 0; k < 2; k++) {
        struct nxw_case c = rich_feed();
        c.relative_tolerance = k == 0 ? 1e-6 : 1e-7;
        const struct nxw_result r = run(&c, NXW_OK);
        for (size_t i = 0; i < r.n_events; i++)
            if (r.events[i].kind == NXW_EVENT_FIZZ)
                peak_mol_s[k] = r.events[i].value;
    }
    const double seen_first_mol_s = 1e-8 * 101325.0 / (8.314 * 293.15);
    assert_true(peak_mol_s[0] > 10.0 * seen_first_mol_s);
    assert_near(peak_mol_s[1], peak_mol_s[0], 0.01 * peak_mol_s[0]);
}

/* A table of so many rows that a first run has not steps enough, into a bottle that it fills beyond
 * its glass: it is followed to the end all the same. */
static void full_and_flickering(void **state)
{
    (void)state;
    enum { ROWS = 500 };
    struct nxw_case c = rich_feed();
    c.source.kind = NXW_SOURCE_TABLE;
    c.source.n_rows = ROWS;
    for (size_t i = 0; i < ROWS; i++) {
        const double strong = i % 2 == 0 ? 1.0 : 1.3;
        c.source.rows[i] = (struct nxw_source_row){.time_s = 3600.0 / (ROWS - 1) * (double)i,
                                                   .NO2_mol_s = 1e-5 * strong,
                                                   .HNO3_mol_s = 2e-6 * strong,
                                                   .O2_mol_s = 3e-5,
                                                   .inert_mol_s = 1e-4,
                                                   .H2O_mol_s = 2.4e-4 * strong};
    }
    c.stages[0].volume_m3 = 260e-6;
    c.stages[0].liquid_m3 = 247e-6;
    c.standing_s = 600.0;
    const struct nxw_result r = run(&c, NXW_OK);
    assert_true(has_event(&r, NXW_EVENT_OVERFULL, NULL));
    assert_near(r.end_s, 4200.0, 1e-6);
}

/* Rows of milliseconds in the middle of a run are not what it is stuck in. */
static void rows_of_milliseconds(void **state)
{
    (void)state;
    enum { ROWS = 400 };
    struct nxw_case c = rich_feed();
    c.source.kind = NXW_SOURCE_TABLE;
    c.source.n_rows = ROWS;
    for (size_t i = 0; i < ROWS; i++) {
        const double at_s = i == 0 ? 0.0 : i == ROWS - 1 ? 2000.0 : 1000.0 + 2e-3 * (double)i;
        c.source.rows[i] = (struct nxw_source_row){
            .time_s = at_s, .NO2_mol_s = i % 2 == 0 ? 2e-5 : 2.5e-5, .inert_mol_s = 1e-4};
    }
    (void)run(&c, NXW_OK);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(peroxide_running_out),
                                       cmocka_unit_test(ice_running_out),
                                       cmocka_unit_test(bottle_overfilling),
                                       cmocka_unit_test(water_nearly_gone),
                                       cmocka_unit_test(full_and_flickering),
                                       cmocka_unit_test(rows_of_milliseconds),
                                       cmocka_unit_test(boiling),
                                       cmocka_unit_test(freezing),
                                       cmocka_unit_test(no_oxygen_at_all),
                                       cmocka_unit_test(no_NOx_at_all),
                                       cmocka_unit_test(source_shorter_than_a_rise),
                                       cmocka_unit_test(zero_depth),
                                       cmocka_unit_test(gas_drawn_back),
                                       cmocka_unit_test(standing_48_h),
                                       cmocka_unit_test(test_fizzing_at_its_peak),
                                       cmocka_unit_test(hot_wet_feed)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
