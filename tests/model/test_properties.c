/* Layers (b) and (c): properties, bubbles and heat against published rows and hand-worked values.
 */
#include "../assert_near.h"

#include "acid.h"
#include "bubble.h"
#include "heat.h"
#include "water.h"

/* Perry's Handbook, 6th ed. (ICT vol. III; published, secondary transcription): g/cm3. Our 20 degC
 * row is the CRC's, the temperature change Laliberte's, whose own fit is within 0.0016: together
 * 0.0022 (worst 0.0020 at 14 wt%, 0 degC). */
static void test_acid_density(void **state)
{
    (void)state;
    const struct {
        double w, t, rho;
    } row[] = {{0.05, 0, 1.0296}, {0.05, 40, 1.0182}, {0.10, 10, 1.0578}, {0.10, 60, 1.0347},
               {0.14, 0, 1.0862}, {0.14, 25, 1.0757}, {0.14, 50, 1.0624}, {0.01, 30, 1.0009}};
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++)
        assert_near(nxw_acid_density_kg_m3(row[i].w, row[i].t + 273.15) * 1e-3, row[i].rho, 0.0022);
    /* 68 wt% at 20 degC 1.4048 (Perry); water 0.998207 (CIPM, from memory) */
    assert_near(nxw_acid_density_kg_m3(0.68, 293.15) * 1e-3, 1.4048, 1e-4);
    assert_near(nxw_water_density_kg_m3(293.15), 998.207, 0.01);
    /* molality table consistent with IAPWS-95 (published, secondary transcription): 6 mol/kg */
    assert_near(nxw_acid_density_kg_m3(0.274350, 298.15) * 1e-3, 1.15873, 0.0016);
    assert_near(nxw_acid_density_kg_m3(0.274350, 328.15) * 1e-3, 1.13654, 0.0025);
    /* 50 wt% H2O2 at 20 degC 1.1953, 30 wt% at 18 degC 1.1122 (from memory, high): 0.002 */
    assert_near(nxw_peroxide_density_kg_m3(0.50, 293.15) * 1e-3, 1.1953, 0.002);
    assert_near(nxw_peroxide_density_kg_m3(0.30, 291.15) * 1e-3, 1.1122, 0.002);
}

/* Robinson and Stokes at 1, 2, 3 mol/kg, 25 degC, from memory (high): gamma 0.724, 0.793, 0.909
 * (the fit misses the last by 0.05), water activity 0.966, 0.929, 0.888. */
static void test_activities(void **state)
{
    (void)state;
    assert_near(pow(10.0, nxw_acid_log10_activity_coefficient(1.0)), 0.724, 0.006);
    assert_near(pow(10.0, nxw_acid_log10_activity_coefficient(2.0)), 0.793, 0.02);
    assert_near(pow(10.0, nxw_acid_log10_activity_coefficient(3.0)), 0.909, 0.06);
    assert_near(nxw_acid_water_activity(1.0), 0.966, 0.002);
    assert_near(nxw_acid_water_activity(2.0), 0.929, 0.003);
    assert_near(nxw_acid_water_activity(3.0), 0.888, 0.003);
    assert_near(nxw_acid_water_activity(1e-9), 1.0, 1e-9);
    /* Gibbs-Duhem ties both: d ln a_w = -0.03603/2 m d ln (m gamma)^2; 1e-4 of the slope */
    const double m = 2.0, d = 1e-3;
    const double left = log(nxw_acid_water_activity(m + d) / nxw_acid_water_activity(m - d));
    const double g =
        log((m + d) / (m - d)) + 2.302585093 * (nxw_acid_log10_activity_coefficient(m + d) -
                                                nxw_acid_log10_activity_coefficient(m - d));
    assert_relative(left, -0.03603 * m * g, 2e-3);
}

/* Water: vapour pressure 3.169 kPa at 25 degC, 0.6117 at 0 degC, viscosity 0.890 mPa s, surface
 * tension 71.97 mN/m (IAPWS, from memory, high); 0.3 %. */
static void test_water(void **state)
{
    (void)state;
    assert_relative(nxw_water_vapour_pressure_Pa(298.15), 3169.0, 3e-3);
    assert_relative(nxw_water_vapour_pressure_Pa(273.16), 611.7, 3e-3);
    assert_relative(nxw_water_viscosity_Pa_s(298.15), 8.90e-4, 5e-3);
    assert_relative(nxw_water_surface_tension_N_m(298.15), 0.07197, 1e-3);
}

/* Parker, NSRDS-NBS 2 (1965), as in the CRC Handbook: 1749 J/mol at 6 mol/kg, 506 at 1; between the
 * rows the slope is the curve's own. */
static void test_dilution_heat(void **state)
{
    (void)state;
    double slope, ignored;
    assert_near(nxw_acid_dilution_heat_J_mol(6.0, &slope), 1749.0, 0.5);
    assert_near(nxw_acid_dilution_heat_J_mol(1.0, &slope), 506.0, 0.5);
    assert_near(nxw_acid_dilution_heat_J_mol(0.0, &slope), 0.0, 1e-9);
    const double a = nxw_acid_dilution_heat_J_mol(5.5, &slope);
    assert_relative((nxw_acid_dilution_heat_J_mol(5.501, &ignored) - a) / 1e-3, slope, 1e-2);
}

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
    assert_relative(nxw_kL_m_s(&l, 1e-3, 0.1161, 1.4e-9, 1.8e-3), 1.174e-4, 2e-3);
    assert_relative(nxw_kL_m_s(&l, 2e-3, 0.2137, 1.4e-9, 1.8e-3), 2.955e-4, 2e-3);
    assert_relative(nxw_kL_m_s(&l, 4e-3, 0.2360, 1.4e-9, 1.8e-3), 3.138e-4, 2e-3);
    /* frit of 100 um pores, 25 mm, 1 L/min: 1.810 mm (own closure) */
    assert_relative(nxw_frit_diameter_m(100e-6, 0.025, &water, 1.0 / 60000.0, 0.05), 1.810e-3,
                    3e-3);
    /* We = 2 at 0.5196 L/min for a 1 mm hole */
    assert_false(nxw_hole_jets(1e-3, 0.515 / 60000.0, 1.184, 0.07197));
    assert_true(nxw_hole_jets(1e-3, 0.525 / 60000.0, 1.184, 0.07197));
    /* wall: 0.985, 0.941, 0.868 at d/D 0.1, 0.2, 0.3 */
    assert_near(nxw_wall_factor(0.1), 0.985, 5e-4);
    assert_near(nxw_wall_factor(0.3), 0.868, 5e-4);
}

/* Deckwer 1980, from memory: u_G 8.48826e-3 m/s, Pr 6.1303: 2779.8 W/(m2 K). */
static void test_heat(void **state)
{
    (void)state;
    const struct nxw_liquid_state water = {997.05, 8.90e-4, 0.07197};
    assert_relative(nxw_inside_film_W_m2K(&water, 4181.0, 0.607, 8.48826e-3), 2779.8, 1e-3);
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
        cmocka_unit_test(test_acid_density), cmocka_unit_test(test_activities),
        cmocka_unit_test(test_water),        cmocka_unit_test(test_dilution_heat),
        cmocka_unit_test(test_bubbles),      cmocka_unit_test(test_heat)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
