/* How far curves may be off: what each moved run does to them, added up in squares at times of a
 * grid. */
#ifndef NXW_RUN_BANDS_H
#define NXW_RUN_BANDS_H

#include <pthread.h>

#include "study/run_series.h"

enum { NXW_BAND_POINTS = 81 };

struct nxw_bands {
    pthread_mutex_t lock;
    double until_s;
    size_t n_stages;
    const struct nxw_run_series *base;
    const struct nxw_run_series
        *unmoved;                       /* what moved runs are held against; while they are added */
    double charged_mol[NXW_STAGES_MAX]; /* nitrate of the liquids before the run */
    size_t n_runs;                      /* added */
    double square[NXW_CURVES][NXW_STAGES_MAX][NXW_BAND_POINTS]; /* of one standard error */
};

/* Given: base  the course of the case itself; kept by the caller while the bands are used */
void nxw_bands_begin(struct nxw_bands *bands, const struct nxw_run_series *base,
                     const struct nxw_result *result, double until_s);

/* Add a run in which one thing was moved by so many standard errors; from any thread. */
void nxw_bands_add(struct nxw_bands *bands, const struct nxw_run_series *moved, double reach);

/* 95 of 100 such runs lie between, at a point of the grid. */
void nxw_band_at(const struct nxw_bands *bands, const struct nxw_curve *curve, size_t point,
                 double *time_s, double *low, double *high);

#endif
