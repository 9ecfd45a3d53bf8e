/* Layer (b): strength from density: limits, refusals, sizes of errors; coverage of the 95 %
 * intervals by drawing. */
#include <string.h>

#include "../assert_near.h"
#include "../random_draw.h"
#include "../strength_reading.h"
#include "noxwash.h"

/* 25e-6 per K (ISO 1768): at 30 degC with a 20 degC hydrometer 0.00025 of the reading too much. */
static void glass(void **state)
{
    (void)state;
    assert_near(nxw_hydrometer_density_kg_m3(1300.0, C(30.0), C(20.0), 25e-6), 1299.675, 1e-9);
    assert_near(nxw_hydrometer_density_kg_m3(1300.0, C(10.0), C(20.0), 25e-6), 1300.325, 1e-9);
    assert_near(nxw_hydrometer_reading_kg_m3(1299.675, C(30.0), C(20.0), 25e-6), 1300.0, 1e-9);
}

/* The curve rises by 3 kg/m3 for 1 wt% up to where it is read, and by less soon after. */
static void flat_limit(void **state)
{
    (void)state;
    for (double w = 0.005; w <= 1.0; w += 0.005) {
        const double slope = nxw_acid_density_kg_m3(w, C(20.0)) -
                             nxw_acid_density_kg_m3(w - 0.005, C(20.0)); /* of half a wt% */
        if (w <= 0.8501)
            assert_true(slope >= 1.5);
        else if (w > 0.87 && w < 0.95)
            assert_true(slope > 0.0 && slope < 1.5);
    }
    assert_int_equal(nxw_strength_basis(0.40), NXW_STRENGTH_PRINTED);
    assert_int_equal(nxw_strength_basis(0.41), NXW_STRENGTH_CONFIRMED);
    assert_int_equal(nxw_strength_basis(0.71), NXW_STRENGTH_REMEMBERED);
    assert_int_equal(nxw_strength_basis(0.86), NXW_STRENGTH_FLAT);
}

/* Half of what is printed as doubt, kg/m3: 0.5 to 40 wt%, 0.6 from 45, 1.4 more from 70; and by
 * each kelvin above 20 degC 0.06, below it 0.1, three times that from 70 wt%. Half-way between. */
static void error_of_the_curve(void **state)
{
    (void)state;
    static const double at[][3] = {{0.30, 0.0, 0.25},   {0.40, 0.0, 0.25},   {0.425, 0.0, 0.275},
                                   {0.45, 0.0, 0.30},   {0.65, 0.0, 0.30},   {0.675, 0.0, 0.65},
                                   {0.70, 0.0, 1.00},   {0.95, 0.0, 1.00},   {0.30, 10.0, 0.55},
                                   {0.30, -10.0, 0.75}, {0.675, 10.0, 1.25}, {0.80, -10.0, 2.50}};
    for (size_t i = 0; i < sizeof at / sizeof at[0]; i++)
        assert_near(nxw_acid_density_error_kg_m3(at[i][0], C(20.0) + at[i][1]), at[i][2], 1e-12);
}

static void refused(const struct nxw_density_reading *r, const char *text)
{
    struct nxw_strength out;
    struct nxw_diagnosis d;
    assert_int_equal(nxw_strength_from_density(r, &out, &d), NXW_ERROR_RANGE);
    assert_string_equal(d.text, text);
    assert_true(isnan(out.mass_fraction) && isnan(out.low) && isnan(out.mol_m3));
}

static void refusals(void **state)
{
    (void)state;
    struct nxw_density_reading r = exact(1300.0, C(-10.5));
    refused(&r, "the density of nitric acid is known from -10 to 95 degC");
    r = exact(1300.0, C(95.5));
    refused(&r, "the density of nitric acid is known from -10 to 95 degC");
    r = exact(995.0, C(20.0));
    r.density_error_kg_m3 = 0.5;
    refused(&r, "0.9950 g/cm3 is lighter than the liquid would be without any acid, 0.9982 g/cm3 "
                "at 20.0 degC, and by more than the errors; look again at the scale of the "
                "hydrometer and at the temperature");
    r.density_error_kg_m3 = 2.0; /* now within the errors: nothing, and at most a little */
    const struct nxw_strength s = good(&r);
    assert_near(s.mass_fraction, 0.0, 0.0);
    assert_near(s.low, 0.0, 0.0);
    assert_true(s.high > 0.0 && s.high < 0.01);
    r = exact(1490.0, C(20.0));
    refused(&r, "1.4900 g/cm3 is more than 1.4686 g/cm3, acid of 85 wt% at 20.0 degC; above it the "
                "curve is too flat to read a strength from (1 wt% changes the density by less "
                "than 0.003 g/cm3, and dissolved NO2 by more): titrate");
    r = exact(1010.0, C(20.0));
    r.HNO2_mass_fraction = 0.2;
    refused(&r, "the nitrous acid given is more than all the density can hold");
    r = exact(1450.0, C(20.0)); /* pure peroxide weighs 1450 kg/m3; with acid, together 100.4 wt% */
    r.H2O2_mass_fraction = 0.97;
    refused(&r, "with so much peroxide no acid makes up that density");
    double w;
    assert_int_equal(nxw_strength_from_concentration(1600.0, C(20.0), &w), NXW_ERROR_RANGE);
    assert_true(isnan(w));
    assert_int_equal(nxw_strength_from_concentration(-1.0, C(20.0), &w), NXW_ERROR_RANGE);
}

/* 5 K at 50 wt% is 1.0 wt%; 0.001 g/cm3 is 0.16 wt% (computed from Laliberte 2009). */
static void sizes_of_errors(void **state)
{
    (void)state;
    struct nxw_density_reading r = exact(nxw_acid_density_kg_m3(0.50, C(20.0)), C(20.0));
    r.density_error_kg_m3 = 1.0;
    r.temperature_error_K = 5.0;
    const struct nxw_strength s = good(&r);
    assert_near(100.0 * s.reading_error, 0.16, 0.005);
    assert_near(100.0 * s.temperature_error, 1.0, 0.05);
    assert_near(s.standard_error,
                sqrt(s.reading_error * s.reading_error + s.temperature_error * s.temperature_error +
                     s.table_error * s.table_error),
                1e-12);
    /* a reading at 35 degC looked up at 20 degC: 15 K of 1.19 kg/m3, 6.2 kg/m3 for 1 wt% */
    r = exact(nxw_acid_density_kg_m3(0.50, C(35.0)), C(20.0));
    assert_near(100.0 * good(&r).mass_fraction, 50.0 - 15.0 * 1.19 / 6.2, 0.1);
}

/* The true strength lies in the printed interval 95 times of 100, whatever errs: reading,
 * thermometer, curve. 4000 draws know the share to 0.35 % (standard error). */
static void coverage(void **state)
{
    (void)state;
    enum { DRAWS = 4000 };
    static const double cases[][4] = {/* wt%, degC, g/cm3, K: standard errors */
                                      {3, 20, 0.0005, 0.25},  {6.7, 28, 0.0005, 0.25},
                                      {20, 35, 0.001, 1.0},   {42, 15, 0.0005, 2.0},
                                      {50, 60, 0.001, 0.5},   {60, 20, 0.002, 0.25},
                                      {68, 25, 0.0005, 0.25}, {75, 20, 0.0005, 0.25}};
    random_state = 20240229;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const double *c = cases[i], w = 0.01 * c[0], T = C(c[1]);
        int held = 0;
        for (int k = 0; k < DRAWS; k++) {
            const double rho = nxw_acid_density_kg_m3(w, T);
            struct nxw_density_reading r =
                exact(rho + 1e3 * c[2] * draw_normal() +
                          nxw_acid_density_error_kg_m3(w, T) * draw_normal(),
                      T + c[3] * draw_normal());
            r.density_error_kg_m3 = 1e3 * c[2];
            r.temperature_error_K = c[3];
            const struct nxw_strength s = good(&r);
            held += s.low <= w && w <= s.high;
        }
        assert_near(100.0 * held / DRAWS, 95.0, 1.5);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(glass),           cmocka_unit_test(error_of_the_curve),
        cmocka_unit_test(flat_limit),      cmocka_unit_test(refusals),
        cmocka_unit_test(sizes_of_errors), cmocka_unit_test(coverage),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
