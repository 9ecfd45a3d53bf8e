/* What a size must reach: capture, vent, strength, temperature. */
#ifndef NXW_SIZE_TARGET_H
#define NXW_SIZE_TARGET_H

#include "study/hood_air.h"

enum nxw_target_kind {
    NXW_TARGET_CAPTURE,          /* at least; share of the nitrogen fed that is kept as HNO3 */
    NXW_TARGET_VENT,             /* at most; what, says struct nxw_vent_target */
    NXW_TARGET_STRENGTH,         /* at least, mass fraction of HNO3 in the first bottle */
    NXW_TARGET_PEAK_TEMPERATURE, /* at most, K; of the hottest liquid */
    NXW_TARGET_COUNT
};

/* What is held against the target of the vent. */
struct nxw_vent_target {
    bool in_hood; /* fraction in the hood's air; else kg/s of NO and NO2, their peaks added up */
    bool NO, NO2; /* in the hood's air: which of them, added up */
    enum nxw_hood_mean mean;
    double multiple; /* of the limit; 0: a plain fraction */
    struct nxw_exposure_limit limit;
};

struct nxw_targets {
    bool given[NXW_TARGET_COUNT];
    double wanted[NXW_TARGET_COUNT];
    struct nxw_vent_target vent;
};

/* How a target is given, shown and stored. */
struct nxw_target_name {
    const char *option, *name, *sense, *json, *unit;
    double scale, offset; /* shown = SI * scale - offset */
};
const struct nxw_target_name *nxw_target_name(const struct nxw_targets *targets,
                                              enum nxw_target_kind kind);

/* What a run reaches of the vent's target: kg/s, or a fraction of the hood's air. */
double nxw_vent_reached(const struct nxw_vent_target *target, const struct nxw_case *in,
                        const struct nxw_result *r);

/*
 * Read targets as given on the command line.
 *
 * Given:    texts  NULL where none is given
 * Returned: false  after a message on stderr; also where no target is given at all
 */
bool nxw_targets_read(const char *const texts[NXW_TARGET_COUNT], struct nxw_targets *targets);

/*
 * The vent's target read from text.
 *
 *   "10 mg/min"        NO and NO2, their peaks added up
 *   "0.5 ppm"          NO and NO2 in the hood's air at the peak; "0.5 ppm NO2": one of them
 *   "0.5 x NO2 STEL"   a multiple of the limit whose name or time has these words, over that time;
 *                      of several with one time the lowest
 *
 * Returned: wanted  kg/s or a fraction
 *           message on failure
 */
enum { NXW_TARGET_MESSAGE = 800 };
bool nxw_vent_target_read(const char *text, struct nxw_vent_target *target, double *wanted,
                          char message[NXW_TARGET_MESSAGE]);

#endif
