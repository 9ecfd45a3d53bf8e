/* Layer (a): what thermodynamics asks of the properties of nitric acid, whatever their values. */
#include "../assert_near.h"

#include "properties/acid.h"

/* Gibbs and Duhem: d ln a_w = -0.036030 m d ln(gamma m); differences are good to 1e-6. */
static void activities_are_tied(void **state)
{
    (void)state;
    for (double m = 0.05; m < 21.0; m *= 1.3) {
        const double h = 1e-4 * m;
        const double water = log(nxw_acid_water_activity(m + h) / nxw_acid_water_activity(m - h));
        const double acid = log((m + h) / (m - h)) +
                            2.302585092994046 * (nxw_acid_log10_activity_coefficient(m + h) -
                                                 nxw_acid_log10_activity_coefficient(m - h));
        assert_relative(water, -0.03603 * m * acid, 1e-6);
    }
}

/* The slope that comes with the heat of dilution is that of the heat: differences of 1e-4 of m. At
 * the rows themselves the slope bends. It goes on to a trace below nothing, where the heat becomes
 * level: differences of 1e-5 mol/kg. */
static void heat_of_dilution_has_its_slope(void **state)
{
    (void)state;
    for (double m = 0.013; m < 60.0; m *= 1.17) {
        const double h = 1e-4 * m;
        double slope, ignored;
        (void)nxw_acid_dilution_heat_J_mol(m, &slope);
        const double up = nxw_acid_dilution_heat_J_mol(m + h, &ignored);
        const double down = nxw_acid_dilution_heat_J_mol(m - h, &ignored);
        assert_near((up - down) / (2.0 * h), slope, 1e-4 * slope + 1e-3);
        assert_true(slope >= 0.0);
    }
    for (double m = -0.04; m < 0.0; m += 0.003) {
        double slope, ignored;
        (void)nxw_acid_dilution_heat_J_mol(m, &slope);
        const double up = nxw_acid_dilution_heat_J_mol(m + 1e-5, &ignored);
        const double down = nxw_acid_dilution_heat_J_mol(m - 1e-5, &ignored);
        assert_near((up - down) / 2e-5, slope, 1e-3 * slope + 1e-3);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(activities_are_tied),
        cmocka_unit_test(heat_of_dilution_has_its_slope),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
