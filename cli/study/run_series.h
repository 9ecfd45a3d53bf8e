/* The course of a run, kept for its curves. */
#ifndef NXW_RUN_SERIES_H
#define NXW_RUN_SERIES_H

#include <stdbool.h>
#include <stddef.h>

#include "noxwash.h"

enum nxw_curve_kind {
    NXW_CURVE_FED,      /* mmol N/min into the first stage */
    NXW_CURVE_VENT_NO,  /* mg/min */
    NXW_CURVE_VENT_NO2, /* mg/min */
    NXW_CURVE_HOOD_NO,  /* ppm in the hood's air */
    NXW_CURVE_HOOD_NO2,
    NXW_CURVE_ACID,        /* mol/L in the liquid */
    NXW_CURVE_NITROUS,     /* mol/L in the liquid */
    NXW_CURVE_PEROXIDE,    /* g */
    NXW_CURVE_TEMPERATURE, /* degC */
    NXW_CURVE_ICE,         /* g */
    NXW_CURVES
};

struct nxw_series_point {
    double time_s;
    size_t stage;
    double litres;            /* of liquid */
    double value[NXW_CURVES]; /* of acid and nitrous acid: mol */
};

struct nxw_run_series {
    size_t n, room;
    bool failed;       /* out of memory */
    double hood_mol_s; /* air drawn by the hood; 0: not known. Set before the run */
    struct nxw_series_point *points;
};

/* Add one row; false: out of memory. */
bool nxw_run_series_add(struct nxw_run_series *series, const struct nxw_series_row *row);
void nxw_run_series_free(struct nxw_run_series *series);

struct nxw_curve {
    enum nxw_curve_kind kind;
    size_t stage;
    double charged_mol; /* of an acid curve: what was there before the run, else 0 */
};

struct nxw_curve_summary {
    double lowest, highest, highest_s, last;
};

/* What a curve does up to a time; false: no point. */
bool nxw_curve_summary(const struct nxw_run_series *series, const struct nxw_curve *curve,
                       double until_s, struct nxw_curve_summary *out);

/* Values at n times from 0 to until_s, on straight lines between the points; NAN without a point.
 */
void nxw_curve_at(const struct nxw_run_series *series, const struct nxw_curve *curve,
                  double until_s, size_t n, double *out);

/* Hand over a curve, thinned out; its lows and highs stay. The last point may lie past until_s. */
void nxw_curve_points(const struct nxw_run_series *series, const struct nxw_curve *curve,
                      double until_s, void (*take)(void *user, double time_s, double value),
                      void *user);

#endif
