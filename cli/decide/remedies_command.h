/* noxwash remedies CASE: what helps, ranked, and one sentence of advice. */
#ifndef NXW_REMEDIES_COMMAND_H
#define NXW_REMEDIES_COMMAND_H

#include "command/options.h"

enum nxw_exit nxw_remedies_command(const struct nxw_options *options);

#endif
