#include "case/source_table.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/named_file.h"
#include "base/units.h"
#include "case/catalogue.h"

enum { TABLE_BYTES_MAX = 256 * 1024 };

static const char *const FLOW_COLUMNS[] = {"time_s",     "NO_mol_s", "NO2_mol_s",   "HNO2_mol_s",
                                           "HNO3_mol_s", "O2_mol_s", "inert_mol_s", "H2O_mol_s"};
static const char *const SHAPE_COLUMNS[] = {"time_s", "strength"};

struct table {
    const struct nxw_node *place;
    const char *name;
    struct nxw_fault_list *faults;
    size_t line;
};

static bool table_fault(const struct table *t, const char *text)
{
    nxw_fault_add(t->faults, t->place->line, t->place->column, "table '%.80s', line %zu: %s",
                  t->name, t->line, text);
    return false;
}

static bool head_good(const struct table *t, char *line, const char *const *columns, size_t n)
{
    char *fields[NXW_CSV_FIELDS_MAX];
    bool good = nxw_csv_split(line, fields) == n;
    for (size_t i = 0; good && i < n; i++)
        good = strcmp(fields[i], columns[i]) == 0;
    if (good)
        return true;
    return table_fault(t, n == 2 ? "the first line must be time_s,strength"
                                 : "the first line must be time_s,NO_mol_s,NO2_mol_s,HNO2_mol_s,"
                                   "HNO3_mol_s,O2_mol_s,inert_mol_s,H2O_mol_s");
}

static bool read_row(const struct table *t, char *line, size_t n, bool shape,
                     struct nxw_source *source)
{
    char *fields[NXW_CSV_FIELDS_MAX];
    if (nxw_csv_split(line, fields) != n)
        return table_fault(t, "wrong number of fields");
    if (source->n_rows >= NXW_SOURCE_ROWS_MAX)
        return table_fault(t, "more than 512 rows are not accepted");
    double v[8] = {0};
    for (size_t i = 0; i < n; i++) {
        char message[NXW_MESSAGE_LENGTH];
        if (!nxw_number_read(fields[i], &v[i], message))
            return table_fault(t, message);
        if (v[i] < 0.0)
            return table_fault(t, "a value below zero is not possible");
    }
    if (source->n_rows > 0 && !(v[0] > source->rows[source->n_rows - 1].time_s))
        return table_fault(t, "the times must rise");
    struct nxw_source_row *row = &source->rows[source->n_rows++];
    *row = (struct nxw_source_row){.time_s = v[0]};
    if (shape) {
        row->inert_mol_s = v[1];
        return true;
    }
    row->NO_mol_s = v[1];
    row->NO2_mol_s = v[2];
    row->HNO2_mol_s = v[3];
    row->HNO3_mol_s = v[4];
    row->O2_mol_s = v[5];
    row->inert_mol_s = v[6];
    row->H2O_mol_s = v[7];
    return true;
}

static bool read_rows(struct table *t, char *text, bool shape, struct nxw_source *source)
{
    const size_t n = shape ? 2 : 8;
    bool head = true;
    for (char *line = text; line != NULL && *line != '\0';) {
        char *end = strchr(line, '\n');
        if (end != NULL)
            *end = '\0';
        t->line++;
        if (line[0] != '#' && line[0] != '\0' && strcmp(line, "\r") != 0) {
            const bool good = head ? head_good(t, line, shape ? SHAPE_COLUMNS : FLOW_COLUMNS, n)
                                   : read_row(t, line, n, shape, source);
            if (!good)
                return false;
            head = false;
        }
        line = end != NULL ? end + 1 : NULL;
    }
    if (source->n_rows < 2)
        return table_fault(t, "at least two rows are needed");
    return true;
}

bool nxw_source_table_read(const char *case_path, const struct nxw_node *place, bool shape,
                           struct nxw_source *source, struct nxw_fault_list *faults)
{
    struct table t = {.place = place, .name = place->text, .faults = faults};
    source->n_rows = 0;
    char path[NXW_PATH_LENGTH];
    if (!nxw_named_file(case_path, place, path, faults))
        return false;
    size_t length;
    enum nxw_read_status status;
    struct nxw_fault_list own = {0};
    char *text = nxw_file_read(path, NXW_PATH_FROM_FILE, TABLE_BYTES_MAX, &length, &own, &status);
    if (text == NULL) {
        nxw_fault_add(faults, place->line, place->column, "table '%.80s' %s", place->text,
                      own.n > 0 ? own.faults[0].text : "cannot be read");
        nxw_fault_list_free(&own);
        return false;
    }
    bool good;
    if (strlen(text) != length) {
        t.line = 1;
        good = table_fault(&t, "a NUL byte is not text");
    } else
        good = read_rows(&t, text, shape, source);
    free(text);
    return good;
}
