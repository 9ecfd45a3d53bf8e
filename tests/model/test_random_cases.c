/* Layer (a): random valid cases of one bottle: no solver failure, nitrogen to 1e-6. */
#include "../assert_near.h"

#include <stdio.h>

#include "../random_case.h"

static void test_random_cases(void **unused)
{
    (void)unused;
    setvbuf(stdout, NULL, _IOLBF, 0);
    enum { CASES = 300 };
    double worst = 0.0, slowest_ms = 0.0, total_ms = 0.0;
    long steps = 0;
    int failures = 0, early = 0;
    for (int i = 0; i < CASES; i++) {
        const struct nxw_case c = random_case();
        struct nxw_result r;
        const enum nxw_status status = nxw_estimate(&c, NULL, NULL, &r);
        total_ms += r.statistics.processor_ms;
        slowest_ms = fmax(slowest_ms, r.statistics.processor_ms);
        steps += r.statistics.steps;
        if (status < 0) {
            failures++;
            print_message("case %d: %s: %s %s\n", i, nxw_status_text(status), r.diagnosis.path,
                          r.diagnosis.text);
            continue;
        }
        early += status == NXW_ENDED_EARLY;
        worst = fmax(worst, fabs(r.nitrogen_closure));
        assert_true(isfinite(r.nitrogen_closure));
    }
    print_message("%d cases, %d failures, %d ended early, worst nitrogen closure %.1e, "
                  "%.0f steps and %.0f ms each, slowest %.0f ms\n",
                  CASES, failures, early, worst, (double)steps / CASES, total_ms / CASES,
                  slowest_ms);
    assert_int_equal(failures, 0);
    assert_near(worst, 0.0, 1e-6);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_random_cases)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
