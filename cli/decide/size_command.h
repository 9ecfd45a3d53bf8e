/* noxwash size CASE --capture SHARE ...: the smallest arrangement that meets the targets. */
#ifndef NXW_SIZE_COMMAND_H
#define NXW_SIZE_COMMAND_H

#include "command/options.h"

enum nxw_exit nxw_size_command(const struct nxw_options *options);

#endif
