#include "words/cautions.h"

#include <stdbool.h>
#include <string.h>

#include "base/text_layout.h"
#include "case/catalogue.h"
#include "words/limit_digits.h"

const char nxw_regulated_text[] =
    "The acid is above " NXW_REGULATED_DIGITS " wt% HNO3: having, storing or passing on such acid "
    "is regulated in many places.";

static bool breakthrough(const struct nxw_caution_for *about, char out[NXW_CAUTION_LENGTH]);
static bool toxic_metal(const struct nxw_caution_for *about, char out[NXW_CAUTION_LENGTH]);

/* A text, or a function that makes it for the case; false: nothing to say. */
static const struct {
    const char *text;
    bool (*make)(const struct nxw_caution_for *about, char out[NXW_CAUTION_LENGTH]);
} CAUTIONS[] = {
    {"Brown fumes (NO2) injure the lungs, even when little is felt; illness can begin 3 to 30 "
     "hours later and come back weeks later. Anyone who has breathed them: call a doctor or poison "
     "centre at once, and be watched even if well.",
     NULL},
    {"NO has no colour: air above the limit need not look brown. Ordinary filter masks do not hold "
     "NO back.",
     NULL},
    {"Work in a fume hood that draws, with gloves, goggles and acid-proof clothing, never alone. "
     "Skin or eyes: rinse with water at once, for 15 minutes, then see a doctor.",
     NULL},
    {"Never close the train, never clamp joints to hold pressure: a blocked vent, tip or frit "
     "bursts glass. Liquid that holds nitrous acid or peroxide gives off gas while it stands: "
     "leave it open to the hood.",
     NULL},
    {"When the source stops, liquid is sucked back, and in a vessel hotter than about 100 degC it "
     "flashes to steam. Have an empty vessel ahead of the first bottle, big enough for all the "
     "liquid, or a purge until the hot vessel is cold; otherwise lift the inlet tube out of the "
     "liquid before the heating stops (common practice).",
     NULL},
    {NULL, breakthrough},
    {"Nitric acid and NO2 oxidise: no organic matter and no rubber tubing. Oxygen only through "
     "fittings free of oil and grease.",
     NULL},
    {"Fill in peroxide before the run, at " NXW_PEROXIDE_DIGITS
     " wt% or less, cold, vented, and away "
     "from organic matter and metal salts. Never mix stronger peroxide with acid.",
     NULL},
    {NULL, toxic_metal},
    {"Afterwards let the gas out in the hood, use up or destroy peroxide and nitrous acid, and "
     "neutralise slowly, cold and dilute: bicarbonate foams. Have liquid that holds metal "
     "collected; local rules decide.",
     NULL},
    {"Nitric acid and peroxide above small strengths are regulated in many places. Local law, "
     "local codes and a licensed or qualified person decide; this program only estimates.",
     NULL},
};
_Static_assert(sizeof CAUTIONS / sizeof CAUTIONS[0] <= NXW_CAUTIONS_MAX, "more cautions than room");

/* "mercury, lead and cadmium" of the table */
static void toxic_names(const struct nxw_metal *metals, size_t n, char out[NXW_CAUTION_LENGTH / 2])
{
    size_t left = 0;
    out[0] = '\0';
    for (size_t i = 0; i < n; i++)
        left += metals[i].toxic;
    for (size_t i = 0; i < n; i++) {
        const size_t used = strlen(out);
        if (!metals[i].toxic)
            continue;
        left--;
        (void)snprintf(out + used, NXW_CAUTION_LENGTH / 2 - used, "%.31s%s", metals[i].name,
                       left > 1    ? ", "
                       : left == 1 ? " and "
                                   : "");
    }
}

static bool breakthrough(const struct nxw_caution_for *about, char out[NXW_CAUTION_LENGTH])
{
    nxw_breakthrough_text(about->in, about->result, out);
    return true;
}

static bool toxic_metal(const struct nxw_caution_for *about, char out[NXW_CAUTION_LENGTH])
{
    static const char care[] = "keep them off the skin, breathe no spray or dust, pour nothing "
                               "down the drain, have all liquid that touched them collected";
    struct nxw_metal metals[NXW_CATALOGUE_MAX];
    const size_t n = nxw_metal_list(metals);
    if (about->metal == NULL) {
        char names[NXW_CAUTION_LENGTH / 2];
        toxic_names(metals, n, names);
        (void)snprintf(out, NXW_CAUTION_LENGTH,
                       "Salts of %s, of chromium and of other metals are toxic: %s.", names, care);
        return true;
    }
    for (size_t i = 0; i < n; i++)
        if (metals[i].toxic && strcmp(metals[i].name, about->metal) == 0) {
            (void)snprintf(out, NXW_CAUTION_LENGTH, "Salts of %s are toxic (%s): %s.",
                           metals[i].name, metals[i].harm, care);
            return true;
        }
    return false;
}

void nxw_cautions_make(const struct nxw_caution_for *about, struct nxw_cautions *out)
{
    static const struct nxw_caution_for any = {NULL, NULL, NULL};
    if (about == NULL)
        about = &any;
    out->n = 0;
    for (size_t i = 0; i < sizeof CAUTIONS / sizeof CAUTIONS[0]; i++) {
        char *text = out->text[out->n];
        if (CAUTIONS[i].text != NULL)
            (void)snprintf(text, NXW_CAUTION_LENGTH, "%s", CAUTIONS[i].text);
        else if (!CAUTIONS[i].make(about, text))
            continue;
        out->n++;
    }
}

void nxw_cautions_print(FILE *out, const struct nxw_caution_for *about)
{
    struct nxw_cautions cautions;
    nxw_cautions_make(about, &cautions);
    (void)fputs("Cautions\n", out);
    for (size_t i = 0; i < cautions.n; i++)
        nxw_wrap(out, "  * ", 4, cautions.text[i]);
}

void nxw_regulated_print(FILE *out, double acid_mass_fraction)
{
    if (acid_mass_fraction > NXW_ACID_REGULATED)
        nxw_wrap(out, "  ! ", 4, nxw_regulated_text);
}
