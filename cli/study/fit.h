/*
 * Unknowns of a case from readings of a run, by least squares through the model.
 *
 * Limits count the errors of the readings only: the constants of the model are taken as known.
 */
#ifndef NXW_FIT_H
#define NXW_FIT_H

#include "base/exit_code.h"
#include "base/named_file.h"
#include "base/option_list.h"
#include "case/run_file.h"
#include "study/vary.h"

enum { NXW_FIT_UNKNOWNS_MAX = 8, NXW_FIT_READINGS_MAX = 640, NXW_FIT_NAME = 80 };

/* Above it two unknowns count as not told apart; judgement. */
#define NXW_FIT_CORRELATED 0.95
/* Standard deviation of "anywhere in the range", as a share of the range: 1/sqrt(12). */
#define NXW_FIT_RANGE_DEVIATION 0.288675134594813

enum nxw_fit_kind {
    NXW_FIT_AVAILABLE,        /* mol, acid vapour source */
    NXW_FIT_RECEIVER,         /* mol N */
    NXW_FIT_HELD,             /* mol N in the liquid of a stage */
    NXW_FIT_ESCAPED,          /* mol N */
    NXW_FIT_STRENGTH,         /* mass fraction that a density reads, nitrous acid as nitric */
    NXW_FIT_VOLUME,           /* m3 at the temperature of the reading */
    NXW_FIT_MASS,             /* kg */
    NXW_FIT_ACID,             /* mol/m3 found by alkali */
    NXW_FIT_NITROUS,          /* mol/m3 */
    NXW_FIT_PEROXIDE,         /* mol/m3 */
    NXW_FIT_PEAK_TEMPERATURE, /* K */
    NXW_FIT_VENT_NO2,         /* peak mole fraction */
    NXW_FIT_BROWN,            /* s, until brown gas is seen above the last liquid */
    NXW_FIT_LOG,              /* K at time_s */
    NXW_FIT_KINDS
};

/* How a kind is shown: shown = SI * factor + offset. */
struct nxw_fit_unit {
    const char *unit;
    double factor, offset;
};
extern const struct nxw_fit_unit nxw_fit_units[NXW_FIT_KINDS];
extern const char *const nxw_fit_quantities[NXW_FIT_KINDS]; /* for JSON, with the SI unit */

struct nxw_fit_reading {
    enum nxw_fit_kind kind;
    size_t stage;
    double value, error; /* SI; standard error, > 0 */
    bool error_assumed;
    double temperature_K; /* of the liquid while read */
    double time_s;        /* of a log */
    char name[NXW_FIT_NAME];
};

struct nxw_fit {
    struct nxw_node *owned; /* holds tree, the case's */
    struct nxw_node *tree;
    char path[NXW_PATH_LENGTH]; /* beside which the case's tables are */
    struct nxw_case base; /* without the unknowns' values; tells the kind of source and train */
    size_t n_unknowns;
    struct nxw_vary unknowns[NXW_FIT_UNKNOWNS_MAX]; /* ranges */
    size_t n_readings;
    struct nxw_fit_reading readings[NXW_FIT_READINGS_MAX]; /* those of the log last, in time */
    size_t n_ignored; /* places of the run the model knows nothing of */
    char ignored[NXW_BALANCE_PLACES_MAX][48];
    unsigned threads;
    bool (*stop)(void);
    size_t runs, failed_runs; /* counted */
};

struct nxw_fit_result {
    bool determined; /* limits hold numbers */
    bool converged;
    size_t n;
    double value[NXW_FIT_UNKNOWNS_MAX];  /* in the unit the range was given in */
    double error[NXW_FIT_UNKNOWNS_MAX];  /* standard error; NAN: the readings do not tell */
    bool at_end[NXW_FIT_UNKNOWNS_MAX];   /* of its range */
    bool untold[NXW_FIT_UNKNOWNS_MAX];   /* readings tell less than the range itself */
    bool together[NXW_FIT_UNKNOWNS_MAX]; /* part of a combination that no reading fixes */
    double correlation[NXW_FIT_UNKNOWNS_MAX][NXW_FIT_UNKNOWNS_MAX];
    double weakest;                 /* least eigenvalue of the normal matrix with unit diagonal */
    double chi_square, probability; /* NAN without degrees */
    size_t degrees;
    double widened; /* factor the errors were widened by because the fit is bad; 1: none */
    double predicted[NXW_FIT_READINGS_MAX];
    double standardised[NXW_FIT_READINGS_MAX]; /* (predicted - read)/standard error */
    double leverage[NXW_FIT_READINGS_MAX];     /* 0 to 1; the sum is the number of unknowns */
    /* change of each unknown, in its unit, with one standard error of the reading */
    double pull[NXW_FIT_READINGS_MAX][NXW_FIT_UNKNOWNS_MAX];
    /* per share of the range, readings in standard errors */
    double jacobian[NXW_FIT_READINGS_MAX][NXW_FIT_UNKNOWNS_MAX];
};

/*
 * Read --unknown expressions: PATH=from:to unit.
 *
 * Given:    fit   tree and path; unknowns are filled
 * Status:   0; 2 an expression is wrong; 3 the case does not take a value of the range
 */
enum nxw_exit nxw_fit_read_unknowns(const struct nxw_option_list *list, struct nxw_fit *fit);

/*
 * Read the run file and its case into readings; faults are printed.
 *
 * Given:  strict  a bottle the train does not have, or one of several, is a fault; else the
 *                 reading is left out
 * Status: 0, 3, 6, 70
 */
enum nxw_exit nxw_fit_read_run(const char *path, bool strict, struct nxw_fit *fit);

/* The same from text, faults returned; after 0 there is a tree and there are none. */
enum nxw_exit nxw_fit_read_text(const char *text, size_t length, bool json, const char *path,
                                bool strict, struct nxw_fit *fit, struct nxw_fault_list *faults);
void nxw_fit_free(struct nxw_fit *fit);

/*
 * Run the model at several points.
 *
 * Given:    points     n rows of n_unknowns shares of the ranges, 0 to 1
 * Returned: predicted  n rows of n_readings; a row of NAN where the run failed
 * Status:   0, 70 memory, 130 stopped
 */
enum nxw_exit nxw_fit_predict(struct nxw_fit *fit, size_t n,
                              const double (*points)[NXW_FIT_UNKNOWNS_MAX],
                              double (*predicted)[NXW_FIT_READINGS_MAX]);

/* Status: 0, 5 no start point gave a result, 70, 130. */
enum nxw_exit nxw_fit_run(struct nxw_fit *fit, struct nxw_fit_result *out);

/*
 * Derivatives of all readings at a point: jacobian and predicted of out; what is not finite there
 * could not be computed. Status: 0, 70, 130.
 */
enum nxw_exit nxw_fit_derive(struct nxw_fit *fit, const double x[NXW_FIT_UNKNOWNS_MAX],
                             struct nxw_fit_result *out);

double nxw_fit_unknown_value(const struct nxw_vary *unknown, double share);

/* -------------------------------------------------------------------------------- plan */

enum { NXW_FIT_CANDIDATES_MAX = 64 };

struct nxw_fit_plan {
    size_t n_unknowns, n;
    bool loose;                         /* judged at one of many values that explain the readings */
    double value[NXW_FIT_UNKNOWNS_MAX]; /* where it is judged */
    double before[NXW_FIT_UNKNOWNS_MAX]; /* standard error; the range itself counts as knowledge */
    struct nxw_fit_candidate {
        struct nxw_fit_reading reading; /* value: what the model expects */
        double after[NXW_FIT_UNKNOWNS_MAX];
    } candidates[NXW_FIT_CANDIDATES_MAX];
    size_t best[NXW_FIT_UNKNOWNS_MAX]; /* candidate that narrows it most; n: none */
};

/*
 * What a further reading would tell, at the fit of the readings there are, or without any in the
 * middle of the ranges.
 *
 * Given:    fit  its readings are replaced
 * Status:   0, 5, 70, 130
 */
enum nxw_exit nxw_fit_plan_run(struct nxw_fit *fit, struct nxw_fit_plan *out);

/* ------------------------------------------------------------------------------ telling */

void nxw_fit_print(FILE *out, const char *path, const struct nxw_fit *fit,
                   const struct nxw_fit_result *r);
void nxw_fit_plan_print(FILE *out, const char *path, const struct nxw_fit *fit, bool read,
                        const struct nxw_fit_plan *plan);
/* false: memory or writing failed (errno ENOMEM: memory). */
bool nxw_fit_json(FILE *out, const char *path, const struct nxw_fit *fit,
                  const struct nxw_fit_result *r);
bool nxw_fit_plan_json(FILE *out, const char *path, const struct nxw_fit *fit,
                       const struct nxw_fit_plan *plan);

#endif
