/*
 * Layer (d): the warnings of a run at the default tolerance against those of a tight one. What a
 * step errs by in the bulk of a headspace looks like flow: air or liquid that is drawn back. A
 * case whose shortage of gas is about what a warning takes may go either way, one in some forty.
 */
#include "../assert_near.h"

#include <stdio.h>

#include "../random_case.h"

enum { TRAINS = 60, BOTTLES = 60, EITHER_WAY = 3 };

static bool differs(const struct nxw_case *c, const char *what, int number)
{
    struct nxw_case tight = *c;
    struct nxw_result r, tight_r;
    tight.relative_tolerance = 1e-8;
    assert_true(nxw_estimate(c, NULL, NULL, &r) >= 0);
    assert_true(nxw_estimate(&tight, NULL, NULL, &tight_r) >= 0);
    if (r.warnings == tight_r.warnings)
        return false;
    print_message("%s %d: warnings %x, tight %x\n", what, number, r.warnings, tight_r.warnings);
    return true;
}

static void test_same_warnings(void **state)
{
    (void)state;
    int wrong = 0;
    for (int i = 1; i <= TRAINS; i++) {
        const struct nxw_case c = random_train();
        wrong += differs(&c, "train", i);
    }
    for (int i = 1; i <= BOTTLES; i++) {
        const struct nxw_case c = random_case();
        wrong += differs(&c, "bottle", i);
    }
    assert_in_range(wrong, 0, EITHER_WAY);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_same_warnings)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
