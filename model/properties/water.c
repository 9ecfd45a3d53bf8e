#include "properties/water.h"

#include <math.h>

#include "base/curve.h"

/* All fits stay finite and keep their sign here; beyond, temperature counts no further. */
static double celsius(double temperature_K)
{
    return nxw_curve_limit(temperature_K - 273.15, -30.0, 140.0, 10.0);
}

double nxw_water_vapour_pressure_Pa(double temperature_K)
{
    const double t = celsius(temperature_K);
    return 611.21 * exp((18.678 - t / 234.5) * t / (257.14 + t));
}

double nxw_water_density_kg_m3(double temperature_K)
{
    const double t = celsius(temperature_K);
    const double top =
        ((((-2.8054253e-10 * t + 1.0556302e-7) * t - 4.6170461e-5) * t - 0.0079870401) * t +
         16.945176) *
            t +
        999.83952;
    return top / (1.0 + 0.01687985 * t);
}

double nxw_water_viscosity_Pa_s(double temperature_K)
{
    const double ln_x = log((celsius(temperature_K) + 273.15) / 300.0);
    return 1e-6 * (280.68 * exp(-1.9 * ln_x) + 511.45 * exp(-7.7 * ln_x) +
                   61.131 * exp(-19.6 * ln_x) + 0.45903 * exp(-40.0 * ln_x));
}

double nxw_water_surface_tension_N_m(double temperature_K)
{
    const double tau = 1.0 - (celsius(temperature_K) + 273.15) / 647.096;
    return 0.2358 * pow(tau, 1.256) * (1.0 - 0.625 * tau);
}

double nxw_water_heat_capacity_J_kgK(double temperature_K)
{
    const double x = 0.01 * celsius(temperature_K);
    return 4218.5497 + x * (-292.00331 + x * (729.83814 + x * (-734.537 + x * 294.30754)));
}
