/* The parts of the report that is one HTML page. */
#ifndef NXW_REPORT_PAGE_H
#define NXW_REPORT_PAGE_H

#include <stdio.h>

#include "base/tree.h"
#include "report/report_content.h"
#include "study/remedy.h"
#include "study/run_bands.h"
#include "study/run_series.h"

struct nxw_page {
    const struct nxw_report *report;
    const struct nxw_run_series *series;
    const struct nxw_bands *bands;       /* NULL: not run */
    struct nxw_node *given;              /* the case as read, to mark defaults; or NULL */
    const struct nxw_remedies *remedies; /* NULL: not run */
};

/*
 * The whole page.
 *
 * Returned: no_curves  NULL, or why it has none
 *           false      memory was short: the page is of no use
 */
bool nxw_report_page(FILE *out, const struct nxw_page *page, const char **no_curves);

/* The train as a sketch, with what is kept where. */
void nxw_report_train(FILE *out, const struct nxw_report *report);

/* Curves over time; NULL, or why there are none: said on the page too. */
const char *nxw_report_curves(FILE *out, const struct nxw_page *page);

void nxw_report_account(FILE *out, const struct nxw_report *report);
void nxw_report_intervals(FILE *out, const struct nxw_uncertainty *u);
void nxw_report_vent(FILE *out, const struct nxw_report *report);
/* Each remedy: what it brings, what then escapes; the best together; the advice. */
void nxw_report_remedies(FILE *out, const struct nxw_remedies *all, const char *currency);
void nxw_report_why(FILE *out, const struct nxw_result *r);
void nxw_report_sensitivity(FILE *out, const struct nxw_uncertainty *u);
void nxw_report_unproven(FILE *out, const struct nxw_report *report);

/* The sheet for the bench: charge, checks, what will be seen, what to do, readings. */
void nxw_report_sheet(FILE *out, const struct nxw_report *report);

/* "Bottle" when there is one stage, else numbered as the stages are: "Empty trap 1", "Bottle 2". */
void nxw_report_stage_name(const struct nxw_case *in, size_t stage, char out[32]);

#endif
