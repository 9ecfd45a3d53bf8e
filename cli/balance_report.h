/* What the balance command found, and its two ways of telling it. */
#ifndef NXW_BALANCE_REPORT_H
#define NXW_BALANCE_REPORT_H

#include <stdio.h>

#include "balance_file.h"
#include "fit.h"
#include "json_out.h"
#include "remedy.h"

/* The case run as planned, beside the readings of the run. */
struct nxw_expectation {
    struct nxw_fit fit; /* without unknowns */
    double expected[NXW_FIT_READINGS_MAX];
};

/*
 * Run the case of a run.
 *
 * Returned: out  NULL when the run names no case; nxw_expectation_free
 * Status:   0; 3 a fault in what is only read here (printed); 70, 130
 */
enum nxw_exit nxw_balance_expect(const char *path, const struct nxw_run *run,
                                 struct nxw_expectation **out);
void nxw_expectation_free(struct nxw_expectation *expectation);
void nxw_expectation_print(FILE *out, const struct nxw_expectation *expectation);
json_t *nxw_expectation_json(struct nxw_json *j, const struct nxw_expectation *expectation);

struct nxw_balance_report {
    const char *path;
    const struct nxw_run *run;
    const struct nxw_expectation *expectation; /* NULL: no case */
    const struct nxw_remedies *next;           /* remedies for the case; NULL: not run */
    struct nxw_balance account;
    bool disagree[NXW_BALANCE_PLACES_MAX]; /* readings of one place that cannot all be true */
    bool believed;                         /* nothing of the kind: yields may be given */
};

/* Nitric acid of a place, mol: mean of its best readings, nitrogen counted as nitric acid where
 * nothing else was read; NAN where the place was not. */
double nxw_place_HNO3_mol(const struct nxw_balance_report *report, size_t place);
/* Was the place given as nitrogen alone, which does not tell nitric acid from nitrous? */
bool nxw_place_is_by_nitrogen(const struct nxw_run *run, size_t place);
/* Is the place the receiver, or a bottle of the scrubber? By its name. Both are product. */
bool nxw_place_is_receiver(const char *name);
bool nxw_place_is_scrubber(const char *name);
bool nxw_place_is_product(const char *name);

struct nxw_yields {
    double receiver_mol, scrubber_mol, both_mol; /* HNO3, less what was put in; NAN: not read */
};
struct nxw_yields nxw_balance_yields(const struct nxw_balance_report *report);

/* What was put in against what was found: masses, and peroxide that a density reads as acid. */
void nxw_balance_put_in_print(FILE *out, const struct nxw_balance_report *report);
json_t *nxw_balance_put_in_json(struct nxw_json *j, const struct nxw_balance_report *report);

/* What was spent, and the price of bought acid, from the case's prices where the run says nothing.
 */
void nxw_balance_take_prices(struct nxw_run *run);
/* Cost of the acid against bought acid; what was kept out of the air, and its worth. */
void nxw_balance_cost_print(FILE *out, const struct nxw_balance_report *report);
json_t *nxw_balance_cost_json(struct nxw_json *j, const struct nxw_balance_report *report);

/* What a better arrangement could still have brought. */
void nxw_balance_next_print(FILE *out, const struct nxw_balance_report *report);
json_t *nxw_balance_next_json(struct nxw_json *j, const struct nxw_balance_report *report);

void nxw_balance_print(FILE *out, const struct nxw_balance_report *report);
/* false: out of memory, or writing failed (errno tells which: ENOMEM). */
bool nxw_balance_json(FILE *out, const struct nxw_balance_report *report);

#endif
