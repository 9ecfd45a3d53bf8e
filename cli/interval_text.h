/* How sure the answers are, and what they hang on. */
#ifndef NXW_INTERVAL_TEXT_H
#define NXW_INTERVAL_TEXT_H

#include <stdio.h>

#include "uncertainty.h"

/* The name of an answer in reports, and in JSON with its unit. */
extern const char *const nxw_answer_words[NXW_ANSWERS];
extern const char *const nxw_answer_keys[NXW_ANSWERS];

/* Intervals of the answers, and the factors the escape hangs on most. */
void nxw_intervals_print(FILE *out, const struct nxw_uncertainty *u);
/* All that moves the answers, ranked. */
void nxw_sensitivity_print(FILE *out, const struct nxw_uncertainty *u);

#endif
