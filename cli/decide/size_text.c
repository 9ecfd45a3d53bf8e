/* What came of a search for a size, in words. */
#include <math.h>
#include <string.h>

#include "base/text_layout.h"
#include "decide/size_report.h"
#include "study/what_if.h"
#include "words/cautions.h"
#include "words/limit_digits.h"
#include "words/peroxide_text.h"
#include "words/run_words.h"

enum { SENTENCE = 640, AMOUNT = NXW_AMOUNT_LENGTH };

/* "2 bottles, each with 120 mL of liquid in 200 mL of glass, its tip 50 mm deep; in all 4.3 g H2O2
 * and 800 g ice" */
static void arrangement_text(const struct nxw_arrangement *a, char out[SENTENCE])
{
    char liquid[AMOUNT], glass[AMOUNT], depth[AMOUNT], bubble[AMOUNT], finer[AMOUNT + 20] = "";
    char peroxide[AMOUNT], strength[AMOUNT], ice[AMOUNT], charge[2 * AMOUNT + 48];
    nxw_number_text(a->liquid_m3 * 1e6, 3, liquid);
    nxw_number_text(a->bottle_m3 * 1e6, 3, glass);
    nxw_number_text(a->depth_m * 1e3, 2, depth);
    nxw_number_text(a->bubble_m * 1e3, 2, bubble);
    nxw_mass_text(a->peroxide_kg, 3, peroxide);
    nxw_strength_text(a->peroxide_mass_fraction, strength);
    nxw_mass_text(a->ice_kg, 3, ice);
    if (!isnan(a->bubble_m))
        (void)snprintf(finer, sizeof finer, ", in bubbles of %s mm", bubble);
    if (a->peroxide_mass_fraction > 0.0)
        (void)snprintf(charge, sizeof charge, "%s H2O2 in all (%s%s)", peroxide, strength,
                       a->bottles > 1 ? " in the first" : "");
    else
        (void)snprintf(charge, sizeof charge, "%s H2O2 in all", peroxide);
    (void)snprintf(out, SENTENCE,
                   "%s%zu bottle%s with %s mL of liquid in %s mL of glass, the tip %s mm deep%s; "
                   "%s; %s%s",
                   a->as_it_is ? "the case as it is: " : "", a->bottles,
                   a->bottles == 1 ? ""
                   : a->alike      ? "s, each"
                                   : "s, the first",
                   liquid, glass, depth, finer, a->peroxide_kg > 0.0 ? charge : "no peroxide",
                   a->ice_kg > 0.0 ? ice : "no ice", a->ice_kg > 0.0 ? " ice in all" : "");
}

static void print_targets(FILE *out, const struct nxw_size_work *w, const struct nxw_size_point *p)
{
    for (int i = 0; i < NXW_TARGET_COUNT; i++) {
        const struct nxw_target_name *t = nxw_target_name(&w->targets, (enum nxw_target_kind)i);
        char wanted[AMOUNT], got[AMOUNT];
        if (!w->targets.given[i])
            continue;
        nxw_number_text(w->targets.wanted[i] * t->scale - t->offset, 4, wanted);
        nxw_number_text(p->got[i] * t->scale - t->offset, 4, got);
        nxw_wrapf(out, "    ", 6, "%s: %s %s %s, %s %s %s%s", t->name, t->sense, wanted, t->unit,
                  p->margin[i] >= 0.0 ? "met with" : "missed with", got, t->unit,
                  (int)p->binding == i && !w->result.range_decides ? "; this target binds" : "");
    }
}

static void print_point(FILE *out, const struct nxw_size_work *w, const char *lead,
                        const struct nxw_size_point *p)
{
    char text[SENTENCE];
    arrangement_text(&p->arrangement, text);
    nxw_wrapf(out, lead, 4, "%s.", text);
    if (p->ran)
        print_targets(out, w, p);
    else
        nxw_wrap(out, "    ", 6, "That run gave no result.");
    if (p->outside)
        nxw_wrap(out, "    ", 6, "Outside the range of the constants: it does not count.");
    for (size_t i = 0; i < NXW_WARNING_COUNT; i++)
        if ((p->warnings & (unsigned)nxw_warning_words[i].bit) != 0)
            nxw_wrapf(out, "    ! ", 6, "%s", nxw_warning_words[i].word.text);
}

/* What the target of the vent is as mass, and where a limit comes from. */
static void print_vent_target(FILE *out, const struct nxw_size_work *w)
{
    const struct nxw_vent_target *v = &w->targets.vent;
    const double wanted = w->targets.wanted[NXW_TARGET_VENT];
    char ppm[AMOUNT], air[AMOUNT], temperature[AMOUNT], pressure[AMOUNT], NO2[AMOUNT], NO[AMOUNT];
    if (!v->in_hood)
        return;
    nxw_number_text(wanted * 1e6, 3, ppm);
    nxw_number_text(w->in.hood_flow_m3_s * 60.0, 3, air);
    nxw_temperature_text(w->in.surroundings_temperature_K, temperature);
    nxw_number_text(w->in.surroundings_pressure_Pa * 1e-3, 4, pressure);
    nxw_number_text(nxw_hood_kg_s(&w->in, wanted, NXW_MOLAR_MASS_NO2_KG_MOL) * NXW_MG_MIN, 3, NO2);
    nxw_number_text(nxw_hood_kg_s(&w->in, wanted, NXW_MOLAR_MASS_NO_KG_MOL) * NXW_MG_MIN, 3, NO);
    nxw_wrapf(out, "\n  ", 2,
              "%s ppm of the hood's %s m3/min, at %s and %s kPa, are %s mg/min as NO2 or %s mg/min "
              "as NO.",
              ppm, air, temperature, pressure, NO2, NO);
    if (v->multiple > 0.0)
        nxw_wrapf(out, "  ", 2, "The limit: %g times %g ppm %s, %s (%s); source: %s%s.",
                  v->multiple, v->limit.ppm, v->limit.substance, v->limit.name, v->limit.averaging,
                  v->limit.source, v->limit.memory ? "; text not at hand, check" : "");
}

/* ------------------------------------------------------------- the glass that goes with it */

static void print_trap(FILE *out, const struct nxw_size_work *w, const struct nxw_size_glass *g)
{
    char trap[AMOUNT], crest[AMOUNT];
    if (isnan(g->trap_m3)) {
        const double margin = w->in.parameters.value[NXW_P_trap_margin];
        nxw_volume_text(margin * g->above_tips_m3, trap);
        nxw_wrapf(
            out, "    ", 6,
            "An empty vessel of %s ahead of the first bottle holds all that could be drawn "
            "back, whatever the hot vessel. Give that vessel (vessel: {volume: 500 mL, hot: "
            "120 degC}) to learn how high the inlet tube must rise, and whether less will do.",
            trap);
        return;
    }
    nxw_number_text(g->crest_m * 100.0, 2, crest);
    nxw_volume_text(g->trap_m3, trap);
    if (!(g->crest_m > 0.0))
        nxw_wrap(out, "    ", 6, "Nothing is drawn back when the hot vessel cools.");
    else if (g->trap_m3 > 0.0)
        nxw_wrapf(out, "    ", 6,
                  "Against drawing back when the hot vessel cools: an empty vessel of %s ahead of "
                  "the first bottle; the inlet tube alone would have to rise %s cm above the "
                  "liquid.",
                  trap, crest);
    else
        nxw_wrapf(out, "    ", 6,
                  "The inlet tube must rise %s cm above the liquid; as it is, it holds what is "
                  "drawn back when the hot vessel cools, and no trap is needed.",
                  crest);
}

static void print_glass(FILE *out, const struct nxw_size_work *w, const struct nxw_size_point *p)
{
    const struct nxw_size_glass *g = &p->glass;
    char head[AMOUNT], melted[AMOUNT], between[AMOUNT];
    char bought[NXW_PEROXIDE_TEXT_LENGTH];
    nxw_volume_text(g->headspace_m3, head);
    nxw_wrapf(out, "\n  What goes with it: ", 4, "%s of headspace in %s.", head,
              p->arrangement.bottles == 1 ? "the bottle"
              : p->arrangement.alike      ? "each bottle"
                                          : "the first bottle");
    if (p->arrangement.peroxide_kg > 0.0) {
        const bool acid = w->in.stages[nxw_first_bottle(&w->in)].acid_mass_fraction > 0.0;
        nxw_peroxide_volumes_text(p->arrangement.peroxide_kg, p->arrangement.peroxide_mass_fraction,
                                  2, acid, bought);
        nxw_wrapf(out, "    ", 6, "To fill in%s: %s.",
                  p->arrangement.bottles > 1 ? ", all bottles together" : "", bought);
    }
    if (p->arrangement.ice_kg > 0.0) {
        nxw_mass_text(g->ice_melted_kg, 2, melted);
        nxw_wrapf(out, "    ", 6, "Of the ice about %s melts.", melted);
    }
    print_trap(out, w, g);
    if (g->between_m3 > 0.0) {
        nxw_volume_text(g->between_m3, between);
        nxw_wrapf(out, "    ", 6,
                  "An empty vessel of %s between two bottles, where one draws on "
                  "the next.",
                  between);
    }
}

/* ----------------------------------------------------------------------------------- ends */

static void print_end(FILE *out, const char *lead, const struct nxw_size_result *r)
{
    char text[SENTENCE];
    arrangement_text(&r->best.arrangement, text);
    if (r->found)
        nxw_wrapf(out, lead, 6, "%s.", text);
    else
        nxw_wrap(out, lead, 6, "nothing that was tried meets the targets.");
}

static void print_range(FILE *out, const struct nxw_size_range *r)
{
    (void)fputc('\n', out);
    nxw_wrap(out, "  ", 4,
             "How sure is that: for nineteen of twenty such bottles the smallest that meets lies "
             "between these two; the second is the one to be fairly sure with.");
    print_end(out, "    if it falls out well: ", &r->good);
    print_end(out, "    if it falls out badly: ", &r->bad);
    print_end(out, "    worst case, every uncertain constant and input at its bad end at once: ",
              &r->worst);
}

/* --------------------------------------------------------------------------- what was tried */

static const char *const LEADS[NXW_FREE_COUNT] = {"bottles",       "mL of liquid in a bottle",
                                                  "mm of depth",   "mm across a bubble",
                                                  "g of peroxide", "g of ice"};

/* As what leads, and as a step of the others. */
static const char *const TRIED[NXW_FREE_COUNT][2] = {
    [NXW_FREE_BOTTLES] =
        {"one to three bottles, those of the case first and then more like its first",
         "one to three bottles, those of the case first and then more like its "
         "first"},
    [NXW_FREE_VOLUME] = {"bottles and liquid grown or shrunk alike in all directions",
                         "bottles and liquid as they are, twice and four times so big"},
    [NXW_FREE_DEPTH] = {"less or more liquid in the same glass, " NXW_FULLEST_DIGITS
                        " % full at most",
                        "liquid as it is, or the glass " NXW_FULLEST_DIGITS " % full"},
    [NXW_FREE_TIP] = {"bubbles of 8 to 1 mm", "the tip as it is, or bubbles of 2 mm"},
    [NXW_FREE_PEROXIDE] = {"peroxide from none to enough for all the gas (" NXW_PEROXIDE_DIGITS
                           " wt% at most)",
                           "no peroxide, or enough for all the gas (" NXW_PEROXIDE_DIGITS
                           " wt% at most)"},
    [NXW_FREE_ICE] = {"ice from none to 1.6 kg around each bottle",
                      "no ice, or 400 g around each bottle"}};

/* Where the case has some of it. */
static const char *const TRIED_FROM_WHAT_IT_HAS[NXW_FREE_COUNT][2] = {
    [NXW_FREE_PEROXIDE] =
        {"peroxide from what the case has both ways, to none and to enough for all "
         "the gas (" NXW_PEROXIDE_DIGITS " wt% at most)",
         "no peroxide, what the case has, or enough for all the gas (" NXW_PEROXIDE_DIGITS
         " wt% at "
         "most)"},
    [NXW_FREE_ICE] = {"ice from what the case has both ways, to none and to 1.6 kg a bottle",
                      "no ice, what the case has, or 400 g a bottle"}};

static bool case_has(const struct nxw_size_work *w, int q)
{
    return (q == NXW_FREE_PEROXIDE && nxw_case_peroxide_kg(&w->in) > 0.0) ||
           (q == NXW_FREE_ICE && nxw_case_ice_kg(&w->in) > 0.0);
}

/* What bottles are charged with where the user has not said what is free. */
static const char *usual_charge(const struct nxw_size_work *w)
{
    if (case_has(w, NXW_FREE_PEROXIDE) && case_has(w, NXW_FREE_ICE))
        return "with the peroxide and the ice that the case has";
    if (case_has(w, NXW_FREE_PEROXIDE))
        return "with the peroxide that the case has, without ice and with it";
    return case_has(w, NXW_FREE_ICE)
               ? "with the ice that the case has, without peroxide and with enough for all the gas "
                 "(a tenth of it in each further bottle, " NXW_PEROXIDE_DIGITS " wt% at most)"
               : "plain, with ice, with peroxide for all the gas (a tenth of it in each further "
                 "bottle, " NXW_PEROXIDE_DIGITS " wt% at most), with both";
}

static void print_tried(FILE *out, const struct nxw_size_work *w)
{
    char list[800] = "", failed[80];
    const struct nxw_size_result *r = &w->result;
    (void)snprintf(failed, sizeof failed, "%zu runs, %zu without a result.", r->runs,
                   r->failed_runs);
    (void)fputc('\n', out);
    if (!w->free.chosen) {
        nxw_wrapf(
            out, "  ", 2,
            "Tried: the case as it is; one to three bottles, those of the case first and then "
            "more like its first, grown or shrunk alike in all directions, 60 %% full; %s. "
            "Runs outside the range of the constants do not count. %s",
            usual_charge(w), failed);
        return;
    }
    for (int q = 0; q < NXW_FREE_COUNT; q++) {
        const size_t used = strlen(list);
        if (w->free.may[q])
            (void)snprintf(
                list + used, sizeof list - used, "; %s",
                (case_has(w, q) ? TRIED_FROM_WHAT_IT_HAS : TRIED)[q][q != (int)w->free.lead]);
    }
    nxw_wrapf(out, "  ", 2,
              "Tried: the case as it is%s. All else stays as the case has it. Runs outside the "
              "range of the constants do not count. %s",
              list, failed);
}

static void print_found(FILE *out, const struct nxw_size_work *w)
{
    const struct nxw_size_result *r = &w->result;
    print_point(out, w, "  Smallest that meets: ", &r->best);
    print_vent_target(out, w);
    print_glass(out, w, &r->best);
    if (r->below.ran || r->below.arrangement.bottles > 0)
        print_point(out, w, "\n  A little smaller misses: ", &r->below);
    else if (r->best.arrangement.as_it_is)
        nxw_wrap(out, "\n  ", 2, "Nothing smaller that was tried meets.");
    else if (!w->free.chosen)
        nxw_wrap(out, "\n  ", 2, "It is the least volume that is tried.");
    else
        nxw_wrap(out, "\n  ", 2, "Nothing smaller is tried.");
    if (r->range_decides)
        nxw_wrap(out, "\n  ", 2,
                 "Not a target but the range of the constants sets this size: what is smaller "
                 "cannot be answered for.");
    if (r->fails_above)
        print_point(out, w, "\n  Bigger is not always better; this misses: ", &r->above);
}

static void print_not_found(FILE *out, const struct nxw_size_work *w)
{
    const struct nxw_size_result *r = &w->result;
    char least[AMOUNT], most[AMOUNT];
    nxw_number_text(r->tried_least, 2, least);
    nxw_number_text(r->tried_most, 4, most);
    if (r->arrangements > 1)
        nxw_wrapf(out, "  ", 2,
                  "No. None of the %zu kinds of arrangement tried, with %s to %s %s, meets the "
                  "targets.",
                  r->arrangements, least, most, LEADS[w->free.lead]);
    else
        nxw_wrapf(out, "  ", 2, "No. Nothing from %s to %s %s meets the targets.", least, most,
                  LEADS[w->free.lead]);
    if (r->best.ran) {
        print_point(out, w, "\n  Closest: ", &r->best);
        print_vent_target(out, w);
        print_glass(out, w, &r->best);
    }
}

void nxw_size_print_text(FILE *out, const char *path, const struct nxw_size_work *w)
{
    (void)fprintf(out, "Size for %s\n\n", path);
    (w->result.found ? print_found : print_not_found)(out, w);
    if (w->range.ran)
        print_range(out, &w->range);
    else if (w->range.not_given != NULL)
        nxw_wrapf(out, "  ", 2, "How far this may move is not given: %s.", w->range.not_given);
    print_tried(out, w);
    (void)fputc('\n', out);
    nxw_cautions_print(out, &(struct nxw_caution_for){.metal = w->notes.metal});
}
