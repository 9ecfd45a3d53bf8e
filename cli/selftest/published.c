#include "selftest/published.h"

#include <ctype.h>
#include <math.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "base/check_table.h"
#include "base/units.h"
#include "noxwash.h"
#include "selftest/published_units.h"
#include "selftest/quantity.h"

enum { QUANTITY, INPUTS, VALUE, UNIT, DIGITS, TOLERANCE, REASON, KNOWN, SOURCE, MISS, FIELDS };
static const char HEAD[] =
    "quantity,inputs,value,unit,digits,tolerance,reason,known,source,known_miss";

#if defined(__GNUC__)
__attribute__((format(printf, 2, 3)))
#endif
static bool
fault(struct nxw_check *c, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    (void)vsnprintf(c->fault, sizeof c->fault, format, arguments);
    va_end(arguments);
    c->verdict = NXW_CHECK_UNREADABLE;
    return false;
}

static bool keep(struct nxw_check *c, char *out, size_t size, const char *text, const char *name)
{
    if (text[0] == '\0')
        return fault(c, "%s is missing", name);
    if (snprintf(out, size, "%s", text) >= (int)size)
        return fault(c, "%s is too long", name);
    return true;
}

static char *trimmed(char *text)
{
    while (*text == ' ')
        text++;
    for (size_t n = strlen(text); n > 0 && text[n - 1] == ' '; n--)
        text[n - 1] = '\0';
    return text;
}

/* "10 wt%" in SI; a plain number is of unit "1". */
static bool read_quantity(struct nxw_check *c, char *text, const char *SI, double *value)
{
    char message[NXW_MESSAGE_LENGTH];
    char *unit = strchr(text, ' ');
    if (unit != NULL)
        *unit++ = '\0';
    const char *name = unit != NULL ? trimmed(unit) : "1";
    const struct nxw_published_unit *u = nxw_published_unit(name, SI);
    if (u == NULL)
        return fault(c, "'%.40s' is no unit that leads to %s", name, SI);
    if (!nxw_number_read(text, value, message))
        return fault(c, "'%.40s': %.120s", text, message);
    *value = *value * u->factor + u->offset;
    return true;
}

static bool read_inputs(struct nxw_check *c, const struct nxw_quantity_record *q, double *inputs)
{
    char text[sizeof c->inputs];
    bool have[NXW_QUANTITY_INPUTS_MAX] = {false};
    (void)snprintf(text, sizeof text, "%s", c->inputs);
    for (char *p = text; p != NULL && *p != '\0';) {
        char *next = strchr(p, ';'), *equals = strchr(p, '=');
        if (next != NULL)
            *next++ = '\0';
        if (equals == NULL || (next != NULL && equals > next))
            return fault(c, "inputs are written 'name = number unit; ...'");
        *equals = '\0';
        size_t i = 0;
        while (i < q->n_inputs && strcmp(q->inputs[i].name, trimmed(p)) != 0)
            i++;
        if (i == q->n_inputs || have[i])
            return fault(c, "'%.40s' is no input, or is given twice", trimmed(p));
        if (!read_quantity(c, trimmed(equals + 1), q->inputs[i].unit, &inputs[i]))
            return false;
        have[i] = true;
        p = next;
    }
    for (size_t i = 0; i < q->n_inputs; i++)
        if (!have[i])
            return fault(c, "the input '%s' (%s) is missing", q->inputs[i].name, q->inputs[i].unit);
    return true;
}

/* How many significant digits a number shows: all from the first that is not zero. */
static int digits_shown(const char *text)
{
    int n = 0;
    bool started = false;
    for (; *text != '\0' && *text != 'e' && *text != 'E'; text++) {
        started = started || (*text >= '1' && *text <= '9');
        n += started && isdigit((unsigned char)*text);
    }
    return n;
}

/* One part of a tolerance: "0.0005" or "2 %". */
static bool read_part(struct nxw_check *c, char *text, double *width)
{
    char message[NXW_MESSAGE_LENGTH];
    double factor = 1.0;
    char *percent = strchr(text, '%');
    if (percent != NULL && percent[1] == '\0') {
        *percent = '\0';
        factor = 0.01 * fabs(c->published);
    }
    double number;
    if (!nxw_number_read(text, &number, message) || number < 0.0)
        return fault(c, "tolerance '%.40s' is not a number", text);
    *width += number * factor;
    return true;
}

static bool read_tolerance(struct nxw_check *c, char *text)
{
    char message[NXW_MESSAGE_LENGTH];
    double a, b;
    char *to = strstr(text, " to "), *plus = strstr(text, " + ");
    if (to != NULL) {
        *to = '\0';
        if (!nxw_number_read(text, &a, message) || !nxw_number_read(to + 4, &b, message))
            return fault(c, "tolerance is written 'low to high'");
        c->low = a;
        c->high = b;
    } else if (strncmp(text, "factor ", 7) == 0) {
        if (!nxw_number_read(text + 7, &a, message) || !(a > 1.0) || !(c->published > 0.0))
            return fault(c, "a factor is a number above 1, and goes with a value above 0");
        c->low = c->published / a;
        c->high = c->published * a;
    } else {
        double width = 0.0;
        if (plus != NULL)
            *plus = '\0';
        if (!read_part(c, trimmed(text), &width) ||
            (plus != NULL && !read_part(c, trimmed(plus + 3), &width)))
            return false;
        c->low = c->published - width;
        c->high = c->published + width;
    }
    const double unit = c->published == 0.0
                            ? 0.0
                            : pow(10.0, floor(log10(fabs(c->published)) + 1e-12) - c->digits + 1);
    if (!(c->low < c->high && c->low <= c->published && c->published <= c->high))
        return fault(c, "the tolerance does not hold the published value");
    if (c->high - c->low < 0.99 * unit)
        return fault(c, "the tolerance is finer than the print");
    return true;
}

const char *const nxw_check_kinds[NXW_CHECK_KINDS] = {"published", "computed", "from memory",
                                                      "common practice"};

size_t nxw_check_kind(const char *word)
{
    size_t i = 0;
    while (i < NXW_CHECK_KINDS && strcmp(word, nxw_check_kinds[i]) != 0)
        i++;
    return i;
}

enum nxw_check_verdict nxw_check_verdict_of(bool inside, const char *known_miss)
{
    if (known_miss[0] == '\0')
        return inside ? NXW_CHECK_PASSED : NXW_CHECK_FAILED;
    return inside ? NXW_CHECK_MISS_IS_MET : NXW_CHECK_KNOWN_MISS;
}

static bool read_words(struct nxw_check *c, char *field[FIELDS])
{
    if (!keep(c, c->quantity, sizeof c->quantity, field[QUANTITY], "quantity") ||
        !keep(c, c->unit, sizeof c->unit, field[UNIT], "unit") ||
        !keep(c, c->reason, sizeof c->reason, field[REASON], "the reason for the tolerance") ||
        !keep(c, c->known, sizeof c->known, field[KNOWN], "known") ||
        !keep(c, c->source, sizeof c->source, field[SOURCE], "source"))
        return false;
    (void)snprintf(c->inputs, sizeof c->inputs, "%s", field[INPUTS]);
    if (snprintf(c->known_miss, sizeof c->known_miss, "%s", field[MISS]) >=
            (int)sizeof c->known_miss ||
        strlen(field[INPUTS]) >= sizeof c->inputs)
        return fault(c, "a field is too long");
    if (nxw_check_kind(c->known) == NXW_CHECK_KINDS)
        return fault(c, "known is published, from memory, computed or common practice");
    return true;
}

static bool read_numbers(struct nxw_check *c, char *field[FIELDS],
                         const struct nxw_quantity_record *q, double *inputs)
{
    char message[NXW_MESSAGE_LENGTH];
    double digits = 0.0;
    if (!nxw_number_read(field[VALUE], &c->published, message))
        return fault(c, "value: %.150s", message);
    if (!nxw_number_read(field[DIGITS], &digits, message) || digits < 1.0 || digits > 15.0)
        return fault(c, "digits is a number from 1 to 15");
    c->digits = (int)digits;
    if (digits_shown(field[VALUE]) > c->digits)
        return fault(c, "the value shows more digits than are said to be in print");
    return read_tolerance(c, field[TOLERANCE]) && read_inputs(c, q, inputs);
}

void nxw_check_judge(const char *record, struct nxw_check *c)
{
    char text[NXW_CHECK_RECORD_LENGTH], *field[FIELDS];
    double inputs[NXW_QUANTITY_INPUTS_MAX] = {0.0}, ours;
    const char *file = c->file;
    const size_t line = c->line;
    *c = (struct nxw_check){.file = file, .line = line, .ours = NAN};
    if (snprintf(text, sizeof text, "%s", record) >= (int)sizeof text) {
        (void)fault(c, "the record is too long");
        return;
    }
    if (nxw_check_fields(text, field, FIELDS) != FIELDS) {
        (void)fault(c, "the record needs ten fields");
        return;
    }
    if (!read_words(c, field))
        return;
    const struct nxw_quantity_record *q = nxw_quantity_record(c->quantity);
    if (q == NULL) {
        (void)fault(c, "there is no quantity '%s'", c->quantity);
        return;
    }
    if (!read_numbers(c, field, q, inputs))
        return;
    const struct nxw_published_unit *u = nxw_published_unit(c->unit, q->unit);
    if (u == NULL) {
        (void)fault(c, "'%s' is no unit that leads to %s", c->unit, q->unit);
        return;
    }
    bool inside = false; /* a figure that does not exist is outside */
    if (nxw_quantity(c->quantity, q->n_inputs, inputs, &ours) == NXW_OK) {
        c->ours = (ours - u->offset) / u->factor;
        inside = c->ours >= c->low && c->ours <= c->high;
    }
    c->verdict = nxw_check_verdict_of(inside, c->known_miss);
}

struct visitor {
    void (*visit)(const struct nxw_check *check, void *user);
    void *user;
};

static void judge_line(const char *file, size_t line, const char *record, void *user)
{
    const struct visitor *v = user;
    struct nxw_check c = {.file = file, .line = line};
    if (record == NULL)
        (void)fault(&c, "the first line must be %s, and no record too long", HEAD);
    else
        nxw_check_judge(record, &c);
    v->visit(&c, v->user);
}

size_t nxw_check_all(void (*visit)(const struct nxw_check *check, void *user), void *user)
{
    struct visitor v = {visit, user};
    return nxw_check_table("published/", HEAD, judge_line, &v);
}
