/*
 * Layer (a): one equilibrium. A liquid whose NO and NO2 stand in equilibrium with its nitrous and
 * nitric acid, and a gas in equilibrium with that liquid: no reaction runs and nothing passes the
 * interface, whichever way round the loop of reactions one goes.
 */
#include "../assert_near.h"

#include "../random_draw.h"
#include "reactions/hno2_decomposition.h"
#include "reactions/hno2_formation_gas.h"
#include "reactions/no2_hydrolysis.h"
#include "stage/film.h"

static struct nxw_parameters p;

static double draw(double low, double high) /* even in the logarithm */
{
    return low * exp(log(high / low) * draw_uniform());
}

/* A liquid of about 150 g of water with random acid, nitrous acid and temperature; NO2 and NO are
 * set until they are what the acids ask for. */
static void equilibrium_liquid(struct nxw_liquid *l)
{
    const struct nxw_liquid_charge charge = {0};
    double n[NXW_L_AMOUNTS] = {[NXW_L_H2O] = 8.0};
    n[NXW_L_NITRATE] = draw(1e-3, 0.5);
    n[NXW_L_N3] = draw(1e-5, 0.05);
    const double T_K = 275.0 + 50.0 * draw_uniform();
    for (int i = 0; i < 30; i++) {
        nxw_liquid_set(&p, n, T_K, &charge, l);
        const double c = l->NO2_equilibrium;
        n[NXW_L_NO2_AQ] = l->volume_m3 * (c + 2.0 * l->c.K_dimer_m3_mol * c * c);
        n[NXW_L_NO_AQ] = l->volume_m3 * l->c.K5 * l->HNO2 * l->HNO2 / (c * l->water_activity);
    }
    nxw_liquid_set(&p, n, T_K, &charge, l);
}

/* Both reactions of the liquid stand still, as shares of how fast they run one way. */
static void liquid_stands_still(void **state)
{
    (void)state;
    nxw_parameters_default(&p);
    for (int i = 0; i < 200; i++) {
        struct nxw_liquid l;
        equilibrium_liquid(&l);
        const double one_way = l.c.k5_m3_mol_s * l.HNO2 * l.HNO2;
        assert_near(nxw_HNO2_decomposition_mol_m3_s(&l) / one_way, 0.0, 1e-10);
        const double f = l.acid_factor, c = l.NO2_equilibrium;
        const double hydrolysis = l.c.k2_m3_mol_s * f * f * c * c;
        assert_near(nxw_NO2_hydrolysis_mol_m3_s(&l) / hydrolysis, 0.0, 1e-10);
        assert_true(l.NO > 0.0 && l.NO2 > 0.0);
    }
}

/* The gas over it: NO and NO2 by Henry's law, HNO2, HNO3 and water by the liquid's own pressures.
 */
static void gas_over(const struct nxw_liquid *l, struct nxw_gas_pressures *g)
{
    const double NO = l->NO_e_Pa, NO2 = l->NO2_equilibrium / l->c.H_NO2;
    const double K4 = l->c.K_N2O4_1_Pa, K3 = l->c.K_N2O3_1_Pa;
    *g = (struct nxw_gas_pressures){.P_Pa = 101325.0, .NO_Pa = NO, .NO2_Pa = NO2};
    g->N2O4_Pa = K4 * NO2 * NO2;
    g->N2O3_Pa = K3 * NO * NO2;
    g->pool_Pa[NXW_NO] = NO + g->N2O3_Pa;
    g->pool_Pa[NXW_NO2] = NO2 + 2.0 * g->N2O4_Pa + g->N2O3_Pa;
    g->pool_Pa[NXW_HNO2] = l->HNO2_e_Pa;
    g->pool_Pa[NXW_HNO3] = l->HNO3_e_Pa;
    g->pool_Pa[NXW_H2O] = l->H2O_e_Pa;
}

/* Nothing passes the interface, as a share of what would pass out of an empty gas. */
static void interface_stands_still(void **state)
{
    (void)state;
    nxw_parameters_default(&p);
    for (int i = 0; i < 200; i++) {
        struct nxw_liquid l;
        equilibrium_liquid(&l);
        struct nxw_gas_pressures full, empty = {.P_Pa = 101325.0};
        gas_over(&l, &full);
        struct nxw_film_coefficients k = {.kL_NO = 1e-4, .kL_NO2 = 8e-5, .kL_HNO2 = 9e-5};
        for (int j = 0; j < NXW_POOLS; j++)
            k.kG[j] = 0.02;
        struct nxw_film_flux J, out;
        nxw_film_flux(&full, &l, &k, l.c.RT_J_mol, &J);
        nxw_film_flux(&empty, &l, &k, l.c.RT_J_mol, &out);
        assert_true(out.NO < 0.0 && out.N2O3 < 0.0);
        assert_true(out.HNO2 < 0.0 && out.HNO3 < 0.0 && out.H2O < 0.0);
        /* NO2 may come back as NO leaves with it: measured by all that moves it */
        const double NO2 = fabs(out.NO2_hydrolysis) + fabs(out.NO2_pool) + fabs(out.N2O3);
        assert_near(J.NO / out.NO, 0.0, 1e-8);
        assert_near(J.N2O3 / out.N2O3, 0.0, 1e-7);
        assert_near(J.NO2_hydrolysis / NO2, 0.0, 1e-7);
        assert_near(J.NO2_pool / NO2, 0.0, 1e-7);
        assert_near(J.HNO2 / out.HNO2, 0.0, 1e-12);
        assert_near(J.HNO3 / out.HNO3, 0.0, 1e-12);
        assert_near(J.H2O / out.H2O, 0.0, 1e-12);
    }
}

/* NO + NO2 + H2O = 2 HNO2 stands still in that gas as well: 1e-6 for the water, whose activity the
 * liquid has twice. */
static void gas_stands_still(void **state)
{
    (void)state;
    nxw_parameters_default(&p);
    for (int i = 0; i < 200; i++) {
        struct nxw_liquid l;
        equilibrium_liquid(&l);
        struct nxw_gas_pressures g;
        gas_over(&l, &g);
        const double one_way =
            l.c.k_HNO2_gas_mol_m3_s_Pa3 * g.NO_Pa * g.NO2_Pa * g.pool_Pa[NXW_H2O];
        assert_true(one_way > 0.0);
        assert_near(nxw_HNO2_formation_mol_m3_s(&l.c, &g) / one_way, 0.0, 1e-9);
    }
}

/* 3 HNO2 = HNO3 + 2 NO + H2O, the sum of both reactions: a_HNO3 p_NO^2 a_w/[HNO2]^3 is the constant
 * K3 of the table, (mol/kg)^2 atm^2 L^3/mol^3 at 25 degC, times what its slope makes of it. */
static void sum_of_the_reactions(void **state)
{
    (void)state;
    nxw_parameters_default(&p);
    for (int i = 0; i < 200; i++) {
        struct nxw_liquid l;
        equilibrium_liquid(&l);
        const double NO_atm = l.NO_e_Pa / 101325.0, HNO2_mol_L = 1e-3 * l.HNO2;
        const double K3 = l.acid_activity * NO_atm * NO_atm * l.water_activity /
                          (HNO2_mol_L * HNO2_mol_L * HNO2_mol_L);
        const double B = p.value[NXW_P_K3_HNO2_B];
        assert_relative(K3, p.value[NXW_P_K3_HNO2] * exp(B * (1.0 / l.c.T_K - 1.0 / 298.15)), 1e-9);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(liquid_stands_still),
        cmocka_unit_test(interface_stands_still),
        cmocka_unit_test(gas_stands_still),
        cmocka_unit_test(sum_of_the_reactions),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
