/* One estimate as one JSON document. */
#ifndef NXW_REPORT_JSON_H
#define NXW_REPORT_JSON_H

#include <stdio.h>

#include "report/report_content.h"

#define NXW_REPORT_SCHEMA "noxwash-estimate-1"

/* false: out of memory, or writing failed (errno tells which: ENOMEM). */
bool nxw_estimate_json(FILE *out, const struct nxw_report *report);

#endif
