#include "stage/liquid.h"

#include <math.h>

#include "properties/acid.h"
#include "properties/water.h"
#include "reactions/h2o2_decomposition.h"
#include "reactions/hno2_decomposition.h"
#include "reactions/hno2_dissociation.h"
#include "reactions/hno2_peroxide.h"
#include "reactions/no2_hydrolysis.h"

/* x for x well above 0, smoothly towards a small positive number below: concentrations under a
 * square root or a logarithm only. */
static double positive(double x, double scale)
{
    const double root = sqrt(x * x + scale * scale);
    return x >= 0.0 ? 0.5 * (x + root) : 0.5 * scale * scale / (root - x); /* no cancellation */
}

void nxw_liquid_set(const struct nxw_parameters *p, const double n[NXW_L_AMOUNTS], double T_K,
                    const struct nxw_liquid_charge *charge, struct nxw_liquid *l)
{
    nxw_chemistry_at(p, T_K, &l->c);
    const double acid_kg = n[NXW_L_NITRATE] * NXW_MOLAR_MASS_HNO3_KG_MOL;
    const double other_N_kg =
        n[NXW_L_N3] * NXW_MOLAR_MASS_HNO2_KG_MOL + n[NXW_L_HOONO] * NXW_MOLAR_MASS_HNO3_KG_MOL +
        n[NXW_L_NO_AQ] * NXW_MOLAR_MASS_NO_KG_MOL + n[NXW_L_NO2_AQ] * NXW_MOLAR_MASS_NO2_KG_MOL;
    const double peroxide_kg = n[NXW_L_H2O2] * NXW_MOLAR_MASS_H2O2_KG_MOL;
    const double water_kg = positive(n[NXW_L_H2O] * NXW_MOLAR_MASS_H2O_KG_MOL, 1e-9);
    l->mass_kg = acid_kg + other_N_kg + peroxide_kg + water_kg;
    l->acid_mass_fraction = acid_kg / l->mass_kg;
    l->peroxide_mass_fraction = peroxide_kg / l->mass_kg;
    /* Nitrous acid and the dissolved gases count as nitric acid by mass (properties, section 2). */
    l->fluid.density_kg_m3 = nxw_liquid_density_curve_kg_m3((acid_kg + other_N_kg) / l->mass_kg,
                                                            l->peroxide_mass_fraction, T_K);
    l->volume_m3 = l->mass_kg / l->fluid.density_kg_m3;
    const double ratio = nxw_acid_viscosity_ratio(l->acid_mass_fraction);
    l->fluid.viscosity_Pa_s = l->c.water_viscosity_Pa_s * ratio;
    l->fluid.surface_tension_N_m =
        nxw_water_surface_tension_N_m(T_K) * nxw_acid_surface_tension_ratio(l->acid_mass_fraction);
    l->c.D_NO /= ratio;
    l->c.D_NO2 /= ratio;
    l->c.D_N2O4 /= ratio;
    l->c.D_N2O3 /= ratio;
    l->c.D_HNO2 /= ratio;

    const double V = l->volume_m3;
    l->nitrate = n[NXW_L_NITRATE] / V;
    l->N3 = n[NXW_L_N3] / V;
    l->HOONO = n[NXW_L_HOONO] / V;
    l->NO = n[NXW_L_NO_AQ] / V;
    l->NO2_pool = n[NXW_L_NO2_AQ] / V;
    l->H2O2 = n[NXW_L_H2O2] / V;
    const double strong = charge->strong_acid_mol / V;
    nxw_HNO2_dissociation(l->nitrate + strong, l->N3, l->c.Ka_mol_m3, &l->h, &l->HNO2);

    /* Molality and activities of the strong acid; a_HNO3 = a_H a_NO3 with the background in a_H. */
    const double m_NO3 = n[NXW_L_NITRATE] / water_kg;
    const double m_acid = m_NO3 + charge->strong_acid_mol / water_kg;
    l->molality_mol_kg = positive(m_acid, 1e-9);
    const double gamma =
        exp(2.302585092994046 * nxw_acid_log10_activity_coefficient(l->molality_mol_kg));
    const double m_H = positive(l->h * V / water_kg, 1e-9);
    l->acid_activity = m_H * m_NO3 * gamma * gamma;
    l->water_activity = nxw_acid_water_activity(l->molality_mol_kg);

    l->NO2 = nxw_NO2_monomer_mol_m3(&l->c, l->NO2_pool);
    l->NO2_equilibrium = nxw_NO2_equilibrium_mol_m3(&l->c, l->HNO2, charge->trace_HNO2_mol / V,
                                                    l->acid_activity, l->water_activity);
    const double acid_mol_L = l->nitrate * 1e-3;
    l->acid_factor = exp(-2.302585092994046 * p->value[NXW_P_b_acid] * acid_mol_L);
    l->NO_e_Pa = l->NO / l->c.H_NO;
    /* p_e(N2O3) = K_N2O3 p_NO p_NO2 of a gas in equilibrium with the nitrous acid */
    l->N2O3_e_Pa = l->c.K_N2O3_1_Pa * l->c.K5 * l->HNO2 * fabs(l->HNO2) /
                   (l->water_activity * l->c.H_NO * l->c.H_NO2);
    l->HNO2_e_Pa = l->HNO2 / l->c.H_HNO2;
    l->HNO3_e_Pa = l->acid_activity / l->c.KH_HNO3;
    l->H2O_e_Pa = l->water_activity * l->c.water_vapour_Pa;
    if (charge->no_peroxide)
        l->c.k_peroxide_m6_mol2_s = 0.0;
    if (charge->physical_only) {
        l->acid_factor = 0.0;
        l->c.k_N2O3_1_s = 0.0;
        l->NO2_equilibrium = 0.0;
    }
}

void nxw_liquid_react(const struct nxw_parameters *p, const struct nxw_liquid *l,
                      double pressure_Pa, double rate[NXW_L_AMOUNTS], double *fizz_mol_s,
                      double *O2_mol_s)
{
    const double V = l->volume_m3;
    *fizz_mol_s = *O2_mol_s = 0.0;

    /* 2 NO2 + H2O <-> HNO2 + HNO3 */
    const double hyd = nxw_NO2_hydrolysis_mol_m3_s(l) * V;
    rate[NXW_L_NO2_AQ] -= 2.0 * hyd;
    rate[NXW_L_N3] += hyd;
    rate[NXW_L_NITRATE] += hyd;
    rate[NXW_L_H2O] -= hyd;

    /* 2 HNO2 <-> NO + NO2 + H2O */
    const double dec = nxw_HNO2_decomposition_mol_m3_s(l) * V;
    rate[NXW_L_N3] -= 2.0 * dec;
    rate[NXW_L_NO_AQ] += dec;
    rate[NXW_L_NO2_AQ] += dec;
    rate[NXW_L_H2O] += dec;

    /* HNO2 + H2O2 <-> HOONO + H2O;  HOONO -> HNO3 */
    double isomerisation;
    const double per = nxw_HNO2_peroxide_mol_m3_s(l, &isomerisation) * V;
    isomerisation *= V;
    rate[NXW_L_N3] -= per;
    rate[NXW_L_H2O2] -= per;
    rate[NXW_L_HOONO] += per - isomerisation;
    rate[NXW_L_H2O] += per;
    rate[NXW_L_NITRATE] += isomerisation;

    /* 2 H2O2 -> 2 H2O + O2: by side loss along with HOONO, and by itself */
    const double loss = nxw_H2O2_loss_mol_m3_s(p, l, isomerisation / V) * V;
    rate[NXW_L_H2O2] -= loss;
    rate[NXW_L_H2O] += loss;
    *O2_mol_s = 0.5 * loss;

    *fizz_mol_s = nxw_NO_effervescence_mol_m3_s(p, l, pressure_Pa) * V;
    rate[NXW_L_NO_AQ] -= *fizz_mol_s;
}

/* ------------------------------------------------------------------------------- heat */

/* Heat of solution of a gas from the slope B of its Henry constant: dH = -R B. */
static double dissolved(const struct nxw_parameters *p, enum nxw_parameter_id gas,
                        enum nxw_parameter_id B)
{
    return p->value[gas] * 1e3 - NXW_GAS_CONSTANT * p->value[B];
}

void nxw_liquid_molar_enthalpies(const struct nxw_parameters *p, double h[NXW_L_AMOUNTS])
{
    h[NXW_L_NITRATE] = p->value[NXW_P_dHf_HNO3_aq] * 1e3;
    h[NXW_L_N3] = p->value[NXW_P_dHf_HNO2_aq] * 1e3;
    h[NXW_L_HOONO] = p->value[NXW_P_dHf_HOONO_aq] * 1e3;
    h[NXW_L_NO_AQ] = dissolved(p, NXW_P_dHf_NO_gas, NXW_P_H_NO_B);
    h[NXW_L_NO2_AQ] = dissolved(p, NXW_P_dHf_NO2_gas, NXW_P_H_NO2_B);
    h[NXW_L_H2O2] = p->value[NXW_P_dHf_H2O2_aq] * 1e3;
    h[NXW_L_H2O] = p->value[NXW_P_dHf_H2O_liquid] * 1e3;
}

static const double MASS[NXW_L_AMOUNTS] = {NXW_MOLAR_MASS_HNO3_KG_MOL, NXW_MOLAR_MASS_HNO2_KG_MOL,
                                           NXW_MOLAR_MASS_HNO3_KG_MOL, NXW_MOLAR_MASS_NO_KG_MOL,
                                           NXW_MOLAR_MASS_NO2_KG_MOL,  NXW_MOLAR_MASS_H2O2_KG_MOL,
                                           NXW_MOLAR_MASS_H2O_KG_MOL};
#define CP_WATER_J_KGK 4181.0 /* 25 degC */

/* C = cp_w m r(w), r the acid's heat capacity over water's, w = acid share; and its rate. */
static double capacity(const double n[NXW_L_AMOUNTS], const double rate[NXW_L_AMOUNTS],
                       double *C_rate)
{
    double m = 0.0, dm = 0.0;
    for (int j = 0; j < NXW_L_AMOUNTS; j++) {
        m += n[j] * MASS[j];
        dm += rate[j] * MASS[j];
    }
    const double w = n[NXW_L_NITRATE] * NXW_MOLAR_MASS_HNO3_KG_MOL / m;
    const double m_dw = rate[NXW_L_NITRATE] * NXW_MOLAR_MASS_HNO3_KG_MOL - w * dm;
    double slope;
    const double r = nxw_acid_heat_capacity_curve(w, &slope);
    *C_rate = CP_WATER_J_KGK * (dm * r + m_dw * slope);
    return CP_WATER_J_KGK * m * r;
}

double nxw_liquid_enthalpy_J(const struct nxw_parameters *p, const double n[NXW_L_AMOUNTS],
                             double T_K)
{
    static const double still[NXW_L_AMOUNTS] = {0.0};
    double h[NXW_L_AMOUNTS], H = 0.0, ignored;
    nxw_liquid_molar_enthalpies(p, h);
    for (int j = 0; j < NXW_L_AMOUNTS; j++)
        H += n[j] * h[j];
    H += n[NXW_L_NITRATE] *
         nxw_acid_dilution_heat_J_mol(n[NXW_L_NITRATE] / (n[NXW_L_H2O] * NXW_MOLAR_MASS_H2O_KG_MOL),
                                      &ignored);
    return H + capacity(n, still, &ignored) * (T_K - NXW_STANDARD_K);
}

void nxw_liquid_enthalpy_rate(const struct nxw_parameters *p, const double n[NXW_L_AMOUNTS],
                              const double rate[NXW_L_AMOUNTS], double T_K, double *rate_W,
                              double *capacity_J_K)
{
    double h[NXW_L_AMOUNTS], H = 0.0, C_rate;
    nxw_liquid_molar_enthalpies(p, h);
    for (int j = 0; j < NXW_L_AMOUNTS; j++)
        H += rate[j] * h[j];
    /* d(n L(m)) = dn (L + m L') - m^2 L' d(water kg): partial molar heats in strong acid */
    const double m = n[NXW_L_NITRATE] / (n[NXW_L_H2O] * NXW_MOLAR_MASS_H2O_KG_MOL);
    double slope;
    const double L = nxw_acid_dilution_heat_J_mol(m, &slope);
    H += rate[NXW_L_NITRATE] * (L + m * slope) -
         m * m * slope * rate[NXW_L_H2O] * NXW_MOLAR_MASS_H2O_KG_MOL;
    *capacity_J_K = capacity(n, rate, &C_rate);
    *rate_W = H + C_rate * (T_K - NXW_STANDARD_K);
}
