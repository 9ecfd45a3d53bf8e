/*
 * Cost of a train: milliseconds, steps and right-hand sides of 1 to 8 equal bottles of water fed
 * the same gas. Prints; asserts nothing.
 */
#include <stdio.h>

#include "../rich_feed.h"

int main(void)
{
    struct nxw_case c = rich_feed();
    c.carrier.gas = NXW_GAS_AIR; /* or hardly any gas would reach the last ones */
    c.carrier.flow_mol_s = 0.3 / 60.0 / 24.055;
    c.carrier.until_s = 3600.0;
    printf(
        "stages  states  steps    rhs  jacobians      ms  ms/stage  ms/stage/step  escaped %%\n");
    for (size_t n = 1; n <= NXW_STAGES_MAX; n++) {
        c.n_stages = n;
        c.stages[n - 1] = c.stages[0];
        struct nxw_result r;
        double least_ms = 1e30; /* of five runs: the machine does other things too */
        for (int k = 0; k < 5; k++) {
            if (nxw_estimate(&c, NULL, NULL, &r) < 0) {
                printf("%6zu  %s\n", n, r.diagnosis.text);
                return 1;
            }
            if (r.statistics.processor_ms < least_ms)
                least_ms = r.statistics.processor_ms;
        }
        const double each = least_ms / (double)n;
        printf("%6zu  %6zu  %5ld  %5ld  %9ld  %6.1f  %8.2f  %13.4f  %9.4f\n", n,
               r.statistics.states, r.statistics.steps, r.statistics.rhs, r.statistics.jacobians,
               least_ms, each, each / (double)r.statistics.steps,
               100.0 * r.escaped_mol / r.fed_mol);
    }
    return 0;
}
