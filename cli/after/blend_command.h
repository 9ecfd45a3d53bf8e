/* noxwash blend: mix and dilute, start the next bottle from weak acid, peroxide strengths. */
#ifndef NXW_BLEND_COMMAND_H
#define NXW_BLEND_COMMAND_H

#include "command/options.h"

enum nxw_exit nxw_blend_command(const struct nxw_options *options);

#endif
