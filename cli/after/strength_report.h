/* What the strength command found, and its two ways of telling it. */
#ifndef NXW_STRENGTH_REPORT_H
#define NXW_STRENGTH_REPORT_H

#include <stdio.h>

#include "case/gravity.h"
#include "noxwash.h"

struct nxw_strength_report {
    bool from_density, from_titration, corrected; /* corrected: other solutes taken off */
    bool solutes_from_titration;
    struct nxw_gravity gravity;   /* its reading holds the other solutes too */
    struct nxw_strength strength; /* with the other solutes taken off */
    struct nxw_strength plain;    /* as if all were acid */
    double look_up_mass_fraction; /* without any correction for heat; NAN: none */
    struct nxw_titration titration;
    struct nxw_titrated titrated;
    bool titration_error_assumed;
    double difference, difference_error; /* density less titration; standard error */
    bool agree;                          /* within 95 of 100 */
};

void nxw_strength_print(FILE *out, const struct nxw_strength_report *report);
/* false: out of memory, or writing failed (errno tells which: ENOMEM). */
bool nxw_strength_json(FILE *out, const struct nxw_strength_report *report);

/* The way back: what the instruments show in acid of a strength. */
struct nxw_strength_back {
    double mass_fraction, temperature_K;
};
void nxw_strength_back_print(FILE *out, const struct nxw_strength_back *back);
bool nxw_strength_back_json(FILE *out, const struct nxw_strength_back *back);

/* The table to pin up. */
void nxw_strength_chart_print(FILE *out);
bool nxw_strength_chart_json(FILE *out);
/* The same drawn on the terminal; NULL, or why there is no picture. */
const char *nxw_strength_chart_plot(void);

/* How far the curve is to be trusted there, for people and for machines. */
extern const char *const nxw_strength_basis_texts[4];
extern const char *const nxw_strength_basis_names[4];

/* The instruments of the way back and of the chart. */
enum { NXW_INSTRUMENT_COUNT = 7 };
struct nxw_instrument {
    const char *name, *text; /* for machines, for people */
    struct nxw_gravity like;
};
void nxw_instruments(struct nxw_instrument out[NXW_INSTRUMENT_COUNT]);

#endif
