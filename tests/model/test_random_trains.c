/*
 * Layer (a): 500 random valid trains of 1 to 8 stages: no solver failure, nitrogen to 1e-6 of what
 * is fed, no amount below nothing by more than the integrator's tolerance allows, none longer than
 * 2 s.
 *
 * Given a number, runs and prints that case alone.
 */
#include "../assert_near.h"

#include <stdio.h>
#include <stdlib.h>

#include "../amounts.h"
#include "../random_case.h"

enum { CASES = 500 };
/* Of the nitrogen that moved. Each amount is held to 1e-8 of it in a step, dissolved NO2 and the
 * bubbles to a hundred times that. */
static const double BELOW = 1e-6;
static const double LONGEST_MS = 2000.0;
static int only = -1;

struct seen {
    double closure, lowest, slowest_ms, total_ms;
    long steps;
    int failures, early;
};

static void judge(int i, const struct nxw_case *c, struct seen *seen)
{
    struct nxw_result r;
    const enum nxw_status status = nxw_estimate(c, NULL, NULL, &r);
    const double lowest = least_share(c, &r);
    const double ms = r.statistics.processor_ms;
    seen->total_ms += ms;
    seen->slowest_ms = fmax(seen->slowest_ms, ms);
    seen->steps += r.statistics.steps;
    seen->early += status == NXW_ENDED_EARLY;
    const bool good =
        status >= 0 && fabs(r.nitrogen_closure) <= 1e-6 && lowest >= -BELOW && ms < LONGEST_MS;
    if (!good || only >= 0) {
        seen->failures += !good;
        print_message("case %d: %zu stages, %s %s %s; fed %.2e mol, closure %.1e, lowest %.1e, "
                      "%ld steps, %.0f ms\n",
                      i, c->n_stages, nxw_status_text(status), r.diagnosis.path, r.diagnosis.text,
                      r.fed_mol, r.nitrogen_closure, lowest, r.statistics.steps, ms);
    }
    if (status < 0)
        return;
    seen->closure = fmax(seen->closure, fabs(r.nitrogen_closure));
    seen->lowest = fmin(seen->lowest, lowest);
}

static void test_random_trains(void **unused)
{
    (void)unused;
    struct seen seen = {0};
    for (int i = 0; i < CASES; i++) {
        const struct nxw_case c = random_train();
        if (only < 0 || only == i)
            judge(i, &c, &seen);
    }
    print_message("%d trains, %d failures, %d ended early, worst nitrogen closure %.1e, lowest "
                  "amount %.1e of what moved, %.0f steps and %.0f ms each, slowest %.0f ms\n",
                  CASES, seen.failures, seen.early, seen.closure, seen.lowest,
                  (double)seen.steps / CASES, seen.total_ms / CASES, seen.slowest_ms);
    assert_int_equal(seen.failures, 0);
}

int main(int argc, char **argv)
{
    setvbuf(stdout, NULL, _IOLBF, 0);
    if (argc > 1)
        only = (int)strtol(argv[1], NULL, 10);
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_random_trains)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
