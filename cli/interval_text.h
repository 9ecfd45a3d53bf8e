/* How sure the answers are, and what they hang on. */
#ifndef NXW_INTERVAL_TEXT_H
#define NXW_INTERVAL_TEXT_H

#include <stdio.h>

#include "text_layout.h"
#include "uncertainty.h"

/* The name of an answer in reports, and in JSON with its unit. */
extern const char *const nxw_answer_words[NXW_ANSWERS];
extern const char *const nxw_answer_keys[NXW_ANSWERS];

/* A value of an answer with its unit. */
void nxw_answer_text(enum nxw_answer answer, double value, char out[NXW_AMOUNT_LENGTH]);
/* What one standard error of a factor does to an answer: a share in points, a temperature in K. */
double nxw_factor_step(const struct nxw_factor *f, enum nxw_answer answer, double value);

/* Intervals of the answers, and the factors the escape hangs on most. */
void nxw_intervals_print(FILE *out, const struct nxw_uncertainty *u);
/* All that moves the answers, ranked. */
void nxw_sensitivity_print(FILE *out, const struct nxw_uncertainty *u);

#endif
