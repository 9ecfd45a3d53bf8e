/* Layer (b): limiting cases of trains. */
#include "../assert_near.h"

#include "noxwash.h"

static void lasts(struct nxw_case *c, double duration_s)
{
    c->source.duration_s = c->source.rows[3].time_s = duration_s;
    c->source.rows[2].time_s = duration_s - 1.0;
}

/* Dilute gas in nitrogen, saturated with water lest the bubbles grow, through a bottle as full as
 * it may be, for so long that what its headspace holds is nothing beside it; no surface, no plume,
 * 4 mm bubbles, all at 25 degC; so little of it that the liquid stays what it was. */
static struct nxw_case dilute(void)
{
    struct nxw_case c;
    nxw_case_init(&c);
    struct nxw_source *s = &c.source;
    s->kind = NXW_SOURCE_TABLE;
    s->temperature_K = 298.15;
    s->n_rows = 4;
    s->rows[1].time_s = 1.0;
    lasts(&c, 160000.0);
    for (size_t i = 0; i < 4; i++) {
        s->rows[i].inert_mol_s = i == 1 || i == 2 ? 1e-4 : 0.0;
        s->rows[i].HNO3_mol_s = i == 1 || i == 2 ? 1e-8 : 0.0;
        s->rows[i].H2O_mol_s = i == 1 || i == 2 ? 3.23e-6 : 0.0;
    }
    struct nxw_stage *b = &c.stages[0];
    b->liquid_m3 = 1e-3;
    b->volume_m3 = b->liquid_m3 / 0.95;
    b->inner_diameter_m = 0.1;
    b->no_surface = true;
    b->tip = NXW_TIP_BUBBLE_DIAMETER;
    b->bubble_diameter_m = 4e-3;
    b->depth_m = 0.006;
    b->liquid_temperature_K = b->bath_temperature_K = c.surroundings_temperature_K = 298.15;
    c.isothermal = true;
    c.slices = 40;
    c.standing_s = 60.0;
    c.parameters.value[NXW_P_plume_tube] = 0.0;
    return c;
}

static struct nxw_result run(const struct nxw_case *c)
{
    struct nxw_result r;
    assert_int_equal(nxw_estimate(c, NULL, NULL, &r), NXW_OK);
    assert_near(r.nitrogen_closure, 0.0, 1e-6);
    return r;
}

/* The share of what is fed that slips through. Where depth is doubled the bubble starts under 0.06
 * % more pressure: some 0.03 % of its transfer units. What fills the bubbles first counts as
 * slipped: a twentieth of a second in 6000. */
static double slip(const struct nxw_case *c)
{
    const struct nxw_result r = run(c);
    return r.escaped_mol / r.fed_mol;
}

/* Case 10: two bottles are one of double depth; 0.1 %. First-order slips multiply. */
static void test_two_bottles_one_deep(void **state)
{
    (void)state;
    struct nxw_case c = dilute();
    const double one = slip(&c);
    c.n_stages = 2;
    c.stages[1] = c.stages[0];
    const double two = slip(&c);
    c.n_stages = 1;
    c.stages[0].depth_m = 0.012;
    const double deep = slip(&c);
    assert_true(one > 0.1 && one < 0.7);
    assert_relative(two, deep, 1e-3);
    assert_relative(two, one * one, 1e-3);
}

/* NO2 reacts by its square: of the thinner gas the second bottle takes the smaller share. */
static void test_second_bottle_does_worse(void **state)
{
    (void)state;
    struct nxw_case c = dilute();
    lasts(&c, 6000.0);
    for (size_t i = 1; i < 3; i++) {
        c.source.rows[i].NO2_mol_s = 1e-6; /* 1 % */
        c.source.rows[i].HNO3_mol_s = 0.0;
    }
    c.n_stages = 2;
    c.stages[1] = c.stages[0];
    c.stages[0].depth_m = c.stages[1].depth_m = 0.05;
    const struct nxw_result r = run(&c);
    const struct nxw_stage_result *a = &r.stages[0], *b = &r.stages[1];
    const double first = a->left_NO2_mol / a->entered_NO2_mol;
    const double second = b->left_NO2_mol / b->entered_NO2_mol;
    assert_true(first < 0.97);
    assert_true(second > first + 0.01);
}

/* An empty vessel of 1 L gives NO in air its time: at constant oxygen p = p0/(1 + 2 k p0 pO2 t) of
 * plug flow lies below, and no oxidation above, what a stirred vessel lets through. */
static void test_empty_vessel_oxidises(void **state)
{
    (void)state;
    struct nxw_case c = dilute();
    for (size_t i = 1; i < 3; i++) {
        c.source.rows[i].NO_mol_s = 1e-6;
        c.source.rows[i].HNO3_mol_s = 0.0;
        c.source.rows[i].O2_mol_s = 2e-5;
        c.source.rows[i].inert_mol_s = 8e-5;
    }
    lasts(&c, 72000.0);
    c.stages[0].kind = NXW_STAGE_EMPTY;
    c.stages[0].volume_m3 = 1e-3;
    const struct nxw_result r = run(&c);
    const double part = r.stages[0].left_NO_mol / r.stages[0].entered_NO_mol;
    const double other_mol = r.stages[0].left_NO2_mol + r.stages[0].left_HNO2_mol + r.in_flight_mol;
    assert_near(part + other_mol / r.fed_mol, 1.0, 1e-5);
    /* steady: x = 1/(1 + 2 k c0 cO2 tau x), k 7080.6 L2/(mol2 s), c0 0.405 mol/m3, cO2 8.09, tau
     * 405 s: 2 k c0 cO2 tau = 18.8, x = 0.206; oxygen used, gas shrinking and the filling a per
     * cent each */
    assert_near(part, 0.206, 0.006);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_two_bottles_one_deep),
                                       cmocka_unit_test(test_second_bottle_does_worse),
                                       cmocka_unit_test(test_empty_vessel_oxidises)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
