/* Layer (c): strength from density against printed tables. */
#include <string.h>

#include "../assert_near.h"
#include "../random_draw.h"
#include "../strength_reading.h"
#include "noxwash.h"

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

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(CRC_rows),      cmocka_unit_test(hot_and_cold_rows),
        cmocka_unit_test(trade_points),  cmocka_unit_test(water_of_the_scales),
        cmocka_unit_test(other_solutes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
