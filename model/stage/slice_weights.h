/*
 * The slices of a bubble's path: what all bubbles meet there, and how much of a slice's mean
 * content is what comes from below.
 */
#ifndef NXW_SLICE_WEIGHTS_H
#define NXW_SLICE_WEIGHTS_H

#include "stage/bubble.h"
#include "stage/stage.h"

/* What bubbles meet on their way, worked out once for all of them. */
struct nxw_path {
    const struct nxw_stage_plan *plan;
    const struct nxw_liquid *liquid;
    struct nxw_bubble_liquid fluid;
    struct nxw_kL_gas NO, NO2, HNO2;
    double inlet[NXW_POOLS], faster; /* times that contents settle faster than a bubble rises */
    double bubbles_1_s, floor_m3, fresh_mol, fresh_m; /* content and diameter of a fresh bubble */
    double rise_m_s, plume_m_s; /* of a fresh bubble, and what the plume lends */
    double share[NXW_SLICES_MAX], height_m[NXW_SLICES_MAX], P_Pa[NXW_SLICES_MAX]; /* of a slice */
};

/*
 * Weights w of what comes from below, in w below + (1 - w) own, for each slice and pool.
 *
 * Given:    below  contents of the slice below each, in fresh bubbles
 * Returned: w  0 < w <= 0.5
 * Source:   derived: exact for a first-order uptake and, within 3 %, for a bubble of one gas
 */
void nxw_slice_weights(const struct nxw_path *path, double (*below)[NXW_POOLS],
                       double (*w)[NXW_POOLS]);

#endif
