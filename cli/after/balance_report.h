/* What the balance command found, and its two ways of telling it. */
#ifndef NXW_BALANCE_REPORT_H
#define NXW_BALANCE_REPORT_H

#include <stdio.h>

#include "base/json_out.h"
#include "case/run_file.h"
#include "study/fit.h"
#include "study/remedy.h"

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

/* A place that something was put into. */
struct nxw_put_in_place {
    const char *name;
    double put_in_kg, put_in_error_kg, HNO3_mol, H2O2_mol;
    double found_kg, found_error_kg, caught_mol, caught_error_mol; /* NAN: not read */
    double left_H2O2_mol; /* by titration; NAN: not titrated for it */
    size_t weighed;       /* reading that found_kg is of; n_found: none */
    size_t density;       /* reading by density; n_found: none */
    double reads_as_mol;  /* nitrogen that the peroxide, were all of it left, would pass for */
};
/* The places something was put into, in order. Returns how many. */
size_t nxw_put_in_places(const struct nxw_balance_report *report,
                         struct nxw_put_in_place out[NXW_PUT_IN_MAX]);

/*
 * Mass of a place: what was put in and caught against what was found.
 *
 *   put in + caught as NO - 1/2 O2 of the peroxide  <=  found  <=
 *   put in + caught as HNO3 + water that the case's gas brings
 *
 * NO takes its oxygen from peroxide already in the bottle; HNO3 comes as such. With a receiver of
 * an acid that distils, water comes along: by the case's condensate, or not judged without a case.
 * It is judged at three standard errors.
 */
struct nxw_mass {
    enum nxw_mass_verdict {
        NXW_MASS_NOT_JUDGED, /* not read after the run, or not as a liquid */
        NXW_MASS_AGREES,
        NXW_MASS_TOO_MUCH,
        NXW_MASS_TOO_LITTLE
    } verdict;
    double least_kg, most_kg; /* that can have been found; most_kg INFINITY: any */
    double water_kg;          /* in most_kg, brought by the case's gas */
    double error_kg;          /* standard error of found less that */
    double gap_kg;            /* how far found lies outside; 0: inside */
};
struct nxw_mass nxw_balance_mass(const struct nxw_run *run, const struct nxw_put_in_place *place);
/* How many places were judged, and how many of them do not agree. */
size_t nxw_masses_judged(const struct nxw_balance_report *report, size_t *wrong);
/* The verdict on all of them; nothing where none was judged. */
void nxw_balance_mass_print(FILE *out, const struct nxw_balance_report *report);
extern const char *const nxw_mass_verdicts[4]; /* words of the JSON */

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
