/* Uptake, nitrous acid and the gas over acid by name. */
#include <math.h>

#include "reactions/hno2_decomposition.h"
#include "reactions/hno2_peroxide.h"
#include "reactions/no2_hydrolysis.h"
#include "selftest/quantity.h"
#include "stage/film.h"

static const struct nxw_liquid_charge PLAIN = {0};

/* Acid of molality m with a little nitrous acid, per kilogram of water. */
static struct nxw_liquid solution(double m_mol_kg, double N3_mol_kg, double T_K)
{
    struct nxw_parameters p;
    struct nxw_liquid l;
    double n[NXW_L_AMOUNTS] = {0.0};
    n[NXW_L_H2O] = 1.0 / NXW_MOLAR_MASS_H2O_KG_MOL;
    n[NXW_L_NITRATE] = m_mol_kg;
    n[NXW_L_N3] = N3_mol_kg;
    nxw_parameters_default(&p);
    nxw_liquid_set(&p, n, T_K, &PLAIN, &l);
    return l;
}

/* NO over it, Pa, at which nitrous acid neither decays nor forms, NO2 being in equilibrium with it:
 * the rate falls as a straight line with NO. */
static double NO_over(const struct nxw_liquid *l)
{
    struct nxw_liquid at = *l;
    at.NO2 = l->NO2_equilibrium;
    at.NO = 0.0;
    const double without = nxw_HNO2_decomposition_mol_m3_s(&at);
    at.NO = 1.0;
    return without / (without - nxw_HNO2_decomposition_mol_m3_s(&at)) / l->c.H_NO;
}

/* log10 of p_NO/p_NO2^3, atm^-2 */
static double log_KH(double m_mol_kg, double T_K)
{
    const struct nxw_liquid l = solution(m_mol_kg, 1e-4, T_K);
    const double NO2_Pa = l.NO2_equilibrium / l.c.H_NO2;
    return log10(NO_over(&l) / pow(NO2_Pa, 3.0) * NXW_ATMOSPHERE_PA * NXW_ATMOSPHERE_PA);
}
static double log_KH_molality(const double *in) { return log_KH(in[0], in[1]); }
static double log_KH_mass(const double *in)
{
    return log_KH(in[0] / (NXW_MOLAR_MASS_HNO3_KG_MOL * (1.0 - in[0])), in[1]);
}

/* NO2 over acid of mass fraction w under NO of the pressure given */
static double NO2_over_acid(const double *in)
{
    const double K = pow(10.0, log_KH_mass((const double[]){in[0], in[2]}));
    return cbrt(in[1] / K * NXW_ATMOSPHERE_PA * NXW_ATMOSPHERE_PA);
}

/* Nitrous acid in acid of molality m in equilibrium with NO, by bisection. */
static double HNO2_over_acid(const double *in)
{
    double low = 1e-9, high = 10.0;
    struct nxw_liquid l = {0};
    for (int i = 0; i < 100; i++) {
        const double middle = sqrt(low * high);
        l = solution(in[0], middle, in[2]);
        *(NO_over(&l) > in[1] ? &high : &low) = middle;
    }
    return l.HNO2;
}

/* Undissociated nitrous acid halves while NO and NO2 are carried off at once. */
static double HNO2_half_life(const double *in)
{
    struct nxw_liquid l = solution(1.0, 0.0, in[1]);
    l.HNO2 = in[0];
    l.NO = l.NO2 = 0.0;
    return l.HNO2 / (2.0 * nxw_HNO2_decomposition_mol_m3_s(&l));
}

/* Share of N(III) that stands as HOONO in peroxide of this concentration. */
static double HOONO_share(const double *in)
{
    struct nxw_liquid l = solution(1.0, 0.0, in[1]);
    double low = 0.0, high = 1.0, ignored;
    for (int i = 0; i < 100; i++) { /* formation stands still */
        const double share = 0.5 * (low + high);
        l.HOONO = share;
        l.HNO2 = 1.0 - share;
        l.H2O2 = in[0];
        *(nxw_HNO2_peroxide_mol_m3_s(&l, &ignored) > 0.0 ? &low : &high) = share;
    }
    return low;
}

/* First-order rate of nitrous acid with peroxide. */
static double HNO2_peroxide_rate(const double *in)
{
    struct nxw_liquid l = solution(1.0, 0.0, in[2]);
    double ignored;
    l.h = in[0];
    l.H2O2 = in[1];
    l.HNO2 = 1e-6;
    return nxw_HNO2_peroxide_mol_m3_s(&l, &ignored) / l.HNO2;
}

/* Free nitrous acid as a share of N(III) in water with as much nitric acid. */
static double HNO2_free_share(const double *in)
{
    const struct nxw_liquid l = solution(in[0] * 1e-3, in[0] * 1e-3, in[1]);
    return l.HNO2 / l.N3;
}

/* What a run's film lets NO2 of this pressure, no NO, into a liquid: no resistance in the gas, and
 * next to none that leads through the film without reaction, mol N/(m2 s). */
static double NO2_into(const struct nxw_liquid *l, double NO2_Pa)
{
    struct nxw_gas_pressures g = {.P_Pa = 1e12, .NO2_Pa = NO2_Pa};
    g.N2O4_Pa = l->c.K_N2O4_1_Pa * NO2_Pa * NO2_Pa;
    g.pool_Pa[NXW_NO2] = NO2_Pa + 2.0 * g.N2O4_Pa;
    struct nxw_film_coefficients k = {.kL_NO = 1e-30, .kL_NO2 = 1e-30, .kL_HNO2 = 1.0};
    for (int j = 0; j < NXW_POOLS; j++)
        k.kG[j] = 1e15;
    struct nxw_film_flux J;
    nxw_film_flux(&g, l, &k, 1.0, &J);
    return J.NO2_hydrolysis + J.NO2_pool;
}

/* Film law: NO2 of this pressure at the interface of fresh water, mol N/(m2 s). */
static double film_flux(const double *in)
{
    const struct nxw_liquid l = solution(0.0, 0.0, in[1]);
    return NO2_into(&l, in[0]);
}
static double film_order(const double *in)
{
    const double up[] = {in[0] * 1.001, in[1]}, down[] = {in[0] / 1.001, in[1]};
    return log(film_flux(up) / film_flux(down)) / (2.0 * log(1.001));
}

/*
 * Stirred vessel: (H p - c)/tau = loss of NO2 by the bulk's own rate law; loss by bisection.
 * Inputs p, H, k2, tau.
 */
static double stirred_NO2(const double *in)
{
    struct nxw_liquid l = solution(0.0, 0.0, 283.15);
    l.c.k2_m3_mol_s = in[2];
    l.NO2_equilibrium = 0.0;
    double low = 0.0, high = in[1] * in[0];
    for (int i = 0; i < 200; i++) {
        l.NO2 = 0.5 * (low + high);
        const double loss = 2.0 * nxw_NO2_hydrolysis_mol_m3_s(&l);
        *((in[1] * in[0] - l.NO2) / in[3] > loss ? &low : &high) = l.NO2;
    }
    return l.NO2;
}
static double stirred_share(const double *in) { return stirred_NO2(in) / (in[1] * in[0]); }
static double stirred_uptake(const double *in) { return (in[1] * in[0] - stirred_NO2(in)) / in[3]; }
/* mean order of the uptake between two pressures: p, p2, H, k2, tau */
static double stirred_order(const double *in)
{
    const double a[] = {in[0], in[2], in[3], in[4]}, b[] = {in[1], in[2], in[3], in[4]};
    return log(stirred_uptake(b) / stirred_uptake(a)) / log(in[1] / in[0]);
}

/* Flux of N2O4 that reacts on its way in, per pressure: of NO2 that brings it and stays out. */
static double N2O4_absorption(const double *in)
{
    struct nxw_liquid l = solution(0.0, 0.0, in[0]);
    const double NO2_Pa = 1e3;
    l.c.D_NO2 = 0.0;
    return NO2_into(&l, NO2_Pa) / (2.0 * l.c.K_N2O4_1_Pa * NO2_Pa * NO2_Pa);
}

/*
 * The film between gas and liquid with a dissolved gas that reacts by first order: flux per
 * pressure, mol/(m2 s Pa). N2O3 is that gas; NO stands wholly bound to it.
 * Inputs kG mol/(m2 s Pa), H, kL, k, D.
 */
static double film_conductance(const double *in)
{
    struct nxw_liquid l = solution(0.0, 0.0, 298.15);
    l.c.K_N2O4_1_Pa = 0.0;
    l.c.K_N2O3_1_Pa = 1.0;
    l.c.k2_m3_mol_s = l.c.H_NO2 = 1e-30;
    l.c.H_NO = 1e-30;
    l.c.H_N2O3 = in[1];
    l.c.k_N2O3_1_s = in[3];
    l.c.D_N2O3 = in[4];
    l.NO_e_Pa = l.N2O3_e_Pa = 0.0;
    struct nxw_gas_pressures g = {0};
    g.P_Pa = 1e12;
    g.NO2_Pa = 1e8;
    g.NO_Pa = 1e-8;
    g.N2O3_Pa = g.NO_Pa * g.NO2_Pa;
    g.pool_Pa[NXW_NO] = g.NO_Pa + g.N2O3_Pa;
    g.pool_Pa[NXW_NO2] = g.NO2_Pa + g.N2O3_Pa;
    struct nxw_film_coefficients k = {.kL_NO = in[2], .kL_NO2 = 1e-30, .kL_HNO2 = 1.0};
    for (int j = 0; j < NXW_POOLS; j++)
        k.kG[j] = 1.0;
    k.kG[NXW_NO] = in[0];
    k.kG[NXW_NO2] = 1e9;
    struct nxw_film_flux J;
    nxw_film_flux(&g, &l, &k, 1.0, &J);
    return J.N2O3 / g.N2O3_Pa;
}

/* The same of N2O3 itself, without the gas's film and with next to no way through the film but by
 * reaction. */
static double N2O3_absorption(const double *in)
{
    const struct nxw_liquid l = solution(0.0, 0.0, in[0]);
    return film_conductance((const double[]){1e15, l.c.H_N2O3, 1e-30, l.c.k_N2O3_1_s, l.c.D_N2O3});
}

/* How much more a gas that reacts by first order gets in than one that only dissolves: Hatta's
 * number is sqrt(k D)/kL. */
static double film_enhancement(const double *in)
{
    const double H = 1e-4, kL = 1e-4, D = 2e-9, rate = in[0] * kL / D * (in[0] * kL);
    return film_conductance((const double[]){1e15, H, kL, rate, D}) / (H * kL);
}

/* 2 HNO2 = N2O3 + H2O: N2O3 that is dissolved over the nitrous acid of a solution. */
static double N2O3_of_HNO2(const double *in)
{
    const struct nxw_liquid l = solution(1.0, 1e-3, in[0]);
    return l.N2O3_e_Pa * l.c.H_N2O3 * l.water_activity / (l.HNO2 * l.HNO2);
}

/* Film blowing: flux of NO2 of mole fraction y into a liquid that leaves none at the surface,
 * over kG y P/RT. */
static double film_blowing(const double *in)
{
    struct nxw_liquid l = solution(0.0, 0.0, 298.15);
    l.c.K_N2O4_1_Pa = l.c.K_N2O3_1_Pa = 0.0;
    l.c.k2_m3_mol_s = 1e30;
    struct nxw_gas_pressures g = {0};
    g.P_Pa = NXW_ATMOSPHERE_PA;
    g.NO2_Pa = g.pool_Pa[NXW_NO2] = in[0] * g.P_Pa;
    struct nxw_film_coefficients k = {.kL_NO = 1e-4, .kL_NO2 = 1e-4, .kL_HNO2 = 1e-4};
    for (int j = 0; j < NXW_POOLS; j++)
        k.kG[j] = 0.01;
    struct nxw_film_flux J;
    nxw_film_flux(&g, &l, &k, l.c.RT_J_mol, &J);
    return (J.NO2_hydrolysis + J.NO2_pool) / (0.01 / l.c.RT_J_mol * g.NO2_Pa);
}

#define STIRRED NXW_INPUTS_4("p", "Pa", "H", "mol/(m3 Pa)", "k2", "m3/(mol s)", "tau", "s")

const struct nxw_quantity_entry nxw_liquid_quantities[] = {
    {{"log10_gas_over_acid", "1", NXW_INPUTS_2("w", "1", "T", "K")}, log_KH_mass},
    {{"log10_gas_over_acid_molality", "1", NXW_INPUTS_2("m", "mol/kg", "T", "K")}, log_KH_molality},
    {{"NO2_pressure_over_acid", "Pa", NXW_INPUTS_3("w", "1", "NO", "Pa", "T", "K")}, NO2_over_acid},
    {{"HNO2_over_acid", "mol/m3", NXW_INPUTS_3("m", "mol/kg", "NO", "Pa", "T", "K")},
     HNO2_over_acid},
    {{"HNO2_half_life_stripped", "s", NXW_INPUTS_2("HNO2", "mol/m3", "T", "K")}, HNO2_half_life},
    {{"HNO2_free_share", "1", NXW_INPUTS_2("N3", "mol/m3", "T", "K")}, HNO2_free_share},
    {{"HOONO_share", "1", NXW_INPUTS_2("H2O2", "mol/m3", "T", "K")}, HOONO_share},
    {{"HNO2_peroxide_rate", "1/s", NXW_INPUTS_3("H", "mol/m3", "H2O2", "mol/m3", "T", "K")},
     HNO2_peroxide_rate},
    {{"NO2_film_flux", "mol/(m2 s)", NXW_INPUTS_2("p", "Pa", "T", "K")}, film_flux},
    {{"NO2_film_order", "1", NXW_INPUTS_2("p", "Pa", "T", "K")}, film_order},
    {{"NO2_stirred_share", "1", STIRRED}, stirred_share},
    {{"NO2_stirred_uptake", "mol/(m3 s)", STIRRED}, stirred_uptake},
    {{"NO2_stirred_order", "1",
      NXW_INPUTS_5("p", "Pa", "p2", "Pa", "H", "mol/(m3 Pa)", "k2", "m3/(mol s)", "tau", "s")},
     stirred_order},
    {{"film_conductance_first_order", "mol/(m2 s Pa)",
      NXW_INPUTS_5("kG", "mol/(m2 s Pa)", "H", "mol/(m3 Pa)", "kL", "m/s", "k", "1/s", "D",
                   "m2/s")},
     film_conductance},
    {{"film_enhancement_first_order", "1", NXW_INPUTS_1("Ha", "1")}, film_enhancement},
    {{"film_blowing_factor", "1", NXW_INPUTS_1("y", "1")}, film_blowing},
    {{"N2O4_absorption_factor", "mol/(m2 s Pa)", NXW_INPUTS_1("T", "K")}, N2O4_absorption},
    {{"N2O3_absorption_factor", "mol/(m2 s Pa)", NXW_INPUTS_1("T", "K")}, N2O3_absorption},
    {{"K_2HNO2_N2O3", "m3/mol", NXW_INPUTS_1("T", "K")}, N2O3_of_HNO2},
    {{NULL, NULL, NXW_INPUTS_0}, NULL}};
