/* Strength from density. Layer (c): printed tables; (b): round trips and limits; coverage of the
 * 95 % intervals by drawing. */
#include <string.h>

#include "../assert_near.h"
#include "../random_draw.h"
#include "noxwash.h"

#define C(degC) ((degC) + 273.15)

static struct nxw_density_reading exact(double density_kg_m3, double temperature_K)
{
    return (struct nxw_density_reading){.density_kg_m3 = density_kg_m3,
                                        .temperature_K = temperature_K};
}

static struct nxw_strength good(const struct nxw_density_reading *r)
{
    struct nxw_strength out;
    struct nxw_diagnosis d;
    assert_int_equal(nxw_strength_from_density(r, &out, &d), NXW_OK);
    assert_int_equal(out.bytes, sizeof out);
    assert_string_equal(d.text, "");
    return out;
}

/* CRC Handbook, 102nd ed. 2021, Concentrative Properties, nitric acid at 20 degC (published): wt%,
 * mol/L, g/cm3. Tolerance: half of the last digit of the density (0.05 kg/m3 at 6 kg/m3 per wt%)
 * plus what rows left out of our curve cost; mol/L half of its last digit and that of the density.
 */
static void CRC_rows(void **state)
{
    (void)state;
    static const double rows[][3] = {
        {1, 0.159, 1.0037},  {2, 0.32, 1.0091},   {3, 0.483, 1.0146},  {4, 0.648, 1.0202},
        {5, 0.814, 1.0257},  {6, 0.982, 1.0314},  {7, 1.152, 1.037},   {8, 1.324, 1.0427},
        {9, 1.498, 1.0485},  {10, 1.673, 1.0543}, {11, 1.851, 1.0602}, {12, 2.03, 1.066},
        {13, 2.212, 1.072},  {14, 2.395, 1.078},  {15, 2.58, 1.084},   {16, 2.768, 1.0901},
        {17, 2.958, 1.0963}, {18, 3.149, 1.1025}, {19, 3.343, 1.1087}, {20, 3.539, 1.115},
        {22, 3.937, 1.1277}, {24, 4.344, 1.1406}, {26, 4.76, 1.1536},  {28, 5.185, 1.1668},
        {30, 5.618, 1.1801}, {32, 6.06, 1.1934},  {34, 6.512, 1.2068}, {36, 6.971, 1.2202},
        {38, 7.439, 1.2335}, {40, 7.913, 1.2466}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const struct nxw_density_reading r = exact(1e3 * rows[i][2], C(20.0));
        const struct nxw_strength s = good(&r);
        assert_near(100.0 * s.mass_fraction, rows[i][0], 0.011);
        assert_near(1e-3 * s.mol_m3, rows[i][1], 0.0015);
        assert_near(s.kg_m3, 0.01 * rows[i][0] * 1e3 * rows[i][2], 0.13);
        if (rows[i][0] < 40.0)
            assert_int_equal(s.basis, NXW_STRENGTH_PRINTED);
        double w;
        assert_int_equal(nxw_strength_from_concentration(63.012 * rows[i][1], C(20.0), &w), NXW_OK);
        assert_near(100.0 * w, rows[i][0], 0.006); /* half of the last digit of mol/L: 0.003 */
    }
}

/* Perry, 6th ed. (ICT), g/cm3 (published, secondary transcription): wt%, 0, 10, 20, 30, 40, 60, 80
 * degC; and densities against molality, 10, 25, 40, 55, 70, 85 degC (published, secondary
 * transcription). Every cell lies in the band that is stated for the curve (two standard errors),
 * read as strength. */
static void hot_and_cold_rows(void **state)
{
    (void)state;
    static const double t_a[] = {0, 10, 20, 30, 40, 60, 80};
    static const double a[][8] = {{1, 1.0058, 1.00534, 1.00364, 1.0009, 0.9973, 0.9882, 0.9767},
                                  {5, 1.0296, 1.02816, 1.02563, 1.0222, 1.0182, 1.0084, 0.9965},
                                  {10, 1.0606, 1.0578, 1.0543, 1.0503, 1.0455, 1.0347, 1.0221},
                                  {14, 1.0862, 1.0824, 1.0781, 1.0735, 1.0681, 1.0564, 1.0432}};
    static const double t_b[] = {10, 25, 40, 55, 70, 85};
    static const double b[][7] = {{3.0544, 1.01700, 1.01336, 1.00801, 1.00116, 0.99294, 0.98347},
                                  {11.1920, 1.06480, 1.05915, 1.05198, 1.04366, 1.03438, 1.02429},
                                  {20.1310, 1.12152, 1.11316, 1.10368, 1.09346, 1.08273, 1.07160},
                                  {27.4350, 1.16977, 1.15873, 1.14787, 1.13654, 1.12444, 1.11147}};
    for (size_t i = 0; i < 4; i++) {
        for (size_t j = 0; j < 7; j++) {
            const struct nxw_density_reading r = exact(1e3 * a[i][j + 1], C(t_a[j]));
            const struct nxw_strength s = good(&r);
            assert_near(100.0 * s.mass_fraction, a[i][0], 200.0 * s.table_error);
        }
        for (size_t j = 0; j < 6; j++) {
            const struct nxw_density_reading r = exact(1e3 * b[i][j + 1], C(t_b[j]));
            const struct nxw_strength s = good(&r);
            assert_near(100.0 * s.mass_fraction, b[i][0], 200.0 * s.table_error);
        }
    }
}

/* Trade points at 60 F: 36, 38, 40, 42 degrees Baume, modulus 145 (from memory, high), inside the
 * band stated for the curve; to 61 wt% also within 0.2 wt%. SG 60/60 F = 145/(145 - Be)
 * (published). */
static void trade_points(void **state)
{
    (void)state;
    static const double points[][2] = {{36, 52.30}, {38, 56.52}, {40, 61.38}, {42, 67.18}};
    const double t_K = C(140.0 / 9.0);
    for (int i = 0; i < 4; i++) {
        const double gravity = 145.0 / (145.0 - points[i][0]);
        const struct nxw_density_reading r =
            exact(gravity * nxw_pure_water_density_kg_m3(t_K), t_K);
        const struct nxw_strength s = good(&r);
        assert_near(100.0 * s.mass_fraction, points[i][1],
                    points[i][1] < 65.0 ? 0.2 : 200.0 * s.table_error);
        assert_int_equal(s.basis, NXW_STRENGTH_CONFIRMED);
    }
    /* "42 Be" is SG 1.4078, not 1.42 */
    assert_near(145.0 / (145.0 - 42.0), 1.4078, 5e-5);
}

/* Water, g/cm3: CIPM (Tanaka 2001), from memory (high). */
static void water_of_the_scales(void **state)
{
    (void)state;
    static const double rows[][2] = {
        {4, 999.975}, {15, 999.103}, {15.556, 999.016}, {20, 998.207}, {25, 997.048}};
    for (int i = 0; i < 5; i++)
        assert_near(nxw_pure_water_density_kg_m3(C(rows[i][0])), rows[i][1], 0.005);
}

/* 25e-6 per K (ISO 1768): at 30 degC with a 20 degC hydrometer 0.00025 of the reading too much. */
static void glass(void **state)
{
    (void)state;
    assert_near(nxw_hydrometer_density_kg_m3(1300.0, C(30.0), C(20.0), 25e-6), 1299.675, 1e-9);
    assert_near(nxw_hydrometer_density_kg_m3(1300.0, C(10.0), C(20.0), 25e-6), 1300.325, 1e-9);
    assert_near(nxw_hydrometer_reading_kg_m3(1299.675, C(30.0), C(20.0), 25e-6), 1300.0, 1e-9);
}

static void round_trips(void **state)
{
    (void)state;
    for (double t = -10.0; t <= 95.0; t += 7.5)
        for (double wt = 0.0; wt <= 85.0; wt += 0.25) {
            const double w = 0.01 * wt, rho = nxw_acid_density_kg_m3(w, C(t));
            const struct nxw_density_reading r = exact(rho, C(t));
            const struct nxw_strength s = good(&r);
            assert_near(s.mass_fraction, w, 1e-10);
            assert_near(s.density_20_kg_m3, nxw_acid_density_kg_m3(w, C(20.0)), 1e-6);
            assert_true(s.low <= s.mass_fraction && s.mass_fraction <= s.high);
            double back;
            assert_int_equal(nxw_strength_from_concentration(s.kg_m3, C(t), &back), NXW_OK);
            assert_near(back, w, 1e-10);
        }
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
    double w;
    assert_int_equal(nxw_strength_from_concentration(1600.0, C(20.0), &w), NXW_ERROR_RANGE);
    assert_true(isnan(w));
    assert_int_equal(nxw_strength_from_concentration(-1.0, C(20.0), &w), NXW_ERROR_RANGE);
}

/* 12 wt% NO2 made 1.57 of 1.5128 g/cm3 (secondary transcription): 4.8 kg/m3 per wt%. */
static void other_solutes(void **state)
{
    (void)state;
    struct nxw_density_reading r = exact(nxw_acid_density_kg_m3(0.65, C(20.0)) + 4.8, C(20.0));
    r.NO2_mass_fraction = 0.01;
    struct nxw_strength s = good(&r);
    assert_near(s.mass_fraction, 0.65 * 0.99, 1e-9);
    assert_near(100.0 * s.other_error, 0.99 * 0.5 / 4.7, 0.01); /* +- 1 kg/m3 per wt%, 95 of 100 */
    assert_near((1570.0 - 1512.8) / 12.0, 4.8, 0.05);

    r = exact(nxw_acid_density_kg_m3(0.12, C(20.0)), C(20.0));
    r.HNO2_mass_fraction = 0.02;
    s = good(&r);
    assert_near(s.mass_fraction, 0.10, 1e-10);
    assert_near(s.other_error, 0.005, 1e-9);

    r = exact(nxw_liquid_density_kg_m3(0.10, 0.05, C(30.0)), C(30.0));
    r.H2O2_mass_fraction = 0.05;
    s = good(&r);
    assert_near(s.mass_fraction, 0.10, 1e-10);
    r.H2O2_mass_fraction = 0.0; /* left-over peroxide reads as acid: 0.0037 g/cm3 per wt% */
    s = good(&r);
    assert_near(s.mass_fraction, 0.10 + 0.05 * 0.0037 / 0.0060, 0.004);
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

/* ------------------------------------------------------------------------------- coverage */

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
        cmocka_unit_test(CRC_rows),      cmocka_unit_test(hot_and_cold_rows),
        cmocka_unit_test(trade_points),  cmocka_unit_test(water_of_the_scales),
        cmocka_unit_test(glass),         cmocka_unit_test(round_trips),
        cmocka_unit_test(flat_limit),    cmocka_unit_test(refusals),
        cmocka_unit_test(other_solutes), cmocka_unit_test(sizes_of_errors),
        cmocka_unit_test(coverage),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
