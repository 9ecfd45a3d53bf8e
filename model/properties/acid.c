#include "properties/acid.h"

#include <math.h>

#include "base/curve.h"
#include "properties/chemistry.h"
#include "properties/water.h"

/* Density at 20 degC, g/cm3. To 40 wt%: CRC Handbook, 102nd ed. (published, data file); above: ICT
 * row, from memory (high), 68 and 100 wt% confirmed in print. Water: Kell. */
static const double ROW_w[] = {0.0,   0.005, 0.010, 0.020, 0.030, 0.040, 0.050, 0.060, 0.070,
                               0.080, 0.090, 0.100, 0.110, 0.120, 0.130, 0.140, 0.150, 0.160,
                               0.170, 0.180, 0.190, 0.200, 0.220, 0.240, 0.260, 0.280, 0.300,
                               0.320, 0.340, 0.360, 0.380, 0.400, 0.45,  0.50,  0.55,  0.60,
                               0.65,  0.68,  0.70,  0.75,  0.80,  0.85,  0.90,  0.95,  1.00};
static const double ROW_g_cm3[] = {
    0.9982041, 1.0009, 1.0037, 1.0091, 1.0146, 1.0202, 1.0257, 1.0314, 1.037,
    1.0427,    1.0485, 1.0543, 1.0602, 1.066,  1.072,  1.078,  1.084,  1.0901,
    1.0963,    1.1025, 1.1087, 1.115,  1.1277, 1.1406, 1.1536, 1.1668, 1.1801,
    1.1934,    1.2068, 1.2202, 1.2335, 1.2466, 1.2783, 1.3100, 1.3393, 1.3667,
    1.3913,    1.4048, 1.4134, 1.4337, 1.4521, 1.4686, 1.4826, 1.4932, 1.5129};

/* Laliberte 2009, J. Chem. Eng. Data 54, 1725: 1/rho = (1 - w)/rho_w + w/rho_app. */
static double laliberte(const double c[5], double w, double T_K)
{
    const double t = T_K - 273.15;
    const double e = exp(1e-6 * (t + c[4]) * (t + c[4]));
    const double apparent = (c[0] * w + c[1]) * e / (w + c[2] + c[3] * t);
    return 1.0 / ((1.0 - w) / nxw_water_density_kg_m3(T_K) + w / apparent);
}

double nxw_acid_density_curve_kg_m3(double mass_fraction, double temperature_K)
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

double nxw_peroxide_density_curve_kg_m3(double mass_fraction, double temperature_K)
{
    static const double C[5] = {1245.67858462509, 1565.31293687729, 0.986168814056093,
                                0.00271435211005942, 200.77493156052};
    return laliberte(C, nxw_curve_limit(mass_fraction, 0.0, 1.0, 0.05),
                     nxw_curve_limit(temperature_K, 258.15, 373.15, 5.0));
}

double nxw_liquid_density_curve_kg_m3(double HNO3_mass_fraction, double H2O2_mass_fraction,
                                      double temperature_K)
{
    /* 1/rho = (w_a/s)/rho_acid(s) + (w_p/s)/rho_peroxide(s), s = w_a + w_p: the two solutions of
     * the same water content mix without change of volume. The trace keeps 0/0 away. */
    const double s = HNO3_mass_fraction + H2O2_mass_fraction, trace = 1e-6;
    const double acid_m3_kg = 1.0 / nxw_acid_density_curve_kg_m3(s, temperature_K);
    const double peroxide_m3_kg = 1.0 / nxw_peroxide_density_curve_kg_m3(s, temperature_K);
    const double share = H2O2_mass_fraction * (s / (s * s + trace * trace));
    return 1.0 / (acid_m3_kg + share * (peroxide_m3_kg - acid_m3_kg));
}

/* log10 gamma = -0.509 sqrt(m)/(1 + 1.5 sqrt(m)) + 0.0645 m - 0.00146 m^2, 0-22 mol/kg, 25 degC. */
double nxw_acid_log10_activity_coefficient(double molality_mol_kg)
{
    const double m = nxw_curve_limit(molality_mol_kg, 0.0, 22.0, 0.5), s = sqrt(fabs(m));
    return -0.509 * s / (1.0 + 1.5 * s) + 0.0645 * m - 0.00146 * m * m;
}

double nxw_acid_water_activity(double molality_mol_kg)
{
    const double m = nxw_curve_limit(molality_mol_kg, 0.0, 22.0, 0.5), ln10 = 2.302585092994046;
    const double x = 1.0 + 1.5 * sqrt(fabs(m));
    /* m phi, not phi: what cancels in g is below the rounding of m; and it is smooth at m = 0 */
    const double g = x - 2.0 * log(x) - 1.0 / x;
    const double m_phi = m + ln10 * (-(0.509 / 3.375) * g + 0.5 * 0.0645 * m * m -
                                     0.00146 * (2.0 / 3.0) * m * m * m);
    return exp(-0.03603 * m_phi);
}

/* mu/mu_water at 20 degC: CRC Handbook to 40 wt% (published); 1.8, 2.0, 2.0, 0.9 mPa s at 50, 60,
 * 70, 100 wt% from memory (low). */
double nxw_acid_viscosity_ratio(double mass_fraction)
{
    static const double w[] = {0.0,   0.005, 0.010, 0.020, 0.030, 0.040, 0.050, 0.060, 0.070,
                               0.080, 0.090, 0.100, 0.110, 0.120, 0.130, 0.140, 0.150, 0.160,
                               0.170, 0.180, 0.190, 0.200, 0.220, 0.240, 0.260, 0.280, 0.300,
                               0.320, 0.340, 0.360, 0.380, 0.400, 0.50,  0.60,  0.70,  1.00};
    static const double mPa_s[] = {1.002, 1.004, 1.005, 1.007, 1.01,  1.014, 1.018, 1.022, 1.027,
                                   1.032, 1.038, 1.044, 1.051, 1.058, 1.066, 1.075, 1.084, 1.094,
                                   1.105, 1.116, 1.128, 1.141, 1.169, 1.199, 1.233, 1.271, 1.311,
                                   1.354, 1.4,   1.45,  1.504, 1.561, 1.8,   2.0,   2.0,   0.9};
    double slope;
    const double at = nxw_curve_limit(mass_fraction, 0.0, 1.0, 0.02);
    return nxw_curve_monotone(w, mPa_s, sizeof w / sizeof w[0], at, &slope) / mPa_s[0];
}

/* 65 mN/m at 50 %, 41 at 100 % against 72.75 of water, 20 degC; from memory (low to medium). */
double nxw_acid_surface_tension_ratio(double mass_fraction)
{
    const double w = nxw_curve_limit(mass_fraction, 0.0, 1.0, 0.05);
    return 1.0 + w * (0.011 - 0.447 * w);
}

double nxw_acid_heat_capacity_curve(double w, double *slope)
{
    *slope = -1.11 + 1.64 * w;
    return 1.0 - 1.11 * w + 0.82 * w * w;
}

double nxw_acid_heat_capacity_ratio(double mass_fraction)
{
    double slope;
    return nxw_acid_heat_capacity_curve(nxw_curve_limit(mass_fraction, 0.0, 0.676, 0.05), &slope);
}

/* Parker, NSRDS-NBS 2 (1965), as printed in the CRC Handbook: heat released on dilution to
 * infinity, kJ/mol, 25 degC (published, secondary transcription); zero at zero. */
double nxw_acid_dilution_heat_J_mol(double molality_mol_kg, double *slope_J_kg_mol2)
{
    static const double m[] = {0.0,    1.0, 1.5, 2.0, 2.5, 3.0,  3.5,  4.0,  4.5,   5.0,
                               5.5506, 6.0, 7.0, 8.0, 9.0, 10.0, 15.0, 20.0, 55.506};
    static const double L[] = {0.0,  506,  506,  527,  582,  665,  791,  958,  1109, 1310,
                               1540, 1749, 2251, 2791, 3368, 3933, 6883, 9498, 19730};
    const size_t n = sizeof m / sizeof m[0];
    const double top = m[n - 1], rest_J_mol = 33350.0 - L[n - 1];
    if (molality_mol_kg > top) { /* towards the pure acid, 33.35 kJ/mol */
        const double end = nxw_curve_monotone(m, L, n, top, slope_J_kg_mol2);
        const double left = exp(-*slope_J_kg_mol2 / rest_J_mol * (molality_mol_kg - top));
        *slope_J_kg_mol2 *= left;
        return end + rest_J_mol * (1.0 - left);
    }
    const double at = nxw_curve_limit(molality_mol_kg, 0.0, top, 0.01); /* a trace below zero */
    const double value = nxw_curve_monotone(m, L, n, at, slope_J_kg_mol2);
    if (molality_mol_kg < 0.0)
        *slope_J_kg_mol2 *= 1.0 - (at / 0.01) * (at / 0.01);
    return value;
}

/* CRC Handbook to 19 wt% (published); eutectic -43 degC at 32.5 wt% from memory (medium);
 * 25 and 30 wt% on the parabola that leaves the last row with its slope (computed). */
double nxw_acid_freezing_K(double mass_fraction)
{
    static const double w[] = {0.0,  0.005, 0.01, 0.02, 0.03, 0.04,  0.05, 0.06, 0.07,
                               0.08, 0.09,  0.10, 0.11, 0.12, 0.13,  0.14, 0.15, 0.16,
                               0.17, 0.18,  0.19, 0.25, 0.30, 0.325, 1.0};
    static const double T[] = {273.15, 272.87, 272.59, 272.03, 271.45, 270.83, 270.19,
                               269.52, 268.82, 268.10, 267.34, 266.55, 265.73, 264.88,
                               264.00, 263.07, 262.11, 261.11, 260.07, 258.99, 257.85,
                               248.58, 237.20, 230.15, 230.15};
    double slope;
    return nxw_curve_monotone(w, T, sizeof w / sizeof w[0],
                              nxw_curve_limit(mass_fraction, 0.0, 1.0, 0.01), &slope);
}
