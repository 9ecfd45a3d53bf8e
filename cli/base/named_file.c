#define _XOPEN_SOURCE 700 // NOLINT(*reserved-identifier,cert-dcl*): for realpath
#include "base/named_file.h"

#include <errno.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Only a plain name or a name in a folder below. */
static bool name_stays_inside(const char *name)
{
    if (name[0] == '/' || name[0] == '\0' || strchr(name, '\\') != NULL)
        return false;
    for (const char *p = name; p != NULL; p = strchr(p, '/')) {
        if (*p == '/')
            p++;
        if (p[0] == '.' && p[1] == '.' && (p[2] == '/' || p[2] == '\0'))
            return false;
    }
    return true;
}

/* Both without links. */
static bool is_below(const char *folder, const char *path)
{
    const size_t n = strlen(folder);
    return strncmp(path, folder, n) == 0 && (path[n] == '/' || n == 1); /* n = 1: the root */
}

static const char TOO_LONG[] = "is too long a name, or its folder has one";

/* NULL where it does not. What is not there, or may not be entered, cannot be opened either: the
 * reader tells why. No room for all of a name is no way out. */
static const char *leads_out(const char *folder, const char *path)
{
    char inside[PATH_MAX], target[PATH_MAX];
    if (realpath(folder, inside) == NULL || realpath(path, target) == NULL)
        return errno == ENAMETOOLONG || errno == ENOMEM ? TOO_LONG : NULL;
    return is_below(inside, target)
               ? NULL
               : "is a link that leads out of the folder of this file: put the file itself there";
}

/* In the folder that whoever starts the program allows. */
static bool is_allowed(const char *path)
{
    char inside[PATH_MAX], target[PATH_MAX];
    const char *folder = getenv("NOXWASH_READ_FROM");
    return folder != NULL && folder[0] == '/' && realpath(folder, inside) != NULL &&
           realpath(path, target) != NULL && is_below(inside, target);
}

bool nxw_named_file(const char *beside, const struct nxw_node *place, char path[NXW_PATH_LENGTH],
                    struct nxw_fault_list *faults)
{
    const char *slash = strrchr(beside, '/'), *why = NULL;
    const int length = slash != NULL && place->text[0] != '/' ? (int)(slash - beside + 1) : 0;
    char folder[NXW_PATH_LENGTH];
    const int n = snprintf(path, NXW_PATH_LENGTH, "%.*s%s", length, beside, place->text);
    (void)snprintf(folder, sizeof folder, "%.*s.", length, beside);
    if (n < NXW_PATH_LENGTH && is_allowed(path))
        return true;
    if (!name_stays_inside(place->text))
        why = "must be the name of a file beside this one or below, without '..' and not absolute";
    else if (n >= NXW_PATH_LENGTH)
        why = TOO_LONG;
    else
        why = leads_out(folder, path);
    if (why == NULL)
        return true;
    nxw_fault_add(faults, place->line, place->column, "'%.80s' %s", place->text, why);
    return false;
}
