/* Random valid cases, the same on every machine; shared by the tests of one bottle and of trains.
 */
#ifndef NXW_RANDOM_CASE_H
#define NXW_RANDOM_CASE_H

#include <math.h>

#include "noxwash.h"

static unsigned long long random_state = 20261125u;

/* xorshift64*, so that every machine draws the same cases */
static inline double uniform(double low, double high)
{
    random_state ^= random_state >> 12;
    random_state ^= random_state << 25;
    random_state ^= random_state >> 27;
    const unsigned long long x = random_state * 2685821657736338717ull;
    return low + (high - low) * (double)(x >> 11) / 9007199254740992.0;
}

static inline double logarithmic(double low, double high)
{
    return low * pow(high / low, uniform(0.0, 1.0));
}

static inline void random_bottle(struct nxw_stage *s)
{
    s->volume_m3 = logarithmic(100e-6, 2e-3);
    s->inner_diameter_m = cbrt(s->volume_m3) * uniform(0.7, 1.1);
    s->liquid_m3 = s->volume_m3 * uniform(0.2, 0.8);
    s->acid_mass_fraction = uniform(0, 1) < 0.5 ? 0.0 : uniform(0.0, 0.4);
    s->peroxide_mass_fraction = uniform(0, 1) < 0.5 ? 0.0 : uniform(0.0, 0.12);
    s->tip = uniform(0, 1) < 0.5 ? NXW_TIP_OPEN_TUBE : NXW_TIP_BUBBLE_DIAMETER;
    s->bubble_diameter_m = uniform(1.5e-3, 1e-2);
    const double b = uniform(0, 1);
    s->bath = b < 0.5 ? NXW_BATH_AIR : b < 0.7 ? NXW_BATH_WATER : NXW_BATH_ICE_WATER;
    s->ice_kg = uniform(0.05, 1.0);
    s->bath_temperature_K = 273.15 + uniform(5.0, 40.0);
}

/* One bottle. */
static inline struct nxw_case random_case(void)
{
    struct nxw_case c;
    nxw_case_init(&c);
    c.source.kind = uniform(0, 1) < 0.6   ? NXW_SOURCE_METERED
                    : uniform(0, 1) < 0.5 ? NXW_SOURCE_METAL
                                          : NXW_SOURCE_ACID_VAPOUR;
    c.source.shape = uniform(0, 1) < 0.5 ? NXW_SHAPE_STEADY : NXW_SHAPE_RISE_AND_FALL;
    c.source.duration_s = logarithmic(60.0, 4.0 * 3600.0);
    c.source.flow_mol_s = logarithmic(1e-3, 3.0) / 60.0 / 24.055; /* 1 mL/min to 3 L/min */
    c.source.NO2_fraction = uniform(0, 1) < 0.5 ? logarithmic(1e-6, 1.0) : uniform(0.0, 1.0);
    c.source.NO_fraction = uniform(0, 1) < 0.5 ? 0.0 : uniform(0.0, 1.0 - c.source.NO2_fraction);
    c.source.O2_fraction = uniform(0.0, 1.0) * (1.0 - c.source.NO2_fraction - c.source.NO_fraction);
    c.source.metal_mol = logarithmic(0.001, 0.6);
    c.source.NO2_route_fraction = uniform(0.0, 1.0);
    c.source.acid_made_mol = logarithmic(0.01, 1.5);
    c.source.decomposed_fraction = uniform(0.0, 1.0);
    if (uniform(0, 1) < 0.5) {
        c.carrier.gas = uniform(0, 1) < 0.7 ? NXW_GAS_AIR : NXW_GAS_NITROGEN;
        c.carrier.flow_mol_s = logarithmic(0.01, 2.0) / 60.0 / 24.055;
        c.carrier.until_s = c.source.duration_s * uniform(0.5, 1.5);
    }
    random_bottle(&c.stages[0]);
    c.standing_s = logarithmic(60.0, 24.0 * 3600.0);
    return c;
}

/* Bottles and empty vessels in any order, all kinds of tip, air or oxygen bled in. */
static inline struct nxw_case random_train(void)
{
    struct nxw_case c = random_case();
    c.n_stages = 1 + (size_t)uniform(0.0, 8.0 - 1e-9);
    for (size_t i = 0; i < c.n_stages; i++) {
        struct nxw_stage *s = &c.stages[i];
        random_bottle(s);
        if (uniform(0, 1) < 0.3)
            s->kind = NXW_STAGE_EMPTY;
        const double tip = uniform(0, 1);
        if (tip < 0.2) {
            s->tip = NXW_TIP_HOLES;
            s->bore_m = uniform(0.5e-3, 3e-3);
            s->holes = floor(uniform(1.0, 13.0));
        } else if (tip < 0.4) {
            s->tip = NXW_TIP_FRIT;
            s->bore_m = logarithmic(16e-6, 250e-6);
            s->frit_diameter_m = uniform(0.012, 0.03);
        }
        if (uniform(0, 1) < 0.25) {
            s->bleed.gas = uniform(0, 1) < 0.7 ? NXW_GAS_AIR : NXW_GAS_OXYGEN;
            s->bleed.flow_mol_s = logarithmic(0.01, 1.0) / 60.0 / 24.055;
            s->bleed.from_s = uniform(0, 1) < 0.5 ? 0.0 : uniform(0.0, c.source.duration_s);
            s->bleed.until_s = (double)INFINITY;
            if (uniform(0, 1) < 0.5)
                s->bleed.until_s = s->bleed.from_s + c.source.duration_s;
        }
    }
    return c;
}

#endif
