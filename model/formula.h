/*
 * Formulas no estimate calls. Constants of the table rest on them, or the formulas in use are
 * compared with them; published check values keep both honest.
 */
#ifndef NXW_FORMULA_H
#define NXW_FORMULA_H

#include "bubble.h"

/*
 * Bubble volume that inertia alone sizes, over Q^1.2 g^-0.6.
 *
 *   (4 alpha)^0.6 (3/(4 pi))^0.2
 *
 * Given:    added_mass  alpha, 11/16 or 1/2
 * Source:   Davidson and Schuler 1960, Trans. IChemE 38, 335; coefficient derived; from memory
 */
double nxw_inertial_bubble_coefficient(double added_mass);

/*
 * Rise velocity of a contaminated bubble, second opinion beside nxw_rise_velocity_m_s.
 *
 *   M = g mu4 drho/(rho2 sigma3),  H = 4/3 Eo M^-0.149 (mu/0.0009)^-0.14
 *   J = 0.94 H^0.757 (2 < H <= 59.3), 3.42 H^0.441 (above),  Re = M^-0.149 (J - 0.857)
 *
 * Returned: m/s; NAN where H <= 2
 * Valid:    Eo < 40, M < 1e-3, H < 1000
 * Source:   Clift, Grace and Weber 1978, eq. 7-4 to 7-7; published (secondary transcription)
 */
double nxw_morton_number(const struct nxw_liquid_state *liquid, double gas_density_kg_m3);
double nxw_rise_velocity_ellipsoid_m_s(const struct nxw_liquid_state *liquid,
                                       double gas_density_kg_m3, double diameter_m);

/*
 * Gas held up in a bubble column; the plume term is calibrated to it.
 *
 *   eps/(1 - eps)^4 = 0.2 (g D2 rho/sigma)^(1/8) (g D3/nu2)^(1/12) u_G/sqrt(g D)
 *
 * Source:   Akita and Yoshida 1973; from memory
 */
double nxw_column_hold_up(const struct nxw_liquid_state *liquid, double column_m,
                          double superficial_gas_m_s);

/*
 * Liquid film of a bubble, second opinion beside nxw_kL_m_s.
 *
 *   small: 0.31 (drho mu g/rho2)^(1/3) Sc^(-2/3);  large: 0.42 (...)^(1/3) Sc^(-1/2)
 *
 * Source:   Calderbank and Moo-Young 1961, Chem. Eng. Sci. 16, 39; from memory
 */
double nxw_kL_small_m_s(const struct nxw_liquid_state *l, double gas_kg_m3, double D_m2_s);
double nxw_kL_large_m_s(const struct nxw_liquid_state *l, double gas_kg_m3, double D_m2_s);

/*
 * Enhancement of uptake by a reaction A + nu B in the liquid film.
 *
 * Given:    Ha  Hatta number > 0;  Ei > 1  enhancement of an instantaneous reaction
 * Valid:    Wellek within 4 %, van Krevelen 2.5 % low, DeCoursey 8 % of the exact film
 * Source:   van Krevelen and Hoftijzer 1948; Wellek et al. 1978, Can. J. Chem. Eng. 56, 181;
 *           DeCoursey 1974, Chem. Eng. Sci. 29, 1867; from memory
 */
double nxw_enhancement_first_order(double Ha);
double nxw_enhancement_van_krevelen(double Ha, double Ei);
double nxw_enhancement_wellek(double Ha, double Ei);
double nxw_enhancement_decoursey(double Ha, double Ei);

/* A gas c_G over a liquid whose reagent c_B it meets; H = c_G/c_L, one B per A. */
struct nxw_two_films {
    double c_G_mol_m3, H, kL_m_s, kG_m_s, D_m2_s, c_B_mol_m3, k2_m3_mol_s;
};
/* Flux by Wellek's enhancement, c at the interface by iteration, mol/(m2 s). */
double nxw_two_film_flux(const struct nxw_two_films *f, double *interface_mol_m3);
/* Flux when the reaction is instantaneous. */
double nxw_two_film_flux_instantaneous(const struct nxw_two_films *f);

/* Pressure to blow the wet pores of a frit or a hole free: 4 sigma/d. */
double nxw_capillary_pressure_Pa(double surface_tension_N_m, double pore_m);

/*
 * Liquid drawn back when a share of the gas behind it dissolves and the rest cools.
 *
 *   V_g (1 - (1 - y) T2/T1 P1/(P_a - rho g (L_c - h))), not below zero
 *
 * Given:    gas_m3 behind the tip, dissolved_share y, hot_K T1, cold_K T2, depth_m h, crest_m L_c
 *           above the tip, P1 = P_a + rho g h
 * Source:   gas law; derived
 */
double nxw_suck_back_m3(double gas_m3, double dissolved_share, double hot_K, double cold_K,
                        double depth_m, double crest_m);

/*
 * Gas diffusivity estimate.
 *
 *   D/(cm2/s) = 0.00143 T^1.75/(P/bar M_AB^0.5 (vA^(1/3) + vB^(1/3))^2)
 *
 * Source:   Fuller in Poling et al. 2001, Table 11-1; published (secondary transcription)
 */
double nxw_gas_diffusivity_m2_s(double M_A_kg_mol, double v_A, double M_B_kg_mol, double v_B,
                                double T_K, double P_Pa);

/*
 * Natural convection on an upright plate: Nu.
 *
 *   Nu = (0.825 + 0.387 Ra^(1/6)/(1 + (0.492/Pr)^(9/16))^(8/27))^2
 *
 * Source:   Churchill and Chu 1975; published
 */
double nxw_plate_convection_Nu(double Pr, double Gr);
/* Still air and radiation on a glass wall of height L: W/(m2 K); behind h_air in constants.csv. */
double nxw_air_film_W_m2K(double height_m, double wall_K, double air_K);

#endif
