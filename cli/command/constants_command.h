/* noxwash constants: the constants in use and what they rest on. */
#ifndef NXW_CONSTANTS_COMMAND_H
#define NXW_CONSTANTS_COMMAND_H

#include "command/options.h"

enum nxw_exit nxw_constants_command(const struct nxw_options *options);

#endif
