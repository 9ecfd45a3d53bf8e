/* The cautions that go with every result that could be acted on. */
#ifndef NXW_CAUTIONS_H
#define NXW_CAUTIONS_H

#include <stddef.h>
#include <stdio.h>

/* The caution for the moment when fumes break through. */
enum { NXW_CAUTION_BREAKTHROUGH = 4 };

size_t nxw_caution_count(void);
const char *nxw_caution(size_t index); /* NULL past the end */
void nxw_cautions_print(FILE *out);

/* What is said of acid above NXW_STRENGTH_REGULATED; printed only if it is. */
extern const char nxw_regulated_text[];
void nxw_regulated_print(FILE *out, double acid_mass_fraction);

#endif
