#include "base/out_file.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/used_files.h"

static const char *why_not_replace(const char *path)
{
    struct stat there;
    if (lstat(path, &there) != 0)
        return NULL; /* nothing there; a missing folder is seen when the file is made */
    if (!S_ISREG(there.st_mode))
        return "not an ordinary file";
    return nxw_is_used_file(&there) ? "this run has read or written that file itself" : NULL;
}

const char *nxw_out_file_open(struct nxw_out_file *out, const char *path)
{
    *out = (struct nxw_out_file){.path = path};
    const char *why = why_not_replace(path);
    if (why != NULL)
        return why;
    const int n = snprintf(out->temporary, sizeof out->temporary, "%s.XXXXXX", path);
    if (n < 0 || (size_t)n >= sizeof out->temporary)
        return strerror(ENAMETOOLONG);
    const int descriptor = mkstemp(out->temporary);
    if (descriptor < 0)
        return strerror(errno);
    (void)fcntl(descriptor, F_SETFD, FD_CLOEXEC);
    const mode_t mask = umask(0);
    (void)umask(mask);
    out->file = fchmod(descriptor, 0666 & ~mask) == 0 ? fdopen(descriptor, "w") : NULL;
    if (out->file == NULL) {
        why = strerror(errno);
        (void)close(descriptor);
        (void)unlink(out->temporary);
    }
    return why;
}

bool nxw_out_file_restart(struct nxw_out_file *out)
{
    return fseek(out->file, 0, SEEK_SET) == 0 && ftruncate(fileno(out->file), 0) == 0;
}

const char *nxw_out_file_close(struct nxw_out_file *out, bool keep)
{
    errno = 0;
    bool good = fflush(out->file) == 0 && ferror(out->file) == 0;
    struct stat is;
    if (good && keep && fstat(fileno(out->file), &is) == 0)
        nxw_used_file_add(&is);
    if (good && keep) /* else a power cut could leave the name without the contents */
        good = fsync(fileno(out->file)) == 0;
    int reason = errno != 0 ? errno : EIO; /* an earlier write failed, and nobody kept why */
    if (fclose(out->file) != 0 && good) {
        good = false;
        reason = errno;
    }
    out->file = NULL;
    if (good && keep && rename(out->temporary, out->path) != 0) {
        good = false;
        reason = errno;
    }
    if (!(good && keep))
        (void)unlink(out->temporary);
    return good || !keep ? NULL : strerror(reason);
}
