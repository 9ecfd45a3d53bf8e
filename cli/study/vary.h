/* The values a key is to take: --vary PATH=from:to:step unit, or PATH=value,value,... */
#ifndef NXW_VARY_H
#define NXW_VARY_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

enum { NXW_VARY_PATH = 128, NXW_VARY_UNIT = 24, NXW_VARY_TEXT = 96, NXW_VARY_MESSAGE = 320 };

struct nxw_vary {
    const char *given;                              /* as typed; not owned */
    char path[NXW_VARY_PATH];                       /* such as train[1].liquid */
    char column[NXW_VARY_PATH + NXW_VARY_UNIT + 4]; /* path, and "(unit)" behind numbers */
    bool is_number;                                 /* every value is a number, all in one unit */
    char unit[NXW_VARY_UNIT];
    bool is_range;
    double from, to, step; /* of a range, in the unit; step 0: none given */
    uint64_t n;            /* values; 0: a range without a step, for samples only */
    char **items;          /* of a list: texts as the case file would hold them; owned */
    double *numbers;       /* of a list of numbers; owned */
};

/* One value: what the case is given, and its number (NAN: none). text may point to room. */
struct nxw_vary_value {
    const char *text;
    double number;
    char room[NXW_VARY_TEXT];
};

/*
 * Read an expression.
 *
 * Given:    text     such as "train[1].liquid=100:500:50 mL", "train[1].bath.kind=air,ice water",
 *                    "source.decomposed=10,20,30 %", "vent={bore: 4 mm},{bore: 6 mm}"
 *           sampled  a range may go without a step
 * Returned: out      nxw_vary_free, also on failure
 *           message  on failure: what is wrong and what would be right
 */
bool nxw_vary_read(const char *text, bool sampled, struct nxw_vary *out,
                   char message[NXW_VARY_MESSAGE]);
void nxw_vary_free(struct nxw_vary *vary);

/* Value number index, from 0; below n. */
void nxw_vary_nth(const struct nxw_vary *vary, uint64_t index, struct nxw_vary_value *out);

/* Value at a fraction of the way, 0 <= fraction < 1: between the ends, or one of the n. */
void nxw_vary_at(const struct nxw_vary *vary, double fraction, struct nxw_vary_value *out);

/* Does inner lie in outer, such as train[1].liquid in train[1] (or are they the same)? */
bool nxw_path_holds(const char *outer, const char *inner);

#endif
