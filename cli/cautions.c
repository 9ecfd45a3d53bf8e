#include "cautions.h"

#include "report_words.h"
#include "text_layout.h"

const char nxw_regulated_text[] = "The acid is above 3 wt% HNO3: having, storing or passing on "
                                  "such acid is regulated in many places.";

static const char *const CAUTIONS[] = {
    "Brown fumes (NO2) injure the lungs, and the worst may come 3 to 30 hours later. Anyone who "
    "has breathed them needs to be watched by a doctor, even if they feel well.",
    "Work in a fume hood that draws, with gloves, goggles and acid-proof clothing.",
    "Never close the train. A blocked vent or frit bursts glass, and liquid that holds nitrous "
    "acid or peroxide gives off gas while it stands: leave it open to the hood.",
    "Have an empty vessel ahead of the first bottle: when the heat stops, liquid is drawn towards "
    "the hot vessel.",
    "If fumes break through: take the heat away, keep the purge gas going, open nothing.",
    "Fill in peroxide before the run, at 12 wt% or less, cold, vented, and away from organic "
    "matter and metal salts.",
    "Nitric acid and peroxide above small strengths are regulated in many places. Local law, "
    "local codes and a licensed or qualified person decide; this program only estimates.",
};

size_t nxw_caution_count(void) { return sizeof CAUTIONS / sizeof CAUTIONS[0]; }

const char *nxw_caution(size_t index)
{
    return index < nxw_caution_count() ? CAUTIONS[index] : NULL;
}

void nxw_cautions_print(FILE *out)
{
    (void)fputs("Cautions\n", out);
    for (size_t i = 0; i < nxw_caution_count(); i++)
        nxw_wrap(out, "  * ", 4, CAUTIONS[i]);
}

void nxw_regulated_print(FILE *out, double acid_mass_fraction)
{
    if (acid_mass_fraction > NXW_STRENGTH_REGULATED)
        nxw_wrap(out, "  ! ", 4, nxw_regulated_text);
}
