/* What remedies bring, in short texts. */
#include <math.h>
#include <string.h>

#include "report/remedy_report.h"

enum { AMOUNT = NXW_AMOUNT_LENGTH };

/* Part of what is kept; the solver's own error is a good deal smaller. */
#define NO_CHANGE 1e-4

void nxw_remedy_gain_text(const struct nxw_remedies *all, double gain_mol,
                          char out[NXW_REMEDY_GAIN])
{
    char grams[AMOUNT], percent[AMOUNT];
    if (fabs(gain_mol) < NO_CHANGE * all->base.kept_mol) {
        (void)snprintf(out, NXW_REMEDY_GAIN, "no change in HNO3");
        return;
    }
    nxw_number_text(fabs(gain_mol) * NXW_MOLAR_MASS_HNO3_KG_MOL * 1e3, 3, grams);
    nxw_number_text(fabs(gain_mol) / all->base.kept_mol * 100.0, 2, percent);
    const char *sign = gain_mol < 0.0 ? "-" : "+";
    (void)snprintf(out, NXW_REMEDY_GAIN, "%s%s g HNO3 (%s%s %%)", sign, grams, sign, percent);
}

void nxw_remedy_escape_text(const struct nxw_remedies *all, double drop_mol, char *out)
{
    nxw_percent_text((all->base.escaped_mol - drop_mol) / all->base.fed_mol, 2, out);
}

void nxw_remedy_risk_text(const struct nxw_remedies *all, const struct nxw_remedy_run *run,
                          char out[NXW_REMEDY_RISK])
{
    char before[AMOUNT], after[AMOUNT];
    nxw_volume_text(all->base.glass.liquid_at_risk_m3, before);
    nxw_volume_text(run->at_risk_m3, after);
    const char *unit = "";
    if (strcmp(before, after) == 0) { /* two digits do not tell them apart */
        nxw_number_text(1e6 * all->base.glass.liquid_at_risk_m3, 4, before);
        nxw_number_text(1e6 * run->at_risk_m3, 4, after);
        unit = " mL";
    }
    (void)snprintf(out, NXW_REMEDY_RISK,
                   "More is drawn back when the hot vessel cools: %s%s of liquid instead of %s%s.",
                   after, unit, before, unit);
}

void nxw_remedy_pressure_text(const struct nxw_remedies *all, const struct nxw_remedy_run *run,
                              char out[NXW_REMEDY_RISK])
{
    char before[AMOUNT], after[AMOUNT];
    nxw_pressure_text(all->base.glass.gauge_peak_Pa, before);
    nxw_pressure_text(run->gauge_Pa, after);
    (void)snprintf(out, NXW_REMEDY_RISK,
                   "The joints do not bear the train as it is; it would resist even more: %s "
                   "instead of %s.",
                   after, before);
}

const char *nxw_remedies_heading(enum nxw_aim aim)
{
    return aim == NXW_AIM_ACID ? "ranked by the acid gained ('aim: clean air': by what escapes)"
                               : "ranked by how much less escapes ('aim: acid' ranks by acid)";
}
