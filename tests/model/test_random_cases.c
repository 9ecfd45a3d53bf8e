/* Layer (a): random valid cases of one bottle: no solver failure, nitrogen to 1e-6. */
#include "../assert_near.h"

#include <stdio.h>

#include "noxwash.h"

static unsigned long long state = 20261125u;

/* xorshift64*, so that every machine draws the same cases */
static double uniform(double low, double high)
{
    state ^= state >> 12;
    state ^= state << 25;
    state ^= state >> 27;
    const unsigned long long x = state * 2685821657736338717ull;
    return low + (high - low) * (double)(x >> 11) / 9007199254740992.0;
}

static double logarithmic(double low, double high)
{
    return low * pow(high / low, uniform(0.0, 1.0));
}

static struct nxw_case draw(void)
{
    struct nxw_case c;
    nxw_case_init(&c);
    c.source.kind = uniform(0, 1) < 0.6   ? NXW_SOURCE_METERED
                    : uniform(0, 1) < 0.5 ? NXW_SOURCE_METAL
                                          : NXW_SOURCE_ACID_VAPOUR;
    c.source.shape = uniform(0, 1) < 0.5 ? NXW_SHAPE_STEADY : NXW_SHAPE_RISE_AND_FALL;
    c.source.duration_s = logarithmic(60.0, 4.0 * 3600.0);
    c.source.flow_mol_s = logarithmic(1e-3, 3.0) / 60.0 / 24.055; /* 1 mL/min to 3 L/min */
    c.source.NO2_fraction = uniform(0, 1) < 0.5 ? logarithmic(1e-6, 1.0) : uniform(0.0, 1.0);
    c.source.NO_fraction = uniform(0, 1) < 0.5 ? 0.0 : uniform(0.0, 1.0 - c.source.NO2_fraction);
    c.source.O2_fraction =
        uniform(0.0, 1.0) * (1.0 - c.source.NO2_fraction - c.source.NO_fraction);
    c.source.metal_mol = logarithmic(0.001, 0.6);
    c.source.NO2_route_fraction = uniform(0.0, 1.0);
    c.source.acid_made_mol = logarithmic(0.01, 1.5);
    c.source.decomposed_fraction = uniform(0.0, 1.0);
    if (uniform(0, 1) < 0.5) {
        c.carrier.gas = uniform(0, 1) < 0.7 ? NXW_GAS_AIR : NXW_GAS_NITROGEN;
        c.carrier.flow_mol_s = logarithmic(0.01, 2.0) / 60.0 / 24.055;
        c.carrier.until_s = c.source.duration_s * uniform(0.5, 1.5);
    }
    struct nxw_stage *s = &c.stages[0];
    s->volume_m3 = logarithmic(100e-6, 2e-3);
    s->inner_diameter_m = cbrt(s->volume_m3) * uniform(0.7, 1.1);
    s->liquid_m3 = s->volume_m3 * uniform(0.2, 0.8);
    s->acid_mass_fraction = uniform(0, 1) < 0.5 ? 0.0 : uniform(0.0, 0.4);
    s->peroxide_mass_fraction = uniform(0, 1) < 0.5 ? 0.0 : uniform(0.0, 0.12);
    s->tip = uniform(0, 1) < 0.5 ? NXW_TIP_OPEN_TUBE : NXW_TIP_BUBBLE_DIAMETER;
    s->bubble_diameter_m = uniform(1.5e-3, 1e-2);
    const double b = uniform(0, 1);
    s->bath = b < 0.5 ? NXW_BATH_AIR : b < 0.7 ? NXW_BATH_WATER : NXW_BATH_ICE_WATER;
    s->ice_kg = uniform(0.05, 1.0);
    s->bath_temperature_K = 273.15 + uniform(5.0, 40.0);
    c.standing_s = logarithmic(60.0, 24.0 * 3600.0);
    return c;
}

static void test_random_cases(void **unused)
{
    (void)unused;
    setvbuf(stdout, NULL, _IOLBF, 0);
    enum { CASES = 300 };
    double worst = 0.0, slowest_ms = 0.0, total_ms = 0.0;
    long steps = 0;
    int failures = 0, early = 0;
    for (int i = 0; i < CASES; i++) {
        const struct nxw_case c = draw();
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
