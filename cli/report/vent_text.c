#include "report/vent_text.h"

#include <math.h>
#include <string.h>

#include "base/text_layout.h"
#include "study/hood_air.h"

enum { AMOUNT = NXW_AMOUNT_LENGTH };

static void print_limits(FILE *out, const char *substance, const struct nxw_hood_air *air)
{
    struct nxw_exposure_limit limits[NXW_EXPOSURE_LIMITS_MAX];
    const size_t n = nxw_exposure_limits(limits);
    size_t shown = 0;
    for (size_t i = 0; i < n; i++) {
        if (strcmp(limits[i].substance, substance) != 0)
            continue;
        char ppm[AMOUNT], lead[64], verdict[NXW_HOOD_VERDICT_LENGTH];
        nxw_hood_verdict(air, &limits[i], verdict);
        (void)snprintf(ppm, sizeof ppm, "%g ppm", limits[i].ppm);
        (void)snprintf(lead, sizeof lead, "      limit %-9s ", ppm);
        nxw_wrapf(out, lead, 22, "%s%s%s%s (%s): %s%s", air->known ? "hood air, " : "", verdict,
                  air->known ? ". " : "", limits[i].name, limits[i].averaging, limits[i].source,
                  limits[i].memory ? "; text not at hand, check" : "");
        shown++;
    }
    if (shown == 0)
        (void)fprintf(out, "      no exposure limits for %s at hand: look them up\n", substance);
}

static void ppm_line(FILE *out, const char *where, double fraction)
{
    char ppm[AMOUNT];
    if (!isfinite(fraction))
        return;
    nxw_ppm_text(fraction, 2, ppm);
    (void)fprintf(out, "    %-32s %s%s\n", where, nxw_about(ppm), ppm);
}

static void print_vent_gas(FILE *out, const char *substance, double peak_kg_s, double mean15_kg_s,
                           double vent, const struct nxw_hood_air *air)
{
    char peak[AMOUNT], mean[AMOUNT];
    nxw_rate_text(fmax(peak_kg_s, 0.0), peak);
    nxw_rate_text(fmax(mean15_kg_s, 0.0), mean);
    nxw_wrapf(out, "  ", 4, "%s: about %s at the peak, %s as a 15-min mean", substance, peak, mean);
    ppm_line(out, "vent gas, peak while it flows", vent);
    if (air->known) {
        ppm_line(out, "hood air, peak", air->fraction[NXW_HOOD_PEAK]);
        ppm_line(out, "hood air, 15-min mean", air->fraction[NXW_HOOD_15_MIN]);
        ppm_line(out, "hood air, 8-h mean with this run", air->fraction[NXW_HOOD_8_H]);
    }
    print_limits(out, substance, air);
}

void nxw_vent_print(FILE *out, const struct nxw_report *report)
{
    const struct nxw_result *r = report->result;
    const struct nxw_hood_air NO2 = nxw_hood_air_NO2(report->in, r),
                              NO = nxw_hood_air_NO(report->in, r);
    (void)fputs("\nAt the vent\n", out);
    print_vent_gas(out, "NO2", r->vent_peak_NO2_kg_s, r->vent_mean15_NO2_kg_s,
                   r->vent_peak_NO2_fraction, &NO2);
    print_vent_gas(out, "NO", r->vent_peak_NO_kg_s, r->vent_mean15_NO_kg_s,
                   r->vent_peak_NO_fraction, &NO);
    char time[AMOUNT], limit[AMOUNT];
    nxw_time_text(r->vent_time_above_s, time);
    nxw_number_text(report->in->parameters.value[NXW_P_vent_limit_NO2], 2, limit);
    if (r->vent_time_above_s > 0.0)
        (void)fprintf(out, "  more than %s mg/min NO2 for %s in all\n", limit, time);
    if (!NO2.known)
        nxw_wrap(out, "  ", 2,
                 "Give the hood's flow (hood: {flow: 10 m3/min}) to have the strength in its air.");
}
