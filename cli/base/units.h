/* The closed table of units, and the strict reading of numbers and quantities. */
#ifndef NXW_UNITS_H
#define NXW_UNITS_H

#include <stdbool.h>
#include <stddef.h>

enum nxw_dimension {
    NXW_DIM_NUMBER, /* plain number, no unit */
    NXW_DIM_AMOUNT,
    NXW_DIM_ACID_AMOUNT, /* nitric acid as mol or as mass: mol */
    NXW_DIM_MASS,
    NXW_DIM_VOLUME,
    NXW_DIM_LENGTH,
    NXW_DIM_TIME,
    NXW_DIM_TEMPERATURE,
    NXW_DIM_GAS_FLOW,        /* volume flow counted at 20 degC and 1 atm: mol/s */
    NXW_DIM_AIR_FLOW,        /* of a hood: m3/s */
    NXW_DIM_SHARE,           /* of something the key names: 0..1 */
    NXW_DIM_MASS_FRACTION,   /* wt% */
    NXW_DIM_VOLUME_FRACTION, /* of a gas: mole fraction */
    NXW_DIM_PEROXIDE,        /* read by nxw_peroxide_read only */
    NXW_DIM_PRESSURE,
    NXW_DIM_CONCENTRATION, /* mol/m3 */
    NXW_DIM_DENSITY,
    NXW_DIM_ENERGY,
    NXW_DIM_CONDUCTANCE,   /* of heat: W/K */
    NXW_DIM_ACID_STRENGTH, /* read by nxw_acid_strength_read only */
    NXW_DIM_EXPANSION,     /* cubic, of glass: 1/K */
    NXW_DIM_COUNT
};

/* SI = number * factor + offset. */
struct nxw_unit {
    enum nxw_dimension dimension;
    const char *text;
    double factor, offset;
    const char *check;    /* the same unit for units(1), or "" where it has none */
    const char *check_SI; /* and the SI unit it is compared with */
};

enum { NXW_MESSAGE_LENGTH = 240 };

size_t nxw_unit_count(void);
const struct nxw_unit *nxw_unit(size_t index); /* NULL past the end */

/* "mL, L, m3": the units a dimension accepts, for messages and help. */
void nxw_units_accepted(enum nxw_dimension dimension, char *out, size_t size);

/*
 * A decimal number and nothing else; independent of the locale.
 *
 * Given:    text     such as "1.5" or "-2e-3"; blanks at either end are allowed
 * Returned: value    finite; untouched on failure
 *           message  one clause on failure
 */
bool nxw_number_read(const char *text, double *value, char message[NXW_MESSAGE_LENGTH]);

/*
 * A quantity with its unit, in SI.
 *
 * Given:    text       such as "250 mL", "35 %", "-5 degC"
 *           dimension  what is wanted
 * Returned: value      SI, finite; untouched on failure
 *           unit       the unit met, or NULL to ignore
 *           message    on failure: what is wrong and which units are accepted
 */
bool nxw_quantity_read_unit(const char *text, enum nxw_dimension dimension, double *value,
                            const struct nxw_unit **unit, char message[NXW_MESSAGE_LENGTH]);
bool nxw_quantity_read(const char *text, enum nxw_dimension dimension, double *value,
                       char message[NXW_MESSAGE_LENGTH]);

/* Does a value that was read lie within bounds, both included? At one, it is set to it, whatever
 * unit it was written in (nxw_at_bound). */
bool nxw_within(double *value, double low, double high);

/*
 * Strength of a peroxide solution as mass fraction.
 *
 * Given:    text   wt%, w/v% (g in 100 mL of solution), mol/L, or volumes (litres of oxygen, at
 *                  0 degC and 1 atm, that a litre gives off); the last three at 20 degC
 * Returned: value  kg H2O2 per kg of solution
 */
bool nxw_peroxide_read(const char *text, double *value, char message[NXW_MESSAGE_LENGTH]);

/*
 * Strength of nitric acid as mass fraction.
 *
 * Given:    text           wt%, mol/L or g/L; the last two at temperature_K
 * Returned: value          kg HNO3 per kg of solution, 0 to 1
 */
bool nxw_acid_strength_read(const char *text, double temperature_K, double *value,
                            char message[NXW_MESSAGE_LENGTH]);

/* Shortest "number unit" that reads back to the value; out is always terminated. */
void nxw_quantity_write(double value, const char *unit, enum nxw_dimension dimension, char *out,
                        size_t size);

#endif
