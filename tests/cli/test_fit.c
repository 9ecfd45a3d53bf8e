/*
 * Unknowns come back from readings made of the estimate's own results and known errors: the limits
 * hold as often as they say, and what cannot be told apart is found out.
 */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "assert_near.h"
#include "fit.h"
#include "random_draw.h"

static const char CASE[] = "source: {kind: acid vapour, acid made: 0.2 mol, decomposed: 31 %, "
                           "duration: 12 min}\n"
                           "train: [{glass: washing bottle 250 mL, liquid: 150 mL}]\n"
                           "after: {standing: 0 min}\n";

struct bench {
    struct nxw_fit fit;
    struct nxw_fit_result result;
    struct nxw_result truth;
};

static struct bench *set_up(size_t n, const char *const *unknowns)
{
    struct bench *b = calloc(1, sizeof *b);
    assert_non_null(b);
    struct nxw_fault_list faults = {0};
    struct nxw_case_notes notes;
    assert_int_equal(nxw_tree_read_text(CASE, sizeof CASE - 1, false, &b->fit.owned, &faults),
                     NXW_READ_OK);
    /* nxw_fit_free looks for the case in the run's tree; here the case is the whole of it */
    b->fit.tree = b->fit.owned;
    b->fit.owned = NULL;
    assert_int_equal(nxw_case_from_tree(b->fit.tree, "", &b->fit.base, &notes, &faults),
                     NXW_READ_OK);
    b->fit.threads = 2;
    struct nxw_option_list list = {.n = n};
    for (size_t i = 0; i < n; i++)
        list.values[i] = unknowns[i];
    assert_int_equal(nxw_fit_read_unknowns(&list, &b->fit), NXW_EXIT_DONE);
    struct nxw_case in = b->fit.base;
    in.relative_tolerance = 1e-9;
    assert_true(nxw_estimate(&in, NULL, NULL, &b->truth) >= 0);
    return b;
}

static void tear_down(struct bench *b)
{
    nxw_fit_free(&b->fit);
    free(b);
}

static void reading(struct bench *b, enum nxw_fit_kind kind, double truth, double error,
                    double errors_off)
{
    b->fit.readings[b->fit.n_readings++] =
        (struct nxw_fit_reading){.kind = kind,
                                 .value = truth + error * errors_off,
                                 .error = error,
                                 .temperature_K = b->truth.stages[0].temperature_K,
                                 .name = "reading"};
}

/* Five readings of the truth, each off by normal errors of its own size. */
static void read_truth(struct bench *b, bool noise)
{
    const struct nxw_result *r = &b->truth;
    const struct nxw_stage_result *s = &r->stages[0];
    double z[5] = {0.0};
    for (size_t i = 0; i < 5 && noise; i++)
        z[i] = draw_normal();
    b->fit.n_readings = 0;
    /* as a density sees it: nitrous acid, 47.013 g/mol (IUPAC), counts as acid by weight */
    const double mass_kg = s->liquid_m3 * s->density_kg_m3;
    const double strength = s->acid_mass_fraction + s->nitrous_acid_mol * 0.047013 / mass_kg;
    reading(b, NXW_FIT_STRENGTH, strength, 0.001, z[0]);
    reading(b, NXW_FIT_RECEIVER, r->receiver_HNO3_mol, 0.0007, z[1]);
    reading(b, NXW_FIT_NITROUS, s->nitrous_acid_mol / s->liquid_m3, 1.0, z[2]);
    reading(b, NXW_FIT_PEAK_TEMPERATURE, s->peak_temperature_K, 0.1, z[3]);
    reading(b, NXW_FIT_ESCAPED, r->escaped_mol, 0.05 * r->escaped_mol, z[4]);
}

static const char *const TWO[] = {"source.decomposed=10:60 %", "source.duration=6:30 min"};
static const double TRUTH[] = {31.0, 12.0};

static void test_readings_without_error_give_the_truth(void **unused)
{
    (void)unused;
    struct bench *b = set_up(2, TWO);
    read_truth(b, false);
    assert_int_equal(nxw_fit_run(&b->fit, &b->result), NXW_EXIT_DONE);
    assert_true(b->result.converged && b->result.determined);
    /* the search ends within a chi-square of 1e-4: a hundredth of a standard error */
    for (size_t k = 0; k < 2; k++)
        assert_near(b->result.value[k], TRUTH[k], 0.01 * b->result.error[k]);
    for (size_t j = 0; j < b->fit.n_readings; j++)
        assert_near(b->result.standardised[j], 0.0, 0.02);
    double sum = 0.0;
    for (size_t j = 0; j < b->fit.n_readings; j++)
        sum += b->result.leverage[j];
    assert_near(sum, 2.0, 1e-6); /* as many as unknowns: a theorem */
    tear_down(b);
}

static void test_limits_hold_as_often_as_they_say(void **unused)
{
    (void)unused;
    enum { SEEDS = 12 };
    struct bench *b = set_up(2, TWO);
    size_t inside = 0;
    double square = 0.0, chi = 0.0;
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        random_state = seed * UINT64_C(0x9e3779b97f4a7c15);
        read_truth(b, true);
        assert_int_equal(nxw_fit_run(&b->fit, &b->result), NXW_EXIT_DONE);
        assert_true(b->result.converged && b->result.determined);
        for (size_t k = 0; k < 2; k++) {
            const double off = (b->result.value[k] - TRUTH[k]) / b->result.error[k];
            inside += fabs(off) < NXW_OF_100_95;
            square += off * off * b->result.widened * b->result.widened;
        }
        chi += b->result.chi_square;
    }
    /* of 24 limits at 95 of 100, fewer than 20 hold in 6 of 1000 such tests */
    assert_true(inside >= 20);
    /* mean square of 24 normal numbers, and 12 chi-squares of 3 degrees: three deviations */
    assert_near(square / (2 * SEEDS), 1.0, 3.0 * sqrt(2.0 / (2 * SEEDS)));
    assert_near(chi / SEEDS, 3.0, 3.0 * sqrt(6.0 / SEEDS));
    tear_down(b);
}

/* The nitrogen in the bottle alone is made by share times amount: one number for two unknowns. */
static void test_one_reading_cannot_tell_two_unknowns_apart(void **unused)
{
    (void)unused;
    const char *const unknowns[] = {"source.decomposed=20:50 %", "source.acid made=0.1:0.4 mol",
                                    "hood.flow=1:10 m3/min"};
    struct bench *b = set_up(3, unknowns);
    const struct nxw_stage_result *s = &b->truth.stages[0];
    reading(b, NXW_FIT_HELD, s->nitrate_mol + s->nitrous_acid_mol, 1e-4, 0.0);
    assert_int_equal(nxw_fit_run(&b->fit, &b->result), NXW_EXIT_DONE);
    const struct nxw_fit_result *r = &b->result;
    assert_false(r->determined);
    assert_true(r->together[0] && r->together[1] && !r->together[2]);
    assert_true(!r->untold[0] && !r->untold[1] && r->untold[2]); /* the hood changes nothing */
    assert_true(isnan(r->error[0]) && isnan(r->error[1]) && isnan(r->error[2]));
    assert_near(r->value[0] / 100.0 * r->value[1], 0.31 * 0.2, 0.01 * 0.31 * 0.2);
    tear_down(b);
}

/* Escape changes their parts a little, so a second reading of the gas nearly fails to help. */
static void test_close_unknowns_are_correlated(void **unused)
{
    (void)unused;
    const char *const unknowns[] = {"source.decomposed=20:50 %", "source.acid made=0.1:0.4 mol"};
    struct bench *b = set_up(2, unknowns);
    const struct nxw_stage_result *s = &b->truth.stages[0];
    reading(b, NXW_FIT_HELD, s->nitrate_mol + s->nitrous_acid_mol, 1e-4, 0.0);
    /* the receiver, read to 5 mmol of 138 */
    reading(b, NXW_FIT_RECEIVER, b->truth.receiver_HNO3_mol, 5e-3, 0.0);
    assert_int_equal(nxw_fit_run(&b->fit, &b->result), NXW_EXIT_DONE);
    assert_true(b->result.determined);
    assert_true(b->result.correlation[0][1] < -NXW_FIT_CORRELATED);
    assert_near(b->result.correlation[0][1], b->result.correlation[1][0], 1e-12);
    tear_down(b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_readings_without_error_give_the_truth),
        cmocka_unit_test(test_limits_hold_as_often_as_they_say),
        cmocka_unit_test(test_one_reading_cannot_tell_two_unknowns_apart),
        cmocka_unit_test(test_close_unknowns_are_correlated),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
