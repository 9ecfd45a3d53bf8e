/* noxwash balance: the account of nitrogen after a run. */
#ifndef NXW_BALANCE_COMMAND_H
#define NXW_BALANCE_COMMAND_H

#include "command/options.h"

enum nxw_exit nxw_balance_command(const struct nxw_options *options);

#endif
