/* Defaults of a case and what makes one impossible. */
#include <float.h>
#include <math.h>
#include <stdio.h>

#include "base/diagnosis.h"
#include "properties/chemistry.h"
#include "run/case_numbers.h"

void nxw_case_init(struct nxw_case *c)
{
    *c = (struct nxw_case){.n_stages = 1};
    (void)snprintf(c->name, sizeof c->name, "%s", "case");
    c->source.shape = NXW_SHAPE_RISE_AND_FALL;
    c->source.duration_s = 2700.0;
    c->source.temperature_K = 298.15;
    c->source.condenser_temperature_K = 288.15;
    c->source.condensate_mass_fraction = 0.68;
    c->source.NO2_route_fraction = 0.5;
    c->source.metal_valence = 1.0;
    c->carrier.until_s = INFINITY;
    for (size_t i = 0; i < NXW_STAGES_MAX; i++) {
        struct nxw_stage *s = &c->stages[i];
        s->volume_m3 = 250e-6;
        s->inner_diameter_m = 0.060;
        s->wall_thickness_m = 0.0025;
        s->liquid_m3 = 150e-6;
        s->liquid_temperature_K = NAN;
        s->tip = NXW_TIP_OPEN_TUBE;
        s->bore_m = 0.006;
        s->holes = 1.0;
        s->frit_diameter_m = 0.025;
        s->bubble_diameter_m = 0.005;
        s->tip_clearance_m = 0.005;
        s->depth_m = NAN;
        s->bath = NXW_BATH_AIR;
        s->bath_temperature_K = 293.15;
        s->bath_water_kg = 1.0;
        s->UA_W_K = NAN;
        s->bleed.until_s = INFINITY;
    }
    c->vent_bore_m = 0.006;
    c->vent_length_m = 0.1;
    c->standing_s = 1800.0;
    c->surroundings_temperature_K = 293.15;
    c->surroundings_pressure_Pa = NXW_ATMOSPHERE_PA;
    c->vessel_hot_K = 393.15;
    c->vessel_cool_K = 293.15;
    c->relative_tolerance = 1e-5;
    nxw_parameters_default(&c->parameters);
}

static enum nxw_status refuse(struct nxw_diagnosis *d, const char *path, const char *text)
{
    if (d != NULL) {
        d->status = NXW_ERROR_CASE;
        (void)snprintf(d->path, sizeof d->path, "%s", path);
        (void)snprintf(d->text, sizeof d->text, "%s", text);
    }
    return NXW_ERROR_CASE;
}

/* A unit's conversion multiplies, divides or adds, the number and the bound are rounded as well:
 * half of DBL_EPSILON each, of 273.15 K also where the sum is less. */
#define ROUNDING (8.0 * DBL_EPSILON)

static bool is_as_good_as(double value, double bound)
{
    return isfinite(bound) && fabs(value - bound) <= ROUNDING * fabs(bound);
}

double nxw_at_bound(double value, double low, double high)
{
    return is_as_good_as(value, low) ? low : is_as_good_as(value, high) ? high : value;
}

static bool between(double x, double low, double high)
{
    const double at = nxw_at_bound(x, low, high);
    return at >= low && at <= high; /* false for NAN */
}

#define FILL_MOST 0.95 /* judgement: noxwash.h says why */

double nxw_largest_fill_m3(double volume_m3)
{
    return volume_m3 >= 0.0 && isfinite(volume_m3) ? FILL_MOST * volume_m3 : (double)NAN;
}

enum nxw_status nxw_fill_check(const struct nxw_stage *s, struct nxw_diagnosis *d)
{
    nxw_diagnosis_clear(d);
    if (!(s->volume_m3 > 0.0) || isnan(nxw_largest_fill_m3(s->volume_m3)))
        return refuse(d, "volume", "a glass without a volume takes no liquid");
    if (between(s->liquid_m3, 1e-6, nxw_largest_fill_m3(s->volume_m3)))
        return NXW_OK;
    char text[200];
    const double most_mL = 1e6 * nxw_largest_fill_m3(s->volume_m3);
    /* cut off, not rounded: what is told is accepted */
    const double digit = pow(10.0, floor(log10(most_mL)) - 3.0);
    (void)snprintf(text, sizeof text,
                   "this glass of %.4g mL takes 1 to %.4g mL of liquid: gas in it, the tube and "
                   "what is caught raise the level",
                   1e6 * s->volume_m3, digit * floor(most_mL / digit * (1.0 + ROUNDING)));
    return refuse(d, "liquid", text);
}

static enum nxw_status check_stage(const struct nxw_stage *s, size_t i, struct nxw_diagnosis *d)
{
    char path[64];
    (void)snprintf(path, sizeof path, "train[%zu]", i + 1);
    if (!between(s->volume_m3, 5e-6, 20e-3))
        return refuse(d, path, "the volume must lie between 5 mL and 20 L");
    if (!between(s->inner_diameter_m, 0.005, 0.5))
        return refuse(d, path, "the inner diameter must lie between 5 mm and 500 mm");
    if (!between(s->wall_thickness_m, 0.0005, 0.02))
        return refuse(d, path, "the wall must be 0.5 mm to 20 mm thick");
    if (!between(s->bleed.flow_mol_s, 0.0, 0.1))
        return refuse(d, path, "the bleed must be 0 to about 140 L/min");
    if (!isnan(s->liquid_temperature_K) && !between(s->liquid_temperature_K, 263.15, 343.15))
        return refuse(d, path, "the liquid must start between -10 degC and 70 degC");
    if (!between(s->bath_temperature_K, 263.15, 343.15))
        return refuse(d, path, "the bath must lie between -10 degC and 70 degC");
    if (!isnan(s->UA_W_K) && !between(s->UA_W_K, 0.0, 1000.0))
        return refuse(d, path, "UA must lie between 0 and 1000 W/K");
    if (s->kind == NXW_STAGE_EMPTY)
        return NXW_OK;
    if (nxw_fill_check(s, d) != NXW_OK) {
        if (d != NULL)
            (void)snprintf(d->path, sizeof d->path, "%s.liquid", path);
        return NXW_ERROR_CASE;
    }
    if (!between(s->acid_mass_fraction, 0.0, 0.6))
        return refuse(d, path, "the acid in the charge must lie between 0 and 60 wt% HNO3");
    if (!between(s->peroxide_mass_fraction, 0.0, 0.35))
        return refuse(d, path, "the peroxide in the charge must lie between 0 and 35 wt% H2O2");
    if (!between(s->bore_m, 1e-6, 0.05) || !between(s->holes, 1.0, 1000.0))
        return refuse(d, path, "the tip needs a bore of at most 50 mm and 1 to 1000 holes");
    if (s->tip == NXW_TIP_FRIT &&
        (!between(s->bore_m, 1e-6, 1e-3) || !between(s->frit_diameter_m, 0.001, 0.5)))
        return refuse(d, path, "a frit needs pores of at most 1 mm and a diameter of 1 to 500 mm");
    if (s->tip == NXW_TIP_BUBBLE_DIAMETER && !between(s->bubble_diameter_m, 3e-4, 0.03))
        return refuse(d, path, "the bubble diameter must lie between 0.3 mm and 30 mm");
    if (!isnan(s->depth_m) && !between(s->depth_m, 0.0, 1.0))
        return refuse(d, path, "the depth must lie between 0 and 1 m");
    if (!between(s->ice_kg, 0.0, 50.0))
        return refuse(d, path, "the ice must lie between 0 and 50 kg");
    return NXW_OK;
}

enum nxw_status nxw_case_check(const struct nxw_case *c, struct nxw_diagnosis *d)
{
    if (d != NULL)
        *d = (struct nxw_diagnosis){.status = NXW_OK};
    const struct nxw_source *s = &c->source;
    if (c->n_stages < 1 || c->n_stages > NXW_STAGES_MAX)
        return refuse(d, "train", "a train has 1 to 8 stages");
    if (!between(s->duration_s, 0.1, 2.0 * 86400.0))
        return refuse(d, "source.duration", "the duration must lie between 0.1 s and 48 h");
    if (!between(s->temperature_K, 263.15, 423.15))
        return refuse(d, "source.temperature", "the gas must arrive at -10 degC to 150 degC");
    if (s->kind == NXW_SOURCE_ACID_VAPOUR) {
        if (!between(s->acid_made_mol, 0.0, 1000.0) || !between(s->decomposed_fraction, 0.0, 1.0))
            return refuse(d, "source", "acid made must be 0 to 1000 mol, decomposed 0 to 100 %");
        if (!between(s->condensate_mass_fraction, 0.5, 0.7))
            return refuse(d, "source.condensate", "the condensate must be 50 to 70 wt%");
        if (!between(s->condenser_temperature_K, 263.15, 343.15))
            return refuse(d, "source.condenser temperature", "must lie between -10 and 70 degC");
    }
    if (s->kind == NXW_SOURCE_METAL &&
        (!between(s->metal_mol, 0.0, 1000.0) || !between(s->metal_valence, 1.0, 8.0) ||
         !between(s->NO2_route_fraction, 0.0, 1.0)))
        return refuse(d, "source", "metal must be 0 to 1000 mol, its NO2 share 0 to 100 %");
    if (s->kind == NXW_SOURCE_METERED && s->n_rows == 0 &&
        (!between(s->flow_mol_s, 0.0, 0.1) || !between(s->NO2_fraction, 0.0, 1.0) ||
         !between(s->NO_fraction, 0.0, 1.0) || !between(s->O2_fraction, 0.0, 1.0) ||
         s->NO2_fraction + s->NO_fraction + s->O2_fraction > 1.0 + 1e-9))
        return refuse(d, "source",
                      "shares of the gas must lie between 0 and 100 % and not exceed "
                      "100 % together");
    const bool tabled = s->kind == NXW_SOURCE_TABLE || s->shape == NXW_SHAPE_TABLE || s->n_rows > 0;
    if (tabled && (s->n_rows < 2 || s->n_rows > NXW_SOURCE_ROWS_MAX))
        return refuse(d, "source.file", "a table needs two to 512 rows");
    if (!between(c->carrier.flow_mol_s, 0.0, 0.1))
        return refuse(d, "carrier.flow", "the carrier must be 0 to about 140 L/min");
    if (!between(c->surroundings_temperature_K, 263.15, 323.15) ||
        !between(c->surroundings_pressure_Pa, 5e4, 1.2e5))
        return refuse(d, "surroundings", "-10 to 50 degC and 50 to 120 kPa");
    if (!between(c->vessel_volume_m3, 0.0, 0.2) || !between(c->vessel_hot_K, 173.15, 1273.15) ||
        !between(c->vessel_cool_K, 173.15, 1273.15))
        return refuse(d, "vessel", "0 to 200 L of gas space between -100 and 1000 degC");
    if (!between(c->standing_s, 0.0, 30.0 * 86400.0))
        return refuse(d, "after.standing", "standing must be 0 to 30 days");
    if (!between(c->vent_bore_m, 1e-4, 0.1) || !between(c->vent_length_m, 1e-3, 10.0))
        return refuse(d, "vent", "the vent needs a bore of 0.1 to 100 mm and 1 mm to 10 m length");
    if (!between(c->relative_tolerance, 1e-11, 1e-3))
        return refuse(d, "numerics.relative tolerance", "must lie between 1e-11 and 1e-3");
    if (c->slices > NXW_SLICES_MAX)
        return refuse(d, "numerics.slices", "at most 64 slices");
    for (size_t i = 0; i < c->n_stages; i++) {
        const enum nxw_status status = check_stage(&c->stages[i], i, d);
        if (status != NXW_OK)
            return status;
    }
    return nxw_case_numbers_check(c, d);
}

size_t nxw_first_bottle(const struct nxw_case *in)
{
    const size_t n = in->n_stages < NXW_STAGES_MAX ? in->n_stages : NXW_STAGES_MAX;
    size_t i = 0;
    while (i < n && in->stages[i].kind != NXW_STAGE_BOTTLE)
        i++;
    return i < n ? i : in->n_stages;
}
