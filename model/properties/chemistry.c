#include "properties/chemistry.h"

#include <math.h>

#include "properties/water.h"

static const double M_ATM = 1000.0 / NXW_ATMOSPHERE_PA; /* mol/(L atm) -> mol/(m3 Pa) */
static const double VISCOSITY_STANDARD_PA_S =
    0.00088999677367878303; /* nxw_water_viscosity_Pa_s(NXW_STANDARD_K) */

double nxw_constant_at(const struct nxw_parameters *p, enum nxw_parameter_id x,
                       enum nxw_parameter_id B, double T_K)
{
    return p->value[x] * exp(p->value[B] * (1.0 / T_K - 1.0 / NXW_STANDARD_K));
}
#define AT(key) nxw_constant_at(p, NXW_P_##key, NXW_P_##key##_B, T_K)

void nxw_chemistry_gas(const struct nxw_parameters *p, double T_K, struct nxw_chemistry *c)
{
    c->T_K = T_K;
    c->RT_J_mol = NXW_GAS_CONSTANT * T_K;
    c->K_N2O4_1_Pa = AT(K_N2O4) / NXW_ATMOSPHERE_PA;
    c->K_N2O3_1_Pa = AT(K_N2O3) / NXW_ATMOSPHERE_PA;
    c->K_HNO2_1_Pa = AT(K_HNO2_gas) / NXW_ATMOSPHERE_PA;
    c->k_NO_oxidation_m6_mol2_s = AT(k_NO_oxidation) * 1e-6;
    c->k_HNO2_gas_mol_m3_s_Pa3 = p->value[NXW_P_k_HNO2_gas] * 1e3 /
                                 (NXW_ATMOSPHERE_PA * NXW_ATMOSPHERE_PA * NXW_ATMOSPHERE_PA);
    c->water_vapour_Pa = nxw_water_vapour_pressure_Pa(T_K);

    /* Diffusivities grow as T^1.81 (Massman 1998). */
    double t = exp(1.81 * log(T_K / NXW_STANDARD_K));
    c->D_air_m2_s[NXW_NO] = p->value[NXW_P_D_NO_air] * t;
    c->D_air_m2_s[NXW_NO2] = p->value[NXW_P_D_NO2_air] * t;
    c->D_air_m2_s[NXW_HNO2] = p->value[NXW_P_D_HNO2_air] * t;
    c->D_air_m2_s[NXW_HNO3] = p->value[NXW_P_D_HNO3_air] * t;
    c->D_air_m2_s[NXW_O2] = p->value[NXW_P_D_O2_air] * t;
    c->D_air_m2_s[NXW_INERT] = c->D_air_m2_s[NXW_O2];
    c->D_air_m2_s[NXW_H2O] = p->value[NXW_P_D_H2O_air] * t;
    c->D_N2O4_air_m2_s = p->value[NXW_P_D_N2O4_air] * t;
    c->D_N2O3_air_m2_s = p->value[NXW_P_D_N2O3_air] * t;
}

void nxw_chemistry_at(const struct nxw_parameters *p, double T_K, struct nxw_chemistry *c)
{
    nxw_chemistry_gas(p, T_K, c);
    c->H_NO = AT(H_NO) * M_ATM;
    c->H_NO2 = AT(H_NO2) * M_ATM;
    c->H_N2O4 = AT(H_N2O4) * M_ATM;
    c->H_N2O3 = AT(H_N2O3) * M_ATM;
    c->H_HNO2 = AT(H_HNO2) * M_ATM;
    c->KH_HNO3 = AT(KH_HNO3) / NXW_ATMOSPHERE_PA;

    c->k2_m3_mol_s = AT(k2_NO2) * 1e-3;
    c->K_dimer_m3_mol = c->H_N2O4 * c->K_N2O4_1_Pa / (c->H_NO2 * c->H_NO2);
    c->k_N2O3_1_s = AT(khyd_N2O3);
    c->k5_m3_mol_s = AT(k5_HNO2) * 1e-3;
    c->Ka_mol_m3 = AT(Ka_HNO2) * 1e3;
    c->k_peroxide_m6_mol2_s = AT(k_HNO2_H2O2) * 1e-6;
    c->K_HOONO_mol_m3 = p->value[NXW_P_K_HOONO] * 1e3;
    c->k_HOONO_1_s = AT(k_HOONO);
    c->k_HOONO_HNO2_m6_mol2_s = p->value[NXW_P_k_HOONO_HNO2] * 1e-6;

    /*
     * One thermodynamic cycle, so that no loop of reactions runs for ever:
     *   NO + NO2 + H2O(g) = 2 HNO2(g)  and the Henry constants give
     *     K5 = [NO][NO2] a_w / [HNO2]^2 = H_NO H_NO2 / (H_HNO2^2 K_HNO2 p_w)
     *   3 HNO2(aq) = H+ + NO3- + 2 NO(g) + H2O  (K3) and K5 give
     *     K_hyd = [HNO2] a_HNO3 / ([NO2]^2 a_w) = K3 H_NO^2 / K5^2
     */
    c->K5 = c->H_NO * c->H_NO2 / (c->H_HNO2 * c->H_HNO2 * c->K_HNO2_1_Pa * c->water_vapour_Pa);
    double K3_mol2_kg2_Pa2_m9_mol3 =
        AT(K3_HNO2) * NXW_ATMOSPHERE_PA * NXW_ATMOSPHERE_PA * 1e-9; /* a in (mol/kg)^2 */
    c->K_hydrolysis = K3_mol2_kg2_Pa2_m9_mol3 * c->H_NO * c->H_NO / (c->K5 * c->K5);

    /* D mu / T is constant (Stokes-Einstein); viscosity of water here, the acid's in liquid.c. */
    c->water_viscosity_Pa_s = nxw_water_viscosity_Pa_s(T_K);
    const double f = T_K / NXW_STANDARD_K * VISCOSITY_STANDARD_PA_S / c->water_viscosity_Pa_s;
    c->D_NO = p->value[NXW_P_D_NO_water] * f;
    c->D_NO2 = p->value[NXW_P_D_NO2_water] * f;
    c->D_N2O4 = p->value[NXW_P_D_N2O4_water] * f;
    c->D_N2O3 = p->value[NXW_P_D_N2O3_water] * f;
    c->D_HNO2 = p->value[NXW_P_D_HNO2_water] * f;
}
