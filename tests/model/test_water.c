/* Layer (b): water at temperatures that no table holds. */
#include "../assert_near.h"
#include "properties/water.h"

/* No jump, no kink, no sign change at any temperature an integrator may try. */
static void scan(double (*f)(double), double low, double high)
{
    double before = f(100.0), step_before = 0.0;
    for (int i = 1; i <= 30000; i++) {
        const double v = f(100.0 + 0.02 * i), step = v - before;
        assert_true(isfinite(v) && v > low && v < high);
        if (i > 1) /* the slope changes by little in 0.02 K */
            assert_true(fabs(step - step_before) < 2e-5 * v);
        before = v;
        step_before = step;
    }
    assert_true(isfinite(f(0.0)) && isfinite(f(-1e6)) && isfinite(f(1e300)));
    assert_true(f(-1e300) > 0.0 && f(1e300) > 0.0);
}

static void smooth_everywhere(void **state)
{
    (void)state;
    scan(nxw_water_vapour_pressure_Pa, 0.0, 6e5);
    scan(nxw_water_density_kg_m3, 900.0, 1000.0);
    scan(nxw_water_viscosity_Pa_s, 1e-4, 1e-1);
    scan(nxw_water_surface_tension_N_m, 0.04, 0.09);
    scan(nxw_water_heat_capacity_J_kgK, 4000.0, 4700.0);
    for (double T = 274.0; T < 373.0; T += 0.5) {
        assert_true(nxw_water_vapour_pressure_Pa(T + 0.5) > nxw_water_vapour_pressure_Pa(T));
        assert_true(nxw_water_viscosity_Pa_s(T + 0.5) < nxw_water_viscosity_Pa_s(T));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(smooth_everywhere),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
