/* A density reading as people write it: g/cm3, specific gravity by a scale, or degrees Baume. */
#ifndef NXW_GRAVITY_H
#define NXW_GRAVITY_H

#include "base/units.h"
#include "noxwash.h"

/* What was written; NULL: not given. The keys of a fault are these names with blanks for _. */
struct nxw_gravity_text {
    const char *density, *gravity, *scale, *baume, *modulus, *hydrometer, *glass, *temperature,
        *reading_error, *temperature_error;
};

enum nxw_gravity_kind { NXW_GRAVITY_DENSITY, NXW_GRAVITY_SPECIFIC, NXW_GRAVITY_BAUME };

struct nxw_gravity {
    enum nxw_gravity_kind kind;
    double shown;             /* kg/m3, 1, or degrees, as the instrument shows it */
    double modulus;           /* of Baume; else 0 */
    double specific;          /* specific gravity; 0 for a density */
    double liquid_K, water_K; /* of a gravity scale t1/t2; water_K 0 for a density */
    bool glass;               /* a hydrometer; else an instrument that shows the true density */
    double reference_K, expansion_1_K;
    double reading_kg_m3; /* what is shown, as a density */
    double shown_error;   /* 95 of 100 readings, in the unit of shown */
    bool shown_error_assumed, temperature_error_assumed;
    struct nxw_density_reading reading; /* for the library; other solutes 0 */
};

#define NXW_OF_100_95 1.96 /* standard errors that hold 95 readings of 100 */

/*
 * Read what was written.
 *
 * Returned: out
 *           key      on failure, the key at fault such as "reading error"
 *           message  on failure, what is wrong and what would be right
 */
bool nxw_gravity_read(const struct nxw_gravity_text *text, struct nxw_gravity *out,
                      const char **key, char message[NXW_MESSAGE_LENGTH]);

/* "20/4", "15/15", "60/60 F": temperatures of liquid and water. */
bool nxw_gravity_scale_read(const char *text, double *liquid_K, double *water_K,
                            char message[NXW_MESSAGE_LENGTH]);

/* What a common hydrometer, of glass and made for 20 degC, shows in a liquid of this density. */
double nxw_common_hydrometer_kg_m3(double density_kg_m3, double temperature_K);

/* What a hydrometer of that kind shows in a liquid of this density; kind, modulus, scale, glass
 * and reference of like. */
double nxw_gravity_shown(const struct nxw_gravity *like, double density_kg_m3,
                         double temperature_K);

/* A difference of temperatures such as "0.5 K" or "0.5 degC". */
bool nxw_kelvin_read(const char *text, double *value, char message[NXW_MESSAGE_LENGTH]);

#endif
