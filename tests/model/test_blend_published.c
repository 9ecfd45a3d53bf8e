/* Layer (c): mixing against published heats and densities. */
#include <string.h>

#include "../assert_near.h"
#include "../good_blend.h"
#include "noxwash.h"

/* Parker 1965 as printed in the CRC Handbook (published): a mole of HNO3 at 10 mol/kg holds 3933 J
 * over endless dilution, at 1 mol/kg 506 J, at 20 mol/kg 9498 J. */
static void Parker_heats(void **state)
{
    (void)state;
    const double M = 0.063012;
    static const double from[][2] = {{10, 3933}, {20, 9498}, {5, 1310}};
    for (int i = 0; i < 3; i++) {
        const double water_kg = 1.0 / from[i][0], acid_kg = M + water_kg;
        const struct nxw_blend_part parts[] = {
            {.mass_kg = acid_kg, .acid_mass_fraction = M / acid_kg, .temperature_K = C(25)},
            {.mass_kg = 1.0 - water_kg, .temperature_K = C(25)}};
        const struct nxw_blend b = good(parts, 2);
        assert_near(b.heat_J, from[i][1] - 506.0, 0.5); /* half a unit of the last digit */
        assert_near(b.acid_kg, M, 1e-15);
        /* all of it warms the liquid: 1.063 kg of 5.93 wt%, cp/cp_w = 1 - 1.11 w + 0.82 w2 */
        const double w = M / (1.0 + M), cp = 4181.3 * (1.0 - 1.11 * w + 0.82 * w * w);
        assert_near(b.temperature_K - C(25), b.heat_J / (cp * (1.0 + M)), 2e-3);
    }
}

/* 100 g of 50 wt% (1.3100 g/cm3, from memory, high) and 100 g of water (0.9982) are 176.52 mL by
 * themselves; 200 g of 25 wt% (1.1471, between the printed 1.1406 and 1.1536) 174.35 mL. */
static void volumes_contract(void **state)
{
    (void)state;
    const struct nxw_blend_part parts[] = {
        {.mass_kg = 0.1, .acid_mass_fraction = 0.5, .temperature_K = C(20)},
        {.mass_kg = 0.1, .temperature_K = C(20)}};
    const struct nxw_blend b = good(parts, 2);
    assert_near(b.acid_mass_fraction, 0.25, 1e-15);
    assert_near(1e6 * b.parts_volume_20_m3, 176.52, 0.02);
    assert_near(1e6 * b.volume_20_m3, 174.35, 0.02);
    assert_near(b.density_20_kg_m3, 1147.1, 0.1);
    assert_true(b.temperature_K > C(25));
}

/* 30 wt% peroxide has cp 3.86 kJ/(kg K) (Laliberte 2009, computed), water 4.18: 100 g at 40 degC
 * and 100 g of water at 20 degC meet at 20 + 20*3.86/(3.86 + 4.18) degC; 0.1 K is 2 % of cp. */
static void peroxide_holds_less_heat(void **state)
{
    (void)state;
    const struct nxw_blend_part parts[] = {
        {.mass_kg = 0.1, .peroxide_mass_fraction = 0.30, .temperature_K = C(40)},
        {.mass_kg = 0.1, .temperature_K = C(20)}};
    const struct nxw_blend b = good(parts, 2);
    assert_near(b.temperature_K, C(20) + 20.0 * 3.86 / (3.86 + 4.18), 0.1);
    assert_near(b.peroxide_mass_fraction, 0.15, 1e-15);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(Parker_heats),
        cmocka_unit_test(volumes_contract),
        cmocka_unit_test(peroxide_holds_less_heat),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
