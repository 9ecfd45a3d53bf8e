/* The part of a report about a train: one column per stage. */
#ifndef NXW_REPORT_TRAIN_H
#define NXW_REPORT_TRAIN_H

#include <stdio.h>

#include "report/report_content.h"

/* Prints nothing for a single stage. */
void nxw_train_print(FILE *out, const struct nxw_report *report);

#endif
