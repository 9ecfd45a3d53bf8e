#include "base/constant_kinds.h"

#include <string.h>

#include "noxwash.h"

size_t nxw_unproven_constants(void)
{
    size_t n = 0;
    for (size_t i = 0; i < nxw_parameter_count(); i++) {
        const enum nxw_known known = nxw_parameter_record(i)->known;
        n += known == NXW_KNOWN_MEMORY || known == NXW_KNOWN_JUDGEMENT;
    }
    return n;
}

bool nxw_constant_only_marks(const char *key)
{
    static const char *const marks[] = {
        "vent_limit_NO2",    "brown_NO2_fraction", "blue_HNO2",
        "joint_pressure",    "jet_weber",          "peroxide_spent_fraction",
        "jet_froude",        "frit_flux_most",     "frit_mean_pore_share",
        "frit_wet_factor",   "frit_thickness",     "frit_permeability",
        "tube_above_bottle", "trap_margin",        "vessel_cooling_time",
        "hood_volume",       "boiling_share"};
    for (size_t i = 0; i < sizeof marks / sizeof marks[0]; i++)
        if (strcmp(key, marks[i]) == 0)
            return true;
    return strncmp(key, "error_", 6) == 0;
}
