/* Files that this run has read or written, so that none of them is overwritten by another. */
#ifndef NXW_USED_FILES_H
#define NXW_USED_FILES_H

#include <stdbool.h>
#include <sys/stat.h>

/* From any thread. A file is known by its device and number, whatever its name or link. */
void nxw_used_file_add(const struct stat *is);
bool nxw_is_used_file(const struct stat *is);

#endif
