/* Layer (d): the tabled solution of the rise velocity against its equation. */
#include "../assert_near.h"
#include "stage/bubble.h"

static const struct nxw_liquid_state WATER = {997.05, 8.90e-4, 0.07197};
static const double NU = 8.90e-4 / 997.05;

/* The velocity below the join solves 18 Re (1 + 0.15 Re^0.687) = Ar. */
static void viscous_branch_solves_its_equation(void **state)
{
    (void)state;
    struct nxw_bubble_liquid l;
    nxw_bubble_liquid_prepare(&WATER, 1.184, &l);
    for (double d = 2e-6; d < 1.2e-3; d *= 1.05) {
        const double Re = nxw_rise_velocity_m_s(&l, d) * d / NU;
        const double Ar = 9.80665 * 995.866 * 997.05 * d * d * d / (8.90e-4 * 8.90e-4);
        assert_relative(18.0 * Re * (1.0 + 0.15 * pow(Re, 0.687)), Ar, 1e-4);
    }
}

/* The same all along the table and beyond its ends, in a liquid so taut that nothing distorts. */
static void every_row_solves_it(void **state)
{
    (void)state;
    struct nxw_bubble_liquid l;
    nxw_bubble_liquid_prepare(&WATER, 1.184, &l);
    l.tension_m3_s2 = 1e12;
    for (double ln_Ar = -10.0; ln_Ar < 30.0; ln_Ar += 0.1) {
        const double d = exp((ln_Ar - l.ln_archimedes_per_m3) / 3.0);
        const double Re = nxw_rise_velocity_m_s(&l, d) * d / NU;
        assert_relative(18.0 * Re * (1.0 + 0.15 * pow(Re, 0.687)), exp(ln_Ar), 2e-4);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(viscous_branch_solves_its_equation),
        cmocka_unit_test(every_row_solves_it),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
