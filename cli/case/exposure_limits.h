/* The exposure limits of params/, as embedded in the program. */
#ifndef NXW_EXPOSURE_LIMITS_H
#define NXW_EXPOSURE_LIMITS_H

#include <stdbool.h>
#include <stddef.h>

enum { NXW_EXPOSURE_LIMITS_MAX = 64 };

struct nxw_exposure_limit {
    char substance[8], name[48], averaging[24], source[160];
    double ppm;
    bool memory; /* the source was not at hand */
};

/* Returned: how many; a damaged line is left out. */
size_t nxw_exposure_limits(struct nxw_exposure_limit out[NXW_EXPOSURE_LIMITS_MAX]);

/* The lowest limit of a substance that counts over 15 minutes, ppm; NAN: none. */
double nxw_short_limit_ppm(const char *substance);

#endif
