/* Layer (c): the gas and liquid constants against published values, or computed from them. */
#include "../assert_near.h"
#include "../film_law.h"

#include "reactions/hno2_decomposition.h"
#include "reactions/hno2_formation_gas.h"
#include "reactions/no2_hydrolysis.h"
#include "reactions/no_oxidation.h"
#include "stage/film.h"

static struct nxw_parameters p;
static struct nxw_chemistry c25;

static int set_up(void **state)
{
    (void)state;
    nxw_parameters_default(&p);
    nxw_chemistry_at(&p, 298.15, &c25);
    return 0;
}

/* Engineering lines at 298.15 K: 10^(2990/T - 9.187), 10^(2072/T - 7.234), 10^(2051.17/T - 6.7328)
 * (published, secondary transcriptions); last printed digit. */
static void test_gas_equilibria(void **state)
{
    (void)state;
    const double atm = NXW_ATMOSPHERE_PA;
    assert_near(c25.K_N2O4_1_Pa * atm, 6.942, 5e-4);
    assert_near(c25.K_N2O3_1_Pa * atm, 0.5194, 5e-5);
    assert_near(c25.K_HNO2_1_Pa * atm, 1.4024, 5e-5);
    struct nxw_chemistry cold;
    nxw_chemistry_gas(&p, 273.15, &cold);
    assert_relative(cold.K_N2O4_1_Pa * atm, pow(10.0, 2990.0 / 273.15 - 9.187), 1e-3);
    assert_relative(cold.K_N2O3_1_Pa * atm, pow(10.0, 2072.0 / 273.15 - 7.234), 1e-3);
    assert_relative(cold.K_HNO2_1_Pa * atm, pow(10.0, 2051.17 / 273.15 - 6.7328), 1e-3);
}

/* NO + O2, initial rates of a general-chemistry textbook at 25 degC (published, secondary
 * transcription), reaction basis: 2 NO + O2 at 0.0125 and 0.0253 mol/L, 0.0281 mol/(L s); 2 %. */
static void test_NO_oxidation_rate(void **state)
{
    (void)state;
    struct nxw_gas_pressures g = {0};
    g.NO_Pa = 12.5 * c25.RT_J_mol;
    g.pool_Pa[NXW_O2] = 25.3 * c25.RT_J_mol;
    assert_relative(nxw_NO_oxidation_mol_m3_s(&c25, &g), 2.0 * 28.1, 0.02);
    /* SAPRC07 line: NO consumption 23.66 atm^-2 s^-1 at 25 degC */
    g.NO_Pa = g.pool_Pa[NXW_O2] = NXW_ATMOSPHERE_PA;
    assert_relative(nxw_NO_oxidation_mol_m3_s(&c25, &g) * c25.RT_J_mol / NXW_ATMOSPHERE_PA, 23.66,
                    1e-3);
}

/* 1 % NO in air at 25 degC, 1 atm: half in 20.5 s, 90 % in 187 s with oxygen used up (computed from
 * the published rate); explicit midpoint steps of this function. */
static void test_NO_half_life(void **state)
{
    (void)state;
    const double atm = NXW_ATMOSPHERE_PA, dt = 0.01;
    struct nxw_gas_pressures g = {0};
    g.NO_Pa = 0.01 * atm;
    g.pool_Pa[NXW_O2] = 0.2074 * atm;
    double t = 0.0, half = 0.0;
    while (g.NO_Pa > 0.001 * atm) {
        struct nxw_gas_pressures m = g;
        double r = nxw_NO_oxidation_mol_m3_s(&c25, &g) * c25.RT_J_mol;
        m.NO_Pa -= 0.5 * dt * r;
        m.pool_Pa[NXW_O2] -= 0.25 * dt * r;
        r = nxw_NO_oxidation_mol_m3_s(&c25, &m) * c25.RT_J_mol;
        g.NO_Pa -= dt * r;
        g.pool_Pa[NXW_O2] -= 0.5 * dt * r;
        t += dt;
        if (half == 0.0 && g.NO_Pa <= 0.005 * atm)
            half = t;
    }
    assert_relative(half, 20.5, 5e-3);
    assert_relative(t, 187.0, 5e-3);
}

/* General-chemistry textbook: at K_p = 0.139 atm, 10 atm N2O4 at constant volume gives p_NO2 =
 * 1.15 atm (published, secondary transcription): here the share at 1 atm against the quadratic. */
static void test_speciation(void **state)
{
    (void)state;
    double n[NXW_POOLS] = {0.0};
    n[NXW_NO2] = 2.0;
    struct nxw_gas_pressures g;
    nxw_gas_speciate(&c25, n, NXW_ATMOSPHERE_PA, &g);
    const double K = c25.K_N2O4_1_Pa, P = NXW_ATMOSPHERE_PA;
    assert_relative(g.NO2_Pa, (sqrt(1.0 + 4.0 * K * P) - 1.0) / (2.0 * K), 1e-12);
    /* dissociation 0.188 at 25 degC, 1 atm: J. Atmos. Chem. 16, 257 (1993), K_p 0.1463; ours
     * 0.1440; band from the spread of published K */
    assert_near(g.NO2_Pa / (g.NO2_Pa + 2.0 * g.N2O4_Pa), 0.188, 0.004);
}

/* Priestley 1774 (public-domain copy): 1 volume NO and 2 volumes air over mercury became 2.286
 * volumes; computed for complete oxidation at 15-20 degC 2.270-2.290; band 2.24-2.32. */
static void test_NO_and_air_over_mercury(void **state)
{
    (void)state;
    struct nxw_chemistry c;
    nxw_chemistry_gas(&p, 291.15, &c);
    double n[NXW_POOLS] = {0.0};
    n[NXW_NO2] = 0.838;
    n[NXW_NO] = 0.162;
    n[NXW_INERT] = 2.0 * 0.7905;
    struct nxw_gas_pressures g;
    nxw_gas_speciate(&c, n, NXW_ATMOSPHERE_PA, &g);
    assert_near(g.volume_m3 * NXW_ATMOSPHERE_PA / c.RT_J_mol, 2.28, 0.04);
}

/* The flux law over five decades at 25 degC with D(NO2) = 1.40e-9: computed beside the published
 * constants of Cheung et al. 2000 and Schwartz and White 1981; last printed digit. */
static void test_NO2_flux_law(void **state)
{
    (void)state;
    const struct {
        double p_atm, J_kmol;
    } row[] = {{1e-5, 1.044e-11}, {1e-4, 3.637e-10}, {1e-3, 1.910e-8},
               {1e-2, 1.641e-6},  {1e-1, 1.611e-4},  {0.8, 1.029e-2}};
    struct nxw_liquid l = {0};
    l.c = c25;
    l.acid_factor = 1.0;
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
        double slope, up, down;
        const double c = c25.H_NO2 * row[i].p_atm * NXW_ATMOSPHERE_PA;
        const double J = film_law_mol_m2_s(&l, c, &slope);
        assert_relative(J, row[i].J_kmol * 1e3, 1e-3);
        up = film_law_mol_m2_s(&l, c * 1.0001, &down);
        assert_relative((up - J) / (c * 1e-4), slope, 1e-3);
    }
}

/* Park and Lee 1988 (abstract): k5 13.4 +- 1.0 L/(mol s) at 22.0 degC; K5 8.4e-8, ours from the
 * cycle within a factor 3; K_dim(aq) 6.5e4 L/mol (Graetzel 1969, from memory), 5 %. */
static void test_liquid_constants(void **state)
{
    (void)state;
    struct nxw_chemistry c;
    nxw_chemistry_at(&p, 295.15, &c);
    assert_near(c.k5_m3_mol_s * 1e3, 13.4, 1.0);
    assert_true(c.K5 > 8.4e-8 / 3.0 && c.K5 < 8.4e-8 * 3.0);
    assert_relative(c25.K_dimer_m3_mol * 1e3, 6.747e4, 1e-3);
    /* 1 atm of NO over the published Henry constant: 1.93e-3 mol/L */
    assert_relative(c25.H_NO * NXW_ATMOSPHERE_PA, 1.93, 1e-12);
}

/* Abel and Schmid's equilibrium (K3 30, from memory) over 1 mol/kg acid at 1, 0.1, 0.01 atm NO,
 * 25 degC: 0.256, 0.0552, 0.0119 mol/L nitrous acid; 2 %. */
static void test_HNO2_over_acid(void **state)
{
    (void)state;
    const double p_atm[] = {1.0, 0.1, 0.01}, want_mol_L[] = {0.256, 0.0552, 0.0119};
    const struct nxw_liquid_charge none = {0};
    for (int i = 0; i < 3; i++) {
        double low = 1e-6, high = 1.0;
        for (int k = 0; k < 80; k++) {
            double n[NXW_L_AMOUNTS] = {0.0};
            n[NXW_L_H2O] = 1.0 / NXW_MOLAR_MASS_H2O_KG_MOL;
            n[NXW_L_NITRATE] = 1.0;
            n[NXW_L_N3] = sqrt(low * high);
            struct nxw_liquid l;
            nxw_liquid_set(&p, n, 298.15, &none, &l);
            const double NO = l.c.K5 * l.HNO2 * l.HNO2 / (l.water_activity * l.NO2_equilibrium);
            *(NO / l.c.H_NO > p_atm[i] * NXW_ATMOSPHERE_PA ? &high : &low) = n[NXW_L_N3];
            if (k == 79)
                assert_relative(l.HNO2 * 1e-3, want_mol_L[i], 0.02);
        }
    }
}

/* Gas over acid, log10(p_NO/p_NO2^3 atm^2) at 25 degC: form A (published, secondary transcription):
 * 9.36, 8.13, 7.26 at 1, 2, 3 mol/kg; promised within a factor 3 (0.48), here thermodynamics. */
static void test_gas_over_acid(void **state)
{
    (void)state;
    const double m[] = {1.0, 2.0, 3.0}, form_A[] = {9.36, 8.13, 7.26};
    const struct nxw_liquid_charge none = {0};
    for (int i = 0; i < 3; i++) {
        double n[NXW_L_AMOUNTS] = {0.0};
        n[NXW_L_H2O] = 1.0 / NXW_MOLAR_MASS_H2O_KG_MOL;
        n[NXW_L_NITRATE] = m[i];
        n[NXW_L_N3] = 0.01;
        struct nxw_liquid l;
        nxw_liquid_set(&p, n, 298.15, &none, &l);
        const double NO2 = l.NO2_equilibrium;
        const double NO = l.c.K5 * l.HNO2 * l.HNO2 / (l.water_activity * NO2);
        const double atm = NXW_ATMOSPHERE_PA;
        const double K_H = NO / l.c.H_NO / atm / pow(NO2 / l.c.H_NO2 / atm, 3.0);
        assert_near(log10(K_H), form_A[i], 0.48);
    }
}

/* Heats of absorption from the formation enthalpies in use (NASA TM-4513 and CODATA column): kJ per
 * NO2 to nitric acid and NO 46.6, with nitrous acid 54.3, into peroxide 145.7; 0.1 kJ. */
static void test_heats(void **state)
{
    (void)state;
    double h[NXW_L_AMOUNTS];
    nxw_liquid_molar_enthalpies(&p, h);
    const double NO2 = nxw_gas_molar_enthalpy(&p, NXW_NO2, 298.15);
    const double NO = nxw_gas_molar_enthalpy(&p, NXW_NO, 298.15);
    assert_near((2.0 * h[NXW_L_NITRATE] + NO - 3.0 * NO2 - h[NXW_L_H2O]) / 3e3, -46.6, 0.1);
    assert_near((h[NXW_L_NITRATE] + h[NXW_L_N3] - 2.0 * NO2 - h[NXW_L_H2O]) / 2e3, -54.3, 0.1);
    assert_near((2.0 * h[NXW_L_NITRATE] - 2.0 * NO2 - h[NXW_L_H2O2]) / 2e3, -145.7, 0.1);
    assert_near((h[NXW_L_NITRATE] - NO2 - 0.5 * h[NXW_L_H2O]) / 1e3, -98.4, 0.2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_gas_equilibria),
                                       cmocka_unit_test(test_NO_oxidation_rate),
                                       cmocka_unit_test(test_NO_half_life),
                                       cmocka_unit_test(test_speciation),
                                       cmocka_unit_test(test_NO_and_air_over_mercury),
                                       cmocka_unit_test(test_NO2_flux_law),
                                       cmocka_unit_test(test_liquid_constants),

                                       cmocka_unit_test(test_HNO2_over_acid),
                                       cmocka_unit_test(test_gas_over_acid),
                                       cmocka_unit_test(test_heats)};
    return cmocka_run_group_tests(tests, set_up, NULL);
}
