/* Numbers with their unit and wrapped sentences, for people. */
#ifndef NXW_TEXT_LAYOUT_H
#define NXW_TEXT_LAYOUT_H

#include <stdio.h>

#define NXW_MG_MIN 6e7 /* mg/min in a kg/s */

enum { NXW_TEXT_WIDTH = 78, NXW_AMOUNT_LENGTH = 40 };
#define NXW_ROOM_M3_MOL 0.024055 /* gas at 20 degC and 1 atm, as flows are counted in cases */

/* Significant digits; what is not finite becomes "-". Decimal point always. */
void nxw_number_text(double value, int digits, char out[NXW_AMOUNT_LENGTH]);

/* Amounts with a fitting unit; what is too small to matter becomes "less than ...". */
void nxw_mass_text(double mass_kg, int digits, char out[NXW_AMOUNT_LENGTH]);
void nxw_mol_text(double amount_mol, int digits, char out[NXW_AMOUNT_LENGTH]);
void nxw_percent_text(double share, int digits, char out[NXW_AMOUNT_LENGTH]);
void nxw_strength_text(double mass_fraction, char out[NXW_AMOUNT_LENGTH]); /* wt% */
void nxw_ppm_text(double fraction, int digits, char out[NXW_AMOUNT_LENGTH]);
void nxw_time_text(double time_s, char out[NXW_AMOUNT_LENGTH]);
void nxw_volume_text(double volume_m3, char out[NXW_AMOUNT_LENGTH]);     /* mL */
void nxw_flow_text(double flow_m3_s, char out[NXW_AMOUNT_LENGTH]);       /* L/min, mL/min */
void nxw_rate_text(double rate_kg_s, char out[NXW_AMOUNT_LENGTH]);       /* mg/min */
void nxw_pressure_text(double pressure_Pa, char out[NXW_AMOUNT_LENGTH]); /* kPa */
void nxw_temperature_text(double temperature_K, char out[NXW_AMOUNT_LENGTH]);

/* "about ", but nothing before "less than ...". */
const char *nxw_about(const char *amount_text);

/*
 * Print a sentence, wrapped at NXW_TEXT_WIDTH.
 *
 * Given:    lead    printed before the first word, such as "  - "
 *           indent  blanks before every further line
 *
 * An "about" before "less than" goes without saying, and goes.
 */
void nxw_wrap(FILE *out, const char *lead, int indent, const char *text);
#if defined(__GNUC__)
__attribute__((format(printf, 4, 5)))
#endif
void nxw_wrapf(FILE *out, const char *lead, int indent, const char *format, ...);

#endif
