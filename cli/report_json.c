#include <jansson.h>
#include <math.h>

#include "report.h"

/* Sets a number; what is not a number is left out. */
static bool number(json_t *object, const char *key, double value)
{
    return !isfinite(value) || json_object_set_new(object, key, json_real(value)) == 0;
}

static bool stage_json(json_t *list, const struct nxw_stage_result *s)
{
    json_t *o = json_object();
    bool ok = o != NULL;
    ok = ok && number(o, "nitrate_mol", s->nitrate_mol);
    ok = ok && number(o, "nitrous_acid_mol", s->nitrous_acid_mol);
    ok = ok && number(o, "peroxide_mol", s->peroxide_mol);
    ok = ok && number(o, "liquid_m3", s->liquid_m3);
    ok = ok && number(o, "density_kg_m3", s->density_kg_m3);
    ok = ok && number(o, "strength_wt_pct", 100.0 * s->acid_mass_fraction);
    ok = ok && number(o, "temperature_K", s->temperature_K);
    ok = ok && number(o, "peak_temperature_K", s->peak_temperature_K);
    ok = ok && number(o, "ice_melted_kg", s->ice_melted_kg);
    return json_array_append_new(list, o) == 0 && ok;
}

static json_t *result_json(const struct nxw_result *r, bool *ok)
{
    json_t *o = json_object();
    *ok = o != NULL;
    *ok = *ok && number(o, "fed_mol", r->fed_mol);
    *ok = *ok && number(o, "kept_mol", r->kept_mol);
    *ok = *ok && number(o, "kept_HNO3_g", r->kept_mol * 63.012);
    *ok = *ok && number(o, "held_mol", r->held_mol);
    *ok = *ok && number(o, "escaped_mol", r->escaped_mol);
    *ok = *ok && number(o, "escaped_NO_mol", r->escaped_NO_mol);
    *ok = *ok && number(o, "escaped_NO2_mol", r->escaped_NO2_mol);
    *ok = *ok && number(o, "escaped_HNO2_mol", r->escaped_HNO2_mol);
    *ok = *ok && number(o, "escaped_HNO3_mol", r->escaped_HNO3_mol);
    *ok = *ok && number(o, "in_flight_mol", r->in_flight_mol);
    *ok = *ok && number(o, "nitrogen_closure", r->nitrogen_closure);
    *ok = *ok && number(o, "receiver_HNO3_mol", r->receiver_HNO3_mol);
    *ok = *ok && number(o, "end_s", r->end_s);
    return o;
}

bool nxw_report_json(FILE *out, const struct nxw_case *in, const struct nxw_case_notes *notes,
                     const struct nxw_result *r)
{
    json_t *all = json_object(), *stages = json_array(), *overrides = json_array();
    bool ok = all != NULL && stages != NULL && overrides != NULL, result_ok;
    for (size_t i = 0; i < notes->n_overrides && ok; i++)
        ok = json_array_append_new(overrides, json_string(nxw_parameter_record(notes->overrides[i])
                                                              ->key)) == 0;
    for (size_t i = 0; i < r->n_stages && ok; i++)
        ok = stage_json(stages, &r->stages[i]);
    json_t *result = result_json(r, &result_ok);
    ok = json_object_set_new(all, "schema", json_integer(1)) == 0 && ok && result_ok;
    ok = json_object_set_new(all, "program",
                             json_pack("{s:s, s:s}", "version", nxw_version(), "commit",
                                       nxw_commit())) == 0 && ok;
    ok = json_object_set_new(all, "constants",
                             json_pack("{s:s, s:s, s:o}", "version", nxw_parameter_version(),
                                       "hash", nxw_parameter_hash(), "overrides", overrides)) == 0 &&
         ok;
    ok = json_object_set_new(all, "case", json_pack("{s:s}", "name", in->name)) == 0 && ok;
    ok = json_object_set_new(all, "result", result) == 0 && ok;
    ok = json_object_set_new(all, "stages", stages) == 0 && ok;
    ok = json_object_set_new(all, "warnings", json_integer((json_int_t)r->warnings)) == 0 && ok;
    ok = json_object_set_new(all, "cautions",
                             json_string("An estimate only. Work in a hood, never close the train; "
                                         "local law and a qualified person decide.")) == 0 && ok;
    ok = json_object_set_new(all, "statistics",
                             json_pack("{s:I, s:I, s:I, s:f}", "steps",
                                       (json_int_t)r->statistics.steps, "right_hand_sides",
                                       (json_int_t)r->statistics.rhs, "jacobians",
                                       (json_int_t)r->statistics.jacobians, "ms",
                                       r->statistics.processor_ms)) == 0 && ok;
    if (ok)
        ok = json_dumpf(all, out, JSON_INDENT(2)) == 0 && fputc('\n', out) != EOF;
    json_decref(all);
    return ok;
}
