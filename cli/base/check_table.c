#include "base/check_table.h"

#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "base/embedded_files.h"

size_t nxw_check_fields(char *p, char *field[], size_t all)
{
    for (size_t n = 0; n < all; n++) {
        char *write = p;
        field[n] = p;
        if (*p == '"') {
            for (p++; *p != '\0' && !(p[0] == '"' && p[1] != '"'); p++) {
                if (*p == '"')
                    p++;
                *write++ = *p;
            }
            if (*p++ != '"')
                return all + 1;
        } else
            for (; *p != '\0' && *p != ','; p++)
                write++;
        const char end = *p++;
        *write = '\0';
        if (end == '\0')
            return n + 1;
        if (end != ',')
            return all + 1;
    }
    return all + 1;
}

static size_t table(const struct nxw_embedded_file *file, const char *head,
                    void (*judge)(const char *file, size_t line, const char *record, void *user),
                    void *user)
{
    size_t n = 0, line = 0;
    bool headed = false, first = true;
    for (const char *p = file->text; *p != '\0';) {
        const size_t length = strcspn(p, "\n");
        char record[NXW_CHECK_RECORD_LENGTH];
        const bool fits = length < sizeof record;
        (void)snprintf(record, sizeof record, "%.*s", fits ? (int)length : 0, p);
        const bool comment = p[0] == '#' || length == 0;
        p += length + (p[length] == '\n');
        line++;
        if (comment)
            continue;
        headed = headed || (first && strcmp(record, head) == 0);
        if (!(first && headed)) {
            judge(file->name, line, headed && fits ? record : NULL, user);
            n++;
        }
        first = false;
    }
    return n;
}

size_t nxw_check_table(const char *prefix, const char *head,
                       void (*judge)(const char *file, size_t line, const char *record, void *user),
                       void *user)
{
    size_t n = 0;
    for (size_t i = 0; i < nxw_embedded_file_count; i++) {
        const struct nxw_embedded_file *f = &nxw_embedded_files[i];
        const size_t length = strlen(f->name);
        if (strncmp(f->name, prefix, strlen(prefix)) == 0 && length > 4 &&
            strcmp(f->name + length - 4, ".csv") == 0)
            n += table(f, head, judge, user);
    }
    return n;
}
