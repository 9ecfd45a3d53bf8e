/*
 * Makes calls of the C library fail, to be loaded ahead of it (LD_PRELOAD).
 *
 * NXW_FAIL_CALLS   malloc (with calloc and realloc), rename, fsync, open or write
 * NXW_FAIL_AT      which of these calls fails, counted from 1; 0: none
 * NXW_FAIL_ON      set: all later ones fail too, as on a machine that stays short
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
#include <unistd.h>

static atomic_long calls;
static const char *which;
static long at;
static bool on, ready;

__attribute__((constructor)) static void begin(void)
{
    const char *n = getenv("NXW_FAIL_AT");
    which = getenv("NXW_FAIL_CALLS");
    at = n != NULL ? strtol(n, NULL, 10) : 0;
    on = getenv("NXW_FAIL_ON") != NULL;
    ready = which != NULL;
}

__attribute__((destructor)) static void end(void)
{
    ready = false;
    const char *path = getenv("NXW_FAIL_COUNT");
    FILE *file = path != NULL ? fopen(path, "w") : NULL;
    if (file != NULL) {
        (void)fprintf(file, "%ld\n", atomic_load(&calls));
        (void)fclose(file);
    }
}

static bool must_fail(const char *kind, int reason)
{
    if (!ready || strcmp(which, kind) != 0)
        return false;
    const long n = atomic_fetch_add(&calls, 1) + 1;
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
