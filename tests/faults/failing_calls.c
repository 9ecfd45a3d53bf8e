/*
 * Makes calls of the C library fail, to be loaded ahead of it (LD_PRELOAD).
 *
 * NXW_FAIL_CALLS   malloc (with calloc and realloc), rename or fsync
 * NXW_FAIL_AT      which of these calls fails, counted from 1; 0: none
 * NXW_FAIL_ON      set: all later ones fail too, as on a machine that stays short
 * NXW_FAIL_EACH    folder: each call in turn fails, in a copy of the process made for it (fork),
 *                  which goes on to its end with output of its own: N.out, N.err, and a line
 *                  "N status" in ended, the status as of waitpid. One thread only, so the machine
 *                  is said to have one processor; what a copy writes into files is everybody's
 * NXW_FAIL_COUNT   file that is given the number of such calls when the program ends
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/sendfile.h>
#include <sys/wait.h>
#include <unistd.h>

static atomic_long calls;
static const char *which, *each;
static long at;
static bool on, ready, is_copy;

__attribute__((constructor)) static void begin(void)
{
    const char *n = getenv("NXW_FAIL_AT");
    which = getenv("NXW_FAIL_CALLS");
    at = n != NULL ? strtol(n, NULL, 10) : 0;
    on = getenv("NXW_FAIL_ON") != NULL;
    each = getenv("NXW_FAIL_EACH");
    ready = which != NULL;
}

__attribute__((destructor)) static void end(void)
{
    ready = false;
    if (is_copy)
        return;
    const char *path = getenv("NXW_FAIL_COUNT");
    FILE *file = path != NULL ? fopen(path, "w") : NULL;
    if (file != NULL) {
        (void)fprintf(file, "%ld\n", atomic_load(&calls));
        (void)fclose(file);
    }
}

static int made(long n, const char *ending)
{
    char path[4096];
    (void)snprintf(path, sizeof path, "%s/%ld%s", each, n, ending);
    const int file = open(path, O_RDWR | O_CREAT | O_TRUNC, 0600);
    if (file < 0)
        abort();
    return file;
}

/* Output of its own for a copy, which begins with what was written before. */
static void divert(int output, long n, const char *ending)
{
    const int file = made(n, ending);
    const off_t length = lseek(output, 0, SEEK_END);
    off_t from = 0;
    if (sendfile(file, output, &from, (size_t)length) != length || dup2(file, output) < 0)
        abort();
    (void)close(file);
}

/* Files that are being read, each at a place of its own. */
static void reopen(void)
{
    enum { MOST = 64 };
    for (int file = STDERR_FILENO + 1; file < MOST; file++) {
        const int flags = fcntl(file, F_GETFL);
        const off_t at_byte = lseek(file, 0, SEEK_CUR);
        if (flags < 0 || (flags & O_ACCMODE) != O_RDONLY || at_byte < 0)
            continue;
        char path[64];
        (void)snprintf(path, sizeof path, "/proc/self/fd/%d", file);
        const int again = open(path, O_RDONLY);
        if (again < 0 || lseek(again, at_byte, SEEK_SET) != at_byte || dup2(again, file) < 0)
            abort();
        (void)close(again);
    }
}

/* True in a copy made for the n-th call. */
static bool fails_in_a_copy(long n)
{
    if (is_copy)
        return on;
    const pid_t copy = fork();
    if (copy < 0)
        abort();
    if (copy == 0) {
        is_copy = true;
        divert(STDOUT_FILENO, n, ".out");
        divert(STDERR_FILENO, n, ".err");
        reopen();
        (void)alarm(120);
        return true;
    }
    int status;
    while (waitpid(copy, &status, 0) < 0)
        if (errno != EINTR)
            abort();
    char path[4096];
    (void)snprintf(path, sizeof path, "%s/ended", each);
    const int file = open(path, O_WRONLY | O_CREAT | O_APPEND, 0600);
    if (file < 0 || dprintf(file, "%ld %d\n", n, status) < 0 || close(file) != 0)
        abort();
    return false;
}

static bool must_fail(const char *kind, int reason)
{
    if (!ready || strcmp(which, kind) != 0)
        return false;
    const long n = atomic_fetch_add(&calls, 1) + 1;
    if (each != NULL) {
        const int before = errno;
        ready = false; /* for what this asks for itself */
        const bool fails = fails_in_a_copy(n);
        ready = true;
        errno = fails ? reason : before;
        return fails;
    }
    if (at == 0 || (on ? n < at : n != at))
        return false;
    errno = reason;
    return true;
}

/* POSIX has dlsym return a function as an object pointer: copied, as C knows no such conversion. */
#define REAL(name, result, ...)                                                                    \
    static result (*real)(__VA_ARGS__);                                                            \
    if (real == NULL) {                                                                            \
        void *found = dlsym(RTLD_NEXT, name);                                                      \
        memcpy(&real, &found, sizeof real);                                                        \
    }

void *malloc(size_t bytes)
{
    REAL("malloc", void *, size_t)
    return must_fail("malloc", ENOMEM) ? NULL : real(bytes);
}

void *calloc(size_t n, size_t bytes)
{
    REAL("calloc", void *, size_t, size_t)
    return must_fail("malloc", ENOMEM) ? NULL : real(n, bytes);
}

void *realloc(void *memory, size_t bytes)
{
    REAL("realloc", void *, void *, size_t)
    return must_fail("malloc", ENOMEM) ? NULL : real(memory, bytes);
}

int rename(const char *from, const char *to)
{
    REAL("rename", int, const char *, const char *)
    return must_fail("rename", EROFS) ? -1 : real(from, to);
}

int fsync(int descriptor)
{
    REAL("fsync", int, int)
    return must_fail("fsync", EIO) ? -1 : real(descriptor);
}

long sysconf(int name)
{
    REAL("sysconf", long, int)
    return each != NULL && name == _SC_NPROCESSORS_ONLN ? 1 : real(name);
}
