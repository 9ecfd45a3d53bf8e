#include "case/catalogue.h"

#include <stdio.h>
#include <string.h>

#include "base/embedded_files.h"
#include "base/units.h"

size_t nxw_csv_split(char *line, char *fields[NXW_CSV_FIELDS_MAX])
{
    size_t n = 0;
    for (char *p = line; p != NULL; n++) {
        char *comma = strchr(p, ',');
        if (comma != NULL)
            *comma = '\0';
        while (*p == ' ')
            p++;
        size_t length = strlen(p);
        while (length > 0 && (p[length - 1] == ' ' || p[length - 1] == '\r'))
            p[--length] = '\0';
        if (n < NXW_CSV_FIELDS_MAX)
            fields[n] = p;
        p = comma != NULL ? comma + 1 : NULL;
    }
    return n;
}

const char *nxw_embedded_text(const char *name, size_t *length)
{
    for (size_t i = 0; i < nxw_embedded_file_count; i++) {
        const char *slash = strrchr(nxw_embedded_files[i].name, '/');
        const char *last = slash != NULL ? slash + 1 : nxw_embedded_files[i].name;
        if (strcmp(last, name) == 0) {
            *length = nxw_embedded_files[i].length;
            return nxw_embedded_files[i].text;
        }
    }
    return NULL;
}

/* Record of the table's text at *at: skips comments, blank lines and the head. */
static bool next_record(const char *text, size_t length, size_t *at, bool *head, char line[256])
{
    while (*at < length) {
        const char *start = text + *at;
        const char *end = memchr(start, '\n', length - *at);
        const size_t n = end != NULL ? (size_t)(end - start) : length - *at;
        *at += n + 1;
        if (n == 0 || start[0] == '#' || n >= 256)
            continue;
        if (*head) {
            *head = false;
            continue;
        }
        memcpy(line, start, n);
        line[n] = '\0';
        return true;
    }
    return false;
}

static bool field_number(const char *text, double factor, double *value)
{
    char message[NXW_MESSAGE_LENGTH];
    if (!nxw_number_read(text, value, message))
        return false;
    *value *= factor;
    return true;
}

size_t nxw_glass_list(struct nxw_glass out[NXW_CATALOGUE_MAX])
{
    size_t length = 0, at = 0, n = 0;
    const char *text = nxw_embedded_text("glassware.csv", &length);
    bool head = true;
    char line[256], *fields[NXW_CSV_FIELDS_MAX];
    while (text != NULL && n < NXW_CATALOGUE_MAX && next_record(text, length, &at, &head, line)) {
        if (nxw_csv_split(line, fields) < 5)
            return 0;
        struct nxw_glass *g = &out[n++];
        (void)snprintf(g->name, sizeof g->name, "%.47s", fields[0]);
        g->empty = strcmp(fields[4], "empty") == 0;
        if (!field_number(fields[1], 1e-6, &g->volume_m3) ||
            !field_number(fields[2], 1e-3, &g->inner_diameter_m) ||
            !field_number(fields[3], 1e-3, &g->wall_thickness_m))
            return 0;
    }
    return n;
}

size_t nxw_metal_list(struct nxw_metal out[NXW_CATALOGUE_MAX])
{
    size_t length = 0, at = 0, n = 0;
    const char *text = nxw_embedded_text("metals.csv", &length);
    bool head = true;
    char line[256], *fields[NXW_CSV_FIELDS_MAX];
    while (text != NULL && n < NXW_CATALOGUE_MAX && next_record(text, length, &at, &head, line)) {
        if (nxw_csv_split(line, fields) < 5 || fields[3][0] == '\0')
            return 0;
        struct nxw_metal *m = &out[n++];
        (void)snprintf(m->name, sizeof m->name, "%.31s", fields[0]);
        m->toxic = strcmp(fields[3], "no") != 0;
        (void)snprintf(m->harm, sizeof m->harm, "%.47s", m->toxic ? fields[3] : "");
        if (!field_number(fields[1], 1.0, &m->valence) ||
            !field_number(fields[2], 1e-3, &m->molar_mass_kg_mol))
            return 0;
    }
    return n;
}
