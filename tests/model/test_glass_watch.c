/* Layer (d): what the watch of the glass takes from the steps of a run, against a tighter run. */
#include "../assert_near.h"

#include "../rich_feed.h"

/* Two bottles: the second's liquid is drawn into the first when the feed ends. */
static struct nxw_stage_result first_of_two(double feed_factor, double relative_tolerance)
{
    static struct nxw_result r;
    struct nxw_case c = rich_feed();
    c.n_stages = 2;
    c.stages[1] = c.stages[0];
    c.source.flow_mol_s *= feed_factor;
    c.relative_tolerance = relative_tolerance;
    assert_int_equal(nxw_estimate(&c, NULL, NULL, &r), NXW_OK);
    return r.stages[0];
}

/* Runs that differ by a hundred-thousandth of the feed step otherwise and come to the same: gas
 * that is short, within 1 % of a tight run (it is told over 5 s, in which 0.1 umol of a step's
 * error are 0.1 % of it), liquid drawn within 0.1 %, pressures within 0.01 %. */
static void does_not_hang_on_the_steps(void **state)
{
    (void)state;
    const struct nxw_stage_result tight = first_of_two(1.0, 1e-9);
    assert_true(tight.short_of_gas_mol_s > 1e-6 && tight.liquid_drawn_m3 > 1e-5);
    for (int i = 0; i < 16; i++) {
        const struct nxw_stage_result s = first_of_two(1.0 + 1e-5 * i, 1e-6);
        assert_relative(s.short_of_gas_mol_s, tight.short_of_gas_mol_s, 0.01);
        assert_relative(s.liquid_drawn_m3, tight.liquid_drawn_m3, 1e-3);
        assert_relative(s.between_needed_m3, tight.between_needed_m3, 1e-3);
        assert_relative(s.gauge_Pa, tight.gauge_Pa, 3e-4);
        assert_relative(s.tip_flow_m3_s, tight.tip_flow_m3_s, 1e-3);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(does_not_hang_on_the_steps)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
