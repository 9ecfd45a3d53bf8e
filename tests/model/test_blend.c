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

/* Acid in any part, peroxide above 12 wt% in any, in either order and in one part; alone, either
 * is good, and so are both at 12 wt%. */
static void acid_with_peroxide(void **state)
{
    (void)state;
    static const struct {
        double acid, peroxide, both_acid, both_peroxide;
        bool good;
    } rows[] = {{0.65, 0.60, 0.0, 0.0, false}, {1e-6, 0.121, 0.0, 0.0, false},
                {0.65, 0.12, 0.0, 0.0, true},  {0.0, 0.60, 0.0, 0.0, true},
                {0.65, 0.0, 0.0, 0.0, true},   {0.0, 0.0, 0.05, 0.30, false},
                {0.0, 0.0, 0.05, 0.12, true},  {0.0, 0.30, 0.05, 0.01, false}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        for (int order = 0; order < 2; order++) {
            struct nxw_blend_part parts[4] = {
                {.mass_kg = 5.0, .temperature_K = C(20)},
                {.mass_kg = 1.0, .acid_mass_fraction = rows[i].acid, .temperature_K = C(20)},
                {.mass_kg = 1e-3,
                 .peroxide_mass_fraction = rows[i].peroxide,
                 .temperature_K = C(20)},
                {.mass_kg = 1.0,
                 .acid_mass_fraction = rows[i].both_acid,
                 .peroxide_mass_fraction = rows[i].both_peroxide,
                 .temperature_K = C(20)}};
            const struct nxw_blend_part last = parts[3];
            if (order == 1) {
                parts[3] = parts[1];
                parts[1] = last;
            }
            struct nxw_blend out;
            struct nxw_diagnosis d;
            const enum nxw_status status = nxw_blend(parts, 4, &out, &d);
            assert_int_equal(status, rows[i].good ? NXW_OK : NXW_ERROR_RANGE);
            assert_true(rows[i].good ? out.peroxide_mass_fraction <= 0.6 : isnan(out.mass_kg));
            assert_true(rows[i].good || strstr(d.text, "with water first") != NULL);
            if (rows[i].good && out.acid_kg > 0.0)
                assert_true(out.peroxide_mass_fraction <= NXW_PEROXIDE_MOST);
        }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(water_with_water),
        cmocka_unit_test(ice_that_stays),
        cmocka_unit_test(too_hot_and_too_cold),
        cmocka_unit_test(acid_with_peroxide),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
