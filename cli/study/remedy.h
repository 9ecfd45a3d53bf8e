/* What can be done for more acid and less escape: changes of a case, run and compared. */
#ifndef NXW_REMEDY_H
#define NXW_REMEDY_H

#include "case/case_file.h"

enum { NXW_REMEDY_DETAIL = 160, NXW_REMEDY_COUNT = 15, NXW_REMEDY_TOGETHER = 3 };

struct nxw_remedy {
    const char *name; /* for people and machines; true of a train of any length */
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
    bool in_range; /* to its end, or no further outside than the case as it is: else not ranked */
    char detail[NXW_REMEDY_DETAIL]; /* what was done, or why there is no result; of one remedy */
    double gain_mol;                /* nitric acid */
    double drop_mol;                /* of what escapes, N */
    double nitrous_acid_mol;        /* left in the liquids */
    double peak_temperature_K;      /* of the hottest liquid */
    double peroxide_kg, ice_kg;     /* more than the case has */
    double cost;       /* of peroxide, water and ice at the case's prices; NAN: not priced */
    double worth;      /* of the gain as bought acid; NAN: not priced */
    double at_risk_m3; /* drawn back when the hot vessel cools; NAN: no vessel given */
    double gauge_Pa;   /* that the source works against, at its peak */
    unsigned new_warnings;
};

/* Purging for another time than the remedy's own. */
struct nxw_purge {
    bool ran;
    double duration_s, gain_mol, drop_mol;
};
enum { NXW_PURGES = 2 };

struct nxw_remedies {
    enum nxw_aim aim; /* what they are ranked by */
    struct nxw_result base;
    double peroxide_least_kg, peroxide_most_kg; /* for all the gas: nothing lost aside, or most */
    struct nxw_purge purges[NXW_PURGES];
    double base_nitrous_acid_mol, base_peak_temperature_K;
    /* nxw_remedies_rank: those outside the range and then those without a result last */
    struct nxw_remedy_run alone[NXW_REMEDY_COUNT];
    size_t n_helpful;                   /* of them, put together in pairs and triples */
    struct nxw_remedy_run pair, triple; /* the best of the most helpful; n 0: none */
    size_t runs;
    /* of nxw_remedies_compare; next NULL: not compared, or none is next */
    const struct nxw_remedy_run *next;
    double lead_low_mol, lead_high_mol; /* of the first over it; nineteen of twenty within */
    const char *lead_not_given;         /* NULL, or why they are NAN */
};

/* A gain below this share of what is kept, or a drop below this share of what is fed, is little. */
#define NXW_REMEDY_LITTLE_GAIN 0.02
#define NXW_REMEDY_LITTLE_DROP 0.01
/* Of what is fed: no difference. Runs are exact to a tenth of it, and the slices of the bubbles'
 * path to about it (DEVELOPERS.md). */
#define NXW_REMEDY_SAME 1e-3

/*
 * Run the case, every remedy alone, and the pairs and triples of the first five that help.
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
 * Returned: all      next, and by how much the first leads: in what the aim counts
 * Status: NXW_OK, _CANCELLED, _MEMORY; or of a run that failed
 */
enum nxw_status nxw_remedies_compare(const struct nxw_case *in, const size_t *fixed, size_t n_fixed,
                                     unsigned threads, bool (*stop)(void),
                                     struct nxw_remedies *all);

/*
 * Rank runs: under clean air by how much less escapes, where what lowers the escape stands before
 * what raises it; under acid by the nitric acid gained. Runs that differ by little are equal, but
 * not where one lets half as much escape as the other: they go by the other aim, then the simpler
 * first. Those that leave the range of the model, and those without a result, come last.
 */
enum { NXW_REMEDY_RANKED_MAX = NXW_REMEDY_COUNT };
void nxw_remedies_rank(const struct nxw_remedies *all, struct nxw_remedy_run *runs, size_t n);
bool nxw_remedy_is_ranked(const struct nxw_remedy_run *run);

/* What the aim counts: N that escapes less, or acid gained; and what of it is little. */
double nxw_remedy_toward_mol(const struct nxw_remedies *all, const struct nxw_remedy_run *run);
double nxw_remedy_little_mol(const struct nxw_remedies *all, enum nxw_aim aim);

/* Clearly toward the aim, however little. */
bool nxw_remedy_helps(const struct nxw_remedies *all, const struct nxw_remedy_run *run);

/* Inside the range, with no more escape, and with no new danger to the glass or of suck-back. */
bool nxw_remedy_may_be_advised(const struct nxw_remedies *all, const struct nxw_remedy_run *run);

/* May be advised, and is more than a little toward the aim. */
bool nxw_remedy_is_worth_it(const struct nxw_remedies *all, const struct nxw_remedy_run *run);
bool nxw_remedy_is_worth_it_for(const struct nxw_remedies *all, enum nxw_aim aim,
                                const struct nxw_remedy_run *run);

/* The first that may be advised, and the next one worth it; NULL: none. */
const struct nxw_remedy_run *nxw_remedy_first(const struct nxw_remedies *all);
const struct nxw_remedy_run *nxw_remedy_next(const struct nxw_remedies *all);

/* The one alone that does most for an aim and is worth it; NULL: none. */
const struct nxw_remedy_run *nxw_remedy_best_for(const struct nxw_remedies *all, enum nxw_aim aim);

/* Air through the train for so long after the source has ended; false: it is already. */
bool nxw_purge_apply(struct nxw_case *c, double duration_s, char detail[NXW_REMEDY_DETAIL]);
bool nxw_remedy_is_purge(const struct nxw_remedy_run *run);
bool nxw_remedy_is_peroxide(const struct nxw_remedy_run *run);

/* What the gain is worth less what it costs, where one of them is known; else NAN. */
double nxw_remedy_net(const struct nxw_remedy_run *run);

/* What can burst glass or bring liquid to the hot vessel: shown of the case as it is, too. */
#define NXW_REMEDY_DANGERS                                                                         \
    ((unsigned)NXW_WARN_BACK_PRESSURE | (unsigned)NXW_WARN_SUCK_BACK |                             \
     (unsigned)NXW_WARN_STEAM_BURST | (unsigned)NXW_WARN_DRAWN_TO_METAL |                          \
     (unsigned)NXW_WARN_PEROXIDE_DRAWN)

/* The joints do not bear the case as it is, and clearly more pressure comes with it. */
bool nxw_remedy_raises_pressure(const struct nxw_remedies *all, const struct nxw_remedy_run *run);

/* Clearly more is drawn back when the hot vessel cools. */
bool nxw_remedy_raises_risk(const struct nxw_remedies *all, const struct nxw_remedy_run *run);

/* Clearly more goes up the vent with it, whatever it gains. */
bool nxw_remedy_raises_escape(const struct nxw_remedies *all, const struct nxw_remedy_run *run);

/* "peroxide + one more bottle" */
void nxw_remedy_names(const struct nxw_remedy_run *run, char *out, size_t size);

#endif
