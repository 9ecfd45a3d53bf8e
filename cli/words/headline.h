/* The figures of a run that a table of many runs holds; names carry their units. */
#ifndef NXW_HEADLINE_H
#define NXW_HEADLINE_H

#include "noxwash.h"

enum { NXW_HEADLINE_COUNT = 54 };

const char *nxw_headline_name(size_t index);

/* All figures; NAN where a run has none (no hood, no bottle, no result). */
void nxw_headline_values(const struct nxw_case *in, const struct nxw_result *r,
                         double values[NXW_HEADLINE_COUNT]);

/* The names of the warnings of a run, such as "overfull hot". */
void nxw_warning_names(unsigned warnings, char *out, size_t size);

#endif
