#include "base/units.h"

#include <errno.h>
#include <float.h>
#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "noxwash.h"

#define MOLAR_MASS_HNO3_KG_MOL 0.063012 /* sum of the IUPAC atomic masses */
#define MOLAR_MASS_H2O2_KG_MOL 0.0340147
#define GAS_CONSTANT 8.31446261815324 /* J/(mol K), exact since 2019 */
/* mol in a cubic metre of gas at 20 degC and 1 atm, the state at which gas flows are counted */
#define GAS_MOL_M3 (101325.0 / (GAS_CONSTANT * 293.15))
#define OXYGEN_LITRES_PER_MOL 22.414 /* at 0 degC and 1 atm: the state at which volumes count */
#define CHECK_GAS " atm / (8.31446261815324 293.15 J/mol)"

/* clang-format off */
static const struct nxw_unit UNITS[] = {
    {NXW_DIM_AMOUNT, "mol", 1.0, 0.0, "mol", "mol"},
    {NXW_DIM_AMOUNT, "mmol", 1e-3, 0.0, "mmol", "mol"},

    {NXW_DIM_ACID_AMOUNT, "mol", 1.0, 0.0, "mol", "mol"},
    {NXW_DIM_ACID_AMOUNT, "mmol", 1e-3, 0.0, "mmol", "mol"},
    {NXW_DIM_ACID_AMOUNT, "g", 1e-3 / MOLAR_MASS_HNO3_KG_MOL, 0.0, "g/(63.012 g/mol)", "mol"},
    {NXW_DIM_ACID_AMOUNT, "kg", 1.0 / MOLAR_MASS_HNO3_KG_MOL, 0.0, "kg/(63.012 g/mol)", "mol"},

    {NXW_DIM_MASS, "g", 1e-3, 0.0, "g", "kg"},
    {NXW_DIM_MASS, "kg", 1.0, 0.0, "kg", "kg"},
    {NXW_DIM_MASS, "mg", 1e-6, 0.0, "mg", "kg"},

    {NXW_DIM_VOLUME, "mL", 1e-6, 0.0, "mL", "m^3"},
    {NXW_DIM_VOLUME, "L", 1e-3, 0.0, "L", "m^3"},
    {NXW_DIM_VOLUME, "m3", 1.0, 0.0, "m^3", "m^3"},

    {NXW_DIM_LENGTH, "mm", 1e-3, 0.0, "mm", "m"},
    {NXW_DIM_LENGTH, "cm", 1e-2, 0.0, "cm", "m"},
    {NXW_DIM_LENGTH, "m", 1.0, 0.0, "m", "m"},
    {NXW_DIM_LENGTH, "um", 1e-6, 0.0, "um", "m"},

    {NXW_DIM_TIME, "min", 60.0, 0.0, "min", "s"},
    {NXW_DIM_TIME, "s", 1.0, 0.0, "s", "s"},
    {NXW_DIM_TIME, "h", 3600.0, 0.0, "hour", "s"},
    {NXW_DIM_TIME, "d", 86400.0, 0.0, "day", "s"},

    {NXW_DIM_TEMPERATURE, "degC", 1.0, 273.15, "degC", "K"},
    {NXW_DIM_TEMPERATURE, "\xc2\xb0" "C", 1.0, 273.15, "degC", "K"},
    {NXW_DIM_TEMPERATURE, "K", 1.0, 0.0, "K", "K"},

    {NXW_DIM_GAS_FLOW, "L/min", 1e-3 / 60.0 * GAS_MOL_M3, 0.0, "(L/min)" CHECK_GAS, "mol/s"},
    {NXW_DIM_GAS_FLOW, "mL/min", 1e-6 / 60.0 * GAS_MOL_M3, 0.0, "(mL/min)" CHECK_GAS, "mol/s"},
    {NXW_DIM_GAS_FLOW, "L/h", 1e-3 / 3600.0 * GAS_MOL_M3, 0.0, "(L/hour)" CHECK_GAS, "mol/s"},

    {NXW_DIM_AIR_FLOW, "m3/min", 1.0 / 60.0, 0.0, "m^3/min", "m^3/s"},
    {NXW_DIM_AIR_FLOW, "m3/h", 1.0 / 3600.0, 0.0, "m^3/hour", "m^3/s"},
    {NXW_DIM_AIR_FLOW, "m3/s", 1.0, 0.0, "m^3/s", "m^3/s"},

    {NXW_DIM_SHARE, "%", 1e-2, 0.0, "percent", "1"},

    {NXW_DIM_MASS_FRACTION, "wt%", 1e-2, 0.0, "percent", "1"},

    {NXW_DIM_VOLUME_FRACTION, "% by volume", 1e-2, 0.0, "percent", "1"},
    {NXW_DIM_VOLUME_FRACTION, "%", 1e-2, 0.0, "percent", "1"},
    {NXW_DIM_VOLUME_FRACTION, "ppm", 1e-6, 0.0, "ppm", "1"},

    {NXW_DIM_PEROXIDE, "wt%", 1e-2, 0.0, "percent", "1"},
    {NXW_DIM_PEROXIDE, "w/v%", 10.0, 0.0, "g/(100 mL)", "kg/m^3"},
    {NXW_DIM_PEROXIDE, "mol/L", 1e3 * MOLAR_MASS_H2O2_KG_MOL, 0.0,
     "(mol/L) (34.0147 g/mol)", "kg/m^3"},
    {NXW_DIM_PEROXIDE, "volumes", 2e3 / OXYGEN_LITRES_PER_MOL * MOLAR_MASS_H2O2_KG_MOL, 0.0,
     "2 34.0147 g/(22.414 L)", "kg/m^3"},

    {NXW_DIM_PRESSURE, "kPa", 1e3, 0.0, "kPa", "Pa"},
    {NXW_DIM_PRESSURE, "mbar", 100.0, 0.0, "mbar", "Pa"},
    {NXW_DIM_PRESSURE, "bar", 1e5, 0.0, "bar", "Pa"},
    {NXW_DIM_PRESSURE, "atm", 101325.0, 0.0, "atm", "Pa"},
    {NXW_DIM_PRESSURE, "mmHg", 133.322387415, 0.0, "mmHg", "Pa"},
    {NXW_DIM_PRESSURE, "Pa", 1.0, 0.0, "Pa", "Pa"},

    {NXW_DIM_CONCENTRATION, "mol/L", 1e3, 0.0, "mol/L", "mol/m^3"},
    {NXW_DIM_CONCENTRATION, "mmol/L", 1.0, 0.0, "mmol/L", "mol/m^3"},

    {NXW_DIM_DENSITY, "g/cm3", 1e3, 0.0, "g/cm^3", "kg/m^3"},
    {NXW_DIM_DENSITY, "g/mL", 1e3, 0.0, "g/mL", "kg/m^3"},
    {NXW_DIM_DENSITY, "kg/m3", 1.0, 0.0, "kg/m^3", "kg/m^3"},

    {NXW_DIM_ENERGY, "kJ", 1e3, 0.0, "kJ", "J"},
    {NXW_DIM_ENERGY, "J", 1.0, 0.0, "J", "J"},
    {NXW_DIM_ENERGY, "kWh", 3.6e6, 0.0, "kW hour", "J"},

    {NXW_DIM_CONDUCTANCE, "W/K", 1.0, 0.0, "W/K", "W/K"},

    {NXW_DIM_ACID_STRENGTH, "wt%", 1e-2, 0.0, "percent", "1"},
    {NXW_DIM_ACID_STRENGTH, "mol/L", 1e3 * MOLAR_MASS_HNO3_KG_MOL, 0.0,
     "(mol/L) (63.012 g/mol)", "kg/m^3"},
    {NXW_DIM_ACID_STRENGTH, "g/L", 1.0, 0.0, "g/L", "kg/m^3"},

    {NXW_DIM_EXPANSION, "per K", 1.0, 0.0, "1/K", "1/K"},
};
/* clang-format on */

size_t nxw_unit_count(void) { return sizeof UNITS / sizeof UNITS[0]; }

const struct nxw_unit *nxw_unit(size_t index)
{
    return index < nxw_unit_count() ? &UNITS[index] : NULL;
}

void nxw_units_accepted(enum nxw_dimension dimension, char *out, size_t size)
{
    size_t used = 0;
    out[0] = '\0';
    for (size_t i = 0; i < nxw_unit_count(); i++) {
        if (UNITS[i].dimension != dimension || used >= size)
            continue;
        const int n =
            snprintf(out + used, size - used, "%s%s", used > 0 ? ", " : "", UNITS[i].text);
        used += n > 0 ? (size_t)n : 0;
    }
}

static bool is_blank(char c) { return c == ' ' || c == '\t' || c == '\r' || c == '\n'; }

static bool is_digit(char c) { return c >= '0' && c <= '9'; }

/* Same letters, whatever their case; ASCII only. */
static bool starts_like(const char *text, const char *lower)
{
    for (; *lower != '\0'; text++, lower++) {
        const int c = *text >= 'A' && *text <= 'Z' ? *text - 'A' + 'a' : *text;
        if (c != *lower)
            return false;
    }
    return true;
}

static size_t digits(const char *text)
{
    size_t n = 0;
    while (is_digit(text[n]))
        n++;
    return n;
}

/* Length of the decimal number at the start of text; 0 if there is none. */
static size_t number_length(const char *text)
{
    size_t n = *text == '+' || *text == '-' ? 1 : 0;
    const size_t whole = digits(text + n);
    n += whole;
    size_t after = 0;
    if (text[n] == '.') {
        after = digits(text + n + 1);
        if (whole + after > 0)
            n += 1 + after;
    }
    if (whole + after == 0)
        return 0;
    if (text[n] == 'e' || text[n] == 'E') {
        const size_t sign = text[n + 1] == '+' || text[n + 1] == '-' ? 1 : 0;
        const size_t exponent = digits(text + n + 1 + sign);
        if (exponent > 0)
            n += 1 + sign + exponent;
    }
    return n;
}

static bool refuse(char *message, const char *reason)
{
    (void)snprintf(message, NXW_MESSAGE_LENGTH, "%s", reason);
    return false;
}

/* The number at the start of text; rest is set to what follows it. */
static bool read_start(const char *text, double *value, const char **rest, char *message)
{
    while (is_blank(*text))
        text++;
    if (*text == '\0')
        return refuse(message, "a number is missing");
    const char *unsigned_text = *text == '+' || *text == '-' ? text + 1 : text;
    if (starts_like(unsigned_text, "nan") || starts_like(unsigned_text, "inf") ||
        starts_like(unsigned_text, ".nan") || starts_like(unsigned_text, ".inf"))
        return refuse(message, "'nan' and 'inf' are not numbers here");
    if (unsigned_text[0] == '0' && (unsigned_text[1] == 'x' || unsigned_text[1] == 'X'))
        return refuse(message, "hexadecimal numbers are not accepted");
    const size_t length = number_length(text);
    if (length == 0)
        return refuse(message, "a number must stand first");
    if (text[length] == ',' && is_digit(text[length + 1]))
        return refuse(message, "write decimals with a point, not a comma");
    if (text[length] == '.' || is_digit(text[length]))
        return refuse(message, "this is not one decimal number");
    char copy[96];
    const char *point = localeconv()->decimal_point; /* strtod expects the locale's */
    const size_t point_length = strlen(point);
    if (length + point_length >= sizeof copy)
        return refuse(message, "the number has too many digits");
    size_t n = 0;
    for (size_t i = 0; i < length; i++) {
        if (text[i] == '.') {
            memcpy(copy + n, point, point_length);
            n += point_length;
        } else
            copy[n++] = text[i];
    }
    copy[n] = '\0';
    char *end;
    errno = 0;
    const double got = strtod(copy, &end);
    if (*end != '\0')
        return refuse(message, "this is not one decimal number");
    if (!isfinite(got))
        return refuse(message, "the number is too large");
    if (errno == ERANGE)
        return refuse(message, "the number is too close to zero to be held");
    *value = got;
    *rest = text + length;
    return true;
}

bool nxw_number_read(const char *text, double *value, char message[NXW_MESSAGE_LENGTH])
{
    double got;
    const char *rest;
    if (!read_start(text, &got, &rest, message))
        return false;
    while (is_blank(*rest))
        rest++;
    if (*rest != '\0')
        return refuse(message, "a plain number without a unit is wanted");
    *value = got;
    return true;
}

bool nxw_quantity_read_unit(const char *text, enum nxw_dimension dimension, double *value,
                            const struct nxw_unit **unit, char message[NXW_MESSAGE_LENGTH])
{
    if (unit != NULL)
        *unit = NULL;
    if (dimension == NXW_DIM_NUMBER)
        return nxw_number_read(text, value, message);
    double number;
    const char *rest;
    if (!read_start(text, &number, &rest, message))
        return false;
    while (is_blank(*rest))
        rest++;
    size_t length = strlen(rest);
    while (length > 0 && is_blank(rest[length - 1]))
        length--;
    char accepted[160];
    nxw_units_accepted(dimension, accepted, sizeof accepted);
    if (length == 0) {
        (void)snprintf(message, NXW_MESSAGE_LENGTH, "the unit is missing; accepted: %s", accepted);
        return false;
    }
    for (size_t i = 0; i < nxw_unit_count(); i++) {
        const struct nxw_unit *u = &UNITS[i];
        if (u->dimension != dimension || strlen(u->text) != length ||
            memcmp(u->text, rest, length) != 0)
            continue;
        const double SI = number * u->factor + u->offset;
        if (!isfinite(SI))
            return refuse(message, "the number is too large");
        *value = SI;
        if (unit != NULL)
            *unit = u;
        return true;
    }
    (void)snprintf(message, NXW_MESSAGE_LENGTH, "the unit '%.*s' does not fit; accepted: %s",
                   (int)(length < 40 ? length : 40), rest, accepted);
    return false;
}

bool nxw_quantity_read(const char *text, enum nxw_dimension dimension, double *value,
                       char message[NXW_MESSAGE_LENGTH])
{
    return nxw_quantity_read_unit(text, dimension, value, NULL, message);
}

bool nxw_within(double *value, double low, double high)
{
    *value = nxw_at_bound(*value, low, high);
    return *value >= low && *value <= high; /* false for NAN */
}

bool nxw_peroxide_read(const char *text, double *value, char message[NXW_MESSAGE_LENGTH])
{
    double got;
    const struct nxw_unit *unit;
    if (!nxw_quantity_read_unit(text, NXW_DIM_PEROXIDE, &got, &unit, message))
        return false;
    if (strcmp(unit->text, "wt%") == 0) {
        *value = got;
        return true;
    }
    /* mass per volume = w * density(w): density grows with w, so the product has one answer */
    double low = 0.0, high = 1.0;
    if (!(got >= 0.0) || got > nxw_peroxide_density_kg_m3(1.0, 293.15))
        return refuse(message, "no peroxide solution has that strength");
    for (int i = 0; i < 80 && high - low > DBL_EPSILON * high; i++) {
        const double w = 0.5 * (low + high);
        if (w * nxw_peroxide_density_kg_m3(w, 293.15) < got)
            low = w;
        else
            high = w;
    }
    *value = got > 0.0 ? 0.5 * (low + high) : 0.0;
    return true;
}

bool nxw_acid_strength_read(const char *text, double temperature_K, double *value,
                            char message[NXW_MESSAGE_LENGTH])
{
    double got;
    const struct nxw_unit *unit;
    if (!nxw_quantity_read_unit(text, NXW_DIM_ACID_STRENGTH, &got, &unit, message))
        return false;
    if (strcmp(unit->text, "wt%") != 0 &&
        nxw_strength_from_concentration(got, temperature_K, &got) != NXW_OK)
        return refuse(message, "no nitric acid has that strength");
    if (!nxw_within(&got, 0.0, 1.0))
        return refuse(message, "a strength lies between 0 and 100 wt%");
    *value = got;
    return true;
}

void nxw_quantity_write(double value, const char *unit, enum nxw_dimension dimension, char *out,
                        size_t size)
{
    const struct nxw_unit *u = NULL;
    for (size_t i = 0; i < nxw_unit_count(); i++)
        if (UNITS[i].dimension == dimension && strcmp(UNITS[i].text, unit) == 0)
            u = &UNITS[i];
    const double factor = u != NULL ? u->factor : 1.0;
    const double offset = u != NULL ? u->offset : 0.0;
    const double number = (value - offset) / factor;
    char shown[48] = "";
    for (int precision = 4; precision <= 17; precision++) {
        (void)snprintf(shown, sizeof shown, "%.*g", precision, number);
        char *point = strpbrk(shown, ",");
        if (point != NULL)
            *point = '.';
        double back;
        char message[NXW_MESSAGE_LENGTH];
        if (nxw_number_read(shown, &back, message) &&
            fabs(back * factor + offset - value) <= 4e-16 * fabs(value))
            break;
    }
    (void)snprintf(out, size, "%s%s%s", shown, u != NULL ? " " : "", u != NULL ? u->text : "");
}
