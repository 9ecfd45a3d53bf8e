/* What can be done for more acid and less escape: changes of a case, run and compared. */
#ifndef NXW_REMEDY_H
#define NXW_REMEDY_H

#include "case_file.h"

enum { NXW_REMEDY_DETAIL = 160, NXW_REMEDY_COUNT = 15, NXW_REMEDY_TOGETHER = 3 };

struct nxw_remedy {
    const char *name; /* for people and machines */
    unsigned group;   /* bit; two of one group exclude each other; 0: none */
    /* false: does not fit this case; detail says why, else what is done */
    bool (*apply)(const struct nxw_case *in, const struct nxw_result *base, struct nxw_case *c,
                  char detail[NXW_REMEDY_DETAIL]);
};
extern const struct nxw_remedy nxw_remedies[NXW_REMEDY_COUNT];

/* One remedy, or up to three together, against the case as it is. */
struct nxw_remedy_run {
    size_t n;
    size_t index[NXW_REMEDY_TOGETHER]; /* in nxw_remedies, rising */
    bool ran;
    char detail[NXW_REMEDY_DETAIL]; /* what was done, or why there is no result; of one remedy */
    double gain_mol;                /* nitric acid */
    double drop_mol;                /* of what escapes, N */
    double nitrous_acid_mol;        /* left in the liquids */
    double peak_temperature_K;      /* of the hottest liquid */
    double peroxide_kg, ice_kg;     /* more than the case has */
    double cost;       /* of peroxide, water and ice at the case's prices; NAN: not priced */
    double worth;      /* of the gain as bought acid; NAN: not priced */
    double at_risk_m3; /* drawn back when the hot vessel cools; NAN: no vessel given */
    unsigned new_warnings;
};

/* Purging for another time than the remedy's own. */
struct nxw_purge {
    bool ran;
    double duration_s, gain_mol, drop_mol;
};
enum { NXW_PURGES = 2 };

struct nxw_remedies {
    struct nxw_result base;
    double peroxide_least_kg, peroxide_most_kg; /* for all the gas: nothing lost aside, or most */
    struct nxw_purge purges[NXW_PURGES];
    double base_nitrous_acid_mol, base_peak_temperature_K;
    struct nxw_remedy_run alone[NXW_REMEDY_COUNT]; /* by gain, those without a result last */
    struct nxw_remedy_run pair, triple;            /* the best of the most helpful; n 0: none */
    size_t runs;
    /* of nxw_remedies_compare; next NULL: not compared, or none is next */
    const struct nxw_remedy_run *next;
    double lead_low_mol, lead_high_mol; /* of the first over it; nineteen of twenty within */
    const char *lead_not_given;         /* NULL, or why they are NAN */
};

/* A gain below this share of what is kept, or a drop below this share of what is fed, is little. */
#define NXW_REMEDY_LITTLE_GAIN 0.02
#define NXW_REMEDY_LITTLE_DROP 0.01

/*
 * Run the case, every remedy alone, and the pairs and triples of the five that gain most.
 *
 * Status: of the run of the case as it is, or NXW_ERROR_CANCELLED
 */
enum nxw_status nxw_remedies_run(const struct nxw_case *in, const struct nxw_case_notes *notes,
                                 nxw_observer *observer, void *user, struct nxw_remedies *out);

/*
 * Run the first and the one next to it under all that is unsure, which is the same for both.
 *
 * Given:    fixed    constants the user set: taken as known
 *           threads  1 or more
 *           stop     looked at between runs
 * Returned: all      next, and by how much the first leads: in acid gained, or where it was chosen
 *                    for that, in what less escapes
 * Status: NXW_OK, _CANCELLED, _MEMORY; or of a run that failed
 */
enum nxw_status nxw_remedies_compare(const struct nxw_case *in, const size_t *fixed, size_t n_fixed,
                                     unsigned threads, bool (*stop)(void),
                                     struct nxw_remedies *all);

/* The remedy that gains most and lets no more escape; where gains are little, the one that holds
 * most back. */
const struct nxw_remedy_run *nxw_remedy_first(const struct nxw_remedies *all);
/* Does it gain more than a little? */
bool nxw_remedy_gains(const struct nxw_remedies *all, const struct nxw_remedy_run *run);

bool nxw_remedy_is_worth_it(const struct nxw_remedies *all, const struct nxw_remedy_run *run);

/* Air through the train for so long after the source has ended; false: it is already. */
bool nxw_purge_apply(struct nxw_case *c, double duration_s, char detail[NXW_REMEDY_DETAIL]);
bool nxw_remedy_is_purge(const struct nxw_remedy_run *run);
bool nxw_remedy_is_peroxide(const struct nxw_remedy_run *run);

/* What the gain is worth less what it costs, where one of them is known; else NAN. */
double nxw_remedy_net(const struct nxw_remedy_run *run);

/* Clearly more is drawn back when the hot vessel cools. */
bool nxw_remedy_raises_risk(const struct nxw_remedies *all, const struct nxw_remedy_run *run);

/* Clearly more goes up the vent with it, whatever it gains. */
bool nxw_remedy_raises_escape(const struct nxw_remedies *all, const struct nxw_remedy_run *run);

/* "second bottle + peroxide" */
void nxw_remedy_names(const struct nxw_remedy_run *run, char *out, size_t size);

#endif
