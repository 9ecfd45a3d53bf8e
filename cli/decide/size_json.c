/* What came of a search for a size, as JSON. */
#include "base/text_layout.h"
#include "command/json_document.h"
#include "decide/size_report.h"
#include "noxwash.h"
#include "words/headline.h"

static json_t *glass_json(struct nxw_json *j, const struct nxw_size_glass *g, double margin)
{
    json_t *o = nxw_json_object(j);
    nxw_json_number(j, o, "headspace_m3", g->headspace_m3);
    nxw_json_number(j, o, "trap_for_any_vessel_m3", margin * g->above_tips_m3);
    nxw_json_number(j, o, "trap_m3", g->trap_m3);
    nxw_json_number(j, o, "tube_crest_m", g->crest_m);
    nxw_json_number(j, o, "vessel_between_bottles_m3", g->between_m3);
    nxw_json_number(j, o, "ice_melted_kg", g->ice_melted_kg);
    return o;
}

static json_t *got_json(struct nxw_json *j, const struct nxw_size_work *w,
                        const struct nxw_size_point *p)
{
    json_t *got = nxw_json_object(j);
    nxw_json_number(j, got, "capture_fraction", p->got[NXW_TARGET_CAPTURE]);
    nxw_json_number(j, got, "vent_mg_min", p->vent_kg_s * NXW_MG_MIN);
    if (w->targets.vent.in_hood)
        nxw_json_number(j, got, "hood_ppm", p->got[NXW_TARGET_VENT] * 1e6);
    nxw_json_number(j, got, "strength_wt_pct", p->got[NXW_TARGET_STRENGTH] * 100.0);
    nxw_json_number(j, got, "peak_temperature_K", p->got[NXW_TARGET_PEAK_TEMPERATURE]);
    return got;
}

static json_t *point_json(struct nxw_json *j, const struct nxw_size_work *w,
                          const struct nxw_size_point *p)
{
    json_t *o = nxw_json_object(j);
    const struct nxw_arrangement *a = &p->arrangement;
    char warnings[256];
    nxw_json_integer(j, o, "bottles", (long)a->bottles);
    const bool each = w->free.may[NXW_FREE_BOTTLES] && a->alike;
    nxw_json_flag(j, o, "case_as_it_is", a->as_it_is);
    nxw_json_number(j, o, each ? "liquid_each_m3" : "liquid_first_m3", a->liquid_m3);
    nxw_json_number(j, o, each ? "bottle_each_m3" : "bottle_first_m3", a->bottle_m3);
    nxw_json_number(j, o, "depth_m", a->depth_m);
    nxw_json_number(j, o, "bubble_diameter_m", a->bubble_m);
    nxw_json_number(j, o, "peroxide_kg", a->peroxide_kg);
    nxw_json_number(j, o, "peroxide_first_wt_pct", a->peroxide_mass_fraction * 100.0);
    nxw_json_number(j, o, "ice_kg", a->ice_kg);
    nxw_json_flag(j, o, "ran", p->ran);
    nxw_json_flag(j, o, "meets", p->meets);
    nxw_json_flag(j, o, "outside_valid_range", p->outside);
    if (!p->ran)
        return o;
    nxw_json_put(j, o, "got", got_json(j, w, p));
    nxw_json_put(j, o, "glass",
                 glass_json(j, &p->glass, w->in.parameters.value[NXW_P_trap_margin]));
    nxw_json_text(j, o, "binding", nxw_target_name(&w->targets, p->binding)->json);
    nxw_warning_names(p->warnings, warnings, sizeof warnings);
    nxw_json_text(j, o, "warnings", warnings);
    return o;
}

static void end_json(struct nxw_json *j, json_t *range, const char *key,
                     const struct nxw_size_work *w, const struct nxw_size_result *r)
{
    json_t *o = nxw_json_object(j);
    nxw_json_flag(j, o, "found", r->found);
    if (r->found)
        nxw_json_put(j, o, "smallest", point_json(j, w, &r->best));
    nxw_json_put(j, range, key, o);
}

static void put_free(struct nxw_json *j, json_t *root, const struct nxw_free *may)
{
    json_t *names = nxw_json_array(j);
    for (int q = 0; q < NXW_FREE_COUNT; q++)
        if (may->may[q])
            nxw_json_add(j, names, json_string(nxw_free_words[q]));
    nxw_json_put(j, root, "free", names);
    nxw_json_text(j, root, "as_little_as_can_be", nxw_free_words[may->lead]);
}

static void put_vent_target(struct nxw_json *j, json_t *root, const struct nxw_size_work *w)
{
    const struct nxw_vent_target *v = &w->targets.vent;
    const double wanted = w->targets.wanted[NXW_TARGET_VENT];
    json_t *o;
    if (!v->in_hood)
        return;
    o = nxw_json_object(j);
    nxw_json_number(j, o, "hood_ppm", wanted * 1e6);
    nxw_json_text(j, o, "over", nxw_hood_mean_words[v->mean]);
    nxw_json_number(j, o, "as_NO2_mg_min",
                    nxw_hood_kg_s(&w->in, wanted, NXW_MOLAR_MASS_NO2_KG_MOL) * NXW_MG_MIN);
    nxw_json_number(j, o, "as_NO_mg_min",
                    nxw_hood_kg_s(&w->in, wanted, NXW_MOLAR_MASS_NO_KG_MOL) * NXW_MG_MIN);
    if (v->multiple > 0.0) {
        nxw_json_number(j, o, "times", v->multiple);
        nxw_json_text(j, o, "limit", v->limit.name);
        nxw_json_text(j, o, "limit_averaging", v->limit.averaging);
        nxw_json_text(j, o, "limit_source", v->limit.source);
    }
    nxw_json_put(j, root, "vent_target", o);
}

bool nxw_size_print_json(FILE *out, const char *path, const struct nxw_size_work *w)
{
    const struct nxw_size_result *r = &w->result;
    struct nxw_json json = {false}, *j = &json;
    json_t *root = nxw_document(j, "noxwash-size-1");
    nxw_json_text(j, root, "case_path", path);
    put_free(j, root, &w->free);
    put_vent_target(j, root, w);
    nxw_json_flag(j, root, "found", r->found);
    if (r->found || r->best.ran)
        nxw_json_put(j, root, r->found ? "smallest" : "closest", point_json(j, w, &r->best));
    if (r->found && r->below.arrangement.bottles > 0)
        nxw_json_put(j, root, "next_smaller", point_json(j, w, &r->below));
    nxw_json_flag(j, root, "range_of_constants_decides", r->range_decides);
    if (r->fails_above)
        nxw_json_put(j, root, "bigger_that_misses", point_json(j, w, &r->above));
    if (w->range.ran) {
        json_t *range = nxw_json_object(j);
        end_json(j, range, "good_end", w, &w->range.good);
        end_json(j, range, "bad_end", w, &w->range.bad);
        end_json(j, range, "worst_case", w, &w->range.worst);
        nxw_json_put(j, root, "within_uncertainty", range);
    } else if (w->range.not_given != NULL) {
        nxw_json_text(j, root, "within_uncertainty_not_given", w->range.not_given);
    }
    nxw_json_integer(j, root, "runs", (long)r->runs);
    nxw_json_integer(j, root, "failed_runs", (long)r->failed_runs);
    nxw_document_cautions(j, root, &(struct nxw_caution_for){.metal = w->notes.metal});
    return nxw_json_print(j, out, root);
}
