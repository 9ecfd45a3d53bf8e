/* Layer (b): limiting cases of a headspace and of standing nitrous acid, through whole runs. */
#include "../assert_near.h"

#include "noxwash.h"

/* What is wanted of the last row of a series. */
struct last {
    struct nxw_series_row row;
};

static bool keep_last(const struct nxw_series_row *row, void *user)
{
    ((struct last *)user)->row = *row;
    return true;
}

/* NO into 250 mL of room air at 20 degC, nothing dissolves, the vent closed: the oxygen oxidises
 * 4.36 mmol (2 x 0.2095 x 1 atm x 250 mL/RT); 3 %, of which half a per cent is the room's humidity.
 */
static void closed_air_oxidises_NO(void **state)
{
    (void)state;
    struct nxw_case c;
    nxw_case_init(&c);
    c.source.kind = NXW_SOURCE_METERED;
    c.source.shape = NXW_SHAPE_STEADY;
    c.source.duration_s = 600.0;
    c.source.NO_fraction = 1.0;
    c.source.flow_mol_s = 0.02 / 600.0;
    c.source.temperature_K = 293.15;
    c.vent_closed = true;
    c.isothermal = true;
    c.standing_s = 3.0 * 86400.0;
    c.relative_tolerance = 1e-7;
    c.parameters.value[NXW_P_k_HNO2_gas] = 0.0; /* gas kinetics of NO and oxygen alone */
    struct nxw_stage *s = &c.stages[0];
    s->volume_m3 = 500e-6;
    s->liquid_m3 = 250e-6;
    s->inner_diameter_m = 0.065;
    s->depth_m = 0.0;
    s->no_surface = true;
    struct nxw_result r;
    struct last last = {0};
    assert_int_equal(nxw_estimate(&c, keep_last, &last, &r), NXW_OK);
    assert_near(r.nitrogen_closure, 0.0, 1e-6);
    assert_near(r.held_mol, 0.0, 1e-12);
    assert_near(r.in_flight_mol, 0.02, 1e-6);
    /* pools in the headspace: air at the start, NO fed, half an O2 lost for every NO2 */
    const double start = 101325.0 * 250e-6 / (8.314462618 * 293.15);
    const double y = last.row.headspace_NO2_fraction;
    const double oxidised = y * (start + r.fed_mol) / (1.0 + 0.5 * y);
    assert_relative(oxidised, 4.36e-3, 0.03);
}

/*
 * Nitrous acid over 1 mol/kg nitric acid swept with nitrogen for ever: it is gone, and for one
 * nitric acid made two NO have left; 2 % (some NO2 and vapour of nitrous acid leave too).
 * Little gas through small bubbles and much surface: NO and NO2 leave near their equilibrium. A
 * purge and a narrow vent keep the air's oxygen out.
 */
static void swept_nitrous_acid(void **state)
{
    (void)state;
    static const double time_s[] = {0.0, 4e4, 4e4 + 1.0, 4.72e4, 4.72e4 + 1.0};
    static const double HNO2_mol_s[] = {0.0, 0.0, 0.25 / 7200.0, 0.25 / 7200.0, 0.0};
    struct nxw_case c;
    nxw_case_init(&c);
    c.source.kind = NXW_SOURCE_TABLE;
    c.source.n_rows = 5;
    for (size_t i = 0; i < 5; i++) {
        c.source.rows[i].time_s = time_s[i];
        c.source.rows[i].HNO2_mol_s = HNO2_mol_s[i];
    }
    c.source.duration_s = time_s[4];
    c.carrier.gas = NXW_GAS_NITROGEN;
    c.carrier.flow_mol_s = 5e-6;
    c.standing_s = 20.0 * 86400.0;
    c.vent_bore_m = 1e-3;
    c.isothermal = true;
    c.parameters.value[NXW_P_k_HNO2_gas] = 0.0; /* it reaches the liquid as it is fed */
    c.parameters.value[NXW_P_wet_wall_share] = 1.0;
    struct nxw_stage *s = &c.stages[0];
    s->volume_m3 = 500e-6;
    s->liquid_m3 = 250e-6;
    s->inner_diameter_m = 0.065;
    s->acid_mass_fraction = 0.0593;
    s->tip = NXW_TIP_BUBBLE_DIAMETER;
    s->bubble_diameter_m = 1.5e-3;
    s->liquid_temperature_K = c.surroundings_temperature_K = 298.15;
    struct nxw_result r;
    assert_int_equal(nxw_estimate(&c, NULL, NULL, &r), NXW_OK);
    assert_near(r.nitrogen_closure, 0.0, 1e-6);
    assert_near(r.stages[0].nitrous_acid_mol / r.fed_mol, 0.0, 1e-3);
    assert_relative(r.kept_mol / r.escaped_NO_mol, 0.5, 0.02);
    /* without oxygen 3 HNO2 -> HNO3 + 2 NO and 2 HNO2 -> NO + NO2 tie all three; a trace of air
     * through the vent: 1e-3 */
    assert_relative(r.escaped_NO_mol - r.escaped_NO2_mol, 2.0 * r.kept_mol, 1e-3);
    assert_relative(r.kept_mol + r.escaped_mol + r.stages[0].nitrous_acid_mol, r.fed_mol, 1e-4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(closed_air_oxidises_NO),
        cmocka_unit_test(swept_nitrous_acid),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
