/* Layer (a): the account's own identities: atoms and heat that are moved about leave it closed,
 * ones that are not accounted for open it by just so much, and the reasons add up to the escape. */
#include "../assert_near.h"

#include "../lone_train.h"
#include "../random_draw.h"
#include "../rich_feed.h"
#include "run/account.h"

static struct lone_train o;
static double x0[LONE_STATES_MAX];

/* The states that one mole of something sits in. */
struct where {
    int index; /* in the tank and the ledger behind it */
    double N, O, H;
};
#define POOLS_AT(first)                                                                            \
    {(first) + NXW_NO, 1, 1, 0}, {(first) + NXW_NO2, 1, 2, 0}, {(first) + NXW_HNO2, 1, 2, 1},      \
        {(first) + NXW_HNO3, 1, 3, 1}, {(first) + NXW_O2, 0, 2, 0},                                \
    {                                                                                              \
        (first) + NXW_H2O, 0, 1, 2                                                                 \
    }
static const struct where FED[] = {POOLS_AT(NXW_T_COUNT + NXW_E_FED)};
static const struct where PLACES[] = {POOLS_AT(NXW_T_COUNT + NXW_E_OUT),
                                      POOLS_AT(NXW_T_HEAD),
                                      {NXW_L_NITRATE, 1, 3, 1},
                                      {NXW_L_N3, 1, 2, 1},
                                      {NXW_L_HOONO, 1, 3, 1},
                                      {NXW_L_NO_AQ, 1, 1, 0},
                                      {NXW_L_NO2_AQ, 1, 2, 0},
                                      {NXW_L_H2O2, 0, 2, 2},
                                      {NXW_L_H2O, 0, 1, 2}};
enum { FEDS = sizeof FED / sizeof FED[0], PLACES_COUNT = sizeof PLACES / sizeof PLACES[0] };

static void start(void)
{
    const struct nxw_case c = rich_feed();
    lone_train_make(&o, &c, 0.5);
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

/* One mole of NO2 fed and out again sets the scale: closures are per mole fed. */
static void feed_and_let_out(void)
{
    double *tank = lone_tank(&o, 0);
    tank[NXW_T_COUNT + NXW_E_FED + NXW_NO2] += 1.0;
    tank[NXW_T_COUNT + NXW_E_OUT + NXW_NO2] += 1.0;
}

/* A thousandth of a mole in one place more than came: N, O and H are out by its atoms, and by its
 * nitrogen alone where gas is fed that went nowhere. */
static void each_place_counts_its_atoms(void **state)
{
    (void)state;
    start();
    const double amount = 1e-3;
    for (size_t i = 0; i < PLACES_COUNT; i++) {
        start();
        feed_and_let_out();
        lone_tank(&o, 0)[PLACES[i].index] += amount;
        const struct nxw_result r = account();
        assert_near(r.nitrogen_closure, -amount * PLACES[i].N, 1e-12);
        assert_near(r.oxygen_closure, -amount * PLACES[i].O, 1e-12);
        assert_near(r.hydrogen_closure, -amount * PLACES[i].H, 1e-12);
    }
    for (size_t i = 0; i < FEDS; i++) {
        start();
        feed_and_let_out();
        lone_tank(&o, 0)[FED[i].index] += amount;
        const double fed = 1.0 + amount * FED[i].N;
        const struct nxw_result r = account();
        assert_near(r.nitrogen_closure, amount * FED[i].N / fed, 1e-12);
        assert_near(r.oxygen_closure, amount * FED[i].O / fed, 1e-12);
        assert_near(r.hydrogen_closure, amount * FED[i].H / fed, 1e-12);
    }
}

/* Reactions move atoms from place to place and leave all three closed. */
static void reactions_leave_it_closed(void **state)
{
    (void)state;
    static const struct {
        int index[5];
        double moles[5];
    } reaction[] = {
        /* 2 NO2 + H2O -> HNO2 + HNO3 */
        {{NXW_L_NO2_AQ, NXW_L_H2O, NXW_L_N3, NXW_L_NITRATE, 0}, {-2, -1, 1, 1, 0}},
        /* 2 HNO2 -> NO + NO2 + H2O */
        {{NXW_L_N3, NXW_L_NO_AQ, NXW_L_NO2_AQ, NXW_L_H2O, 0}, {-2, 1, 1, 1, 0}},
        /* HNO2 + H2O2 -> HOONO + H2O */
        {{NXW_L_N3, NXW_L_H2O2, NXW_L_HOONO, NXW_L_H2O, 0}, {-1, -1, 1, 1, 0}},
        /* HOONO -> HNO3 */
        {{NXW_L_HOONO, NXW_L_NITRATE, 0, 0, 0}, {-1, 1, 0, 0, 0}},
        /* 2 H2O2 -> 2 H2O + O2, into the headspace */
        {{NXW_L_H2O2, NXW_L_H2O, NXW_T_HEAD + NXW_O2, 0, 0}, {-2, 2, 1, 0, 0}},
        /* 2 NO + O2 -> 2 NO2 there */
        {{NXW_T_HEAD + NXW_NO, NXW_T_HEAD + NXW_O2, NXW_T_HEAD + NXW_NO2, 0, 0}, {-2, -1, 2, 0, 0}},
        /* NO + NO2 + H2O -> 2 HNO2 there */
        {{NXW_T_HEAD + NXW_NO, NXW_T_HEAD + NXW_NO2, NXW_T_HEAD + NXW_H2O, NXW_T_HEAD + NXW_HNO2,
          0},
         {-1, -1, -1, 2, 0}}};
    for (size_t i = 0; i < sizeof reaction / sizeof reaction[0]; i++) {
        start();
        feed_and_let_out();
        for (int k = 0; k < 5; k++)
            lone_tank(&o, 0)[reaction[i].index[k]] += 1e-3 * reaction[i].moles[k];
        const struct nxw_result r = account();
        assert_near(r.nitrogen_closure, 0.0, 1e-12);
        assert_near(r.oxygen_closure, 0.0, 1e-12);
        assert_near(r.hydrogen_closure, 0.0, 1e-12);
    }
}

/* Heat brought that went into warmer liquid and glass and through the wall closes; each of the
 * three alone does not. */
static void heat_closes(void **state)
{
    (void)state;
    start();
    double *tank = lone_tank(&o, 0);
    tank[NXW_T_TEMPERATURE] += 7.0;
    const double kg = tank[NXW_L_H2O] * NXW_MOLAR_MASS_H2O_KG_MOL,
                 glass = 140.0 * cbrt(4.0); /* 500 mL */
    const double warmed = 7.0 * (4181.0 * kg + glass), lost = 300.0;
    tank[NXW_T_COUNT + NXW_E_HEAT_IN] = warmed + lost;
    tank[NXW_T_COUNT + NXW_E_HEAT_LOST] = lost;
    struct nxw_result r = account();
    assert_near(r.stages[0].heat_booked_J, -(warmed + lost), 1e-9);
    assert_near(r.stages[0].heat_stored_J, warmed, 1e-6); /* rounding of 4 MJ of enthalpy */
    assert_near(r.stages[0].heat_lost_J, lost, 0.0);
    assert_near(r.heat_closure, 0.0, 1e-9);
    static const int part[] = {NXW_T_TEMPERATURE, NXW_T_COUNT + NXW_E_HEAT_IN,
                               NXW_T_COUNT + NXW_E_HEAT_LOST};
    for (int i = 0; i < 3; i++) {
        const double was = tank[part[i]];
        tank[part[i]] += 0.01 * (i == 0 ? 7.0 : was);
        r = account();
        assert_true(fabs(r.heat_closure) > 1e-4);
        tank[part[i]] = was;
    }
}

/* Whatever the ledgers say, the reasons are none below nothing and add up to what escaped. */
static void reasons_add_up(void **state)
{
    (void)state;
    for (int n = 0; n < 500; n++) {
        start();
        double *e = lone_tank(&o, 0) + NXW_T_COUNT;
        for (int j = 0; j < NXW_POOLS; j++) {
            e[NXW_E_FED + j] = draw_uniform();
            e[NXW_E_OUT + j] = draw_uniform();
        }
        for (int k = NXW_E_OUT_RETURNED; k <= NXW_E_THROUGH_LIQUID; k++)
            e[k] = (n % 5 == 0 ? 0.0 : 1.5) * draw_uniform(); /* also more than there was */
        const struct nxw_result r = account();
        const struct nxw_why *w = &r.why;
        const double part[] = {w->NO_never_oxidised_mol,
                               w->NO_given_back_mol,
                               w->NO_given_back_peroxide_spent_mol,
                               w->NO2_too_dilute_mol,
                               w->NO2_path_too_short_mol,
                               w->NO2_reformed_swept_mol,
                               w->acid_vapour_mol};
        double sum = 0.0;
        for (int i = 0; i < 7; i++) {
            assert_true(part[i] >= 0.0);
            sum += part[i];
        }
        assert_near(sum, r.escaped_mol, 1e-14);
        assert_near(part[0] + part[1] + part[2], r.escaped_NO_mol, 1e-14);
        assert_near(part[3] + part[4] + part[5], r.escaped_NO2_mol, 1e-14);
    }
}

/* Runs as a whole: what was fed is held, escaped or in flight, and held is what the stages hold
 * beyond their charge; what leaves one stage enters the next. */
static void runs_add_up(void **state)
{
    (void)state;
    for (int which = 0; which < 3; which++) {
        struct nxw_case c = rich_feed();
        c.stages[0].peroxide_mass_fraction = which == 1 ? 0.02 : 0.0;
        c.stages[0].acid_mass_fraction = which == 2 ? 0.2 : 0.0;
        c.n_stages = which == 0 ? 1 : 2;
        c.stages[1] = c.stages[0];
        struct nxw_result r;
        assert_int_equal(nxw_estimate(&c, NULL, NULL, &r), NXW_OK);
        assert_near(r.held_mol + r.escaped_mol + r.in_flight_mol, r.fed_mol, 1e-6 * r.fed_mol);
        double held = 0.0, kept = 0.0, flying = 0.0;
        for (size_t i = 0; i < c.n_stages; i++) {
            const struct nxw_stage_result *s = &r.stages[i];
            kept += s->nitrate_mol - s->nitrate_start_mol;
            held += s->nitrous_acid_mol + s->HOONO_mol + s->NO_aq_mol + s->NO2_aq_mol;
            flying += s->in_flight_mol;
            const double in =
                s->entered_NO_mol + s->entered_NO2_mol + s->entered_HNO2_mol + s->entered_HNO3_mol;
            const struct nxw_stage_result *before = i == 0 ? NULL : &r.stages[i - 1];
            const double want = before == NULL ? r.fed_mol
                                               : before->left_NO_mol + before->left_NO2_mol +
                                                     before->left_HNO2_mol + before->left_HNO3_mol;
            assert_near(in, want, 1e-6 * r.fed_mol); /* tolerance of the ledgers */
        }
        assert_near(kept, r.kept_mol, 1e-12);
        assert_near(held + kept, r.held_mol, 1e-12);
        assert_near(flying, r.in_flight_mol, 1e-15);
        assert_true(r.kept_mol > 0.1);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_place_counts_its_atoms),
        cmocka_unit_test(reactions_leave_it_closed),
        cmocka_unit_test(heat_closes),
        cmocka_unit_test(reasons_add_up),
        cmocka_unit_test(runs_add_up),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
