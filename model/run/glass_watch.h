/* Follows a run for the glass: pressures, tips, liquid drawn from stage to stage. */
#ifndef NXW_GLASS_WATCH_H
#define NXW_GLASS_WATCH_H

#include "stage/train.h"

struct nxw_glass_watch {
    double flow_peak_m3_s[NXW_STAGES_MAX];
    double head_mol[NXW_STAGES_MAX];                             /* at the last step */
    double short_m3[NXW_STAGES_MAX], short_at_s[NXW_STAGES_MAX]; /* some seconds ago, and when */
    bool liquid_drawn[NXW_STAGES_MAX];           /* over the crest into this stage, up to now */
    double feed_peak_mol_s, tip_feed_peak_mol_s; /* all that comes in; ahead of the first tip */
    double space_m3_K; /* gas spaces over their temperatures, ahead of the vent, at the peak */
};

/* After each accepted step; sets the figures of the stages in the result and warnings. */
void nxw_glass_watch_step(const struct nxw_train *train, double t_s, const double *x,
                          struct nxw_glass_watch *watch, struct nxw_result *result);

/* When the stages' results stand: suck-back, blockage, warnings. */
void nxw_glass_watch_end(const struct nxw_train *train, const struct nxw_glass_watch *watch,
                         struct nxw_result *result);

#endif
