#include "base/text_layout.h"

#include <math.h>
#include <stdarg.h>
#include <stdbool.h>
#include <string.h>

void nxw_number_text(double value, int digits, char out[NXW_AMOUNT_LENGTH])
{
    if (!isfinite(value)) {
        (void)snprintf(out, NXW_AMOUNT_LENGTH, "-");
        return;
    }
    if (value == 0.0) {
        (void)snprintf(out, NXW_AMOUNT_LENGTH, "0");
        return;
    }
    int exponent = (int)floor(log10(fabs(value)));
    const double step = pow(10.0, exponent - digits + 1);
    const double rounded = round(value / step) * step;
    if (fabs(rounded) >= pow(10.0, exponent + 1) * (1.0 - 1e-12))
        exponent++;
    if (exponent < -6 || exponent > 8) {
        (void)snprintf(out, NXW_AMOUNT_LENGTH, "%.*g", digits, value);
        return;
    }
    const int decimals = digits - 1 - exponent;
    (void)snprintf(out, NXW_AMOUNT_LENGTH, "%.*f", decimals > 0 ? decimals : 0, rounded);
}

/* value in the unit, or "less than" the least that is worth a figure. */
static void amount(double value, double least, int digits, const char *unit,
                   char out[NXW_AMOUNT_LENGTH])
{
    char number[NXW_AMOUNT_LENGTH];
    if (!isfinite(value)) {
        (void)snprintf(out, NXW_AMOUNT_LENGTH, "-");
        return;
    }
    const bool tiny = fabs(value) < least;
    if (tiny && fabs(value) <= 1e-6 * least) {
        (void)snprintf(out, NXW_AMOUNT_LENGTH, "0 %s", unit);
        return;
    }
    nxw_number_text(tiny ? least : value, tiny ? 1 : digits, number);
    (void)snprintf(out, NXW_AMOUNT_LENGTH, "%s%.20s %s", tiny ? "less than " : "", number, unit);
}

void nxw_mass_text(double mass_kg, int digits, char out[NXW_AMOUNT_LENGTH])
{
    if (fabs(mass_kg) >= 0.1e-3 || fabs(mass_kg) < 1e-13)
        amount(mass_kg * 1e3, 1e-4, digits, "g", out);
    else
        amount(mass_kg * 1e6, 0.1, digits, "mg", out);
}

void nxw_mol_text(double amount_mol, int digits, char out[NXW_AMOUNT_LENGTH])
{
    if (fabs(amount_mol) >= 0.01 || fabs(amount_mol) < 1e-12)
        amount(amount_mol, 1e-6, digits, "mol", out);
    else
        amount(amount_mol * 1e3, 0.001, digits, "mmol", out);
}

void nxw_percent_text(double share, int digits, char out[NXW_AMOUNT_LENGTH])
{
    amount(share * 100.0, 0.01, digits, "%", out);
}

void nxw_strength_text(double mass_fraction, char out[NXW_AMOUNT_LENGTH])
{
    amount(mass_fraction * 100.0, 0.01, 2, "wt%", out);
}

void nxw_ppm_text(double fraction, int digits, char out[NXW_AMOUNT_LENGTH])
{
    amount(fraction * 1e6, 0.01, digits, "ppm", out);
}

void nxw_volume_text(double volume_m3, char out[NXW_AMOUNT_LENGTH])
{
    amount(volume_m3 * 1e6, 0.1, 2, "mL", out);
}

void nxw_flow_text(double flow_m3_s, char out[NXW_AMOUNT_LENGTH])
{
    const double L_min = flow_m3_s * 6e4;
    if (fabs(L_min) >= 0.0995)
        amount(L_min, 0.09, 2, "L/min", out);
    else
        amount(L_min * 1e3, 0.1, 2, "mL/min", out);
}

void nxw_rate_text(double rate_kg_s, char out[NXW_AMOUNT_LENGTH])
{
    amount(rate_kg_s * NXW_MG_MIN, 0.01, 2, "mg/min", out);
}

void nxw_pressure_text(double pressure_Pa, char out[NXW_AMOUNT_LENGTH])
{
    amount(pressure_Pa * 1e-3, 0.001, 2, "kPa", out);
}

void nxw_time_text(double time_s, char out[NXW_AMOUNT_LENGTH])
{
    const double minutes = time_s / 60.0;
    if (!isfinite(time_s))
        (void)snprintf(out, NXW_AMOUNT_LENGTH, "-");
    else if (minutes < 1.0)
        (void)snprintf(out, NXW_AMOUNT_LENGTH, "%.0f s", time_s);
    else if (minutes < 10.0)
        (void)snprintf(out, NXW_AMOUNT_LENGTH, "%.1f min", minutes);
    else if (minutes < 600.0)
        (void)snprintf(out, NXW_AMOUNT_LENGTH, "%.0f min", minutes);
    else
        (void)snprintf(out, NXW_AMOUNT_LENGTH, "%.1f h", minutes / 60.0);
}

void nxw_temperature_text(double temperature_K, char out[NXW_AMOUNT_LENGTH])
{
    if (isfinite(temperature_K))
        (void)snprintf(out, NXW_AMOUNT_LENGTH, "%.1f degC", temperature_K - 273.15 + 0.0);
    else
        (void)snprintf(out, NXW_AMOUNT_LENGTH, "-");
}

static const char ABOUT[] = "about ", LESS[] = "less than ";

const char *nxw_about(const char *amount_text)
{
    return strncmp(amount_text, LESS, sizeof LESS - 1) == 0 ? "" : ABOUT;
}

void nxw_wrap(FILE *out, const char *lead, int indent, const char *text)
{
    size_t column = strlen(lead);
    bool first = true;
    (void)fputs(lead, out);
    while (*text != '\0') {
        size_t n = strcspn(text, " ");
        if (strncmp(text, ABOUT, sizeof ABOUT - 1) == 0 && nxw_about(text + n + 1)[0] == '\0')
            n = strcspn(text += n + 1, " ");
        while (n > 0 && text[n] == ' ' && text[n - 1] >= '0' && text[n - 1] <= '9')
            n += 1 + strcspn(text + n + 1, " "); /* a number stays with its unit */
        if (!first && column + 1 + n > NXW_TEXT_WIDTH) {
            (void)fprintf(out, "\n%*s", indent, "");
            column = (size_t)indent;
        } else if (!first) {
            (void)fputc(' ', out);
            column++;
        }
        (void)fwrite(text, 1, n, out);
        column += n;
        first = false;
        text += n;
        text += strspn(text, " ");
    }
    (void)fputc('\n', out);
}

void nxw_wrapf(FILE *out, const char *lead, int indent, const char *format, ...)
{
    char text[1600];
    va_list arguments;
    va_start(arguments, format);
    (void)vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    nxw_wrap(out, lead, indent, text);
}
