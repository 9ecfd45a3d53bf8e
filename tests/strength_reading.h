/* Readings of a hydrometer and what they must give, shared by the tests of strength. */
#ifndef NXW_STRENGTH_READING_H
#define NXW_STRENGTH_READING_H

#include "assert_near.h"
#include "noxwash.h"

#define C(degC) ((degC) + 273.15)

static inline struct nxw_density_reading exact(double density_kg_m3, double temperature_K)
{
    return (struct nxw_density_reading){.density_kg_m3 = density_kg_m3,
                                        .temperature_K = temperature_K};
}

static inline struct nxw_strength good(const struct nxw_density_reading *r)
{
    struct nxw_strength out;
    struct nxw_diagnosis d;
    assert_int_equal(nxw_strength_from_density(r, &out, &d), NXW_OK);
    assert_int_equal(out.bytes, sizeof out);
    assert_string_equal(d.text, "");
    return out;
}

#endif
