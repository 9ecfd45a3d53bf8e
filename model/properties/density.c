/* Densities for a bench: what is outside the range of their sources is no number. */
#include <math.h>

#include "noxwash.h"
#include "properties/acid.h"
#include "properties/water.h"

#define COLDEST_K 258.15
#define HOTTEST_K 373.15
#define MELTING_K 273.15
#define ROUNDING 1e-9 /* of what converting a unit, and adding shares, leaves */

static bool is_share(double x) { return x >= -ROUNDING && x <= 1.0 + ROUNDING; }

static bool is_between(double T_K, double low_K, double high_K)
{
    return T_K >= low_K * (1.0 - ROUNDING) && T_K <= high_K * (1.0 + ROUNDING);
}

double nxw_acid_density_kg_m3(double mass_fraction, double temperature_K)
{
    return is_share(mass_fraction) && is_between(temperature_K, COLDEST_K, HOTTEST_K)
               ? nxw_acid_density_curve_kg_m3(mass_fraction, temperature_K)
               : (double)NAN;
}

double nxw_peroxide_density_kg_m3(double mass_fraction, double temperature_K)
{
    return is_share(mass_fraction) && is_between(temperature_K, COLDEST_K, HOTTEST_K)
               ? nxw_peroxide_density_curve_kg_m3(mass_fraction, temperature_K)
               : (double)NAN;
}

double nxw_liquid_density_kg_m3(double HNO3_mass_fraction, double H2O2_mass_fraction,
                                double temperature_K)
{
    return is_share(HNO3_mass_fraction) && is_share(H2O2_mass_fraction) &&
                   is_share(HNO3_mass_fraction + H2O2_mass_fraction) &&
                   is_between(temperature_K, COLDEST_K, HOTTEST_K)
               ? nxw_liquid_density_curve_kg_m3(HNO3_mass_fraction, H2O2_mass_fraction,
                                                temperature_K)
               : (double)NAN;
}

double nxw_pure_water_density_kg_m3(double temperature_K)
{
    return is_between(temperature_K, MELTING_K, HOTTEST_K) ? nxw_water_density_kg_m3(temperature_K)
                                                           : (double)NAN;
}

/* A density that glass could show: positive and finite, else no number. */
static double density(double kg_m3) { return kg_m3 > 0.0 && isfinite(kg_m3) ? kg_m3 : (double)NAN; }

double nxw_hydrometer_density_kg_m3(double reading_kg_m3, double temperature_K, double reference_K,
                                    double expansion_1_K)
{
    const double swollen = density(1.0 - expansion_1_K * (temperature_K - reference_K));
    return density(density(reading_kg_m3) * swollen);
}

double nxw_hydrometer_reading_kg_m3(double density_kg_m3, double temperature_K, double reference_K,
                                    double expansion_1_K)
{
    const double swollen = density(1.0 - expansion_1_K * (temperature_K - reference_K));
    return density(density(density_kg_m3) / swollen);
}
