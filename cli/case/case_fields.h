/* The single-quantity keys of a case: one table for reading them and for printing them. */
#ifndef NXW_CASE_FIELDS_H
#define NXW_CASE_FIELDS_H

#include <stdbool.h>
#include <stddef.h>

#include "base/units.h"

enum nxw_limit_kind { NXW_FROM_LOW, NXW_ABOVE_LOW }; /* low itself allowed, or not */

struct nxw_field {
    const char *key;
    enum nxw_dimension dimension;
    size_t offset; /* of the double in its struct */
    enum nxw_limit_kind limit;
    double low, high; /* SI */
    const char *unit; /* for printing and in messages */
    unsigned kinds;   /* bits of the kinds the key belongs to; 0: all */
    const char *note; /* comment in a printed case */
};

struct nxw_section {
    const struct nxw_field *fields;
    size_t n;
};

extern const struct nxw_section nxw_fields_source;  /* of struct nxw_source */
extern const struct nxw_section nxw_fields_carrier; /* of struct nxw_carrier */
extern const struct nxw_section nxw_fields_stage;   /* of struct nxw_stage */
extern const struct nxw_section nxw_fields_tip;     /* of struct nxw_stage; kinds: nxw_tip_kind */
extern const struct nxw_section nxw_fields_bath;    /* of struct nxw_stage; kinds: nxw_bath_kind */
extern const struct nxw_section nxw_fields_vent;    /* the rest of struct nxw_case */
extern const struct nxw_section nxw_fields_hood;
extern const struct nxw_section nxw_fields_after;
extern const struct nxw_section nxw_fields_surroundings;
extern const struct nxw_section nxw_fields_vessel;

/* Words of the enums of noxwash.h, in their order. */
extern const char *const nxw_words_source[4];
extern const char *const nxw_words_shape[3];
extern const char *const nxw_words_gas[4];
extern const char *const nxw_words_stage[2];
extern const char *const nxw_words_tip[4];
extern const char *const nxw_words_bath[3];
/* The same of case_file.h. */
extern const char *const nxw_words_aim[2];

/* Frit grades: largest pore of the grade. */
enum { NXW_FRIT_GRADES = 5 };
extern const double nxw_frit_pore_m[NXW_FRIT_GRADES];

double *nxw_field_place(const struct nxw_field *field, void *object);
double nxw_field_value(const struct nxw_field *field, const void *object);

#endif
