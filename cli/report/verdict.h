/* The verdict of an estimate in plain sentences. */
#ifndef NXW_VERDICT_H
#define NXW_VERDICT_H

#include <stdio.h>

#include "report/report_content.h"

void nxw_verdict_print(FILE *out, const struct nxw_report *report);

#endif
