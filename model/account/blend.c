#include <math.h>

#include "base/diagnosis.h"
#include "base/root.h"
#include "noxwash.h"
#include "properties/acid.h"
#include "properties/water.h"
#include "stage/liquid.h"

#define REFERENCE_K 298.15 /* of Parker's heats of dilution */
#define ROOM_K 293.15
#define MELTING_K 273.15
#define BOILING_K 373.15
#define COLDEST_K 223.15 /* judgement: colder than any freezer */
#define LEAST_KG 1e-9
#define MOST_KG 1e6
#define ROUNDING 1e-9               /* of what converting a unit, and adding shares, leaves */
#define PEROXIDE_HEAT_CAPACITY 0.28 /* what a mass fraction takes off cp/cp_water */

struct contents {
    double acid_kg, peroxide_kg, water_kg;
};

static double mass(const struct contents *c) { return c->acid_kg + c->peroxide_kg + c->water_kg; }

/* J/K */
static double heat_capacity(const struct contents *c)
{
    const double m = mass(c);
    return nxw_water_heat_capacity_J_kgK(REFERENCE_K) *
           (m * nxw_acid_heat_capacity_ratio(c->acid_kg / m) -
            PEROXIDE_HEAT_CAPACITY * c->peroxide_kg);
}

/* Heat that endless dilution would set free, J; peroxide counts as solvent. */
static double dilution_heat(const struct contents *c)
{
    const double solvent_kg = c->water_kg + c->peroxide_kg,
                 mol = c->acid_kg / NXW_MOLAR_MASS_HNO3_KG_MOL;
    double slope;
    if (mol == 0.0)
        return 0.0;
    if (solvent_kg <= 0.0)
        return mol * nxw_acid_dilution_heat_J_mol(1e9, &slope); /* the pure acid */
    return mol * nxw_acid_dilution_heat_J_mol(mol / solvent_kg, &slope);
}

struct mixture {
    struct contents all; /* with all ice melted */
    double enthalpy_J;   /* of all parts, over water at REFERENCE_K and endlessly dilute acid */
    double fusion_J_kg;
};

/* Temperature of the mixture if so much of the ice were left; mixed: what is liquid then. */
static double temperature_with(const struct mixture *m, double ice_kg, struct contents *mixed)
{
    *mixed = m->all;
    mixed->water_kg -= ice_kg;
    const double cp_ice_side = nxw_water_heat_capacity_J_kgK(REFERENCE_K);
    const double of_ice_J = ice_kg * (cp_ice_side * (MELTING_K - REFERENCE_K) - m->fusion_J_kg);
    return REFERENCE_K + (m->enthalpy_J - of_ice_J - dilution_heat(mixed)) / heat_capacity(mixed);
}

/* How far the liquid is above its freezing point. */
static double above_freezing(double ice_kg, void *user)
{
    struct contents mixed;
    const double T = temperature_with(user, ice_kg, &mixed);
    return T - nxw_acid_freezing_K(mixed.acid_kg / mass(&mixed));
}

static double volume_20(const struct contents *c)
{
    const double m = mass(c);
    const double rho =
        c->peroxide_kg > 0.0
            ? nxw_liquid_density_curve_kg_m3(c->acid_kg / m, c->peroxide_kg / m, ROOM_K)
            : nxw_acid_density_curve_kg_m3(c->acid_kg / m, ROOM_K);
    return m / rho;
}

static void add(struct mixture *mix, struct nxw_blend *out, const struct nxw_blend_part *p,
                double *dilution_J)
{
    const double w = p->acid_mass_fraction, v = p->peroxide_mass_fraction;
    const struct contents c = {p->mass_kg * w, p->mass_kg * v, p->mass_kg * (1.0 - w - v)};
    mix->all.acid_kg += c.acid_kg;
    mix->all.peroxide_kg += c.peroxide_kg;
    mix->all.water_kg += c.water_kg;
    mix->enthalpy_J += heat_capacity(&c) * (p->temperature_K - REFERENCE_K) + dilution_heat(&c) -
                       (p->ice ? p->mass_kg * mix->fusion_J_kg : 0.0);
    *dilution_J += dilution_heat(&c);
    out->parts_volume_20_m3 += volume_20(&c);
}

static enum nxw_status check_part(const struct nxw_blend_part *p, size_t i, struct nxw_diagnosis *d)
{
    const enum nxw_status no = NXW_ERROR_RANGE;
    const double w = p->acid_mass_fraction, v = p->peroxide_mass_fraction, T = p->temperature_K;
    if (!(p->mass_kg >= LEAST_KG && p->mass_kg <= MOST_KG))
        return nxw_refuse(d, no, "part %zu: a mass lies between 1 ug and 1000 t", i + 1);
    if (!(w >= 0.0 && v >= 0.0 && w + v <= 1.0 + ROUNDING))
        return nxw_refuse(d, no,
                          "part %zu: acid and peroxide are shares of its mass, 0 or more and "
                          "together at most 1",
                          i + 1);
    if (!(T >= COLDEST_K && T <= BOILING_K))
        return nxw_refuse(d, no, "part %zu: a temperature lies between -50 and 100 degC", i + 1);
    if (p->ice && (w > 0.0 || v > 0.0 || fabs(T - MELTING_K) > ROUNDING * MELTING_K))
        return nxw_refuse(d, no, "part %zu: ice is pure, and counted at 0 degC", i + 1);
    return NXW_OK;
}

/*
 * Acid is not planned together with strong peroxide. No mixture is stronger in peroxide than the
 * strongest of its parts, so the parts are all that is looked at.
 */
static enum nxw_status check_together(const struct nxw_blend_part *parts, size_t n,
                                      struct nxw_diagnosis *d)
{
    size_t strongest = 0;
    bool acid = false;
    for (size_t i = 0; i < n; i++) {
        acid |= parts[i].acid_mass_fraction > 0.0;
        if (parts[i].peroxide_mass_fraction > parts[strongest].peroxide_mass_fraction)
            strongest = i;
    }
    const double v = parts[strongest].peroxide_mass_fraction;
    if (!acid || !(v > NXW_PEROXIDE_MOST * (1.0 + ROUNDING)))
        return NXW_OK;
    return nxw_refuse(
        d, NXW_ERROR_RANGE,
        "part %zu holds %.4g wt%% H2O2, and there is acid in the mixture: acid is not "
        "planned together with peroxide above %.3g wt%%, in any order (it can heat up, "
        "boil and burst the vessel). Dilute the peroxide with water first, by itself, "
        "to %.3g wt%% or less, and let it cool",
        strongest + 1, 100.0 * v, 100.0 * NXW_PEROXIDE_MOST, 100.0 * NXW_PEROXIDE_MOST);
}

static enum nxw_status check(const struct nxw_blend_part *parts, size_t n, struct nxw_diagnosis *d)
{
    if (n < 1 || n > NXW_BLEND_PARTS_MAX)
        return nxw_refuse(d, NXW_ERROR_RANGE, "a mixture has 1 to %d parts",
                          (int)NXW_BLEND_PARTS_MAX);
    for (size_t i = 0; i < n; i++) {
        const enum nxw_status status = check_part(&parts[i], i, d);
        if (status != NXW_OK)
            return status;
    }
    return check_together(parts, n, d);
}

static enum nxw_status no_blend(struct nxw_blend *out, enum nxw_status status)
{
    *out = (struct nxw_blend){sizeof *out, NAN, NAN, NAN, NAN, NAN,  NAN,
                              NAN,         NAN, NAN, NAN, NAN, false};
    return status;
}

enum nxw_status nxw_blend(const struct nxw_blend_part *parts, size_t n, struct nxw_blend *out,
                          struct nxw_diagnosis *diagnosis)
{
    nxw_diagnosis_clear(diagnosis);
    const enum nxw_status status = check(parts, n, diagnosis);
    if (status != NXW_OK)
        return no_blend(out, status);
    struct nxw_parameters parameters;
    nxw_parameters_default(&parameters);
    struct mixture mix = {.fusion_J_kg = 1e3 * parameters.value[NXW_P_ice_fusion]};
    double dilution_J = 0.0, ice_kg = 0.0, left_kg = 0.0;
    *out = (struct nxw_blend){.bytes = sizeof *out};
    for (size_t i = 0; i < n; i++) {
        add(&mix, out, &parts[i], &dilution_J);
        ice_kg += parts[i].ice ? parts[i].mass_kg : 0.0;
    }
    if (above_freezing(0.0, &mix) < 0.0) {
        /* not more than a trace short of all: something must be liquid */
        const double most_kg = fmin(ice_kg, mass(&mix.all) * (1.0 - 1e-9));
        if (most_kg <= 0.0 ||
            !nxw_root(above_freezing, &mix, 0.0, most_kg, 1e-12 * most_kg, &left_kg))
            return no_blend(out, nxw_refuse(diagnosis, NXW_ERROR_RANGE,
                                            "the mixture would be below its freezing point; begin "
                                            "with warmer parts"));
    }
    struct contents mixed;
    out->temperature_K = temperature_with(&mix, left_kg, &mixed);
    out->ice_left_kg = left_kg;
    out->mass_kg = mass(&mix.all);
    out->acid_kg = mixed.acid_kg;
    out->peroxide_kg = mixed.peroxide_kg;
    out->acid_mass_fraction = mixed.acid_kg / mass(&mixed);
    out->peroxide_mass_fraction = mixed.peroxide_kg / mass(&mixed);
    out->heat_J = dilution_J - dilution_heat(&mixed);
    out->volume_20_m3 = volume_20(&mixed);
    out->density_20_kg_m3 = mass(&mixed) / out->volume_20_m3;
    out->boils = out->temperature_K > BOILING_K;
    return NXW_OK;
}
