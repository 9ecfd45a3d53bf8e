/* Intervals and sensitivities as JSON. */
#ifndef NXW_INTERVAL_JSON_H
#define NXW_INTERVAL_JSON_H

#include "base/json_out.h"
#include "study/uncertainty.h"

/* kept_fraction_low, kept_fraction_high and so on into the result. */
void nxw_intervals_json(struct nxw_json *j, json_t *result, const struct nxw_uncertainty *u);
/* An array of factors: name, standard error, elasticity and effect on each answer. */
json_t *nxw_sensitivity_json(struct nxw_json *j, const struct nxw_uncertainty *u);

#endif
