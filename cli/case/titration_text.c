#include "case/titration_text.h"

#include <stdio.h>
#include <string.h>

#include "case/gravity.h"

#define TITRATION_ERROR 0.01 /* 95 of 100: burette, pipette and standard together; judgement */

bool nxw_titration_given(const struct nxw_titration_text *t)
{
    return t->sample != NULL || t->alkali != NULL || t->alkali_strength != NULL ||
           t->permanganate != NULL || t->permanganate_strength != NULL ||
           t->permanganate_sample != NULL || t->permanganate_finds != NULL || t->error != NULL;
}

static bool fault(const char **key, const char *which, char *message, const char *text)
{
    *key = which;
    (void)snprintf(message, NXW_MESSAGE_LENGTH, "%s", text);
    return false;
}

/* A quantity that must be there and above 0. */
static bool above_zero(const char *text, enum nxw_dimension dimension, const char *name,
                       const char *missing, double *value, const char **key, char *message)
{
    *key = name;
    if (text == NULL)
        return fault(key, name, message, missing);
    if (!nxw_quantity_read(text, dimension, value, message))
        return false;
    return *value > 0.0 || fault(key, name, message, "it must be more than 0");
}

static bool read_permanganate(const struct nxw_titration_text *t, struct nxw_titration *out,
                              const char **key, char *message)
{
    if (t->permanganate == NULL) {
        const char *stray = t->permanganate_strength != NULL ? "permanganate strength"
                            : t->permanganate_sample != NULL ? "permanganate sample"
                            : t->permanganate_finds != NULL  ? "permanganate finds"
                                                             : NULL;
        return stray == NULL ||
               fault(key, stray, message, "it says nothing without the volume of permanganate");
    }
    if (!above_zero(t->permanganate, NXW_DIM_VOLUME, "permanganate", "", &out->permanganate_m3, key,
                    message) ||
        !above_zero(t->permanganate_strength, NXW_DIM_CONCENTRATION, "permanganate strength",
                    "the strength of the permanganate is missing, such as '0.02 mol/L' (mol of "
                    "KMnO4, a fifth of the normality)",
                    &out->permanganate_mol_m3, key, message))
        return false;
    out->permanganate_sample_m3 = out->sample_m3;
    if (t->permanganate_sample != NULL &&
        !above_zero(t->permanganate_sample, NXW_DIM_VOLUME, "permanganate sample", "",
                    &out->permanganate_sample_m3, key, message))
        return false;
    if (t->permanganate_finds == NULL || (strcmp(t->permanganate_finds, "nitrous acid") != 0 &&
                                          strcmp(t->permanganate_finds, "peroxide") != 0))
        return fault(key, "permanganate finds", message,
                     "permanganate finds 'nitrous acid' or 'peroxide' (a liquid holds only one of "
                     "them for long): say which was in the bottle");
    out->permanganate_finds_peroxide = t->permanganate_finds[0] == 'p';
    return true;
}

bool nxw_titration_read(const struct nxw_titration_text *text, double temperature_K,
                        struct nxw_titration *out, bool *error_assumed, const char **key,
                        char message[NXW_MESSAGE_LENGTH])
{
    *out = (struct nxw_titration){.temperature_K = temperature_K};
    if (!above_zero(text->sample, NXW_DIM_VOLUME, "sample",
                    "the volume of the sample is missing, such as '5 mL'", &out->sample_m3, key,
                    message) ||
        !above_zero(text->alkali, NXW_DIM_VOLUME, "alkali",
                    "the volume of alkali used up is missing, such as '22.4 mL'", &out->alkali_m3,
                    key, message) ||
        !above_zero(text->alkali_strength, NXW_DIM_CONCENTRATION, "alkali strength",
                    "the strength of the alkali is missing, such as '0.5 mol/L'",
                    &out->alkali_mol_m3, key, message) ||
        !read_permanganate(text, out, key, message))
        return false;
    double error = TITRATION_ERROR;
    *error_assumed = text->error == NULL;
    *key = "titration error";
    if (text->error != NULL && !nxw_quantity_read(text->error, NXW_DIM_SHARE, &error, message))
        return false;
    if (!nxw_within(&error, 0.0, 0.5))
        return fault(key, *key, message, "an error lies between 0 and 50 %");
    out->relative_error = error / NXW_OF_100_95;
    return true;
}
