/* What leaves at the vent and stands in the hood's air, against exposure limits. */
#ifndef NXW_VENT_TEXT_H
#define NXW_VENT_TEXT_H

#include <stdio.h>

#include "exposure_limits.h"
#include "report_content.h"

/* What is in the hood's air, fractions; hour8: over eight hours in which there is just this run. */
struct nxw_hood_air {
    bool known; /* else the hood's flow was not given */
    double peak, mean15, hour8;
};
struct nxw_hood_air nxw_hood_air_NO2(const struct nxw_report *report);
struct nxw_hood_air nxw_hood_air_NO(const struct nxw_report *report);

/*
 * The hood's air against a limit: "peak: below", "8-h mean: ABOVE".
 *
 * Returned: out  empty when the air is not known
 */
enum { NXW_HOOD_VERDICT_LENGTH = 32 };
void nxw_hood_verdict(const struct nxw_hood_air *air, const struct nxw_exposure_limit *limit,
                      char out[NXW_HOOD_VERDICT_LENGTH]);

void nxw_vent_print(FILE *out, const struct nxw_report *report);

#endif
