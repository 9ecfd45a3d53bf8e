/* Layer (a): the gas law of what is drawn back: no gas appears or is lost, and a vessel of the size
 * that is asked for just holds what comes. */
#include "../assert_near.h"

#include "../random_draw.h"
#include "stage/glassware.h"

static struct nxw_cooling draw_cooling(void)
{
    const double hot_K = 330.0 + 100.0 * draw_uniform();
    return (struct nxw_cooling){.vessel_m3 = 1e-4 + 1e-3 * draw_uniform(),
                                .traps_m3 = 1e-3 * draw_uniform(),
                                .hot_K = hot_K,
                                .cool_K = 283.15 + 20.0 * draw_uniform(),
                                .room_K = 283.15 + 20.0 * draw_uniform(),
                                .vapour_share = 0.9 * draw_uniform(),
                                .dissolved_share = 0.5 * draw_uniform(),
                                .room_Pa = 9e4 + 2e4 * draw_uniform(),
                                .density_kg_m3 = 1000.0 + 300.0 * draw_uniform(),
                                .depth_m = 0.1 * draw_uniform()};
}

/* Gas that is left, in m3/K at the room's pressure: what does not condense in the vessel, and the
 * traps' gas, less what dissolves, from the pressure under the first tip. */
static double left_m3_K(const struct nxw_cooling *c)
{
    const double P1 = c->room_Pa + c->density_kg_m3 * 9.80665 * c->depth_m;
    return (1.0 - c->dissolved_share) * P1 / c->room_Pa *
           ((1.0 - c->vapour_share) * c->vessel_m3 / c->hot_K + c->traps_m3 / c->room_K);
}

/* After the liquid has come, the gas fills the cold vessel and what the liquid leaves of the traps;
 * where it fills the traps and more, what it leaves of the vessel. */
static void gas_is_kept(void **state)
{
    (void)state;
    int in_traps = 0, in_vessel = 0;
    for (int i = 0; i < 2000; i++) {
        const struct nxw_cooling c = draw_cooling();
        const double drawn = nxw_cooling_drawn_m3(&c), left = left_m3_K(&c);
        assert_true(drawn >= 0.0 && drawn <= c.traps_m3 + c.vessel_m3);
        if (drawn > c.traps_m3) {
            in_vessel++;
            assert_relative((c.traps_m3 + c.vessel_m3 - drawn) / c.cool_K, left, 1e-9);
        } else if (drawn > 0.0) {
            in_traps++;
            assert_relative(c.vessel_m3 / c.cool_K + (c.traps_m3 - drawn) / c.room_K, left, 1e-9);
        } else
            assert_true(c.vessel_m3 / c.cool_K + c.traps_m3 / c.room_K <= left * (1.0 + 1e-9));
    }
    assert_true(in_traps > 100 && in_vessel > 100);
}

/* Traps of the size asked for, with no margin, are just filled, be there ever so much liquid; with
 * less liquid than that the liquid is what they must hold. */
static void trap_holds_what_comes(void **state)
{
    (void)state;
    int met = 0;
    for (int i = 0; i < 2000; i++) {
        struct nxw_cooling c = draw_cooling();
        const double trap = nxw_cooling_trap_m3(&c, 1e3, 1.0);
        assert_near(nxw_cooling_trap_m3(&c, 0.3 * trap, 1.0), 0.3 * trap, 1e-15);
        if (!(trap > 0.0 && trap < 1.0))
            continue;
        met++;
        c.traps_m3 = trap;
        assert_relative(nxw_cooling_drawn_m3(&c), trap, 1e-9);
    }
    assert_true(met > 1000);
}

/* A crest as high as asked for holds: the gas at the pressure under it fills vessel and traps. */
static void crest_holds(void **state)
{
    (void)state;
    for (int i = 0; i < 2000; i++) {
        const struct nxw_cooling c = draw_cooling();
        const double crest = nxw_cooling_crest_m(&c);
        const double P = c.room_Pa - c.density_kg_m3 * 9.80665 * crest;
        const double fills = left_m3_K(&c) * c.room_Pa / P;
        const double space = c.vessel_m3 / c.cool_K + c.traps_m3 / c.room_K;
        if (crest > 0.0)
            assert_relative(fills, space, 1e-9);
        else
            assert_true(fills >= space * (1.0 - 1e-9));
        assert_true((crest > 0.0) == (nxw_cooling_drawn_m3(&c) > 0.0));
    }
}

/* Over a crest: gas and liquid fill the space at the pressure that the crest leaves. */
static void over_a_crest(void **state)
{
    (void)state;
    for (int i = 0; i < 2000; i++) {
        const double space = 1e-4 + 1e-3 * draw_uniform(), gas = space * draw_uniform();
        const double P = 1e5 + 1e4 * draw_uniform(), rho = 1000.0 + 300.0 * draw_uniform();
        const double crest = 0.3 * draw_uniform();
        const double drawn = nxw_drawn_over_m3(space, gas, P, rho, crest);
        const double least_Pa = P - rho * 9.80665 * crest;
        if (drawn > 0.0)
            assert_relative((space - drawn) * least_Pa, gas * P, 1e-9);
        else
            assert_true(space * least_Pa <= gas * P * (1.0 + 1e-9));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(gas_is_kept),
        cmocka_unit_test(trap_holds_what_comes),
        cmocka_unit_test(crest_holds),
        cmocka_unit_test(over_a_crest),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
