/* Layer (b): bubbles and heat against hand-worked values. */
#include "../assert_near.h"
#include "../bubble_kL.h"

#include "properties/acid.h"
#include "properties/heat.h"
#include "properties/water.h"
#include "stage/bubble.h"

/* Hand-worked values for water at 25 degC: rho 997.05, mu 8.90e-4, sigma 0.07197, gas 1.184. */
static void test_bubbles(void **state)
{
    (void)state;
    const struct nxw_liquid_state water = {997.05, 8.90e-4, 0.07197};
    struct nxw_bubble_liquid l;
    nxw_bubble_liquid_prepare(&water, 1.184, &l);
    /* Tomiyama, contaminated (published, secondary transcription): 1e-3 */
    assert_relative(nxw_rise_velocity_m_s(&l, 1e-3), 0.1161, 1e-3);
    assert_relative(nxw_rise_velocity_m_s(&l, 2e-3), 0.2137, 1e-3);
    assert_relative(nxw_rise_velocity_m_s(&l, 4e-3), 0.2360, 1e-3);
    assert_relative(nxw_rise_velocity_m_s(&l, 10e-3), 0.2518, 1e-3);
    /* Gaddis and Vogelpohl 1986, from memory: 6 mm tube, 1 L/min, 10.353 mm; 0.1 L/min 6.646 mm */
    const double nu = 8.90e-4 / 997.05;
    assert_relative(nxw_orifice_diameter_m(6e-3, 0.07197, 997.05, nu, 1.0 / 60000.0), 10.353e-3,
                    1e-3);
    assert_relative(nxw_orifice_diameter_m(6e-3, 0.07197, 997.05, nu, 0.1 / 60000.0), 6.646e-3,
                    1e-3);
    /* Higbie and Frossling blended at 1, 2, 4 mm, D 1.4e-9: 1.174e-4, 2.955e-4, 3.138e-4 m/s */
    assert_relative(bubble_kL_m_s(&l, 1e-3, 0.1161, 1.4e-9, 1.8e-3), 1.174e-4, 2e-3);
    assert_relative(bubble_kL_m_s(&l, 2e-3, 0.2137, 1.4e-9, 1.8e-3), 2.955e-4, 2e-3);
    assert_relative(bubble_kL_m_s(&l, 4e-3, 0.2360, 1.4e-9, 1.8e-3), 3.138e-4, 2e-3);
    /* frit of 100 um pores, 25 mm, 1 L/min: 1.810 mm (own closure) */
    assert_relative(nxw_frit_diameter_m(100e-6, 0.025, &water, 1.0 / 60000.0, 0.05), 1.810e-3,
                    3e-3);
    /* wall: 0.985, 0.941, 0.868 at d/D 0.1, 0.2, 0.3 */
    assert_near(nxw_wall_factor(0.1), 0.985, 5e-4);
    assert_near(nxw_wall_factor(0.3), 0.868, 5e-4);
}

/* Deckwer 1980, from memory: u_G 8.48826e-3 m/s, Pr 6.1303: 2779.8 W/(m2 K). */
static void test_heat(void **state)
{
    (void)state;
    const struct nxw_liquid_state water = {997.05, 8.90e-4, 0.07197};
    assert_relative(nxw_inside_film_W_m2K(&water, 8.48826e-3), 2779.8, 1e-3);
    /* resistances in series by hand, inner side wall 60 mm x 100 mm: 1/2538 + 2.5e-3/1.14 +
     * 1/10.3 on 0.01885 m2 is 0.189 W/K */
    struct nxw_case c;
    nxw_case_init(&c);
    assert_relative(nxw_heat_UA_W_K(&c.stages[0], &c.parameters, 300.0, 293.15, 0.1,
                                    1.0 / 60000.0 / (0.25 * 3.14159265 * 0.06 * 0.06), &water),
                    0.189, 0.01);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_bubbles),
        cmocka_unit_test(test_heat),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
