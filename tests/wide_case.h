/*
 * Cases over the whole range that the program is told to stand: 1 mL/min to 10 L/min, 0.1 s to 48
 * h, a ppb to pure NO2, water to 60 % acid and 12 % peroxide, 1 to 8 stages, 0 to 60 degC, 5 mL to
 * 20 L, 1 mm to 50 cm deep, with and without carrier. The draws are the includer's: uniform and
 * logarithmic.
 */
#ifndef NXW_WIDE_CASE_H
#define NXW_WIDE_CASE_H

#include <math.h>

#include "noxwash.h"

static inline bool chance(double share) { return uniform(0.0, 1.0) < share; }

/* At 20 degC and 1 atm. */
static inline double wide_flow_mol_s(void) { return logarithmic(1e-3, 10.0) / 60.0 / 24.055; }

static inline void wide_tip(struct nxw_stage *s)
{
    const double level_m = s->liquid_m3 / (0.785 * s->inner_diameter_m * s->inner_diameter_m);
    s->depth_m = chance(0.3) ? (double)NAN : fmin(logarithmic(1e-3, 0.5), level_m);
    const double kind = uniform(0.0, 1.0);
    if (kind < 0.3) {
        s->tip = NXW_TIP_OPEN_TUBE;
        s->bore_m = uniform(1e-3, 1e-2);
    } else if (kind < 0.5) {
        s->tip = NXW_TIP_HOLES;
        s->bore_m = uniform(0.5e-3, 3e-3);
        s->holes = floor(uniform(1.0, 13.0));
    } else if (kind < 0.7) {
        s->tip = NXW_TIP_FRIT;
        s->bore_m = logarithmic(16e-6, 250e-6);
        s->frit_diameter_m = uniform(0.005, 0.05);
    } else {
        s->tip = NXW_TIP_BUBBLE_DIAMETER;
        s->bubble_diameter_m = logarithmic(5e-4, 0.02);
    }
}

static inline void wide_stage(struct nxw_stage *s)
{
    s->kind = chance(0.15) ? NXW_STAGE_EMPTY : NXW_STAGE_BOTTLE;
    s->volume_m3 = logarithmic(5e-6, 20e-3);
    s->inner_diameter_m = cbrt(s->volume_m3) * uniform(0.4, 1.1);
    s->liquid_m3 = fmax(1e-6, s->volume_m3 * uniform(0.05, 0.95));
    s->acid_mass_fraction = chance(0.4) ? 0.0 : uniform(0.0, 0.6);
    s->peroxide_mass_fraction = chance(0.5) ? 0.0 : uniform(0.0, 0.12);
    s->bath = chance(0.5) ? NXW_BATH_AIR : chance(0.5) ? NXW_BATH_WATER : NXW_BATH_ICE_WATER;
    s->bath_temperature_K = 273.15 + uniform(0.0, 60.0);
    s->bath_stirred = chance(0.5);
    s->ice_kg = uniform(0.0, 2.0);
    wide_tip(s);
    if (!chance(0.2))
        return;
    s->bleed.gas = chance(0.7) ? NXW_GAS_AIR : NXW_GAS_OXYGEN;
    s->bleed.flow_mol_s = wide_flow_mol_s();
}

static inline void wide_source(struct nxw_source *s)
{
    s->kind = chance(0.6)   ? NXW_SOURCE_METERED
              : chance(0.5) ? NXW_SOURCE_METAL
                            : NXW_SOURCE_ACID_VAPOUR;
    s->shape = chance(0.5) ? NXW_SHAPE_STEADY : NXW_SHAPE_RISE_AND_FALL;
    s->duration_s = logarithmic(0.1, 48.0 * 3600.0);
    s->temperature_K = 273.15 + uniform(0.0, 60.0);
    s->flow_mol_s = wide_flow_mol_s();
    const double rich = uniform(0.0, 1.0);
    s->NO2_fraction = rich < 0.1 ? 1.0 : rich < 0.7 ? logarithmic(1e-9, 1.0) : rich;
    s->NO_fraction = chance(0.5) ? 0.0 : uniform(0.0, 1.0 - s->NO2_fraction);
    s->O2_fraction = chance(0.3) ? 0.0 : uniform(0.0, 1.0 - s->NO2_fraction - s->NO_fraction);
    /* so much that its gas flows within the range of a metered one */
    const double amount_mol = wide_flow_mol_s() * s->duration_s;
    s->metal_mol = fmin(amount_mol, 10.0);
    s->metal_valence = chance(0.5) ? 1.0 : 2.0;
    s->NO2_route_fraction = uniform(0.0, 1.0);
    s->acid_made_mol = fmin(amount_mol, 20.0);
    s->decomposed_fraction = uniform(0.0, 1.0);
}

static inline struct nxw_case wide_case(void)
{
    struct nxw_case c;
    nxw_case_init(&c);
    wide_source(&c.source);
    if (chance(0.5)) {
        const double kind = uniform(0.0, 1.0);
        c.carrier.gas = kind < 0.6 ? NXW_GAS_AIR : kind < 0.8 ? NXW_GAS_NITROGEN : NXW_GAS_OXYGEN;
        c.carrier.flow_mol_s = wide_flow_mol_s();
        c.carrier.from_s = chance(0.7) ? 0.0 : c.source.duration_s * uniform(0.0, 0.9);
        c.carrier.until_s = c.source.duration_s * uniform(1.0, 2.0);
    }
    c.n_stages = 1 + (size_t)uniform(0.0, 8.0 - 1e-9);
    for (size_t i = 0; i < c.n_stages; i++)
        wide_stage(&c.stages[i]);
    c.standing_s = chance(0.2) ? 0.0 : logarithmic(1.0, 48.0 * 3600.0);
    c.surroundings_temperature_K = 273.15 + uniform(0.0, 50.0);
    return c;
}

#endif
