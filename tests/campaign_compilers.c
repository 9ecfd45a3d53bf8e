/*
 * Sixty runs in full digits, to be compared between compilers and levels of optimisation
 * (tests/campaign compilers). Prints; asserts nothing.
 */
#include <stdio.h>

#include "random_case.h"
#include "rich_feed.h"

int main(void)
{
    for (int i = 0; i < 60; i++) {
        const struct nxw_case c = i == 0 ? rich_feed() : random_case();
        struct nxw_result r;
        const enum nxw_status status = nxw_estimate(&c, NULL, NULL, &r);
        printf("%d %d %.17g %.17g %.17g %.17g %.17g %ld\n", i, (int)status, r.kept_mol,
               r.escaped_mol, r.stages[0].nitrous_acid_mol, r.stages[0].peak_temperature_K,
               r.heat_closure, r.statistics.steps);
    }
    return 0;
}
