/* Gas equilibria and rates by name. */
#include <math.h>

#include "properties/gas.h"
#include "reactions/hno2_formation_gas.h"
#include "reactions/no_oxidation.h"
#include "selftest/quantity.h"

static struct nxw_chemistry gas_at(double T_K)
{
    struct nxw_parameters p;
    struct nxw_chemistry c;
    nxw_parameters_default(&p);
    nxw_chemistry_gas(&p, T_K, &c);
    return c;
}

/* Moles of NO lost per volume and time at concentrations NO, O2. */
static double NO_loss(double NO_mol_m3, double O2_mol_m3, double T_K)
{
    const struct nxw_chemistry c = gas_at(T_K);
    struct nxw_gas_pressures g = {0};
    g.NO_Pa = NO_mol_m3 * c.RT_J_mol;
    g.pool_Pa[NXW_O2] = O2_mol_m3 * c.RT_J_mol;
    return nxw_NO_oxidation_mol_m3_s(&c, &g);
}

/* Rate of the reaction 2 NO + O2, two NO to the event. */
static double NO_oxidation_rate(const double *in) { return 0.5 * NO_loss(in[0], in[1], in[2]); }

/* -dp_NO/dt = k p_NO^2 p_O2 */
static double NO_consumption_constant(const double *in)
{
    const double RT = gas_at(in[0]).RT_J_mol;
    return NO_loss(1.0 / RT, 1.0 / RT, in[0]) * RT;
}

/* Time for a share of NO to go, at constant volume; oxygen is used up where it counts. */
static double oxidation_time(double yNO, double yO2, double share, double T_K, double P_Pa,
                             bool oxygen_counts)
{
    /* t = integral of NO/loss over ln NO, Simpson's rule */
    enum { STEPS = 400 };
    const double per_Pa = 1.0 / gas_at(T_K).RT_J_mol;
    const double start = yNO * P_Pa * per_Pa, O2 = yO2 * P_Pa * per_Pa;
    const double step = -log1p(-share) / STEPS;
    double sum = 0.0;
    for (int i = 0; i <= STEPS; i++) {
        const double NO = start * exp(-step * i);
        const double left = oxygen_counts ? O2 - 0.5 * (start - NO) : O2;
        const double weight = i == 0 || i == STEPS ? 1.0 : i % 2 == 1 ? 4.0 : 2.0;
        sum += weight * NO / NO_loss(NO, left, T_K);
    }
    return sum * step / 3.0;
}
static double NO_time(const double *in)
{
    return oxidation_time(in[0], in[1], in[2], in[3], in[4], true);
}
static double NO_time_excess(const double *in)
{
    return oxidation_time(in[0], in[1], in[2], in[3], in[4], false);
}

/* Pure NO2 and N2O4: share of N2O4 that has come apart. */
static double dissociation(const double *in)
{
    const struct nxw_chemistry c = gas_at(in[0]);
    double n[NXW_POOLS] = {0.0};
    struct nxw_gas_pressures g;
    n[NXW_NO2] = 1.0;
    nxw_gas_speciate(&c, n, in[1], &g);
    return g.NO2_Pa / (g.NO2_Pa + 2.0 * g.N2O4_Pa);
}

/* A gas in which NO2 + 2 N2O4 stand at the pressure pool_Pa: inert is added until they do. */
static struct nxw_gas_pressures at_pool(const struct nxw_chemistry *c, double pool_Pa)
{
    struct nxw_gas_pressures g;
    double n[NXW_POOLS] = {0.0}, low = 0.0, high = 1e6;
    n[NXW_NO2] = 1.0;
    for (int i = 0; i < 200; i++) {
        n[NXW_INERT] = 0.5 * (low + high);
        nxw_gas_speciate(c, n, 2.0 * pool_Pa, &g);
        *(g.pool_Pa[NXW_NO2] > pool_Pa ? &low : &high) = n[NXW_INERT];
    }
    return g;
}
static double N2O4_share(const double *in)
{
    const struct nxw_chemistry c = gas_at(in[0]);
    return 1.0 - at_pool(&c, in[1]).NO2_Pa / in[1];
}

/* NO2 over N2O4 for a dissociation constant given: from pool pressure and Kp. */
static double NO2_of_pool(const double *in)
{
    struct nxw_chemistry c = gas_at(298.15);
    c.K_N2O4_1_Pa = 1.0 / in[1];
    return at_pool(&c, in[0]).NO2_Pa;
}
static double N2O4_of_pool(const double *in)
{
    struct nxw_chemistry c = gas_at(298.15);
    c.K_N2O4_1_Pa = 1.0 / in[1];
    return at_pool(&c, in[0]).N2O4_Pa;
}

/* Volumes left when NO (as given) meets air and all that can has become NO2, dry, 1 atm. */
static double NO_air_volumes(const double *in)
{
    const struct nxw_chemistry c = gas_at(in[2]);
    const double O2 = 0.2095 * in[1], used = fmin(O2, 0.5 * in[0]);
    double n[NXW_POOLS] = {0.0};
    struct nxw_gas_pressures g;
    n[NXW_NO2] = 2.0 * used;
    n[NXW_NO] = in[0] - 2.0 * used;
    n[NXW_O2] = O2 - used;
    n[NXW_INERT] = in[1] - O2;
    nxw_gas_speciate(&c, n, NXW_ATMOSPHERE_PA, &g);
    return g.volume_m3 * NXW_ATMOSPHERE_PA / c.RT_J_mol;
}

/* e-folding time of NO by HNO2 formation in gas of these partial pressures */
static double HNO2_formation_time(const double *in)
{
    const struct nxw_chemistry c = gas_at(in[3]);
    struct nxw_gas_pressures g = {0};
    g.NO_Pa = in[0];
    g.NO2_Pa = in[1];
    g.pool_Pa[NXW_H2O] = in[2];
    return in[0] / (nxw_HNO2_formation_mol_m3_s(&c, &g) * c.RT_J_mol);
}

/* HNO2 at which its formation in the gas stands still */
static double HNO2_equilibrium(const double *in)
{
    const struct nxw_chemistry c = gas_at(in[3]);
    struct nxw_gas_pressures g = {0};
    g.NO_Pa = in[0];
    g.NO2_Pa = in[1];
    g.pool_Pa[NXW_H2O] = in[2];
    double low = 0.0, high = 1e7;
    for (int i = 0; i < 200; i++) {
        const double middle = 0.5 * (low + high);
        g.pool_Pa[NXW_HNO2] = middle;
        *(nxw_HNO2_formation_mol_m3_s(&c, &g) > 0.0 ? &low : &high) = middle;
    }
    return low;
}

#define OXIDATION NXW_INPUTS_5("NO", "1", "O2", "1", "share", "1", "T", "K", "P", "Pa")

const struct nxw_quantity_entry nxw_gas_quantities[] = {
    {{"NO_oxidation_rate", "mol/(m3 s)", NXW_INPUTS_3("NO", "mol/m3", "O2", "mol/m3", "T", "K")},
     NO_oxidation_rate},
    {{"NO_consumption_constant", "1/(Pa2 s)", NXW_INPUTS_1("T", "K")}, NO_consumption_constant},
    {{"NO_oxidation_time", "s", OXIDATION}, NO_time},
    {{"NO_oxidation_time_much_O2", "s", OXIDATION}, NO_time_excess},
    {{"N2O4_dissociation", "1", NXW_INPUTS_2("T", "K", "P", "Pa")}, dissociation},
    {{"N2O4_share", "1", NXW_INPUTS_2("T", "K", "pool", "Pa")}, N2O4_share},
    {{"NO2_pressure_of_pool", "Pa", NXW_INPUTS_2("pool", "Pa", "Kp", "Pa")}, NO2_of_pool},
    {{"N2O4_pressure_of_pool", "Pa", NXW_INPUTS_2("pool", "Pa", "Kp", "Pa")}, N2O4_of_pool},
    {{"NO_and_air_volumes", "1", NXW_INPUTS_3("NO", "1", "air", "1", "T", "K")}, NO_air_volumes},
    {{"HNO2_formation_time", "s", NXW_INPUTS_4("NO", "Pa", "NO2", "Pa", "H2O", "Pa", "T", "K")},
     HNO2_formation_time},
    {{"HNO2_gas_equilibrium", "Pa", NXW_INPUTS_4("NO", "Pa", "NO2", "Pa", "H2O", "Pa", "T", "K")},
     HNO2_equilibrium},
    {{NULL, NULL, NXW_INPUTS_0}, NULL}};
