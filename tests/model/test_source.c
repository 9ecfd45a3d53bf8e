/* Layer (b): flows of the sources, worked by hand, and their limits. */
#include "../assert_near.h"

#include "stage/source.h"

static struct nxw_case metered(enum nxw_shape shape, double duration_s)
{
    struct nxw_case c;
    nxw_case_init(&c);
    c.source.kind = NXW_SOURCE_METERED;
    c.source.shape = shape;
    c.source.duration_s = duration_s;
    c.source.flow_mol_s = 1e-3;
    c.source.NO2_fraction = 0.10;
    c.source.NO_fraction = 0.20;
    c.source.O2_fraction = 0.30;
    c.standing_s = 600.0;
    return c;
}

/* Flow of all pools at a time. */
static double flow_at(const struct nxw_case *c, double t_s, double flow[NXW_POOLS])
{
    struct nxw_source_plan plan;
    double y[NXW_POOLS], sum = 0.0;
    nxw_source_plan_make(c, &plan);
    nxw_source_flow(&plan, t_s, flow, y);
    for (int j = 0; j < NXW_POOLS; j++)
        sum += flow[j];
    return sum;
}

/* 1 mmol/s for 100 s between ramps of 1 s: 3 u2 - 2 u3 of it on the way up, 0.5 half-way, 0.15625
 * at a quarter; as much again on the way down, which begins at 100 s. */
static void steady(void **state)
{
    (void)state;
    const struct nxw_case c = metered(NXW_SHAPE_STEADY, 100.0);
    static const double want[][2] = {{-1.0, 0.0},       {0.0, 0.0},   {0.25, 0.15625}, {0.5, 0.5},
                                     {1.0, 1.0},        {50.0, 1.0},  {100.0, 1.0},    {100.5, 0.5},
                                     {100.75, 0.15625}, {101.0, 0.0}, {300.0, 0.0}};
    for (size_t i = 0; i < sizeof want / sizeof want[0]; i++) {
        double flow[NXW_POOLS];
        assert_near(flow_at(&c, want[i][0], flow), 1e-3 * want[i][1], 1e-17);
        assert_near(flow[NXW_NO2], 1e-4 * want[i][1], 1e-17);
        assert_near(flow[NXW_NO], 2e-4 * want[i][1], 1e-17);
        assert_near(flow[NXW_O2], 3e-4 * want[i][1], 1e-17);
        assert_near(flow[NXW_INERT], 4e-4 * want[i][1], 1e-17);
    }
    struct nxw_source_plan plan;
    nxw_source_plan_make(&c, &plan);
    assert_near(plan.source_end_s, 101.0, 1e-12);
    assert_near(plan.end_s, 701.0, 1e-12);
    assert_int_equal(plan.n_breaks, 3);
    assert_near(plan.breaks_s[0], 1.0, 1e-12);
    assert_near(plan.breaks_s[1], 100.0, 1e-12);
    assert_near(plan.breaks_s[2], 101.0, 1e-12);
}

/* A source shorter than four ramps has ramps of a quarter of it: 0.5 s, 1/8 s each. */
static void short_source(void **state)
{
    (void)state;
    const struct nxw_case c = metered(NXW_SHAPE_STEADY, 0.5);
    double flow[NXW_POOLS];
    assert_near(flow_at(&c, 0.0625, flow), 0.5e-3, 1e-17);
    assert_near(flow_at(&c, 0.25, flow), 1e-3, 1e-17);
    assert_near(flow_at(&c, 0.5625, flow), 0.5e-3, 1e-17);
    assert_near(flow_at(&c, 0.625, flow), 0.0, 1e-17);
}

/* Half a sine is pi/2 times its mean at its height, sqrt(1/2) of that at a quarter, half at a
 * sixth; nothing at either end and outside. */
static void rise_and_fall(void **state)
{
    (void)state;
    const struct nxw_case c = metered(NXW_SHAPE_RISE_AND_FALL, 600.0);
    static const double want[][2] = {
        {-1.0, 0.0},         {0.0, 0.0},          {100.0, 0.7853981634}, {150.0, 1.11072073},
        {300.0, 1.57079633}, {450.0, 1.11072073}, {600.0, 0.0},          {601.0, 0.0}};
    for (size_t i = 0; i < sizeof want / sizeof want[0]; i++) {
        double flow[NXW_POOLS];
        assert_near(flow_at(&c, want[i][0], flow), 1e-3 * want[i][1], 1e-11);
    }
    struct nxw_source_plan plan;
    nxw_source_plan_make(&c, &plan);
    assert_near(plan.source_end_s, 600.0, 0.0);
    assert_int_equal(plan.n_breaks, 1);
}

/* A triangle of relative strength 0, 4, 0 at 0, 100, 400 s has the area 800: 0.2 mol of a metal
 * with z = 1 by the NO2 route alone flow with 0.2 x 4/800 = 1 mmol/s at the tip, half of that at 50
 * and at 250 s. Its own duration does not matter. */
static void shape_from_a_table(void **state)
{
    (void)state;
    struct nxw_case c;
    nxw_case_init(&c);
    c.source.kind = NXW_SOURCE_METAL;
    c.source.metal_mol = 0.2;
    c.source.NO2_route_fraction = 1.0;
    c.source.shape = NXW_SHAPE_TABLE;
    c.source.n_rows = 3;
    c.source.rows[1].time_s = 100.0;
    c.source.rows[1].inert_mol_s = 4.0;
    c.source.rows[2].time_s = 400.0;
    static const double want[][2] = {{-1.0, 0.0},     {50.0, 0.5e-3}, {100.0, 1e-3},
                                     {250.0, 0.5e-3}, {400.0, 0.0},   {401.0, 0.0}};
    for (size_t i = 0; i < sizeof want / sizeof want[0]; i++) {
        double flow[NXW_POOLS];
        assert_near(flow_at(&c, want[i][0], flow), want[i][1], 1e-17);
        assert_near(flow[NXW_NO2], want[i][1], 1e-17);
    }
    struct nxw_source_plan plan;
    nxw_source_plan_make(&c, &plan);
    assert_near(plan.source_end_s, 400.0, 0.0);
}

/* Rows at 10, 20, 20, 40 s with 1, 3, 6, 2 umol/s of nitrous acid: 2 at 15 s, 3 up to the jump at
 * 20 s, 4 at 30 s, nothing outside. A table that begins with a jump begins above it. */
static void flows_from_a_table(void **state)
{
    (void)state;
    struct nxw_case c;
    nxw_case_init(&c);
    c.source.kind = NXW_SOURCE_TABLE;
    c.source.n_rows = 4;
    static const double row[][2] = {{10, 1e-6}, {20, 3e-6}, {20, 6e-6}, {40, 2e-6}};
    for (size_t i = 0; i < 4; i++) {
        c.source.rows[i].time_s = row[i][0];
        c.source.rows[i].HNO2_mol_s = row[i][1];
    }
    static const double want[][2] = {{9.99, 0.0},  {10.0, 1e-6}, {15.0, 2e-6}, {20.0, 3e-6},
                                     {30.0, 4e-6}, {40.0, 2e-6}, {40.01, 0.0}};
    for (size_t i = 0; i < sizeof want / sizeof want[0]; i++) {
        double flow[NXW_POOLS];
        assert_near(flow_at(&c, want[i][0], flow), want[i][1], 1e-20);
        assert_near(flow[NXW_HNO2], want[i][1], 1e-20);
    }
    double flow[NXW_POOLS]; /* right after the jump */
    assert_near(flow_at(&c, 20.0 + 1e-9, flow), 6e-6, 1e-14);
    struct nxw_source_plan plan;
    nxw_source_plan_make(&c, &plan);
    assert_int_equal(plan.n_breaks, 3); /* one for both rows of the jump */
    c.source.rows[0].time_s = 20.0;
    assert_near(flow_at(&c, 20.0, flow), 3e-6, 1e-20);
}

/* 0.60 mol of acid, 35 % decomposed: 0.21 mol NO2, 0.0525 mol O2. The condenser at 20 degC over
 * 60 wt%: log10 p/mmHg = 8.8245 - 2608.3/293.15 and 8.6903 - 2327.1/293.15, so 0.8453 and
 * 5.650 mmHg, 112.7 and 753.2 Pa; of the 0.2625 mol of gas under 101325 Pa they are
 * 0.2625 x 112.7/100459.1 = 2.945e-4 mol HNO3 and 1.9682e-3 mol H2O (four digits of the
 * logarithms: 1e-3). */
static void acid_vapour(void **state)
{
    (void)state;
    struct nxw_case c;
    nxw_case_init(&c);
    c.source.acid_made_mol = 0.60;
    c.source.decomposed_fraction = 0.35;
    c.source.condensate_mass_fraction = 0.60;
    c.source.condenser_temperature_K = 293.15;
    struct nxw_source_plan plan;
    nxw_source_plan_make(&c, &plan);
    assert_near(plan.total_mol[NXW_NO2], 0.21, 1e-15);
    assert_near(plan.total_mol[NXW_O2], 0.0525, 1e-15);
    assert_near(plan.total_mol[NXW_NO], 0.0, 0.0);
    assert_relative(plan.total_mol[NXW_HNO3], 2.945e-4, 1e-3);
    assert_relative(plan.total_mol[NXW_H2O], 1.9682e-3, 1e-3);
    assert_relative(plan.receiver_HNO3_mol, 0.39 - 2.945e-4, 1e-6);
    /* 1 mmol/s of carrier through 2700 s takes 2.7 mol more through the condenser: 11.286 times */
    c.carrier = (struct nxw_carrier){NXW_GAS_NITROGEN, 1e-3, -50.0, 9000.0};
    const double alone = plan.total_mol[NXW_HNO3];
    nxw_source_plan_make(&c, &plan);
    assert_relative(plan.total_mol[NXW_HNO3] / alone, (0.2625 + 2.7) / 0.2625, 1e-12);
    /* all decomposed: there is no acid left to go over */
    c.source.decomposed_fraction = 1.0;
    nxw_source_plan_make(&c, &plan);
    assert_near(plan.total_mol[NXW_HNO3], 0.0, 1e-15);
    assert_near(plan.receiver_HNO3_mol, 0.0, 1e-15);
}

/* 0.3 mol of a metal with z = 2, 40 % by the NO2 route: 0.6 mol of electrons, 0.24 mol NO2 and
 * 0.36/3 = 0.12 mol NO. */
static void metal(void **state)
{
    (void)state;
    struct nxw_case c;
    nxw_case_init(&c);
    c.source.kind = NXW_SOURCE_METAL;
    c.source.metal_mol = 0.3;
    c.source.metal_valence = 2.0;
    c.source.NO2_route_fraction = 0.4;
    struct nxw_source_plan plan;
    nxw_source_plan_make(&c, &plan);
    assert_near(plan.total_mol[NXW_NO2], 0.24, 1e-15);
    assert_near(plan.total_mol[NXW_NO], 0.12, 1e-15);
    assert_near(plan.total_mol[NXW_O2], 0.0, 0.0);
}

/* Air of 20.95 % oxygen purges from before the start to 1000 s: whole at 0 s, half-way down at
 * 1000.5 s; the run ends 600 s after 1001 s. One without an end goes on past the end. */
static void carrier_and_purge(void **state)
{
    (void)state;
    struct nxw_case c = metered(NXW_SHAPE_STEADY, 100.0);
    c.source.flow_mol_s = 0.0;
    c.carrier = (struct nxw_carrier){NXW_GAS_AIR, 2e-3, -5.0, 1000.0};
    double flow[NXW_POOLS];
    assert_near(flow_at(&c, 0.0, flow), 2e-3, 1e-17);
    assert_near(flow[NXW_O2], 0.2095 * 2e-3, 1e-17);
    assert_near(flow_at(&c, 1000.5, flow), 1e-3, 1e-17);
    assert_near(flow_at(&c, 1001.0, flow), 0.0, 1e-17);
    struct nxw_source_plan plan;
    nxw_source_plan_make(&c, &plan);
    assert_near(plan.carrier_end_s, 1001.0, 1e-12);
    assert_near(plan.end_s, 1601.0, 1e-12);
    c.carrier.until_s = (double)INFINITY;
    nxw_source_plan_make(&c, &plan);
    assert_near(plan.end_s, 701.0, 1e-12);
    assert_near(flow_at(&c, 701.0, flow), 2e-3, 1e-17);
    c.carrier.gas = NXW_GAS_NONE;
    assert_near(flow_at(&c, 50.0, flow), 0.0, 0.0);
}

/* With no flow the composition is that of the gas to come: source and a carrier that runs from the
 * start; of a later carrier nothing; of nothing at all inert gas. Pure NO2 stays pure. */
static void composition_without_flow(void **state)
{
    (void)state;
    struct nxw_case c = metered(NXW_SHAPE_STEADY, 100.0);
    struct nxw_source_plan plan;
    double flow[NXW_POOLS], y[NXW_POOLS];
    nxw_source_plan_make(&c, &plan);
    nxw_source_flow(&plan, 0.0, flow, y);
    assert_near(y[NXW_NO], 0.20, 1e-12);
    c.carrier = (struct nxw_carrier){NXW_GAS_NITROGEN, 1e-3, 0.0, 100.0};
    nxw_source_plan_make(&c, &plan);
    nxw_source_flow(&plan, 0.0, flow, y);
    assert_near(y[NXW_NO], 0.10, 1e-12);
    nxw_source_flow(&plan, 400.0, flow, y);
    assert_near(y[NXW_NO], 0.10, 1e-12);
    c.carrier.from_s = 50.0;
    nxw_source_plan_make(&c, &plan);
    nxw_source_flow(&plan, 0.0, flow, y);
    assert_near(y[NXW_NO], 0.20, 1e-12);
    c.source.NO_fraction = c.source.O2_fraction = 0.0;
    c.source.NO2_fraction = 1.0;
    nxw_source_plan_make(&c, &plan);
    nxw_source_flow(&plan, 0.0, flow, y);
    assert_near(y[NXW_NO2], 1.0, 1e-12);
    c.source.flow_mol_s = 0.0;
    nxw_source_plan_make(&c, &plan);
    nxw_source_flow(&plan, 0.0, flow, y);
    assert_near(y[NXW_INERT], 1.0, 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(steady),
        cmocka_unit_test(short_source),
        cmocka_unit_test(rise_and_fall),
        cmocka_unit_test(shape_from_a_table),
        cmocka_unit_test(flows_from_a_table),
        cmocka_unit_test(acid_vapour),
        cmocka_unit_test(metal),
        cmocka_unit_test(carrier_and_purge),
        cmocka_unit_test(composition_without_flow),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
