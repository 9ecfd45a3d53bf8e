/* Layer (d): the answers against finer slices and a tighter run. */
#include "../assert_near.h"

#include "../rich_feed.h"

enum { CASES = 5 };

static struct nxw_case make(int which)
{
    struct nxw_case c = rich_feed();
    struct nxw_stage *s = &c.stages[0];
    switch (which) {
    case 1: /* swept with air, half of it NO */
        c.source.NO2_fraction = c.source.NO_fraction = 0.4;
        c.carrier.gas = NXW_GAS_AIR;
        c.carrier.flow_mol_s = 1e-3;
        c.carrier.until_s = 3600.0;
        break;
    case 2: /* ice */
        s->bath = NXW_BATH_ICE_WATER;
        s->ice_kg = 0.5;
        s->UA_W_K = 4.0;
        break;
    case 3: /* peroxide that runs out */
        s->peroxide_mass_fraction = 0.02;
        break;
    case 4: /* two bottles, open tubes, surface and wet wall as they are */
        nxw_case_init(&c);
        c.source.kind = NXW_SOURCE_METERED;
        c.source.flow_mol_s = 0.25 / 2700.0;
        c.source.NO2_fraction = 0.6;
        c.source.O2_fraction = 0.1;
        c.n_stages = 2;
        break;
    default:
        break;
    }
    return c;
}

struct answer {
    double kept, escaped, nitrous, peak_K, peroxide_mol;
};

static struct answer answer(const struct nxw_case *c)
{
    struct nxw_result r;
    assert_int_equal(nxw_estimate(c, NULL, NULL, &r), NXW_OK);
    return (struct answer){100.0 * r.kept_mol / r.fed_mol, 100.0 * r.escaped_mol / r.fed_mol,
                           100.0 * r.stages[0].nitrous_acid_mol / r.fed_mol,
                           r.stages[0].peak_temperature_K, r.stages[0].peroxide_mol};
}

static void compare(const struct answer *a, const struct answer *b, double points, double kelvin)
{
    assert_near(a->kept, b->kept, points);
    assert_near(a->escaped, b->escaped, points);
    assert_near(a->nitrous, b->nitrous, points);
    assert_near(a->peak_K, b->peak_K, kelvin);
    assert_near(a->peroxide_mol, b->peroxide_mol, 0.01 * points * 0.5);
}

/* The default slices against 16: headlines are printed to whole points, wanted to a tenth. */
static void slices(void **state)
{
    (void)state;
    for (int i = 0; i < CASES; i++) {
        struct nxw_case c = make(i);
        const struct answer coarse = answer(&c);
        c.slices = 16;
        const struct answer fine = answer(&c);
        compare(&coarse, &fine, 0.1, 0.1);
    }
}

/* Relative tolerance 1e-6 against 1e-8: a tenth of what the slices are allowed. */
static void tolerance(void **state)
{
    (void)state;
    for (int i = 0; i < CASES; i++) {
        struct nxw_case c = make(i);
        const struct answer loose = answer(&c);
        c.relative_tolerance = 1e-8;
        const struct answer tight = answer(&c);
        assert_true(tight.kept != loose.kept); /* the same bits: it was not tighter at all */
        compare(&loose, &tight, 0.01, 0.01);
    }
}

/* The rich feed closer than that: 20 slices move the escape by less than 0.02 point, what is kept
 * by less than 0.05. */
static void rich_feed_by_slices(void **state)
{
    (void)state;
    struct nxw_case c = make(0);
    const struct answer coarse = answer(&c);
    c.slices = 20;
    const struct answer fine = answer(&c);
    assert_near(coarse.escaped, fine.escaped, 0.02);
    assert_near(coarse.kept, fine.kept, 0.05);
}

/* Fine bubbles give up rich gas within the first tenth of their way, where it counts who goes with
 * whom, and dilute gas all along it. What escapes by the default slices is within a twentieth of
 * what 32 say, of dilute gas within a fiftieth. */
static void fine_bubbles(void **state)
{
    (void)state;
    static const struct {
        double NO2, NO, diameter_m, peroxide, part;
    } feed[] = {{0.45, 0.45, 0.7e-3, 0.05, 0.05}, {0.45, 0.45, 1e-3, 0.05, 0.05},
                {0.6, 0.05, 0.7e-3, 0.05, 0.05},  {0.2, 0.2, 1e-3, 0.05, 0.05},
                {20e-6, 0.0, 0.3e-3, 0.0, 0.02},  {1e-3, 0.0, 0.5e-3, 0.0, 0.02}};
    for (size_t i = 0; i < sizeof feed / sizeof feed[0]; i++) {
        struct nxw_case c = rich_feed();
        c.source.NO2_fraction = feed[i].NO2;
        c.source.NO_fraction = feed[i].NO;
        c.source.O2_fraction = feed[i].peroxide > 0.0 ? 0.0 : 0.2;
        c.stages[0].bubble_diameter_m = feed[i].diameter_m;
        c.stages[0].peroxide_mass_fraction = feed[i].peroxide;
        const struct answer coarse = answer(&c);
        c.slices = 32;
        const struct answer fine = answer(&c);
        assert_near(coarse.escaped, fine.escaped, feed[i].part * fine.escaped);
    }
}

/* Same case, same bits. */
static void repeats(void **state)
{
    (void)state;
    for (int i = 0; i < CASES; i += 2) {
        const struct nxw_case c = make(i);
        const struct answer a = answer(&c), b = answer(&c);
        compare(&a, &b, 0.0, 0.0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(slices),
        cmocka_unit_test(tolerance),
        cmocka_unit_test(rich_feed_by_slices),
        cmocka_unit_test(fine_bubbles),
        cmocka_unit_test(repeats),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
