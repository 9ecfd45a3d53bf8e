/* May a file be written there? Files appear whole, by renaming, so what stands there is replaced. */
#ifndef NXW_OUT_PATH_H
#define NXW_OUT_PATH_H

#include <stdbool.h>

/*
 * Given:    path    where a file is to appear
 *           source  a file that must not be overwritten, such as the case; or NULL
 * Returned: false after a message on stderr: path is a device, a pipe, a link, a folder, or source
 */
bool nxw_out_path_check(const char *path, const char *source);

#endif
