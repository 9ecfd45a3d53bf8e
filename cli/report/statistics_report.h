/* What the integrator did, for people and as JSON. */
#ifndef NXW_STATISTICS_REPORT_H
#define NXW_STATISTICS_REPORT_H

#include <stdio.h>

#include "base/json_out.h"
#include "noxwash.h"

void nxw_statistics_print(FILE *out, const struct nxw_statistics *statistics);
json_t *nxw_statistics_json(struct nxw_json *j, const struct nxw_statistics *statistics);

#endif
