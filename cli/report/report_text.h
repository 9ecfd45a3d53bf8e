/* One estimate as a page for the person at the bench. */
#ifndef NXW_REPORT_TEXT_H
#define NXW_REPORT_TEXT_H

#include <stdio.h>

#include "report/report_content.h"

void nxw_estimate_print(FILE *out, const struct nxw_report *report);

/* What the case leaves open and the estimate filled in, as a sentence; empty: nothing. */
enum { NXW_USUAL_LENGTH = 1200 };
void nxw_usual_text(const struct nxw_report *report, char out[NXW_USUAL_LENGTH]);

#endif
