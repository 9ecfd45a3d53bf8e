/* Layer (b): mixing worked by hand, and what cannot be mixed. */
#include <string.h>

#include "../assert_near.h"
#include "../good_blend.h"
#include "noxwash.h"

static void water_with_water(void **state)
{
    (void)state;
    const struct nxw_blend_part parts[] = {{.mass_kg = 0.1, .temperature_K = C(20)},
                                           {.mass_kg = 0.3, .temperature_K = C(40)}};
    const struct nxw_blend b = good(parts, 2);
    assert_near(b.mass_kg, 0.4, 1e-15);
    assert_near(b.temperature_K, C(35), 1e-9);
    assert_near(b.heat_J, 0.0, 0.0);
    assert_near(b.volume_20_m3, b.parts_volume_20_m3, 1e-15);
}

/* 100 g of water at 20 degC melts 100*4.18*20/333.6 = 25 g of 100 g of ice; with acid the same
 * liquid goes on melting it, below 0 degC. */
static void ice_that_stays(void **state)
{
    (void)state;
    struct nxw_blend_part parts[] = {{.mass_kg = 0.1, .temperature_K = C(20)},
                                     {.mass_kg = 0.1, .temperature_K = C(0), .ice = true}};
    struct nxw_blend b = good(parts, 2);
    assert_near(1e3 * b.ice_left_kg, 100.0 - 25.07, 0.1);
    assert_near(b.temperature_K, C(0), 1e-6);
    parts[0].acid_mass_fraction = 0.10;
    b = good(parts, 2);
    assert_true(b.ice_left_kg > 0.0 && b.temperature_K < C(-1.0));
    assert_near(b.acid_mass_fraction * (b.mass_kg - b.ice_left_kg), 0.01, 1e-12);
    parts[0].mass_kg = 1.0; /* plenty of heat: none left */
    b = good(parts, 2);
    assert_near(b.ice_left_kg, 0.0, 0.0);
    parts[0].acid_mass_fraction = 0.0; /* by hand: (1.0*20*4181.3 - 0.1*333600)/(1.1*4181.3) */
    b = good(parts, 2);
    assert_near(b.temperature_K, C(0) + (20.0 * 4181.3 - 33360.0) / (1.1 * 4181.3), 1e-2);
}

static void too_hot_and_too_cold(void **state)
{
    (void)state;
    const struct nxw_blend_part hot[] = {
        {.mass_kg = 1.0, .acid_mass_fraction = 0.95, .temperature_K = C(40)},
        {.mass_kg = 0.4, .temperature_K = C(60)}};
    assert_true(good(hot, 2).boils);
    const struct nxw_blend_part mild[] = {
        {.mass_kg = 1.0, .acid_mass_fraction = 0.68, .temperature_K = C(20)},
        {.mass_kg = 6.0, .temperature_K = C(20)}};
    assert_false(good(mild, 2).boils);
    const struct nxw_blend_part cold = {.mass_kg = 1.0, .temperature_K = C(-5)};
    struct nxw_blend out;
    struct nxw_diagnosis d;
    assert_int_equal(nxw_blend(&cold, 1, &out, &d), NXW_ERROR_RANGE);
    assert_string_equal(d.text, "the mixture would be below its freezing point; begin with warmer "
                                "parts");
    assert_true(isnan(out.temperature_K) && isnan(out.acid_mass_fraction));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(water_with_water),
        cmocka_unit_test(ice_that_stays),
        cmocka_unit_test(too_hot_and_too_cold),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
