/* A titration as people write it. */
#ifndef NXW_TITRATION_TEXT_H
#define NXW_TITRATION_TEXT_H

#include "base/units.h"
#include "noxwash.h"

/* What was written; NULL: not given. The keys of a fault are these names with blanks for _. */
struct nxw_titration_text {
    const char *sample, *alkali, *alkali_strength, *permanganate, *permanganate_strength,
        *permanganate_sample, *permanganate_finds, *error;
};

/* Anything of a titration given? */
bool nxw_titration_given(const struct nxw_titration_text *text);

/*
 * Read what was written.
 *
 * Given:    temperature_K  of the liquid
 * Returned: out
 *           error_assumed  the error is the default, 1 %
 *           key, message   on failure
 */
bool nxw_titration_read(const struct nxw_titration_text *text, double temperature_K,
                        struct nxw_titration *out, bool *error_assumed, const char **key,
                        char message[NXW_MESSAGE_LENGTH]);

#endif
