#include "acid.h"

#include <math.h>

#include "chemistry.h"
#include "curve.h"
#include "water.h"

/* Density at 20 degC, g/cm3. To 40 wt%: CRC Handbook, 102nd ed. (published, data file); above: ICT
 * row, from memory (high), 68 and 100 wt% confirmed in print. Water: Kell. */
static const double ROW_w[] = {0.00, 0.01, 0.02, 0.03, 0.04, 0.05, 0.06, 0.08, 0.10, 0.12, 0.14,
                               0.16, 0.18, 0.20, 0.24, 0.28, 0.32, 0.36, 0.40, 0.45, 0.50, 0.55,
                               0.60, 0.65, 0.68, 0.70, 0.75, 0.80, 0.85, 0.90, 0.95, 1.00};
static const double ROW_g_cm3[] = {
    0.99821, 1.0037, 1.0091, 1.0146, 1.0202, 1.0257, 1.0314, 1.0427, 1.0543, 1.0660, 1.0780,
    1.0901,  1.1025, 1.1150, 1.1406, 1.1668, 1.1934, 1.2202, 1.2466, 1.2783, 1.3100, 1.3393,
    1.3667,  1.3913, 1.4048, 1.4134, 1.4337, 1.4521, 1.4686, 1.4826, 1.4932, 1.5129};

/* Laliberte 2009, J. Chem. Eng. Data 54, 1725: 1/rho = (1 - w)/rho_w + w/rho_app. */
static double laliberte(const double c[5], double w, double T_K)
{
    const double t = T_K - 273.15;
    const double e = exp(1e-6 * (t + c[4]) * (t + c[4]));
    const double apparent = (c[0] * w + c[1]) * e / (w + c[2] + c[3] * t);
    return 1.0 / ((1.0 - w) / nxw_water_density_kg_m3(T_K) + w / apparent);
}

double nxw_acid_density_kg_m3(double mass_fraction, double temperature_K)
{
    static const double C[5] = {0.272070788161643, -0.399605969016834, -2.33691977745914,
                                0.00662112384275969, -3089.01794099058};
    const double w = nxw_curve_limit(mass_fraction, 0.0, 1.0, 0.05);
    const double T = nxw_curve_limit(temperature_K, 258.15, 373.15, 5.0);
    double slope;
    const double at_20 =
        1e3 * nxw_curve_monotone(ROW_w, ROW_g_cm3, sizeof ROW_w / sizeof ROW_w[0], w, &slope);
    const double fitted = nxw_curve_limit(w, 0.0, 0.65, 0.01);
    const double change = laliberte(C, fitted, T) - laliberte(C, fitted, 293.15);
    return at_20 + change;
}

double nxw_peroxide_density_kg_m3(double mass_fraction, double temperature_K)
{
    static const double C[5] = {1245.67858462509, 1565.31293687729, 0.986168814056093,
                                0.00271435211005942, 200.77493156052};
    return laliberte(C, nxw_curve_limit(mass_fraction, 0.0, 1.0, 0.05),
                     nxw_curve_limit(temperature_K, 258.15, 373.15, 5.0));
}

double nxw_liquid_density_kg_m3(double HNO3_mass_fraction, double H2O2_mass_fraction,
                                double temperature_K)
{
    return nxw_acid_density_kg_m3(HNO3_mass_fraction, temperature_K) +
           nxw_peroxide_density_kg_m3(H2O2_mass_fraction, temperature_K) -
           nxw_water_density_kg_m3(temperature_K);
}

/* log10 gamma = -0.509 sqrt(m)/(1 + 1.5 sqrt(m)) + 0.0645 m - 0.00146 m^2, 0-22 mol/kg, 25 degC. */
double nxw_acid_log10_activity_coefficient(double molality_mol_kg)
{
    const double m = nxw_curve_limit(molality_mol_kg, 0.0, 22.0, 0.5), s = sqrt(fabs(m));
    return -0.509 * s / (1.0 + 1.5 * s) + 0.0645 * m - 0.00146 * m * m;
}

double nxw_acid_water_activity(double molality_mol_kg)
{
    const double m = fabs(nxw_curve_limit(molality_mol_kg, 0.0, 22.0, 0.5)), s = sqrt(m);
    const double x = 1.0 + 1.5 * s, ln10 = 2.302585092994046;
    /* (x - 2 ln x - 1/x)/m tends to 2.25 s^... -> s small: the series avoids 0/0 */
    const double a = 1.5 * s;
    const double g = a < 1e-2 ? a * a * a * (1.0 / 3.0 - 0.5 * a) : x - 2.0 * log(x) - 1.0 / x;
    const double m_phi = m + ln10 * (-(0.509 / 3.375) * g + 0.5 * 0.0645 * m * m -
                                     0.00146 * (2.0 / 3.0) * m * m * m);
    return exp(-0.03603 * m_phi);
}

/* mu/mu_water at 20 degC: CRC Handbook to 40 wt% (published); 1.8, 2.0, 2.0, 0.9 mPa s at 50, 60,
 * 70, 100 wt% from memory (low). */
double nxw_acid_viscosity_ratio(double mass_fraction)
{
    static const double w[] = {0.0, 0.05, 0.10, 0.20, 0.30, 0.40, 0.50, 0.60, 0.70, 1.00};
    static const double mu[] = {1.0,   1.016, 1.042, 1.139, 1.308,
                                1.558, 1.80,  1.99,  1.995, 0.90};
    double slope;
    return nxw_curve_monotone(w, mu, 10, nxw_curve_limit(mass_fraction, 0.0, 1.0, 0.02), &slope);
}

/* 65 mN/m at 50 %, 41 at 100 % against 72.75 of water, 20 degC; from memory (low to medium). */
double nxw_acid_surface_tension_ratio(double mass_fraction)
{
    const double w = nxw_curve_limit(mass_fraction, 0.0, 1.0, 0.05);
    return 1.0 + w * (0.011 - 0.447 * w);
}

double nxw_acid_heat_capacity_ratio(double mass_fraction)
{
    const double w = nxw_curve_limit(mass_fraction, 0.0, 1.0, 0.05);
    return 1.0 - 1.11 * w + 0.82 * w * w;
}

/* Parker, NSRDS-NBS 2 (1965), as printed in the CRC Handbook: heat released on dilution to infinity,
 * kJ/mol, 25 degC (published, secondary transcription); zero at zero. */
double nxw_acid_dilution_heat_J_mol(double molality_mol_kg, double *slope_J_kg_mol2)
{
    static const double m[] = {0.0, 1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 4.5,  5.0,
                               6.0, 7.0, 8.0, 9.0, 10.0, 15.0, 20.0, 55.506};
    static const double L[] = {0.0,  506,  506,  527,  582,  665,  791,  958,  1109,
                               1310, 1749, 2251, 2791, 3368, 3933, 6883, 9498, 19730};
    return nxw_curve_monotone(m, L, 18, molality_mol_kg, slope_J_kg_mol2);
}

/* CRC Handbook to 19 wt% (published); eutectic -43 degC at 32.5 wt% from memory (medium). */
double nxw_acid_freezing_K(double mass_fraction)
{
    static const double w[] = {0.0, 0.01, 0.05, 0.10, 0.15, 0.19, 0.325, 1.0};
    static const double T[] = {273.15, 272.59, 270.19, 266.55, 262.11, 257.85, 230.15, 230.15};
    double slope;
    return nxw_curve_monotone(w, T, 8, nxw_curve_limit(mass_fraction, 0.0, 1.0, 0.01), &slope);
}
