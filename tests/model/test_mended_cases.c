/*
 * Layer (a): cases of the campaign (campaign_random.c) that once failed and no longer do: a result
 * or a plain reason, nitrogen closed and no amount below nothing to 1e-6 of what moves.
 *
 * Given a number, runs and prints that case alone.
 */
#include "../assert_near.h"

#include <stdio.h>
#include <stdlib.h>

#include "../amounts.h"
#include "../numbered_case.h"

static const double CLOSED = 1e-6, BELOW = 1e-6;
enum { CRAWL = 4000 }; /* steps; those that crawled took 15 000 to 20 000 */

static const long PEROXIDE[] = {88, 620, 918, 999, 1080, 1159, 1224};
static const long NO2_OF_NOTHING[] = {231, 551, 634, 772, 1180, 1275};
static const long IN_FLIGHT[] = {22, 169, 459, 473, 582, 1299};
static const long SOLUBLE[] = {57, 126, 310, 673, 1250, 1266, 1267, 1287, 1293};
static const long ALL_TAKEN[] = {48, 603};
static const long TRACE_OF_HNO2[] = {440, 534, 1238, 1334};
static const long GONE[] = {974, 1245, 1381, 1756, 3876, 4403};
static const long TRACE_OF_NO2[] = {4287};
static const long SHUT[] = {453, 1450, 4323};
static const long SHORT_FEED[] = {2688, 4087, 5872, 13459};
static const long DRIED_OR_FULL[] = {18, 1247, 1315, 1617, 5367};
static const long BRIM[] = {18546};
static const long TAKEN_ALONG[] = {14290, 14552};
static const long SLOW_START[] = {1505};
static const long FINER[] = {1379, 1607, 1918, 3481};
static const long LABOURS[] = {14576, 15370};
static const long LEAPS[] = {10826, 17390, 19761};
static const long RUNS_AWAY[] = {103, 183, 18840};
static const long LESS_THAN_NOTHING[] = {12967, 19832};

static void hold(long number)
{
    static struct nxw_result r;
    const struct nxw_case c = numbered_case(number);
    const enum nxw_status status = nxw_estimate(&c, NULL, NULL, &r);
    print_message("case %ld: %s %s, %ld steps\n", number, nxw_status_text(status), r.diagnosis.text,
                  r.statistics.steps);
    assert_true(status == NXW_OK || (status == NXW_ENDED_EARLY && r.diagnosis.text[0] != '\0'));
    assert_true(r.statistics.steps < CRAWL);
    assert_near(r.nitrogen_closure * r.fed_mol / moved_mol(&r), 0.0, CLOSED);
    assert_true(least_share(&c, &r) >= -BELOW);
}

static void hold_all(const long *number, size_t n)
{
    for (size_t i = 0; i < n; i++)
        hold(number[i]);
}

/* NO that left was less than nothing by 2e-6 of what moved; 3e-5 of 7e-14 mol was lost. */
static void test_less_than_nothing(void **unused)
{
    (void)unused;
    hold_all(LESS_THAN_NOTHING, sizeof LESS_THAN_NOTHING / sizeof *LESS_THAN_NOTHING);
}

/* Spent peroxide went on being spent, far below nothing. */
static void test_peroxide_spent(void **unused)
{
    (void)unused;
    hold_all(PEROXIDE, sizeof PEROXIDE / sizeof *PEROXIDE);
}

/* Feeds of 1e-15 to 1e-10 mol beside NO2 that traces below zero and rounding made. */
static void test_traces(void **unused)
{
    (void)unused;
    hold_all(NO2_OF_NOTHING, sizeof NO2_OF_NOTHING / sizeof *NO2_OF_NOTHING);
}

/* At the end of a feed the headspace was charged with what was in flight. */
static void test_end_of_feed(void **unused)
{
    (void)unused;
    hold_all(IN_FLIGHT, sizeof IN_FLIGHT / sizeof *IN_FLIGHT);
}

/* Gas that dissolves collapses within a slice: it was weighed as if more were left of it, and the
 * slices took more than there was, in turn. */
static void test_soluble_gas(void **unused)
{
    (void)unused;
    hold_all(SOLUBLE, sizeof SOLUBLE / sizeof *SOLUBLE);
}

/* Nearly all is taken up: the bubbles of a second held more than entered in it, and rich gas went
 * through its film faster than it was weighed. */
static void test_nearly_all_taken(void **unused)
{
    (void)unused;
    hold_all(ALL_TAKEN, sizeof ALL_TAKEN / sizeof *ALL_TAKEN);
}

/* Nitrous acid that is used up hopped across zero at every step, and with it the NO2 that stands in
 * equilibrium with it. */
static void test_trace_of_HNO2(void **unused)
{
    (void)unused;
    hold_all(TRACE_OF_HNO2, sizeof TRACE_OF_HNO2 / sizeof *TRACE_OF_HNO2);
}

/* Bubbles that are taken up whole ended below nothing and passed that on. */
static void test_gone(void **unused)
{
    (void)unused;
    hold_all(GONE, sizeof GONE / sizeof *GONE);
}

/* NO fell below nothing in a liquid whose NO2 hopped across zero at every step. */
static void test_trace_of_NO2(void **unused)
{
    (void)unused;
    hold_all(TRACE_OF_NO2, sizeof TRACE_OF_NO2 / sizeof *TRACE_OF_NO2);
}

/* Between bottles gas is let out and never in: too sharp a corner for long steps. */
static void test_shut(void **unused)
{
    (void)unused;
    hold_all(SHUT, sizeof SHUT / sizeof *SHUT);
}

/* Feeds of less than a second, within which the bubbles' contents did not settle. */
static void test_short_feed(void **unused)
{
    (void)unused;
    hold_all(SHORT_FEED, sizeof SHORT_FEED / sizeof *SHORT_FEED);
}

/* Bottles that dry up, and those that run over. */
static void test_dried_or_full(void **unused)
{
    (void)unused;
    hold_all(DRIED_OR_FULL, sizeof DRIED_OR_FULL / sizeof *DRIED_OR_FULL);
}

/* A bottle at its brim, pure NO2: steps of milliseconds, to no result. */
static void test_brim(void **unused)
{
    (void)unused;
    hold_all(BRIM, sizeof BRIM / sizeof *BRIM);
}

/* NO2 takes more NO along than comes: slices saw too little of it. */
static void test_taken_along(void **unused)
{
    (void)unused;
    hold_all(TAKEN_ALONG, sizeof TAKEN_ALONG / sizeof *TAKEN_ALONG);
}

/* Three hundred steps for the first seconds of a day: not stuck. */
static void test_slow_start(void **unused)
{
    (void)unused;
    hold_all(SLOW_START, sizeof SLOW_START / sizeof *SLOW_START);
}

/* New derivatives at every step: a coarse run gives up early. */
static void test_labours(void **unused)
{
    (void)unused;
    hold_all(LABOURS, sizeof LABOURS / sizeof *LABOURS);
}

/* All is taken up within a slice, or nearly: its weights leapt where their passes do not draw near,
 * and what ended within it leapt with traces. A headspace that draws in let out nothing or the last
 * bit of a difference, by turns. */
static void test_leaps(void **unused)
{
    (void)unused;
    hold_all(LEAPS, sizeof LEAPS / sizeof *LEAPS);
}

/* Where the headspace's NO2 came from grew by itself, to 1e104 mol, and held the steps up; or a
 * part of what escaped was less than nothing. */
static void test_runs_away(void **unused)
{
    (void)unused;
    hold_all(RUNS_AWAY, sizeof RUNS_AWAY / sizeof *RUNS_AWAY);
}

/* With slices of the same cut for all bubbles an amount ended below nothing; the second run had
 * six. */
static void test_finer(void **unused)
{
    (void)unused;
    hold_all(FINER, sizeof FINER / sizeof *FINER);
}

int main(int argc, char **argv)
{
    if (argc > 1) {
        hold(strtol(argv[1], NULL, 10));
        return 0;
    }
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_peroxide_spent),
        cmocka_unit_test(test_traces),
        cmocka_unit_test(test_end_of_feed),
        cmocka_unit_test(test_soluble_gas),
        cmocka_unit_test(test_nearly_all_taken),
        cmocka_unit_test(test_trace_of_HNO2),
        cmocka_unit_test(test_gone),
        cmocka_unit_test(test_trace_of_NO2),
        cmocka_unit_test(test_shut),
        cmocka_unit_test(test_short_feed),
        cmocka_unit_test(test_dried_or_full),
        cmocka_unit_test(test_brim),
        cmocka_unit_test(test_taken_along),
        cmocka_unit_test(test_slow_start),
        cmocka_unit_test(test_labours),
        cmocka_unit_test(test_leaps),
        cmocka_unit_test(test_runs_away),
        cmocka_unit_test(test_finer),
        cmocka_unit_test(test_less_than_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
