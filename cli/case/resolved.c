#include "case/resolved.h"

#include <math.h>
#include <string.h>

#include "case/case_fields.h"

struct printer {
    FILE *out;
    struct nxw_node *given;
};

/* Does the file the case came from name this path? */
static bool is_given(const struct printer *p, const char *path, const char *key)
{
    char whole[160];
    (void)snprintf(whole, sizeof whole, "%s%s%s", path, path[0] != '\0' ? "." : "", key);
    return nxw_tree_find(p->given, whole, false) != NULL;
}

static void print_line(const struct printer *p, int indent, const char *path, const char *key,
                       const char *value, const char *note)
{
    const bool mark = p->given != NULL && !is_given(p, path, key);
    (void)fprintf(p->out, "%*s%s: %s", indent, "", key, value);
    if (mark || note[0] != '\0')
        (void)fprintf(p->out, "  # %s%s%s", mark ? "default" : "",
                      mark && note[0] != '\0' ? "; " : "", note);
    (void)fputc('\n', p->out);
}

static void print_yes_no(const struct printer *p, int indent, const char *path, const char *key,
                         bool value)
{
    print_line(p, indent, path, key, value ? "yes" : "no", "");
}

/* Text of the user's: always in quotes, so that it reads back as it was. */
static void print_quoted(const struct printer *p, int indent, const char *key, const char *text)
{
    (void)fprintf(p->out, "%*s%s: \"", indent, "", key);
    for (const char *c = text; *c != '\0'; c++) {
        if (*c == '"' || *c == '\\')
            (void)fprintf(p->out, "\\%c", *c);
        else if ((unsigned char)*c < 0x20 || *c == 0x7f)
            (void)fprintf(p->out, "\\x%02x", (unsigned)(unsigned char)*c);
        else
            (void)fputc(*c, p->out);
    }
    (void)fputs("\"\n", p->out);
}

static void print_fields(const struct printer *p, int indent, const char *path,
                         const struct nxw_section *section, unsigned kind, const void *object)
{
    for (size_t i = 0; i < section->n; i++) {
        const struct nxw_field *f = &section->fields[i];
        if (f->kinds != 0 && kind != 0 && (f->kinds & kind) == 0)
            continue;
        const double value = nxw_field_value(f, object);
        if (isnan(value)) {
            (void)fprintf(p->out, "%*s# %s: %s\n", indent, "", f->key, f->note);
            continue;
        }
        char text[80];
        if (isinf(value))
            (void)snprintf(text, sizeof text, "end");
        else
            nxw_quantity_write(value, f->unit, f->dimension, text, sizeof text);
        print_line(p, indent, path, f->key, text, f->note);
    }
}

static void print_gas(const struct printer *p, int indent, const char *path, const char *key,
                      const struct nxw_carrier *carrier)
{
    char whole[96];
    (void)snprintf(whole, sizeof whole, "%s%s%s", path, path[0] != '\0' ? "." : "", key);
    (void)fprintf(p->out, "%*s%s:\n", indent, "", key);
    print_line(p, indent + 2, whole, "gas", nxw_words_gas[carrier->gas], "");
    if (carrier->gas != NXW_GAS_NONE)
        print_fields(p, indent + 2, whole, &nxw_fields_carrier, 0, carrier);
}

/* A step is the row after its ramp: every second row from the second on. */
static void print_steps(const struct printer *p, const struct nxw_source *s)
{
    (void)fputs("  steps:\n", p->out);
    for (size_t i = 0; i + 3 < s->n_rows; i += 2) {
        const struct nxw_source_row *row = &s->rows[i + 1];
        const double flow = row->NO_mol_s + row->NO2_mol_s + row->O2_mol_s + row->inert_mol_s;
        const double per = flow > 0.0 ? 1.0 / flow : 0.0;
        char from[80], all[80], NO2[80], NO[80], O2[80];
        nxw_quantity_write(s->rows[i].time_s, "min", NXW_DIM_TIME, from, sizeof from);
        nxw_quantity_write(flow, "L/min", NXW_DIM_GAS_FLOW, all, sizeof all);
        nxw_quantity_write(row->NO2_mol_s * per, "%", NXW_DIM_VOLUME_FRACTION, NO2, sizeof NO2);
        nxw_quantity_write(row->NO_mol_s * per, "%", NXW_DIM_VOLUME_FRACTION, NO, sizeof NO);
        nxw_quantity_write(row->O2_mol_s * per, "%", NXW_DIM_VOLUME_FRACTION, O2, sizeof O2);
        (void)fprintf(p->out, "    - {from: %s, flow: %s, NO2: %s, NO: %s, O2: %s}\n", from, all,
                      NO2, NO, O2);
    }
}

static void print_metal(const struct printer *p, const struct nxw_source *s,
                        const struct nxw_case_notes *notes)
{
    char text[80];
    print_line(p, 2, "source", "metal", notes->metal, "");
    nxw_quantity_write(notes->metal_kg, "g", NXW_DIM_MASS, text, sizeof text);
    print_line(p, 2, "source", "mass", text, "");
    nxw_quantity_write(s->NO2_route_fraction, "%", NXW_DIM_SHARE, text, sizeof text);
    print_line(p, 2, "source", "NO2 share", text,
               "of the metal that gives NO2, the rest gives NO; judgement");
}

static void print_source(const struct printer *p, const struct nxw_case *in,
                         const struct nxw_case_notes *notes)
{
    const struct nxw_source *s = &in->source;
    const bool steps = s->kind == NXW_SOURCE_METERED && s->n_rows > 0;
    (void)fputs("source:\n", p->out);
    print_line(p, 2, "source", "kind", nxw_words_source[s->kind], "");
    if (s->kind == NXW_SOURCE_METAL)
        print_metal(p, s, notes);
    if (steps) {
        print_steps(p, s);
        char text[80];
        nxw_quantity_write(s->duration_s, "min", NXW_DIM_TIME, text, sizeof text);
        print_line(p, 2, "source", "duration", text, "");
        nxw_quantity_write(s->temperature_K, "degC", NXW_DIM_TEMPERATURE, text, sizeof text);
        print_line(p, 2, "source", "temperature", text, "of the gas at the tip");
        return;
    }
    print_fields(p, 2, "source", &nxw_fields_source, 1u << s->kind, s);
    if (s->kind != NXW_SOURCE_TABLE)
        print_line(p, 2, "source", "shape", nxw_words_shape[s->shape], "");
    if (s->kind == NXW_SOURCE_TABLE || s->shape == NXW_SHAPE_TABLE)
        print_quoted(p, 2, "file", notes->source_file);
}

static void print_tip(const struct printer *p, const char *stage_path, const struct nxw_stage *s)
{
    char path[64];
    (void)snprintf(path, sizeof path, "%s.tip", stage_path);
    (void)fputs("    tip:\n", p->out);
    print_line(p, 6, path, "kind", nxw_words_tip[s->tip], "");
    print_fields(p, 6, path, &nxw_fields_tip, 1u << s->tip, s);
}

static void print_bath(const struct printer *p, const char *stage_path, const struct nxw_stage *s)
{
    char path[64];
    (void)snprintf(path, sizeof path, "%s.bath", stage_path);
    (void)fputs("    bath:\n", p->out);
    print_line(p, 6, path, "kind", nxw_words_bath[s->bath], "");
    print_fields(p, 6, path, &nxw_fields_bath, 1u << s->bath, s);
    print_yes_no(p, 6, path, "stirred", s->bath_stirred);
}

static void print_stage(const struct printer *p, size_t i, const struct nxw_stage *s,
                        const char *glass)
{
    char path[32], text[80];
    (void)snprintf(path, sizeof path, "train[%zu]", i + 1);
    (void)fprintf(p->out, "  - kind: %s\n", nxw_words_stage[s->kind]);
    if (glass[0] != '\0')
        print_line(p, 4, path, "glass", glass, "");
    print_fields(p, 4, path, &nxw_fields_stage, 1u << s->kind, s);
    if (s->kind == NXW_STAGE_BOTTLE) {
        nxw_quantity_write(s->peroxide_mass_fraction, "wt%", NXW_DIM_PEROXIDE, text, sizeof text);
        print_line(p, 4, path, "peroxide", text, "");
        print_tip(p, path, s);
    }
    print_bath(p, path, s);
    print_gas(p, 4, path, "bleed", &s->bleed);
    if (s->no_surface)
        print_yes_no(p, 4, path, "no surface", true);
}

static void print_prices(const struct printer *p, const struct nxw_case_notes *notes)
{
    bool head = false;
    for (size_t i = 0; i < NXW_PRICE_COUNT; i++) {
        const struct nxw_price *price = &notes->prices[i];
        if (!price->given)
            continue;
        if (!head)
            (void)fputs("prices:\n", p->out);
        if (!head && notes->currency[0] != '\0')
            print_quoted(p, 2, "currency", notes->currency);
        head = true;
        char number[80];
        nxw_quantity_write(price->amount, "", NXW_DIM_NUMBER, number, sizeof number);
        (void)fprintf(p->out, "  %s: %s per %s\n", nxw_price_words[i], number,
                      nxw_price_basis_words[price->basis]);
    }
}

static void print_rest(const struct printer *p, const struct nxw_case *in,
                       const struct nxw_case_notes *notes)
{
    char text[80];
    if (in->vessel_volume_m3 > 0.0) {
        (void)fputs("vessel:\n", p->out);
        print_fields(p, 2, "vessel", &nxw_fields_vessel, 0, in);
    }
    (void)fputs("vent:\n", p->out);
    print_fields(p, 2, "vent", &nxw_fields_vent, 0, in);
    print_yes_no(p, 2, "vent", "closed", in->vent_closed);
    if (in->hood_flow_m3_s > 0.0) {
        (void)fputs("hood:\n", p->out);
        print_fields(p, 2, "hood", &nxw_fields_hood, 0, in);
    }
    (void)fputs("after:\n", p->out);
    print_fields(p, 2, "after", &nxw_fields_after, 0, in);
    (void)fputs("surroundings:\n", p->out);
    print_fields(p, 2, "surroundings", &nxw_fields_surroundings, 0, in);
    print_prices(p, notes);
    if (notes->n_overrides > 0)
        (void)fputs("constants:\n", p->out);
    for (size_t i = 0; i < notes->n_overrides; i++) {
        const size_t index = notes->overrides[i];
        const struct nxw_parameter_record *record = nxw_parameter_record(index);
        nxw_quantity_write(in->parameters.value[index], "", NXW_DIM_NUMBER, text, sizeof text);
        (void)fprintf(p->out, "  %s: %s  # %s; the table says %g\n", record->key, text,
                      record->unit, record->value);
    }
    (void)fputs("numerics:\n", p->out);
    nxw_quantity_write(in->relative_tolerance, "", NXW_DIM_NUMBER, text, sizeof text);
    print_line(p, 2, "numerics", "relative tolerance", text, "");
    nxw_quantity_write((double)in->slices, "", NXW_DIM_NUMBER, text, sizeof text);
    print_line(p, 2, "numerics", "slices", text, "of the bubble path; 0: the program chooses");
    if (in->isothermal)
        print_yes_no(p, 2, "numerics", "isothermal", true);
    if (in->physical_absorption_only)
        print_yes_no(p, 2, "numerics", "physical absorption only", true);
}

bool nxw_resolved_print(FILE *out, const struct nxw_case *in, const struct nxw_case_notes *notes,
                        struct nxw_node *given)
{
    const struct printer p = {out, given};
    (void)fputs("# the case with every default filled in\n", out);
    if (in->name[0] != '\0')
        print_quoted(&p, 0, "name", in->name);
    print_line(&p, 0, "", "aim", nxw_words_aim[notes->aim], "what remedies are ranked by");
    print_source(&p, in, notes);
    print_gas(&p, 0, "", "carrier", &in->carrier);
    (void)fputs("train:\n", out);
    for (size_t i = 0; i < in->n_stages; i++)
        print_stage(&p, i, &in->stages[i], notes->glass[i]);
    print_rest(&p, in, notes);
    return fflush(out) == 0 && ferror(out) == 0;
}
