#include "vent_text.h"

#include <math.h>
#include <string.h>

#include "exposure_limits.h"
#include "text_layout.h"

enum { AMOUNT = NXW_AMOUNT_LENGTH };

/* What is in the hood's air, fractions; hour8: over eight hours. */
struct hood_air {
    bool known;
    double peak, mean15, hour8;
};

/* The figure to hold against a limit: means of up to half an hour are at most that of 15 min. */
static const char *judged(const struct hood_air *air, const struct nxw_exposure_limit *limit,
                          double *fraction)
{
    if (!air->known)
        return NULL;
    const bool ceiling =
        strstr(limit->averaging, "ceiling") != NULL || strstr(limit->averaging, "10 min") != NULL;
    const bool shift = strstr(limit->averaging, "8-h") != NULL;
    *fraction = ceiling ? air->peak : shift ? air->hour8 : air->mean15;
    return ceiling ? "peak" : shift ? "8-h mean" : "15-min mean";
}

static void print_limits(FILE *out, const char *substance, const struct hood_air *air)
{
    struct nxw_exposure_limit limits[NXW_EXPOSURE_LIMITS_MAX];
    const size_t n = nxw_exposure_limits(limits);
    size_t shown = 0;
    for (size_t i = 0; i < n; i++) {
        if (strcmp(limits[i].substance, substance) != 0)
            continue;
        char ppm[AMOUNT], lead[64], verdict[80] = "";
        double fraction = 0.0;
        const char *figure = judged(air, &limits[i], &fraction);
        if (figure != NULL)
            (void)snprintf(verdict, sizeof verdict, "hood air, %s: %s. ", figure,
                           fraction * 1e6 > limits[i].ppm ? "ABOVE" : "below");
        (void)snprintf(ppm, sizeof ppm, "%g ppm", limits[i].ppm);
        (void)snprintf(lead, sizeof lead, "      limit %-9s ", ppm);
        nxw_wrapf(out, lead, 22, "%s%s (%s): %s%s", verdict, limits[i].name, limits[i].averaging,
                  limits[i].source, limits[i].memory ? "; text not at hand, check" : "");
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
                           double vent, const struct hood_air *air)
{
    char peak[AMOUNT], mean[AMOUNT];
    nxw_rate_text(fmax(peak_kg_s, 0.0), peak);
    nxw_rate_text(fmax(mean15_kg_s, 0.0), mean);
    nxw_wrapf(out, "  ", 4, "%s: about %s at the peak, %s as a 15-min mean", substance, peak, mean);
    ppm_line(out, "vent gas, peak while it flows", vent);
    if (air->known) {
        ppm_line(out, "hood air, peak", air->peak);
        ppm_line(out, "hood air, 15-min mean", air->mean15);
        ppm_line(out, "hood air, 8-h mean with this run", air->hour8);
    }
    print_limits(out, substance, air);
}

/* Over eight hours in which there is just this run; without a hood's flow there is no figure. */
static double hour8_fraction(double escaped_mol, const struct nxw_case *in)
{
    if (!(in->hood_flow_m3_s > 0.0))
        return (double)NAN;
    return fmax(escaped_mol, 0.0) * NXW_ROOM_M3_MOL / (8.0 * 3600.0 * in->hood_flow_m3_s);
}

void nxw_vent_print(FILE *out, const struct nxw_report *report)
{
    const struct nxw_result *r = report->result;
    const struct nxw_case *in = report->in;
    const bool has_hood = in->hood_flow_m3_s > 0.0;
    const struct hood_air NO2 = {has_hood, r->hood_peak_NO2_fraction, r->hood_mean15_NO2_fraction,
                                 hour8_fraction(r->escaped_NO2_mol, in)};
    const struct hood_air NO = {has_hood, r->hood_peak_NO_fraction, r->hood_mean15_NO_fraction,
                                hour8_fraction(r->escaped_NO_mol, in)};
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
    if (!has_hood)
        nxw_wrap(out, "  ", 2,
                 "Give the hood's flow (hood: {flow: 10 m3/min}) to have the strength in its air.");
}
