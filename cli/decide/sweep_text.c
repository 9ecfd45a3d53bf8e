#include "decide/sweep_text.h"

#include <math.h>
#include <string.h>

#include "command/json_document.h"

enum { PRINTED_DIGITS = 12 };

const char *const nxw_sweep_text_names[NXW_SWEEP_TEXT_COUNT] = {"status_text", "reason", "warnings",
                                                                "set_aside"};

static bool has_none(void *self, uint64_t number, bool *has)
{
    (void)self;
    (void)number;
    *has = false;
    return true;
}

static bool flush(void *self)
{
    const struct nxw_sweep_text *t = self;
    return fflush(t->file) == 0 && ferror(t->file) == 0;
}

/* -------------------------------------------------------------------------------- CSV */

static void csv_text(FILE *out, const char *text)
{
    if (strpbrk(text, ",\"\n\r") == NULL) {
        (void)fprintf(out, ",%s", text);
        return;
    }
    (void)fputs(",\"", out);
    for (; *text != '\0'; text++) {
        if (*text == '"')
            (void)fputc('"', out);
        (void)fputc(*text, out);
    }
    (void)fputc('"', out);
}

static void csv_number(FILE *out, double value)
{
    if (isfinite(value))
        (void)fprintf(out, ",%.*g", PRINTED_DIGITS, value);
    else
        (void)fputc(',', out); /* no value: an empty field */
}

static bool csv_row(void *self, const struct nxw_sweep_row *row)
{
    const struct nxw_sweep_text *t = self;
    const char *const texts[] = NXW_SWEEP_TEXTS(row);
    (void)fprintf(t->file, "%llu", (unsigned long long)row->number);
    for (size_t i = 0; i < t->plan->n_varies; i++) {
        struct nxw_vary_value value;
        nxw_plan_value(t->plan, row->number, i, &value);
        if (t->plan->varies[i].is_number)
            csv_number(t->file, value.number);
        else
            csv_text(t->file, value.text);
    }
    (void)fprintf(t->file, ",%d", (int)row->status);
    for (size_t i = 0; i < NXW_SWEEP_TEXT_COUNT; i++)
        csv_text(t->file, texts[i]);
    for (size_t i = 0; i < NXW_HEADLINE_COUNT; i++)
        csv_number(t->file, row->figures[i]);
    (void)fputc('\n', t->file);
    return ferror(t->file) == 0;
}

bool nxw_sweep_csv_open(struct nxw_sweep_text *text, struct nxw_sweep_sink *sink)
{
    *sink = (struct nxw_sweep_sink){text, has_none, csv_row, flush};
    (void)fputs("case", text->file);
    for (size_t i = 0; i < text->plan->n_varies; i++)
        csv_text(text->file, text->plan->varies[i].column);
    (void)fputs(",status", text->file);
    for (size_t i = 0; i < NXW_SWEEP_TEXT_COUNT; i++)
        csv_text(text->file, nxw_sweep_text_names[i]);
    for (size_t i = 0; i < NXW_HEADLINE_COUNT; i++)
        csv_text(text->file, nxw_headline_name(i));
    (void)fputc('\n', text->file);
    return flush(text);
}

/* ------------------------------------------------------------------------- JSON lines */

static bool print_line(struct nxw_json *j, FILE *out, json_t *root)
{
    const bool good =
        !j->failed &&
        json_dumpf(root, out, JSON_COMPACT | JSON_REAL_PRECISION(PRINTED_DIGITS)) == 0 &&
        fputc('\n', out) != EOF;
    json_decref(root);
    return good;
}

static bool json_row(void *self, const struct nxw_sweep_row *row)
{
    const struct nxw_sweep_text *t = self;
    const char *const texts[] = NXW_SWEEP_TEXTS(row);
    struct nxw_json json = {false}, *j = &json;
    json_t *o = nxw_json_object(j);
    nxw_json_integer(j, o, "case", (long)row->number);
    for (size_t i = 0; i < t->plan->n_varies; i++) {
        struct nxw_vary_value value;
        nxw_plan_value(t->plan, row->number, i, &value);
        if (t->plan->varies[i].is_number)
            nxw_json_number(j, o, t->plan->varies[i].column, value.number);
        else
            nxw_json_text(j, o, t->plan->varies[i].column, value.text);
    }
    nxw_json_integer(j, o, "status", (long)row->status);
    for (size_t i = 0; i < NXW_SWEEP_TEXT_COUNT; i++)
        nxw_json_text(j, o, nxw_sweep_text_names[i], texts[i]);
    for (size_t i = 0; i < NXW_HEADLINE_COUNT; i++)
        nxw_json_number(j, o, nxw_headline_name(i), row->figures[i]);
    return print_line(j, t->file, o);
}

bool nxw_sweep_json_open(struct nxw_sweep_text *text, const struct nxw_sweep_identity *identity,
                         struct nxw_sweep_sink *sink)
{
    struct nxw_json json = {false}, *j = &json;
    json_t *o = nxw_document(j, NXW_SWEEP_SCHEMA), *varies = nxw_json_array(j);
    *sink = (struct nxw_sweep_sink){text, has_none, json_row, flush};
    nxw_json_text(j, o, "case_path", identity->case_path);
    for (size_t i = 0; i < text->plan->n_varies; i++)
        nxw_json_add(j, varies, json_string(text->plan->varies[i].given));
    nxw_json_put(j, o, "vary", varies);
    nxw_json_integer(j, o, "cases", (long)text->plan->n_cases);
    nxw_document_cautions(j, o, NULL);
    return print_line(j, text->file, o) && flush(text);
}
