/* Pure water: what the other properties are built on. */
#ifndef NXW_WATER_H
#define NXW_WATER_H

/*
 * Vapour pressure of liquid water.
 *
 *   p = 611.21 Pa exp((18.678 - t/234.5) t/(257.14 + t)),  t in degC
 *
 * Given:    temperature_K  K; below -40 and above 150 degC it flattens to a constant
 * Returned: Pa, always positive
 * Valid:    0 to 100 degC within 0.06 % of the steam tables; air over it adds 0.4 %, left out
 * Source:   Buck 1996 (form of 1981, J. Appl. Meteorol. 20, 1527, newer constants); from memory
 */
double nxw_water_vapour_pressure_Pa(double temperature_K);

/*
 * Density of air-free water at 1 atm.
 *
 *   rho = (999.83952 + 16.945176 t - 0.0079870401 t2 - 4.6170461e-5 t3 + 1.0556302e-7 t4
 *          - 2.8054253e-10 t5) / (1 + 0.01687985 t),  t in degC
 *
 * Given:    temperature_K  K
 * Returned: kg/m3
 * Valid:    0 to 100 degC within 0.003 kg/m3 of the CIPM values (0 to 40 degC); supercooled to
 *           -30 degC as it comes; flat beyond -40 and 150 degC
 * Source:   Kell 1975, J. Chem. Eng. Data 20, 97; from memory
 */
double nxw_water_density_kg_m3(double temperature_K);

/*
 * Viscosity of water.
 *
 *   mu = 1e-6 Pa s (280.68 x^-1.9 + 511.45 x^-7.7 + 61.131 x^-19.6 + 0.45903 x^-40), x = T/300 K
 *
 * Given:    temperature_K  K
 * Returned: Pa s, always positive
 * Valid:    253 to 383 K within 1 %; flat beyond -40 and 150 degC
 * Source:   IAPWS supplementary release on liquid water at 0.1 MPa (2008), eq. 7; from memory
 */
double nxw_water_viscosity_Pa_s(double temperature_K);

/*
 * Surface tension of water against air.
 *
 *   sigma = 0.2358 N/m tau^1.256 (1 - 0.625 tau),  tau = 1 - T/647.096 K
 *
 * Given:    temperature_K  K
 * Returned: N/m, always positive
 * Valid:    0 to 100 degC within 0.5 %; flat beyond -40 and 150 degC
 * Source:   IAPWS release on surface tension (1994); from memory
 */
double nxw_water_surface_tension_N_m(double temperature_K);

/*
 * Heat capacity of liquid water at constant pressure.
 *
 * Given:    temperature_K  K
 * Returned: J/(kg K)
 * Valid:    0 to 100 degC within 1 J/(kg K) of the rows; flat beyond -40 and 150 degC
 * Source:   fourth-degree fit to steam-table rows at 0.1 MPa (4219.4, 4184.1, 4181.3, 4179.4,
 *           4185.0, 4215.2 at 0, 20, 25, 40, 60, 99.6 degC and others between); rows from
 *           memory, fit computed
 */
double nxw_water_heat_capacity_J_kgK(double temperature_K);

#endif
