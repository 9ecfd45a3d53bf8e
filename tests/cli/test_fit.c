/*
 * Layer (b). Unknowns come back from readings made of the estimate's own results and known errors:
 * the limits hold as often as they say, and what cannot be told apart is found out.
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
#include "random_draw.h"
#include "study/fit.h"

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

/* ------------------------------------------------- coverage over the model's response surface */

enum { GRID = 5, SURFACE_READINGS = 5 };
static struct surface {
    bool used; /* in place of the model */
    double node[GRID], value[GRID][GRID][SURFACE_READINGS];
} surface;

enum nxw_exit __real_nxw_fit_predict(struct nxw_fit *fit, size_t n,
                                     const double (*points)[NXW_FIT_UNKNOWNS_MAX],
                                     double (*predicted)[NXW_FIT_READINGS_MAX]);
enum nxw_exit __wrap_nxw_fit_predict(struct nxw_fit *fit, size_t n,
                                     const double (*points)[NXW_FIT_UNKNOWNS_MAX],
                                     double (*predicted)[NXW_FIT_READINGS_MAX]);

static double lagrange(size_t i, double x)
{
    double product = 1.0;
    for (size_t k = 0; k < GRID; k++)
        if (k != i)
            product *= (x - surface.node[k]) / (surface.node[i] - surface.node[k]);
    return product;
}

static void on_surface(const double *point, double *predicted)
{
    for (size_t m = 0; m < SURFACE_READINGS; m++)
        predicted[m] = 0.0;
    for (size_t i = 0; i < GRID; i++)
        for (size_t k = 0; k < GRID; k++)
            for (size_t m = 0; m < SURFACE_READINGS; m++)
                predicted[m] +=
                    lagrange(i, point[0]) * lagrange(k, point[1]) * surface.value[i][k][m];
}

/* The linker puts this before the fit's model: a run takes too long for thousands of fits. */
enum nxw_exit __wrap_nxw_fit_predict(struct nxw_fit *fit, size_t n,
                                     const double (*points)[NXW_FIT_UNKNOWNS_MAX],
                                     double (*predicted)[NXW_FIT_READINGS_MAX])
{
    if (!surface.used)
        return __real_nxw_fit_predict(fit, n, points, predicted);
    for (size_t i = 0; i < n; i++)
        on_surface(points[i], predicted[i]);
    return NXW_EXIT_DONE;
}

/* Runs of the model on a grid over the ranges, joined by a polynomial. */
static void make_surface(struct nxw_fit *fit)
{
    static double predicted[GRID * GRID][NXW_FIT_READINGS_MAX];
    static double points[GRID * GRID][NXW_FIT_UNKNOWNS_MAX];
    for (size_t i = 0; i < GRID; i++) /* Chebyshev's nodes */
        surface.node[i] = 0.5 - 0.5 * cos(3.141592653589793 * ((double)i + 0.5) / GRID);
    for (size_t i = 0; i < GRID * GRID; i++) {
        points[i][0] = surface.node[i / GRID];
        points[i][1] = surface.node[i % GRID];
    }
    assert_int_equal(
        nxw_fit_predict(fit, GRID * GRID, (const double(*)[NXW_FIT_UNKNOWNS_MAX])points, predicted),
        NXW_EXIT_DONE);
    for (size_t i = 0; i < GRID * GRID; i++)
        for (size_t m = 0; m < SURFACE_READINGS; m++)
            surface.value[i / GRID][i % GRID][m] = predicted[i][m];
}

/* 3000 draws know a share of 95 % to 0.4 % (standard error). Limits that were widened for a bad fit
 * hold more often: they are counted as they were before. */
static void test_limits_hold_over_thousands_of_draws(void **unused)
{
    (void)unused;
    enum { DRAWS = 3000 };
    static const double TRUTH_SHARES[NXW_FIT_UNKNOWNS_MAX] = {0.42, 0.25}; /* of the ranges */
    struct bench *b = set_up(2, TWO);
    double truth[SURFACE_READINGS];
    int inside[2] = {0, 0}, passed = 0;
    read_truth(b, false);
    make_surface(&b->fit);
    on_surface(TRUTH_SHARES, truth);
    for (size_t m = 0; m < SURFACE_READINGS; m++) /* the surface is the model's, within errors */
        assert_near(truth[m], b->fit.readings[m].value, b->fit.readings[m].error);
    surface.used = true;
    random_state = 20240229;
    for (int i = 0; i < DRAWS; i++) {
        for (size_t m = 0; m < SURFACE_READINGS; m++)
            b->fit.readings[m].value = truth[m] + b->fit.readings[m].error * draw_normal();
        assert_int_equal(nxw_fit_run(&b->fit, &b->result), NXW_EXIT_DONE);
        assert_true(b->result.converged && b->result.determined);
        for (size_t k = 0; k < 2; k++) {
            const double error = b->result.error[k] / b->result.widened;
            inside[k] += fabs(b->result.value[k] - TRUTH[k]) <= NXW_OF_100_95 * error;
        }
        passed += b->result.probability > 0.05;
    }
    surface.used = false;
    for (size_t k = 0; k < 2; k++)
        assert_near(100.0 * inside[k] / DRAWS, 95.0, 1.5);
    assert_near(100.0 * passed / DRAWS, 95.0, 1.5);
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
        cmocka_unit_test(test_limits_hold_over_thousands_of_draws),
        cmocka_unit_test(test_one_reading_cannot_tell_two_unknowns_apart),
        cmocka_unit_test(test_close_unknowns_are_correlated),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
