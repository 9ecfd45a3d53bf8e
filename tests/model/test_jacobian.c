/* Layer (d): the structured derivatives against plain differences of all rates, state by state. */
#include "../assert_near.h"

#include <stdlib.h>
#include <string.h>

#include "jacobian.h"
#include "../rich_feed.h"
#include "solver.h"

/* A train at a state in the middle of its run. */
static void run_to(struct nxw_train *train, const struct nxw_case *c, double t_s, double *x,
                   double *relative, double *absolute)
{
    nxw_train_make(c, train);
    nxw_train_start(train, x);
    nxw_train_tolerances(train, 0.5, 0.8, relative, absolute);
    struct nxw_solver *solver = nxw_solver_create(train, x, relative, absolute);
    assert_non_null(solver);
    const double *now = x;
    for (double t = 0.0; t < t_s;)
        assert_int_equal(nxw_solver_step(solver, t_s, &t, &now), NXW_OK);
    memcpy(x, now, train->n_states * sizeof *x);
    nxw_solver_free(solver);
}

/* Every element in units of the tolerances of both states, per second: a thousandth, or a hundredth of
 * a tolerance. Differences are taken to the same side, since weights of the slices bend at zero. */
static void compare(const struct nxw_case *c)
{
    enum { MOST = 3 * NXW_STAGE_STATES_MAX };
    static struct nxw_train train;
    static double x[MOST], relative[MOST], absolute[MOST], low[MOST], high[MOST], column[MOST];
    const double t_s = 1000.0;
    run_to(&train, c, t_s, x, relative, absolute);
    const size_t n = train.n_states;
    struct nxw_jacobian *j = nxw_jacobian_create(&train, absolute);
    assert_non_null(j);
    double *element = calloc(nxw_jacobian_nonzeros(j), sizeof *element);
    assert_non_null(element);
    assert_true(nxw_jacobian_fill(j, t_s, x, element));
    const size_t *start = nxw_jacobian_starts(j), *row = nxw_jacobian_rows(j);
    for (size_t k = 0; k < n; k++) {
        const double old = x[k], unit = relative[k] * fabs(old) + absolute[k];
        const double step = 1e-3 * unit;
        x[k] = old + step;
        assert_true(nxw_train_rates(&train, t_s, x, high));
        x[k] = old;
        assert_true(nxw_train_rates(&train, t_s, x, low));
        memset(column, 0, sizeof column);
        for (size_t i = start[k]; i < start[k + 1]; i++)
            column[row[i]] = element[i];
        for (size_t i = 0; i < n; i++) {
            const double plain = (high[i] - low[i]) / step;
            const double scale = unit / (relative[i] * fabs(x[i]) + absolute[i]);
            const double allowed = 1e-3 * fabs(plain) * scale + 1e-2;
            if (!(fabs(plain - column[i]) * scale <= allowed))
                print_message("state %zu, rate %zu: %g, plainly %g\n", k, i, column[i], plain);
            assert_near(column[i] * scale, plain * scale, allowed);
        }
    }
    free(element);
    nxw_jacobian_free(j);
}

static void test_one_bottle(void **unused)
{
    (void)unused;
    struct nxw_case c = rich_feed();
    compare(&c);
    c.stages[0].peroxide_mass_fraction = 0.04;
    c.stages[0].bath = NXW_BATH_ICE_WATER;
    c.stages[0].ice_kg = 0.3;
    compare(&c);
}

/* A bottle, an empty vessel with air bled in, and a bottle of peroxide. */
static void test_train(void **unused)
{
    (void)unused;
    struct nxw_case c = rich_feed();
    c.n_stages = 3;
    c.stages[1] = c.stages[2] = c.stages[0];
    c.stages[1].kind = NXW_STAGE_EMPTY;
    c.stages[1].bleed.gas = NXW_GAS_AIR;
    c.stages[1].bleed.flow_mol_s = 1e-4;
    c.stages[1].bleed.until_s = INFINITY;
    c.stages[2].peroxide_mass_fraction = 0.03;
    compare(&c);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_one_bottle),
                                       cmocka_unit_test(test_train)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
