#include "size_command.h"

#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "case_file.h"
#include "cautions.h"
#include "command.h"
#include "headline.h"
#include "json_document.h"
#include "progress.h"
#include "report_words.h"
#include "size_range.h"
#include "text_layout.h"
#include "units.h"

enum { SENTENCE = 300 };

/* How a target is given, shown and stored. */
static const struct target {
    const char *option, *name, *sense, *json, *unit;
    double scale, offset; /* shown = SI * scale - offset */
} TARGETS[NXW_TARGET_COUNT] = {
    {"--capture", "kept as HNO3, of the nitrogen fed", "at least", "capture_fraction", "%", 100.0,
     0.0},
    {"--vent", "NO and NO2 at the vent, peaks added up", "at most", "vent_mg_min", "mg/min",
     NXW_MG_MIN, 0.0},
    {"--strength", "HNO3 in the first bottle", "at least", "strength_wt_pct", "wt%", 100.0, 0.0},
    {"--peak-temperature", "hottest liquid", "at most", "peak_temperature_K", "degC", 1.0, 273.15},
};

struct work {
    struct nxw_case in;
    struct nxw_case_notes notes;
    struct nxw_targets targets;
    struct nxw_size_result result;
    struct nxw_size_range range;
    struct nxw_diagnosis diagnosis;
};

/* ------------------------------------------------------------------------------- targets */

/* The library knows no rate of mass: a number and "mg/min". */
static bool read_rate(const char *text, double *value, char *message)
{
    static const char unit[] = "mg/min";
    char number[64];
    const size_t length = strlen(text), n = strlen(unit);
    if (length <= n || length - n >= sizeof number || strcmp(text + length - n, unit) != 0) {
        (void)snprintf(message, NXW_MESSAGE_LENGTH,
                       "the unit is missing or does not fit; "
                       "accepted: mg/min");
        return false;
    }
    memcpy(number, text, length - n);
    number[length - n] = '\0';
    if (!nxw_number_read(number, value, message))
        return false;
    *value /= NXW_MG_MIN;
    return true;
}

static bool possible(enum nxw_target_kind kind, double value, char *message)
{
    static const double most[NXW_TARGET_COUNT] = {1.0, 1.0, 1.0, 373.15};
    static const double least[NXW_TARGET_COUNT] = {0.0, 0.0, 0.0, 273.15};
    if (value > least[kind] && value <= most[kind])
        return true;
    const struct target *t = &TARGETS[kind];
    (void)snprintf(message, NXW_MESSAGE_LENGTH, "above %g and at most %g %s is possible",
                   least[kind] * t->scale - t->offset, most[kind] * t->scale - t->offset, t->unit);
    return false;
}

static bool read_target(enum nxw_target_kind kind, const char *text, struct nxw_targets *targets)
{
    static const enum nxw_dimension dimensions[NXW_TARGET_COUNT] = {
        NXW_DIM_SHARE, NXW_DIM_COUNT, NXW_DIM_MASS_FRACTION, NXW_DIM_TEMPERATURE};
    char message[NXW_MESSAGE_LENGTH];
    double *value = &targets->wanted[kind];
    *value = (double)NAN;
    if (text == NULL)
        return true;
    targets->given[kind] = true;
    if ((kind == NXW_TARGET_VENT ? read_rate(text, value, message)
                                 : nxw_quantity_read(text, dimensions[kind], value, message)) &&
        possible(kind, *value, message))
        return true;
    (void)fprintf(stderr, "noxwash: %s '%.40s': %s\n", TARGETS[kind].option, text, message);
    return false;
}

static bool read_targets(const struct nxw_options *o, struct nxw_targets *targets)
{
    const char *const texts[NXW_TARGET_COUNT] = {o->capture, o->vent, o->least_strength,
                                                 o->peak_temperature};
    bool any = false;
    for (int i = 0; i < NXW_TARGET_COUNT; i++) {
        if (!read_target((enum nxw_target_kind)i, texts[i], targets))
            return false;
        any = any || targets->given[i];
    }
    if (!any)
        (void)fputs("noxwash: no target; give --capture '95 %', --vent '10 mg/min', --strength "
                    "'5 wt%' or --peak-temperature '40 degC'\n",
                    stderr);
    return any;
}

/* --------------------------------------------------------------------------------- text */

/* "2 bottles, each with 120 mL of liquid in 200 mL of glass, in all 4.3 g H2O2 and 800 g ice" */
static void arrangement_text(const struct nxw_arrangement *a, char out[SENTENCE])
{
    char liquid[NXW_AMOUNT_LENGTH], glass[NXW_AMOUNT_LENGTH], peroxide[NXW_AMOUNT_LENGTH],
        ice[NXW_AMOUNT_LENGTH];
    nxw_number_text(a->liquid_m3 * 1e6, 3, liquid);
    nxw_number_text(a->bottle_m3 * 1e6, 3, glass);
    nxw_mass_text(a->peroxide_kg, 3, peroxide);
    nxw_mass_text(a->ice_kg, 3, ice);
    (void)snprintf(out, SENTENCE, "%zu bottle%s with %s mL of liquid in %s mL of glass; %s%s; %s%s",
                   a->bottles, a->bottles > 1 ? "s, each" : "", liquid, glass,
                   a->peroxide ? peroxide : "no peroxide", a->peroxide ? " H2O2 in all" : "",
                   a->ice ? ice : "no ice", a->ice ? " ice in all" : "");
}

static void print_targets(FILE *out, const struct work *w, const struct nxw_size_point *p)
{
    for (int i = 0; i < NXW_TARGET_COUNT; i++) {
        const struct target *t = &TARGETS[i];
        char wanted[NXW_AMOUNT_LENGTH], got[NXW_AMOUNT_LENGTH];
        if (!w->targets.given[i])
            continue;
        nxw_number_text(w->targets.wanted[i] * t->scale - t->offset, 4, wanted);
        nxw_number_text(p->got[i] * t->scale - t->offset, 4, got);
        nxw_wrapf(out, "    ", 6, "%s: %s %s %s, %s %s %s%s", t->name, t->sense, wanted, t->unit,
                  p->margin[i] >= 0.0 ? "met with" : "missed with", got, t->unit,
                  (int)p->binding == i && !w->result.range_decides ? "; this target binds" : "");
    }
}

static void print_point(FILE *out, const struct work *w, const char *lead,
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

static void print_text(FILE *out, const char *path, const struct work *w)
{
    const struct nxw_size_result *r = &w->result;
    (void)fprintf(out, "Size for %s\n\n", path);
    if (r->found) {
        print_point(out, w, "  Smallest that meets: ", &r->best);
        if (r->below.ran || r->below.arrangement.bottles > 0)
            print_point(out, w, "\n  A little smaller misses: ", &r->below);
        else
            nxw_wrap(out, "\n  ", 2, "It is the least volume that is tried.");
        if (r->range_decides)
            nxw_wrap(out, "\n  ", 2,
                     "Not a target but the range of the constants sets this size: what is smaller "
                     "cannot be answered for.");
        if (r->fails_above)
            print_point(out, w, "\n  Bigger is not always better; this misses: ", &r->above);
    } else {
        nxw_wrapf(out, "  ", 2,
                  "No. None of the %zu kinds of arrangement tried, with %.0f to %.0f mL of liquid "
                  "in a bottle, meets the targets.",
                  r->arrangements, NXW_SIZE_LEAST_M3 * 1e6, NXW_SIZE_MOST_M3 * 1e6);
        if (r->best.ran)
            print_point(out, w, "\n  Closest: ", &r->best);
    }
    if (w->range.ran)
        print_range(out, &w->range);
    (void)fputc('\n', out);
    nxw_wrapf(
        out, "  ", 2,
        "Tried: one to three bottles like the first of the case, grown or shrunk alike in all "
        "directions, 60 %% full; plain, with ice, with peroxide for all the gas (a tenth of "
        "it in each further bottle, 12 wt%% at most), with both. Runs outside the range of the "
        "constants do not count. %zu runs, %zu without a "
        "result.",
        r->runs, r->failed_runs);
    (void)fputc('\n', out);
    nxw_cautions_print(out);
}

/* --------------------------------------------------------------------------------- JSON */

static json_t *point_json(struct nxw_json *j, const struct nxw_size_point *p)
{
    json_t *o = nxw_json_object(j), *got = nxw_json_object(j);
    const struct nxw_arrangement *a = &p->arrangement;
    char warnings[256];
    nxw_json_integer(j, o, "bottles", (long)a->bottles);
    nxw_json_number(j, o, "liquid_each_m3", a->liquid_m3);
    nxw_json_number(j, o, "bottle_each_m3", a->bottle_m3);
    nxw_json_number(j, o, "peroxide_kg", a->peroxide_kg);
    nxw_json_number(j, o, "ice_kg", a->ice_kg);
    nxw_json_flag(j, o, "ran", p->ran);
    nxw_json_flag(j, o, "meets", p->meets);
    nxw_json_flag(j, o, "outside_valid_range", p->outside);
    if (!p->ran)
        return json_decref(got), o;
    nxw_json_number(j, got, "capture_fraction", p->got[NXW_TARGET_CAPTURE]);
    nxw_json_number(j, got, "vent_mg_min", p->got[NXW_TARGET_VENT] * NXW_MG_MIN);
    nxw_json_number(j, got, "strength_wt_pct", p->got[NXW_TARGET_STRENGTH] * 100.0);
    nxw_json_number(j, got, "peak_temperature_K", p->got[NXW_TARGET_PEAK_TEMPERATURE]);
    nxw_json_put(j, o, "got", got);
    nxw_json_text(j, o, "binding", TARGETS[p->binding].json);
    nxw_warning_names(p->warnings, warnings, sizeof warnings);
    nxw_json_text(j, o, "warnings", warnings);
    return o;
}

static void end_json(struct nxw_json *j, json_t *range, const char *key,
                     const struct nxw_size_result *r)
{
    json_t *o = nxw_json_object(j);
    nxw_json_flag(j, o, "found", r->found);
    if (r->found)
        nxw_json_put(j, o, "smallest", point_json(j, &r->best));
    nxw_json_put(j, range, key, o);
}

static bool print_json(FILE *out, const char *path, const struct work *w)
{
    const struct nxw_size_result *r = &w->result;
    struct nxw_json json = {false}, *j = &json;
    json_t *root = nxw_document(j, "noxwash-size-1");
    nxw_json_text(j, root, "case_path", path);
    nxw_json_flag(j, root, "found", r->found);
    if (r->found || r->best.ran)
        nxw_json_put(j, root, r->found ? "smallest" : "closest", point_json(j, &r->best));
    if (r->found && r->below.arrangement.bottles > 0)
        nxw_json_put(j, root, "next_smaller", point_json(j, &r->below));
    nxw_json_flag(j, root, "range_of_constants_decides", r->range_decides);
    if (r->fails_above)
        nxw_json_put(j, root, "bigger_that_misses", point_json(j, &r->above));
    if (w->range.ran) {
        json_t *range = nxw_json_object(j);
        end_json(j, range, "good_end", &w->range.good);
        end_json(j, range, "bad_end", &w->range.bad);
        end_json(j, range, "worst_case", &w->range.worst);
        nxw_json_put(j, root, "within_uncertainty", range);
    }
    nxw_json_integer(j, root, "runs", (long)r->runs);
    nxw_json_integer(j, root, "failed_runs", (long)r->failed_runs);
    nxw_document_cautions(j, root);
    return nxw_json_print(j, out, root);
}

/* ------------------------------------------------------------------------------ command */

static enum nxw_exit run(const struct nxw_options *options, void *room)
{
    struct work *w = room;
    const char *path = options->operands[0];
    if (!read_targets(options, &w->targets))
        return NXW_EXIT_USAGE;
    const enum nxw_exit read = nxw_read_case(path, &w->in, &w->notes);
    if (read != NXW_EXIT_DONE)
        return read;
    enum nxw_status status =
        nxw_size_search(&w->in, &w->targets, nxw_go_on, NULL, &w->diagnosis, &w->result);
    if (status >= 0 && w->result.found && !options->quick)
        status = nxw_size_range_run(&w->in, &w->targets, &w->result, w->notes.overrides,
                                    w->notes.n_overrides, nxw_processors(), nxw_go_on, NULL,
                                    nxw_interrupted, &w->range);
    nxw_progress_end();
    if (status < 0)
        return nxw_run_failed(path, status, &w->diagnosis);
    errno = 0;
    if (!options->json)
        print_text(stdout, path, w);
    else if (!print_json(stdout, path, w))
        return errno == ENOMEM ? NXW_EXIT_INTERNAL : NXW_EXIT_IO;
    return w->result.found ? NXW_EXIT_DONE : NXW_EXIT_NOT_MET;
}

enum nxw_exit nxw_size_command(const struct nxw_options *options)
{
    return nxw_with_work(sizeof(struct work), run, options);
}
