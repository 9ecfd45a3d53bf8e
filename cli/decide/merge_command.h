/* noxwash merge OUT PART...: the databases of the parts of a sweep become one. */
#ifndef NXW_MERGE_COMMAND_H
#define NXW_MERGE_COMMAND_H

#include "command/options.h"

enum nxw_exit nxw_merge_command(const struct nxw_options *options);

#endif
