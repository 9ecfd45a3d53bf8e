#include "study/hood_air.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define GAS_J_MOL_K 8.31446261815324
#define SHIFT_S (8.0 * 3600.0)

const char *const nxw_hood_mean_words[NXW_HOOD_MEANS] = {"peak", "15-min mean", "8-h mean"};

double nxw_hood_mol_s(const struct nxw_case *in)
{
    return in->hood_flow_m3_s * in->surroundings_pressure_Pa /
           (GAS_J_MOL_K * in->surroundings_temperature_K);
}

double nxw_hood_kg_s(const struct nxw_case *in, double fraction, double molar_mass_kg_mol)
{
    return fraction * nxw_hood_mol_s(in) * molar_mass_kg_mol;
}

static struct nxw_hood_air hood_air(const struct nxw_case *in, double peak, double mean15,
                                    double escaped_mol)
{
    const double air_mol_s = nxw_hood_mol_s(in);
    if (!(air_mol_s > 0.0))
        return (struct nxw_hood_air){false, {NAN, NAN, NAN}};
    return (struct nxw_hood_air){true,
                                 {peak, mean15, fmax(escaped_mol, 0.0) / (SHIFT_S * air_mol_s)}};
}

struct nxw_hood_air nxw_hood_air_NO2(const struct nxw_case *in, const struct nxw_result *r)
{
    return hood_air(in, r->hood_peak_NO2_fraction, r->hood_mean15_NO2_fraction, r->escaped_NO2_mol);
}

struct nxw_hood_air nxw_hood_air_NO(const struct nxw_case *in, const struct nxw_result *r)
{
    return hood_air(in, r->hood_peak_NO_fraction, r->hood_mean15_NO_fraction, r->escaped_NO_mol);
}

enum nxw_hood_mean nxw_limit_mean(const struct nxw_exposure_limit *limit)
{
    if (strstr(limit->averaging, "ceiling") != NULL || strstr(limit->averaging, "10 min") != NULL)
        return NXW_HOOD_PEAK;
    return strstr(limit->averaging, "8-h") != NULL ? NXW_HOOD_8_H : NXW_HOOD_15_MIN;
}

void nxw_hood_verdict(const struct nxw_hood_air *air, const struct nxw_exposure_limit *limit,
                      char out[NXW_HOOD_VERDICT_LENGTH])
{
    const enum nxw_hood_mean mean = nxw_limit_mean(limit);
    out[0] = '\0';
    if (air->known)
        (void)snprintf(out, NXW_HOOD_VERDICT_LENGTH, "%s: %s", nxw_hood_mean_words[mean],
                       air->fraction[mean] * 1e6 > limit->ppm ? "ABOVE" : "below");
}
