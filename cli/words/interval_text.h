/* How sure the answers are, and what they hang on. */
#ifndef NXW_INTERVAL_TEXT_H
#define NXW_INTERVAL_TEXT_H

#include <stdio.h>

#include "base/text_layout.h"
#include "study/uncertainty.h"

/* The name of an answer on the command line and in reports, its keys in JSON, and the unit of a
 * small step of it. */
extern const struct nxw_answer_name {
    const char *word, *words, *key, *per_percent_key, *per_error_key, *step_unit;
} nxw_answer_names[NXW_ANSWERS];

/* The answer of a word on the command line; false, and a sentence on stderr, where there is none.
 */
bool nxw_answer_read(const char *word, enum nxw_answer *out);

/* A value of an answer with its unit. */
void nxw_answer_text(enum nxw_answer answer, double value, char out[NXW_AMOUNT_LENGTH]);
/* What one standard error of a factor does to an answer: in the unit of its steps. */
double nxw_factor_step(const struct nxw_factor *f, enum nxw_answer answer, double value);
/* A small change of an answer in the unit of its steps: points for shares. */
double nxw_answer_points(enum nxw_answer answer, double change);

/* Intervals of the answers, and the factors the escape hangs on most. */
void nxw_intervals_print(FILE *out, const struct nxw_uncertainty *u);
/* All that moves the answers, ranked; of an uncertainty with derivatives. */
void nxw_sensitivity_print(FILE *out, const struct nxw_uncertainty *u);

#endif
