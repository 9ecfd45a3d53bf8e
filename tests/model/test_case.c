/* Layer (b): what makes a case impossible: each limit from both sides, and no number at all. */
#include "../assert_near.h"

#include <stddef.h>
#include <string.h>

#include "noxwash.h"

/* A field of the case with its least and greatest; the path that a refusal names. */
struct limit {
    size_t offset;
    double low, high;
    const char *path;
};

#define IN(member) offsetof(struct nxw_case, member)
static const struct limit LIMITS[] = {
    {IN(source.duration_s), 0.1, 172800.0, "source.duration"},
    {IN(source.temperature_K), 263.15, 423.15, "source.temperature"},
    {IN(source.acid_made_mol), 0.0, 1000.0, "source"},
    {IN(source.decomposed_fraction), 0.0, 1.0, "source"},
    {IN(source.condensate_mass_fraction), 0.5, 0.7, "source.condensate"},
    {IN(source.condenser_temperature_K), 263.15, 343.15, "source.condenser temperature"},
    {IN(carrier.flow_mol_s), 0.0, 0.1, "carrier.flow"},
    {IN(surroundings_temperature_K), 263.15, 323.15, "surroundings"},
    {IN(surroundings_pressure_Pa), 5e4, 1.2e5, "surroundings"},
    {IN(vessel_volume_m3), 0.0, 0.2, "vessel"},
    {IN(vessel_hot_K), 173.15, 1273.15, "vessel"},
    {IN(vessel_cool_K), 173.15, 1273.15, "vessel"},
    {IN(standing_s), 0.0, 2592000.0, "after.standing"},
    {IN(vent_bore_m), 1e-4, 0.1, "vent"},
    {IN(vent_length_m), 1e-3, 10.0, "vent"},
    {IN(relative_tolerance), 1e-11, 1e-3, "numerics.relative tolerance"},
    {IN(stages[0].volume_m3), 5e-6, 20e-3, "train[1]"}, /* with 1 mL in it */
    {IN(stages[0].inner_diameter_m), 0.005, 0.5, "train[1]"},
    {IN(stages[0].wall_thickness_m), 0.0005, 0.02, "train[1]"},
    {IN(stages[0].bleed.flow_mol_s), 0.0, 0.1, "train[1]"},
    {IN(stages[0].liquid_m3), 1e-6, 237.5e-6, "train[1].liquid"}, /* 95 % of 250 mL */
    {IN(stages[0].acid_mass_fraction), 0.0, 0.6, "train[1]"},
    {IN(stages[0].peroxide_mass_fraction), 0.0, 0.35, "train[1]"},
    {IN(stages[0].bath_temperature_K), 263.15, 343.15, "train[1]"},
    {IN(stages[0].bore_m), 1e-6, 0.05, "train[1]"},
    {IN(stages[0].holes), 1.0, 1000.0, "train[1]"},
    {IN(stages[0].ice_kg), 0.0, 50.0, "train[1]"},
    {IN(stages[0].strong_acid_mol_m3), 0.0, 2e4, "train[1]"},
    {IN(stages[0].tip_clearance_m), 0.0, 1.0, "train[1]"},
    {IN(stages[0].bath_water_kg), 0.0, 1e4, "train[1]"},
    {IN(hood_flow_m3_s), 0.0, 1e3, "hood.flow"},
    {IN(bubble_kG_m_s), 0.0, 10.0, "numerics"},
    {IN(carrier.from_s), -3.1536e7, 3.1536e7, "carrier"}}; /* a year */

static enum nxw_status check_with(const struct limit *l, double value, struct nxw_diagnosis *d)
{
    struct nxw_case c;
    nxw_case_init(&c);
    if (l->offset == IN(stages[0].volume_m3))
        c.stages[0].liquid_m3 = 1e-6;
    memcpy((char *)&c + l->offset, &value, sizeof value);
    return nxw_case_check(&c, d);
}

static void each_limit(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof LIMITS / sizeof LIMITS[0]; i++) {
        const struct limit *l = &LIMITS[i];
        const double beyond = 1e-3 * (l->low > 0.0 ? l->low : l->high);
        const double good[] = {l->low, l->high, 0.5 * (l->low + l->high)};
        const double bad[] = {l->low - beyond, l->high * 1.001, (double)NAN, (double)INFINITY};
        struct nxw_diagnosis d;
        for (int k = 0; k < 3; k++) {
            if (check_with(l, good[k], &d) != NXW_OK)
                print_error("%s refused at %g\n", l->path, good[k]);
            assert_int_equal(check_with(l, good[k], &d), NXW_OK);
        }
        for (int k = 0; k < 4; k++) {
            if (check_with(l, bad[k], &d) != NXW_ERROR_CASE)
                print_error("%s allowed at %g\n", l->path, bad[k]);
            assert_int_equal(check_with(l, bad[k], &d), NXW_ERROR_CASE);
            assert_string_equal(d.path, l->path);
            assert_true(d.text[0] != '\0');
        }
        assert_int_equal(check_with(l, bad[0], NULL), NXW_ERROR_CASE); /* a diagnosis is no must */
    }
}

/* What only some sources and tips have: the case around it makes it count. The last three may also
 * stand open, as no number. */
static const struct {
    struct limit limit;
    enum nxw_source_kind source;
    enum nxw_tip_kind tip;
    bool may_be_open;
} OF_ITS_KIND[] = {
    {{IN(source.metal_mol), 0.0, 1000.0, "source"}, NXW_SOURCE_METAL, NXW_TIP_OPEN_TUBE, false},
    {{IN(source.metal_valence), 1.0, 8.0, "source"}, NXW_SOURCE_METAL, NXW_TIP_OPEN_TUBE, false},
    {{IN(source.NO2_route_fraction), 0.0, 1.0, "source"},
     NXW_SOURCE_METAL,
     NXW_TIP_OPEN_TUBE,
     false},
    {{IN(source.flow_mol_s), 0.0, 0.1, "source"}, NXW_SOURCE_METERED, NXW_TIP_OPEN_TUBE, false},
    {{IN(source.NO2_fraction), 0.0, 1.0, "source"}, NXW_SOURCE_METERED, NXW_TIP_OPEN_TUBE, false},
    {{IN(source.NO_fraction), 0.0, 1.0, "source"}, NXW_SOURCE_METERED, NXW_TIP_OPEN_TUBE, false},
    {{IN(source.O2_fraction), 0.0, 1.0, "source"}, NXW_SOURCE_METERED, NXW_TIP_OPEN_TUBE, false},
    {{IN(stages[0].bore_m), 1e-6, 1e-3, "train[1]"}, NXW_SOURCE_METERED, NXW_TIP_FRIT, false},
    {{IN(stages[0].frit_diameter_m), 0.001, 0.5, "train[1]"},
     NXW_SOURCE_METERED,
     NXW_TIP_FRIT,
     false},
    {{IN(stages[0].bubble_diameter_m), 3e-4, 0.03, "train[1]"},
     NXW_SOURCE_METERED,
     NXW_TIP_BUBBLE_DIAMETER,
     false},
    {{IN(stages[0].liquid_temperature_K), 263.15, 343.15, "train[1]"},
     NXW_SOURCE_METERED,
     NXW_TIP_OPEN_TUBE,
     true},
    {{IN(stages[0].depth_m), 0.0, 1.0, "train[1]"}, NXW_SOURCE_METERED, NXW_TIP_OPEN_TUBE, true},
    {{IN(stages[0].UA_W_K), 0.0, 1000.0, "train[1]"}, NXW_SOURCE_METERED, NXW_TIP_OPEN_TUBE, true}};

static enum nxw_status check_of_kind(size_t i, double value, struct nxw_diagnosis *d)
{
    struct nxw_case c;
    nxw_case_init(&c);
    c.source.kind = OF_ITS_KIND[i].source;
    c.stages[0].tip = OF_ITS_KIND[i].tip;
    c.stages[0].bore_m = 1e-4;
    memcpy((char *)&c + OF_ITS_KIND[i].limit.offset, &value, sizeof value);
    return nxw_case_check(&c, d);
}

static void each_limit_of_a_kind(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof OF_ITS_KIND / sizeof OF_ITS_KIND[0]; i++) {
        const struct limit *l = &OF_ITS_KIND[i].limit;
        const double beyond = 1e-3 * (l->low > 0.0 ? l->low : l->high);
        const double bad[] = {l->low - beyond, l->high * 1.001, (double)INFINITY};
        struct nxw_diagnosis d;
        assert_int_equal(check_of_kind(i, l->low, &d), NXW_OK);
        assert_int_equal(check_of_kind(i, l->high, &d), NXW_OK);
        for (int k = 0; k < 3; k++) {
            assert_int_equal(check_of_kind(i, bad[k], &d), NXW_ERROR_CASE);
            assert_string_equal(d.path, l->path);
        }
        assert_int_equal(check_of_kind(i, (double)NAN, &d),
                         OF_ITS_KIND[i].may_be_open ? NXW_OK : NXW_ERROR_CASE);
    }
}

/* A carrier may end never, and before the source begins; a table has at most 512 rows of numbers.
 */
static void numbers_at_all(void **state)
{
    (void)state;
    const struct limit l = {IN(carrier.until_s), 0.0, 0.0, "carrier"};
    static const double good[] = {-3.1536e7, 3.1536e7, (double)INFINITY};
    static const double bad[] = {-3.16e7, 3.16e7, -(double)INFINITY, (double)NAN};
    for (size_t i = 0; i < 3; i++)
        assert_int_equal(check_with(&l, good[i], NULL), NXW_OK);
    for (size_t i = 0; i < 4; i++)
        assert_int_equal(check_with(&l, bad[i], NULL), NXW_ERROR_CASE);
    struct nxw_case c;
    nxw_case_init(&c);
    c.source.kind = NXW_SOURCE_METERED;
    c.source.n_rows = NXW_SOURCE_ROWS_MAX + 1;
    assert_int_equal(nxw_case_check(&c, NULL), NXW_ERROR_CASE);
    c.source.n_rows = 2;
    c.source.rows[1].time_s = (double)INFINITY;
    assert_int_equal(nxw_case_check(&c, NULL), NXW_ERROR_CASE);
    c.source.rows[1].time_s = 1.0;
    c.source.rows[1].H2O_mol_s = (double)NAN;
    assert_int_equal(nxw_case_check(&c, NULL), NXW_ERROR_CASE);
    c.source.rows[1].H2O_mol_s = 0.0;
    assert_int_equal(nxw_case_check(&c, NULL), NXW_OK);
}

/* Shares of a metered gas up to 100 % together; rows that fall or hold a flow below 0 or above
 * 10 mol/s; no stage or nine; a constant that is no number, of the other sign or more than 1e9
 * times the highest that is plausible. */
static void what_goes_together(void **state)
{
    (void)state;
    struct nxw_case c;
    nxw_case_init(&c);
    c.source.kind = NXW_SOURCE_METERED;
    c.source.NO2_fraction = c.source.NO_fraction = 0.5;
    assert_int_equal(nxw_case_check(&c, NULL), NXW_OK);
    c.source.O2_fraction = 1e-6;
    assert_int_equal(nxw_case_check(&c, NULL), NXW_ERROR_CASE);
    c.source.kind = NXW_SOURCE_TABLE;
    c.source.n_rows = 1;
    assert_int_equal(nxw_case_check(&c, NULL), NXW_ERROR_CASE);
    c.source.n_rows = 2;
    assert_int_equal(nxw_case_check(&c, NULL), NXW_OK); /* a jump: two rows of one time */
    c.source.rows[1].time_s = -1.0;
    assert_int_equal(nxw_case_check(&c, NULL), NXW_ERROR_CASE);
    c.source.rows[1].time_s = 1.0;
    c.source.rows[1].HNO2_mol_s = -1e-9;
    assert_int_equal(nxw_case_check(&c, NULL), NXW_ERROR_CASE);
    c.source.rows[1].HNO2_mol_s = 10.0;
    assert_int_equal(nxw_case_check(&c, NULL), NXW_OK);
    c.source.rows[1].HNO2_mol_s = 10.01;
    assert_int_equal(nxw_case_check(&c, NULL), NXW_ERROR_CASE);
    nxw_case_init(&c);
    c.n_stages = 0;
    assert_int_equal(nxw_case_check(&c, NULL), NXW_ERROR_CASE);
    c.n_stages = NXW_STAGES_MAX + 1;
    assert_int_equal(nxw_case_check(&c, NULL), NXW_ERROR_CASE);
    nxw_case_init(&c);
    c.slices = NXW_SLICES_MAX + 1;
    assert_int_equal(nxw_case_check(&c, NULL), NXW_ERROR_CASE);
    nxw_case_init(&c);
    c.parameters.value[NXW_PARAMETER_COUNT - 1] = (double)NAN;
    assert_int_equal(nxw_case_check(&c, NULL), NXW_ERROR_CASE);
    nxw_case_init(&c);
    const double most = 1e9 * nxw_parameter_record(NXW_P_h_air)->high;
    c.parameters.value[NXW_P_h_air] = most;
    assert_int_equal(nxw_case_check(&c, NULL), NXW_OK);
    c.parameters.value[NXW_P_h_air] = 1.001 * most;
    assert_int_equal(nxw_case_check(&c, NULL), NXW_ERROR_CASE);
    c.parameters.value[NXW_P_h_air] = -1e-9;
    assert_int_equal(nxw_case_check(&c, NULL), NXW_ERROR_CASE);
}

/* An empty vessel needs no liquid and no tip. */
static void empty_vessel(void **state)
{
    (void)state;
    struct nxw_case c;
    nxw_case_init(&c);
    c.stages[0].liquid_m3 = c.stages[0].bore_m = -1.0;
    assert_int_equal(nxw_case_check(&c, NULL), NXW_ERROR_CASE);
    c.stages[0].kind = NXW_STAGE_EMPTY;
    assert_int_equal(nxw_case_check(&c, NULL), NXW_OK);
    c.stages[0].volume_m3 = 1e-6;
    assert_int_equal(nxw_case_check(&c, NULL), NXW_ERROR_CASE);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_limit),     cmocka_unit_test(each_limit_of_a_kind),
        cmocka_unit_test(numbers_at_all), cmocka_unit_test(what_goes_together),
        cmocka_unit_test(empty_vessel),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
