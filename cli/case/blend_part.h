/* One liquid of a blend as people write it: "250 mL, 10 wt% acid, 20 degC". */
#ifndef NXW_BLEND_PART_H
#define NXW_BLEND_PART_H

#include "base/units.h"
#include "noxwash.h"

enum { NXW_PART_MESSAGE_LENGTH = 480 };

/* What was written, beside what the library needs. */
struct nxw_written_part {
    struct nxw_blend_part part;
    double volume_m3; /* at its own temperature; of ice, as water at 20 degC */
    bool by_volume;   /* the amount was a volume */
    bool temperature_assumed;
};

/*
 * Read a part: an amount (mL, L, g, kg) and, after commas and in any order, "10 wt% acid",
 * "6 wt% peroxide", "water" or "ice", and the temperature (20 degC; of ice 0 degC).
 */
bool nxw_part_read(const char *text, struct nxw_written_part *out,
                   char message[NXW_PART_MESSAGE_LENGTH]);

/* "250 mL of 10 wt% HNO3 at 20.0 degC" */
void nxw_part_words(const struct nxw_written_part *part, char *out, size_t size);

/* The two meanings of a bare "%" of peroxide; false: text is no bare percentage. */
bool nxw_peroxide_ambiguous(const char *text, double *as_wt, double *as_wv);

/* nxw_peroxide_read, with the two meanings told where "%" stands alone. */
bool nxw_peroxide_read_told(const char *text, double *value, char message[NXW_PART_MESSAGE_LENGTH]);

#endif
