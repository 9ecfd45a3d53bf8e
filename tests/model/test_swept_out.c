/* Layer (b): gas that dissolves and is left in the vessel when the source ends, thinned by the
 * carrier that goes on: as in a stirred vessel, by exp(-n R T/(p V)). */
#include "../assert_near.h"

#include "../bench_feed.h"

/* Air goes on for so long; with an empty vessel ahead of the bottle or without. */
static double left(double seconds, bool trapped)
{
    static struct nxw_result r;
    struct nxw_case c = bench_feed();
    c.vessel_volume_m3 = 500e-6;
    c.vessel_hot_K = 373.15;
    c.carrier.until_s = c.source.duration_s + seconds;
    if (trapped) {
        c.n_stages = 2;
        c.stages[1] = c.stages[0];
        c.stages[0].kind = NXW_STAGE_EMPTY;
    }
    assert_true(nxw_estimate(&c, NULL, NULL, &r) >= 0);
    return r.glass.dissolved_share;
}

static void thinned_by_what_goes_through(void **state)
{
    (void)state;
    const struct nxw_case c = bench_feed();
    const double m3_s =
        c.carrier.flow_mol_s * 8.314462618 * 373.15 / c.surroundings_pressure_Pa; /* hot */
    for (int trapped = 0; trapped < 2; trapped++) {
        const double volume_m3 = 500e-6 + (trapped ? c.stages[0].volume_m3 : 0.0);
        const double none = left(0.0, trapped);
        assert_true(none > 0.01 && none < 1.0);
        for (double t_s = 10.0; t_s < 200.0; t_s *= 3.0)
            assert_relative(left(t_s, trapped), none * exp(-m3_s * t_s / volume_m3), 1e-6);
    }
}

/* What dissolves or condenses of a feed of seven gases, 1 to 7 parts of 28: NO2, the acids, water.
 * NO2 comes as a ramp that ends at nothing. */
static void of_what_came(void **state)
{
    (void)state;
    static struct nxw_result r;
    struct nxw_case c = bench_feed();
    c.carrier.gas = NXW_GAS_NONE;
    c.source.kind = NXW_SOURCE_TABLE;
    c.source.n_rows = 2;
    for (size_t i = 0; i < 2; i++)
        c.source.rows[i] = (struct nxw_source_row){.time_s = 60.0 * (double)i,
                                                   .NO_mol_s = 1e-5,
                                                   .NO2_mol_s = i == 0 ? 4e-5 : 0.0,
                                                   .HNO2_mol_s = 3e-5,
                                                   .HNO3_mol_s = 4e-5,
                                                   .O2_mol_s = 5e-5,
                                                   .inert_mol_s = 6e-5,
                                                   .H2O_mol_s = 7e-5};
    assert_true(nxw_estimate(&c, NULL, NULL, &r) >= 0);
    assert_relative(r.glass.dissolved_share, 16.0 / 28.0, 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(of_what_came),
                                       cmocka_unit_test(thinned_by_what_goes_through)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
