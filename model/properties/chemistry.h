/* Every constant of the chemistry at one temperature, in SI: mol/m3, Pa, s, m2/s, J/mol. */
#ifndef NXW_CHEMISTRY_H
#define NXW_CHEMISTRY_H

#include "base/constants_of_nature.h"
#include "noxwash.h"

/* Pools of gas that are carried: NO* = NO + N2O3, NO2* = NO2 + 2 N2O4 + N2O3. */
enum nxw_pool {
    NXW_NO,
    NXW_NO2,
    NXW_HNO2,
    NXW_HNO3,
    NXW_O2,
    NXW_H2O,
    NXW_INERT,
    NXW_POOLS,
    NXW_PATH_POOLS = NXW_INERT /* carried up the bubble path: the inert gas only rides along */
};

struct nxw_chemistry {
    double T_K, RT_J_mol;
    /* gas */
    double K_N2O4_1_Pa, K_N2O3_1_Pa, K_HNO2_1_Pa;
    double k_NO_oxidation_m6_mol2_s;
    double k_HNO2_gas_mol_m3_s_Pa3;
    double D_air_m2_s[NXW_POOLS], D_N2O4_air_m2_s, D_N2O3_air_m2_s; /* at 1 atm */
    /* solubility, mol/(m3 Pa); HNO3 in mol2/(kg2 Pa) */
    double H_NO, H_NO2, H_N2O4, H_N2O3, H_HNO2, KH_HNO3;
    double water_vapour_Pa, water_viscosity_Pa_s;
    /* liquid */
    double k2_m3_mol_s;    /* 2 NO2 + H2O -> HNO2 + HNO3 */
    double K_dimer_m3_mol; /* N2O4(aq) = K c^2 */
    double K_hydrolysis;   /* [HNO2] a_HNO3 / ([NO2]^2 a_w); mol/m3 with a in (mol/kg)^2 */
    double k_N2O3_1_s;
    double k5_m3_mol_s, K5; /* 2 HNO2 = NO + NO2 + H2O; K5 = [NO][NO2] a_w / [HNO2]^2 */
    double Ka_mol_m3;
    double k_peroxide_m6_mol2_s, K_HOONO_mol_m3, k_HOONO_1_s, k_HOONO_HNO2_m6_mol2_s;
    double D_NO, D_NO2, D_N2O4, D_N2O3, D_HNO2; /* in water, m2/s */
};

/* Value of a constant at T: x exp(B (1/T - 1/298.15)). */
double nxw_constant_at(const struct nxw_parameters *p, enum nxw_parameter_id x,
                       enum nxw_parameter_id B, double T_K);

/* Gas-phase constants only (headspace). */
void nxw_chemistry_gas(const struct nxw_parameters *p, double T_K, struct nxw_chemistry *out);
/* Gas and liquid constants. */
void nxw_chemistry_at(const struct nxw_parameters *p, double T_K, struct nxw_chemistry *out);

#endif
