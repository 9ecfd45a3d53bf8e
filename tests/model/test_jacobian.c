/* Layer (d): the structured derivatives against plain differences of all rates, state by state; and
 * the elimination along the structure against the full product. */
#include "../assert_near.h"

#include <string.h>

#include "../random_case.h"
#include "../rich_feed.h"
#include "run/jacobian.h"
#include "run/solver.h"

/* The linker puts this in the place of the model's: whenever derivatives are asked for, the train
 * was evaluated last for the same states, afresh; rates and weights are those to the last bit. */
bool __real_nxw_jacobian_fill(struct nxw_jacobian *j, double t_s, const double *x,
                              const double *rate, struct nxw_train_matrix *out);
bool __wrap_nxw_jacobian_fill(struct nxw_jacobian *j, double t_s, const double *x,
                              const double *rate, struct nxw_train_matrix *out);
static long asked_for;

bool __wrap_nxw_jacobian_fill(struct nxw_jacobian *j, double t_s, const double *x,
                              const double *rate, struct nxw_train_matrix *out)
{
    static struct nxw_train again;
    static double fresh[NXW_STAGES_MAX * NXW_STAGE_STATES_MAX];
    again = *out->train;
    assert_true(nxw_train_rates(&again, t_s, x, fresh));
    assert_memory_equal(rate, fresh, again.n_states * sizeof *rate);
    for (size_t s = 0; s < again.n_stages; s++)
        assert_memory_equal(out->train->weights[s].of, again.weights[s].of,
                            again.stages[s].n_slices * sizeof again.weights[s].of[0]);
    asked_for++;
    return __real_nxw_jacobian_fill(j, t_s, x, rate, out);
}

enum { MOST = 3 * NXW_STAGE_STATES_MAX };
static struct nxw_train train;
static double x[MOST], relative[MOST], absolute[MOST], low[MOST], high[MOST];
static double full[MOST][MOST]; /* [column][row] */

/* Tolerances are steps here: small ones. */
static struct nxw_case finely_fed(void)
{
    struct nxw_case c = rich_feed();
    c.relative_tolerance = 1e-6;
    return c;
}

/* A train at a state in the middle of its run. */
static void run_to(const struct nxw_case *c, double t_s)
{
    nxw_train_make(c, &train);
    nxw_train_start(&train, x);
    nxw_train_tolerances(&train, 0.5, 0.8, relative, absolute);
    struct nxw_solver *solver = nxw_solver_create(&train, x, relative, absolute);
    assert_non_null(solver);
    const double *now = x;
    for (double t = 0.0; t < t_s;)
        assert_int_equal(nxw_solver_step(solver, t_s, &t, &now), NXW_OK);
    memcpy(x, now, train.n_states * sizeof *x);
    nxw_solver_free(solver);
}

/* The blocks as one full matrix. */
static void expand(const struct nxw_train_matrix *m)
{
    memset(full, 0, sizeof full);
    for (size_t s = 0; s < train.n_stages; s++) {
        const size_t first = train.first[s], path = train.stages[s].n_path, tank = first + path;
        const size_t n = train.stages[s].n_states;
        const struct nxw_stage_blocks *b = &m->blocks[s];
        const double *e = m->element;
        for (size_t c = 0; c < path; c++) {
            const size_t slice = c / NXW_PATH_POOLS, from = first + slice * NXW_PATH_POOLS;
            memcpy(&full[first + c][from], e + b->own + c * NXW_PATH_POOLS,
                   NXW_PATH_POOLS * sizeof *e);
            if (slice + 1 < train.stages[s].n_slices)
                memcpy(&full[first + c][from + NXW_PATH_POOLS],
                       e + b->below + (c + NXW_PATH_POOLS) * NXW_PATH_POOLS,
                       NXW_PATH_POOLS * sizeof *e);
            for (size_t k = 0; k < NXW_S_COUNT; k++)
                for (size_t i = 0; i < n - path; i++)
                    full[first + c][tank + i] +=
                        e[b->by_sum + k * (n - path) + i] * e[b->sum_by_path + c * NXW_S_COUNT + k];
        }
        for (size_t c = 0; c < NXW_T_COUNT; c++) {
            if (c < NXW_M_LIQUID)
                memcpy(&full[tank + c][first], e + b->by_liquid + c * path, path * sizeof *e);
            memcpy(&full[tank + c][tank], e + b->by_tank + c * (n - path), (n - path) * sizeof *e);
        }
        for (size_t k = 0; s > 0 && k < NXW_M_BETWEEN; k++) {
            const size_t before = train.first[s - 1] + train.stages[s - 1].n_path;
            memcpy(&full[before + nxw_train_matrix_between(k)][first], e + b->by_before + k * n,
                   n * sizeof *e);
        }
    }
}

/* Nothing asks what peroxide does where there is none, nor what is made of it. */
static bool is_absent(size_t state)
{
    for (size_t s = 0; s < train.n_stages; s++) {
        const size_t tank = train.first[s] + train.stages[s].n_path;
        if (train.stages[s].stage->peroxide_mass_fraction == 0.0 &&
            (state == tank + NXW_L_H2O2 || state == tank + NXW_L_HOONO))
            return true;
    }
    return false;
}

/* Where the headspace's NO came from bends where there is no oxygen, and where it is nothing or
 * all of it; no rate but its own depends on it. */
static bool bends(size_t state, size_t rate)
{
    for (size_t s = 0; s < train.n_stages; s++) {
        const size_t tank = train.first[s] + train.stages[s].n_path;
        if (train.in->source.O2_fraction == 0.0 && state == tank + NXW_T_HEAD + NXW_O2 &&
            rate == tank + NXW_T_RETURNED_NO)
            return true;
        if (state == tank + NXW_T_RETURNED_NO &&
            (fabs(x[state]) < absolute[state] ||
             fabs(x[state] - x[tank + NXW_T_HEAD + NXW_NO]) < absolute[state]))
            return true;
    }
    return false;
}

/* Every element in units of the tolerances of both states, per second: a thousandth, or a hundredth
 * of a tolerance; at the weights of the state itself (low: its rates), as the derivatives see it.
 * Differences are taken to the same side, since some rates bend at zero. */
static void compare_elements(double t_s)
{
    const size_t n = train.n_states;
    for (size_t k = 0; k < n; k++) {
        if (is_absent(k))
            continue;
        const double old = x[k], unit = relative[k] * fabs(old) + absolute[k];
        const double step = 1e-3 * unit;
        x[k] = old + step;
        assert_true(nxw_train_rates_at_weights(&train, t_s, x, high));
        x[k] = old;
        for (size_t i = 0; i < n; i++) {
            if (bends(k, i))
                continue;
            const double plain = (high[i] - low[i]) / step;
            const double scale = unit / (relative[i] * fabs(x[i]) + absolute[i]);
            const double allowed = 1e-3 * fabs(plain) * scale + 1e-2;
            if (!(fabs(plain - full[k][i]) * scale <= allowed))
                print_message("state %zu, rate %zu: %g, plainly %g\n", k, i, full[k][i], plain);
            assert_near(full[k][i] * scale, plain * scale, allowed);
        }
    }
}

/* The elimination undoes the product: v -> (I - h J) v -> v. */
static void compare_solution(struct nxw_train_matrix *m, double h_s)
{
    static double v[MOST], b[MOST];
    const size_t n = train.n_states;
    nxw_train_matrix_scale_add_identity(m, -h_s);
    for (size_t i = 0; i < n; i++) {
        v[i] = (relative[i] * fabs(x[i]) + absolute[i]) * (1.0 + (double)((i * 7919) % 13) / 13.0);
        b[i] = v[i];
    }
    for (size_t k = 0; k < n; k++)
        for (size_t i = 0; i < n; i++)
            b[i] -= h_s * full[k][i] * v[k];
    assert_true(nxw_train_matrix_factor(m));
    nxw_train_matrix_solve(m, b);
    for (size_t i = 0; i < n; i++)
        assert_near(b[i] / v[i], 1.0, 1e-6);
}

static void compare_at(double t_s)
{
    struct nxw_jacobian *j = nxw_jacobian_create(&train, absolute);
    struct nxw_train_matrix m;
    assert_non_null(j);
    assert_true(nxw_train_matrix_make(&train, &m));
    assert_true(nxw_train_rates(&train, t_s, x, low));
    assert_true(nxw_jacobian_fill(j, t_s, x, low, &m));
    expand(&m);
    compare_elements(t_s);
    compare_solution(&m, 10.0);
    nxw_train_matrix_free(&m);
    nxw_jacobian_free(j);
}

static void compare(const struct nxw_case *c)
{
    run_to(c, 1000.0);
    compare_at(1000.0);
}

static void test_one_bottle(void **unused)
{
    (void)unused;
    struct nxw_case c = finely_fed();
    compare(&c);
    c.stages[0].peroxide_mass_fraction = 0.04;
    c.stages[0].bath = NXW_BATH_ICE_WATER;
    c.stages[0].ice_kg = 0.3;
    compare(&c);
}

/* Plenty of peroxide: nearly all of the NO2 is gone within a slice. */
static void test_gone(void **unused)
{
    (void)unused;
    struct nxw_case c = finely_fed();
    c.source.NO2_fraction = 0.9;
    c.source.O2_fraction = 0.1;
    c.stages[0].bubble_diameter_m = 3e-3;
    c.stages[0].peroxide_mass_fraction = 0.1;
    compare(&c);
}

/* Small bubbles: nearly all of the NO is taken along by the NO2, as N2O3, within a slice. */
static void test_taken_along(void **unused)
{
    (void)unused;
    struct nxw_case c = finely_fed();
    c.source.NO2_fraction = 0.6;
    c.source.NO_fraction = 0.03;
    c.source.O2_fraction = 0.0;
    c.stages[0].bubble_diameter_m = 1e-3;
    compare(&c);
    c.source.NO2_fraction = 0.3;
    c.stages[0].bubble_diameter_m = 0.5e-3;
    compare(&c);
    /* and not before the second slice: a state that passes by */
    x[NXW_NO] = 0.01;
    x[NXW_NO2] = x[NXW_PATH_POOLS + NXW_NO2] = 0.5;
    compare_at(1000.0);
}

/* A bottle, an empty vessel with air bled in, and a bottle of peroxide. */
static void test_train(void **unused)
{
    (void)unused;
    struct nxw_case c = finely_fed();
    c.n_stages = 3;
    c.stages[1] = c.stages[2] = c.stages[0];
    c.stages[1].kind = NXW_STAGE_EMPTY;
    c.stages[1].bleed.gas = NXW_GAS_AIR;
    c.stages[1].bleed.flow_mol_s = 1e-4;
    c.stages[1].bleed.until_s = INFINITY;
    c.stages[2].peroxide_mass_fraction = 0.03;
    compare(&c);
}

/* In whole runs, with steps tried again, Newton failing and breaks. */
static void test_base(void **unused)
{
    (void)unused;
    long failures = 0, tried_again = 0;
    asked_for = 0;
    for (int i = 0; i < 40; i++) {
        const struct nxw_case c = random_train();
        static struct nxw_result r;
        assert_true(nxw_estimate(&c, NULL, NULL, &r) >= 0);
        failures += r.statistics.newton_failures;
        tried_again += r.statistics.error_test_failures;
    }
    assert_true(asked_for > 500 && failures > 100 && tried_again > 100);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_one_bottle),
                                       cmocka_unit_test(test_gone),
                                       cmocka_unit_test(test_taken_along),
                                       cmocka_unit_test(test_train), cmocka_unit_test(test_base)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
