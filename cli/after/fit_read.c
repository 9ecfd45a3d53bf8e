/* From a run file to the readings and unknowns of a fit. */
#include <errno.h>
#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include "case/case_read.h"
#include "case/catalogue.h"
#include "command/command.h"
#include "study/fit.h"

enum { LOG_BYTES_MAX = 256 * 1024, LOG_ROWS_MAX = 500 };

/* Assumed where not given, 95 of 100 readings; judgement. */
#define LOG_ERROR_K 1.0
#define PEAK_ERROR_K 1.0
#define BROWN_ERROR_S 120.0
#define VENT_ERROR 0.20
/* A thermometer that reads high goes on doing so: rows count as one for each five minutes;
 * judgement. */
#define LOG_APART_S 300.0

#if defined(__GNUC__)
__attribute__((format(printf, 3, 4)))
#endif
static void
add(struct nxw_fit *fit, struct nxw_fit_reading reading, const char *format, ...)
{
    va_list arguments;
    if (fit->n_readings == NXW_FIT_READINGS_MAX)
        return; /* 32 found with two each, 3 seen, 500 rows: it never fills */
    struct nxw_fit_reading *m = &fit->readings[fit->n_readings++];
    *m = reading;
    va_start(arguments, format);
    (void)vsnprintf(m->name, sizeof m->name, format, arguments);
    va_end(arguments);
}

/* ------------------------------------------------------------------------------- found */

/* The stage of "bottle 2": the second with liquid. false: none, or it does not say which. */
static bool find_bottle(const struct nxw_case *in, const char *number, size_t *stage,
                        char message[NXW_MESSAGE_LENGTH])
{
    size_t n = 0, stages[NXW_STAGES_MAX] = {0};
    for (size_t i = 0; i < in->n_stages; i++)
        if (in->stages[i].kind == NXW_STAGE_BOTTLE)
            stages[n++] = i;
    char *end = NULL;
    while (*number == ' ')
        number++;
    const long wanted = *number == '\0' ? 0 : strtol(number, &end, 10);
    if (*number == '\0' && n > 1)
        (void)snprintf(message, NXW_MESSAGE_LENGTH,
                       "the train has %zu bottles; say which, such as 'bottle 1'", n);
    else if (end != NULL && (*end != '\0' || wanted < 1 || (size_t)wanted > n))
        (void)snprintf(message, NXW_MESSAGE_LENGTH, "the train has %zu bottle%s with liquid", n,
                       n == 1 ? "" : "s");
    else if (n == 0)
        (void)snprintf(message, NXW_MESSAGE_LENGTH, "the train has no bottle with liquid");
    else {
        *stage = stages[wanted > 0 ? wanted - 1 : 0];
        return true;
    }
    return false;
}

/* How much liquid there was; the same volume written down with a second reading is no news. */
static void add_amount(struct nxw_fit *fit, const struct nxw_run *run, size_t index, size_t stage)
{
    const struct nxw_found *f = &run->found[index];
    const bool volume = f->volume_m3 > 0.0;
    const double value = volume ? f->volume_m3 : f->mass_kg;
    for (size_t i = 0; i < index; i++)
        if (run->found[i].place == f->place && run->found[i].volume_m3 == f->volume_m3 &&
            run->found[i].mass_kg == f->mass_kg)
            return;
    add(fit,
        (struct nxw_fit_reading){.kind = volume ? NXW_FIT_VOLUME : NXW_FIT_MASS,
                                 .stage = stage,
                                 .value = value,
                                 .error = value * f->amount_error,
                                 .error_assumed = f->error_assumed,
                                 .temperature_K = f->temperature_K},
        "%s: %s", run->places[f->place], volume ? "volume" : "mass");
}

static void add_bottle(struct nxw_fit *fit, const struct nxw_run *run, size_t index, size_t stage)
{
    const struct nxw_found *f = &run->found[index];
    const char *where = run->places[f->place];
    struct nxw_fit_reading m = {.stage = stage, .temperature_K = f->temperature_K};
    if (f->kind == NXW_FOUND_NITROGEN) {
        m.kind = NXW_FIT_HELD;
        m.value = f->nitrogen_mol;
        m.error = f->error_mol;
        m.error_assumed = f->error_assumed;
        add(fit, m, "%s: nitrogen", where);
        return;
    }
    if (f->kind == NXW_FOUND_DENSITY) {
        m.kind = NXW_FIT_STRENGTH;
        m.value = f->strength.mass_fraction;
        m.error = f->strength.standard_error;
        m.error_assumed = f->gravity.shown_error_assumed;
        add(fit, m, "%s: strength by density", where);
    } else {
        /* of the nitrogen's two errors, the titre's */
        const double share = f->error_mol / f->nitrogen_mol;
        m.kind = NXW_FIT_ACID;
        m.value = f->titrated.acid_mol_m3;
        m.error = m.value * sqrt(fmax(share * share - f->amount_error * f->amount_error, 0.0));
        add(fit, m, "%s: acid, titrated", where);
        const bool peroxide = f->titrated.H2O2_mol_m3 > 0.0;
        m.kind = peroxide ? NXW_FIT_PEROXIDE : NXW_FIT_NITROUS;
        m.value = peroxide ? f->titrated.H2O2_mol_m3 : f->titrated.HNO2_mol_m3;
        m.error = f->titrated.other_error_mol_m3;
        if (m.value > 0.0 && m.error > 0.0)
            add(fit, m, "%s: %s, titrated", where, peroxide ? "peroxide" : "nitrous acid");
    }
    add_amount(fit, run, index, stage);
}

/* Names such as "receiver", "scrubber", "bottle 2", "vent". */
static bool begins(const char *name, const char *word, const char **rest)
{
    const size_t n = strlen(word);
    *rest = name + n;
    return strncmp(name, word, n) == 0 && (name[n] == '\0' || name[n] == ' ');
}

/* A place the model knows nothing of. */
static void ignore(struct nxw_fit *fit, const char *where)
{
    for (size_t k = 0; k < fit->n_ignored; k++)
        if (strcmp(fit->ignored[k], where) == 0)
            return;
    memcpy(fit->ignored[fit->n_ignored++], where, sizeof fit->ignored[0]);
}

static void add_found(struct nxw_fit *fit, const struct nxw_run *run, const struct nxw_node *list,
                      bool strict, struct nxw_fault_list *faults)
{
    for (size_t i = 0; i < run->n_found; i++) {
        const struct nxw_found *f = &run->found[i];
        const char *where = run->places[f->place], *rest;
        struct nxw_fit_reading m = {
            .value = f->nitrogen_mol, .error = f->error_mol, .error_assumed = f->error_assumed};
        char message[NXW_MESSAGE_LENGTH];
        size_t stage;
        if (begins(where, "receiver", &rest) && fit->base.source.kind == NXW_SOURCE_ACID_VAPOUR) {
            m.kind = NXW_FIT_RECEIVER;
            add(fit, m, "%s: nitrogen", where);
        } else if (begins(where, "vent", &rest)) {
            m.kind = NXW_FIT_ESCAPED;
            add(fit, m, "%s: nitrogen", where);
        } else if (!begins(where, "scrubber", &rest) && !begins(where, "bottle", &rest))
            ignore(fit, where); // NOLINT(bugprone-branch-clone): told apart by what is asked first
        else if (find_bottle(&fit->base, rest, &stage, message))
            add_bottle(fit, run, i, stage);
        else if (strict)
            nxw_fault_add(faults, list->children[i]->line, list->children[i]->column,
                          "'where: %.47s': %s", where, message);
        else
            ignore(fit, where);
    }
}

/* -------------------------------------------------------------------------------- seen */

/* A value and the error beside it ("brown gas error"); false: absent or a fault. */
static bool seen(struct nxw_reading *r, const struct nxw_node *map, const char *key,
                 enum nxw_dimension dimension, bool error_is_share, bool error_is_kelvin,
                 struct nxw_fit_reading *m)
{
    char error_key[64], message[NXW_MESSAGE_LENGTH];
    (void)snprintf(error_key, sizeof error_key, "%s error", key);
    const char *text = nxw_read_text(r, map, key), *error = nxw_read_text(r, map, error_key);
    const char *at_fault = key;
    bool good = text == NULL || nxw_quantity_read(text, dimension, &m->value, message);
    if (good && text != NULL && !(m->value > 0.0)) {
        good = false;
        (void)snprintf(message, sizeof message, "must be more than 0");
    }
    m->error_assumed = error == NULL;
    if (good && error != NULL) {
        at_fault = error_key;
        good = error_is_kelvin
                   ? nxw_kelvin_read(error, &m->error, message)
                   : nxw_quantity_read(error, error_is_share ? NXW_DIM_SHARE : dimension, &m->error,
                                       message);
        if (good && !(m->error > 0.0)) {
            good = false;
            (void)snprintf(message, sizeof message, "must be more than 0");
        }
        if (good && text == NULL) {
            good = false;
            (void)snprintf(message, sizeof message, "goes with '%s'", key);
        }
    }
    if (!good) {
        const struct nxw_node *node = nxw_tree_get(map, at_fault);
        nxw_fault_add(r->faults, node->line, node->column, "'%s: %.40s': %s", at_fault, node->text,
                      message);
    }
    m->error = (error_is_share ? m->error * m->value : m->error) / NXW_OF_100_95;
    return good && text != NULL;
}

static void add_seen(struct nxw_reading *r, struct nxw_node *top, struct nxw_fit *fit)
{
    static const char *const keys[] = {
        "bottle",          "peak temperature",      "vent NO2", "brown gas", "vent NO2 error",
        "brown gas error", "peak temperature error"};
    const struct nxw_node *map = nxw_read_map(r, top, "seen");
    if (map == NULL)
        return;
    nxw_check_keys(r, map, NULL, keys, sizeof keys / sizeof keys[0]);
    struct nxw_fit_reading peak = {.kind = NXW_FIT_PEAK_TEMPERATURE, .error = PEAK_ERROR_K};
    struct nxw_fit_reading vent = {.kind = NXW_FIT_VENT_NO2, .error = VENT_ERROR};
    struct nxw_fit_reading brown = {.kind = NXW_FIT_BROWN, .error = BROWN_ERROR_S};
    if (seen(r, map, "peak temperature", NXW_DIM_TEMPERATURE, false, true, &peak)) {
        const char *number = nxw_read_text(r, map, "bottle");
        char message[NXW_MESSAGE_LENGTH];
        if (find_bottle(&fit->base, number != NULL ? number : "", &peak.stage, message))
            add(fit, peak, "peak temperature");
        else
            nxw_fault_add(r->faults, map->line, map->column, "'bottle': %s", message);
    }
    if (seen(r, map, "vent NO2", NXW_DIM_VOLUME_FRACTION, true, false, &vent))
        add(fit, vent, "vent: peak of NO2");
    if (seen(r, map, "brown gas", NXW_DIM_TIME, false, false, &brown))
        add(fit, brown, "brown gas: when it was seen");
}

/* --------------------------------------------------------------------------------- log */

struct log {
    const struct nxw_node *place;
    struct nxw_fault_list *faults;
    const char *name;
    size_t line, rows;
    double factor_s; /* of the times */
};

static bool log_fault(const struct log *g, const char *text)
{
    nxw_fault_add(g->faults, g->place->line, g->place->column, "log '%.80s', line %zu: %s", g->name,
                  g->line, text);
    return false;
}

static bool log_row(struct log *g, char *line, size_t stage, double error_K, struct nxw_fit *fit)
{
    char *fields[NXW_CSV_FIELDS_MAX], message[NXW_MESSAGE_LENGTH];
    double time, T;
    if (nxw_csv_split(line, fields) != 2)
        return log_fault(g, "wrong number of fields");
    if (!(g->factor_s > 0.0)) {
        const bool minutes = strcmp(fields[0], "time_min") == 0;
        g->factor_s = minutes ? 60.0 : 1.0;
        return (minutes || strcmp(fields[0], "time_s") == 0) &&
                       strcmp(fields[1], "temperature_degC") == 0
                   ? true
                   : log_fault(g, "the first line must be time_min,temperature_degC or "
                                  "time_s,temperature_degC");
    }
    if (!nxw_number_read(fields[0], &time, message) || !nxw_number_read(fields[1], &T, message))
        return log_fault(g, message);
    if (time < 0.0)
        return log_fault(g, "a time below zero is not possible");
    if (g->rows == LOG_ROWS_MAX)
        return log_fault(g, "more than 500 rows are not accepted");
    time *= g->factor_s;
    if (g->rows > 0 && !(time > fit->readings[fit->n_readings - 1].time_s))
        return log_fault(g, "the times must rise");
    g->rows++;
    add(fit,
        (struct nxw_fit_reading){.kind = NXW_FIT_LOG,
                                 .stage = stage,
                                 .value = T + 273.15,
                                 .error = error_K,
                                 .time_s = time},
        "log at %.4g min", time / 60.0);
    return true;
}

static void log_rows(struct log *g, char *text, size_t stage, double error_K, bool assumed,
                     struct nxw_fit *fit)
{
    const size_t first = fit->n_readings;
    for (char *line = text; line != NULL && *line != '\0';) {
        char *end = strchr(line, '\n');
        if (end != NULL)
            *end = '\0';
        g->line++;
        if (line[0] != '#' && line[0] != '\0' && strcmp(line, "\r") != 0 &&
            !log_row(g, line, stage, error_K, fit))
            return;
        line = end != NULL ? end + 1 : NULL;
    }
    if (g->rows == 0) {
        (void)log_fault(g, "no row was found");
        return;
    }
    const struct nxw_fit_reading *m = &fit->readings[first];
    const double span_s = m[g->rows - 1].time_s - m[0].time_s;
    const double alone = fmin((double)g->rows, 1.0 + span_s / LOG_APART_S);
    for (size_t i = first; i < fit->n_readings; i++) {
        fit->readings[i].error *= sqrt((double)g->rows / alone);
        fit->readings[i].error_assumed = assumed;
    }
}

static void add_log(struct nxw_reading *r, struct nxw_node *top, struct nxw_fit *fit)
{
    static const char *const keys[] = {"file", "bottle", "error"};
    const struct nxw_node *node = nxw_tree_get(top, "log"), *map = NULL;
    const char *name, *number = NULL, *error = NULL;
    char message[NXW_MESSAGE_LENGTH], path[NXW_PATH_LENGTH];
    double error_K = LOG_ERROR_K;
    size_t stage, length;
    if (node == NULL)
        return;
    if (node->kind == NXW_NODE_MAP) {
        map = node;
        nxw_check_keys(r, map, NULL, keys, sizeof keys / sizeof keys[0]);
        nxw_require(r, map, "file", "a log");
        name = nxw_read_text(r, map, "file");
        number = nxw_read_text(r, map, "bottle");
        error = nxw_read_text(r, map, "error");
    } else
        name = nxw_read_text(r, top, "log");
    if (name == NULL)
        return;
    if (error != NULL && (!nxw_kelvin_read(error, &error_K, message) || !(error_K > 0.0))) {
        nxw_fault_add(r->faults, node->line, node->column,
                      "'error: %.40s': a difference of temperatures above 0 is wanted, such as "
                      "1 K",
                      error);
        return;
    }
    if (!find_bottle(&fit->base, number != NULL ? number : "", &stage, message)) {
        nxw_fault_add(r->faults, node->line, node->column, "'bottle': %s", message);
        return;
    }
    if (!nxw_named_file(r->path, map != NULL ? nxw_tree_get(map, "file") : node, path, r->faults))
        return;
    enum nxw_read_status status;
    struct nxw_fault_list own = {0};
    char *text = nxw_file_read(path, NXW_PATH_FROM_FILE, LOG_BYTES_MAX, &length, &own, &status);
    struct log g = {node, r->faults, name, 0, 0, 0.0};
    if (status == NXW_READ_MEMORY)
        r->faults->out_of_memory = true;
    else if (text == NULL)
        nxw_fault_add(r->faults, node->line, node->column, "log '%.80s' %s", name,
                      own.n > 0 ? own.faults[0].text : "cannot be read");
    else
        log_rows(&g, text, stage, error_K / NXW_OF_100_95, error == NULL, fit);
    nxw_fault_list_free(&own);
    free(text);
}

/* --------------------------------------------------------------------------------- run */

/* The tree of the case: inside the run's, or a file of its own beside it. */
static enum nxw_exit find_case(const char *path, struct nxw_node *top, struct nxw_fit *fit,
                               struct nxw_fault_list *faults)
{
    struct nxw_node *node = nxw_tree_get(top, "case");
    if (node == NULL) {
        nxw_fault_add(faults, top->line, top->column,
                      "'case' is missing: the case that was run, in a file such as 'case: "
                      "still.yaml', or in this one");
        return NXW_EXIT_CASE;
    }
    if (node->kind == NXW_NODE_MAP) {
        fit->tree = node;
        (void)snprintf(fit->path, sizeof fit->path, "%s", path);
        return NXW_EXIT_DONE;
    }
    if (!nxw_named_file(path, node, fit->path, faults))
        return NXW_EXIT_CASE;
    struct nxw_fault_list own = {0};
    const enum nxw_exit code =
        (enum nxw_exit)nxw_tree_read_file(fit->path, NXW_PATH_FROM_FILE, &fit->tree, &own);
    faults->out_of_memory = faults->out_of_memory || own.out_of_memory;
    nxw_fault_list_free(&own); /* the run's reader has told the others */
    return code;
}

static enum nxw_exit read_run(const char *path, struct nxw_node *top, bool strict,
                              struct nxw_run *run, struct nxw_fit *fit,
                              struct nxw_fault_list *faults)
{
    struct nxw_reading r = {.path = path, .out = &run->in, .notes = &run->notes, .faults = faults};
    enum nxw_exit code = (enum nxw_exit)nxw_run_tree_read(top, path, false, run, faults);
    if (code == NXW_EXIT_DONE)
        code = find_case(path, top, fit, faults);
    if (code != NXW_EXIT_DONE)
        return code;
    fit->base = run->in;
    if (nxw_tree_get(top, "charge") != NULL && fit->base.source.kind == NXW_SOURCE_ACID_VAPOUR)
        add(fit,
            (struct nxw_fit_reading){.kind = NXW_FIT_AVAILABLE,
                                     .value = run->available_mol - run->acid_put_in_mol,
                                     .error = run->available_error_mol,
                                     .error_assumed = run->available_error_assumed},
            "charge: nitrogen");
    add_found(fit, run, nxw_tree_get(top, "found"), strict, faults);
    add_seen(&r, top, fit);
    add_log(&r, top, fit);
    return (enum nxw_exit)nxw_read_outcome(faults);
}

enum nxw_exit nxw_fit_read_text(const char *text, size_t length, bool json, const char *path,
                                bool strict, struct nxw_fit *fit, struct nxw_fault_list *faults)
{
    struct nxw_run *run = malloc(sizeof *run);
    if (run == NULL) {
        faults->out_of_memory = true;
        return NXW_EXIT_INTERNAL;
    }
    enum nxw_exit code = (enum nxw_exit)nxw_tree_read_text(text, length, json, &fit->owned, faults);
    if (fit->owned != NULL && code != NXW_EXIT_INTERNAL)
        code = read_run(path, fit->owned, strict, run, fit, faults);
    nxw_fault_list_sort(faults);
    free(run);
    return code;
}

enum nxw_exit nxw_fit_read_run(const char *path, bool strict, struct nxw_fit *fit)
{
    struct nxw_fault_list faults = {0};
    enum nxw_read_status status;
    size_t length;
    char *text = nxw_file_read(path, NXW_PATH_FROM_COMMAND_LINE, NXW_TREE_BYTES_MAX, &length,
                               &faults, &status);
    enum nxw_exit code = (enum nxw_exit)status;
    if (text != NULL)
        code = nxw_fit_read_text(text, length, nxw_is_json(path), path, strict, fit, &faults);
    nxw_faults_print(stderr, path, &faults);
    nxw_fault_list_free(&faults);
    free(text);
    return code;
}

void nxw_fit_free(struct nxw_fit *fit)
{
    for (size_t i = 0; i < fit->n_unknowns; i++)
        nxw_vary_free(&fit->unknowns[i]);
    const struct nxw_node *inside = fit->owned != NULL ? nxw_tree_get(fit->owned, "case") : NULL;
    if (fit->tree != inside)
        nxw_tree_free(fit->tree);
    nxw_tree_free(fit->owned);
    fit->tree = fit->owned = NULL;
    fit->n_unknowns = 0;
}

/* ---------------------------------------------------------------------------- unknowns */

static enum nxw_exit refuse(const char *given, const char *message, enum nxw_exit code)
{
    (void)fprintf(stderr, "noxwash: --unknown '%.100s': %s\n", given, message);
    return code;
}

/* After a call that failed, errno 0 before it: for want of memory, or for what was given. */
static enum nxw_exit refuse_or_short(const struct nxw_fit *fit, const char *given,
                                     const char *message, enum nxw_exit code)
{
    return errno == ENOMEM ? nxw_run_failed(fit->path, NXW_ERROR_MEMORY, NULL)
                           : refuse(given, message, code);
}

/* Does the case take the value? All others are as they were. */
static enum nxw_exit try_value(struct nxw_fit *fit, const struct nxw_vary *u, double share)
{
    char text[NXW_VARY_TEXT];
    struct nxw_fault_list faults = {0};
    struct nxw_case_notes *notes = malloc(sizeof *notes);
    struct nxw_case *in = malloc(sizeof *in);
    enum nxw_exit code = NXW_EXIT_DONE;
    if (notes == NULL || in == NULL)
        code = nxw_run_failed(fit->path, NXW_ERROR_MEMORY, NULL);
    (void)snprintf(text, sizeof text, "%.12g%s%s", nxw_fit_unknown_value(u, share),
                   u->unit[0] != '\0' ? " " : "", u->unit);
    errno = 0;
    if (code == NXW_EXIT_DONE && !nxw_tree_set(fit->tree, u->path, text))
        code = refuse_or_short(
            fit, u->given, "the case has no such place, or no single value there", NXW_EXIT_CASE);
    if (code == NXW_EXIT_DONE) {
        const enum nxw_read_status status =
            nxw_case_from_tree(fit->tree, fit->path, in, notes, &faults);
        if (status == NXW_READ_MEMORY)
            code = nxw_run_failed(fit->path, NXW_ERROR_MEMORY, NULL);
        else if (status != NXW_READ_OK)
            code =
                refuse(u->given, faults.n > 0 ? faults.faults[0].text : "no case", NXW_EXIT_CASE);
    }
    nxw_fault_list_free(&faults);
    free(notes);
    free(in);
    return code;
}

static enum nxw_exit read_unknown(const char *given, struct nxw_fit *fit)
{
    char message[NXW_VARY_MESSAGE];
    struct nxw_vary *u = &fit->unknowns[fit->n_unknowns];
    errno = 0;
    const bool read = nxw_vary_read(given, true, u, message);
    fit->n_unknowns++; /* freed also on failure */
    if (!read)
        return refuse_or_short(fit, given, message, NXW_EXIT_USAGE);
    if (!u->is_range || u->n > 0)
        return refuse(given, "a range is wanted, such as source.decomposed=10:60 %",
                      NXW_EXIT_USAGE);
    for (size_t i = 0; i + 1 < fit->n_unknowns; i++)
        if (nxw_path_holds(fit->unknowns[i].path, u->path) ||
            nxw_path_holds(u->path, fit->unknowns[i].path))
            return refuse(given, "it is given twice", NXW_EXIT_USAGE);
    enum nxw_exit code = NXW_EXIT_DONE;
    for (int i = 0; i < 3 && code == NXW_EXIT_DONE; i++) /* ends, then the middle stays */
        code = try_value(fit, u, i < 2 ? (double)i : 0.5);
    return code;
}

enum nxw_exit nxw_fit_read_unknowns(const struct nxw_option_list *list, struct nxw_fit *fit)
{
    if (list->n == 0) {
        (void)fputs("noxwash: no unknown; give such as --unknown 'source.decomposed=10:60 %'\n",
                    stderr);
        return NXW_EXIT_USAGE;
    }
    if (list->n > NXW_FIT_UNKNOWNS_MAX) {
        (void)fputs("noxwash: at most 8 unknowns are accepted\n", stderr);
        return NXW_EXIT_USAGE;
    }
    bool made_is_unknown = false;
    for (size_t i = 0; i < list->n; i++) {
        const enum nxw_exit code = read_unknown(list->values[i], fit);
        if (code != NXW_EXIT_DONE)
            return code;
        made_is_unknown |= strcmp(fit->unknowns[i].path, "source.acid made") == 0;
    }
    /* what was charged only tells about what was made; else it is a number compared with itself */
    if (fit->n_readings > 0 && fit->readings[0].kind == NXW_FIT_AVAILABLE && !made_is_unknown)
        memmove(&fit->readings[0], &fit->readings[1], --fit->n_readings * sizeof fit->readings[0]);
    return NXW_EXIT_DONE;
}
