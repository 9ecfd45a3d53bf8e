/*
 * Random valid cases over the whole range (wide_case.h): each must end with a result or a plain
 * reason, within 2 s, with nitrogen closed to 1e-6 of what moves and no amount below nothing by
 * more than the integrator's tolerance allows.
 *
 * usage: campaign_random FIRST LAST    cases by number, counted from 1; each is drawn by itself
 */
#include <stdio.h>
#include <stdlib.h>

#include "amounts.h"
#include "numbered_case.h"

static const double CLOSED = 1e-6, BELOW = 1e-6, LONGEST_MS = 2000.0;

struct seen {
    long cases, failures, early, refused;
    double closure, lowest, slowest_ms, total_ms;
    long worst_case, slowest_case, lowest_case;
};

static void record(long number, double closure, double lowest, struct seen *seen)
{
    if (fabs(closure) > seen->closure) {
        seen->closure = fabs(closure);
        seen->worst_case = number;
    }
    if (lowest < seen->lowest) {
        seen->lowest = lowest;
        seen->lowest_case = number;
    }
}

static void judge(long number, struct seen *seen)
{
    static struct nxw_result r;
    const struct nxw_case c = numbered_case(number);
    const enum nxw_status status = nxw_estimate(&c, NULL, NULL, &r);
    const double lowest = least_share(&c, &r), ms = r.statistics.processor_ms;
    /* a trace that is fed may be far less than the vapour of an acid that passes through */
    const double closure = r.nitrogen_closure * r.fed_mol / moved_mol(&r);
    seen->cases++;
    seen->early += status == NXW_ENDED_EARLY;
    seen->refused += status == NXW_ERROR_CASE && r.diagnosis.text[0] != '\0';
    seen->total_ms += ms;
    if (ms > seen->slowest_ms) {
        seen->slowest_ms = ms;
        seen->slowest_case = number;
    }
    if (status >= 0)
        record(number, closure, lowest, seen);
    const bool reason = r.diagnosis.text[0] != '\0';
    const bool good = (status == NXW_ERROR_CASE && reason) ||
                      (status >= 0 && (status == NXW_OK || reason) && fabs(closure) <= CLOSED &&
                       lowest >= -BELOW && ms <= LONGEST_MS);
    if (good)
        return;
    seen->failures++;
    (void)printf("case %ld: %zu stages, %s: %s %s; fed %.2e mol, closure %.1e, lowest %.1e, %ld "
                 "steps, %.0f ms\n",
                 number, c.n_stages, nxw_status_text(status), r.diagnosis.path, r.diagnosis.text,
                 r.fed_mol, closure, lowest, r.statistics.steps, ms);
    (void)fflush(stdout);
}

int main(int argc, char **argv)
{
    const long first = argc == 3 ? strtol(argv[1], NULL, 10) : 0;
    const long last = argc == 3 ? strtol(argv[2], NULL, 10) : 0;
    if (first < 1 || last < first) {
        (void)fputs("usage: campaign_random FIRST LAST\n", stderr);
        return 2;
    }
    struct seen seen = {.lowest = 0.0};
    for (long i = first; i <= last; i++)
        judge(i, &seen);
    (void)printf(
        "%ld cases, %ld failures, %ld ended early, %ld refused; worst nitrogen closure %.1e "
        "(case %ld), lowest amount %.1e of what moved (case %ld), %.0f ms each, slowest "
        "%.0f ms (case %ld)\n",
        seen.cases, seen.failures, seen.early, seen.refused, seen.closure, seen.worst_case,
        seen.lowest, seen.lowest_case, seen.total_ms / (double)seen.cases, seen.slowest_ms,
        seen.slowest_case);
    return seen.failures > 0 ? 1 : 0;
}
