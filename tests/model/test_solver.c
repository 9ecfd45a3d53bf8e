/* Layer (d): the integrator against closed forms of reduced problems, against itself with a tighter
 * tolerance, and what it does when it cannot go on. */
#include "../assert_near.h"

#include "../lone_train.h"
#include "../rich_feed.h"

static struct lone_train o, again;

/* Water at 60 degC, UA 0.8 W/K, in air of 20 degC: T - T_bath falls as exp(-UA t/C) with
 * C = 4181 J/(kg K) m + 140 J/K for the glass of 250 mL. */
static double cooled_K(double relative, double t_s)
{
    struct nxw_case c = quiet_case(NXW_STAGE_BOTTLE);
    c.isothermal = false;
    c.relative_tolerance = relative;
    c.stages[0].UA_W_K = 0.8;
    c.stages[0].liquid_temperature_K = 333.15;
    lone_train_make(&o, &c, 0.1);
    const double kg = lone_tank(&o, 0)[NXW_L_H2O] * NXW_MOLAR_MASS_H2O_KG_MOL;
    assert_near(kg, 0.150 * 0.9832, 1e-4);
    assert_int_equal(lone_train_run(&o, t_s), NXW_OK);
    const double want = 293.15 + 40.0 * exp(-0.8 * t_s / (4181.0 * kg + 140.0));
    return lone_tank(&o, 0)[NXW_T_TEMPERATURE] - want;
}

/* One step may err by 1e-6 of 300 K in the mean of 41 states, so that one alone may by 2 mK; some
 * dozens of them, mostly forgotten, by five times that. A hundred times tighter comes at least ten
 * times nearer. */
static void exponential_cooling(void **state)
{
    (void)state;
    static const double times_s[] = {100.0, 700.0, 2000.0, 10000.0};
    for (int i = 0; i < 4; i++) {
        assert_near(cooled_K(1e-6, times_s[i]), 0.0, 1e-2);
        assert_near(cooled_K(1e-8, times_s[i]), 0.0, 3e-4);
        assert_near(cooled_K(1e-10, times_s[i]), 0.0, 3e-5);
    }
}

/*
 * NO, 200 ppm, with air in an empty vessel at constant pressure: x = [NO], 2 [O2] = e + x,
 *   dx/dt = -k x^2 (e + x),  k t = F(x0) - F(x),  F(x) = ln((e + x)/x)/e^2 - 1/(e x)
 * The volume shrinks by half of what is oxidised, 1e-4 at most: 2e-4 of the rate.
 */
static void NO_oxidation(void **state)
{
    (void)state;
    static const double times_s[] = {100.0, 1000.0, 10000.0};
    for (int i = 0; i < 3; i++) {
        struct nxw_case c = quiet_case(NXW_STAGE_EMPTY);
        c.vent_closed = true;
        c.relative_tolerance = 3e-7; /* of a headspace, thirty times that */
        lone_train_make(&o, &c, 1e-6);
        double *head = lone_tank(&o, 0) + NXW_T_HEAD;
        const double V = 250e-6, n = 101325.0 * V / (8.314462618 * 293.15);
        head[NXW_NO] = 200e-6 * n;
        head[NXW_O2] = 0.2 * n;
        head[NXW_INERT] = 0.7998 * n;
        const double x0 = head[NXW_NO] / V, e = 2.0 * head[NXW_O2] / V - x0;
        assert_int_equal(lone_train_run(&o, times_s[i]), NXW_OK);
        const double x = head[NXW_NO] / V, k = o.train.feed.k_NO_oxidation_m6_mol2_s;
        const double F0 = log((e + x0) / x0) / (e * e) - 1.0 / (e * x0);
        const double F = log((e + x) / x) / (e * e) - 1.0 / (e * x);
        assert_relative((F0 - F) / k, times_s[i], 3e-4);
        assert_near(head[NXW_NO] + head[NXW_NO2], 200e-6 * n, 1e-8 * n * 200e-6);
        assert_near(0.2 * n - head[NXW_O2], 0.5 * head[NXW_NO2], 1e-9 * n);
        assert_true(head[NXW_NO2] > 0.05 * head[NXW_NO]); /* something has happened */
    }
}

/* State by state in units of its own tolerance: a run at 1e-6 lies within some tens of them of one
 * at 1e-9 (errors of hundreds of steps, most of them forgotten). Ledgers have coarse tolerances of
 * their own and follow better than that. */
static void tighter_run(void **state)
{
    (void)state;
    struct nxw_case c = rich_feed();
    lone_train_make(&o, &c, 0.5);
    assert_int_equal(lone_train_run(&o, 1500.0), NXW_OK);
    c.relative_tolerance = 1e-9;
    lone_train_make(&again, &c, 0.5);
    assert_int_equal(lone_train_run(&again, 1500.0), NXW_OK);
    double sum = 0.0;
    for (size_t i = 0; i < o.train.n_states; i++) {
        const double unit = o.relative[i] * fabs(again.x[i]) + o.absolute[i];
        assert_near((o.x[i] - again.x[i]) / unit, 0.0, 50.0);
        sum += fabs(o.x[i] - again.x[i]);
    }
    assert_true(sum > 0.0); /* else the tighter run was none */
}

/* The same bits in a second run, whatever ran in between; bit for bit all of the result but the
 * time it took. */
static void history_does_not_matter(void **state)
{
    (void)state;
    static struct nxw_result first, between, second;
    const struct nxw_case c = rich_feed();
    struct nxw_case other = rich_feed();
    other.n_stages = 2;
    other.stages[1] = other.stages[0];
    other.stages[1].peroxide_mass_fraction = 0.02;
    other.relative_tolerance = 1e-4;
    assert_int_equal(nxw_estimate(&c, NULL, NULL, &first), NXW_OK);
    assert_int_equal(nxw_estimate(&other, NULL, NULL, &between), NXW_OK);
    other.source.duration_s = -1.0;
    assert_int_equal(nxw_estimate(&other, NULL, NULL, &between), NXW_ERROR_CASE);
    assert_int_equal(nxw_estimate(&c, NULL, NULL, &second), NXW_OK);
    first.statistics.processor_ms = second.statistics.processor_ms = 0.0;
    assert_memory_equal(&first, &second, sizeof first);
    assert_true(first.kept_mol > 0.1);
}

/* A step never passes its stop, time only grows, and after a restart it goes on from there; the
 * figures of the work add up over restarts. */
static void steps_and_stops(void **state)
{
    (void)state;
    const struct nxw_case c = rich_feed();
    lone_train_make(&o, &c, 0.5);
    struct nxw_solver *s = nxw_solver_create(&o.train, o.x, o.relative, o.absolute);
    assert_non_null(s);
    long before = 0, steps = 0;
    double t = 0.0;
    for (double stop = 3.7; stop < 400.0; stop *= 2.5) {
        const double *x = NULL;
        while (t < stop) {
            const double last = t;
            assert_int_equal(nxw_solver_step(s, stop, &t, &x), NXW_OK);
            assert_true(t > last && t <= stop);
            steps++;
        }
        assert_near(t, stop, 0.0);
        struct nxw_statistics work;
        nxw_solver_statistics(s, &work);
        assert_int_equal(work.steps, steps);
        assert_true(work.rhs > before && work.factorisations > 0 && work.jacobians > 0);
        assert_int_equal(work.states, o.train.n_states);
        before = work.rhs;
        assert_int_equal(nxw_solver_restart(s), NXW_OK);
    }
    nxw_solver_free(s);
    nxw_solver_free(NULL);
}

/* What cannot be integrated gives the status and a reason in words: a stop that lies behind, a
 * start that is no number. */
static void failures(void **state)
{
    (void)state;
    const struct nxw_case c = rich_feed();
    lone_train_make(&o, &c, 0.5);
    struct nxw_solver *s = nxw_solver_create(&o.train, o.x, o.relative, o.absolute);
    const double *x = NULL;
    double t = 0.0;
    while (t < 10.0)
        assert_int_equal(nxw_solver_step(s, 10.0, &t, &x), NXW_OK);
    assert_string_equal(nxw_solver_reason(s), "the integrator stopped"); /* nothing to tell yet */
    assert_int_equal(nxw_solver_step(s, 5.0, &t, &x), NXW_ERROR_SOLVER);
    assert_near(t, 10.0, 0.0);
    assert_non_null(strstr(nxw_solver_reason(s), "integrator code -"));
    nxw_solver_free(s);
    lone_tank(&o, 0)[NXW_T_TEMPERATURE] = NAN;
    s = nxw_solver_create(&o.train, o.x, o.relative, o.absolute);
    assert_non_null(s);
    t = 0.0;
    assert_int_equal(nxw_solver_step(s, 10.0, &t, &x), NXW_ERROR_SOLVER);
    assert_near(t, 0.0, 0.0);
    assert_non_null(strstr(nxw_solver_reason(s), "integrator code -"));
    nxw_solver_free(s);
}

/* Newton along the secant of two corrections asks for 205 Jacobians in ten runs, without it for
 * 300; with a slip in it for 267 and more. The result is the same, only dearer. */
static void along_the_secant(void **state)
{
    (void)state;
    static const double relative[] = {8e-6, 9e-6, 1e-5, 1.1e-5, 1.2e-5};
    long jacobians = 0;
    for (int i = 0; i < 10; i++) {
        struct nxw_case c = rich_feed();
        struct nxw_result r;
        c.relative_tolerance = relative[i / 2];
        c.n_stages = i % 2 == 0 ? 1 : 3;
        c.stages[1] = c.stages[2] = c.stages[0];
        assert_int_equal(nxw_estimate(&c, NULL, NULL, &r), NXW_OK);
        jacobians += r.statistics.jacobians;
    }
    assert_in_range(jacobians, 1, 240);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(exponential_cooling),
        cmocka_unit_test(NO_oxidation),
        cmocka_unit_test(tighter_run),
        cmocka_unit_test(along_the_secant),
        cmocka_unit_test(history_does_not_matter),
        cmocka_unit_test(steps_and_stops),
        cmocka_unit_test(failures),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
