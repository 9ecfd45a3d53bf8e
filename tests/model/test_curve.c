/* Layer (b): the smooth pieces in cases that are known: straight and bent rows, ends, corners. */
#include "../assert_near.h"

#include "../random_draw.h"
#include "base/curve.h"

/* Rows on a straight line give the line, between them and outside; to rounding. */
static void straight_rows(void **state)
{
    (void)state;
    static const double x[] = {-2.0, 0.5, 0.75, 3.0, 10.0};
    double y[5];
    for (int i = 0; i < 5; i++)
        y[i] = 4.0 - 1.5 * x[i];
    for (int i = -60; i <= 200; i++) {
        const double at = 0.1 * i;
        double slope;
        assert_near(nxw_curve_monotone(x, y, 5, at, &slope), 4.0 - 1.5 * at, 1e-13);
        assert_near(slope, -1.5, 1e-13);
    }
}

/*
 * Rows (0, 0), (1, 1), (2, 3/2): chords 1 and 1/2, all one wide. Inner slope: their harmonic mean,
 * 2/3. Ends by the parabola: (3 1 - 1/2)/2 = 5/4 and (3 1/2 - 1)/2 = 1/4. Half-way in the first
 * piece the cubic is 1/2 + (5/4 - 2/3)/8 and rises by 3/2 - (5/4 + 2/3)/4; beyond the ends straight
 * on.
 */
static void rows_worked_by_hand(void **state)
{
    (void)state;
    static const double x[] = {0.0, 1.0, 2.0}, y[] = {0.0, 1.0, 1.5};
    static const double want[][3] = {
        {0.0, 0.0, 5.0 / 4.0},
        {0.5, 0.5 + (5.0 / 4.0 - 2.0 / 3.0) / 8.0, 1.5 - (5.0 / 4.0 + 2.0 / 3.0) / 4.0},
        {1.0, 1.0, 2.0 / 3.0},
        {2.0, 1.5, 1.0 / 4.0},
        {-2.0, -2.5, 5.0 / 4.0},
        {8.0, 3.0, 1.0 / 4.0}};
    for (int i = 0; i < 6; i++) {
        double slope;
        assert_near(nxw_curve_monotone(x, y, 3, want[i][0], &slope), want[i][1], 1e-14);
        assert_near(slope, want[i][2], 1e-14);
    }
}

/* Rows (0, 0), (1, 1), (3, 2): the inner slope of Fritsch and Butland is S1 S2/(a S2 + (1 - a) S1)
 * with S 1 and 1/2 over h 1 and 2, a = (h1 + 2 h2)/(3 (h1 + h2)) = 5/9: 9/13. */
static void uneven_rows(void **state)
{
    (void)state;
    static const double x[] = {0.0, 1.0, 3.0}, y[] = {0.0, 1.0, 2.0};
    double slope;
    (void)nxw_curve_monotone(x, y, 3, 1.0, &slope);
    assert_near(slope, 9.0 / 13.0, 1e-14);
}

/* An end that would turn round is level; one that is too steep is held at three chords. */
static void ends(void **state)
{
    (void)state;
    static const double x[] = {0.0, 1.0, 2.0};
    static const double turning[] = {0.0, 1.0, 6.0}; /* (3 1 - 5)/2 = -1: against the chord */
    static const double hump[] = {0.0, 1.0, -9.0};   /* (3 1 + 10)/2 = 6.5: over 3 chords */
    double slope;
    nxw_curve_monotone(x, turning, 3, 0.0, &slope);
    assert_near(slope, 0.0, 0.0);
    nxw_curve_monotone(x, hump, 3, 0.0, &slope);
    assert_near(slope, 3.0, 1e-14);
    nxw_curve_monotone(x, hump, 3, 1.0, &slope); /* the top of a hump is level */
    assert_near(slope, 0.0, 0.0);
}

/* Through 200 random sets of rows: each row is met, no value leaves the range of its neighbours,
 * and the slope is that of the values (central differences of 1e-5: 1e-6 of the largest chord). */
static void stays_between_its_rows(void **state)
{
    (void)state;
    enum { ROWS = 7 };
    for (int n = 0; n < 200; n++) {
        double x[ROWS], y[ROWS], slope, ignored, steepest = 0.0;
        for (int i = 0; i < ROWS; i++) {
            x[i] = (i == 0 ? 0.0 : x[i - 1]) + 0.2 + draw_uniform();
            y[i] = draw_uniform();
        }
        for (int i = 1; i < ROWS; i++)
            steepest = fmax(steepest, fabs((y[i] - y[i - 1]) / (x[i] - x[i - 1])));
        for (int i = 0; i < ROWS; i++)
            assert_near(nxw_curve_monotone(x, y, ROWS, x[i], &slope), y[i], 1e-14);
        for (int i = 1; i < ROWS; i++)
            for (int k = 1; k < 20; k++) {
                const double at = x[i - 1] + (x[i] - x[i - 1]) * k / 20.0, h = 1e-5;
                const double value = nxw_curve_monotone(x, y, ROWS, at, &slope);
                assert_true(value >= fmin(y[i - 1], y[i]) - 1e-14);
                assert_true(value <= fmax(y[i - 1], y[i]) + 1e-14);
                const double up = nxw_curve_monotone(x, y, ROWS, at + h, &ignored);
                const double down = nxw_curve_monotone(x, y, ROWS, at - h, &ignored);
                assert_near((up - down) / (2.0 * h), slope, 1e-6 * steepest);
            }
    }
}

/* x itself inside; outside tanh: a width beyond the limit it has gone 0.76159 of a width, far out
 * one width; it meets the limit with the slope 1. */
static void limit(void **state)
{
    (void)state;
    assert_near(nxw_curve_limit(0.3, -1.0, 2.0, 0.5), 0.3, 0.0);
    assert_near(nxw_curve_limit(2.0, -1.0, 2.0, 0.5), 2.0, 0.0);
    assert_near(nxw_curve_limit(2.5, -1.0, 2.0, 0.5), 2.0 + 0.5 * 0.7615941560, 1e-10);
    assert_near(nxw_curve_limit(-1.5, -1.0, 2.0, 0.5), -1.0 - 0.5 * 0.7615941560, 1e-10);
    assert_near(nxw_curve_limit(1e9, -1.0, 2.0, 0.5), 2.5, 1e-15);
    assert_near(nxw_curve_limit(-1e9, -1.0, 2.0, 0.5), -1.5, 1e-15);
    assert_near((nxw_curve_limit(2.0 + 1e-6, -1.0, 2.0, 0.5) - 2.0) / 1e-6, 1.0, 1e-9);
}

/* The hyperbola r (r - x) = width^2: at 0 the width, at x = 1.5 widths 2 widths, at -1.5 half a
 * width; far out x on the right, width^2/|x| on the left, never 0. */
static void positive(void **state)
{
    (void)state;
    assert_near(nxw_curve_positive(0.0, 0.4), 0.4, 1e-15);
    assert_near(nxw_curve_positive(0.6, 0.4), 0.8, 1e-15);
    assert_near(nxw_curve_positive(-0.6, 0.4), 0.2, 1e-15);
    assert_relative(nxw_curve_positive(1e9, 0.4), 1e9, 1e-15);
    assert_relative(nxw_curve_positive(-1e9, 0.4), 0.16e-9, 1e-12);
    assert_true(nxw_curve_positive(-1e200, 1e-30) >= 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(straight_rows),
        cmocka_unit_test(rows_worked_by_hand),
        cmocka_unit_test(ends),
        cmocka_unit_test(uneven_rows),
        cmocka_unit_test(stays_between_its_rows),
        cmocka_unit_test(limit),
        cmocka_unit_test(positive),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
