/* Layer (a): strength from density and back. */
#include <string.h>

#include "../assert_near.h"
#include "../random_draw.h"
#include "../strength_reading.h"
#include "noxwash.h"

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

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(round_trips),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
