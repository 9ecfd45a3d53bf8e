/* Units that published values are printed in, beside those of a case file. */
#ifndef NXW_PUBLISHED_UNITS_H
#define NXW_PUBLISHED_UNITS_H

#include <stdbool.h>

/* SI = number * factor + offset. */
struct nxw_published_unit {
    const char *text, *SI;
    double factor, offset;
};

/* The unit of that spelling that leads to this SI unit; NULL: none. */
const struct nxw_published_unit *nxw_published_unit(const char *text, const char *SI);

#endif
