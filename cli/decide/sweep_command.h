/* noxwash sweep CASE --vary PATH=VALUES ... */
#ifndef NXW_SWEEP_COMMAND_H
#define NXW_SWEEP_COMMAND_H

#include "command/options.h"

enum nxw_exit nxw_sweep_command(const struct nxw_options *options);

#endif
