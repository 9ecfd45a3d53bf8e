#include "study/vary.h"

#include <float.h>
#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include "base/tree_node.h"
#include "base/units.h"

enum { ITEMS_MAX = 10000, STEPS_MAX = 1000000000 };

#if defined(__GNUC__)
__attribute__((format(printf, 2, 3)))
#endif
static bool
refuse(char *message, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    (void)vsnprintf(message, NXW_VARY_MESSAGE, format, arguments);
    va_end(arguments);
    return false;
}

/* A copy without the blanks at either end; NULL: no memory. */
static char *trimmed(const char *text, size_t length)
{
    while (length > 0 && *text == ' ') {
        text++;
        length--;
    }
    while (length > 0 && text[length - 1] == ' ')
        length--;
    return nxw_copy_text(text, length);
}

/* "50 mL" is 50 and "mL"; the longest start that is a number counts. false: no number. */
static bool split_number(const char *text, double *number, char unit[NXW_VARY_UNIT],
                         char message[NXW_MESSAGE_LENGTH])
{
    char copy[NXW_VARY_TEXT], ignored[NXW_MESSAGE_LENGTH];
    if (nxw_number_read(text, number, message)) {
        unit[0] = '\0';
        return true;
    }
    for (size_t n = strlen(text); n > 0; n--) {
        if (n >= sizeof copy)
            continue;
        memcpy(copy, text, n);
        copy[n] = '\0';
        if (!nxw_number_read(copy, number, ignored))
            continue;
        const char *rest = text + n;
        while (*rest == ' ')
            rest++;
        if (strchr(".,0123456789", *rest) != NULL || strlen(rest) >= NXW_VARY_UNIT)
            return false;
        memcpy(unit, rest, strlen(rest) + 1);
        return true;
    }
    return false;
}

/* ------------------------------------------------------------------------------- range */

enum { PIECES = 3 };

/* The pieces' units are one; the last piece's stands for all. */
static bool take_piece(const char *piece, size_t index, struct nxw_vary *v, char *message)
{
    double *const places[PIECES] = {&v->from, &v->to, &v->step};
    char unit[NXW_VARY_UNIT] = "", why[NXW_MESSAGE_LENGTH] = "";
    if (!split_number(piece, places[index], unit, why))
        return refuse(message, "'%.40s': %.200s", piece, why);
    if (unit[0] == '\0')
        return true;
    if (v->unit[0] != '\0' && strcmp(v->unit, unit) != 0)
        return refuse(message, "the units '%s' and '%s' differ; one is wanted", v->unit, unit);
    memcpy(v->unit, unit, sizeof unit);
    return true;
}

static bool count_steps(struct nxw_vary *v, bool has_step, bool sampled, char *message)
{
    if (!has_step) {
        if (!sampled)
            return refuse(message, "a range needs a step, such as %g:%g:%g%s%s, or --sample N",
                          v->from, v->to, (v->to - v->from) / 4.0, v->unit[0] != '\0' ? " " : "",
                          v->unit);
        if (!(v->from < v->to))
            return refuse(message, "the range must rise: %g is not below %g", v->from, v->to);
        return true;
    }
    const double steps = v->step != 0.0 ? (v->to - v->from) / v->step : -1.0;
    if (steps < 0.0)
        return refuse(message, "with the step %g, %g never comes to %g", v->step, v->from, v->to);
    if (!(steps < (double)STEPS_MAX))
        return refuse(message, "more than %d values are not accepted", (int)STEPS_MAX);
    /* the end counts when steps lead to it; what is rounded of them grows with their number */
    v->n = (uint64_t)floor(steps * (1.0 + 4.0 * DBL_EPSILON) + 1e-9) + 1;
    return true;
}

static bool read_range(const char *text, bool sampled, struct nxw_vary *v, char *message)
{
    size_t n = 0;
    v->is_range = v->is_number = true;
    for (const char *p = text; p != NULL; n++) {
        const char *colon = strchr(p, ':');
        char *piece = trimmed(p, colon != NULL ? (size_t)(colon - p) : strlen(p));
        if (piece == NULL)
            return refuse(message, "out of memory");
        bool good = n < PIECES;
        if (!good)
            (void)refuse(message, "a range is from:to:step, such as 100:500:50 mL");
        else
            good = take_piece(piece, n, v, message);
        free(piece);
        if (!good)
            return false;
        p = colon != NULL ? colon + 1 : NULL;
    }
    return count_steps(v, n == PIECES, sampled, message);
}

/* -------------------------------------------------------------------------------- list */

/* Length up to the next comma that stands outside brackets and quotes. */
static size_t item_length(const char *text)
{
    size_t depth = 0, n = 0;
    char quote = '\0';
    for (; text[n] != '\0'; n++) {
        const char c = text[n];
        if (c == quote)
            quote = '\0';
        else if (quote != '\0')
            continue;
        else if (c == '"' || c == '\'')
            quote = c;
        else if (c == '{' || c == '[')
            depth++;
        else if ((c == '}' || c == ']') && depth > 0)
            depth--;
        else if (c == ',' && depth == 0)
            break;
    }
    return n;
}

static bool read_items(const char *text, struct nxw_vary *v, char *message)
{
    size_t count = 1;
    for (const char *p = text; p[item_length(p)] == ','; p += item_length(p) + 1)
        count++;
    if (count > ITEMS_MAX)
        return refuse(message, "more than %d values are not accepted", (int)ITEMS_MAX);
    v->n = 0; /* read so far */
    v->items = calloc(count, sizeof *v->items);
    v->numbers = calloc(count, sizeof *v->numbers);
    if (v->items == NULL || v->numbers == NULL)
        return refuse(message, "out of memory");
    for (const char *p = text; v->n < count; p += item_length(p) + 1) {
        char *item = trimmed(p, item_length(p));
        if (item == NULL)
            return refuse(message, "out of memory");
        v->items[v->n++] = item;
        if (item[0] == '\0')
            return refuse(message, "value %llu is empty", (unsigned long long)v->n);
    }
    return true;
}

/* The unit behind the last number stands for the bare ones before it: "10,20,30 %". */
static bool share_unit(struct nxw_vary *v, char *message)
{
    char unit[NXW_VARY_UNIT], why[NXW_MESSAGE_LENGTH];
    v->is_number = true;
    for (uint64_t i = v->n; i > 0 && v->is_number; i--) {
        v->is_number = split_number(v->items[i - 1], &v->numbers[i - 1], unit, why);
        if (i == v->n && v->is_number)
            memcpy(v->unit, unit, sizeof unit);
        v->is_number = v->is_number && (unit[0] == '\0' || strcmp(unit, v->unit) == 0);
    }
    if (!v->is_number) {
        v->unit[0] = '\0';
        return true;
    }
    for (uint64_t i = 0; i < v->n && v->unit[0] != '\0'; i++) {
        (void)split_number(v->items[i], &v->numbers[i], unit, why);
        if (unit[0] != '\0')
            continue;
        const size_t length = strlen(v->items[i]) + strlen(v->unit) + 2;
        char *with_unit = malloc(length);
        if (with_unit == NULL)
            return refuse(message, "out of memory");
        (void)snprintf(with_unit, length, "%s %s", v->items[i], v->unit);
        free(v->items[i]);
        v->items[i] = with_unit;
    }
    return true;
}

static bool read_list(const char *text, struct nxw_vary *v, char *message)
{
    return read_items(text, v, message) && share_unit(v, message);
}

/* ---------------------------------------------------------------------------- expression */

/* A range begins with a number and holds a colon: '{kind: air}' and a name do not. */
static bool looks_like_range(const char *text)
{
    while (*text == ' ')
        text++;
    return *text != '\0' && strchr("+-.0123456789", *text) != NULL && strchr(text, ':') != NULL;
}

static bool read_path(const char *text, size_t length, struct nxw_vary *v, char *message)
{
    char *path = trimmed(text, length);
    if (path == NULL)
        return refuse(message, "out of memory");
    const size_t n = strlen(path);
    const bool good = n > 0 && n < sizeof v->path && path[n - 1] != '.';
    if (good)
        memcpy(v->path, path, n + 1);
    else
        (void)refuse(message, "'%.60s' is no path of a case; write such as train[1].liquid", path);
    free(path);
    return good;
}

bool nxw_vary_read(const char *text, bool sampled, struct nxw_vary *out,
                   char message[NXW_VARY_MESSAGE])
{
    *out = (struct nxw_vary){.given = text};
    const char *equals = strchr(text, '=');
    if (equals == NULL)
        return refuse(message, "'=' is missing; write such as train[1].liquid=100:500:50 mL");
    if (!read_path(text, (size_t)(equals - text), out, message))
        return false;
    const char *values = equals + 1;
    if (!(looks_like_range(values) ? read_range(values, sampled, out, message)
                                   : read_list(values, out, message)))
        return false;
    (void)snprintf(out->column, sizeof out->column, out->unit[0] != '\0' ? "%s (%s)" : "%s",
                   out->path, out->unit);
    return true;
}

void nxw_vary_free(struct nxw_vary *vary)
{
    for (uint64_t i = 0; i < vary->n && vary->items != NULL; i++)
        free(vary->items[i]);
    free(vary->items);
    free(vary->numbers);
    vary->items = NULL;
    vary->numbers = NULL;
}

/* The number as written is the number that is run and stored. */
static void write_number(const struct nxw_vary *vary, double number, int digits,
                         struct nxw_vary_value *out)
{
    (void)snprintf(out->room, sizeof out->room, "%.*g%s%s", digits, number,
                   vary->unit[0] != '\0' ? " " : "", vary->unit);
    char unit[NXW_VARY_UNIT], why[NXW_MESSAGE_LENGTH];
    out->number = (double)NAN;
    (void)split_number(out->room, &out->number, unit, why);
    out->text = out->room;
}

void nxw_vary_nth(const struct nxw_vary *vary, uint64_t index, struct nxw_vary_value *out)
{
    if (vary->is_range) {
        write_number(vary, vary->from + (double)index * vary->step, 12, out);
        return;
    }
    out->text = vary->items[index];
    out->number = vary->is_number ? vary->numbers[index] : (double)NAN;
}

void nxw_vary_at(const struct nxw_vary *vary, double fraction, struct nxw_vary_value *out)
{
    if (vary->n == 0) {
        write_number(vary, vary->from + fraction * (vary->to - vary->from), 9, out);
        return;
    }
    const uint64_t index = (uint64_t)(fraction * (double)vary->n);
    nxw_vary_nth(vary, index < vary->n ? index : vary->n - 1, out);
}

bool nxw_path_holds(const char *outer, const char *inner)
{
    const size_t n = strlen(outer);
    return strncmp(outer, inner, n) == 0 &&
           (inner[n] == '\0' || inner[n] == '.' || inner[n] == '[');
}
