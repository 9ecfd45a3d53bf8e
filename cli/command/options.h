/* What the command line asked for. Filled by main.c from its one table of options. */
#ifndef NXW_OPTIONS_H
#define NXW_OPTIONS_H

#include <stdbool.h>
#include <stddef.h>

#include "base/exit_code.h"
#include "base/option_list.h"
#include "case/gravity.h"
#include "case/titration_text.h"

enum { NXW_OPERANDS_MAX = 4096 };

struct nxw_strength_options {
    bool chart;
    const char *strength, *NO2, *HNO2, *peroxide;
    struct nxw_gravity_text gravity;
    struct nxw_titration_text titration;
};

struct nxw_blend_options {
    struct nxw_option_list parts;
    const char *target, *make, *water_temperature, *peroxide, *next, *weak_acid, *stage;
};

struct nxw_options {
    size_t n_operands;
    const char *operands[NXW_OPERANDS_MAX];
    bool json, why, stats, check, resolved, quick, strict, sensitivity, quiet, table, help;
    bool man, completion; /* help */
    const char *series, *against, *samples, *worst_case;
    struct nxw_strength_options strength;
    struct nxw_blend_options blend;
    bool csv, json_lines, plot; /* sweep */
    const char *out, *svg, *sample, *seed, *threads, *part;
    struct nxw_option_list vary;
    const char *capture, *vent, *least_strength, *peak_temperature, *free; /* size */
    struct nxw_option_list unknown;                                        /* fit */
    bool plan;
};

#endif
