/* The model's side of a fit: values into the case, runs, and what each reading would show. */
#include <math.h>
#include <stdlib.h>

#include "base/many_runs.h"
#include "noxwash.h"
#include "study/fit.h"

/* Differences of runs need less noise than the differences are. */
#define TOLERANCE 1e-9
#define M_HNO3 NXW_MOLAR_MASS_HNO3_KG_MOL
#define M_HNO2 (NXW_MOLAR_MASS_HNO3_KG_MOL - 0.015999) /* one O less; IUPAC */

const struct nxw_fit_unit nxw_fit_units[NXW_FIT_KINDS] = {
    [NXW_FIT_AVAILABLE] = {"mol", 1.0, 0.0},
    [NXW_FIT_RECEIVER] = {"mol N", 1.0, 0.0},
    [NXW_FIT_HELD] = {"mol N", 1.0, 0.0},
    [NXW_FIT_ESCAPED] = {"mol N", 1.0, 0.0},
    [NXW_FIT_STRENGTH] = {"wt%", 100.0, 0.0},
    [NXW_FIT_VOLUME] = {"mL", 1e6, 0.0},
    [NXW_FIT_MASS] = {"g", 1e3, 0.0},
    [NXW_FIT_ACID] = {"mol/L", 1e-3, 0.0},
    [NXW_FIT_NITROUS] = {"mol/L", 1e-3, 0.0},
    [NXW_FIT_PEROXIDE] = {"mol/L", 1e-3, 0.0},
    [NXW_FIT_PEAK_TEMPERATURE] = {"degC", 1.0, -273.15},
    [NXW_FIT_VENT_NO2] = {"ppm", 1e6, 0.0},
    [NXW_FIT_BROWN] = {"min", 1.0 / 60.0, 0.0},
    [NXW_FIT_LOG] = {"degC", 1.0, -273.15},
};

double nxw_fit_unknown_value(const struct nxw_vary *u, double share)
{
    return u->from + share * (u->to - u->from);
}

/* ----------------------------------------------------------------------------- one run */

/* What the observer gathers on the way. */
struct watch {
    const struct nxw_fit *fit;
    double *predicted;
    size_t first_log, next; /* rows of the log: the first, the one not yet passed */
    double brown_fraction, brown_s;
    size_t last_bottle;
    double log_s, log_K, log_seen; /* the row before, of the logged stage */
    double brown_before_s, brown_before;
};

static double between(double x, double x0, double x1, double y0, double y1)
{
    return x1 > x0 ? y0 + (y1 - y0) * (x - x0) / (x1 - x0) : y1;
}

static void watch_log(struct watch *w, const struct nxw_series_row *row)
{
    const struct nxw_fit *fit = w->fit;
    while (w->next < fit->n_readings && fit->readings[w->next].time_s <= row->time_s) {
        const double t = fit->readings[w->next].time_s;
        w->predicted[w->next++] =
            w->log_seen > 0.0 ? between(t, w->log_s, row->time_s, w->log_K, row->temperature_K)
                              : row->temperature_K;
    }
    w->log_s = row->time_s;
    w->log_K = row->temperature_K;
    w->log_seen = 1.0;
}

static bool watch_row(const struct nxw_series_row *row, void *user)
{
    struct watch *w = user;
    const struct nxw_fit *fit = w->fit;
    if (fit->stop != NULL && fit->stop())
        return false;
    if (row->begins) {
        w->next = w->first_log;
        w->log_seen = w->brown_before_s = w->brown_before = 0.0;
        w->brown_s = (double)NAN;
    }
    if (w->next < fit->n_readings && row->stage == fit->readings[w->next].stage)
        watch_log(w, row);
    if (row->stage == w->last_bottle && isnan(w->brown_s)) {
        if (row->headspace_NO2_fraction >= w->brown_fraction)
            w->brown_s = between(w->brown_fraction, w->brown_before, row->headspace_NO2_fraction,
                                 w->brown_before_s, row->time_s);
        w->brown_before = row->headspace_NO2_fraction;
        w->brown_before_s = row->time_s;
    }
    return true;
}

/* The strength a density reading would give, with nitrous acid taken to weigh as nitric does. */
static double apparent_strength(const struct nxw_stage_result *s, double T)
{
    const double kg = s->liquid_m3 * s->density_kg_m3;
    const double acid = s->acid_mass_fraction + s->nitrous_acid_mol * M_HNO2 / kg;
    const double peroxide = s->peroxide_mol * NXW_MOLAR_MASS_H2O2_KG_MOL / kg;
    if (!(peroxide > 1e-6))
        return acid;
    struct nxw_strength strength;
    struct nxw_diagnosis ignored;
    const struct nxw_density_reading reading = {.density_kg_m3 =
                                                    nxw_liquid_density_kg_m3(acid, peroxide, T),
                                                .density_error_kg_m3 = 0.5,
                                                .temperature_K = T};
    (void)nxw_strength_from_density(&reading, &strength, &ignored);
    return strength.mass_fraction; /* NAN where it cannot be read */
}

static double volume_m3(const struct nxw_stage_result *s, double T)
{
    const double kg = s->liquid_m3 * s->density_kg_m3;
    const double acid = s->acid_mass_fraction + s->nitrous_acid_mol * M_HNO2 / kg;
    return kg /
           nxw_liquid_density_kg_m3(acid, s->peroxide_mol * NXW_MOLAR_MASS_H2O2_KG_MOL / kg, T);
}

static double shown(const struct nxw_fit_reading *m, const struct nxw_case *in,
                    const struct nxw_result *r, const struct watch *w)
{
    const struct nxw_stage_result *s = &r->stages[m->stage];
    const double T = m->temperature_K;
    switch (m->kind) {
    case NXW_FIT_AVAILABLE:
        return in->source.acid_made_mol;
    case NXW_FIT_RECEIVER:
        return r->receiver_HNO3_mol;
    case NXW_FIT_HELD:
        return s->nitrate_mol + s->nitrous_acid_mol + s->HOONO_mol + s->NO_aq_mol + s->NO2_aq_mol;
    case NXW_FIT_ESCAPED:
        return r->escaped_mol;
    case NXW_FIT_STRENGTH:
        return apparent_strength(s, T);
    case NXW_FIT_VOLUME:
        return volume_m3(s, T);
    case NXW_FIT_MASS:
        return s->liquid_m3 * s->density_kg_m3;
    case NXW_FIT_ACID:
        return (s->nitrate_mol + s->nitrous_acid_mol) / volume_m3(s, T);
    case NXW_FIT_NITROUS:
        return s->nitrous_acid_mol / volume_m3(s, T);
    case NXW_FIT_PEROXIDE:
        return s->peroxide_mol / volume_m3(s, T);
    case NXW_FIT_PEAK_TEMPERATURE:
        return s->peak_temperature_K;
    case NXW_FIT_VENT_NO2:
        return r->vent_peak_NO2_fraction;
    case NXW_FIT_BROWN:
        /* never, though it was seen: at the end at the earliest */
        return isnan(w->brown_s) && m->value > 0.0 ? r->end_s : w->brown_s;
    case NXW_FIT_LOG:
    case NXW_FIT_KINDS:
        break;
    }
    return (double)NAN;
}

static enum nxw_status run_one(const struct nxw_fit *fit, const struct nxw_case *in,
                               struct nxw_result *r, double *predicted)
{
    struct watch w = {.fit = fit,
                      .predicted = predicted,
                      .brown_fraction = in->parameters.value[NXW_P_brown_NO2_fraction]};
    for (size_t i = 0; i < in->n_stages; i++)
        if (in->stages[i].kind == NXW_STAGE_BOTTLE)
            w.last_bottle = i;
    for (size_t i = 0; i < fit->n_readings; i++)
        predicted[i] = (double)NAN;
    while (w.first_log < fit->n_readings && fit->readings[w.first_log].kind != NXW_FIT_LOG)
        w.first_log++;
    const enum nxw_status status = nxw_estimate(in, watch_row, &w, r);
    if (status < 0)
        return status;
    for (size_t i = 0; i < w.first_log; i++)
        predicted[i] = shown(&fit->readings[i], in, r, &w);
    for (; w.next < fit->n_readings; w.next++) /* the log goes on after the run's end */
        predicted[w.next] = w.log_K;
    return status;
}

/* --------------------------------------------------------------------------- many runs */

struct points {
    const struct nxw_fit *fit;
    const struct nxw_case *cases;
    const bool *good;
    double (*predicted)[NXW_FIT_READINGS_MAX];
};

static enum nxw_status run_point(void *user, size_t i, struct nxw_run_room *room)
{
    const struct points *p = user;
    for (size_t k = 0; k < p->fit->n_readings && !p->good[i]; k++)
        p->predicted[i][k] = (double)NAN;
    return p->good[i] ? run_one(p->fit, &p->cases[i], &room->r, p->predicted[i]) : NXW_OK;
}

/* Give the tree the values of a point and read it: into a case, or what keeps it from being one.
 * The tree has all the places, so that only memory keeps it from taking a value. */
static enum nxw_read_status case_at(struct nxw_fit *fit, const double *point, struct nxw_case *out)
{
    struct nxw_fault_list faults = {0};
    struct nxw_case_notes *notes = malloc(sizeof *notes);
    enum nxw_read_status status = notes != NULL ? NXW_READ_OK : NXW_READ_MEMORY;
    for (size_t k = 0; status == NXW_READ_OK && k < fit->n_unknowns; k++) {
        const struct nxw_vary *u = &fit->unknowns[k];
        char text[NXW_VARY_TEXT];
        (void)snprintf(text, sizeof text, "%.15g%s%s", nxw_fit_unknown_value(u, point[k]),
                       u->unit[0] != '\0' ? " " : "", u->unit);
        if (!nxw_tree_set(fit->tree, u->path, text))
            status = NXW_READ_MEMORY;
    }
    if (status == NXW_READ_OK)
        status = nxw_case_from_tree(fit->tree, fit->path, out, notes, &faults);
    out->relative_tolerance = fmin(out->relative_tolerance, TOLERANCE);
    nxw_fault_list_free(&faults);
    free(notes);
    return status;
}

enum nxw_exit nxw_fit_predict(struct nxw_fit *fit, size_t n,
                              const double (*points)[NXW_FIT_UNKNOWNS_MAX],
                              double (*predicted)[NXW_FIT_READINGS_MAX])
{
    struct nxw_case *cases = calloc(n, sizeof *cases);
    bool *good = calloc(n, sizeof *good), out_of_memory = cases == NULL || good == NULL;
    struct points p = {.fit = fit, .cases = cases, .good = good, .predicted = predicted};
    for (size_t i = 0; i < n && !out_of_memory; i++) {
        const enum nxw_read_status status = case_at(fit, points[i], &cases[i]);
        good[i] = status == NXW_READ_OK;
        out_of_memory = status == NXW_READ_MEMORY;
    }
    const enum nxw_status status =
        out_of_memory ? NXW_ERROR_MEMORY : nxw_many_runs(n, fit->threads, fit->stop, run_point, &p);
    free(cases);
    free(good);
    fit->runs += n;
    if (status == NXW_ERROR_MEMORY)
        return NXW_EXIT_INTERNAL;
    return fit->stop != NULL && fit->stop() ? NXW_EXIT_INTERRUPTED : NXW_EXIT_DONE;
}
