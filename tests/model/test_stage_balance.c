/* Layer (a): at any state of a train, likely or not, rates conserve atoms and heat: what comes less
 * what leaves is what stays, element by element and joule by joule. */
#include "../assert_near.h"

#include "../lone_train.h"
#include "../random_draw.h"
#include "../rich_feed.h"

static struct lone_train o;

enum { N, O, H, ELEMENTS };
static const double GAS[NXW_POOLS][ELEMENTS] = {
    [NXW_NO] = {1, 1, 0},   [NXW_NO2] = {1, 2, 0}, [NXW_HNO2] = {1, 2, 1},
    [NXW_HNO3] = {1, 3, 1}, [NXW_O2] = {0, 2, 0},  [NXW_H2O] = {0, 1, 2}};
static const double LIQUID[NXW_L_AMOUNTS][ELEMENTS] = {
    [NXW_L_NITRATE] = {1, 3, 1}, [NXW_L_N3] = {1, 2, 1},     [NXW_L_HOONO] = {1, 3, 1},
    [NXW_L_NO_AQ] = {1, 1, 0},   [NXW_L_NO2_AQ] = {1, 2, 0}, [NXW_L_H2O2] = {0, 2, 2},
    [NXW_L_H2O] = {0, 1, 2}};

static double draw(double low, double high) /* even in the logarithm */
{
    return low * exp(log(high / low) * draw_uniform());
}

/* A steady feed of everything into a bottle, an empty vessel or both, air bled in between. */
static struct nxw_case fed_case(int which)
{
    struct nxw_case c;
    nxw_case_init(&c);
    c.source.kind = NXW_SOURCE_TABLE;
    c.source.n_rows = 2;
    for (size_t i = 0; i < 2; i++)
        c.source.rows[i] = (struct nxw_source_row){
            1e4 * (double)i,  draw(1e-6, 1e-3), draw(1e-6, 1e-3), draw(1e-8, 1e-5),
            draw(1e-8, 1e-5), draw(1e-6, 1e-3), draw(1e-6, 1e-2), draw(1e-7, 1e-4)};
    c.source.temperature_K = 320.0;
    c.n_stages = which % 3 == 2 ? 3 : 1;
    c.stages[1] = c.stages[2] = c.stages[0];
    c.stages[which % 3 == 2 ? 1 : 0].kind = which % 3 == 0 ? NXW_STAGE_BOTTLE : NXW_STAGE_EMPTY;
    c.stages[1].bleed = (struct nxw_carrier){NXW_GAS_AIR, 1e-4, -10.0, (double)INFINITY};
    for (size_t i = 0; i < c.n_stages; i++)
        if (c.stages[i].kind == NXW_STAGE_BOTTLE)
            c.stages[i].peroxide_mass_fraction = which % 2 == 0 ? 0.05 : 0.0;
    c.parameters.value[NXW_P_peroxide_side_loss] = 0.2;
    c.parameters.value[NXW_P_k_H2O2_decomposition] = 1e-4;
    return c;
}

/* Amounts drawn over many orders of magnitude; bubbles somewhere between fresh and empty. */
static void draw_state(int which)
{
    const struct nxw_case c = fed_case(which);
    lone_train_make(&o, &c, 0.1);
    for (size_t i = 0; i < o.train.n_states; i++)
        if (o.x[i] > 0.0 && o.x[i] < 1.0)
            o.x[i] *= 0.2 + 0.8 * draw_uniform();
    for (size_t s = 0; s < o.train.n_stages; s++) {
        double *tank = lone_tank(&o, s);
        for (int j = NXW_O2; j < NXW_POOLS; j++) /* the gas may be too little or too much */
            tank[NXW_T_HEAD + j] = o.train.stages[s].room[j] * 0.01 * (0.5 + draw_uniform());
        const double head = tank[NXW_T_HEAD + NXW_O2] + tank[NXW_T_HEAD + NXW_INERT];
        tank[NXW_T_HEAD + NXW_NO] = head * draw(1e-5, 0.3);
        tank[NXW_T_HEAD + NXW_NO2] = head * draw(1e-5, 0.6);
        tank[NXW_T_HEAD + NXW_HNO2] = head * draw(1e-6, 1e-2);
        tank[NXW_T_HEAD + NXW_HNO3] = head * draw(1e-6, 1e-3);
        if (c.stages[s].kind == NXW_STAGE_EMPTY)
            continue;
        tank[NXW_L_NITRATE] = draw(1e-4, 0.5);
        tank[NXW_L_N3] = draw(1e-6, 0.1);
        tank[NXW_L_HOONO] = draw(1e-9, 1e-4);
        tank[NXW_L_NO_AQ] = draw(1e-7, 1e-3);
        tank[NXW_L_NO2_AQ] = draw(1e-9, 1e-4);
        tank[NXW_T_TEMPERATURE] = 274.0 + 60.0 * draw_uniform();
    }
    assert_true(lone_train_rates(&o, 5000.0));
}

/* To rounding of the terms: some dozens of them, each good to 1e-16 of the largest. */
static void atoms(void **state)
{
    (void)state;
    for (int which = 0; which < 300; which++) {
        draw_state(which);
        for (size_t s = 0; s < o.train.n_stages; s++)
            for (int e = 0; e < ELEMENTS; e++) {
                const double *d = lone_rate(&o, s), *ledger = d + NXW_T_COUNT;
                double sum = 0.0, scale = 0.0;
                for (int j = 0; j < NXW_POOLS; j++) {
                    const double a = GAS[j][e];
                    sum += a * (ledger[NXW_E_FED + j] - ledger[NXW_E_OUT + j] - d[NXW_T_HEAD + j]);
                    scale += a * (fabs(ledger[NXW_E_FED + j]) + fabs(ledger[NXW_E_OUT + j]) +
                                  fabs(d[NXW_T_HEAD + j]));
                }
                for (int j = 0; j < NXW_L_AMOUNTS; j++) {
                    sum -= LIQUID[j][e] * d[NXW_T_LIQUID + j];
                    scale += LIQUID[j][e] * fabs(d[NXW_T_LIQUID + j]);
                }
                assert_true(scale > 0.0);
                assert_near(sum / scale, 0.0, 1e-11);
            }
    }
}

/* From a liquid full of NO all of it that bubbles lose, the other way, counts as given back; to a
 * thousandth of what goes both ways, over which the count begins. */
static void given_back(void **state)
{
    (void)state;
    for (int which = 0; which < 300; which += 3) {
        draw_state(which);
        lone_tank(&o, 0)[NXW_L_NO_AQ] = 0.1;
        assert_true(lone_train_rates(&o, 5000.0));
        const double *S = o.train.views[0].sums, back = -S[NXW_S_NO] - S[NXW_S_N2O3];
        assert_true(back > 1e-7);
        assert_relative(S[NXW_S_RETURNED], back, 1e-3);
    }
}

/* What leaves a stage comes into the next, with the air bled in between (1e-15 mol/s of what was
 * there keep the mixture of nothing with nothing defined). */
static void from_stage_to_stage(void **state)
{
    (void)state;
    int flowing = 0;
    for (int which = 2; which < 300; which += 3) {
        draw_state(which);
        for (size_t s = 1; s < 3; s++) {
            const double *out = lone_rate(&o, s - 1) + NXW_T_COUNT + NXW_E_OUT;
            const double *fed = lone_rate(&o, s) + NXW_T_COUNT + NXW_E_FED;
            double sum = 0.0;
            for (int j = 0; j < NXW_POOLS; j++)
                sum += out[j];
            assert_true(sum > 0.0);
            flowing += sum > 1e-6;
            for (int j = 0; j < NXW_POOLS; j++) {
                const double air = j == NXW_O2 ? 0.2095 : j == NXW_INERT ? 0.7905 : 0.0;
                assert_near(fed[j], out[j] + (s == 1 ? 1e-4 * air : 0.0), 1e-12 * sum + 1e-15);
            }
        }
    }
    assert_true(flowing > 50);
}

/* Heat brought less heat lost warms liquid and glass: the enthalpy of the liquid as a function,
 * differenced along its rates, with the heat of the glass. Differences are good to 1e-8. */
static void heat(void **state)
{
    (void)state;
    for (int which = 0; which < 300; which += 3) {
        draw_state(which);
        const double *x = lone_tank(&o, 0), *d = lone_rate(&o, 0), *ledger = d + NXW_T_COUNT;
        double low[NXW_L_AMOUNTS], high[NXW_L_AMOUNTS], fastest = 0.0;
        nxw_stage_amounts(&o.train.stages[0], x, low);
        for (int j = 0; j < NXW_L_AMOUNTS; j++)
            fastest = fmax(fastest, fabs(d[j]) / (low[j] + 1e-6));
        const double h = 1e-4 / fastest, T = x[NXW_T_TEMPERATURE], dT = d[NXW_T_TEMPERATURE];
        for (int j = 0; j < NXW_L_AMOUNTS; j++) {
            high[j] = low[j] + h * d[j];
            low[j] -= h * d[j];
        }
        const struct nxw_parameters *p = &o.c.parameters;
        const double H_high = nxw_liquid_enthalpy_J(p, high, T + h * dT);
        const double H_low = nxw_liquid_enthalpy_J(p, low, T - h * dT);
        const double glass = 140.0 * dT; /* 250 mL */
        const double stored = (H_high - H_low) / (2.0 * h) + glass;
        const double brought = ledger[NXW_E_HEAT_IN], lost = ledger[NXW_E_HEAT_LOST];
        const double scale = fabs(brought) + fabs(lost) + fabs(glass) + 1e-9 * fabs(H_high) / h;
        assert_near((brought - lost - stored) / scale, 0.0, 1e-6);
    }
}

/* Heat of the gas, nothing paired. All heat of the headspace given to the liquid: what comes less
 * what leaves and what the headspace keeps, each at its temperature. None of it given, and nothing
 * happening there: the same with the gas as warm as the liquid that it left. */
static void heat_of_the_gas(void **state)
{
    (void)state;
    for (int which = 0; which < 300; which += 3) {
        draw_state(which);
        struct nxw_parameters *p = &o.c.parameters;
        const bool given = which % 4 < 2; /* with peroxide and without */
        p->value[NXW_P_K_N2O4] = p->value[NXW_P_K_N2O3] = 1e-12;
        p->value[NXW_P_headspace_heat_share] = given;
        if (!given)
            p->value[NXW_P_k_NO_oxidation] = p->value[NXW_P_k_HNO2_gas] = 0.0;
        o.c.stages[0].no_surface = !given;
        nxw_chemistry_gas(p, o.c.source.temperature_K, &o.train.feed);
        assert_true(lone_train_rates(&o, 5000.0));
        const double *d = lone_rate(&o, 0), *ledger = d + NXW_T_COUNT;
        const double T = lone_tank(&o, 0)[NXW_T_TEMPERATURE];
        const double T_kept = given ? 0.5 * (T + 293.15) : T;
        double sum = 0.0, scale = 0.0;
        for (int j = 0; j < NXW_POOLS; j++) {
            const enum nxw_pool pool = (enum nxw_pool)j;
            const double in = ledger[NXW_E_FED + j] * nxw_gas_molar_enthalpy(p, pool, 320.0);
            const double kept = (ledger[NXW_E_OUT + j] + d[NXW_T_HEAD + j]) *
                                nxw_gas_molar_enthalpy(p, pool, T_kept);
            sum += in - kept;
            scale += fabs(in) + fabs(kept);
        }
        assert_near((ledger[NXW_E_HEAT_IN] - sum) / scale, 0.0, 1e-9);
    }
}

/* J per mole of NO2 pool, for the share of it that is N2O4. */
static double pairs_J_mol(const struct nxw_parameters *p, const struct nxw_gas_pressures *g)
{
    return 1e3 * (p->value[NXW_P_dHf_N2O4_gas] - 2.0 * p->value[NXW_P_dHf_NO2_gas]) * g->N2O4_Pa /
           g->pool_Pa[NXW_NO2];
}

/* A quiet surface, none of the headspace's own heat given to the liquid: it is brought what the
 * gases that leave the headspace hold at its temperature, one after another and at last NO and NO2
 * together; N2O4 and N2O3 bring their own heat of formation. */
static void heat_through_the_surface(void **state)
{
    (void)state;
    struct nxw_case c = quiet_case(NXW_STAGE_BOTTLE);
    struct nxw_parameters *p = &c.parameters;
    c.isothermal = c.stages[0].no_surface = false;
    c.stages[0].liquid_temperature_K = 310.0;
    p->value[NXW_P_headspace_heat_share] = 0.0;
    p->value[NXW_P_k_NO_oxidation] = 0.0;
    p->value[NXW_P_K_N2O4] = 7.0;
    p->value[NXW_P_K_N2O3] = 0.5;
    for (int gas = NXW_NO; gas <= NXW_O2; gas++) {
        const bool both = gas == NXW_O2;
        lone_train_make(&o, &c, 0.1);
        double *head = lone_tank(&o, 0) + NXW_T_HEAD;
        head[both ? NXW_NO : gas] = 1e-3;
        if (both)
            head[NXW_NO2] = 2e-3;
        assert_true(lone_train_rates(&o, 1000.0));
        const double *d = lone_rate(&o, 0), *ledger = d + NXW_T_COUNT;
        const double N2O3 = o.train.views[0].surface.N2O3;
        double heat_W = N2O3 * 1e3 * p->value[NXW_P_dHf_N2O3_gas], of_gas_W = heat_W;
        for (int j = 0; j < NXW_POOLS; j++) {
            double taken = -d[NXW_T_HEAD + j] - ledger[NXW_E_OUT + j];
            double J_mol = nxw_gas_molar_enthalpy(p, (enum nxw_pool)j, 310.0);
            if (j == NXW_NO || j == NXW_NO2)
                taken -= N2O3;
            if (j == NXW_NO2 && head[NXW_NO2] > 0.0)
                J_mol += pairs_J_mol(p, &o.train.views[0].head);
            heat_W += taken * J_mol;
            if (j == gas && !both)
                of_gas_W = taken * J_mol;
        }
        assert_true(fabs(of_gas_W) > 1e-6 * fabs(heat_W));
        assert_near(ledger[NXW_E_HEAT_IN], heat_W, 1e-9 * fabs(heat_W));
    }
}

/* NO turns brown in a standing headspace and pairs there: what that gives off, the pairs in the
 * share they have of NO2, is all brought to the liquid. */
static void heat_of_pairing(void **state)
{
    (void)state;
    struct nxw_case c = quiet_case(NXW_STAGE_BOTTLE);
    struct nxw_parameters *p = &c.parameters;
    c.isothermal = false;
    p->value[NXW_P_headspace_heat_share] = 1.0;
    p->value[NXW_P_K_N2O4] = 7.0;
    lone_train_make(&o, &c, 0.1);
    double *head = lone_tank(&o, 0) + NXW_T_HEAD;
    head[NXW_NO] = head[NXW_NO2] = 1e-3;
    assert_true(lone_train_rates(&o, 1000.0));
    const double *d = lone_rate(&o, 0), *out = d + NXW_T_COUNT + NXW_E_OUT;
    double given_W = 0.0;
    for (int j = 0; j < NXW_POOLS; j++)
        given_W -=
            (d[NXW_T_HEAD + j] + out[j]) * nxw_gas_molar_enthalpy(p, (enum nxw_pool)j, 293.15);
    const double made = d[NXW_T_HEAD + NXW_NO2] + out[NXW_NO2];
    const double pairs_W = -made * pairs_J_mol(p, &o.train.views[0].head);
    assert_true(pairs_W > 0.05 * given_W);
    assert_relative(d[NXW_T_COUNT + NXW_E_HEAT_IN], given_W + pairs_W, 1e-9);
}

/* Small bubbles of NO2 alone, in peroxide, are taken up whole on their way: by all slices together
 * as much as comes, and a thousandth more at the most: of a last trace none is ended. */
static void all_and_no_more(void **state)
{
    (void)state;
    struct nxw_case c = rich_feed();
    c.source.NO2_fraction = 1.0;
    c.source.O2_fraction = 0.0;
    c.stages[0].peroxide_mass_fraction = 0.1;
    for (int i = 0; i < 3; i++) {
        c.stages[0].bubble_diameter_m = (1.0 + 0.5 * i) * 1e-3;
        lone_train_make(&o, &c, 0.5);
        assert_int_equal(lone_train_run(&o, 1000.0), NXW_OK);
        assert_true(lone_train_rates(&o, 1000.0));
        const double *S = o.train.views[0].sums;
        const double taken = S[NXW_S_NO] + 2.0 * S[NXW_S_N2O3] + S[NXW_S_HYDROLYSIS] +
                             S[NXW_S_POOL] + S[NXW_S_HNO2] + S[NXW_S_HNO3];
        const double comes = lone_rate(&o, 0)[NXW_T_COUNT + NXW_E_FED + NXW_NO2];
        assert_near(taken / comes, 1.0, 1.1e-3);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(atoms),
        cmocka_unit_test(given_back),
        cmocka_unit_test(from_stage_to_stage),
        cmocka_unit_test(heat),
        cmocka_unit_test(heat_of_the_gas),
        cmocka_unit_test(heat_through_the_surface),
        cmocka_unit_test(heat_of_pairing),
        cmocka_unit_test(all_and_no_more),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
