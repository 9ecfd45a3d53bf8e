/* The part of a report about the glass: pressure, tips, what is drawn back, what blocks. */
#ifndef NXW_REPORT_GLASS_H
#define NXW_REPORT_GLASS_H

#include <stdio.h>

#include "report/report_content.h"

void nxw_glass_print(FILE *out, const struct nxw_report *report);

#endif
