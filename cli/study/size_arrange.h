/* What the search for a size may change, and the case that a choice of it makes. */
#ifndef NXW_SIZE_ARRANGE_H
#define NXW_SIZE_ARRANGE_H

#include "noxwash.h"

/* In the order of the ladder: what stands first changes last. */
enum nxw_free_quantity {
    NXW_FREE_BOTTLES,
    NXW_FREE_VOLUME,   /* glass and liquid, grown or shrunk in all directions alike */
    NXW_FREE_DEPTH,    /* more or less liquid in the same glass */
    NXW_FREE_TIP,      /* size of the bubbles */
    NXW_FREE_PEROXIDE, /* from what the case has both ways: to none, to enough for all the gas */
    NXW_FREE_ICE,      /* from what the case has both ways, to none around the bottles */
    NXW_FREE_COUNT
};
extern const char *const nxw_free_words[NXW_FREE_COUNT];

struct nxw_free {
    bool chosen; /* by the user; else from an ordinary bottle of plain water, 60 % full */
    bool may[NXW_FREE_COUNT];
    enum nxw_free_quantity lead; /* is made as little as can be; NXW_FREE_BOTTLES: a count alone */
    double peroxide_kg; /* what counts as enough for all the gas; 0: what a run of the case says */
};

/*
 * Read "depth, ice": the first that is no count leads.
 *
 * Given:    text  NULL: volume, bottles, peroxide and ice, the volume leading
 * Returned: false after a message on stderr
 */
bool nxw_free_read(const char *text, struct nxw_free *out);

/* What the case has of peroxide and ice stays as it is unless the user named it. */
void nxw_free_keep(struct nxw_free *free, const struct nxw_case *in);

struct nxw_arrangement {
    bool as_it_is; /* the case with nothing changed; value says nothing */
    /* asked for, where it is free: bottles; m3 of liquid in the first one; its depth as a multiple;
     * m, NAN: the tip as it is; peroxide and ice as a level: share of the peroxide for all the gas
     * in the first bottle (a tenth of it in each further one), kg of ice around each. Where the
     * case has some: up to 1 a part of what it has, above 1 a level, and a bottle that has more
     * keeps it */
    double value[NXW_FREE_COUNT];
    /* what that comes to; of the first bottle, and in all of them */
    size_t bottles;
    bool alike;                                     /* the bottles, but for what is charged */
    double liquid_m3, bottle_m3, depth_m, bubble_m; /* bubble_m: NAN as above */
    double peroxide_mass_fraction, peroxide_kg, ice_kg;
};

/* What an arrangement is made from. */
struct nxw_size_base {
    const struct nxw_case *in;
    const struct nxw_free *free;
    size_t first;             /* bottle */
    size_t own;               /* bottles that the case has */
    double peroxide_kg;       /* for all the gas */
    bool has[NXW_FREE_COUNT]; /* peroxide, ice: the case has some */
};
struct nxw_size_base nxw_size_base_of(const struct nxw_case *in, const struct nxw_free *free,
                                      double peroxide_kg);

/*
 * The case with an arrangement in its place. Empty stages stay where they are. Where the number of
 * bottles is free, those of the case stand first, further ones like its first behind its last.
 *
 * Returned: out; a   what it comes to
 *           false    no room for so many stages, or for so much liquid in the glass
 */
bool nxw_arrange(const struct nxw_size_base *base, struct nxw_arrangement *a, struct nxw_case *out);

enum { NXW_LEAD_POINTS_MAX = 16, NXW_BOTTLES_MOST = 3 };

/* Liquid of a bottle that stands below its tip and cannot be drawn back. */
double nxw_below_tip_m3(const struct nxw_stage *bottle);

/* Values of what leads, from the least on; returns how many. */
size_t nxw_lead_points(const struct nxw_size_base *base, const struct nxw_arrangement *kind,
                       double out[NXW_LEAD_POINTS_MAX]);

/* How many kinds of arrangement there are besides what leads, and the one of a number. */
size_t nxw_kind_count(const struct nxw_size_base *base);
bool nxw_kind(const struct nxw_size_base *base, size_t number, struct nxw_arrangement *out);

/* What leads as people count it: mL, mm, g. */
double nxw_lead_shown(const struct nxw_free *free, const struct nxw_arrangement *a);

#endif
