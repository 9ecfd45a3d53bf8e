/* Constants at a temperature, formation enthalpies, molar masses and heats of reaction, by name. */
#include <math.h>
#include <stddef.h>

#include "properties/gas.h"
#include "properties/water.h"
#include "selftest/quantity.h"
#include "stage/liquid.h"

static struct nxw_chemistry chemistry(double T_K)
{
    struct nxw_parameters p;
    struct nxw_chemistry c;
    nxw_parameters_default(&p);
    nxw_chemistry_at(&p, T_K, &c);
    return c;
}

/* name, unit, expression in c */
#define CONSTANTS_AT_T(X)                                                                          \
    X(K_N2O4, "1/Pa", c.K_N2O4_1_Pa)                                                               \
    X(K_N2O3, "1/Pa", c.K_N2O3_1_Pa)                                                               \
    X(K_HNO2_gas, "1/Pa", c.K_HNO2_1_Pa)                                                           \
    X(N2O4_dissociation_constant, "Pa", 1.0 / c.K_N2O4_1_Pa)                                       \
    X(N2O3_dissociation_constant, "Pa", 1.0 / c.K_N2O3_1_Pa)                                       \
    X(k_NO_oxidation, "m6/(mol2 s)", c.k_NO_oxidation_m6_mol2_s)                                   \
    X(k_HNO2_gas, "mol/(m3 s Pa3)", c.k_HNO2_gas_mol_m3_s_Pa3)                                     \
    X(H_NO, "mol/(m3 Pa)", c.H_NO)                                                                 \
    X(H_NO2, "mol/(m3 Pa)", c.H_NO2)                                                               \
    X(H_N2O4, "mol/(m3 Pa)", c.H_N2O4)                                                             \
    X(H_N2O3, "mol/(m3 Pa)", c.H_N2O3)                                                             \
    X(H_HNO2, "mol/(m3 Pa)", c.H_HNO2)                                                             \
    X(KH_HNO3, "mol2/(kg2 Pa)", c.KH_HNO3)                                                         \
    X(k2_NO2, "m3/(mol s)", c.k2_m3_mol_s)                                                         \
    X(k2_H2_NO2, "mol/(m3 s Pa2)", c.k2_m3_mol_s *c.H_NO2 *c.H_NO2)                                \
    X(K_dimer_aq, "m3/mol", c.K_dimer_m3_mol)                                                      \
    X(k_hydrolysis_N2O4, "1/s", c.k2_m3_mol_s / c.K_dimer_m3_mol)                                  \
    X(k_hydrolysis_N2O3, "1/s", c.k_N2O3_1_s)                                                      \
    X(k5_HNO2, "m3/(mol s)", c.k5_m3_mol_s)                                                        \
    X(k5_reverse, "m3/(mol s)", c.k5_m3_mol_s / c.K5)                                              \
    X(K5, "1", c.K5)                                                                               \
    X(K_hydrolysis, "mol/m3", c.K_hydrolysis)                                                      \
    X(Ka_HNO2, "mol/m3", c.Ka_mol_m3)                                                              \
    X(k_HNO2_H2O2, "m6/(mol2 s)", c.k_peroxide_m6_mol2_s)                                          \
    X(K_HOONO, "mol/m3", c.K_HOONO_mol_m3)                                                         \
    X(k_HOONO, "1/s", c.k_HOONO_1_s)                                                               \
    X(k_HOONO_HNO2, "m6/(mol2 s)", c.k_HOONO_HNO2_m6_mol2_s)                                       \
    X(D_NO_water, "m2/s", c.D_NO)                                                                  \
    X(D_NO2_water, "m2/s", c.D_NO2)                                                                \
    X(D_N2O4_water, "m2/s", c.D_N2O4)                                                              \
    X(D_N2O3_water, "m2/s", c.D_N2O3)                                                              \
    X(D_HNO2_water, "m2/s", c.D_HNO2)                                                              \
    X(D_water_factor, "1", c.D_NO2 / chemistry(NXW_STANDARD_K).D_NO2)                              \
    X(D_NO_air, "m2/s", c.D_air_m2_s[NXW_NO])                                                      \
    X(D_NO2_air, "m2/s", c.D_air_m2_s[NXW_NO2])                                                    \
    X(D_HNO2_air, "m2/s", c.D_air_m2_s[NXW_HNO2])                                                  \
    X(D_HNO3_air, "m2/s", c.D_air_m2_s[NXW_HNO3])                                                  \
    X(D_O2_air, "m2/s", c.D_air_m2_s[NXW_O2])                                                      \
    X(D_H2O_air, "m2/s", c.D_air_m2_s[NXW_H2O])                                                    \
    X(D_N2O4_air, "m2/s", c.D_N2O4_air_m2_s)                                                       \
    X(D_N2O3_air, "m2/s", c.D_N2O3_air_m2_s)

#define FUNCTION(name, unit, expression)                                                           \
    static double at_##name(const double *input)                                                   \
    {                                                                                              \
        const struct nxw_chemistry c = chemistry(input[0]);                                        \
        return expression;                                                                         \
    }
CONSTANTS_AT_T(FUNCTION)
#undef FUNCTION

/* name, value */
#define CONSTANTS(X)                                                                               \
    X(molar_mass_HNO3, "kg/mol", NXW_MOLAR_MASS_HNO3_KG_MOL)                                       \
    X(molar_mass_HNO2, "kg/mol", NXW_MOLAR_MASS_HNO2_KG_MOL)                                       \
    X(molar_mass_NO, "kg/mol", NXW_MOLAR_MASS_NO_KG_MOL)                                           \
    X(molar_mass_NO2, "kg/mol", NXW_MOLAR_MASS_NO2_KG_MOL)                                         \
    X(molar_mass_O2, "kg/mol", NXW_MOLAR_MASS_O2_KG_MOL)                                           \
    X(molar_mass_H2O, "kg/mol", NXW_MOLAR_MASS_H2O_KG_MOL)                                         \
    X(molar_mass_H2O2, "kg/mol", NXW_MOLAR_MASS_H2O2_KG_MOL)                                       \
    X(gas_constant, "J/(mol K)", NXW_GAS_CONSTANT)                                                 \
    X(dHf_NO_gas, "J/mol", gas_J_mol(NXW_NO))                                                      \
    X(dHf_NO2_gas, "J/mol", gas_J_mol(NXW_NO2))                                                    \
    X(dHf_HNO2_gas, "J/mol", gas_J_mol(NXW_HNO2))                                                  \
    X(dHf_HNO3_gas, "J/mol", gas_J_mol(NXW_HNO3))                                                  \
    X(dHf_H2O_gas, "J/mol", gas_J_mol(NXW_H2O))                                                    \
    X(dHf_N2O4_gas, "J/mol", PAIRED_N2O4 + 2.0 * NO2)                                              \
    X(dHf_N2O3_gas, "J/mol", PAIRED_N2O3 + NO2 + NO)                                               \
    X(dHf_HNO3_aq, "J/mol", liquid_J_mol(NXW_L_NITRATE))                                           \
    X(dHf_HNO2_aq, "J/mol", liquid_J_mol(NXW_L_N3))                                                \
    X(dHf_H2O2_aq, "J/mol", liquid_J_mol(NXW_L_H2O2))                                              \
    X(dHf_H2O_liquid, "J/mol", liquid_J_mol(NXW_L_H2O))                                            \
    /* 3 NO2 + H2O -> 2 HNO3 + NO, per NO2 */                                                      \
    X(heat_NO2_water_to_NO, "J/mol", (2.0 * NITRIC + NO - 3.0 * NO2 - WATER) / 3.0)                \
    /* 2 NO2 + H2O -> HNO3 + HNO2, per NO2 */                                                      \
    X(heat_NO2_water_to_HNO2, "J/mol", (NITRIC + NITROUS - 2.0 * NO2 - WATER) / 2.0)               \
    /* 4 NO2 + O2 + 2 H2O -> 4 HNO3, per NO2 */                                                    \
    X(heat_NO2_water_oxygen, "J/mol", NITRIC - NO2 - 0.5 * WATER)                                  \
    /* 2 NO2 + H2O2 -> 2 HNO3, per NO2 */                                                          \
    X(heat_NO2_peroxide, "J/mol", NITRIC - NO2 - 0.5 * PEROXIDE)                                   \
    /* 2 NO + 3 H2O2 -> 2 HNO3 + 2 H2O, per NO */                                                  \
    X(heat_NO_peroxide, "J/mol", NITRIC + WATER - NO - 1.5 * PEROXIDE)                             \
    /* HNO2 + H2O2 -> HNO3 + H2O */                                                                \
    X(heat_HNO2_peroxide, "J/mol", NITRIC + WATER - NITROUS - PEROXIDE)                            \
    /* 3 HNO2 -> HNO3 + 2 NO + H2O */                                                              \
    X(heat_HNO2_decay, "J/mol", NITRIC + 2.0 * NO + WATER - 3.0 * NITROUS)                         \
    /* H2O2 -> H2O + 1/2 O2 */                                                                     \
    X(heat_H2O2_decay, "J/mol", WATER - PEROXIDE)                                                  \
    /* NO + 1/2 O2 -> NO2 */                                                                       \
    X(heat_NO_oxidation, "J/mol", NO2 - NO)                                                        \
    /* 2 NO2 -> N2O4 */                                                                            \
    X(heat_N2O4, "J/mol", PAIRED_N2O4)                                                             \
    /* NO + NO2 -> N2O3 */                                                                         \
    X(heat_N2O3, "J/mol", PAIRED_N2O3)                                                             \
    /* H2O(g) -> H2O(l) */                                                                         \
    X(heat_condensation, "J/mol", WATER - gas_J_mol(NXW_H2O))                                      \
    X(heat_ratio_peroxide_water, "1",                                                              \
      (NITRIC - NO2 - 0.5 * PEROXIDE) / ((2.0 * NITRIC + NO - 3.0 * NO2 - WATER) / 3.0))

#define NITRIC liquid_J_mol(NXW_L_NITRATE)
#define NITROUS liquid_J_mol(NXW_L_N3)
#define PEROXIDE liquid_J_mol(NXW_L_H2O2)
#define WATER liquid_J_mol(NXW_L_H2O)
#define NO gas_J_mol(NXW_NO)
#define NO2 gas_J_mol(NXW_NO2)
#define PAIRED_N2O4 pairing_J_mol(1.0, 0.0)
#define PAIRED_N2O3 pairing_J_mol(0.0, 1.0)

/* What a mole of N2O4 or N2O3 differs from its parts. */
static double pairing_J_mol(double N2O4, double N2O3)
{
    const struct nxw_gas_pressures g = {.N2O4_Pa = N2O4, .N2O3_Pa = N2O3, .Pa_per_mol = 1.0};
    struct nxw_parameters p;
    nxw_parameters_default(&p);
    return nxw_gas_dimer_enthalpy(&p, &g, NXW_STANDARD_K);
}

static double gas_J_mol(enum nxw_pool pool)
{
    struct nxw_parameters p;
    nxw_parameters_default(&p);
    return nxw_gas_molar_enthalpy(&p, pool, NXW_STANDARD_K);
}

static double liquid_J_mol(enum nxw_liquid_state_index i)
{
    struct nxw_parameters p;
    double h[NXW_L_AMOUNTS];
    nxw_parameters_default(&p);
    nxw_liquid_molar_enthalpies(&p, h);
    return h[i];
}

/* Rise of a run's water that takes up NO2 for this heat: mol NO2, m3 water at 25 degC. */
static double rise_K(const double *in, double heat_J_mol)
{
    static const double still[NXW_L_AMOUNTS] = {0.0};
    double n[NXW_L_AMOUNTS] = {0.0}, rate_W, capacity_J_K;
    struct nxw_parameters p;
    nxw_parameters_default(&p);
    n[NXW_L_H2O] = in[1] * nxw_water_density_kg_m3(NXW_STANDARD_K) / NXW_MOLAR_MASS_H2O_KG_MOL;
    nxw_liquid_enthalpy_rate(&p, n, still, NXW_STANDARD_K, &rate_W, &capacity_J_K);
    return -heat_J_mol * in[0] / capacity_J_K;
}
static double rise_water(const double *in)
{
    return rise_K(in, (2.0 * NITRIC + NO - 3.0 * NO2 - WATER) / 3.0);
}
static double rise_peroxide(const double *in) { return rise_K(in, NITRIC - NO2 - 0.5 * PEROXIDE); }

#define FUNCTION(name, unit, expression)                                                           \
    static double value_##name(const double *input)                                                \
    {                                                                                              \
        (void)input;                                                                               \
        return expression;                                                                         \
    }
CONSTANTS(FUNCTION)
#undef FUNCTION

const struct nxw_quantity_entry nxw_constant_quantities[] = {
#define ENTRY(name, unit, expression) {{#name, unit, NXW_INPUTS_1("T", "K")}, at_##name},
    CONSTANTS_AT_T(ENTRY)
#undef ENTRY
#define ENTRY(name, unit, expression) {{#name, unit, NXW_INPUTS_0}, value_##name},
        CONSTANTS(ENTRY)
#undef ENTRY
            {{"adiabatic_rise_water", "K", NXW_INPUTS_2("NO2", "mol", "water", "m3")}, rise_water},
    {{"adiabatic_rise_peroxide", "K", NXW_INPUTS_2("NO2", "mol", "water", "m3")}, rise_peroxide},
    {{NULL, NULL, NXW_INPUTS_0}, NULL}};
