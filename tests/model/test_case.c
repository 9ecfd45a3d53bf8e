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
    {IN(stages[0].volume_m3), 150e-6, 20e-3, "train[1]"}, /* it holds 150 mL */
    {IN(stages[0].inner_diameter_m), 0.005, 0.5, "train[1]"},
    {IN(stages[0].wall_thickness_m), 0.0005, 0.02, "train[1]"},
    {IN(stages[0].bleed.flow_mol_s), 0.0, 0.1, "train[1]"},
    {IN(stages[0].liquid_m3), 1e-6, 250e-6, "train[1]"},
    {IN(stages[0].acid_mass_fraction), 0.0, 0.6, "train[1]"},
    {IN(stages[0].peroxide_mass_fraction), 0.0, 0.35, "train[1]"},
    {IN(stages[0].bath_temperature_K), 263.15, 343.15, "train[1]"},
    {IN(stages[0].bore_m), 1e-6, 0.05, "train[1]"},
    {IN(stages[0].holes), 1.0, 1000.0, "train[1]"},
    {IN(stages[0].ice_kg), 0.0, 50.0, "train[1]"}};

static enum nxw_status check_with(const struct limit *l, double value, struct nxw_diagnosis *d)
{
    struct nxw_case c;
    nxw_case_init(&c);
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

/* Shares of a metered gas up to 100 % together; rows that fall or hold a flow below nothing; no
 * stage or nine; a constant that is no number. */
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
        cmocka_unit_test(each_limit),
        cmocka_unit_test(what_goes_together),
        cmocka_unit_test(empty_vessel),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
