#include <assert.h>
#include <math.h>
#include <stdio.h>

#include "acid.h"
#include "liquid.h"
#include "noxwash.h"
#include "root.h"
#include "water.h"

#define REFERENCE_K 298.15 /* of Parker's heats of dilution */
#define ROOM_K 293.15
#define MELTING_K 273.15
#define BOILING_K 373.15
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
    const double solvent_kg = c->water_kg + c->peroxide_kg, mol = c->acid_kg / NXW_M_HNO3;
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
    const double rho = c->peroxide_kg > 0.0
                           ? nxw_liquid_density_kg_m3(c->acid_kg / m, c->peroxide_kg / m, ROOM_K)
                           : nxw_acid_density_kg_m3(c->acid_kg / m, ROOM_K);
    return m / rho;
}

static void add(struct mixture *mix, struct nxw_blend *out, const struct nxw_blend_part *p,
                double *dilution_J)
{
    const double w = p->acid_mass_fraction, v = p->peroxide_mass_fraction;
    assert(p->mass_kg > 0.0 && w >= 0.0 && v >= 0.0 && w + v <= 1.0 && isfinite(p->temperature_K));
    assert(!p->ice || w + v == 0.0);
    const struct contents c = {p->mass_kg * w, p->mass_kg * v, p->mass_kg * (1.0 - w - v)};
    mix->all.acid_kg += c.acid_kg;
    mix->all.peroxide_kg += c.peroxide_kg;
    mix->all.water_kg += c.water_kg;
    mix->enthalpy_J += heat_capacity(&c) * (p->temperature_K - REFERENCE_K) + dilution_heat(&c) -
                       (p->ice ? p->mass_kg * mix->fusion_J_kg : 0.0);
    *dilution_J += dilution_heat(&c);
    out->parts_volume_20_m3 += volume_20(&c);
}

static enum nxw_status freezes(struct nxw_blend *out, struct nxw_diagnosis *d)
{
    *out = (struct nxw_blend){sizeof *out, NAN, NAN, NAN, NAN, NAN,  NAN,
                              NAN,         NAN, NAN, NAN, NAN, false};
    d->status = NXW_ERROR_RANGE;
    (void)snprintf(d->text, sizeof d->text,
                   "the mixture would be below its freezing point; begin with warmer parts");
    return NXW_ERROR_RANGE;
}

enum nxw_status nxw_blend(const struct nxw_blend_part *parts, size_t n, struct nxw_blend *out,
                          struct nxw_diagnosis *diagnosis)
{
    assert(n >= 1 && n <= NXW_BLEND_PARTS_MAX);
    struct nxw_parameters parameters;
    nxw_parameters_default(&parameters);
    struct mixture mix = {.fusion_J_kg = 1e3 * parameters.value[NXW_P_ice_fusion]};
    double dilution_J = 0.0, ice_kg = 0.0, left_kg = 0.0;
    *diagnosis = (struct nxw_diagnosis){0};
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
            return freezes(out, diagnosis);
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
