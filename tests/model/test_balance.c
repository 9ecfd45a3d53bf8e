/* Layer (b): the account of nitrogen worked by hand; coverage by drawing. */
#include "../assert_near.h"
#include "../random_draw.h"
#include "noxwash.h"

static struct nxw_balance_in run(bool complete)
{
    return (struct nxw_balance_in){
        .available_mol = 0.600,
        .available_error_mol = 0.003,
        .complete = complete,
        .n_places = 2,
        .n_readings = 2,
        .readings = {{0, 0.380, 0.004}, {1, 0.160, 0.002}},
    };
}

static struct nxw_balance good(const struct nxw_balance_in *in)
{
    struct nxw_balance out;
    assert_int_equal(nxw_balance(in, &out), NXW_OK);
    assert_int_equal(out.bytes, sizeof out);
    return out;
}

/* 0.600 - 0.380 - 0.160 = 0.060; sqrt(9 + 16 + 4)e-3 = 5.385e-3 */
static void open_account(void **state)
{
    (void)state;
    const struct nxw_balance_in in = run(false);
    const struct nxw_balance b = good(&in);
    assert_near(b.unexplained_mol, 0.060, 1e-12);
    assert_near(b.unexplained_error_mol, 5.385165e-3, 1e-8);
    assert_false(b.impossible);
    assert_int_equal(b.degrees, 0);
    assert_true(isnan(b.probability) && isnan(b.standardised[0]));
    assert_false(b.has_suspect);
}

/* Complete: the gap 0.060 falls 9:16:4 of 29 on available, receiver, scrubber;
 * chi-square = 0.060^2/29e-6 = 124.1 on one degree. One condition cannot tell which is wrong: all
 * three standardised residuals are alike. */
static void closed_account(void **state)
{
    (void)state;
    const struct nxw_balance_in in = run(true);
    const struct nxw_balance b = good(&in);
    assert_near(b.available_closed_mol, 0.600 - 0.060 * 9 / 29, 1e-12);
    assert_near(b.closed_mol[0], 0.380 + 0.060 * 16 / 29, 1e-12);
    assert_near(b.closed_mol[1], 0.160 + 0.060 * 4 / 29, 1e-12);
    assert_near(b.available_closed_mol, b.closed_mol[0] + b.closed_mol[1], 1e-12);
    assert_near(b.closed_error_mol[0], 4e-3 * sqrt(1.0 - 16.0 / 29.0), 1e-12);
    assert_int_equal(b.degrees, 1);
    assert_near(b.chi_square, 3600.0 / 29.0, 1e-9);
    assert_near(fabs(b.standardised[0]), sqrt(3600.0 / 29.0), 1e-9);
    assert_near(fabs(b.standardised_available), sqrt(3600.0 / 29.0), 1e-9);
    assert_true(b.has_suspect && !b.impossible);
}

/* Two readings of the scrubber: 0.160 and 0.220 with equal errors; the receiver and the charge side
 * with the second, so the first is the one most likely wrong. */
static void finds_the_wrong_one(void **state)
{
    (void)state;
    struct nxw_balance_in in = run(true);
    in.n_readings = 3;
    in.readings[2] = (struct nxw_balance_reading){1, 0.220, 0.002};
    const struct nxw_balance b = good(&in);
    assert_near(b.found_mol[1], 0.190, 1e-12);
    assert_near(b.found_error_mol[1], 0.002 / sqrt(2.0), 1e-12);
    assert_int_equal(b.degrees, 2);
    assert_int_equal(b.suspect, 0 + 1);
    assert_true(b.has_suspect);
}

static void impossible_account(void **state)
{
    (void)state;
    struct nxw_balance_in in = run(false);
    in.readings[0].nitrogen_mol = 0.455; /* 0.015 too much: 2.8 standard errors */
    assert_true(good(&in).impossible);
    in.readings[0].nitrogen_mol = 0.450; /* 0.010: 1.86 */
    assert_false(good(&in).impossible);
    struct nxw_balance out;
    in.readings[0].place = 5;
    assert_int_equal(nxw_balance(&in, &out), NXW_ERROR_RANGE);
    in.readings[0] = (struct nxw_balance_reading){0, 0.3, 0.0};
    assert_int_equal(nxw_balance(&in, &out), NXW_ERROR_RANGE);
}

/* Every figure that makes an account impossible, each alone. */
static void refused_accounts(void **state)
{
    (void)state;
    struct nxw_balance out;
    struct nxw_balance_in bad[9];
    for (int i = 0; i < 9; i++)
        bad[i] = run(false);
    bad[0].available_mol = 0.0;
    bad[1].available_mol = (double)NAN;
    bad[2].available_error_mol = 0.0;
    bad[3].n_places = 0;
    bad[4].n_places = NXW_BALANCE_PLACES_MAX + 1;
    bad[5].n_readings = NXW_BALANCE_READINGS_MAX + 1;
    bad[6].readings[1].nitrogen_mol = (double)INFINITY;
    bad[7].readings[1].error_mol = (double)NAN;
    bad[8].readings[1].place = 2;
    for (int i = 0; i < 9; i++)
        assert_int_equal(nxw_balance(&bad[i], &out), NXW_ERROR_RANGE);
}

/* A place that nobody has read is no number, and an account that lacks it cannot be closed: what
 * is unexplained then is 0.600 - 0.380, and sqrt(9 + 16)e-3 uncertain. */
static void unread_place(void **state)
{
    (void)state;
    struct nxw_balance_in in = run(true);
    in.n_readings = 1;
    const struct nxw_balance b = good(&in);
    assert_true(isnan(b.found_mol[1]) && isnan(b.found_error_mol[1]) && isnan(b.closed_mol[1]));
    assert_near(b.closed_mol[0], 0.380, 1e-12);
    assert_near(b.available_closed_mol, 0.600, 1e-12);
    assert_near(b.unexplained_mol, 0.220, 1e-12);
    assert_near(b.unexplained_error_mol, 5e-3, 1e-12);
    assert_int_equal(b.degrees, 0);
    assert_true(isnan(b.standardised_available) && !b.has_suspect);
}

/* No degree of freedom and no sum of squares: no probability. Nothing amiss: all of it. */
static void tails_at_their_ends(void **state)
{
    (void)state;
    assert_true(isnan(nxw_chi_square_tail(1.0, 0)));
    assert_true(isnan(nxw_chi_square_tail(-1.0, 2)));
    assert_true(isnan(nxw_chi_square_tail((double)NAN, 2)));
    for (size_t degrees = 1; degrees < 8; degrees++)
        assert_near(nxw_chi_square_tail(0.0, degrees), 1.0, 1e-15);
}

/* What is unexplained, and each place after closing, lie within 1.96 standard errors of the truth
 * 95 times of 100; chi-square passes its 5 % point 5 times. 4000 draws know that to 0.35 %. */
static void coverage(void **state)
{
    (void)state;
    enum { DRAWS = 4000 };
    int open = 0, closed = 0, passed = 0;
    for (int i = 0; i < DRAWS; i++) {
        struct nxw_balance_in in = run(true);
        in.n_readings = 3;
        in.available_mol = 0.6 + 0.003 * draw_normal();
        in.readings[0].nitrogen_mol = 0.44 + 0.004 * draw_normal();
        in.readings[1].nitrogen_mol = 0.16 + 0.002 * draw_normal();
        in.readings[2] = (struct nxw_balance_reading){1, 0.16 + 0.005 * draw_normal(), 0.005};
        const struct nxw_balance b = good(&in);
        open += fabs(b.unexplained_mol) <= 1.96 * b.unexplained_error_mol;
        closed += fabs(b.closed_mol[0] - 0.44) <= 1.96 * b.closed_error_mol[0];
        passed += b.probability > 0.05;
    }
    assert_near(100.0 * open / DRAWS, 95.0, 1.5);
    assert_near(100.0 * closed / DRAWS, 95.0, 1.5);
    assert_near(100.0 * passed / DRAWS, 95.0, 1.5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(open_account),        cmocka_unit_test(closed_account),
        cmocka_unit_test(finds_the_wrong_one), cmocka_unit_test(impossible_account),
        cmocka_unit_test(refused_accounts),    cmocka_unit_test(unread_place),
        cmocka_unit_test(tails_at_their_ends), cmocka_unit_test(coverage),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
