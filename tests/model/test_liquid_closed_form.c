/* Layer (d): reactions of the liquid integrated one at a time, against closed forms. */
#include "../assert_near.h"

#include "../lone_train.h"

static struct lone_train o;

static const double TIMES_S[] = {0.5, 3.0, 20.0};

static void run(double t_s) { assert_int_equal(lone_train_run(&o, t_s), NXW_OK); }

/* 150 mL with strong acid of 1 mol/L in which all nitrous acid is whole; what is not asked for does
 * not run: no hydrolysis, no way back for NO2 and NO. */
static struct nxw_case lone_reaction(void)
{
    struct nxw_case c = quiet_case(NXW_STAGE_BOTTLE);
    double *p = c.parameters.value;
    c.relative_tolerance = 1e-8;
    c.stages[0].strong_acid_mol_m3 = 1000.0;
    p[NXW_P_k2_NO2] = p[NXW_P_k5_HNO2] = p[NXW_P_k_HNO2_H2O2] = 0.0;
    p[NXW_P_K_HNO2_gas] = 1e-15; /* K5 beyond all measure */
    p[NXW_P_k_effervescence] = p[NXW_P_k_NO_oxidation] = 0.0;
    return c;
}

/* HOONO -> HNO3: exp(-k t), about one per second. */
static void HOONO_turns(void **state)
{
    (void)state;
    for (int i = 0; i < 3; i++) {
        struct nxw_case c = lone_reaction();
        c.stages[0].peroxide_mass_fraction = 1e-9; /* none at all would be no HOONO either */
        c.parameters.value[NXW_P_k_HOONO_HNO2] = 0.0;
        lone_train_make(&o, &c, 1e-3);
        double *tank = lone_tank(&o, 0);
        tank[NXW_L_HOONO] = 1e-3;
        run(TIMES_S[i]);
        const double B = c.parameters.value[NXW_P_k_HOONO_B];
        const double k = c.parameters.value[NXW_P_k_HOONO] * exp(B * (1.0 / 293.15 - 1.0 / 298.15));
        assert_near(tank[NXW_L_HOONO] / 1e-3, exp(-k * TIMES_S[i]), 1e-5);
        assert_near(tank[NXW_L_NITRATE] / 1e-3, 1.0 - exp(-k * TIMES_S[i]), 1e-5);
    }
}

/* 2 HNO2 -> NO + NO2 + H2O without a way back: c = c0/(1 + 2 k c0 t). Of the nitrous acid
 * 1/(1 + Ka/1000) is whole, 0.9995; the volume loses 3e-5 of itself. */
static void HNO2_decays(void **state)
{
    (void)state;
    for (int i = 0; i < 3; i++) {
        struct nxw_case c = lone_reaction();
        nxw_parameters_default(&c.parameters);
        const double k5 = c.parameters.value[NXW_P_k5_HNO2],
                     B = c.parameters.value[NXW_P_k5_HNO2_B];
        c = lone_reaction();
        c.parameters.value[NXW_P_k5_HNO2] = 0.05 * k5;
        lone_train_make(&o, &c, 1e-2);
        double *tank = lone_tank(&o, 0);
        tank[NXW_L_N3] = 3e-3;
        assert_true(lone_train_rates(&o, 0.0));
        const double V = o.train.views[0].liquid.volume_m3;
        const double whole = o.train.views[0].liquid.HNO2 * V / 3e-3;
        assert_near(whole, 0.9995, 2e-4);
        run(TIMES_S[i]);
        const double k = 0.05e-3 * k5 * exp(B * (1.0 / 293.15 - 1.0 / 298.15)) * whole * whole;
        const double left = 1.0 / (1.0 + 2.0 * k * 3e-3 / V * TIMES_S[i]);
        assert_near(tank[NXW_L_N3] / 3e-3, left, 1e-4);
        assert_near(tank[NXW_L_NO_AQ] / 3e-3, 0.5 * (1.0 - left), 1e-4);
        assert_near(tank[NXW_L_NO2_AQ] / 3e-3, 0.5 * (1.0 - left), 1e-4);
        assert_true(i < 2 || left < 0.95);
    }
}

/* Much peroxide takes nitrous acid at first order, k [H+] [H2O2], and HOONO follows in the manner
 * of a chain: A exp(-a t), A a/(b - a) (exp(-a t) - exp(-b t)); the way back is shut. 0.1 %: the
 * peroxide falls by 3e-4, acid rises by as much. */
static void peroxide_takes_HNO2(void **state)
{
    (void)state;
    for (int i = 0; i < 3; i++) {
        struct nxw_case c = lone_reaction();
        nxw_parameters_default(&c.parameters);
        const double k = c.parameters.value[NXW_P_k_HNO2_H2O2];
        const double k_B = c.parameters.value[NXW_P_k_HNO2_H2O2_B];
        c = lone_reaction();
        c.parameters.value[NXW_P_k_HNO2_H2O2] = 2e-4 * k;
        c.parameters.value[NXW_P_k_HOONO_HNO2] = c.parameters.value[NXW_P_K_HOONO] = 0.0;
        c.stages[0].peroxide_mass_fraction = 0.05;
        lone_train_make(&o, &c, 1e-4);
        double *tank = lone_tank(&o, 0);
        const double A = 3e-4 * tank[NXW_L_H2O2];
        tank[NXW_L_N3] = A;
        assert_true(lone_train_rates(&o, 0.0));
        const struct nxw_liquid *l = &o.train.views[0].liquid;
        const double slope = 1.0 / 293.15 - 1.0 / 298.15;
        const double a = 2e-10 * k * exp(k_B * slope) * l->h * l->H2O2 * l->HNO2 * l->volume_m3 / A;
        const double b =
            c.parameters.value[NXW_P_k_HOONO] * exp(c.parameters.value[NXW_P_k_HOONO_B] * slope);
        const double t = TIMES_S[i];
        run(t);
        assert_near(tank[NXW_L_N3] / A, exp(-a * t), 1e-3);
        assert_near(tank[NXW_L_HOONO] / A, a / (b - a) * (exp(-a * t) - exp(-b * t)), 1e-3);
        assert_true(i != 1 || (tank[NXW_L_N3] < 0.95 * A && tank[NXW_L_N3] > 0.05 * A));
    }
}

/* NO fizzes out of 5 saturations: what is above 1.05 of them falls as exp(-k t), while it is above
 * 1.1. The pressure is that at half the height of 53 mm. */
static void NO_fizzes(void **state)
{
    (void)state;
    for (int i = 0; i < 2; i++) {
        struct nxw_case c = lone_reaction();
        c.parameters.value[NXW_P_k_effervescence] = 0.5;
        c.vent_closed = true;
        lone_train_make(&o, &c, 1e-3);
        double *tank = lone_tank(&o, 0);
        assert_true(lone_train_rates(&o, 0.0));
        const struct nxw_liquid *l = &o.train.views[0].liquid;
        const double P = 101325.0 + 0.5 * l->fluid.density_kg_m3 * 9.80665 * l->volume_m3 /
                                        (0.25 * 3.14159265358979 * 3.6e-3);
        const double saturated = l->c.H_NO * P * l->volume_m3;
        tank[NXW_L_NO_AQ] = 5.0 * saturated;
        run(TIMES_S[i]);
        assert_relative(tank[NXW_L_NO_AQ] / saturated, 1.05 + 3.95 * exp(-0.5 * TIMES_S[i]), 3e-4);
        assert_relative(tank[NXW_T_HEAD + NXW_NO], 5.0 * saturated - tank[NXW_L_NO_AQ], 1e-3);
    }
}

/* Peroxide goes to water and half as much oxygen by itself: exp(-k t). */
static void peroxide_decays(void **state)
{
    (void)state;
    struct nxw_case c = lone_reaction();
    c.parameters.value[NXW_P_k_H2O2_decomposition] = 0.02;
    c.stages[0].peroxide_mass_fraction = 0.001;
    c.vent_closed = true;
    lone_train_make(&o, &c, 1e-2);
    double *tank = lone_tank(&o, 0);
    const double start = tank[NXW_L_H2O2], O2 = tank[NXW_T_HEAD + NXW_O2];
    run(50.0);
    assert_relative(tank[NXW_L_H2O2] / start, exp(-1.0), 1e-5);
    assert_relative(tank[NXW_T_HEAD + NXW_O2] - O2, 0.5 * start * (1.0 - exp(-1.0)), 1e-4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(HOONO_turns),         cmocka_unit_test(HNO2_decays),
        cmocka_unit_test(peroxide_takes_HNO2), cmocka_unit_test(NO_fizzes),
        cmocka_unit_test(peroxide_decays),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
