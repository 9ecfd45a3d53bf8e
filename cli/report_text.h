/* One estimate as a page for the person at the bench. */
#ifndef NXW_REPORT_TEXT_H
#define NXW_REPORT_TEXT_H

#include <stdio.h>

#include "report_content.h"

void nxw_estimate_print(FILE *out, const struct nxw_report *report);

#endif
