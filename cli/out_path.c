#include "out_path.h"

#include <stdio.h>
#include <sys/stat.h>

bool nxw_out_path_check(const char *path, const char *source)
{
    struct stat there, other;
    if (lstat(path, &there) != 0)
        return true; /* nothing there; a missing folder is seen when the file is made */
    if (!S_ISREG(there.st_mode)) {
        (void)fprintf(stderr, "noxwash: %s: not an ordinary file; nothing is written there\n",
                      path);
        return false;
    }
    if (source != NULL && stat(source, &other) == 0 && other.st_dev == there.st_dev &&
        other.st_ino == there.st_ino) {
        (void)fprintf(stderr, "noxwash: %s: that is the case itself; give another file\n", path);
        return false;
    }
    return true;
}
