/*
 * How far the answers of one case may be off: each uncertain constant and each input is moved by
 * one standard error up and, where that does more than a little, down, alone, and what that does to
 * the answers is added up in squares, for each side; or all of them are drawn at once, many times
 * over.
 */
#ifndef NXW_UNCERTAINTY_H
#define NXW_UNCERTAINTY_H

#include <stdint.h>

#include "noxwash.h"
#include "study/run_bands.h"

enum nxw_answer {
    NXW_ANSWER_KEPT, /* shares of the nitrogen fed */
    NXW_ANSWER_NITROUS_ACID,
    NXW_ANSWER_ESCAPED,
    NXW_ANSWER_PEAK,     /* degC */
    NXW_ANSWER_VENT,     /* mg/min; peaks of NO and NO2 at the vent added up */
    NXW_ANSWER_STRENGTH, /* mass fraction of HNO3 in the first bottle */
    NXW_ANSWERS
};

enum { NXW_FACTORS_MAX = 160 };

/* One thing that may be wrong. */
struct nxw_factor {
    const char *name;
    size_t constant; /* index of the constant, or nxw_parameter_count(): an input */
    int input;
    bool alone;               /* H of NO2 where the case sets k2: it takes nothing along */
    bool ran;                 /* the moved run, or runs, gave a result */
    bool leaves[NXW_ANSWERS]; /* one of them took a share below 0 % or above 100 % */
    double
        standard; /* logarithm of the ratio by which one standard error moves it; NAN: no ratio */
    /* changes of each answer on the scale they are added on: logit of a share, K, logarithm of a
     * rate; with one standard error up, one down, and their mean or the derivative */
    double up[NXW_ANSWERS], down[NXW_ANSWERS], change[NXW_ANSWERS];
    double elasticity[NXW_ANSWERS]; /* percent per percent; NAN for inputs that are no ratio */
};

struct nxw_uncertainty {
    bool ran, derivatives;
    size_t n_factors, n_failed;
    struct nxw_factor factors[NXW_FACTORS_MAX];
    /* NAN where there is no such answer, as the strength of a train without a bottle */
    double value[NXW_ANSWERS], low[NXW_ANSWERS], high[NXW_ANSWERS]; /* 95 of 100 */
    /* NULL: low <= value <= high; else the reason why low, high and all changes are NAN */
    const char *not_given[NXW_ANSWERS];
    size_t n_draws, n_draws_failed;                         /* 0: nothing was drawn */
    double drawn_low[NXW_ANSWERS], drawn_high[NXW_ANSWERS]; /* 95 of 100 draws */
    /* NULL: drawn_low <= value <= drawn_high; else the reason why both are NAN */
    const char *drawn_not_given[NXW_ANSWERS];
};

/*
 * Given:    in, base  a case and its result
 *           fixed     constants the user set: taken as known
 *           derivatives  changes are derivatives, from differences at tight tolerance; the
 * intervals are not threads   1 or more stop      looked at between runs; or NULL bands     begun;
 * the moved runs are added to them; or NULL Returned: out        ran = false when nothing was fed,
 * or not NXW_OK is returned Status: NXW_ERROR_CANCELLED when stopped, NXW_ERROR_MEMORY
 */
enum nxw_status nxw_uncertainty_run(const struct nxw_case *in, const struct nxw_result *base,
                                    const size_t *fixed, size_t n_fixed, bool derivatives,
                                    unsigned threads, bool (*stop)(void), struct nxw_bands *bands,
                                    struct nxw_uncertainty *out);

/*
 * The same by drawing: a latin hypercube of normal errors over the factors, which are those of an
 * uncertainty that has been run.
 *
 * Returned: u  the draws' figures are filled in
 */
#define NXW_DRAWS_LEAST 40 /* fewer have no 95 of 100 */
enum nxw_status nxw_uncertainty_draw(const struct nxw_case *in, size_t n, uint64_t seed,
                                     unsigned threads, bool (*stop)(void),
                                     struct nxw_uncertainty *u);

/* What leads below and above, as sums of squares: each factor counts on the side that either of its
 * moves leads to, by the longer way. */
struct nxw_sides {
    double less, more;
};
void nxw_sides_add(struct nxw_sides *sides, double up, double down);

/* The uncertain constants of a case as factors, none of which has run; fixed: left out. */
void nxw_factors_of_constants(const struct nxw_case *in, const size_t *fixed, size_t n_fixed,
                              struct nxw_uncertainty *out);

/* Answers on the scale they are added on, and back; shares below 0 % or above 100 %, which acid
 * that was filled in leads to, lie in their order beyond the ends of the scale. */
void nxw_answers_scaled(const struct nxw_case *in, const struct nxw_result *result,
                        double out[NXW_ANSWERS]);
double nxw_answer_plain(enum nxw_answer answer, double scaled);
bool nxw_more_is_worse(enum nxw_answer answer);

/* By how much an answer moves from a value with a change on the scale it is added on. */
double nxw_answer_step(enum nxw_answer answer, double value, double change);

/* Move one factor of a case by z standard errors; H of NO2 takes k2 along, if the case does not set
 * that. */
void nxw_factor_move(const struct nxw_factor *factor, double z, struct nxw_case *c);

/* A constant whose value is an end of its range: it moves to one side, whatever the sign. */
bool nxw_factor_reaches_one_side(const struct nxw_factor *factor);

/* Factors by their part in one answer, greatest first; returns how many matter at all. */
size_t nxw_uncertainty_rank(const struct nxw_uncertainty *u, enum nxw_answer answer,
                            size_t rank[NXW_FACTORS_MAX]);

#endif
