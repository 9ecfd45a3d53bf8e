/* The cautions that go with every result that could be acted on. */
#ifndef NXW_CAUTIONS_H
#define NXW_CAUTIONS_H

#include <stddef.h>
#include <stdio.h>

#include "words/breakthrough.h"

/* What the cautions are about; all NULL, or a NULL in its place: any arrangement, any source. */
struct nxw_caution_for {
    const struct nxw_case *in;
    const struct nxw_result *result; /* of that case; goes with it */
    const char *metal;               /* the source's; empty: none; NULL: not known */
};

enum { NXW_CAUTIONS_MAX = 12, NXW_CAUTION_LENGTH = NXW_BREAKTHROUGH_LENGTH };
struct nxw_cautions {
    size_t n;
    char text[NXW_CAUTIONS_MAX][NXW_CAUTION_LENGTH];
};

void nxw_cautions_make(const struct nxw_caution_for *about, struct nxw_cautions *out);
void nxw_cautions_print(FILE *out, const struct nxw_caution_for *about);

/* What is said of acid above NXW_ACID_REGULATED; printed only if it is. */
extern const char nxw_regulated_text[];
void nxw_regulated_print(FILE *out, double acid_mass_fraction);

#endif
