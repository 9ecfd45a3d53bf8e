/* A result for people and for programs. */
#ifndef NXW_REPORT_H
#define NXW_REPORT_H

#include <stdio.h>

#include "case_file.h"

/* Table, events in time order and, if wanted, why it escaped. */
void nxw_report_text(FILE *out, const struct nxw_case *in, const struct nxw_case_notes *notes,
                     const struct nxw_result *r, bool why);
/* What to do about it, from real runs of changed cases. */
void nxw_report_verdict(FILE *out, const struct nxw_case *in, const struct nxw_result *r);
void nxw_report_cautions(FILE *out);
/* One JSON document; false when memory or the file fails. */
bool nxw_report_json(FILE *out, const struct nxw_case *in, const struct nxw_case_notes *notes,
                     const struct nxw_result *r);

#endif
