#include "study/run_series.h"

#include <math.h>
#include <stdlib.h>

#include "base/text_layout.h"
#include "noxwash.h"

enum { BINS = 120 }; /* a line of 440 units shows no more */

bool nxw_run_series_add(struct nxw_run_series *series, const struct nxw_series_row *row)
{
    if (row->begins)
        series->n = 0;
    if (series->n == series->room) {
        const size_t room = series->room > 0 ? 2 * series->room : 512;
        struct nxw_series_point *points = realloc(series->points, room * sizeof *points);
        if (points == NULL) {
            series->failed = true;
            return false;
        }
        series->points = points;
        series->room = room;
    }
    const double ppm_s_mol = series->hood_mol_s > 0.0 ? 1e6 / series->hood_mol_s : (double)NAN;
    series->points[series->n++] = (struct nxw_series_point){
        .time_s = row->time_s,
        .stage = row->stage,
        .litres = row->liquid_m3 * 1e3,
        .value = {
            [NXW_CURVE_FED] = row->fed_N_mol_s * 6e4,
            [NXW_CURVE_VENT_NO] =
                fmax(row->vent_NO_mol_s, 0.0) * NXW_MOLAR_MASS_NO_KG_MOL * NXW_MG_MIN,
            [NXW_CURVE_VENT_NO2] =
                fmax(row->vent_NO2_mol_s, 0.0) * NXW_MOLAR_MASS_NO2_KG_MOL * NXW_MG_MIN,
            [NXW_CURVE_HOOD_NO] = fmax(row->vent_NO_mol_s, 0.0) * ppm_s_mol,
            [NXW_CURVE_HOOD_NO2] = fmax(row->vent_NO2_mol_s, 0.0) * ppm_s_mol,
            [NXW_CURVE_ACID] = row->kept_mol,
            [NXW_CURVE_NITROUS] = row->nitrous_acid_mol,
            [NXW_CURVE_PEROXIDE] = row->peroxide_mol * NXW_MOLAR_MASS_H2O2_KG_MOL * 1e3,
            [NXW_CURVE_TEMPERATURE] = row->temperature_K - 273.15,
            [NXW_CURVE_ICE] = row->ice_kg * 1e3,
        }};
    return true;
}

void nxw_run_series_free(struct nxw_run_series *series)
{
    free(series->points);
    *series = (struct nxw_run_series){0};
}

static double value_of(const struct nxw_series_point *p, const struct nxw_curve *curve)
{
    const double value = p->value[curve->kind];
    const bool per_litre = curve->kind == NXW_CURVE_ACID || curve->kind == NXW_CURVE_NITROUS;
    return per_litre ? (value + curve->charged_mol) / p->litres : value;
}

static bool belongs(const struct nxw_series_point *p, const struct nxw_curve *curve, double until_s)
{
    return p->stage == curve->stage && p->time_s <= until_s && isfinite(value_of(p, curve));
}

bool nxw_curve_summary(const struct nxw_run_series *series, const struct nxw_curve *curve,
                       double until_s, struct nxw_curve_summary *out)
{
    bool any = false;
    for (size_t i = 0; i < series->n; i++) {
        const struct nxw_series_point *p = &series->points[i];
        if (!belongs(p, curve, until_s))
            continue;
        out->last = value_of(p, curve);
        if (!any || out->last < out->lowest)
            out->lowest = out->last;
        if (!any || out->last > out->highest) {
            out->highest = out->last;
            out->highest_s = p->time_s;
        }
        any = true;
    }
    return any;
}

void nxw_curve_at(const struct nxw_run_series *series, const struct nxw_curve *curve,
                  double until_s, size_t n, double *out)
{
    double before_s = 0.0, before = (double)NAN;
    size_t k = 0;
    for (size_t i = 0; i < series->n && k < n; i++) {
        const struct nxw_series_point *p = &series->points[i];
        if (!belongs(p, curve, (double)INFINITY))
            continue;
        const double value = value_of(p, curve);
        for (; k < n && until_s * (double)k / (double)(n - 1) <= p->time_s; k++) {
            const double at_s = until_s * (double)k / (double)(n - 1);
            const double share =
                p->time_s > before_s ? (at_s - before_s) / (p->time_s - before_s) : 1.0;
            out[k] = isnan(before) ? value : before + share * (value - before);
        }
        before_s = p->time_s;
        before = value;
    }
    for (; k < n; k++)
        out[k] = before; /* the run has ended */
}

/* The low and the high of one stretch of time, in their order. */
struct bin {
    bool any;
    double low, low_s, high, high_s;
};

static void flush_bin(const struct bin *bin, void (*take)(void *user, double time_s, double value),
                      void *user)
{
    if (!bin->any)
        return;
    const bool low_first = bin->low_s <= bin->high_s;
    take(user, low_first ? bin->low_s : bin->high_s, low_first ? bin->low : bin->high);
    if (bin->low_s < bin->high_s || bin->high_s < bin->low_s)
        take(user, low_first ? bin->high_s : bin->low_s, low_first ? bin->high : bin->low);
}

void nxw_curve_points(const struct nxw_run_series *series, const struct nxw_curve *curve,
                      double until_s, void (*take)(void *user, double time_s, double value),
                      void *user)
{
    struct bin bin = {false, 0.0, 0.0, 0.0, 0.0};
    double bin_end_s = 0.0;
    for (size_t i = 0; i < series->n; i++) {
        const struct nxw_series_point *p = &series->points[i];
        if (!belongs(p, curve, (double)INFINITY))
            continue;
        if (p->time_s > until_s) { /* so that the line reaches the edge */
            flush_bin(&bin, take, user);
            take(user, p->time_s, value_of(p, curve));
            return;
        }
        const double value = value_of(p, curve);
        if (bin.any && p->time_s > bin_end_s) {
            flush_bin(&bin, take, user);
            bin.any = false;
        }
        if (!bin.any) {
            bin = (struct bin){true, value, p->time_s, value, p->time_s};
            bin_end_s = p->time_s + until_s / BINS;
        }
        if (value < bin.low) {
            bin.low = value;
            bin.low_s = p->time_s;
        }
        if (value > bin.high) {
            bin.high = value;
            bin.high_s = p->time_s;
        }
    }
    flush_bin(&bin, take, user);
}
