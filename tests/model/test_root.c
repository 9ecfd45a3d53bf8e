/* Layer (b): roots that are known, and what has none. */
#include "../assert_near.h"

#include "base/root.h"

struct task {
    int which, calls;
};

enum {
    LINE,
    SQUARE,
    EXPONENTIAL,
    FLAT,
    STEP,
    STEEP,
    PARABOLA,
    SHIFTED_NAN,
    POLE,
    END_NAN,
    INSIDE_NAN
};

static double task(double x, void *user)
{
    struct task *t = user;
    t->calls++;
    switch (t->which) {
    case LINE:
        return 3.0 - 2.0 * x;
    case SQUARE:
        return x * x - 2.0;
    case EXPONENTIAL:
        return exp(x) - 10.0;
    case FLAT: /* a root of the ninth order */
        return pow(x - 1.0 / 3.0, 9.0);
    case STEP:
        return x < 0.7 ? -1.0 : 1e6;
    case STEEP: /* over sixty orders of magnitude */
        return exp(140.0 * (x - 0.9)) - 1.0;
    case PARABOLA: /* touches zero and does not cross it */
        return x * x + 1e-9;
    case SHIFTED_NAN:
        return x > 0.5 ? (double)NAN : -1.0;
    case POLE:
        return 1.0 / (x - 0.25);
    case END_NAN: /* it would cross zero were it not for its end */
        return x == 1.0 ? (double)NAN : x - 0.4;
    default: /* ends good, all between not */
        return x == 0.0 ? -1.0 : x == 1.0 ? 1.0 : (double)NAN;
    }
}

/* The bracket ends no wider than the tolerance, so the root is within it; a rising and a falling
 * function, one that is flat at its root, one that jumps, one that is a step. */
static void known_roots(void **state)
{
    (void)state;
    static const struct {
        int which;
        double low, high, root;
    } known[] = {{LINE, 0.0, 10.0, 1.5},
                 {SQUARE, 0.0, 2.0, 1.4142135623730951},
                 {SQUARE, -2.0, 0.0, -1.4142135623730951},
                 {EXPONENTIAL, -30.0, 30.0, 2.302585092994046},
                 {FLAT, 0.0, 1.0, 1.0 / 3.0},
                 {STEP, 0.0, 1.0, 0.7},
                 {STEEP, 0.0, 1.0, 0.9},
                 {POLE, 0.0, 1.0, 0.25}};
    static const double tolerances[] = {1e-3, 1e-8, 1e-14};
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++)
        for (int k = 0; k < 3; k++) {
            struct task t = {known[i].which, 0};
            double root;
            assert_true(nxw_root(task, &t, known[i].low, known[i].high, tolerances[k], &root));
            assert_near(root, known[i].root, tolerances[k] + 4e-16 * fabs(known[i].root));
            assert_true(root >= known[i].low && root <= known[i].high);
        }
}

/* Every third step halves the bracket: 60 wide, it is under 1e-14 after 53 halvings, 3 x 53 + 2
 * calls at most, whatever the function; one that overflows at its end (which counts as a number)
 * too. */
static void few_calls(void **state)
{
    (void)state;
    for (int which = LINE; which <= STEEP; which++) {
        struct task t = {which, 0};
        double root;
        assert_true(nxw_root(task, &t, 0.0, 60.0, 1e-14, &root));
        assert_in_range(t.calls, 2, 3 * 53 + 2);
    }
}

/* Between its ends a straight line is met by the first step. */
static void a_line_at_once(void **state)
{
    (void)state;
    struct task t = {LINE, 0};
    double root;
    assert_true(nxw_root(task, &t, 0.0, 10.0, 1e-9, &root));
    assert_near(root, 1.5, 0.0);
    assert_int_equal(t.calls, 3);
}

/* A root at an end is that end, to the bit. */
static void at_an_end(void **state)
{
    (void)state;
    struct task t = {LINE, 0};
    double root;
    assert_true(nxw_root(task, &t, 1.5, 9.0, 1e-6, &root));
    assert_near(root, 1.5, 0.0);
    assert_true(nxw_root(task, &t, -7.0, 1.5, 1e-6, &root));
    assert_near(root, 1.5, 0.0);
}

/* No change of sign, and no number at an end or inside: false, and the root is NAN. */
static void no_root(void **state)
{
    (void)state;
    static const struct {
        int which;
        double low, high;
    } none[] = {{LINE, 2.0, 3.0},        {LINE, 0.0, 1.0},        {PARABOLA, -1.0, 1.0},
                {SHIFTED_NAN, 0.0, 1.0}, {SHIFTED_NAN, 0.6, 1.0}, {INSIDE_NAN, 0.0, 1.0},
                {END_NAN, 0.0, 1.0}};
    for (size_t i = 0; i < sizeof none / sizeof none[0]; i++) {
        struct task t = {none[i].which, 0};
        double root = 1.0;
        assert_false(nxw_root(task, &t, none[i].low, none[i].high, 1e-9, &root));
        assert_true(isnan(root));
    }
}

/* A tolerance finer than the numbers themselves ends at neighbours instead of running on. */
static void finer_than_numbers(void **state)
{
    (void)state;
    struct task t = {SQUARE, 0};
    double root;
    assert_true(nxw_root(task, &t, 0.0, 2.0, 1e-300, &root));
    assert_near(root, 1.4142135623730951, 4.5e-16);
    assert_in_range(t.calls, 2, 399);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(known_roots),    cmocka_unit_test(few_calls),
        cmocka_unit_test(a_line_at_once), cmocka_unit_test(at_an_end),
        cmocka_unit_test(no_root),        cmocka_unit_test(finer_than_numbers),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
