/* Layer (b): a stage at states worked by hand: charge, bath, outlet, surface, what counts as given
 * back. */
#include "../assert_near.h"

#include "../lone_train.h"
#include "../rich_feed.h"

static struct lone_train o;

static const double R = 8.314462618, T_K = 293.15, P_PA = 101325.0;

/* What an empty vessel of 250 mL holds; its volume is rounded off where it vanishes, at 1 mL, which
 * makes 4 nL more here. */
static double vessel_mol(void) { return P_PA * 0.5 * (250e-6 + sqrt(6.25e-8 + 4e-12)) / (R * T_K); }

/* 250 mL in 500 mL at 20 degC: water of 998.20 kg/m3, 13.852 mol; above it 250 mL of air, 10.393
 * mmol, half saturated: 1169.6 Pa of 2339.2 Pa water. With acid and peroxide by weight. */
static void charge(void **state)
{
    (void)state;
    struct nxw_case c = rich_feed();
    lone_train_make(&o, &c, 0.5);
    const double *tank = lone_tank(&o, 0), *head = tank + NXW_T_HEAD;
    assert_relative(tank[NXW_L_H2O], 250e-6 * 998.20 / 0.018015, 1e-5);
    const double n = P_PA * 250e-6 / (R * T_K), wet = 1169.6 / P_PA;
    assert_relative(head[NXW_H2O], n * wet, 1e-3); /* the vapour pressure's own error */
    assert_relative(head[NXW_O2], n * 0.2095 * (1.0 - wet), 1e-5);
    assert_relative(head[NXW_INERT], n * 0.7905 * (1.0 - wet), 1e-5);
    assert_near(head[NXW_NO] + head[NXW_NO2] + head[NXW_HNO2] + head[NXW_HNO3], 0.0, 0.0);
    c.stages[0].acid_mass_fraction = 0.1;
    c.stages[0].peroxide_mass_fraction = 0.05;
    lone_train_make(&o, &c, 0.5);
    double amount[NXW_L_AMOUNTS];
    nxw_stage_amounts(&o.train.stages[0], lone_tank(&o, 0), amount);
    const double kg = 250e-6 * nxw_liquid_density_kg_m3(0.1, 0.05, T_K);
    assert_relative(amount[NXW_L_NITRATE], 0.1 * kg / 0.063012, 1e-12);
    assert_relative(amount[NXW_L_H2O2], 0.05 * kg / 0.034014, 1e-12);
    assert_relative(amount[NXW_L_H2O], 0.85 * kg / 0.018015, 1e-12);
    assert_near(lone_tank(&o, 0)[NXW_L_NITRATE], 0.0, 0.0); /* counted from the charge on */
}

/* A bottle behind adds its head: 8 cm of water of 998.2 kg/m3, 783.1 Pa; a tube of 6 mm 4 sigma/d,
 * 48.5 Pa, more. The last one stands at the room's pressure. */
static void pressures(void **state)
{
    (void)state;
    struct nxw_case c = rich_feed();
    c.n_stages = 3;
    c.stages[1] = c.stages[2] = c.stages[0];
    c.stages[1].tip = NXW_TIP_OPEN_TUBE;
    c.stages[1].bore_m = 0.006;
    lone_train_make(&o, &c, 0.5);
    assert_near(o.train.stages[2].pressure_Pa, P_PA, 0.0);
    assert_near(o.train.stages[1].pressure_Pa, P_PA + 783.1, 0.1);
    assert_near(o.train.stages[0].pressure_Pa, P_PA + 783.1 + 783.1 + 48.5, 0.2);
}

/* 0.1 kg of ice with 0.5 kg of water: 33.36 kJ melt it, at 0 degC; another 25 kJ warm 0.6 kg by
 * 25000/(4186 x 0.6) = 9.954 K. Half-way half the ice is left. A bath of air stays as it is. */
static void bath(void **state)
{
    (void)state;
    struct nxw_case c = rich_feed();
    struct nxw_stage *s = &c.stages[0];
    s->bath = NXW_BATH_ICE_WATER;
    s->ice_kg = 0.1;
    s->bath_water_kg = 0.5;
    lone_train_make(&o, &c, 0.5);
    const struct nxw_stage_plan *plan = &o.train.stages[0];
    assert_near(nxw_bath_ice_kg(plan, 0.0), 0.1, 0.0);
    assert_near(nxw_bath_ice_kg(plan, 16680.0), 0.05, 1e-15);
    assert_near(nxw_bath_ice_kg(plan, 40000.0), 0.0, 0.0);
    /* the corner is rounded over 1 % of the ice: 334 J are 0.13 K */
    assert_near(nxw_bath_temperature_K(plan, 0.0), 273.15, 1e-5);
    assert_near(nxw_bath_temperature_K(plan, 30000.0), 273.15, 5e-3);
    assert_near(nxw_bath_temperature_K(plan, 33360.0), 273.15, 0.07);
    assert_near(nxw_bath_temperature_K(plan, 58360.0), 273.15 + 9.954, 5e-3);
    assert_near(lone_tank(&o, 0)[NXW_T_TEMPERATURE], 273.15, 0.0); /* starts as cold as its bath */
    c = rich_feed();
    c.stages[0].bath_temperature_K = 301.0;
    lone_train_make(&o, &c, 0.5);
    assert_near(nxw_bath_temperature_K(&o.train.stages[0], 5e5), 301.0, 0.0);
    assert_near(lone_tank(&o, 0)[NXW_T_TEMPERATURE], 301.0, 0.0);
}

static const double *out_of(struct lone_train *train)
{
    assert_true(lone_train_rates(train, 1000.0));
    return lone_rate(train, 0) + NXW_T_COUNT + NXW_E_OUT;
}

/* 1 % of gas too much leaves with 1/1.01 % of it in a fifth of a second: 0.01 n/0.2 s, in the
 * proportions of the headspace. As much too little draws as much room air in. Closed: nothing. */
static void outlet(void **state)
{
    (void)state;
    struct nxw_case c = quiet_case(NXW_STAGE_EMPTY);
    c.vent_bore_m = 1e-4; /* no diffusion to speak of: 7e-11 mol/s, 7e-9 of n */
    lone_train_make(&o, &c, 0.5);
    double *head = lone_tank(&o, 0) + NXW_T_HEAD;
    const double n = vessel_mol();
    head[NXW_NO] = 0.10 * n;
    head[NXW_O2] = 0.20 * n;
    head[NXW_INERT] = 0.71 * n;
    const double *out = out_of(&o);
    assert_near(out[NXW_NO], 0.05 * n * 0.10 / 1.01, 1e-6 * n);
    assert_near(out[NXW_O2], 0.05 * n * 0.20 / 1.01, 1e-6 * n);
    assert_near(out[NXW_INERT], 0.05 * n * 0.71 / 1.01, 1e-6 * n);
    head[NXW_INERT] = 0.69 * n;
    out = out_of(&o);
    assert_near(out[NXW_NO], 0.0, 1e-6 * n);
    assert_near(out[NXW_O2], -0.05 * n * 0.2095, 1e-6 * n);
    assert_near(out[NXW_INERT], -0.05 * n * 0.7905, 1e-6 * n);
    assert_relative(lone_rate(&o, 0)[NXW_T_COUNT + NXW_E_DRAWN_BACK], 0.05 * n, 1e-4);
    o.c.vent_closed = true;
    out = out_of(&o);
    for (int j = 0; j < NXW_POOLS; j++)
        assert_near(out[j], 0.0, 0.0);
}

/* The bore, 6 mm and 10 cm, lets D A P/(R T L) of each gas out for a whole of mole fraction: at
 * 20 degC, 1 atm with D from the table at 25 degC and T^1.81. Half NO and half air: the half of it
 * for NO; oxygen goes the other way. */
static void breathing(void **state)
{
    (void)state;
    struct nxw_case c = quiet_case(NXW_STAGE_EMPTY);
    c.parameters.value[NXW_P_k_NO_oxidation] = 0.0;
    lone_train_make(&o, &c, 0.5);
    double *head = lone_tank(&o, 0) + NXW_T_HEAD;
    const double n = vessel_mol(), A = 0.25 * 3.14159265358979 * 36e-6;
    head[NXW_NO] = 0.5 * n;
    head[NXW_O2] = 0.5 * 0.2095 * n;
    head[NXW_INERT] = 0.5 * 0.7905 * n;
    const double *out = out_of(&o), k = A * P_PA / (R * T_K * 0.1) * pow(T_K / 298.15, 1.81);
    const double D_NO = c.parameters.value[NXW_P_D_NO_air];
    const double D_O2 = c.parameters.value[NXW_P_D_O2_air];
    assert_relative(out[NXW_NO], 0.5 * k * D_NO, 1e-6);
    assert_relative(out[NXW_O2], -0.5 * 0.2095 * k * D_O2, 1e-6);
    assert_relative(out[NXW_INERT], -0.5 * 0.7905 * k * D_O2, 1e-6);
}

/* A bottle that is not the last lets gas out and never in. */
static void between_bottles(void **state)
{
    (void)state;
    struct nxw_case c = quiet_case(NXW_STAGE_EMPTY);
    c.n_stages = 2;
    c.stages[1] = c.stages[0];
    lone_train_make(&o, &c, 0.5);
    double *head = lone_tank(&o, 0) + NXW_T_HEAD;
    head[NXW_INERT] = vessel_mol() - head[NXW_O2];
    for (int k = 0; k < 2; k++) {
        const double *out = out_of(&o);
        double sum = 0.0;
        for (int j = 0; j < NXW_POOLS; j++)
            sum += out[j];
        if (k == 1)
            assert_relative(sum, 0.05 * vessel_mol(), 1e-6);
        else
            assert_true(sum >= 0.0 && sum < 1e-6 * vessel_mol());
        for (int j = 0; j < NXW_POOLS; j++)
            head[j] *= 1.01;
    }
    for (int j = 0; j < NXW_POOLS; j++)
        head[j] *= 0.9;
    const double *out = out_of(&o);
    for (int j = 0; j < NXW_POOLS; j++)
        assert_true(out[j] >= 0.0 && out[j] < 1e-12);
}

/* Standing vapour of nitric acid over water: kG_quiet over A = 28.27 cm2 of surface and a quarter
 * of the wall, 4 V/D = 66.67 cm2: J = kG n/V (28.27 + 16.67) cm2; 1e-6: the wall's own pocket. Heat
 * taken to the liquid with it: that of the vapour. */
static void surface(void **state)
{
    (void)state;
    struct nxw_case c = quiet_case(NXW_STAGE_BOTTLE);
    c.stages[0].no_surface = false;
    lone_train_make(&o, &c, 0.5);
    lone_tank(&o, 0)[NXW_T_HEAD + NXW_HNO3] = 1e-9;
    assert_true(lone_train_rates(&o, 1000.0));
    const double kG = c.parameters.value[NXW_P_kG_quiet];
    const double want = kG * 1e-9 / 100e-6 * (28.2743e-4 + 16.6667e-4);
    assert_relative(lone_rate(&o, 0)[NXW_L_NITRATE], want, 1e-4);
    c.parameters.value[NXW_P_wet_wall_share] = 0.0;
    lone_train_make(&o, &c, 0.5);
    lone_tank(&o, 0)[NXW_T_HEAD + NXW_HNO3] = 1e-9;
    assert_true(lone_train_rates(&o, 1000.0));
    assert_relative(lone_rate(&o, 0)[NXW_L_NITRATE], want * 28.2743 / 44.941, 1e-4);
}

/* What holds NO2 up on its way through the liquid, in all slices together: nothing in the gas, so
 * the liquid; everything in the gas. A thousandth: the rounded end of the share. */
static void held_up_by(void **state)
{
    (void)state;
    struct nxw_case c = rich_feed();
    for (int i = 0; i < 2; i++) {
        c.parameters.value[NXW_P_Sh_bubble] = i == 0 ? 1e9 : 1e-6;
        lone_train_make(&o, &c, 0.5);
        for (size_t j = NXW_NO2; j < o.train.stages[0].n_path; j += NXW_PATH_POOLS)
            o.x[j] = 0.5;
        assert_true(lone_train_rates(&o, 1000.0));
        assert_near(o.train.views[0].sums[NXW_S_LIQUID_SHARE], 1.0 - i, 1.1e-3);
    }
}

/* A headspace that has lost nearly all its gas: at 3 % of its volume the pocket touches half the
 * surface, at twice that all but 1 in 257, and at half of it 1 in 257. 0.5 %: the share's rounded
 * end makes 0.03 % of it at half, the eighth power eight times that. */
static void pocket(void **state)
{
    (void)state;
    struct nxw_case c = quiet_case(NXW_STAGE_BOTTLE);
    c.stages[0].no_surface = false;
    static const double part[] = {1.0, 0.06, 0.03, 0.015},
                        share[] = {1.0, 256.0 / 257.0, 0.5, 1.0 / 257.0};
    double whole = NAN;
    for (int i = 0; i < 4; i++) {
        lone_train_make(&o, &c, 0.5);
        double *head = lone_tank(&o, 0) + NXW_T_HEAD;
        for (int j = 0; j < NXW_POOLS; j++)
            head[j] *= part[i];
        head[NXW_HNO3] = 1e-9 * part[i]; /* as much a volume */
        assert_true(lone_train_rates(&o, 1000.0));
        const double J = o.train.views[0].surface.HNO3;
        if (i == 0)
            whole = J;
        assert_relative(J / whole, share[i], 0.005);
    }
}

/* NO that fizzes takes its enthalpy along, none of it back from the headspace; it is gas given
 * back, and what leaves of it is so in its share of the headspace's NO. */
static void fizzing(void **state)
{
    (void)state;
    struct nxw_case c = quiet_case(NXW_STAGE_BOTTLE);
    c.isothermal = false;
    c.physical_absorption_only = false;
    c.parameters.value[NXW_P_headspace_heat_share] = 0.0;
    c.parameters.value[NXW_P_k5_HNO2] = c.parameters.value[NXW_P_k2_NO2] = 0.0;
    lone_train_make(&o, &c, 0.5);
    double *tank = lone_tank(&o, 0);
    tank[NXW_L_NO_AQ] = 1e-3; /* 6.7 mol/m3, where 1.9 would do */
    assert_true(lone_train_rates(&o, 1000.0));
    const double *d = lone_rate(&o, 0), fizz = d[NXW_T_COUNT + NXW_E_FIZZ];
    assert_true(fizz > 1e-5);
    assert_near(d[NXW_L_NO_AQ], -fizz, 1e-15);
    assert_near(d[NXW_T_RETURNED_NO], fizz, 1e-12);
    const double h_NO = 1e3 * c.parameters.value[NXW_P_dHf_NO_gas] + 29.9 * (T_K - 298.15);
    assert_relative(d[NXW_T_COUNT + NXW_E_HEAT_IN], -fizz * h_NO, 1e-9);
    /* the headspace: 0.4 of its NO given back, all of it let out */
    tank[NXW_T_HEAD + NXW_NO] = 1e-3;
    tank[NXW_T_RETURNED_NO] = 4e-4;
    assert_true(lone_train_rates(&o, 1000.0));
    const double out = d[NXW_T_COUNT + NXW_E_OUT + NXW_NO];
    assert_true(out > 1e-6);
    assert_relative(d[NXW_T_COUNT + NXW_E_OUT_RETURNED], 0.4 * out, 1e-6);
    assert_near(d[NXW_T_COUNT + NXW_E_OUT_RETURNED_SPENT], 0.0, 0.0); /* there was no peroxide */
}

/* Gas that is given back counts as given back for want of peroxide from where 1 % of that is left:
 * there by half, at a third of it by nine tenths, at three times it by a tenth. */
static void peroxide_spent(void **state)
{
    (void)state;
    struct nxw_case c = quiet_case(NXW_STAGE_BOTTLE);
    c.stages[0].peroxide_mass_fraction = 0.05;
    lone_train_make(&o, &c, 0.5);
    double *tank = lone_tank(&o, 0);
    const double start = tank[NXW_L_H2O2];
    const double left[] = {1.0 / 3.0, 1.0, 3.0}, share[] = {0.9, 0.5, 0.1};
    tank[NXW_T_HEAD + NXW_NO] = 1e-3;
    tank[NXW_T_RETURNED_NO] = 4e-4;
    for (int i = 0; i < 3; i++) {
        tank[NXW_L_H2O2] = 0.01 * left[i] * start;
        assert_true(lone_train_rates(&o, 1000.0));
        const double *ledger = lone_rate(&o, 0) + NXW_T_COUNT;
        assert_true(ledger[NXW_E_OUT_RETURNED] > 1e-6);
        assert_relative(ledger[NXW_E_OUT_RETURNED_SPENT] / ledger[NXW_E_OUT_RETURNED], share[i],
                        1e-12);
    }
}

/* Where the headspace's NO and NO2 came from is carried away with them, and its share does not rise
 * by itself: not by HNO2 that falls apart, nor by oxygen that is a trace below nothing. */
static void no_share_grows_by_itself(void **state)
{
    (void)state;
    struct nxw_case c = quiet_case(NXW_STAGE_EMPTY);
    c.parameters.value[NXW_P_k_HNO2_gas] = 50.0;
    lone_train_make(&o, &c, 0.5);
    double *tank = lone_tank(&o, 0), *head = tank + NXW_T_HEAD;
    head[NXW_NO] = head[NXW_NO2] = 1e-8;
    for (int i = 0; i < 4; i++) {
        const double share = i < 2 ? 0.5 : 2.0, most = fmin(share, 1.0);
        tank[NXW_T_RETURNED_NO] = tank[NXW_T_REFORMED_NO2] = share * 1e-8;
        head[NXW_HNO2] = i % 2 == 0 ? 5e-3 : 0.0;
        head[NXW_O2] = -1e-3;
        assert_true(lone_train_rates(&o, 1000.0));
        const struct nxw_stage_view *v = &o.train.views[0];
        assert_true(i % 2 == 0 ? v->formation_mol_s < -1e-7 : v->oxidation_mol_s < -1e-14);
        const double *d = lone_rate(&o, 0);
        const double NO = d[NXW_T_HEAD + NXW_NO];
        const double NO2 = d[NXW_T_HEAD + NXW_NO2] - v->oxidation_mol_s; /* that takes no share */
        assert_true(d[NXW_T_RETURNED_NO] <= most * NO + 1e-9 * fabs(NO) + 1e-15);
        assert_true(d[NXW_T_REFORMED_NO2] <= most * NO2 + 1e-9 * fabs(NO2) + 1e-15);
    }
}

/* A share that integration has left above all or below nothing counts as all or nothing, and where
 * the headspace draws in nothing leaves with it. */
static void shares_are_no_more_than_all(void **state)
{
    (void)state;
    struct nxw_case c = quiet_case(NXW_STAGE_EMPTY);
    lone_train_make(&o, &c, 0.5);
    double *tank = lone_tank(&o, 0), *head = tank + NXW_T_HEAD;
    head[NXW_NO] = head[NXW_NO2] = 1e-3;
    static const double part[] = {2e-3, 5e-4, -1e-3}, share[] = {1.0, 0.5, 0.0};
    for (int i = 0; i < 4; i++) {
        tank[NXW_T_RETURNED_NO] = tank[NXW_T_REFORMED_NO2] = part[i % 3];
        if (i == 3)
            head[NXW_INERT] *= 0.5;
        assert_true(lone_train_rates(&o, 1000.0));
        const struct nxw_gas_stream *outlet = &o.train.views[0].outlet;
        assert_relative(outlet->returned_share + 1.0, share[i % 3] + 1.0, 1e-9);
        assert_relative(outlet->reformed_share + 1.0, share[i % 3] + 1.0, 1e-9);
        const double *ledger = lone_rate(&o, 0) + NXW_T_COUNT;
        assert_true(i == 3 ? outlet->flow_mol_s < 0.0 : ledger[NXW_E_OUT + NXW_NO] > 1e-6);
        const double NO = fmax(0.0, ledger[NXW_E_OUT + NXW_NO]);
        const double NO2 = fmax(0.0, ledger[NXW_E_OUT + NXW_NO2]);
        assert_near(ledger[NXW_E_OUT_RETURNED], share[i % 3] * NO, 1e-9 * NO + 1e-15);
        assert_near(ledger[NXW_E_OUT_REFORMED], share[i % 3] * NO2, 1e-9 * NO2 + 1e-15);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(charge),
        cmocka_unit_test(pressures),
        cmocka_unit_test(bath),
        cmocka_unit_test(outlet),
        cmocka_unit_test(breathing),
        cmocka_unit_test(between_bottles),
        cmocka_unit_test(surface),
        cmocka_unit_test(held_up_by),
        cmocka_unit_test(pocket),
        cmocka_unit_test(fizzing),
        cmocka_unit_test(peroxide_spent),
        cmocka_unit_test(no_share_grows_by_itself),
        cmocka_unit_test(shares_are_no_more_than_all),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
