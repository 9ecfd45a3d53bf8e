/* Layer (b). What is drawn back: over a crest, to a vessel that cools, from bottle to bottle; what
 * holds it off. Worked values: computed from the formulas named beside them. */
#include "../assert_near.h"

#include "../bench_feed.h"
#include "stage/glassware.h"

/* 100 mL from 373.15 to 298.15 K, tip 10 cm deep: 19.33, 59.66, 91.93 mL for 0, 50, 90 % dissolved;
 * the head against it left out. */
static void test_cooling(void **state)
{
    (void)state;
    struct nxw_cooling c = {.vessel_m3 = 100e-6,
                            .hot_K = 373.15,
                            .cool_K = 298.15,
                            .room_K = 298.15,
                            .room_Pa = 101325.0,
                            .density_kg_m3 = 997.05,
                            .depth_m = 0.10};
    const double dissolved[] = {0.0, 0.5, 0.9}, drawn_mL[] = {19.33, 59.66, 91.93};
    for (int i = 0; i < 3; i++) {
        c.dissolved_share = dissolved[i];
        assert_near(nxw_cooling_drawn_m3(&c) * 1e6, drawn_mL[i], 0.005);
    }
    /* nothing dissolves: 298.15/373.15 of the start's 102.30 kPa: 19.58 kPa short, 2.00 m of water
     */
    c.dissolved_share = 0.0;
    assert_near(nxw_cooling_crest_m(&c), 2.00, 0.005);
    /* 100 mL/600 s of 0.2010 of its volume, at 298.15 K: 1.37e-6 mol/s */
    assert_relative(nxw_cooling_carrier_mol_s(&c, 600.0), 1.370e-6, 1e-3);
    /* a trap at the room's temperature breathes along but does not shrink: as much is drawn */
    c.traps_m3 = 50e-6;
    const double head = 1.0 + 977.8 / 101325.0;
    assert_near(nxw_cooling_drawn_m3(&c) * 1e6,
                (50.0 - (head * (100.0 / 373.15 + 50.0 / 298.15) - 100.0 / 298.15) * 298.15), 0.01);
    c.cool_K = c.hot_K = c.room_K;
    c.depth_m = 0.0;
    assert_near(nxw_cooling_drawn_m3(&c), 0.0, 1e-12);
    assert_near(nxw_cooling_crest_m(&c), 0.0, 1e-12);
    assert_near(nxw_cooling_carrier_mol_s(&c, 600.0), 0.0, 1e-15);
}

/* Worked: 250 mL at 110 degC, 20 degC when cool, tau 600 s: 101325*250e-6/(8.3145*293.15) = 10.393
 * mmol when cold. Dry: 1 - 293.15/383.15 = 0.2349 of it in 600 s, 4.07 umol/s, 0.0059 L/min. Steam:
 * 40.2 kJ/mol (from memory, high) over R T2 = 3.29 % for each K, times 90 K = 2.96: 51.3 umol/s,
 * 0.074 L/min; Buck's vapour pressure has the slope 3.31 %, 1 %. */
static void test_carrier_for_a_flask_of_steam(void **state)
{
    (void)state;
    struct nxw_cooling c = {.vessel_m3 = 250e-6,
                            .hot_K = 383.15,
                            .cool_K = 293.15,
                            .room_K = 293.15,
                            .room_Pa = 101325.0,
                            .density_kg_m3 = 998.0};
    assert_relative(nxw_cooling_carrier_mol_s(&c, 600.0), 4.07e-6, 2e-3);
    c.vapour_share = nxw_cooling_vapour_share(383.15, 101325.0);
    assert_near(c.vapour_share, 1.0, 0.0); /* boils at 100 degC */
    assert_relative(nxw_cooling_carrier_mol_s(&c, 600.0), 51.3e-6, 0.02);
    assert_relative(nxw_cooling_carrier_mol_s(&c, 120.0),
                    5.0 * nxw_cooling_carrier_mol_s(&c, 600.0), 1e-12);
    /* all of it condenses: the flask fills */
    assert_near(nxw_cooling_drawn_m3(&c) * 1e6, 250.0, 1e-6);
    /* 90 degC: steam tables say 70.18 kPa, from memory (high) */
    assert_near(nxw_cooling_vapour_share(363.15, 101325.0), 0.6926, 0.001);
    /* a gas just warm, its vapour gone no faster than it cools */
    c.hot_K = 294.15;
    assert_relative(nxw_cooling_carrier_mol_s(&c, 600.0), 10.393e-3 / 600.0, 1e-3);
}

/* The trap that is needed: hand-worked limits, and it holds by the very formula of what is drawn.
 */
static void test_trap_needed(void **state)
{
    (void)state;
    struct nxw_cooling c = {.vessel_m3 = 300e-6,
                            .hot_K = 393.15,
                            .cool_K = 293.15,
                            .room_K = 293.15,
                            .room_Pa = 101325.0,
                            .density_kg_m3 = 1000.0,
                            .depth_m = 0.05};
    const double liquid_m3 = 140e-6, margin = 1.25;
    /* gas that only cools: P1 = 101815 Pa, 300 (1 - 101815/101325 293.15/393.15) = 75.23 mL are
     * drawn; traps let 0.484 % of their volume go: 1.25 75.23/(1 + 1.25 0.00484) = 93.5 mL */
    assert_near(nxw_cooling_trap_m3(&c, liquid_m3, margin) * 1e6, 93.5, 0.05);
    /* a tiny vessel, a tiny trap: in proportion */
    c.vessel_m3 = 3e-6;
    assert_near(nxw_cooling_trap_m3(&c, liquid_m3, margin) * 1e6, 0.935, 0.0005);
    c.vessel_m3 = 0.0;
    assert_near(nxw_cooling_trap_m3(&c, liquid_m3, margin), 0.0, 0.0);
    /* a big vessel: all the liquid above the tip, 1.25 140 = 175 mL, and no more */
    c.vessel_m3 = 20e-3;
    assert_near(nxw_cooling_trap_m3(&c, liquid_m3, margin) * 1e6, 175.0, 1e-9);
    /* soluble gas: a trap's own gas goes too, so that no size but the liquid's own will do */
    c.vessel_m3 = 10e-6;
    c.dissolved_share = 0.9;
    assert_near(nxw_cooling_trap_m3(&c, liquid_m3, margin) * 1e6, 175.0, 1e-9);
    /* half of it soluble, 40 mL: 40 (1 - 0.5 1.00484 0.74564) = 25.01 mL drawn by the vessel, and
     * 0.49758 of the trap: 1.25 25.01/(1 - 1.25 0.49758) = 82.7 mL */
    c.vessel_m3 = 40e-6;
    c.dissolved_share = 0.5;
    assert_near(nxw_cooling_trap_m3(&c, liquid_m3, margin) * 1e6, 82.7, 0.05);
    /* what is drawn with that trap in place fills it but for the margin */
    c.traps_m3 = nxw_cooling_trap_m3(&c, liquid_m3, margin);
    assert_relative(margin * nxw_cooling_drawn_m3(&c), c.traps_m3, 1e-9);
    /* never less for a larger vessel, more liquid, more that dissolves or condenses */
    double last = -1.0;
    for (int i = 0; i < 60; i++) {
        c.vessel_m3 = 1e-6 * pow(1.2, i);
        const double need = nxw_cooling_trap_m3(&c, liquid_m3, margin);
        assert_true(need >= last && need <= margin * liquid_m3);
        assert_true(nxw_cooling_trap_m3(&c, 1.1 * liquid_m3, margin) >= need);
        last = need;
    }
    c.vessel_m3 = 50e-6;
    last = -1.0;
    for (int i = 0; i <= 20; i++) {
        c.vapour_share = 0.05 * i;
        const double need = nxw_cooling_trap_m3(&c, liquid_m3, margin);
        assert_true(need > last);
        last = need;
    }
}

/* A crest of 0.30 m holds until 2.9 % of the pressure is gone; then the rest comes over. */
static void test_over_the_crest(void **state)
{
    (void)state;
    const double P = 101325.0, held = 997.05 * 9.80665 * 0.3 / P;
    assert_near(held, 0.029, 0.0005);
    assert_near(nxw_drawn_over_m3(1e-4, 1e-4 * (1.0 - 0.99 * held), P, 997.05, 0.3), 0.0, 0.0);
    assert_near(nxw_drawn_over_m3(1e-4, 0.5e-4, P, 997.05, 0.3), 1e-4 - 0.5e-4 / (1.0 - held),
                1e-12);
}

/* 20 mL of 100 mL drawn: 1.25 20/(1 - 1.25 0.2) = 33.3 mL, of whose 33.3 % more space 6.67 mL more
 * are drawn; 90 mL of it: all the liquid, 150 mL. */
static void test_trap_between(void **state)
{
    (void)state;
    assert_near(nxw_between_trap_m3(100e-6, 20e-6, 150e-6, 1.25) * 1e6, 33.333, 0.001);
    assert_near(nxw_between_trap_m3(100e-6, 0.4e-6, 150e-6, 1.25) * 1e6, 0.5025, 0.0001);
    assert_near(nxw_between_trap_m3(100e-6, 90e-6, 150e-6, 1.25) * 1e6, 187.5, 0.001);
    assert_near(nxw_between_trap_m3(100e-6, 20e-6, 22e-6, 1.25) * 1e6, 27.5, 0.001);
}

/* --------------------------------------------------------------------------------- runs */

static struct nxw_result run(const struct nxw_case *c)
{
    struct nxw_result r;
    assert_int_equal(nxw_estimate(c, NULL, NULL, &r), NXW_OK);
    return r;
}

/* The hot vessel cools: without trap or carrier a warning, its own for peroxide and for metal; a
 * trap or a carrier that goes on long enough holds it off. */
static void test_suck_back(void **state)
{
    (void)state;
    const unsigned all = NXW_WARN_SUCK_BACK | NXW_WARN_DRAWN_TO_METAL | NXW_WARN_PEROXIDE_DRAWN |
                         NXW_WARN_STEAM_BURST;
    struct nxw_case c = bench_feed();
    c.carrier.until_s = 2700.0;
    struct nxw_result r = run(&c);
    assert_true((r.warnings & all) == 0 && isnan(r.glass.suck_back_m3)); /* no vessel given */
    c.vessel_volume_m3 = 500e-6;
    r = run(&c);
    assert_int_equal(r.warnings & all, NXW_WARN_SUCK_BACK | NXW_WARN_STEAM_BURST);
    assert_true(r.glass.liquid_at_risk_m3 > 100e-6);
    assert_true(r.glass.crest_needed_m > r.glass.crest_m);
    c.stages[0].peroxide_mass_fraction = 0.03;
    r = run(&c);
    assert_int_equal(r.warnings & all,
                     NXW_WARN_SUCK_BACK | NXW_WARN_PEROXIDE_DRAWN | NXW_WARN_STEAM_BURST);
    c.source.kind = NXW_SOURCE_METAL;
    c.source.metal_mol = 0.1;
    r = run(&c);
    assert_int_equal(r.warnings & all, all);
    struct nxw_case d = c;
    d.carrier.until_s = 2700.0 + 4.0 * c.parameters.value[NXW_P_vessel_cooling_time];
    r = run(&d);
    assert_true(d.carrier.flow_mol_s > r.glass.carrier_needed_mol_s);
    assert_true((r.warnings & all) == 0);
    d.carrier.until_s = 2710.0; /* too short */
    r = run(&d);
    assert_int_equal(r.warnings & all, all);
    d = c;
    d.n_stages = 2;
    d.stages[1] = c.stages[0];
    d.stages[0].kind = NXW_STAGE_EMPTY;
    d.stages[0].volume_m3 = 400e-6;
    r = run(&d);
    assert_true((r.warnings & all) == 0);
    assert_near(r.glass.trap_m3, 400e-6, 1e-12);
    assert_true(r.glass.trap_needed_m3 > r.glass.liquid_at_risk_m3);
}

/* Liquid drawn over flashes to steam whatever the source, in a vessel at which water boils: 100.0
 * degC at 101.325 kPa, 96.7 degC at 90 kPa (steam tables). Below it does not. */
static void test_steam_burst(void **state)
{
    (void)state;
    struct nxw_case c = bench_feed();
    c.carrier.until_s = 2700.0;
    c.vessel_volume_m3 = 500e-6;
    for (int k = 0; k < 3; k++) {
        static const enum nxw_source_kind kinds[3] = {NXW_SOURCE_ACID_VAPOUR, NXW_SOURCE_METAL,
                                                      NXW_SOURCE_METERED};
        c.source.kind = kinds[k];
        c.source.acid_made_mol = k == 0 ? 0.6 : 0.0;
        c.source.decomposed_fraction = k == 0 ? 0.35 : 0.0;
        c.source.metal_mol = k == 1 ? 0.1 : 0.0;
        static const struct {
            double hot_K, room_Pa;
            bool boils;
        } rooms[] = {{393.15, 101325.0, true},  {373.65, 101325.0, true}, {373.15, 101325.0, true},
                     {372.65, 101325.0, false}, {370.15, 90000.0, true},  {369.55, 90000.0, false}};
        for (size_t i = 0; i < sizeof rooms / sizeof rooms[0]; i++) {
            c.vessel_hot_K = rooms[i].hot_K;
            c.surroundings_pressure_Pa = rooms[i].room_Pa;
            const struct nxw_result r = run(&c);
            assert_true((r.warnings & NXW_WARN_SUCK_BACK) != 0);
            assert_int_equal((r.warnings & NXW_WARN_STEAM_BURST) != 0, rooms[i].boils);
        }
    }
    c.vessel_hot_K = 393.15;
    c.carrier.until_s = 2700.0 + 4.0 * c.parameters.value[NXW_P_vessel_cooling_time];
    assert_true((run(&c).warnings & NXW_WARN_STEAM_BURST) == 0); /* a purge keeps it off */
}

static double above_tip_m3(const struct nxw_result *r, size_t i)
{
    const double area_m2 = 0.25 * 3.14159265358979 * 0.065 * 0.065;
    return r->stages[i].liquid_m3 - 0.005 * area_m2;
}

/* What can come over: of one bottle the liquid above its tip; of two in a row that of both, since
 * the second's fills the first again; an empty vessel between keeps what it holds. Empty vessels
 * ahead count together. */
static void test_suck_back_along_the_train(void **state)
{
    (void)state;
    struct nxw_case c = bench_feed();
    c.carrier.until_s = 2700.0;
    c.source.kind = NXW_SOURCE_METAL;
    c.source.metal_mol = 0.1;
    c.vessel_volume_m3 = 5e-3;
    struct nxw_result r = run(&c);
    assert_relative(r.glass.liquid_at_risk_m3, above_tip_m3(&r, 0), 1e-6);
    assert_relative(r.glass.trap_needed_m3, 1.25 * above_tip_m3(&r, 0), 1e-6);
    c.n_stages = 2;
    c.stages[1] = c.stages[0];
    c.stages[1].peroxide_mass_fraction = 0.03;
    r = run(&c);
    assert_relative(r.glass.liquid_at_risk_m3, above_tip_m3(&r, 0) + above_tip_m3(&r, 1), 1e-6);
    assert_relative(r.glass.peroxide_at_risk_mol,
                    r.stages[1].peroxide_mol * above_tip_m3(&r, 1) / r.stages[1].liquid_m3, 1e-6);
    assert_true((r.warnings & NXW_WARN_PEROXIDE_DRAWN) != 0);
    /* drawn at most what the gas law draws: of a small vessel only the first bottle's */
    c.vessel_volume_m3 = 50e-6;
    r = run(&c);
    assert_near(r.glass.liquid_at_risk_m3, r.glass.suck_back_m3, 1e-12);
    assert_relative(r.glass.suck_back_m3, 50e-6, 1e-6); /* at 120 degC full of vapour */
    assert_true((r.warnings & NXW_WARN_PEROXIDE_DRAWN) == 0);
    c.vessel_volume_m3 = 5e-3;
    c.n_stages = 3;
    c.stages[2] = c.stages[1];
    c.stages[1] = c.stages[0];
    c.stages[1].kind = NXW_STAGE_EMPTY;
    c.stages[1].volume_m3 = 100e-6;
    r = run(&c);
    assert_relative(r.glass.liquid_at_risk_m3, above_tip_m3(&r, 0) + above_tip_m3(&r, 2) - 100e-6,
                    1e-6);
    c.stages[1].volume_m3 = 300e-6;
    r = run(&c);
    assert_relative(r.glass.liquid_at_risk_m3, above_tip_m3(&r, 0), 1e-6);
    assert_near(r.glass.peroxide_at_risk_mol, 0.0, 1e-9);
    /* two empty vessels ahead, each too small alone */
    c.stages[2] = c.stages[0];
    c.stages[0] = c.stages[1];
    c.stages[0].volume_m3 = c.stages[1].volume_m3 = 170e-6;
    r = run(&c);
    assert_near(r.glass.trap_m3, 340e-6, 1e-12);
    assert_true((r.warnings & NXW_WARN_SUCK_BACK) == 0);
    c.stages[1].volume_m3 = 100e-6;
    r = run(&c);
    assert_true((r.warnings & NXW_WARN_SUCK_BACK) != 0);
}

/* Liquid drawn from bottle to bottle is noted with the peroxide in it and warned of; where an empty
 * vessel receives it, it is noted only. */
static void test_drawn_between(void **state)
{
    (void)state;
    const unsigned both = NXW_WARN_LIQUID_DRAWN | NXW_WARN_PEROXIDE_BETWEEN;
    struct nxw_case c = rich_feed();
    c.n_stages = 2;
    c.stages[1] = c.stages[0];
    c.stages[1].peroxide_mass_fraction = 0.03;
    struct nxw_result r = run(&c);
    assert_int_equal(r.warnings & both, both);
    const double strength_mol_m3 = 0.03 * 1006.0 / 0.034015; /* hardly any is used up there */
    assert_relative(r.stages[0].peroxide_drawn_mol, r.stages[0].liquid_drawn_m3 * strength_mol_m3,
                    0.05);
    assert_near(r.stages[1].peroxide_drawn_mol, 0.0, 0.0);
    c.stages[1].peroxide_mass_fraction = 0.0;
    r = run(&c);
    assert_int_equal(r.warnings & both, NXW_WARN_LIQUID_DRAWN);
    const double between_m3 = r.stages[0].between_needed_m3;
    struct nxw_case d = c;
    d.n_stages = 3;
    d.stages[2] = c.stages[1];
    d.stages[2].peroxide_mass_fraction = 0.03;
    d.stages[1].kind = NXW_STAGE_EMPTY;
    r = run(&d);
    assert_true(r.stages[1].liquid_drawn_m3 > 10e-6 && r.stages[1].peroxide_drawn_mol > 1e-3);
    assert_true((r.warnings & both) == 0);
    d.stages[1].volume_m3 = 1.01 * between_m3; /* what was said to be enough */
    r = run(&d);
    assert_true((r.warnings & both) == 0 && r.stages[1].liquid_drawn_m3 > 10e-6);
    d.stages[1].volume_m3 = 10e-6; /* as good as none */
    r = run(&d);
    assert_int_equal(r.warnings & both, both);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_cooling),      cmocka_unit_test(test_carrier_for_a_flask_of_steam),
        cmocka_unit_test(test_trap_needed),  cmocka_unit_test(test_over_the_crest),
        cmocka_unit_test(test_trap_between), cmocka_unit_test(test_suck_back),
        cmocka_unit_test(test_steam_burst),  cmocka_unit_test(test_suck_back_along_the_train),
        cmocka_unit_test(test_drawn_between)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
