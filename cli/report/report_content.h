/* What a report of one estimate is made of. */
#ifndef NXW_REPORT_CONTENT_H
#define NXW_REPORT_CONTENT_H

#include "case/case_file.h"
#include "noxwash.h"
#include "study/uncertainty.h"
#include "study/what_if.h"
#include "study/worst_case.h"

struct nxw_report {
    const char *path; /* of the case */
    const struct nxw_case *in;
    const struct nxw_case_notes *notes;
    const struct nxw_result *result;
    const struct nxw_what_ifs *what_ifs;       /* NULL: not run */
    const struct nxw_worst_case *worst;        /* NULL: not asked for */
    const struct nxw_uncertainty *uncertainty; /* NULL: not run */
    const char *other_path;                    /* of the case compared with; NULL: none */
    const struct nxw_case *other_in;
    const struct nxw_result *other;
    bool why;   /* the ways of escape in full */
    bool stats; /* what the integrator did */
};

#endif
