/* noxwash estimate: one case, judged, run and reported. */
#ifndef NXW_ESTIMATE_COMMAND_H
#define NXW_ESTIMATE_COMMAND_H

#include "command/options.h"

enum nxw_exit nxw_estimate_command(const struct nxw_options *options);

#endif
