/* Nitric acid and hydrogen peroxide solutions. Densities are declared in noxwash.h. */
#ifndef NXW_ACID_H
#define NXW_ACID_H

#include "noxwash.h"

/*
 * Logarithm of the mean ionic activity coefficient of HNO3, molal scale, 25 degC.
 *
 *   log10 gamma = -0.509 sqrt(m)/(1 + 1.5 sqrt(m)) + 0.0645 m - 0.00146 m2
 *
 * Given:    molality_mol_kg  mol/kg water; below 0 counts as 0, flattens above 22
 * Returned: log10 of gamma; 0 at m = 0
 * Valid:    0 to 22 mol/kg, 25 degC; within 6 % of Robinson and Stokes to 3 mol/kg
 * Source:   fit made for this project; limiting slope Debye-Hueckel; computed
 */
double nxw_acid_log10_activity_coefficient(double molality_mol_kg);

/*
 * Activity of water over HNO3 of this molality, from the same gamma by Gibbs-Duhem.
 *
 *   phi = 1 + ln10 (-(0.509/(1.5^3 m)) (x - 2 ln x - 1/x) + 0.0645 m/2 - 0.00146 (2/3) m2)
 *   a_w = exp(-0.03603 m phi),  x = 1 + 1.5 sqrt(m)
 *
 * Given:    molality_mol_kg  mol/kg water; below 0 counts as 0
 * Returned: 0 < a_w <= 1; 1 at m = 0
 * Valid:    0 to 22 mol/kg, 25 degC; above, phi keeps the value it has there
 * Source:   Gibbs-Duhem integral of the fit above; computed
 */
double nxw_acid_water_activity(double molality_mol_kg);

/*
 * Viscosity of HNO3 solution over that of water, at 20 degC.
 *
 * Given:    mass_fraction  of HNO3; held at the ends outside 0 to 1
 * Returned: mu/mu_water, 1 at w = 0
 * Valid:    to 0.40 within the printed digits; above only an indication (+-15 %)
 * Source:   CRC Handbook 102nd ed. 2021, Concentrative Properties (0 to 40 wt%),
 * published; 1.8, 2.0, 2.0, 0.9 mPa s at 50, 60, 70, 100 wt% from memory; monotone cubic between
 */
double nxw_acid_viscosity_ratio(double mass_fraction);

/*
 * Surface tension of HNO3 solution over that of water, at 20 degC.
 *
 * Given:    mass_fraction  of HNO3; held at the ends outside 0 to 1
 * Returned: sigma/sigma_water, 1 at w = 0
 * Valid:    +-5 %
 * Source:   72.75, 65, 41 mN/m at 0, 50, 100 wt%, parabola through them; from memory
 */
double nxw_acid_surface_tension_ratio(double mass_fraction);

/*
 * Heat capacity of HNO3 solution over that of water, per kilogram.
 *
 *   cp/cp_water = 1 - 1.11 w + 0.82 w2
 *
 * Given:    mass_fraction  of HNO3; held at the ends outside 0 to 0.676, where it is least
 * Returned: ratio, 1 at w = 0
 * Valid:    to 0.70 within 5 % of the handbook row at 20 degC
 * Source:   fit to Perry's specific heats, from memory
 */
double nxw_acid_heat_capacity_ratio(double mass_fraction);
/* The parabola itself, without limits, and its slope: what a run uses. */
double nxw_acid_heat_capacity_curve(double mass_fraction, double *slope);

/*
 * Relative apparent molar enthalpy of HNO3: heat released on diluting one mole from molality m to
 * infinite dilution, 25 degC.
 *
 * Given:    molality_mol_kg     mol/kg water; a trace below 0 goes straight on
 * Returned: J/mol, >= 0, 0 at m = 0
 *           slope_J_kg_mol2     dL/dm, continuous, >= 0; may not be NULL
 * Valid:    1 to 20 mol/kg as the rows are; 0 to 1 joins by a smooth curve; 55.5 mol/kg one row;
 *           above that it rises to the 33.35 kJ/mol of the pure acid
 * Source:   Parker 1965, NSRDS-NBS 2, as printed in the CRC Handbook; published; monotone cubic
 */
double nxw_acid_dilution_heat_J_mol(double molality_mol_kg, double *slope_J_kg_mol2);

/*
 * Temperature at which ice begins to form in HNO3 solution.
 *
 * Given:    mass_fraction  of HNO3
 * Returned: K; 273.15 at w = 0, 230.15 at and above the first eutectic (0.325)
 * Valid:    to 0.19 within the printed digits; above that memory, some 3 K. Past the eutectic the
 *           solid is a hydrate that melts higher: held at the eutectic, which says too little
 * Source:   CRC Handbook 102nd ed. 2021 (to 19 wt%), published; eutectic from memory
 */
double nxw_acid_freezing_K(double mass_fraction);

/*
 * The densities of noxwash.h without their range: for what an integrator or a search tries on its
 * way. Inside the range they are the same; beyond it they bend over, smooth and finite.
 */
double nxw_acid_density_curve_kg_m3(double mass_fraction, double temperature_K);
double nxw_peroxide_density_curve_kg_m3(double mass_fraction, double temperature_K);
double nxw_liquid_density_curve_kg_m3(double HNO3_mass_fraction, double H2O2_mass_fraction,
                                      double temperature_K);

#endif
