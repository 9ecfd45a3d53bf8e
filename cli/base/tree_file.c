/* The file behind a tree, and files as texts. */
#include "base/tree.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/used_files.h"

/* Whoever starts the program may name a pipe; a name found in a file may not make it wait for one,
 * nor for a device. NULL: why not, or why NULL where memory is short. */
static FILE *open_file(const char *path, enum nxw_path_from from, const char **why)
{
    const int named = from == NXW_PATH_FROM_FILE ? O_NONBLOCK : 0;
    const int descriptor = open(path, O_RDONLY | O_CLOEXEC | O_NOCTTY | named);
    struct stat is;
    FILE *file = NULL;
    *why = NULL;
    if (descriptor >= 0 && named != 0 && (fstat(descriptor, &is) != 0 || !S_ISREG(is.st_mode)))
        *why = "it is a pipe, a device or a folder; an ordinary file is wanted";
    else {
        file = descriptor >= 0 ? fdopen(descriptor, "rb") : NULL;
        if (file == NULL && errno != ENOMEM)
            *why = strerror(errno);
    }
    if (file == NULL && descriptor >= 0)
        (void)close(descriptor);
    return file;
}

char *nxw_file_read(const char *path, enum nxw_path_from from, size_t max, size_t *length,
                    struct nxw_fault_list *faults, enum nxw_read_status *status)
{
    const char *why;
    *length = 0;
    *status = NXW_READ_IO;
    FILE *file = open_file(path, from, &why);
    if (why != NULL) {
        nxw_fault_add(faults, 0, 0, "cannot be opened: %s", why);
        return NULL;
    }
    char *text = file != NULL ? malloc(max + 2) : NULL;
    if (text == NULL) {
        faults->out_of_memory = true;
        *status = NXW_READ_MEMORY;
        if (file != NULL)
            (void)fclose(file);
        return NULL;
    }
    struct stat is;
    if (fstat(fileno(file), &is) == 0)
        nxw_used_file_add(&is);
    errno = 0;
    *length = fread(text, 1, max + 1, file);
    const int failed = ferror(file);
    const int reason = errno;
    (void)fclose(file);
    if (failed)
        nxw_fault_add(faults, 0, 0, "cannot be read: %s", strerror(reason));
    else if (*length > max) {
        nxw_fault_add(faults, 0, 0, "the file is longer than %zu KiB", max / 1024);
        *status = NXW_READ_FAULTS;
    } else {
        text[*length] = '\0';
        *status = NXW_READ_OK;
        return text;
    }
    free(text);
    return NULL;
}

bool nxw_is_json(const char *path)
{
    const size_t n = strlen(path);
    return n >= 5 && strcmp(path + n - 5, ".json") == 0;
}

enum nxw_read_status nxw_tree_read_file(const char *path, enum nxw_path_from from,
                                        struct nxw_node **tree, struct nxw_fault_list *faults)
{
    *tree = NULL;
    size_t length;
    enum nxw_read_status status;
    char *text = nxw_file_read(path, from, NXW_TREE_BYTES_MAX, &length, faults, &status);
    if (text == NULL)
        return status;
    status = nxw_tree_read_text(text, length, nxw_is_json(path), tree, faults);
    free(text);
    return status;
}
