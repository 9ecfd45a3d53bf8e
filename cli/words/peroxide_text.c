#include "words/peroxide_text.h"

#include "base/text_layout.h"
#include "case/case_file.h"
#include "words/limit_digits.h"

#define ROOM_K 293.15

/* mL of a solution of this strength */
static void volume_text(double peroxide_kg, double strength, int digits,
                        char out[NXW_AMOUNT_LENGTH])
{
    const double volume_m3 = peroxide_kg / strength / nxw_peroxide_density_kg_m3(strength, ROOM_K);
    nxw_number_text(volume_m3 * 1e6, digits, out);
}

void nxw_peroxide_volumes_text(double peroxide_kg, double mass_fraction, int digits, bool acid,
                               char out[NXW_PEROXIDE_TEXT_LENGTH])
{
    char bought[NXW_AMOUNT_LENGTH], dilute[NXW_AMOUNT_LENGTH];
    volume_text(peroxide_kg, NXW_PEROXIDE_BOUGHT, digits, bought);
    volume_text(peroxide_kg, NXW_PEROXIDE_MOST, digits, dilute);
    if (mass_fraction > NXW_PEROXIDE_MOST * (1.0 + 1e-9))
        (void)snprintf(out, NXW_PEROXIDE_TEXT_LENGTH,
                       "%s mL of 30 wt%% peroxide, more than any of " NXW_PEROXIDE_DIGITS
                       " wt%% can give",
                       bought);
    else
        (void)snprintf(
            out, NXW_PEROXIDE_TEXT_LENGTH,
            "%s mL of 30 wt%% or %s mL of " NXW_PEROXIDE_DIGITS " wt%% peroxide%s", bought, dilute,
            acid ? ", diluted to " NXW_PEROXIDE_DIGITS " wt% or less before it meets the acid"
                 : "");
}
