/* What leaves at the vent, as it stands in the hood's air, and the limit it is held against. */
#ifndef NXW_HOOD_AIR_H
#define NXW_HOOD_AIR_H

#include "case/exposure_limits.h"
#include "noxwash.h"

/* Over which time the air counts. */
enum nxw_hood_mean { NXW_HOOD_PEAK, NXW_HOOD_15_MIN, NXW_HOOD_8_H, NXW_HOOD_MEANS };
extern const char *const nxw_hood_mean_words[NXW_HOOD_MEANS]; /* "peak", "15-min mean" ... */

/*
 * Air that the hood draws, mol/s; 0 where its flow is not given.
 *
 *   n = P Q/(R T) at the pressure and temperature of the surroundings
 */
double nxw_hood_mol_s(const struct nxw_case *in);

/* The mass that makes a fraction of it, kg/s. */
double nxw_hood_kg_s(const struct nxw_case *in, double fraction, double molar_mass_kg_mol);

/* Fractions; 8 h: a day's work in which there is just this run. */
struct nxw_hood_air {
    bool known; /* else the hood's flow was not given */
    double fraction[NXW_HOOD_MEANS];
};
struct nxw_hood_air nxw_hood_air_NO2(const struct nxw_case *in, const struct nxw_result *r);
struct nxw_hood_air nxw_hood_air_NO(const struct nxw_case *in, const struct nxw_result *r);

/* A ceiling and one over 10 min hold the peak; one over up to half an hour the mean of 15 min. */
enum nxw_hood_mean nxw_limit_mean(const struct nxw_exposure_limit *limit);

/*
 * The hood's air against a limit: "peak: below", "8-h mean: ABOVE".
 *
 * Returned: out  empty when the air is not known
 */
enum { NXW_HOOD_VERDICT_LENGTH = 32 };
void nxw_hood_verdict(const struct nxw_hood_air *air, const struct nxw_exposure_limit *limit,
                      char out[NXW_HOOD_VERDICT_LENGTH]);

#endif
