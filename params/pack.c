/*
 * Build-time: turns constants.csv into parameter_ids.h and parameter_table.c.
 * Refuses, with line and column, a record that lacks a unit, a range, a source or how it is known,
 * and a table that C would read differently from what was checked here.
 *
 *   pack constants.csv out_dir
 */
#include <ctype.h>
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { KEY, VALUE, UNIT, LOW, HIGH, GROUP, KNOWN, SOURCE, NOTE, FIELDS, RECORDS_MAX = 400 };
static const char *const NAMES[FIELDS] = {"key",   "value", "unit",   "low", "high",
                                          "group", "known", "source", "note"};
static char text[1 << 18];
static char *field[RECORDS_MAX][FIELDS];
static double numbers[RECORDS_MAX][3]; /* value, low, high */

static int refuse(const char *file, size_t line, int column, const char *why)
{
    (void)fprintf(stderr, "%s:%zu: %s: %s\n", file, line, column >= 0 ? NAMES[column] : "record",
                  why);
    return 1;
}

/* One record of RFC 4180 CSV in place; returns the rest or NULL at a fault. */
static char *split(char *p, char **out, int *n)
{
    for (*n = 0; *n < FIELDS;) {
        char *start = p, *write = p;
        if (*p == '"') {
            start = write = ++p;
            while (*p != '\0' && !(p[0] == '"' && p[1] != '"')) {
                if (*p == '"')
                    p++;
                *write++ = *p++;
            }
            if (*p++ != '"')
                return NULL;
        } else {
            while (*p != '\0' && *p != ',' && *p != '\n' && *p != '\r')
                *write++ = *p++;
        }
        if (p[0] == '\r' && p[1] == '\n')
            p++;
        const char end = *p;
        *write = '\0';
        out[(*n)++] = start;
        if (end == '\0')
            return p;
        p++;
        if (end == '\n')
            return p;
        if (end != ',')
            return NULL;
    }
    return NULL;
}

static void quote(FILE *out, const char *s)
{
    (void)fputc('"', out);
    for (; *s != '\0'; s++) {
        if (*s == '"' || *s == '\\')
            (void)fputc('\\', out);
        (void)fputc(*s, out);
    }
    (void)fputc('"', out);
}

static int number(const char *s, double *value)
{
    char *end;
    *value = strtod(s, &end);
    return *s != '\0' && *end == '\0' && isfinite(*value);
}

static int blank(const char *s) { return s[strspn(s, " \t")] == '\0'; }

static int identifier(const char *s)
{
    if (!isalpha((unsigned char)*s))
        return 0;
    while (isalnum((unsigned char)*s) || *s == '_')
        s++;
    return *s == '\0';
}

static FILE *create(const char *folder, const char *name)
{
    char path[4096];
    if (snprintf(path, sizeof path, "%s/%s", folder, name) >= (int)sizeof path)
        return NULL;
    return fopen(path, "w");
}

int main(int argc, char **argv)
{
    static const char *const KNOWN_WORDS[] = {"published", "memory", "computed", "judgement"};
    static const int NUMBER_COLUMNS[3] = {VALUE, LOW, HIGH};
    if (argc != 3)
        return 2;
    FILE *in = fopen(argv[1], "rb");
    if (in == NULL)
        return refuse(argv[1], 0, -1, "cannot be read");
    const size_t length = fread(text, 1, sizeof text - 1, in);
    const int whole = !ferror(in) && feof(in);
    (void)fclose(in);
    if (!whole)
        return refuse(argv[1], 0, -1, "cannot be read whole");
    if (memchr(text, '\0', length) != NULL)
        return refuse(argv[1], 0, -1, "holds a zero byte");
    uint64_t hash = 14695981039346656037u; /* FNV-1a, 64 bit */
    for (size_t i = 0; i < length; i++)
        hash = (hash ^ (unsigned char)text[i]) * 1099511628211u;

    char *p = text;
    size_t count = 0, known_index[RECORDS_MAX] = {0};
    for (size_t line = 1; *p != '\0'; line++) {
        char *f[FIELDS] = {0};
        int n;
        p = split(p, f, &n);
        if (p == NULL || n != FIELDS)
            return refuse(argv[1], line, -1, "needs nine fields");
        if (line == 1) {
            for (int i = 0; i < FIELDS; i++)
                if (strcmp(f[i], NAMES[i]) != 0)
                    return refuse(argv[1], line, i, "is not the heading of this column");
            continue;
        }
        if (count == RECORDS_MAX)
            return refuse(argv[1], line, -1, "too many records");
        for (int i = 0; i < FIELDS; i++) {
            if (blank(f[i]) && i != GROUP && i != NOTE)
                return refuse(argv[1], line, i, "is missing");
            if (strpbrk(f[i], "\r\n") != NULL)
                return refuse(argv[1], line, i, "runs over the end of the line");
            field[count][i] = f[i];
        }
        if (!identifier(f[KEY]))
            return refuse(argv[1], line, KEY, "is not letters, digits and underscores");
        double *const v = numbers[count];
        for (int i = 0; i < 3; i++)
            if (!number(f[NUMBER_COLUMNS[i]], &v[i]))
                return refuse(argv[1], line, NUMBER_COLUMNS[i], "is not a finite number");
        if (!(v[1] <= v[0] && v[0] <= v[2]))
            return refuse(argv[1], line, VALUE, "lies outside its range");
        size_t k = 0;
        while (k < 4 && strcmp(f[KNOWN], KNOWN_WORDS[k]) != 0)
            k++;
        if (k == 4)
            return refuse(argv[1], line, KNOWN, "is published, memory, computed or judgement");
        known_index[count] = k;
        for (size_t i = 0; i < count; i++)
            if (strcmp(field[i][KEY], f[KEY]) == 0)
                return refuse(argv[1], line, KEY, "appears twice");
        count++;
    }

    if (count == 0)
        return refuse(argv[1], 1, -1, "no constants");
    FILE *ids = create(argv[2], "parameter_ids.h"), *table = create(argv[2], "parameter_table.c");
    if (ids == NULL || table == NULL)
        return refuse(argv[2], 0, -1, "cannot be written");
    (void)fputs(
        "#ifndef NXW_PARAMETER_IDS_H\n#define NXW_PARAMETER_IDS_H\nenum nxw_parameter_id {\n", ids);
    (void)fputs("#include \"noxwash.h\"\n#include \"base/parameter_table.h\"\n"
                "const struct nxw_parameter_record nxw_parameter_table[NXW_PARAMETER_COUNT] = {\n",
                table);
    static const char *const KNOWN_ENUM[] = {"NXW_KNOWN_PUBLISHED", "NXW_KNOWN_MEMORY",
                                             "NXW_KNOWN_COMPUTED", "NXW_KNOWN_JUDGEMENT"};
    for (size_t i = 0; i < count; i++) {
        char **f = field[i];
        (void)fprintf(ids, "    NXW_P_%s,\n", f[KEY]);
        (void)fputs("    {", table);
        quote(table, f[KEY]);
        (void)fprintf(table, ", %.17g, ", numbers[i][0]);
        quote(table, f[UNIT]);
        (void)fprintf(table, ", %.17g, %.17g, ", numbers[i][1], numbers[i][2]);
        quote(table, f[GROUP]);
        (void)fprintf(table, ", %s, ", KNOWN_ENUM[known_index[i]]);
        quote(table, f[SOURCE]);
        (void)fputs(", ", table);
        quote(table, f[NOTE]);
        (void)fputs("},\n", table);
    }
    (void)fputs("    NXW_PARAMETER_COUNT\n};\n#endif\n", ids);
    (void)fprintf(table, "};\nconst char nxw_parameter_table_hash[] = \"%016" PRIx64 "\";\n", hash);
    const int written = !ferror(ids) && !ferror(table);
    if (fclose(ids) != 0 || fclose(table) != 0 || !written)
        return refuse(argv[2], 0, -1, "cannot be written");
    return 0;
}
