/* The data files of params/ that are compiled into the program. */
#ifndef NXW_EMBEDDED_FILES_H
#define NXW_EMBEDDED_FILES_H

#include <stddef.h>

struct nxw_embedded_file {
    const char *name; /* such as glassware.csv or cases/still.yaml */
    const char *text; /* terminated */
    size_t length;
};
extern const struct nxw_embedded_file nxw_embedded_files[];
extern const size_t nxw_embedded_file_count;

#endif
