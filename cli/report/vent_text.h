/* What leaves at the vent and stands in the hood's air, against exposure limits. */
#ifndef NXW_VENT_TEXT_H
#define NXW_VENT_TEXT_H

#include <stdio.h>

#include "report/report_content.h"

void nxw_vent_print(FILE *out, const struct nxw_report *report);

#endif
