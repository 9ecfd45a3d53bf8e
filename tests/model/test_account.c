/* Layer (b): an account worked by hand, and results that are refused. */
#include "../assert_near.h"

#include "../lone_train.h"
#include "../rich_feed.h"
#include "run/account.h"

static struct lone_train o;
static double x0[LONE_STATES_MAX];

static void start(const struct nxw_case *c)
{
    lone_train_make(&o, c, 0.5);
    memcpy(x0, o.x, sizeof x0);
}

static struct nxw_result account(void)
{
    struct nxw_result r = {.bytes = sizeof r, .n_stages = o.train.n_stages};
    assert_true(lone_train_rates(&o, 100.0));
    for (size_t i = 0; i < r.n_stages; i++)
        r.stages[i].peak_temperature_K = lone_tank(&o, i)[NXW_T_TEMPERATURE];
    nxw_account(&o.train, o.x, x0, &r);
    return r;
}

/* One mole of N fed: 0.2 NO, 0.7 NO2, 0.04 HNO2, 0.06 HNO3; out 0.10 NO, 0.05 NO2, 0.003 HNO2,
 * 0.001 HNO3. Of the NO 0.06 came back from the liquid, 0.02 of that without peroxide; of the NO2
 * 0.02 was made in the headspace; of the rest, 0.03, a quarter was held up by the liquid's side. */
static void feed(struct lone_train *train, size_t stage)
{
    double *e = lone_tank(train, stage) + NXW_T_COUNT;
    e[NXW_E_FED + NXW_NO] = 0.2;
    e[NXW_E_FED + NXW_NO2] = 0.7;
    e[NXW_E_FED + NXW_HNO2] = 0.04;
    e[NXW_E_FED + NXW_HNO3] = 0.06;
    e[NXW_E_FED + NXW_O2] = 0.3;
    e[NXW_E_OUT + NXW_NO] = 0.10;
    e[NXW_E_OUT + NXW_NO2] = 0.05;
    e[NXW_E_OUT + NXW_HNO2] = 0.003;
    e[NXW_E_OUT + NXW_HNO3] = 0.001;
    e[NXW_E_OUT_RETURNED] = 0.06;
    e[NXW_E_OUT_RETURNED_SPENT] = 0.02;
    e[NXW_E_OUT_REFORMED] = 0.02;
    e[NXW_E_THROUGH] = 0.4;
    e[NXW_E_THROUGH_LIQUID] = 0.1;
}

static void reasons_are(const struct nxw_why *w, double dilute, double too_short)
{
    assert_near(w->NO_never_oxidised_mol, 0.04, 1e-15);
    assert_near(w->NO_given_back_mol, 0.04, 1e-15);
    assert_near(w->NO_given_back_peroxide_spent_mol, 0.02, 1e-15);
    assert_near(w->NO2_reformed_swept_mol, 0.02, 1e-15);
    assert_near(w->NO2_too_dilute_mol, dilute, 1e-15);
    assert_near(w->NO2_path_too_short_mol, too_short, 1e-15);
    assert_near(w->acid_vapour_mol, 0.004, 1e-15);
}

static void one_bottle(void **state)
{
    (void)state;
    const struct nxw_case c = rich_feed();
    start(&c);
    feed(&o, 0);
    lone_tank(&o, 0)[NXW_L_NITRATE] += 0.5;
    lone_tank(&o, 0)[NXW_L_N3] += 0.2;
    lone_tank(&o, 0)[NXW_L_NO2_AQ] += 0.04;
    lone_tank(&o, 0)[NXW_T_HEAD + NXW_NO] += 0.006;
    const struct nxw_result r = account();
    assert_near(r.fed_mol, 1.0, 1e-15);
    assert_near(r.fed_O2_mol, 0.3, 0.0);
    assert_near(r.escaped_mol, 0.154, 1e-15);
    assert_near(r.kept_mol, 0.5, 1e-15);
    assert_near(r.held_mol, 0.74, 1e-14);
    assert_near(r.in_flight_mol, 0.006, 1e-15);
    assert_near(r.nitrogen_closure, 1.0 - 0.154 - 0.74 - 0.006, 1e-14);
    reasons_are(&r.why, 0.0075, 0.0225);
    /* 250 mL of water at 20 degC, 0.998204 g/mL, with 0.5 mol HNO3 (31.51 g), 0.2 mol HNO2
     * (9.40 g) and 0.04 mol NO2 (1.84 g): 31.51 g of 292.30 g; half a unit of the last digits */
    assert_near(r.stages[0].acid_mass_fraction, 0.10780, 2e-5);
    assert_near(r.stages[0].acid_mol_m3 * r.stages[0].liquid_m3, 0.5, 1e-12);
    assert_true((r.warnings & NXW_WARN_LEGAL_STRENGTH) != 0);
}

/* The density that tells the strength is that of the liquid at 20 degC, whatever its own
 * temperature, peroxide and all. */
static void reference_density(void **state)
{
    (void)state;
    struct nxw_case c = rich_feed();
    c.stages[0].acid_mass_fraction = 0.1;
    c.stages[0].peroxide_mass_fraction = 0.05;
    start(&c);
    lone_tank(&o, 0)[NXW_T_TEMPERATURE] = 320.0;
    const struct nxw_result r = account();
    const double want = nxw_liquid_density_kg_m3(0.1, 0.05, 293.15);
    assert_relative(r.stages[0].density_reference_kg_m3, want, 1e-12);
    assert_true(r.stages[0].density_kg_m3 < want - 5.0);
}

/* An empty vessel behind the bottle: what escapes is what leaves the vessel, and why NO2 passed is
 * told by the bottle's path, here one half. */
static void vessel_behind(void **state)
{
    (void)state;
    struct nxw_case c = rich_feed();
    c.n_stages = 2;
    c.stages[1].kind = NXW_STAGE_EMPTY;
    start(&c);
    feed(&o, 1);
    lone_tank(&o, 1)[NXW_T_COUNT + NXW_E_THROUGH_LIQUID] = 0.4;
    double *e = lone_tank(&o, 0) + NXW_T_COUNT;
    e[NXW_E_FED + NXW_NO2] = 2.0;
    e[NXW_E_OUT + NXW_NO2] = 1.0;
    e[NXW_E_THROUGH] = 0.8;
    e[NXW_E_THROUGH_LIQUID] = 0.4;
    const struct nxw_result r = account();
    assert_near(r.fed_mol, 2.0, 1e-15);
    assert_near(r.escaped_mol, 0.154, 1e-15);
    reasons_are(&r.why, 0.015, 0.015);
    assert_near(r.stages[1].liquid_m3, 0.0, 0.0);
}

/* 0.3 kg of ice and 33.36 kJ taken up: 0.1 kg has melted; heat given off freezes more, which is not
 * counted as melted. */
static void ice(void **state)
{
    (void)state;
    struct nxw_case c = rich_feed();
    c.stages[0].bath = NXW_BATH_ICE_WATER;
    c.stages[0].ice_kg = 0.3;
    start(&c);
    lone_tank(&o, 0)[NXW_T_BATH_HEAT] = 33360.0;
    struct nxw_result r = account();
    assert_near(r.stages[0].ice_melted_kg, 0.1, 1e-12);
    assert_near(r.stages[0].ice_left_kg, 0.2, 1e-12);
    lone_tank(&o, 0)[NXW_T_BATH_HEAT] = -33360.0;
    r = account();
    assert_near(r.stages[0].ice_melted_kg, 0.0, 0.0);
    assert_near(r.stages[0].ice_left_kg, 0.4, 1e-12);
}

/* Warnings of the account at their limits: 3 wt% acid, 12 wt% peroxide, a bottle three quarters
 * full, 0.1 mmol drawn back. */
static void warnings(void **state)
{
    (void)state;
    static const struct {
        double acid, peroxide, volume_m3, drawn_mol;
        unsigned want;
    } at[] = {{0.0299, 0.0, 500e-6, 0.0, 0},  {0.0301, 0.0, 500e-6, 0.0, NXW_WARN_LEGAL_STRENGTH},
              {0.0, 0.119, 500e-6, 0.0, 0},   {0.0, 0.121, 500e-6, 0.0, NXW_WARN_PEROXIDE_STRONG},
              {0.0, 0.0, 334e-6, 0.0, 0},     {0.0, 0.0, 333e-6, 0.0, NXW_WARN_HEADSPACE_SMALL},
              {0.0, 0.0, 500e-6, 0.99e-4, 0}, {0.0, 0.0, 500e-6, 1.01e-4, NXW_WARN_DRAWN_BACK}};
    for (size_t i = 0; i < sizeof at / sizeof at[0]; i++) {
        struct nxw_case c = rich_feed();
        c.stages[0].acid_mass_fraction = at[i].acid;
        c.stages[0].peroxide_mass_fraction = at[i].peroxide;
        c.stages[0].volume_m3 = at[i].volume_m3;
        start(&c);
        lone_tank(&o, 0)[NXW_T_COUNT + NXW_E_DRAWN_BACK] = at[i].drawn_mol;
        assert_int_equal(account().warnings, at[i].want);
    }
}

struct change {
    int index;
    double mol;
};

/* One mole fed, 0.9 of it nitrate and 0.1 nitrous acid; then up to three changes. */
static bool believed(struct change a, struct change b, struct change c)
{
    const struct nxw_case in = rich_feed();
    start(&in);
    double *tank = lone_tank(&o, 0);
    tank[NXW_T_COUNT + NXW_E_FED + NXW_NO2] = 1.0;
    tank[NXW_L_NITRATE] += 0.9;
    tank[NXW_L_N3] += 0.1;
    tank[a.index] += a.mol;
    tank[b.index] += b.mol;
    tank[c.index] += c.mol;
    const struct nxw_result r = account();
    return nxw_account_is_believable(&o.train, o.x, &r);
}

/* From the nitrate to another place, or back. */
static bool moved(int index, double mol)
{
    return believed((struct change){index, mol}, (struct change){NXW_L_NITRATE, -mol},
                    (struct change){0, 0.0});
}

/* A millionth below nothing of what the source brings, of the water charged, or of the peroxide
 * with that, is not clean; acid's vapour that passes counts as well. */
static void what_is_clean(void **state)
{
    (void)state;
    struct nxw_case c = rich_feed();
    c.stages[0].peroxide_mass_fraction = 0.034;
    start(&c);
    const double peroxide_mol = lone_tank(&o, 0)[NXW_L_H2O2];
    for (int i = 0; i < 12; i++)
        for (int low = 0; low < 2; low++) {
            struct nxw_result r = account();
            struct nxw_stage_result *s = &r.stages[0];
            double *const place[] = {&s->nitrate_mol,   &s->nitrous_acid_mol, &s->HOONO_mol,
                                     &s->NO_aq_mol,     &s->NO2_aq_mol,       &s->in_flight_mol,
                                     &s->left_NO_mol,   &s->left_NO2_mol,     &s->left_HNO2_mol,
                                     &s->left_HNO3_mol, &s->water_mol,        &s->peroxide_mol};
            const double whole[] = {1.0,
                                    1.0,
                                    1.0,
                                    1.0,
                                    1.0,
                                    1.0,
                                    1.0,
                                    1.0,
                                    1.0,
                                    0.25,
                                    250.0 / 18.015,
                                    1.0 + peroxide_mol};
            r.source_mol = 0.25;
            s->left_HNO3_mol = 0.75;
            *place[i] = (low ? -1.01e-6 : -0.99e-6) * whole[i];
            assert_int_equal(nxw_account_is_clean(&o.train, &r), !low);
        }
}

/* Nitrogen out by a ten-thousandth of what was fed, an amount below nothing by a thousandth of it,
 * or above all there was by one, is refused; somewhat less is not. */
static void what_is_refused(void **state)
{
    (void)state;
    const struct change none = {0, 0.0};
    assert_true(believed(none, none, none));
    assert_true(believed((struct change){NXW_L_NITRATE, 0.95e-4}, none, none));
    assert_false(believed((struct change){NXW_L_NITRATE, 1.05e-4}, none, none));
    assert_false(believed((struct change){NXW_L_NITRATE, -1.05e-4}, none, none));
    static const int empty[] = {NXW_L_HOONO,          NXW_L_NO_AQ,
                                NXW_L_NO2_AQ,         NXW_T_HEAD + NXW_NO,
                                NXW_T_HEAD + NXW_NO2, NXW_T_COUNT + NXW_E_OUT + NXW_NO};
    for (size_t i = 0; i < sizeof empty / sizeof empty[0]; i++) {
        assert_true(moved(empty[i], -0.9e-3));
        assert_false(moved(empty[i], -1.1e-3));
        assert_true(moved(empty[i], 1.1e-3));
    }
    /* more than all: from two places that stay within a thousandth of nothing */
    assert_true(believed((struct change){NXW_L_NITRATE, 0.1009}, (struct change){NXW_L_N3, -0.1005},
                         (struct change){NXW_L_HOONO, -0.0004}));
    assert_false(believed((struct change){NXW_L_NITRATE, 0.1012},
                          (struct change){NXW_L_N3, -0.1006},
                          (struct change){NXW_L_HOONO, -0.0006}));
    const int out = NXW_T_COUNT + NXW_E_OUT + NXW_NO2;
    assert_true(believed((struct change){NXW_L_NITRATE, -0.9005},
                         (struct change){NXW_L_N3, -0.1004}, (struct change){out, 1.0009}));
    assert_false(believed((struct change){NXW_L_NITRATE, -0.9006},
                          (struct change){NXW_L_N3, -0.1006}, (struct change){out, 1.0012}));
}

/* What lies below nothing in a second stage is refused as in the first; the acid it was charged
 * with is more than all that was fed, and is not. */
static void a_stage_behind(void **state)
{
    (void)state;
    struct nxw_case c = rich_feed();
    c.n_stages = 2;
    c.stages[1] = c.stages[0];
    c.stages[1].acid_mass_fraction = 0.1;
    for (int i = 0; i < 2; i++) {
        start(&c);
        double *head = lone_tank(&o, 1) + NXW_T_HEAD;
        lone_tank(&o, 0)[NXW_T_COUNT + NXW_E_FED + NXW_NO2] = 0.1;
        lone_tank(&o, 0)[NXW_L_NITRATE] = 0.1;
        head[NXW_NO] = i == 0 ? -0.95e-4 : -1.05e-4;
        head[NXW_NO2] = -head[NXW_NO];
        const struct nxw_result r = account();
        assert_true(o.train.stages[1].nitrate_start_mol > 0.4);
        assert_int_equal(nxw_account_is_believable(&o.train, o.x, &r), i == 0);
    }
}

/* A run of tolerance 1e-3 may lie below nothing by ten times that. With nothing fed a millionth of
 * a mole takes the place of what is fed; water may pass nothing by a millionth of its charge, 250
 * mL; nitrogen of which less than a nanomole was fed need not close. */
static void what_bounds_the_slack(void **state)
{
    (void)state;
    static const struct {
        double relative, fed_mol, closure, water_mol, HOONO_mol;
        bool good;
    } at[] = {{1e-3, 1.0, 0.0, 1.0, -0.99e-2, true}, {1e-3, 1.0, 0.0, 1.0, -1.01e-2, false},
              {1e-6, 0.0, 0.0, 1.0, -0.99e-9, true}, {1e-6, 0.0, 0.0, 1.0, -1.01e-9, false},
              {1e-6, 0.0, 0.0, -1.38e-5, 0.0, true}, {1e-6, 0.0, 0.0, -1.40e-5, 0.0, false},
              {1e-6, 1.0, 0.0, -0.99e-3, 0.0, true}, {1e-6, 1.0, 0.0, -1.01e-3, 0.0, false},
              {1e-6, 0.95e-9, 1.0, 1.0, 0.0, true},  {1e-6, 1.05e-9, 1.0, 1.0, 0.0, false}};
    for (size_t i = 0; i < sizeof at / sizeof at[0]; i++) {
        struct nxw_case c = rich_feed();
        c.relative_tolerance = at[i].relative;
        start(&c);
        const struct nxw_result r = {.fed_mol = at[i].fed_mol, .nitrogen_closure = at[i].closure};
        assert_true(lone_train_rates(&o, 100.0));
        o.train.views[0].amount_mol[NXW_L_H2O] = at[i].water_mol;
        o.train.views[0].amount_mol[NXW_L_HOONO] = at[i].HOONO_mol;
        assert_int_equal(nxw_account_is_believable(&o.train, o.x, &r), at[i].good);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_bottle),
        cmocka_unit_test(reference_density),
        cmocka_unit_test(vessel_behind),
        cmocka_unit_test(ice),
        cmocka_unit_test(warnings),
        cmocka_unit_test(what_is_clean),
        cmocka_unit_test(what_is_refused),
        cmocka_unit_test(a_stage_behind),
        cmocka_unit_test(what_bounds_the_slack),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
