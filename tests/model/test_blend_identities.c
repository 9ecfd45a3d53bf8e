/* Layer (a): masses and heat of a mixture do not depend on the way there. */
#include <string.h>

#include "../assert_near.h"
#include "../good_blend.h"
#include "noxwash.h"

/* In any order, in one step or in two: the same liquid. Heat is kept, so is every mass. */
static void order_does_not_matter(void **state)
{
    (void)state;
    const struct nxw_blend_part a = {
        .mass_kg = 0.2, .acid_mass_fraction = 0.6, .temperature_K = C(18)};
    const struct nxw_blend_part b = {.mass_kg = 0.5, .temperature_K = C(5)};
    const struct nxw_blend_part c = {
        .mass_kg = 0.3, .peroxide_mass_fraction = 0.1, .temperature_K = C(22)};
    const struct nxw_blend_part abc[] = {a, b, c}, cba[] = {c, b, a}, ab[] = {a, b};
    const struct nxw_blend one = good(abc, 3), other = good(cba, 3), first = good(ab, 2);
    assert_near(one.temperature_K, other.temperature_K, 1e-9);
    assert_near(one.volume_20_m3, other.volume_20_m3, 1e-15);
    const struct nxw_blend_part then[] = {{.mass_kg = first.mass_kg,
                                           .acid_mass_fraction = first.acid_mass_fraction,
                                           .temperature_K = first.temperature_K},
                                          c};
    const struct nxw_blend two = good(then, 2);
    assert_near(two.temperature_K, one.temperature_K, 1e-9);
    assert_near(two.acid_mass_fraction, one.acid_mass_fraction, 1e-15);
    assert_near(two.peroxide_mass_fraction, 0.03, 1e-15);
    assert_near(one.heat_J, first.heat_J + two.heat_J, 1e-6);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(order_does_not_matter),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
