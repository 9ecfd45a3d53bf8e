/* The comparison itself: it must be able to fail. */
#include "assert_near.h"

static void passes_only_if_near(void **state)
{
    (void)state;
    assert_true(nxw_near(1.0, 1.0, 0.0));
    assert_true(nxw_near(1.0, 1.5, 0.5));
    assert_true(nxw_near(-1.5, -1.0, 0.5));
    assert_false(nxw_near(1.0, 1.5, 0.49));
    assert_false(nxw_near(1.0, -1.0, 1.0));
}

static void sees_differences_a_float_would_lose(void **state)
{
    (void)state;
    assert_false(nxw_near(1.0 + 3e-8, 1.0, 1e-12));
    assert_false(nxw_near(3e-8, 0.0, 1e-12));
    assert_true(nxw_near(1.0 + 1e-13, 1.0, 1e-12));
}

static void never_passes_what_is_not_finite(void **state)
{
    (void)state;
    const double bad[] = {(double)NAN, (double)INFINITY, -(double)INFINITY};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        assert_false(nxw_near(bad[i], 1.0, 1e300));
        assert_false(nxw_near(1.0, bad[i], 1e300));
        assert_false(nxw_near(1.0, 1.0, bad[i]));
        assert_false(nxw_near(bad[i], bad[i], 1e300));
        /* what assert_relative makes of it: an infinite tolerance */
        assert_false(nxw_near(1.0, bad[i], fabs(bad[i]) * 1e-6));
    }
    assert_false(nxw_near(1.0, 1.0, -1e-9));
}

static void macros_pass_on_near_values(void **state)
{
    (void)state;
    assert_near(2.0, 2.0 + 1e-9, 1e-8);
    assert_relative(-1000.0, -1001.0, 1e-2);
    assert_relative(0.0, 0.0, 1e-6);
}

/* Run as a group of their own: each test in it has to fail. */
static void near_fails(void **state)
{
    (void)state;
    assert_near(1.0 + 3e-8, 1.0, 1e-12);
}

static void near_fails_on_nan(void **state)
{
    (void)state;
    assert_near((double)NAN, 1.0, 1e300);
}

static void relative_fails(void **state)
{
    (void)state;
    assert_relative(-1000.0, -1001.0, 1e-4);
}

int main(void)
{
    const struct CMUnitTest failing[] = {
        cmocka_unit_test(near_fails),
        cmocka_unit_test(near_fails_on_nan),
        cmocka_unit_test(relative_fails),
    };
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(passes_only_if_near),
        cmocka_unit_test(sees_differences_a_float_would_lose),
        cmocka_unit_test(never_passes_what_is_not_finite),
        cmocka_unit_test(macros_pass_on_near_values),
    };
    print_message("three failures are wanted here:\n");
    const int failed = cmocka_run_group_tests_name("has to fail", failing, NULL, NULL);
    if (failed != (int)(sizeof failing / sizeof failing[0])) {
        print_error("%d of the wanted failures came\n", failed);
        return 1;
    }
    return cmocka_run_group_tests(tests, NULL, NULL);
}
