/* noxwash strength: how strong the acid is, from what the bench can measure. */
#ifndef NXW_STRENGTH_COMMAND_H
#define NXW_STRENGTH_COMMAND_H

#include "command/options.h"

enum nxw_exit nxw_strength_command(const struct nxw_options *options);

#endif
