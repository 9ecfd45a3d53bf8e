/* The worst case, for people and as JSON. */
#ifndef NXW_WORST_CASE_REPORT_H
#define NXW_WORST_CASE_REPORT_H

#include <stdio.h>

#include "base/json_out.h"
#include "report/report_content.h"

void nxw_worst_case_print(FILE *out, const struct nxw_report *report);
/* Into an object: which answer, all of them, and the constants that matter most; changes are in the
 * unit of the answer. */
void nxw_worst_case_json(struct nxw_json *j, json_t *object, const struct nxw_report *report);

#endif
