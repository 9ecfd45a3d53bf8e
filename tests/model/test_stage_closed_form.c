/* Layer (d): headspace, vent, surface and bath integrated, against closed forms. At 1e-8: at the
 * usual tolerance oxygen and inert gas are good to 0.1 umol a step only. */
#include "../assert_near.h"

#include "../lone_train.h"

static struct lone_train o;

static const double R = 8.314462618, T_K = 293.15, P_PA = 101325.0;

/* What an empty vessel of 250 mL holds; its volume is rounded off where it vanishes, at 1 mL, which
 * makes 4 nL more here. */
static double vessel_mol(void) { return P_PA * 0.5 * (250e-6 + sqrt(6.25e-8 + 4e-12)) / (R * T_K); }

static void run(double t_s) { assert_int_equal(lone_train_run(&o, t_s), NXW_OK); }

/* Nitrogen washes air out of an empty vessel: O2 falls as exp(-F t/n), n = P V/(R T) and what the
 * outlet's lag of a fifth of a second holds, 0.2 s F, from the start on. What left is the rest.
 * 1e-5 of it is some
 * twenty times what a step may err by. */
static void washing_out(void **state)
{
    (void)state;
    static const double times_s[] = {10.0, 100.0, 500.0};
    for (int i = 0; i < 3; i++) {
        const double F = 1e-4, n = vessel_mol() + 0.2 * F;
        struct nxw_case c = quiet_case(NXW_STAGE_EMPTY);
        c.carrier = (struct nxw_carrier){NXW_GAS_NITROGEN, F, -10.0, (double)INFINITY};
        c.relative_tolerance = 1e-9; /* of a headspace, thirty times that */
        lone_train_make(&o, &c, 1e-3);
        double *head = lone_tank(&o, 0) + NXW_T_HEAD;
        head[NXW_O2] = 0.2 * n;
        head[NXW_INERT] = 0.8 * n;
        run(times_s[i]);
        const double left = exp(-F * times_s[i] / n);
        assert_near(head[NXW_O2] / (0.2 * n), left, 1e-5);
        assert_near(head[NXW_O2] + head[NXW_INERT], n, 1e-7 * n);
        const double out = lone_tank(&o, 0)[NXW_T_COUNT + NXW_E_OUT + NXW_O2];
        assert_near(out / (0.2 * n), 1.0 - left, 1e-3); /* the ledgers' own tolerance */
    }
}

/* A vessel of nitrogen left open breathes room air in: O2 = 0.2095 (1 - exp(-k t/n)),
 * k = D A P/(R T L); 3 days come to 0.999 of it. */
static void breathing(void **state)
{
    (void)state;
    static const double times_s[] = {3600.0, 86400.0, 3.0 * 86400.0};
    for (int i = 0; i < 3; i++) {
        struct nxw_case c = quiet_case(NXW_STAGE_EMPTY);
        c.relative_tolerance = 1e-8;
        lone_train_make(&o, &c, 1e-3);
        double *head = lone_tank(&o, 0) + NXW_T_HEAD;
        const double n = vessel_mol(), A = 0.25 * 3.14159265358979 * 36e-6;
        const double D = c.parameters.value[NXW_P_D_O2_air] * pow(T_K / 298.15, 1.81);
        const double k = D * A * P_PA / (R * T_K * 0.1);
        head[NXW_O2] = 0.0;
        head[NXW_INERT] = n;
        run(times_s[i]);
        assert_near(head[NXW_O2] / n, 0.2095 * (1.0 - exp(-k * times_s[i] / n)), 1e-5);
    }
}

/* First-order uptake by a quiet surface: a trace of nitric-acid vapour in a closed bottle falls as
 * exp(-kG A t/V), A the surface and a quarter of the wall. The liquid has it then. */
static void uptake(void **state)
{
    (void)state;
    static const double times_s[] = {5.0, 20.0, 60.0};
    for (int i = 0; i < 3; i++) {
        struct nxw_case c = quiet_case(NXW_STAGE_BOTTLE);
        c.stages[0].no_surface = false;
        c.vent_closed = true;
        c.relative_tolerance = 1e-8;
        lone_train_make(&o, &c, 1e-7);
        double *tank = lone_tank(&o, 0);
        tank[NXW_T_HEAD + NXW_HNO3] = 1e-7;
        /* the air is wet already, or the gas would swell */
        tank[NXW_T_HEAD + NXW_H2O] = 2339.2 / P_PA * P_PA * 100e-6 / (R * T_K);
        tank[NXW_T_HEAD + NXW_INERT] -= tank[NXW_T_HEAD + NXW_H2O];
        const double kG = c.parameters.value[NXW_P_kG_quiet];
        const double A = 0.25 * 3.14159265358979 * 3.6e-3 + 0.25 * 4.0 * 100e-6 / 0.06;
        run(times_s[i]);
        const double left = exp(-kG * A * times_s[i] / 100e-6);
        assert_near(tank[NXW_T_HEAD + NXW_HNO3] / 1e-7, left, 2e-4);
        assert_near(tank[NXW_L_NITRATE] / 1e-7, 1.0 - left, 2e-4);
    }
}

/* Warm water over plenty of ice: T - 0 degC falls as exp(-UA t/C), the bath takes up what the
 * bottle gives and 0.5 W/K from a room of 20 degC, and melts for it. */
static void over_ice(void **state)
{
    (void)state;
    static const double times_s[] = {60.0, 300.0, 1200.0};
    for (int i = 0; i < 3; i++) {
        struct nxw_case c = quiet_case(NXW_STAGE_BOTTLE);
        c.isothermal = false;
        c.stages[0].bath = NXW_BATH_ICE_WATER;
        c.stages[0].ice_kg = 1.0;
        c.stages[0].UA_W_K = 3.0;
        c.stages[0].liquid_temperature_K = 303.15;
        c.relative_tolerance = 1e-8;
        lone_train_make(&o, &c, 0.1);
        double *tank = lone_tank(&o, 0);
        const double C = 4181.0 * tank[NXW_L_H2O] * 0.018015 + 140.0;
        run(times_s[i]);
        const double left = 30.0 * exp(-3.0 * times_s[i] / C);
        assert_near(tank[NXW_T_TEMPERATURE] - 273.15, left,
                    5e-3); /* as in test_solver.c; bath 1 mK */
        const double taken = C * (30.0 - left) + 0.5 * 20.0 * times_s[i];
        assert_near(tank[NXW_T_BATH_HEAT], taken, 5e-3 * C + 1e-4 * taken);
        assert_relative(1.0 - nxw_bath_ice_kg(&o.train.stages[0], tank[NXW_T_BATH_HEAT]),
                        taken / 333600.0, 3e-3);
    }
}

/* NO with air in bubbles, next to nothing dissolving: what the bubbles oxidise on their way is that
 * of constant oxygen, 2 k [NO]^2 [O2] for the time of rise, 1 - 1/(1 + 2 k [NO] [O2] t) of it. */
static void oxidation_in_bubbles(void **state)
{
    (void)state;
    struct nxw_case c = quiet_case(NXW_STAGE_BOTTLE);
    c.physical_absorption_only = true;
    c.parameters.value[NXW_P_H_NO] = c.parameters.value[NXW_P_H_NO2] = 1e-9;
    c.parameters.value[NXW_P_H_N2O4] = c.parameters.value[NXW_P_H_N2O3] = 1e-9;
    c.parameters.value[NXW_P_k_NO_oxidation] *= 10.0;
    c.source.duration_s = 1000.0;
    c.source.flow_mol_s = 5e-5;
    c.source.NO_fraction = 0.01;
    c.source.O2_fraction = 0.50;
    c.stages[0].tip = NXW_TIP_BUBBLE_DIAMETER;
    c.stages[0].bubble_diameter_m = 4e-3;
    c.stages[0].depth_m = 0.08;
    c.relative_tolerance = 1e-8;
    lone_train_make(&o, &c, 1e-3);
    run(500.0);
    assert_true(lone_train_rates(&o, 500.0));
    const struct nxw_stage_view *v = &o.train.views[0];
    /* wet bubbles at the mean pressure: half the head and the capillary pressure above 1 atm */
    const double P = P_PA + 998.2 * 9.80665 * 0.04 + 4.0 * 0.0727 / 4e-3;
    const double dry = 1.0 - 2339.2 / P, c_all = P / (R * T_K);
    const double k = o.train.feed.k_NO_oxidation_m6_mol2_s;
    const double x = 2.0 * k * 0.01 * dry * c_all * 0.5 * dry * c_all * v->residence_s;
    const double share = v->sums[NXW_S_OXIDATION] / (5e-5 * 0.01);
    assert_true(v->residence_s > 0.1 && share > 0.01);
    /* 2 %: the bubbles are not wet at once, and swell */
    assert_relative(share, 1.0 - 1.0 / (1.0 + x), 0.02);
}

/* NO and NO2, 20 ppm of each, with 2 % of water to nitrous acid without a way back: both fall as
 * 1/(1 + r t), r what goes of a share in the first second; 0.1 % for the water that goes. */
static void nitrous_acid_in_gas(void **state)
{
    (void)state;
    static const double done[] = {0.1, 1.0, 5.0};
    for (int i = 0; i < 3; i++) {
        struct nxw_case c = quiet_case(NXW_STAGE_EMPTY);
        struct nxw_parameters table;
        nxw_parameters_default(&table);
        c.parameters.value[NXW_P_k_HNO2_gas] = table.value[NXW_P_k_HNO2_gas];
        c.parameters.value[NXW_P_K_HNO2_gas] = 1e9;
        c.parameters.value[NXW_P_k_NO_oxidation] = 0.0;
        c.relative_tolerance = 1e-8;
        c.vent_closed = true;
        lone_train_make(&o, &c, 1e-6);
        double *head = lone_tank(&o, 0) + NXW_T_HEAD;
        const double n = vessel_mol(), start = 20e-6 * n;
        head[NXW_NO] = head[NXW_NO2] = start;
        head[NXW_H2O] = 0.02 * n;
        head[NXW_O2] = 0.0;
        head[NXW_INERT] = 0.97996 * n;
        const double k = 1e3 * table.value[NXW_P_k_HNO2_gas];
        const double r = k * 20e-6 * 20e-6 * 0.02 * (R * T_K / P_PA * n) / start;
        run(done[i] / r);
        assert_relative(head[NXW_NO] / start, 1.0 / (1.0 + done[i]), 2e-3);
        assert_relative(head[NXW_NO2] / start, 1.0 / (1.0 + done[i]), 2e-3);
        assert_relative(head[NXW_HNO2] / start, 2.0 * done[i] / (1.0 + done[i]), 2e-3);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(washing_out), cmocka_unit_test(breathing),
        cmocka_unit_test(uptake),      cmocka_unit_test(nitrous_acid_in_gas),
        cmocka_unit_test(over_ice),    cmocka_unit_test(oxidation_in_bubbles),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
