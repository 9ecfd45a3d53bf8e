#include "noxwash.h"

const char *nxw_status_text(enum nxw_status status)
{
    switch (status) {
#define NXW_STATUS_CASE(name, value, text)                                                         \
    case name:                                                                                     \
        return text;
        NXW_STATUS_LIST(NXW_STATUS_CASE)
#undef NXW_STATUS_CASE
    }
    return "unknown status";
}

const char *nxw_version(void) { return "0.1.0"; }

const char *nxw_commit(void) { return NXW_COMMIT; }
