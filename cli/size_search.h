/* The smallest arrangement of bottles that meets targets. */
#ifndef NXW_SIZE_SEARCH_H
#define NXW_SIZE_SEARCH_H

#include "noxwash.h"

enum nxw_target_kind {
    NXW_TARGET_CAPTURE,          /* at least; share of the nitrogen fed that is kept as HNO3 */
    NXW_TARGET_VENT,             /* at most, kg/s; peaks of NO and NO2 at the vent added up */
    NXW_TARGET_STRENGTH,         /* at least, mass fraction of HNO3 in the first bottle */
    NXW_TARGET_PEAK_TEMPERATURE, /* at most, K; of the hottest liquid */
    NXW_TARGET_COUNT
};

struct nxw_targets {
    bool given[NXW_TARGET_COUNT];
    double wanted[NXW_TARGET_COUNT];
};

/* Bottles alike, as the case's first one, grown or shrunk in all directions alike. */
struct nxw_arrangement {
    size_t bottles;
    bool peroxide, ice;
    double liquid_m3;           /* in each bottle */
    double peroxide_kg, ice_kg; /* in all of them */
    double bottle_m3;           /* glass of each */
};

struct nxw_size_point {
    struct nxw_arrangement arrangement;
    bool ran, meets;
    bool outside; /* of the range of the constants: does not count as meeting */
    double got[NXW_TARGET_COUNT];
    double margin[NXW_TARGET_COUNT]; /* relative; below 0: missed; temperatures by 20 K */
    enum nxw_target_kind binding;    /* the target of the least margin */
    unsigned warnings;
};

struct nxw_size_result {
    bool found;
    struct nxw_size_point best;  /* found: the smallest that meets; else the closest */
    struct nxw_size_point below; /* found: the next smaller tried, which misses; ran false: none */
    bool range_decides; /* found: what is smaller meets the targets outside the range only */
    bool fails_above;   /* found: a bigger bottle of the same kind misses again */
    struct nxw_size_point above; /* that one */
    double peroxide_kg;          /* for all the gas */
    size_t runs, failed_runs, arrangements;
};

/* Liquid in a bottle: from and to; and to which part the smallest is found. */
#define NXW_SIZE_LEAST_M3 25e-6
#define NXW_SIZE_MOST_M3 1600e-6
#define NXW_SIZE_WIDTH 0.02

/*
 * Search: one bottle, then two, then three; of each plain water, ice, peroxide, both; the volume
 * by doubling, then by halving the bracket in which the targets begin to be met. That more volume
 * goes on meeting them is looked at, not taken for granted.
 *
 * Status: NXW_OK, _CANCELLED, _MEMORY; NXW_ERROR_CASE when the case has no bottle; else that of
 *         the run of the case as it is
 */
enum nxw_status nxw_size_search(const struct nxw_case *in, const struct nxw_targets *targets,
                                nxw_observer *observer, void *user, struct nxw_diagnosis *diagnosis,
                                struct nxw_size_result *out);

/*
 * The case with the best arrangement of a search of it in its place.
 *
 * Status: NXW_OK, NXW_ERROR_MEMORY
 */
enum nxw_status nxw_size_case(const struct nxw_case *in, const struct nxw_size_result *found,
                              struct nxw_case *out);

#endif
