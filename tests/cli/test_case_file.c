/* Case files: a full one by value, starters and shipped cases, and the round trip of all. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "../assert_near.h"
#include "case/case_file.h"
#include "case/new_case.h"
#include "case/resolved.h"

static const char *shipped_folder; /* params/cases, from the command line */
static const char *table_folder;   /* a folder that may be written to */

static void read_text(const char *text, const char *path, struct nxw_case *out,
                      struct nxw_case_notes *notes)
{
    struct nxw_fault_list faults = {0};
    const int status = nxw_case_text_read(text, strlen(text), false, path, out, notes, &faults);
    nxw_faults_print(stderr, path, &faults);
    nxw_fault_list_free(&faults);
    assert_int_equal(status, 0);
}

/* NAN stands for "left out" and infinity for "to the end": both must come back as such. */
static void same_value(double got, double want)
{
    if (isnan(want))
        assert_true(isnan(got));
    else if (isinf(want))
        assert_true(isinf(got));
    else
        assert_near(got, want, 1e-12 * fabs(want));
}

static void same_carrier(const struct nxw_carrier *a, const struct nxw_carrier *b)
{
    assert_int_equal(a->gas, b->gas);
    same_value(a->flow_mol_s, b->flow_mol_s);
    same_value(a->from_s, b->from_s);
    same_value(a->until_s, b->until_s);
}

static void same_stage(const struct nxw_stage *a, const struct nxw_stage *b)
{
    assert_int_equal(a->kind, b->kind);
    same_value(a->volume_m3, b->volume_m3);
    same_value(a->inner_diameter_m, b->inner_diameter_m);
    same_value(a->wall_thickness_m, b->wall_thickness_m);
    same_value(a->liquid_m3, b->liquid_m3);
    same_value(a->acid_mass_fraction, b->acid_mass_fraction);
    same_value(a->peroxide_mass_fraction, b->peroxide_mass_fraction);
    same_value(a->strong_acid_mol_m3, b->strong_acid_mol_m3);
    same_value(a->liquid_temperature_K, b->liquid_temperature_K);
    assert_int_equal(a->tip, b->tip);
    same_value(a->bore_m, b->bore_m);
    same_value(a->holes, b->holes);
    same_value(a->frit_diameter_m, b->frit_diameter_m);
    same_value(a->bubble_diameter_m, b->bubble_diameter_m);
    same_value(a->tip_clearance_m, b->tip_clearance_m);
    same_value(a->depth_m, b->depth_m);
    assert_int_equal(a->no_surface, b->no_surface);
    assert_int_equal(a->bath, b->bath);
    same_value(a->bath_temperature_K, b->bath_temperature_K);
    same_value(a->ice_kg, b->ice_kg);
    same_value(a->bath_water_kg, b->bath_water_kg);
    assert_int_equal(a->bath_stirred, b->bath_stirred);
    same_value(a->UA_W_K, b->UA_W_K);
    same_carrier(&a->bleed, &b->bleed);
}

static void same_source(const struct nxw_source *a, const struct nxw_source *b)
{
    assert_int_equal(a->kind, b->kind);
    assert_int_equal(a->shape, b->shape);
    same_value(a->duration_s, b->duration_s);
    same_value(a->temperature_K, b->temperature_K);
    same_value(a->acid_made_mol, b->acid_made_mol);
    same_value(a->decomposed_fraction, b->decomposed_fraction);
    same_value(a->condenser_temperature_K, b->condenser_temperature_K);
    same_value(a->condensate_mass_fraction, b->condensate_mass_fraction);
    same_value(a->metal_mol, b->metal_mol);
    same_value(a->metal_valence, b->metal_valence);
    same_value(a->NO2_route_fraction, b->NO2_route_fraction);
    same_value(a->flow_mol_s, b->flow_mol_s);
    same_value(a->NO2_fraction, b->NO2_fraction);
    same_value(a->NO_fraction, b->NO_fraction);
    same_value(a->O2_fraction, b->O2_fraction);
    assert_int_equal(a->n_rows, b->n_rows);
    for (size_t i = 0; i < a->n_rows; i++) {
        const struct nxw_source_row *x = &a->rows[i], *y = &b->rows[i];
        same_value(x->time_s, y->time_s);
        same_value(x->NO_mol_s, y->NO_mol_s);
        same_value(x->NO2_mol_s, y->NO2_mol_s);
        same_value(x->HNO2_mol_s, y->HNO2_mol_s);
        same_value(x->HNO3_mol_s, y->HNO3_mol_s);
        same_value(x->O2_mol_s, y->O2_mol_s);
        same_value(x->inert_mol_s, y->inert_mol_s);
        same_value(x->H2O_mol_s, y->H2O_mol_s);
    }
}

static void same_case(const struct nxw_case *a, const struct nxw_case *b)
{
    assert_string_equal(a->name, b->name);
    same_source(&a->source, &b->source);
    same_carrier(&a->carrier, &b->carrier);
    assert_int_equal(a->n_stages, b->n_stages);
    for (size_t i = 0; i < a->n_stages; i++)
        same_stage(&a->stages[i], &b->stages[i]);
    same_value(a->vent_bore_m, b->vent_bore_m);
    same_value(a->vent_length_m, b->vent_length_m);
    assert_int_equal(a->vent_closed, b->vent_closed);
    same_value(a->hood_flow_m3_s, b->hood_flow_m3_s);
    same_value(a->standing_s, b->standing_s);
    same_value(a->surroundings_temperature_K, b->surroundings_temperature_K);
    same_value(a->surroundings_pressure_Pa, b->surroundings_pressure_Pa);
    same_value(a->vessel_volume_m3, b->vessel_volume_m3);
    same_value(a->vessel_hot_K, b->vessel_hot_K);
    same_value(a->vessel_cool_K, b->vessel_cool_K);
    same_value(a->relative_tolerance, b->relative_tolerance);
    assert_int_equal(a->slices, b->slices);
    assert_int_equal(a->isothermal, b->isothermal);
    assert_int_equal(a->physical_absorption_only, b->physical_absorption_only);
    for (size_t i = 0; i < NXW_PARAMETER_COUNT; i++)
        same_value(a->parameters.value[i], b->parameters.value[i]);
}

static void round_trip(const struct nxw_case *in, const struct nxw_case_notes *notes,
                       const char *path)
{
    char *text = calloc(1, 65536);
    assert_non_null(text);
    FILE *file = tmpfile();
    assert_non_null(file);
    assert_true(nxw_resolved_print(file, in, notes, NULL));
    rewind(file);
    const size_t n = fread(text, 1, 65535, file);
    assert_true(n > 0);
    (void)fclose(file);
    struct nxw_case back;
    struct nxw_case_notes back_notes;
    read_text(text, path, &back, &back_notes);
    same_case(&back, in);
    assert_int_equal(back_notes.aim, notes->aim);
    assert_string_equal(back_notes.currency, notes->currency);
    for (size_t i = 0; i < NXW_PRICE_COUNT; i++)
        same_value(back_notes.prices[i].amount, notes->prices[i].amount);
    free(text);
}

static const char FULL[] = "name: \"all keys: \\\"here\\\"\"\n"
                           "aim: acid\n"
                           "source:\n"
                           "  kind: acid vapour\n"
                           "  acid made: 37.8072 g\n"
                           "  decomposed: 33.3 %\n"
                           "  duration: 40 min\n"
                           "  shape: steady\n"
                           "  temperature: 31.7 degC\n"
                           "  condenser temperature: 9 degC\n"
                           "  condensate: 61 wt%\n"
                           "carrier: {gas: nitrogen, flow: 0.3 L/min, from: 2 min, until: 1 h}\n"
                           "vessel: {volume: 300 mL, hot: 121 degC, cool: 25 degC}\n"
                           "train:\n"
                           "  - glass: empty trap 100 mL\n"
                           "    bath: {kind: water, temperature: 12 degC, stirred: yes}\n"
                           "  - volume: 333 mL\n"
                           "    inner diameter: 6.1 cm\n"
                           "    liquid: 0.2 L\n"
                           "    acid: 5 wt%\n"
                           "    strong acid: 0.1 mol/L\n"
                           "    peroxide: 10 volumes\n"
                           "    temperature: 4 degC\n"
                           "    tip: {kind: frit, grade: POR 1, diameter: 25 mm, depth: 40 mm}\n"
                           "    bath: {kind: ice water, ice: 400 g, water: 0.8 kg, UA: 3 W/K}\n"
                           "    bleed: {gas: oxygen, flow: 10 mL/min}\n"
                           "  - tip: {bubble diameter: 2.5 mm}\n"
                           "    no surface: yes\n"
                           "  - tip: {kind: holes, bore: 1 mm, holes: 12, clearance: 3 mm}\n"
                           "vent: {bore: 5 mm, length: 7 cm, closed: yes}\n"
                           "hood: {flow: 9.7 m3/min}\n"
                           "after: {standing: 0.3 d}\n"
                           "surroundings: {temperature: 18.3 degC, pressure: 740 mmHg}\n"
                           "prices: {peroxide: 4.1 EUR per L, ice: 0.2 per kg, energy: 0.3/kWh}\n"
                           "numerics: {relative tolerance: 3e-7, slices: 16, isothermal: yes,\n"
                           "           physical absorption only: yes}\n";

static void a_full_case_by_value(void **state)
{
    (void)state;
    struct nxw_case got;
    struct nxw_case_notes notes;
    read_text(FULL, "full.yaml", &got, &notes);
    assert_string_equal(got.name, "all keys: \"here\"");
    assert_int_equal(notes.aim, NXW_AIM_ACID);
    assert_relative(got.source.acid_made_mol, 0.6, 1e-12);
    assert_relative(notes.acid_made_kg, 0.0378072, 1e-12);
    assert_relative(got.source.condenser_temperature_K, 282.15, 1e-15);
    assert_int_equal(got.carrier.gas, NXW_GAS_NITROGEN);
    assert_near(got.carrier.until_s, 3600.0, 1e-9);
    assert_int_equal(got.n_stages, 4);
    assert_int_equal(got.stages[0].kind, NXW_STAGE_EMPTY);
    assert_near(got.stages[0].liquid_m3, 0.0, 0.0);
    assert_true(got.stages[0].bath_stirred);
    assert_near(got.stages[1].bore_m, 160e-6, 1e-18);
    assert_near(got.stages[1].depth_m, 0.04, 1e-16);
    assert_near(got.stages[1].bath_water_kg, 0.8, 1e-16);
    assert_int_equal(got.stages[2].tip, NXW_TIP_BUBBLE_DIAMETER);
    assert_near(got.stages[2].liquid_m3, 150e-6, 1e-18);          /* 60 % of 250 mL */
    assert_near(got.stages[2].bath_temperature_K, 291.45, 1e-12); /* the surroundings' */
    assert_near(got.stages[3].holes, 12.0, 0.0);
    assert_near(notes.prices[NXW_PRICE_PEROXIDE].amount, 4.1, 1e-15);
    assert_string_equal(notes.currency, "EUR");
    round_trip(&got, &notes, "full.yaml");
}

static void steps_of_a_metered_source(void **state)
{
    (void)state;
    struct nxw_case got;
    struct nxw_case_notes notes;
    read_text("source:\n  kind: metered\n  duration: 30 min\n  steps:\n"
              "    - {from: 0 min, flow: 0.1 L/min, NO2: 5 %, O2: 20 %}\n"
              "    - {from: 7 min, flow: 0 L/min}\n"
              "    - {from: 10 min, flow: 0.3 L/min, NO: 700 ppm}\n",
              "steps.yaml", &got, &notes);
    assert_int_equal(got.source.n_rows, 8);
    assert_near(got.source.rows[2].time_s, 420.0, 1e-9);
    assert_relative(got.source.rows[2].NO2_mol_s / got.source.rows[2].inert_mol_s, 5.0 / 75.0,
                    1e-12);
    assert_near(got.source.rows[3].inert_mol_s, 0.0, 0.0);
    round_trip(&got, &notes, "steps.yaml");
}

static void json_reads_as_yaml_does(void **state)
{
    (void)state;
    static const char yaml[] = "source: {kind: metal, metal: copper, mass: 10 g, duration: 9 min}\n"
                               "numerics: {slices: 12}\naim: acid\n";
    static const char json[] =
        "{\"source\":{\"kind\":\"metal\",\"metal\":\"copper\",\"mass\":\"10 g\","
        "\"duration\":\"9 min\"},\n\"numerics\":{\"slices\":12},\"aim\":\"acid\"}";
    struct nxw_case a, b;
    struct nxw_case_notes notes;
    struct nxw_fault_list faults = {0};
    read_text(yaml, "a.yaml", &a, &notes);
    assert_int_equal(nxw_case_text_read(json, strlen(json), true, "a.json", &b, &notes, &faults),
                     0);
    assert_int_equal(notes.aim, NXW_AIM_ACID);
    same_case(&b, &a);
    assert_relative(a.source.metal_mol, 10.0 / 63.546, 1e-12);
}

static void marks_and_line_ends(void **state)
{
    (void)state;
    struct nxw_case got;
    struct nxw_case_notes notes;
    read_text("\xef\xbb\xbfsource:\r\n  kind: metal\r\n  metal: silver\r\n  mass: 1 g\r\n"
              "  duration: 5 min\r\n",
              "crlf.yaml", &got, &notes);
    assert_int_equal(got.source.kind, NXW_SOURCE_METAL);
}

static void starters_are_valid(void **state)
{
    (void)state;
    char path[4096];
    (void)snprintf(path, sizeof path, "%s/%s", table_folder, nxw_new_case_table_name);
    FILE *table = fopen(path, "w");
    assert_non_null(table);
    assert_true(fputs(nxw_new_case_table_text(), table) >= 0);
    assert_int_equal(fclose(table), 0);
    (void)snprintf(path, sizeof path, "%s/starter.yaml", table_folder);
    for (int i = 0; i < NXW_NEW_CASE_KINDS; i++) {
        struct nxw_case got;
        struct nxw_case_notes notes;
        read_text(nxw_new_case_text((enum nxw_source_kind)i), path, &got, &notes);
        assert_int_equal(got.source.kind, i);
        round_trip(&got, &notes, path);
    }
}

static void a_shape_from_a_file(void **state)
{
    (void)state;
    char path[4096];
    (void)snprintf(path, sizeof path, "%s/shape.csv", table_folder);
    FILE *table = fopen(path, "w");
    assert_non_null(table);
    assert_true(fputs("time_s,strength\n0, 0\r\n60,1\n# half\n120,0.5\n", table) >= 0);
    assert_int_equal(fclose(table), 0);
    (void)snprintf(path, sizeof path, "%s/starter.yaml", table_folder);
    struct nxw_case got;
    struct nxw_case_notes notes;
    read_text("source: {kind: metal, metal: zinc, mass: 2 g, duration: 2 min, shape: file,\n"
              "         file: shape.csv}\n",
              path, &got, &notes);
    assert_int_equal(got.source.shape, NXW_SHAPE_TABLE);
    assert_int_equal(got.source.n_rows, 3);
    assert_near(got.source.rows[2].time_s, 120.0, 0.0);
    assert_near(got.source.rows[2].inert_mol_s, 0.5, 0.0);
    round_trip(&got, &notes, path);
}

static void shipped_cases_are_valid(void **state)
{
    (void)state;
    static const char *const names[] = {"assay", "still", "lecture"};
    static const char *const variants[] = {"", "-iced", "-peroxide"};
    for (size_t i = 0; i < 3; i++)
        for (size_t j = 0; j < 3; j++) {
            char path[4096];
            (void)snprintf(path, sizeof path, "%s/%s%s.yaml", shipped_folder, names[i],
                           variants[j]);
            struct nxw_case got;
            struct nxw_case_notes notes;
            struct nxw_fault_list faults = {0};
            const int status = nxw_case_file_read(path, NXW_PATH_FROM_FILE, &got, &notes, &faults);
            nxw_faults_print(stderr, path, &faults);
            nxw_fault_list_free(&faults);
            assert_int_equal(status, 0);
            round_trip(&got, &notes, path);
        }
}

static void a_path_can_be_set(void **state)
{
    (void)state;
    struct nxw_node *tree = NULL;
    struct nxw_fault_list faults = {0};
    static const char text[] = "source: {kind: metal, metal: copper, mass: 10 g, duration: 9 min}\n"
                               "train: [{liquid: 100 mL}]\n";
    assert_int_equal(nxw_tree_read_text(text, strlen(text), false, &tree, &faults), NXW_READ_OK);
    assert_true(nxw_tree_set(tree, "train[1].liquid", "120 mL"));
    assert_true(nxw_tree_set(tree, "train[1].bath.kind", "water"));
    assert_true(nxw_tree_set(tree, "source.NO2 share", "70 %"));
    assert_false(nxw_tree_set(tree, "train[2].liquid", "120 mL"));
    assert_false(nxw_tree_set(tree, "train[0].liquid", "120 mL"));
    assert_false(nxw_tree_set(tree, "source", "120 mL"));
    struct nxw_case got;
    struct nxw_case_notes notes;
    assert_int_equal(nxw_case_from_tree(tree, "a.yaml", &got, &notes, &faults), 0);
    assert_near(got.stages[0].liquid_m3, 120e-6, 1e-18);
    assert_int_equal(got.stages[0].bath, NXW_BATH_WATER);
    assert_near(got.source.NO2_route_fraction, 0.7, 1e-15);
    nxw_tree_free(tree);
}

static void a_missing_file_is_no_bad_case(void **state)
{
    (void)state;
    struct nxw_case got;
    struct nxw_case_notes notes;
    struct nxw_fault_list faults = {0};
    assert_int_equal(
        nxw_case_file_read("/not/there.yaml", NXW_PATH_FROM_FILE, &got, &notes, &faults), 6);
    assert_int_equal(faults.n, 1);
    nxw_fault_list_free(&faults);
}

/* use: test_case_file SHIPPED-CASES-FOLDER WRITABLE-FOLDER */
/* An empty vessel needs its volume alone: a cylinder twice as tall as wide holds it. */
static void an_empty_vessel_by_volume(void **state)
{
    (void)state;
    struct nxw_case got;
    struct nxw_case_notes notes;
    read_text("source: {kind: metal, metal: zinc, mass: 2 g, duration: 2 min}\n"
              "train: [{kind: empty, volume: 250 mL}]\n",
              "empty.yaml", &got, &notes);
    assert_int_equal(got.stages[0].kind, NXW_STAGE_EMPTY);
    const double d_m = got.stages[0].inner_diameter_m;
    assert_near(acos(-1.0) / 4.0 * d_m * d_m * 2.0 * d_m, 250e-6, 1e-15);
}

int main(int argc, char **argv)
{
    if (argc != 3) {
        (void)fputs("use: test_case_file SHIPPED-CASES-FOLDER WRITABLE-FOLDER\n", stderr);
        return 2;
    }
    shipped_folder = argv[1];
    table_folder = argv[2];
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_full_case_by_value),
        cmocka_unit_test(steps_of_a_metered_source),
        cmocka_unit_test(json_reads_as_yaml_does),
        cmocka_unit_test(marks_and_line_ends),
        cmocka_unit_test(starters_are_valid),
        cmocka_unit_test(a_shape_from_a_file),
        cmocka_unit_test(shipped_cases_are_valid),
        cmocka_unit_test(a_path_can_be_set),
        cmocka_unit_test(a_missing_file_is_no_bad_case),
        cmocka_unit_test(an_empty_vessel_by_volume),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
