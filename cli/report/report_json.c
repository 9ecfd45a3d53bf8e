#include "report/report_json.h"

#include <math.h>

#include "base/constant_kinds.h"
#include "base/text_layout.h"
#include "case/case_fields.h"
#include "case/exposure_limits.h"
#include "command/json_document.h"
#include "report/statistics_report.h"
#include "report/worst_case_report.h"
#include "words/interval_json.h"
#include "words/run_words.h"
#include "words/warning_text.h"

#define NUMBER(object, name, value) nxw_json_number(j, object, name, value)
#define MEMBER(object, from, name) nxw_json_number(j, object, #name, (from)->name)

/* More on the constants than every document tells. */
static void constants(struct nxw_json *j, json_t *o, const struct nxw_report *report)
{
    json_t *overrides = nxw_json_object(j);
    nxw_json_integer(j, o, "count", (long)nxw_parameter_count());
    nxw_json_integer(j, o, "from_memory_or_judgement", (long)nxw_unproven_constants());
    for (size_t i = 0; i < report->notes->n_overrides; i++) {
        const size_t index = report->notes->overrides[i];
        NUMBER(overrides, nxw_parameter_record(index)->key, report->in->parameters.value[index]);
    }
    nxw_json_put(j, o, "overrides", overrides);
}

static json_t *carrier(struct nxw_json *j, const struct nxw_carrier *c)
{
    json_t *o = nxw_json_object(j);
    nxw_json_text(j, o, "gas", nxw_words_gas[c->gas]);
    MEMBER(o, c, flow_mol_s);
    MEMBER(o, c, from_s);
    MEMBER(o, c, until_s); /* null: to the end */
    return o;
}

static json_t *source(struct nxw_json *j, const struct nxw_report *report)
{
    const struct nxw_source *s = &report->in->source;
    json_t *o = nxw_json_object(j);
    nxw_json_text(j, o, "kind", nxw_words_source[s->kind]);
    nxw_json_text(j, o, "shape", nxw_words_shape[s->shape]);
    MEMBER(o, s, duration_s);
    MEMBER(o, s, temperature_K);
    switch (s->kind) {
    case NXW_SOURCE_ACID_VAPOUR:
        MEMBER(o, s, acid_made_mol);
        MEMBER(o, s, decomposed_fraction);
        MEMBER(o, s, condenser_temperature_K);
        MEMBER(o, s, condensate_mass_fraction);
        break;
    case NXW_SOURCE_METAL:
        nxw_json_text(j, o, "metal", report->notes->metal);
        MEMBER(o, s, metal_mol);
        MEMBER(o, s, metal_valence);
        MEMBER(o, s, NO2_route_fraction);
        break;
    case NXW_SOURCE_METERED:
        MEMBER(o, s, flow_mol_s);
        MEMBER(o, s, NO2_fraction);
        MEMBER(o, s, NO_fraction);
        MEMBER(o, s, O2_fraction);
        break;
    case NXW_SOURCE_TABLE:
        nxw_json_text(j, o, "file", report->notes->source_file);
        break;
    }
    nxw_json_integer(j, o, "rows", (long)s->n_rows);
    return o;
}

static json_t *stage_case(struct nxw_json *j, const struct nxw_report *report, size_t i)
{
    const struct nxw_stage *s = &report->in->stages[i];
    json_t *o = nxw_json_object(j);
    nxw_json_text(j, o, "kind", nxw_words_stage[s->kind]);
    nxw_json_text(j, o, "glass", report->notes->glass[i]);
    MEMBER(o, s, volume_m3);
    MEMBER(o, s, inner_diameter_m);
    MEMBER(o, s, wall_thickness_m);
    if (s->kind == NXW_STAGE_BOTTLE) {
        MEMBER(o, s, liquid_m3);
        MEMBER(o, s, acid_mass_fraction);
        MEMBER(o, s, peroxide_mass_fraction);
        MEMBER(o, s, strong_acid_mol_m3);
        MEMBER(o, s, liquid_temperature_K); /* null: the bath's */
        nxw_json_text(j, o, "tip", nxw_words_tip[s->tip]);
        MEMBER(o, s, bore_m);
        MEMBER(o, s, holes);
        MEMBER(o, s, frit_diameter_m);
        MEMBER(o, s, bubble_diameter_m);
        MEMBER(o, s, tip_clearance_m);
        MEMBER(o, s, depth_m); /* null: from level and clearance */
    }
    nxw_json_text(j, o, "bath", nxw_words_bath[s->bath]);
    MEMBER(o, s, bath_temperature_K);
    MEMBER(o, s, ice_kg);
    MEMBER(o, s, bath_water_kg);
    nxw_json_flag(j, o, "bath_stirred", s->bath_stirred);
    MEMBER(o, s, UA_W_K);
    nxw_json_put(j, o, "bleed", carrier(j, &s->bleed));
    return o;
}

static json_t *resolved_case(struct nxw_json *j, const struct nxw_report *report)
{
    const struct nxw_case *in = report->in;
    json_t *o = nxw_json_object(j), *train = nxw_json_array(j);
    nxw_json_text(j, o, "path", report->path);
    nxw_json_text(j, o, "name", in->name);
    nxw_json_text(j, o, "aim", nxw_words_aim[report->notes->aim]);
    nxw_json_put(j, o, "source", source(j, report));
    nxw_json_put(j, o, "carrier", carrier(j, &in->carrier));
    for (size_t i = 0; i < in->n_stages; i++)
        nxw_json_add(j, train, stage_case(j, report, i));
    nxw_json_put(j, o, "train", train);
    MEMBER(o, in, vent_bore_m);
    MEMBER(o, in, vent_length_m);
    nxw_json_flag(j, o, "vent_closed", in->vent_closed);
    MEMBER(o, in, hood_flow_m3_s);
    MEMBER(o, in, standing_s);
    MEMBER(o, in, surroundings_temperature_K);
    MEMBER(o, in, surroundings_pressure_Pa);
    MEMBER(o, in, vessel_volume_m3);
    MEMBER(o, in, vessel_hot_K);
    MEMBER(o, in, vessel_cool_K);
    MEMBER(o, in, relative_tolerance);
    nxw_json_integer(j, o, "slices", (long)in->slices);
    return o;
}

static void put_amounts(struct nxw_json *j, json_t *o, const struct nxw_result *r)
{
    double nitrous_mol = 0.0, used_mol = 0.0, left_mol = 0.0, melted_kg = 0.0;
    for (size_t i = 0; i < r->n_stages; i++) {
        nitrous_mol += r->stages[i].nitrous_acid_mol;
        used_mol += r->stages[i].peroxide_start_mol - r->stages[i].peroxide_mol;
        left_mol += r->stages[i].peroxide_mol;
        melted_kg += r->stages[i].ice_start_kg > 0.0 ? r->stages[i].ice_melted_kg : 0.0;
    }
    MEMBER(o, r, fed_mol);
    MEMBER(o, r, fed_NO_mol);
    MEMBER(o, r, fed_NO2_mol);
    MEMBER(o, r, fed_HNO2_mol);
    MEMBER(o, r, fed_HNO3_mol);
    MEMBER(o, r, fed_O2_mol);
    MEMBER(o, r, kept_mol);
    NUMBER(o, "kept_HNO3_g", r->kept_mol * NXW_MOLAR_MASS_HNO3_KG_MOL * 1e3);
    NUMBER(o, "kept_fraction", r->kept_mol / r->fed_mol);
    MEMBER(o, r, held_mol);
    NUMBER(o, "nitrous_acid_mol", nitrous_mol);
    MEMBER(o, r, escaped_mol);
    NUMBER(o, "escaped_fraction", r->escaped_mol / r->fed_mol);
    MEMBER(o, r, escaped_NO_mol);
    MEMBER(o, r, escaped_NO2_mol);
    MEMBER(o, r, escaped_HNO2_mol);
    MEMBER(o, r, escaped_HNO3_mol);
    NUMBER(o, "escaped_NO_g", r->escaped_NO_mol * NXW_MOLAR_MASS_NO_KG_MOL * 1e3);
    NUMBER(o, "escaped_NO2_g", r->escaped_NO2_mol * NXW_MOLAR_MASS_NO2_KG_MOL * 1e3);
    NUMBER(o, "escaped_HNO2_g", r->escaped_HNO2_mol * NXW_MOLAR_MASS_HNO2_KG_MOL * 1e3);
    NUMBER(o, "escaped_HNO3_g", r->escaped_HNO3_mol * NXW_MOLAR_MASS_HNO3_KG_MOL * 1e3);
    MEMBER(o, r, in_flight_mol);
    NUMBER(o, "peroxide_used_mol", used_mol);
    NUMBER(o, "peroxide_left_mol", left_mol);
    NUMBER(o, "ice_melted_kg", melted_kg);
}

static void put_vent(struct nxw_json *j, json_t *o, const struct nxw_result *r, bool has_hood)
{
    NUMBER(o, "vent_peak_NO_mg_min", r->vent_peak_NO_kg_s * NXW_MG_MIN);
    NUMBER(o, "vent_peak_NO2_mg_min", r->vent_peak_NO2_kg_s * NXW_MG_MIN);
    NUMBER(o, "vent_mean15_NO_mg_min", r->vent_mean15_NO_kg_s * NXW_MG_MIN);
    NUMBER(o, "vent_mean15_NO2_mg_min", r->vent_mean15_NO2_kg_s * NXW_MG_MIN);
    NUMBER(o, "vent_peak_NO_ppm", r->vent_peak_NO_fraction * 1e6);
    NUMBER(o, "vent_peak_NO2_ppm", r->vent_peak_NO2_fraction * 1e6);
    MEMBER(o, r, vent_time_above_s);
    if (!has_hood)
        return;
    NUMBER(o, "hood_peak_NO_ppm", r->hood_peak_NO_fraction * 1e6);
    NUMBER(o, "hood_peak_NO2_ppm", r->hood_peak_NO2_fraction * 1e6);
    NUMBER(o, "hood_mean15_NO_ppm", r->hood_mean15_NO_fraction * 1e6);
    NUMBER(o, "hood_mean15_NO2_ppm", r->hood_mean15_NO2_fraction * 1e6);
}

/* null: not known without the vessel */
static json_t *glass(struct nxw_json *j, const struct nxw_glass_result *g)
{
    json_t *o = nxw_json_object(j);
    MEMBER(o, g, gauge_peak_Pa);
    MEMBER(o, g, joint_bears_Pa);
    MEMBER(o, g, vent_loss_Pa);
    MEMBER(o, g, vapour_share);
    MEMBER(o, g, dissolved_share);
    MEMBER(o, g, suck_back_m3);
    MEMBER(o, g, liquid_at_risk_m3);
    MEMBER(o, g, peroxide_at_risk_mol);
    MEMBER(o, g, crest_needed_m);
    MEMBER(o, g, crest_m);
    MEMBER(o, g, trap_needed_m3);
    MEMBER(o, g, trap_m3);
    MEMBER(o, g, carrier_needed_mol_s);
    MEMBER(o, g, carrier_needed_s);
    MEMBER(o, g, carrier_mol_s);
    MEMBER(o, g, carrier_s);
    MEMBER(o, g, blocked_vent_Pa_s);
    MEMBER(o, g, blocked_vent_s);
    MEMBER(o, g, blocked_tip_Pa_s);
    MEMBER(o, g, blocked_tip_s);
    NUMBER(o, "hood_stopped_NO_ppm_min", g->hood_stopped_NO_1_s * 6e7);
    NUMBER(o, "hood_stopped_NO2_ppm_min", g->hood_stopped_NO2_1_s * 6e7);
    return o;
}

static json_t *result(struct nxw_json *j, const struct nxw_case *in, const struct nxw_result *r)
{
    json_t *o = nxw_json_object(j), *why = nxw_json_object(j);
    nxw_json_integer(j, o, "status", (long)r->status);
    nxw_json_text(j, o, "status_text", nxw_status_text(r->status));
    MEMBER(o, r, end_s);
    put_amounts(j, o, r);
    MEMBER(o, r, nitrogen_closure);
    MEMBER(o, r, oxygen_closure);
    MEMBER(o, r, hydrogen_closure);
    MEMBER(o, r, heat_closure);
    const size_t i = nxw_first_bottle(in);
    if (i < r->n_stages) { /* of the first bottle; the others: stages */
        NUMBER(o, "strength_wt_pct", r->stages[i].acid_mass_fraction * 100.0);
        NUMBER(o, "strength_mol_L", r->stages[i].acid_mol_m3 * 1e-3);
        MEMBER(o, &r->stages[i], density_kg_m3);
        MEMBER(o, &r->stages[i], density_reference_kg_m3);
        MEMBER(o, &r->stages[i], liquid_m3);
        MEMBER(o, &r->stages[i], peak_temperature_K);
    }
    MEMBER(o, r, receiver_HNO3_mol);
    if (r->receiver_HNO3_mol > 0.0) {
        MEMBER(o, r, receiver_mass_fraction);
        NUMBER(o, "extra_yield_fraction", r->kept_mol / r->receiver_HNO3_mol);
    }
    put_vent(j, o, r, in->hood_flow_m3_s > 0.0);
    for (size_t k = 0; k < NXW_WHY_COUNT; k++)
        NUMBER(why, nxw_why_words[k].name, nxw_why_mol(&r->why, k));
    nxw_json_put(j, o, "why", why);
    nxw_json_put(j, o, "glass", glass(j, &r->glass));
    return o;
}

static json_t *stage_result(struct nxw_json *j, const struct nxw_stage_result *s)
{
    json_t *o = nxw_json_object(j);
    MEMBER(o, s, entered_NO_mol);
    MEMBER(o, s, entered_NO2_mol);
    MEMBER(o, s, entered_HNO2_mol);
    MEMBER(o, s, entered_HNO3_mol);
    MEMBER(o, s, left_NO_mol);
    MEMBER(o, s, left_NO2_mol);
    MEMBER(o, s, left_HNO2_mol);
    MEMBER(o, s, left_HNO3_mol);
    MEMBER(o, s, nitrate_start_mol);
    MEMBER(o, s, nitrate_mol);
    MEMBER(o, s, nitrous_acid_mol);
    MEMBER(o, s, HOONO_mol);
    MEMBER(o, s, NO_aq_mol);
    MEMBER(o, s, NO2_aq_mol);
    MEMBER(o, s, in_flight_mol);
    MEMBER(o, s, gas_m3);
    MEMBER(o, s, peroxide_start_mol);
    MEMBER(o, s, peroxide_mol);
    MEMBER(o, s, peroxide_spent_at_s); /* null: never */
    MEMBER(o, s, water_mol);
    MEMBER(o, s, liquid_m3);
    MEMBER(o, s, density_kg_m3);
    MEMBER(o, s, density_reference_kg_m3);
    NUMBER(o, "strength_wt_pct", s->acid_mass_fraction * 100.0);
    NUMBER(o, "strength_mol_L", s->acid_mol_m3 * 1e-3);
    MEMBER(o, s, temperature_K);
    MEMBER(o, s, peak_temperature_K);
    MEMBER(o, s, peak_at_s);
    MEMBER(o, s, ice_start_kg);
    MEMBER(o, s, ice_left_kg);
    MEMBER(o, s, ice_melted_kg);
    MEMBER(o, s, bubble_diameter_m);
    MEMBER(o, s, bubble_residence_s);
    MEMBER(o, s, depth_m);
    MEMBER(o, s, peak_HNO2_mol_m3);
    MEMBER(o, s, peak_NO2_headspace_fraction);
    MEMBER(o, s, fizz_mol);
    MEMBER(o, s, drawn_back_mol);
    MEMBER(o, s, heat_lost_J);
    MEMBER(o, s, heat_stored_J);
    MEMBER(o, s, heat_booked_J);
    MEMBER(o, s, tip_flow_m3_s);
    MEMBER(o, s, tip_jet_flow_m3_s); /* null: not known */
    MEMBER(o, s, tip_holes_blowing);
    MEMBER(o, s, head_Pa);
    MEMBER(o, s, capillary_Pa);
    MEMBER(o, s, flow_loss_Pa);
    MEMBER(o, s, gauge_Pa);
    MEMBER(o, s, tube_crest_m);
    MEMBER(o, s, liquid_drawn_m3);
    MEMBER(o, s, peroxide_drawn_mol);
    MEMBER(o, s, between_needed_m3);
    MEMBER(o, s, short_of_gas_mol_s);
    return o;
}

static void put_lists(struct nxw_json *j, json_t *root, const struct nxw_report *report)
{
    const struct nxw_case *in = report->in;
    const struct nxw_result *r = report->result;
    json_t *stages = nxw_json_array(j), *events = nxw_json_array(j);
    json_t *warnings = nxw_json_array(j);
    for (size_t i = 0; i < r->n_stages; i++)
        nxw_json_add(j, stages, stage_result(j, &r->stages[i]));
    for (size_t i = 0; i < r->n_events; i++) {
        json_t *o = nxw_json_object(j);
        const struct nxw_word *word = nxw_event_word(r->events[i].kind);
        nxw_json_text(j, o, "kind", word->name);
        nxw_json_text(j, o, "text", word->text);
        nxw_json_integer(j, o, "stage", (long)r->events[i].stage + 1);
        MEMBER(o, &r->events[i], time_s);
        MEMBER(o, &r->events[i], value);
        nxw_json_add(j, events, o);
    }
    for (size_t i = 0; i < NXW_WARNING_COUNT; i++) {
        if ((r->warnings & (unsigned)nxw_warning_words[i].bit) == 0)
            continue;
        json_t *o = nxw_json_object(j);
        nxw_json_text(j, o, "kind", nxw_warning_words[i].word.name);
        char text[NXW_WARNING_TEXT_LENGTH];
        nxw_warning_text(in, r, i, text);
        nxw_json_text(j, o, "text", text);
        nxw_json_flag(j, o, "outside_valid_range",
                      (nxw_warning_words[i].bit & NXW_WARN_OUTSIDE) != 0);
        nxw_json_add(j, warnings, o);
    }
    nxw_json_put(j, root, "stages", stages);
    nxw_json_put(j, root, "events", events);
    nxw_json_put(j, root, "warnings", warnings);
    nxw_document_cautions(j, root, &(struct nxw_caution_for){in, r, report->notes->metal});
}

static json_t *limits(struct nxw_json *j)
{
    struct nxw_exposure_limit all[NXW_EXPOSURE_LIMITS_MAX];
    const size_t n = nxw_exposure_limits(all);
    json_t *list = nxw_json_array(j);
    for (size_t i = 0; i < n; i++) {
        json_t *o = nxw_json_object(j);
        nxw_json_text(j, o, "substance", all[i].substance);
        nxw_json_text(j, o, "limit", all[i].name);
        nxw_json_text(j, o, "averaging", all[i].averaging);
        MEMBER(o, &all[i], ppm);
        nxw_json_text(j, o, "source", all[i].source);
        nxw_json_flag(j, o, "from_memory", all[i].memory);
        nxw_json_add(j, list, o);
    }
    return list;
}

static void put_what_if(struct nxw_json *j, json_t *o, const char *key,
                        const struct nxw_what_if *what)
{
    if (what->ran)
        nxw_json_put(j, o, key, result(j, &what->in, &what->result));
}

static json_t *what_ifs(struct nxw_json *j, const struct nxw_result *base,
                        const struct nxw_what_ifs *w)
{
    static const char *const words[] = {"peroxide", "finer bubbles", "twice the volume"};
    json_t *o = nxw_json_object(j);
    nxw_json_integer(j, o, "stage", (long)w->stage + 1);
    MEMBER(o, w, peroxide_needed_kg);
    MEMBER(o, w, peroxide_charged_kg);
    put_what_if(j, o, "with_peroxide", &w->with_peroxide);
    put_what_if(j, o, "without_peroxide", &w->without_peroxide);
    put_what_if(j, o, "iced", &w->cooled);
    put_what_if(j, o, "not_iced", &w->uncooled);
    put_what_if(j, o, "twice_the_bottle", &w->bigger);
    json_t *list = nxw_json_array(j);
    for (size_t i = 0; i < NXW_STAGES_MAX; i++) {
        const struct nxw_stage_change *c = &w->changes[i];
        if (!c->ran)
            continue;
        json_t *one = nxw_json_object(j);
        nxw_json_integer(j, one, "stage", (long)i + 1);
        nxw_json_text(j, one, "change", words[c->kind]);
        MEMBER(one, c, escaped_mol);
        MEMBER(one, c, kept_mol);
        nxw_json_add(j, list, one);
    }
    nxw_json_put(j, o, "one_stage_changed", list);
    const size_t best = nxw_stage_worth_changing(base, w);
    if (best < base->n_stages)
        nxw_json_integer(j, o, "stage_worth_changing", (long)best + 1);
    return o;
}

bool nxw_estimate_json(FILE *out, const struct nxw_report *report)
{
    struct nxw_json json = {false}, *j = &json;
    json_t *root = nxw_document(j, NXW_REPORT_SCHEMA);
    constants(j, json_object_get(root, "constants"), report);
    nxw_json_put(j, root, "case", resolved_case(j, report));
    json_t *answers = result(j, report->in, report->result);
    if (report->uncertainty != NULL)
        nxw_intervals_json(j, answers, report->uncertainty);
    nxw_json_put(j, root, "result", answers);
    if (report->uncertainty != NULL && report->uncertainty->derivatives)
        nxw_json_put(j, root, "sensitivity", nxw_sensitivity_json(j, report->uncertainty));
    if (report->what_ifs != NULL)
        nxw_json_put(j, root, "what_if", what_ifs(j, report->result, report->what_ifs));
    if (report->worst != NULL) {
        json_t *worst = report->worst->ran ? result(j, &report->worst->in, &report->worst->result)
                                           : nxw_json_object(j);
        nxw_worst_case_json(j, worst, report);
        nxw_json_put(j, root, "worst_case", worst);
    }
    if (report->other != NULL) {
        nxw_json_text(j, root, "other_path", report->other_path);
        nxw_json_put(j, root, "other", result(j, report->other_in, report->other));
    }
    put_lists(j, root, report);
    nxw_json_put(j, root, "exposure_limits", limits(j));
    nxw_json_put(j, root, "statistics", nxw_statistics_json(j, &report->result->statistics));
    return nxw_json_print(j, out, root);
}
