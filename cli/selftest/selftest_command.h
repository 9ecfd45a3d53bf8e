/* The command selftest: published check values, judged on the user's own machine. */
#ifndef NXW_SELFTEST_COMMAND_H
#define NXW_SELFTEST_COMMAND_H

#include "command/options.h"

enum nxw_exit nxw_selftest_command(const struct nxw_options *options);

#endif
