/* What is seen along a run: peaks, means, events, the reason to stop early. */
#ifndef NXW_WATCH_H
#define NXW_WATCH_H

#include "run/glass_watch.h"
#include "run/peak.h"

enum { NXW_WATCH_RING = 4096 };
#define NXW_DRAWN_BACK_MOL 1e-4 /* 2.4 mL: less is the vent's breathing */

struct nxw_watch {
    struct nxw_peak temperature_K[NXW_STAGES_MAX];
    double peak_vent_kg_s[2], peak_fraction[2], mean15_kg_s[2], mean15_fraction[2];
    double above_s, last_s;
    double time_s[NXW_WATCH_RING],
        out_mol[NXW_WATCH_RING][2]; /* accumulated, for the 15-minute mean */
    size_t n_ring;
    double peak_flow[NXW_STAGES_MAX];
    bool seen[NXW_EVENT_COUNT][NXW_STAGES_MAX];
    struct nxw_glass_watch glass;
};

/* After each accepted step. */
void nxw_watch_step(const struct nxw_train *train, double t_s, const double *x,
                    struct nxw_watch *watch, struct nxw_result *result);
/* Boiling, nearly dry or far overfull: the run ends there with what it has. */
bool nxw_watch_must_end(const struct nxw_train *train, double t_s, const double *x,
                        struct nxw_watch *watch, struct nxw_result *result);
/* A bottle holds more than its glass: where a run comes to a halt, it ends there with what it has.
 */
bool nxw_watch_is_overfull(const struct nxw_train *train, struct nxw_result *result);
/* One row per stage for the observer; false when it wants no more. */
bool nxw_watch_observe(const struct nxw_train *train, double t_s, const double *x, bool begins,
                       nxw_observer *observer, void *user);
/* Before the run, and when the stages' results stand. */
void nxw_watch_start(struct nxw_watch *watch, struct nxw_result *result);
void nxw_watch_end(const struct nxw_train *train, struct nxw_watch *watch,
                   struct nxw_result *result);

#endif
