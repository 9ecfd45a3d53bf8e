/* What the command line asked for. Filled by main.c from its one table of options. */
#ifndef NXW_OPTIONS_H
#define NXW_OPTIONS_H

#include <stdbool.h>
#include <stddef.h>

enum nxw_exit {
    NXW_EXIT_DONE = 0,
    NXW_EXIT_NOT_MET = 1, /* a target, or a check of selftest */
    NXW_EXIT_USAGE = 2,
    NXW_EXIT_CASE = 3,
    NXW_EXIT_RANGE = 4,
    NXW_EXIT_SOLVER = 5,
    NXW_EXIT_IO = 6,
    NXW_EXIT_INTERNAL = 70,
    NXW_EXIT_INTERRUPTED = 130
};

enum { NXW_OPERANDS_MAX = 4 };

struct nxw_options {
    size_t n_operands;
    const char *operands[NXW_OPERANDS_MAX];
    bool json, why, worst_case, check, resolved, quick, strict, quiet, table, help;
    const char *series, *against;
};

#endif
