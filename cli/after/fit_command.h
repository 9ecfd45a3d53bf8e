/* fit: which unknowns explain the readings of a run, and which reading would tell most. */
#ifndef NXW_FIT_COMMAND_H
#define NXW_FIT_COMMAND_H

#include "command/options.h"

/*
 * Exit: 0; 1 the readings do not fix every unknown; 2 options; 3 files; 5 the model gave no
 * result or the search did not end; 6 writing; 130 interrupted
 */
enum nxw_exit nxw_fit_command(const struct nxw_options *options);

#endif
