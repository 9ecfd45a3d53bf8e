/* Layer (b). The glass: tips, pressures, blockage, against worked values and by what must warn.
 * Worked values: computed from the formulas named beside them, water at 25 degC and air, unless
 * said. */
#include "../assert_near.h"

#include "../bench_feed.h"
#include "stage/glassware.h"

static const struct nxw_liquid_state WATER = {997.05, 8.90e-4, 0.07197};
static const double AIR_KG_M3 = 1.184;
static const double L_MIN = 1e-3 / 60.0;

static struct nxw_parameters parameters(void)
{
    struct nxw_parameters p;
    nxw_parameters_default(&p);
    return p;
}

/* Weber number 2: 0.184, 0.520, 1.47 L/min through 0.5, 1, 2 mm; half a unit of the last digit.
 * Wider than 2.71 mm Froude's 0.37 takes over, and the two meet there: 2 %. */
static void test_jetting(void **state)
{
    (void)state;
    struct nxw_parameters p = parameters();
    struct nxw_stage s = {.tip = NXW_TIP_HOLES, .holes = 1.0, .bore_m = 0.5e-3};
    assert_near(nxw_tip_jet_flow_m3_s(&s, &p, &WATER, AIR_KG_M3) / L_MIN, 0.184, 0.0005);
    s.bore_m = 1e-3;
    assert_near(nxw_tip_jet_flow_m3_s(&s, &p, &WATER, AIR_KG_M3) / L_MIN, 0.520, 0.0005);
    s.holes = 8.0;
    assert_near(nxw_tip_jet_flow_m3_s(&s, &p, &WATER, AIR_KG_M3) / L_MIN, 8.0 * 0.5196, 0.001);
    s.holes = 1.0;
    s.bore_m = 2e-3;
    assert_near(nxw_tip_jet_flow_m3_s(&s, &p, &WATER, AIR_KG_M3) / L_MIN, 1.47, 0.005);
    s.bore_m = 2.70e-3;
    const double below = nxw_tip_jet_flow_m3_s(&s, &p, &WATER, AIR_KG_M3);
    s.bore_m = 2.72e-3;
    assert_relative(nxw_tip_jet_flow_m3_s(&s, &p, &WATER, AIR_KG_M3), below, 0.02);
    /* u2 = 0.37 g d (drho/rho_G)^1.25, drho/rho_G = 841.1, by hand: 8.11 m/s in 4 mm, 9.93 m/s in
     * 6 mm; We = 2 alone would say 4.16 and 7.6 L/min */
    s.bore_m = 4e-3;
    assert_near(nxw_tip_jet_flow_m3_s(&s, &p, &WATER, AIR_KG_M3) / L_MIN, 6.11, 0.005);
    s.bore_m = 6e-3;
    assert_near(nxw_tip_jet_flow_m3_s(&s, &p, &WATER, AIR_KG_M3) / L_MIN, 16.85, 0.005);
    /* with We = 4 that decides up to 3.8 mm: in 3.5 mm 8.34 m/s, where Fr' would say 7.58 */
    p.value[NXW_P_jet_weber] = 4.0;
    s.bore_m = 3.5e-3;
    assert_near(nxw_tip_jet_flow_m3_s(&s, &p, &WATER, AIR_KG_M3) / L_MIN, 4.81, 0.005);
    s.tip = NXW_TIP_FRIT; /* 0.06 m/s: 1.8 L/min for 25 mm, 0.6 L/min for 15 mm */
    s.frit_diameter_m = 0.025;
    assert_near(nxw_tip_jet_flow_m3_s(&s, &p, &WATER, AIR_KG_M3) / L_MIN, 1.8, 0.05);
    s.frit_diameter_m = 0.015;
    assert_near(nxw_tip_jet_flow_m3_s(&s, &p, &WATER, AIR_KG_M3) / L_MIN, 0.6, 0.05);
    s.tip = NXW_TIP_BUBBLE_DIAMETER;
    assert_true(isinf(nxw_tip_jet_flow_m3_s(&s, &p, &WATER, AIR_KG_M3)));
}

static void test_holes_blowing(void **state)
{
    (void)state;
    const struct nxw_stage s = {.tip = NXW_TIP_HOLES, .holes = 8.0};
    assert_near(nxw_tip_holes_blowing(&s, 0.0, 1.0), 1.0, 0.0);
    assert_near(nxw_tip_holes_blowing(&s, 0.5, 1.0), 4.0, 0.0);
    assert_near(nxw_tip_holes_blowing(&s, 1.0, 2.0), 4.0, 0.0);
    assert_near(nxw_tip_holes_blowing(&s, 3.0, 1.0), 8.0, 0.0);
}

/* Dry frits, 3 mm thick, 25 mm wide, 1 L/min, mean pores 130, 70, 28 um: 20, 70, 440 Pa, half a
 * unit of the last digit; wetted they resist more by the factor. Wet pores of 100 um: 2879 Pa. A 6
 * mm tube: 48 Pa. */
static void test_resistance(void **state)
{
    (void)state;
    struct nxw_parameters p = parameters();
    const double wet = p.value[NXW_P_frit_wet_factor];
    struct nxw_stage s = {.tip = NXW_TIP_FRIT, .frit_diameter_m = 0.025};
    const double mean_m[] = {130e-6, 70e-6, 28e-6}, loss_Pa[] = {20.0, 70.0, 440.0};
    const double half_unit_Pa[] = {0.5, 5.0, 5.0};
    for (int i = 0; i < 3; i++) {
        s.bore_m = mean_m[i] / p.value[NXW_P_frit_mean_pore_share];
        assert_near(nxw_tip_flow_loss_Pa(&s, &p, AIR_KG_M3, L_MIN) / wet, loss_Pa[i],
                    half_unit_Pa[i]);
    }
    s.bore_m = 100e-6;
    assert_near(nxw_tip_capillary_Pa(&s, 0.07197), 2879.0, 0.5);
    s.tip = NXW_TIP_OPEN_TUBE;
    s.bore_m = 6e-3;
    assert_near(nxw_tip_capillary_Pa(&s, 0.07197), 48.0, 0.5);
    /* 6 mm, 3 L/min: 1.77 m/s, 1.85 Pa of velocity head, 1.5 of them */
    assert_near(nxw_tip_flow_loss_Pa(&s, &p, AIR_KG_M3, 3.0 * L_MIN), 2.78, 0.01);
    struct nxw_case c;
    nxw_case_init(&c);
    /* 6 mm, 10 cm, 1 L/min: 0.97 Pa by Poiseuille, 0.31 Pa of bends */
    assert_near(nxw_vent_loss_Pa(&c, AIR_KG_M3, L_MIN), 0.97 + 0.31, 0.01);
    c.vent_bore_m = 1e-3; /* 1259 Pa and 400 Pa */
    assert_near(nxw_vent_loss_Pa(&c, AIR_KG_M3, L_MIN), 1259.0 + 400.0, 3.0);
}

/* --------------------------------------------------------------------------------- runs */

static struct nxw_result run(const struct nxw_case *c)
{
    struct nxw_result r;
    assert_int_equal(nxw_estimate(c, NULL, NULL, &r), NXW_OK);
    return r;
}

/* Heads add up along the train, and the gauge falls towards the vent. */
static void test_pressure_along_the_train(void **state)
{
    (void)state;
    struct nxw_case c = bench_feed();
    const struct nxw_result one = run(&c);
    c.n_stages = 3;
    c.stages[1] = c.stages[2] = c.stages[0];
    c.stages[1].kind = NXW_STAGE_EMPTY;
    const struct nxw_result r = run(&c);
    const double depth_m = 250e-6 / (0.25 * 3.14159265 * 0.065 * 0.065) - 0.005;
    assert_relative(one.stages[0].head_Pa, 998.0 * 9.80665 * depth_m, 0.03); /* it gains acid */
    assert_relative(one.glass.gauge_peak_Pa, one.stages[0].head_Pa + 48.5, 0.01);
    assert_relative(r.glass.gauge_peak_Pa, 2.0 * one.glass.gauge_peak_Pa, 0.03);
    assert_near(r.stages[1].gauge_Pa, r.stages[2].gauge_Pa, 1.0);
    assert_true(r.stages[0].gauge_Pa > 1.9 * r.stages[1].gauge_Pa);
    assert_true((r.warnings & (NXW_WARN_BACK_PRESSURE | NXW_WARN_JETTING | NXW_WARN_WEEPING)) == 0);
}

/* A POR 3 frit alone asks for 7.2 kPa, more than joints bear; a POR 1 frit does not. */
static void test_frits_and_joints(void **state)
{
    (void)state;
    struct nxw_case c = bench_feed();
    c.stages[0].tip = NXW_TIP_FRIT;
    c.stages[0].frit_diameter_m = 0.025;
    c.stages[0].bore_m = 40e-6;
    struct nxw_result r = run(&c);
    assert_true((r.warnings & NXW_WARN_BACK_PRESSURE) != 0);
    assert_true(r.glass.gauge_peak_Pa > 7000.0 && r.glass.gauge_peak_Pa < 10000.0);
    c.stages[0].bore_m = 160e-6;
    r = run(&c);
    assert_true((r.warnings & NXW_WARN_BACK_PRESSURE) == 0);
    assert_true((r.warnings & NXW_WARN_JETTING) == 0);
    c.stages[0].frit_diameter_m = 0.008; /* 0.15 L/min keep bubbles apart there */
    r = run(&c);
    assert_true((r.warnings & NXW_WARN_JETTING) != 0);
}

static void test_holes_jet_and_weep(void **state)
{
    (void)state;
    struct nxw_case c = bench_feed();
    c.stages[0].tip = NXW_TIP_HOLES;
    c.stages[0].bore_m = 0.5e-3;
    c.stages[0].holes = 1.0;
    struct nxw_result r = run(&c);
    assert_true((r.warnings & NXW_WARN_JETTING) != 0);
    assert_true((r.warnings & NXW_WARN_WEEPING) == 0);
    c.stages[0].bore_m = 1e-3;
    c.stages[0].holes = 8.0;
    r = run(&c);
    assert_true((r.warnings & NXW_WARN_JETTING) == 0);
    assert_true((r.warnings & NXW_WARN_WEEPING) != 0);
    assert_true(r.stages[0].tip_holes_blowing < 8.0);
}

/* Blocked at 0.3 L/min and what the source adds: n R T/V. The hood stops: what leaves, in 1 m3 of
 * air. */
static void test_blocked_and_hood(void **state)
{
    (void)state;
    struct nxw_case c = bench_feed();
    c.vessel_volume_m3 = 500e-6;
    const struct nxw_result r = run(&c);
    const double pi = 3.14159265358979;
    const double feed_mol_s = c.carrier.flow_mol_s + 0.5 * pi * c.source.flow_mol_s;
    /* 393.15 K hot; the headspace half-way between the liquid and the room, some K above 293 */
    const double vessel = 500e-6 / 393.15, head = 250e-6 / 295.0;
    assert_relative(r.glass.blocked_tip_Pa_s, feed_mol_s * 8.314463 / vessel, 0.01);
    assert_relative(r.glass.blocked_vent_Pa_s, feed_mol_s * 8.314463 / (vessel + head), 0.02);
    assert_relative(r.glass.blocked_tip_s * r.glass.blocked_tip_Pa_s, 5000.0, 1e-9);
    assert_relative(r.glass.hood_stopped_NO2_1_s * 101325.0 / (8.314463 * 293.15) * 0.046005,
                    r.vent_peak_NO2_kg_s, 1e-4);
    /* air led in behind the first tip counts for the vent, not for that tip */
    c.n_stages = 2;
    c.stages[1] = c.stages[0];
    const struct nxw_result two = run(&c);
    c.stages[1].bleed = (struct nxw_carrier){NXW_GAS_AIR, feed_mol_s, 0.0, (double)INFINITY};
    const struct nxw_result bled = run(&c);
    assert_relative(bled.glass.blocked_tip_Pa_s, two.glass.blocked_tip_Pa_s, 1e-3);
    assert_relative(bled.glass.blocked_vent_Pa_s, 2.0 * two.glass.blocked_vent_Pa_s, 0.02);
}

/* What no glass can be is refused with its place. */
static void test_refused(void **state)
{
    (void)state;
    struct nxw_diagnosis d;
    struct nxw_case c = bench_feed();
    assert_int_equal(nxw_case_check(&c, &d), NXW_OK);
    c.stages[0].bleed.flow_mol_s = -1e-6;
    assert_int_equal(nxw_case_check(&c, &d), NXW_ERROR_CASE);
    assert_string_equal(d.path, "train[1]");
    c = bench_feed();
    c.stages[0].tip = NXW_TIP_FRIT;
    assert_int_equal(nxw_case_check(&c, &d), NXW_ERROR_CASE); /* pores of 6 mm */
    c = bench_feed();
    c.vessel_volume_m3 = NAN;
    assert_int_equal(nxw_case_check(&c, &d), NXW_ERROR_CASE);
    assert_string_equal(d.path, "vessel");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_jetting),          cmocka_unit_test(test_holes_blowing),
        cmocka_unit_test(test_resistance),       cmocka_unit_test(test_pressure_along_the_train),
        cmocka_unit_test(test_frits_and_joints), cmocka_unit_test(test_holes_jet_and_weep),
        cmocka_unit_test(test_blocked_and_hood), cmocka_unit_test(test_refused)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
