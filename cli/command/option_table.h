/* Commands and options as main.c lists them, for whoever prints them. */
#ifndef NXW_OPTION_TABLE_H
#define NXW_OPTION_TABLE_H

#include <stdio.h>

#include "command/options.h"

struct nxw_command {
    const char *name, *operands, *text;
    size_t least, most; /* operands */
    enum nxw_exit (*run)(const struct nxw_options *options);
};

struct nxw_option {
    unsigned commands; /* bits in the order of the commands */
    const char *name, *argument;
    size_t offset; /* in struct nxw_options: bool, or const char * with an argument */
    bool repeats;  /* a struct nxw_option_list instead */
    const char *text;
};

struct nxw_option_table {
    const struct nxw_command *commands;
    size_t n_commands;
    const struct nxw_option *options;
    size_t n_options;
    const char *exit_codes;
};

/* Manual page, for man. */
void nxw_man_print(FILE *out, const struct nxw_option_table *table);

/* Completion of the command line, for bash. */
void nxw_completion_print(FILE *out, const struct nxw_option_table *table);

#endif
