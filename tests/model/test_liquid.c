/* Layer (b): compositions worked by hand, and their limits. */
#include "../assert_near.h"

#include "properties/acid.h"
#include "reactions/h2o2_decomposition.h"
#include "reactions/hno2_decomposition.h"
#include "reactions/no2_hydrolysis.h"
#include "stage/liquid.h"

static struct nxw_parameters p;
static struct nxw_liquid l;

static void set(const double n[NXW_L_AMOUNTS], double strong_acid_mol, bool physical_only)
{
    const struct nxw_liquid_charge charge = {.strong_acid_mol = strong_acid_mol,
                                             .physical_only = physical_only};
    nxw_parameters_default(&p);
    nxw_liquid_set(&p, n, 298.15, &charge, &l);
}

/* 1 mol of nitric acid in 1 kg of water at 25 degC: 63.012 g of 1063.012 g; log10 gamma =
 * -0.509/2.5 + 0.0645 - 0.00146 = -0.14056, gamma 0.72350, activity 0.52346; water by Gibbs-Duhem
 * with x = 2.5: phi = 0.97915, a_w = exp(-0.03603 phi) = 0.96534 and 3169.7 Pa (steam table) times
 * that; f_acid = 10^-(b c). */
static void molal_acid(void **state)
{
    (void)state;
    const double n[NXW_L_AMOUNTS] = {[NXW_L_NITRATE] = 1.0, [NXW_L_H2O] = 1.0 / 0.018015};
    set(n, 0.0, false);
    assert_near(l.mass_kg, 1.063012, 1e-9);
    assert_near(l.acid_mass_fraction, 0.0592769, 1e-7);
    assert_near(l.molality_mol_kg, 1.0, 1e-9);
    assert_near(l.acid_activity, 0.52346, 2e-4); /* water's own ions in h: 1e-7 */
    assert_near(l.water_activity, 0.96534, 2e-5);
    assert_relative(l.H2O_e_Pa, 0.96534 * 3169.7, 1e-3); /* vapour pressure within 0.06 % */
    assert_relative(l.HNO3_e_Pa, 0.52346 / l.c.KH_HNO3, 4e-4);
    assert_relative(l.volume_m3, 1.063012 / nxw_acid_density_kg_m3(0.0592769, 298.15), 1e-6);
    assert_relative(l.nitrate, 1.0 / l.volume_m3, 1e-12);
    const double b = p.value[NXW_P_b_acid];
    assert_relative(l.acid_factor, pow(10.0, -b * 1e-3 * l.nitrate), 1e-12);
}

/* Each gas diffuses through 60 wt% acid as much more slowly than through water as that is thicker:
 * 2.0 mPa s for 1.002 at 20 degC. */
static void through_thick_acid(void **state)
{
    (void)state;
    const double acid[NXW_L_AMOUNTS] = {[NXW_L_NITRATE] = 0.6 / NXW_MOLAR_MASS_HNO3_KG_MOL,
                                        [NXW_L_H2O] = 0.4 / NXW_MOLAR_MASS_H2O_KG_MOL};
    const double water[NXW_L_AMOUNTS] = {[NXW_L_H2O] = 1.0};
    set(water, 0.0, false);
    const struct nxw_chemistry thin = l.c;
    assert_relative(thin.D_NO, p.value[NXW_P_D_NO_water], 1e-12); /* the table's, of 25 degC */
    const double viscosity_Pa_s = l.fluid.viscosity_Pa_s;
    set(acid, 0.0, false);
    const double ratio = 2.0 / 1.002;
    assert_relative(l.fluid.viscosity_Pa_s, viscosity_Pa_s * ratio, 1e-9);
    assert_relative(l.c.D_NO, thin.D_NO / ratio, 1e-9);
    assert_relative(l.c.D_NO2, thin.D_NO2 / ratio, 1e-9);
    assert_relative(l.c.D_N2O4, thin.D_N2O4 / ratio, 1e-9);
    assert_relative(l.c.D_N2O3, thin.D_N2O3 / ratio, 1e-9);
    assert_relative(l.c.D_HNO2, thin.D_HNO2 / ratio, 1e-9);
}

/* Ka = 5.2e-4 mol/L. Alone, 1 mmol/L: h2 + Ka h = Ka N gives h = 0.5066 mmol/L, 49.4 % whole. With
 * as much nitric acid (a = N = 1): h2 - 0.48 h - 1.04 = 0, h = 1.2877, 71.2 % whole; at a tenth of
 * both h = 0.1748, 25.2 %. With 1 mol/L of acid 99.95 %. mol/m3; water's own trace makes 1e-4. */
static void free_nitrous_acid(void **state)
{
    (void)state;
    static const struct {
        double acid, N3, h, share;
    } known[] = {{0.0, 1.0, 0.50655, 0.4935},
                 {1.0, 1.0, 1.2877, 0.7124},
                 {0.1, 0.1, 0.17484, 0.2516},
                 {1000.0, 1.0, 1000.0, 0.99948}};
    for (int i = 0; i < 4; i++) {
        const double V = 1.0029e-3; /* of a kilogram of water at 25 degC, 997.05 kg/m3 */
        const double n[NXW_L_AMOUNTS] = {
            [NXW_L_NITRATE] = 0.0, [NXW_L_N3] = known[i].N3 * V, [NXW_L_H2O] = 1.0 / 0.018015};
        set(n, known[i].acid * V, false); /* a background, which adds no volume */
        assert_relative(l.h, known[i].h, 1.5e-3);
        assert_relative(l.HNO2 / l.N3, known[i].share, 1.5e-3);
        assert_relative(l.HNO2_e_Pa, l.HNO2 / l.c.H_HNO2, 1e-12);
    }
}

/* Dissolved NO2 of which as much is N2O4 as monomer (counted as N): 2 K c2 = c at c = 1/(2 K), the
 * pool twice that. A trace is all monomer. Odd below zero. */
static void pool(void **state)
{
    (void)state;
    const double n[NXW_L_AMOUNTS] = {[NXW_L_H2O] = 8.0};
    set(n, 0.0, false);
    const double c = 0.5 / l.c.K_dimer_m3_mol;
    assert_relative(nxw_NO2_monomer_mol_m3(&l.c, 2.0 * c), c, 1e-12);
    assert_relative(nxw_NO2_monomer_mol_m3(&l.c, -2.0 * c), -c, 1e-12);
    assert_relative(nxw_NO2_monomer_mol_m3(&l.c, 1e-12), 1e-12, 1e-9);
}

/* In pure water nothing stands in equilibrium but water's vapour; nothing reacts. */
static void pure_water(void **state)
{
    (void)state;
    const double n[NXW_L_AMOUNTS] = {[NXW_L_H2O] = 8.0};
    set(n, 0.0, false);
    assert_near(l.HNO3_e_Pa, 0.0, 0.0);
    assert_near(l.HNO2_e_Pa + l.NO_e_Pa + l.N2O3_e_Pa, 0.0, 0.0);
    assert_near(l.NO2_equilibrium, 0.0, 1e-12);
    assert_near(l.water_activity, 1.0, 1e-9);
    assert_near(l.acid_factor, 1.0, 0.0);
    double rate[NXW_L_AMOUNTS] = {0.0}, fizz, O2;
    nxw_liquid_react(&p, &l, 101325.0, rate, &fizz, &O2);
    for (int j = 0; j < NXW_L_AMOUNTS; j++)
        assert_near(rate[j], 0.0, 1e-20);
    assert_near(fizz + O2, 0.0, 0.0);
}

/* Traces below zero are pulled back and do not feed on each other: of two the rates of both rise.
 */
static void below_nothing(void **state)
{
    (void)state;
    static const int pair[][2] = {{NXW_L_N3, NXW_L_H2O2},
                                  {NXW_L_NO_AQ, NXW_L_NO2_AQ},
                                  {NXW_L_NO2_AQ, NXW_L_NO2_AQ},
                                  {NXW_L_N3, NXW_L_N3}};
    for (int i = 0; i < 4; i++) {
        double n[NXW_L_AMOUNTS] = {[NXW_L_NITRATE] = 0.1, [NXW_L_H2O] = 8.0};
        n[pair[i][0]] = -1e-6;
        n[pair[i][1]] = -1e-6;
        set(n, 0.0, false);
        double rate[NXW_L_AMOUNTS] = {0.0}, fizz, O2;
        nxw_liquid_react(&p, &l, 101325.0, rate, &fizz, &O2);
        assert_true(rate[pair[i][0]] > 0.0);
        assert_true(rate[pair[i][1]] > 0.0);
    }
}

/* Also where less than no acid is left: hydrogen ions are never fewer than water's own, or peroxide
 * would go on to take nitrous acid that is not there. */
static void acid_below_nothing(void **state)
{
    (void)state;
    for (int k = 0; k < 5; k++) {
        const double mol = 1e-6 * pow(10.0, k);
        const double n[NXW_L_AMOUNTS] = {[NXW_L_NITRATE] = -0.01 * mol,
                                         [NXW_L_N3] = -mol,
                                         [NXW_L_H2O2] = 0.4,
                                         [NXW_L_H2O] = 8.0};
        set(n, 0.0, false);
        assert_true(l.h >= 1e-4);
        double rate[NXW_L_AMOUNTS] = {0.0}, fizz, O2;
        nxw_liquid_react(&p, &l, 101325.0, rate, &fizz, &O2);
        assert_true(rate[NXW_L_N3] > 0.0 && rate[NXW_L_H2O2] > 0.0);
    }
}

/* NO begins to fizz at its saturation: nothing at it, x3/w2 (1 - x/2w) of it up to x = w = 0.1
 * above, x - w/2 from there on. Twice saturated: 0.95 k H P. */
static void effervescence(void **state)
{
    (void)state;
    const double n[NXW_L_AMOUNTS] = {[NXW_L_H2O] = 8.0};
    set(n, 0.0, false);
    const double P = 1.2e5, saturated = l.c.H_NO * P, k = p.value[NXW_P_k_effervescence];
    static const double at[][2] = {
        {0.5, 0.0}, {1.0, 0.0}, {1.05, 0.009375}, {1.1, 0.05}, {2.0, 0.95}};
    for (int i = 0; i < 5; i++) {
        l.NO = at[i][0] * saturated;
        assert_near(nxw_NO_effervescence_mol_m3_s(&p, &l, P), k * at[i][1] * saturated, 1e-14);
    }
}

/* A side loss of 0.3 takes 0.3 H2O2 for each HOONO that turns while there is plenty, none when
 * there is none; a rate of its own k [H2O2]. */
static void peroxide_lost(void **state)
{
    (void)state;
    const double n[NXW_L_AMOUNTS] = {[NXW_L_H2O] = 8.0};
    set(n, 0.0, false);
    p.value[NXW_P_peroxide_side_loss] = 0.3;
    l.H2O2 = 999.0;
    assert_relative(nxw_H2O2_loss_mol_m3_s(&p, &l, 2.0), 0.3 * 2.0 * 0.999, 1e-9);
    l.H2O2 = 0.0;
    assert_near(nxw_H2O2_loss_mol_m3_s(&p, &l, 2.0), 0.0, 0.0);
    p.value[NXW_P_k_H2O2_decomposition] = 1e-4;
    l.H2O2 = 999.0;
    assert_near(nxw_H2O2_loss_mol_m3_s(&p, &l, 0.0), 0.0999, 1e-12);

    /* in 0.15 L with HOONO and 1 mol/L of peroxide, nothing else that turns */
    const double charged[NXW_L_AMOUNTS] = {
        [NXW_L_HOONO] = 1e-3, [NXW_L_H2O2] = 0.15, [NXW_L_NITRATE] = 0.01, [NXW_L_H2O] = 8.0};
    set(charged, 0.0, false);
    p.value[NXW_P_peroxide_side_loss] = 0.3;
    p.value[NXW_P_k_H2O2_decomposition] = 0.0;
    double rate[NXW_L_AMOUNTS] = {0.0}, fizz, O2;
    nxw_liquid_react(&p, &l, 101325.0, rate, &fizz, &O2);
    assert_true(rate[NXW_L_NITRATE] > 1e-5);
    /* some HOONO turns back to nitrous acid and peroxide */
    assert_relative(rate[NXW_L_H2O2] - rate[NXW_L_N3], -0.3 * rate[NXW_L_NITRATE], 2e-3);
    assert_relative(O2, 0.15 * rate[NXW_L_NITRATE], 2e-3);
}

/* Told to dissolve only, it does that: no hydrolysis in bulk or film, no decay. */
static void physical_only(void **state)
{
    (void)state;
    const double n[NXW_L_AMOUNTS] = {[NXW_L_NITRATE] = 0.1,
                                     [NXW_L_N3] = 0.01,
                                     [NXW_L_NO2_AQ] = 1e-3,
                                     [NXW_L_H2O2] = 0.1,
                                     [NXW_L_H2O] = 8.0};
    set(n, 0.0, true);
    double rate[NXW_L_AMOUNTS] = {0.0}, fizz, O2, slope;
    nxw_liquid_react(&p, &l, 101325.0, rate, &fizz, &O2);
    for (int j = 0; j < NXW_L_AMOUNTS; j++)
        assert_near(rate[j], 0.0, 0.0);
    assert_near(nxw_NO2_film_conductance2_m2_s2(&l, 1.0, &slope), 0.0, 0.0);
    assert_near(l.c.k_N2O3_1_s, 0.0, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(molal_acid),         cmocka_unit_test(through_thick_acid),
        cmocka_unit_test(free_nitrous_acid),  cmocka_unit_test(pool),
        cmocka_unit_test(pure_water),         cmocka_unit_test(below_nothing),
        cmocka_unit_test(acid_below_nothing), cmocka_unit_test(effervescence),
        cmocka_unit_test(peroxide_lost),      cmocka_unit_test(physical_only),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
