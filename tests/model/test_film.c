/* Layer (b): fluxes through an interface in limits that are known: one film or the other alone,
 * physical absorption, rich gas, a still liquid. */
#include "../assert_near.h"

#include "stage/film.h"

static struct nxw_parameters p;
static struct nxw_liquid l;

enum { WATER, STRONG, PHYSICAL };

static void liquid(int kind)
{
    const struct nxw_liquid_charge charge = {.strong_acid_mol = kind == STRONG ? 0.15 : 0.0,
                                             .physical_only = kind == PHYSICAL};
    const double n[NXW_L_AMOUNTS] = {[NXW_L_H2O] = 8.0};
    nxw_parameters_default(&p);
    nxw_liquid_set(&p, n, 298.15, &charge, &l);
}

static struct nxw_film_flux flux(const struct nxw_gas_pressures *g, double kG, double kL)
{
    struct nxw_film_coefficients k = {.kL_NO = kL, .kL_NO2 = kL, .kL_HNO2 = kL};
    for (int j = 0; j < NXW_POOLS; j++)
        k.kG[j] = kG;
    struct nxw_film_flux J;
    nxw_film_flux(g, &l, &k, l.c.RT_J_mol, &J);
    return J;
}

/* A gas of NO, NO2 and HNO2 with what pairs of it. */
static struct nxw_gas_pressures gas(double NO, double NO2, double HNO2)
{
    struct nxw_gas_pressures g = {.P_Pa = 101325.0, .NO_Pa = NO, .NO2_Pa = NO2};
    g.N2O4_Pa = l.c.K_N2O4_1_Pa * NO2 * NO2;
    g.N2O3_Pa = l.c.K_N2O3_1_Pa * NO * NO2;
    g.pool_Pa[NXW_NO] = NO + g.N2O3_Pa;
    g.pool_Pa[NXW_NO2] = NO2 + 2.0 * g.N2O4_Pa + g.N2O3_Pa;
    g.pool_Pa[NXW_HNO2] = HNO2;
    return g;
}

/* A trace that only dissolves: both films in series, J = p/(RT/kG + 1/(kL H)); NO, NO2 and HNO2
 * alike. The dimer of a trace of 0.01 mPa makes 2e-7. */
static void two_films(void **state)
{
    (void)state;
    liquid(PHYSICAL);
    const double kG = 0.02, kL = 1e-4, RT = 8.314462618 * 298.15;
    struct nxw_gas_pressures g = gas(1e-5, 0.0, 0.0);
    assert_relative(flux(&g, kG, kL).NO, 1e-5 / (RT / kG + 1.0 / (kL * l.c.H_NO)), 1e-6);
    g = gas(0.0, 1e-5, 0.0);
    const struct nxw_film_flux J = flux(&g, kG, kL);
    assert_relative(J.NO2_pool, 1e-5 / (RT / kG + 1.0 / (kL * l.c.H_NO2)), 1e-6);
    assert_near(J.NO2_hydrolysis, 0.0, 1e-20);
    g = gas(0.0, 0.0, 1e-5);
    assert_relative(flux(&g, kG, kL).HNO2, 1e-5 / (RT / kG + 1.0 / (kL * l.c.H_HNO2)), 1e-9);
}

/* A liquid that takes all at once leaves the gas film alone: kG p/RT of a trace; of 30 % NO2 that
 * does not pair ln(1/0.7)/0.3 times that, 1.1889. */
static void gas_film_alone(void **state)
{
    (void)state;
    liquid(WATER);
    l.c.k2_m3_mol_s *= 1e20;
    const double RT = 8.314462618 * 298.15;
    struct nxw_gas_pressures g = gas(0.0, 1e-2, 0.0);
    struct nxw_film_flux J = flux(&g, 0.02, 1e-4);
    assert_relative(J.NO2_hydrolysis, 0.02 * 1e-2 / RT, 1e-3);
    assert_near(J.liquid_share, 0.0, 2e-3);
    l.c.K_N2O4_1_Pa = l.c.K_dimer_m3_mol = 0.0;
    g = gas(0.0, 0.3 * 101325.0, 0.0);
    J = flux(&g, 0.02, 1e-4);
    assert_relative(J.NO2_hydrolysis, 0.02 * 0.3 * 101325.0 / RT * 1.1889, 1e-4);
}

/* No resistance in the gas: the liquid's own law at the gas's pressure. Trace: sqrt(4/3 k2 D1 c^3);
 * rich gas: 2 H_N2O4 p_N2O4 sqrt(k D4), k = k2/K dimer. Hardly stirred, so that nothing is taken
 * along unreacted. */
static void liquid_film_alone(void **state)
{
    (void)state;
    liquid(WATER);
    struct nxw_gas_pressures g = gas(0.0, 1e-3, 0.0);
    const double c = l.c.H_NO2 * 1e-3;
    struct nxw_film_flux J = flux(&g, 1e9, 1e-12);
    assert_relative(J.NO2_hydrolysis, sqrt(4.0 / 3.0 * l.c.k2_m3_mol_s * l.c.D_NO2 * c * c * c),
                    1e-4);
    assert_near(J.liquid_share, 1.0, 2e-3);
    g = gas(0.0, 5e4, 0.0);
    J = flux(&g, 1e9, 1e-12);
    const double k = l.c.k2_m3_mol_s / l.c.K_dimer_m3_mol;
    const double want = 2.0 * l.c.H_N2O4 * g.N2O4_Pa * sqrt(k * l.c.D_N2O4);
    assert_true(J.NO2_hydrolysis > want); /* the monomer adds its own */
    assert_relative(J.NO2_hydrolysis, want, 0.05);
}

/* The same trace over acid of 1 mol/L: its flux times f_acid. Stirred hard, it arrives unreacted:
 * kL H p as pool. */
static void acid_and_stirring(void **state)
{
    (void)state;
    liquid(WATER);
    const struct nxw_gas_pressures g = gas(0.0, 1e-3, 0.0);
    const double plain = flux(&g, 1e9, 1e-12).NO2_hydrolysis;
    l.acid_factor = 0.8;
    assert_relative(flux(&g, 1e9, 1e-12).NO2_hydrolysis / plain, 0.8, 1e-3);
    const struct nxw_film_flux J = flux(&g, 1e9, 1e-2);
    assert_relative(J.NO2_pool, 1e-2 * l.c.H_NO2 * 1e-3, 1e-3);
    assert_true(J.NO2_hydrolysis < 1e-3 * J.NO2_pool);
}

/* NO and NO2 together go in as N2O3: H sqrt(k D + kL2) K3 p1 p2 when the gas offers no resistance,
 * alike for 10 Pa and 20 Pa of the one and the other. */
static void N2O3(void **state)
{
    (void)state;
    liquid(WATER);
    const struct nxw_gas_pressures g = gas(10.0, 20.0, 0.0);
    const struct nxw_film_flux J = flux(&g, 1e9, 1e-4);
    const double speed = sqrt(l.c.k_N2O3_1_s * l.c.D_N2O3 + 1e-8);
    assert_relative(J.N2O3, l.c.H_N2O3 * speed * l.c.K_N2O3_1_Pa * 200.0, 1e-4);
    assert_relative(J.NO, 1e-4 * l.c.H_NO * 10.0, 1e-4);
}

/* What the liquid holds goes out to an empty gas: NO at kL c through no gas film, and that is what
 * was given back; a gas that brings NO gives nothing back (the rounding of 1e-3, squared). */
static void given_back(void **state)
{
    (void)state;
    liquid(WATER);
    l.NO = 0.5;
    l.NO_e_Pa = 0.5 / l.c.H_NO;
    const struct nxw_gas_pressures empty = gas(0.0, 0.0, 0.0), full = gas(9e4, 0.0, 0.0);
    struct nxw_film_flux J = flux(&empty, 1e9, 1e-4);
    assert_relative(J.NO, -1e-4 * 0.5, 1e-4);
    assert_relative(nxw_film_NO_given_back(&J), 0.5e-4, 1e-3);
    J = flux(&full, 1e9, 1e-4);
    assert_true(J.NO > 0.0);
    assert_true(nxw_film_NO_given_back(&J) < 1e-5 * J.NO);
}

/* Water at 25 degC dries into dry gas at kG 3169.7 Pa/RT; a gas of that pressure brings none. */
static void drying(void **state)
{
    (void)state;
    liquid(WATER);
    struct nxw_gas_pressures g = gas(0.0, 0.0, 0.0);
    const double want = -0.02 * 3169.7 / (8.314462618 * 298.15);
    assert_relative(flux(&g, 0.02, 1e-4).H2O, want, 1e-3);
    g.pool_Pa[NXW_H2O] = 3169.7;
    assert_near(flux(&g, 0.02, 1e-4).H2O / want, 0.0, 1e-3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(two_films),
        cmocka_unit_test(gas_film_alone),
        cmocka_unit_test(liquid_film_alone),
        cmocka_unit_test(acid_and_stirring),
        cmocka_unit_test(N2O3),
        cmocka_unit_test(given_back),
        cmocka_unit_test(drying),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
