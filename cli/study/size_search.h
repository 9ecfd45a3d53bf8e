/* The smallest arrangement of bottles that meets targets. */
#ifndef NXW_SIZE_SEARCH_H
#define NXW_SIZE_SEARCH_H

#include "study/size_arrange.h"
#include "study/size_target.h"

/* The glass that goes with an arrangement. NAN: not known without the case's vessel. */
struct nxw_size_glass {
    double headspace_m3;  /* of the first bottle as charged */
    double above_tips_m3; /* liquid of all bottles that can be drawn back at all */
    double trap_m3;       /* empty vessels ahead of the first bottle that hold what is drawn back */
    double crest_m;       /* above the liquid: a tube that rises so far holds it back by itself */
    double between_m3; /* empty vessel between two bottles, where one draws on the next; else 0 */
    double ice_melted_kg;
};

struct nxw_size_point {
    struct nxw_arrangement arrangement;
    bool ran, meets;
    bool outside; /* of the range of the constants: does not count as meeting */
    double got[NXW_TARGET_COUNT];
    double margin[NXW_TARGET_COUNT]; /* relative; below 0: missed; temperatures by 20 K */
    enum nxw_target_kind binding;    /* the target of the least margin */
    double vent_kg_s;                /* NO and NO2, their peaks added up */
    struct nxw_size_glass glass;
    unsigned warnings;
};

struct nxw_size_result {
    bool found;
    struct nxw_size_point best;  /* found: the smallest that meets; else the closest. The case as it
                                  * is is among those tried */
    struct nxw_size_point below; /* found: the next smaller tried, which misses; ran false: none */
    bool range_decides; /* found: what is smaller meets the targets outside the range only */
    bool fails_above;   /* found: a bigger one of the same kind misses again */
    struct nxw_size_point above;    /* that one */
    double peroxide_kg;             /* for all the gas */
    double tried_least, tried_most; /* of what leads: nxw_lead_shown */
    size_t runs, failed_runs, arrangements;
};

#define NXW_SIZE_WIDTH 0.02 /* to which part the smallest is found */

/*
 * Search: the case as it is, then the kinds of arrangement one after another, one bottle, then two,
 * then three, from the one with least done to it; of each what leads, by doubling, then by halving
 * the bracket in which the targets begin to be met. That more goes on meeting them is looked at,
 * not taken for granted.
 *
 * Status: NXW_OK, _CANCELLED, _MEMORY; NXW_ERROR_CASE when the case has no bottle; else that of
 *         the run of the case as it is
 */
enum nxw_status nxw_size_search(const struct nxw_case *in, const struct nxw_targets *targets,
                                const struct nxw_free *free, nxw_observer *observer, void *user,
                                struct nxw_diagnosis *diagnosis, struct nxw_size_result *out);

/* The case with the best arrangement of a search of it in its place. */
void nxw_size_case(const struct nxw_case *in, const struct nxw_free *free,
                   const struct nxw_size_result *found, struct nxw_case *out);

#endif
