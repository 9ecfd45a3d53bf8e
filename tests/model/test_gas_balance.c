/* Layer (a): what is known of a gas without solving it: pressures add up, pairs stand in
 * equilibrium, atoms and volume are those of the molecules, heat follows the temperature. */
#include "../assert_near.h"

#include "../random_draw.h"
#include "properties/gas.h"

static struct nxw_parameters p;

/* Derivatives are taken over a thousandth of 1e-6: what Newton leaves must be small beside that. */
static const double SOLVED = 1e-10;

static double draw(double low, double high) /* even in the logarithm */
{
    return low * exp(log(high / low) * draw_uniform());
}

/* From a trace to pure NO2, cold to hot, 0.5 to 1.2 bar. */
static double draw_gas(struct nxw_chemistry *c, double n[NXW_POOLS], struct nxw_gas_pressures *g)
{
    const double T_K = 263.15 + 120.0 * draw_uniform(), P_Pa = 5e4 + 7e4 * draw_uniform();
    nxw_parameters_default(&p);
    nxw_chemistry_gas(&p, T_K, c);
    for (int j = 0; j < NXW_POOLS; j++)
        n[j] = draw(1e-9, 1.0);
    if (draw_uniform() < 0.2)
        n[NXW_INERT] = n[NXW_O2] = n[NXW_H2O] = 0.0;
    nxw_gas_speciate(c, n, P_Pa, g);
    return P_Pa;
}

static void pressures_add_up(void **state)
{
    (void)state;
    for (int i = 0; i < 2000; i++) {
        struct nxw_chemistry c;
        struct nxw_gas_pressures g;
        double n[NXW_POOLS];
        const double P_Pa = draw_gas(&c, n, &g);
        double sum = g.NO_Pa + g.NO2_Pa + g.N2O4_Pa + g.N2O3_Pa;
        for (int j = NXW_HNO2; j < NXW_POOLS; j++)
            sum += g.pool_Pa[j];
        assert_relative(sum, P_Pa, SOLVED);
        assert_near(g.P_Pa, P_Pa, 0.0);
        assert_true(g.NO_Pa > 0.0 && g.NO2_Pa > 0.0);
    }
}

static void pairs_stand_in_equilibrium(void **state)
{
    (void)state;
    for (int i = 0; i < 2000; i++) {
        struct nxw_chemistry c;
        struct nxw_gas_pressures g;
        double n[NXW_POOLS];
        (void)draw_gas(&c, n, &g);
        assert_relative(g.N2O4_Pa, c.K_N2O4_1_Pa * g.NO2_Pa * g.NO2_Pa, 1e-14);
        assert_relative(g.N2O3_Pa, c.K_N2O3_1_Pa * g.NO_Pa * g.NO2_Pa, 1e-14);
        assert_relative(g.NO_Pa + g.N2O3_Pa, g.pool_Pa[NXW_NO], SOLVED);
        assert_relative(g.NO2_Pa + 2.0 * g.N2O4_Pa + g.N2O3_Pa, g.pool_Pa[NXW_NO2], SOLVED);
    }
}

/* p V = n R T for each pool and for all true molecules. */
static void gas_law(void **state)
{
    (void)state;
    for (int i = 0; i < 2000; i++) {
        struct nxw_chemistry c;
        struct nxw_gas_pressures g;
        double n[NXW_POOLS];
        const double P_Pa = draw_gas(&c, n, &g), RT = 8.314462618 * c.T_K;
        double molecules = 0.0;
        for (int j = 0; j < NXW_POOLS; j++) {
            assert_relative(g.pool_Pa[j] * g.volume_m3 + 1e-300, n[j] * RT + 1e-300, SOLVED);
            molecules += n[j];
        }
        molecules -= (g.N2O4_Pa + g.N2O3_Pa) * g.volume_m3 / RT;
        assert_relative(P_Pa * g.volume_m3, molecules * RT, SOLVED);
    }
}

/* The heat of pairing that the enthalpies hold is that with which the equilibria move: d ln K/dT =
 * dH/(R T^2). N2O4 1 %, N2O3 5 %: as far as separate prints agree. */
static void heats_of_pairing(void **state)
{
    (void)state;
    nxw_parameters_default(&p);
    const double T = 298.15, h = 0.1, R = 8.314462618;
    struct nxw_chemistry low, high;
    nxw_chemistry_gas(&p, T - h, &low);
    nxw_chemistry_gas(&p, T + h, &high);
    const double NO = 1e3 * p.value[NXW_P_dHf_NO_gas], NO2 = 1e3 * p.value[NXW_P_dHf_NO2_gas];
    const double N2O4 = 1e3 * p.value[NXW_P_dHf_N2O4_gas] - 2.0 * NO2;
    const double N2O3 = 1e3 * p.value[NXW_P_dHf_N2O3_gas] - NO - NO2;
    const double scale = R * T * T / (2.0 * h);
    assert_relative(log(high.K_N2O4_1_Pa / low.K_N2O4_1_Pa) * scale, N2O4, 0.01);
    assert_relative(log(high.K_N2O3_1_Pa / low.K_N2O3_1_Pa) * scale, N2O3, 0.05);
}

/* Enthalpy is additive: that of the pools as if nothing paired and the pairs' own, which is what
 * pairing gave off, at any temperature of the heat capacities. */
static void enthalpy_adds_up(void **state)
{
    (void)state;
    for (int i = 0; i < 500; i++) {
        struct nxw_chemistry c;
        struct nxw_gas_pressures g;
        double n[NXW_POOLS];
        (void)draw_gas(&c, n, &g);
        double alone = 0.0;
        for (int j = 0; j < NXW_POOLS; j++)
            alone += n[j] * nxw_gas_molar_enthalpy(&p, (enum nxw_pool)j, 298.15);
        const double per_Pa = g.volume_m3 / (8.314462618 * c.T_K);
        const double NO = 1e3 * p.value[NXW_P_dHf_NO_gas], NO2 = 1e3 * p.value[NXW_P_dHf_NO2_gas];
        const double pairs = per_Pa * (g.N2O4_Pa * (1e3 * p.value[NXW_P_dHf_N2O4_gas] - 2.0 * NO2) +
                                       g.N2O3_Pa * (1e3 * p.value[NXW_P_dHf_N2O3_gas] - NO - NO2));
        const double scale = fabs(alone) + fabs(pairs);
        assert_near((nxw_gas_enthalpy(&p, n, &g, 298.15) - alone - pairs) / scale, 0.0, SOLVED);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pressures_add_up), cmocka_unit_test(pairs_stand_in_equilibrium),
        cmocka_unit_test(gas_law),          cmocka_unit_test(heats_of_pairing),
        cmocka_unit_test(enthalpy_adds_up),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
