/* report CASE: one HTML page with the estimate, its pictures and the run sheet. */
#ifndef NXW_REPORT_COMMAND_H
#define NXW_REPORT_COMMAND_H

#include "command/options.h"

enum nxw_exit nxw_report_command(const struct nxw_options *options);

#endif
