#include "case/case_file.h"

#include <math.h>
#include <string.h>

#include "case/case_read.h"

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

static const char *const TOP_KEYS[] = {"name",      "aim",          "source",  "carrier", "vessel",
                                       "train",     "vent",         "hood",    "after",   "prices",
                                       "constants", "surroundings", "numerics"};

/* A section of nothing but fields. */
static void read_plain_section(struct nxw_reading *r, struct nxw_node *top, const char *key,
                               const struct nxw_section *section)
{
    struct nxw_node *map = nxw_read_map(r, top, key);
    if (map == NULL)
        return;
    nxw_check_keys(r, map, section, NULL, 0);
    nxw_read_fields(r, map, section, 0, "", r->out);
}

static void read_vent(struct nxw_reading *r, struct nxw_node *top)
{
    static const char *const others[] = {"closed"};
    const struct nxw_node *node = nxw_tree_get(top, "vent");
    if (node != NULL && node->kind == NXW_NODE_SCALAR && strcmp(node->text, "closed") == 0) {
        r->out->vent_closed = true;
        return;
    }
    struct nxw_node *map = nxw_read_map(r, top, "vent");
    if (map == NULL)
        return;
    nxw_check_keys(r, map, &nxw_fields_vent, others, COUNT(others));
    nxw_read_fields(r, map, &nxw_fields_vent, 0, "", r->out);
    (void)nxw_read_yes_no(r, map, "closed", &r->out->vent_closed);
}

static void read_vessel(struct nxw_reading *r, struct nxw_node *top)
{
    struct nxw_node *map = nxw_read_map(r, top, "vessel");
    if (map == NULL)
        return;
    nxw_require(r, map, "volume", "a vessel");
    nxw_require(r, map, "hot", "a vessel");
    r->out->vessel_cool_K = r->out->surroundings_temperature_K;
    read_plain_section(r, top, "vessel", &nxw_fields_vessel);
}

static void read_aim(struct nxw_reading *r, struct nxw_node *top)
{
    size_t index;
    if (nxw_read_word(r, top, "aim", nxw_words_aim, COUNT(nxw_words_aim), &index))
        r->notes->aim = (enum nxw_aim)index;
}

static void read_numerics(struct nxw_reading *r, struct nxw_node *top)
{
    static const char *const keys[] = {"relative tolerance", "slices", "isothermal",
                                       "physical absorption only"};
    struct numbers {
        double tolerance, slices;
    } numbers = {r->out->relative_tolerance, (double)r->out->slices};
    static const struct nxw_field fields[] = {
        {"relative tolerance", NXW_DIM_NUMBER, offsetof(struct numbers, tolerance), NXW_FROM_LOW,
         1e-11, 1e-3, "", 0, ""},
        {"slices", NXW_DIM_NUMBER, offsetof(struct numbers, slices), NXW_FROM_LOW, 0.0,
         NXW_SLICES_MAX, "", 0, ""},
    };
    static const struct nxw_section section = {fields, COUNT(fields)};
    struct nxw_node *map = nxw_read_map(r, top, "numerics");
    if (map == NULL)
        return;
    nxw_check_keys(r, map, NULL, keys, COUNT(keys));
    nxw_read_fields(r, map, &section, 0, "", &numbers);
    r->out->relative_tolerance = numbers.tolerance;
    if (numbers.slices != floor(numbers.slices)) {
        const struct nxw_node *node = nxw_tree_get(map, "slices");
        nxw_fault_add(r->faults, node->line, node->column, "'slices' must be a whole number");
    } else
        r->out->slices = (size_t)numbers.slices;
    (void)nxw_read_yes_no(r, map, "isothermal", &r->out->isothermal);
    (void)nxw_read_yes_no(r, map, "physical absorption only", &r->out->physical_absorption_only);
}

static void unknown_constant(struct nxw_reading *r, const struct nxw_node *entry)
{
    const char *words[NXW_PARAMETER_COUNT];
    const size_t n = nxw_parameter_count();
    for (size_t i = 0; i < n && i < NXW_PARAMETER_COUNT; i++)
        words[i] = nxw_parameter_record(i)->key;
    const char *near = nxw_nearest_word(entry->key, words, n);
    nxw_fault_add(r->faults, entry->key_line, entry->key_column,
                  "no constant is called '%.60s'%s%s%s", entry->key,
                  near != NULL ? "; did you mean '" : "", near != NULL ? near : "",
                  near != NULL ? "'?" : "; 'noxwash constants' lists them");
}

/* A number in the record's unit; the unit may stand behind it. */
static bool read_constant(const char *text, const char *unit, double *value, char *message)
{
    char copy[96];
    const size_t length = strlen(text), unit_length = strlen(unit);
    if (unit_length == 0 || length <= unit_length + 1 || length >= sizeof copy ||
        strcmp(text + length - unit_length, unit) != 0 || text[length - unit_length - 1] != ' ')
        return nxw_number_read(text, value, message);
    memcpy(copy, text, length - unit_length);
    copy[length - unit_length] = '\0';
    return nxw_number_read(copy, value, message);
}

static void read_constants(struct nxw_reading *r, struct nxw_node *top)
{
    struct nxw_node *map = nxw_read_map(r, top, "constants");
    for (size_t i = 0; map != NULL && i < map->n; i++) {
        const struct nxw_node *entry = map->children[i];
        size_t index;
        if (nxw_parameter_find(entry->key, &index) != NXW_OK) {
            unknown_constant(r, entry);
            continue;
        }
        const char *text = nxw_read_text(r, map, entry->key);
        const char *unit = nxw_parameter_record(index)->unit;
        char message[NXW_MESSAGE_LENGTH];
        double value;
        if (text == NULL)
            continue;
        if (!read_constant(text, unit, &value, message)) {
            nxw_fault_add(r->faults, entry->line, entry->column,
                          "'%.60s: %.40s': %s; the constant's unit is '%s'", entry->key, text,
                          message, unit);
            continue;
        }
        r->out->parameters.value[index] = value;
        r->notes->overrides[r->notes->n_overrides++] = index;
    }
}

/* The library's own judgement, booked at the place its path leads to. */
static void check_case(struct nxw_reading *r, struct nxw_node *top)
{
    struct nxw_diagnosis diagnosis;
    if (nxw_case_check(r->out, &diagnosis) == NXW_OK)
        return;
    const struct nxw_node *node = nxw_tree_find(top, diagnosis.path, true);
    nxw_fault_add(r->faults, node->line, node->column, "%s%s%s", diagnosis.path,
                  diagnosis.path[0] != '\0' ? ": " : "", diagnosis.text);
}

int nxw_case_from_tree(struct nxw_node *tree, const char *path, struct nxw_case *out,
                       struct nxw_case_notes *notes, struct nxw_fault_list *faults)
{
    return nxw_case_from_tree_setting_aside(tree, path, out, notes, faults, NULL);
}

int nxw_case_from_tree_setting_aside(struct nxw_node *tree, const char *path, struct nxw_case *out,
                                     struct nxw_case_notes *notes, struct nxw_fault_list *faults,
                                     struct nxw_fault_list *set_aside)
{
    struct nxw_reading r = {path, out, notes, faults, set_aside};
    const size_t before = faults->n;
    nxw_case_init(out);
    *notes = (struct nxw_case_notes){0};
    if (tree->kind != NXW_NODE_MAP) {
        nxw_fault_add(faults, tree->line, tree->column,
                      "a case must hold 'key: value' entries, first of all 'source:'");
        return nxw_read_outcome(faults);
    }
    nxw_check_keys(&r, tree, NULL, TOP_KEYS, COUNT(TOP_KEYS));
    (void)nxw_read_label(&r, tree, "name", out->name, sizeof out->name);
    read_aim(&r, tree);
    read_plain_section(&r, tree, "surroundings", &nxw_fields_surroundings);
    nxw_read_source(&r, tree);
    nxw_read_gas(&r, nxw_read_map(&r, tree, "carrier"), &out->carrier);
    nxw_read_train(&r, tree);
    read_vessel(&r, tree);
    read_vent(&r, tree);
    read_plain_section(&r, tree, "hood", &nxw_fields_hood);
    read_plain_section(&r, tree, "after", &nxw_fields_after);
    nxw_read_prices(&r, tree);
    read_constants(&r, tree);
    read_numerics(&r, tree);
    if (faults->n == before && !faults->out_of_memory)
        check_case(&r, tree);
    nxw_fault_list_sort(faults);
    return faults->n == before && !faults->out_of_memory ? (int)NXW_READ_OK
                                                         : (int)nxw_read_outcome(faults);
}

/* Duplicate keys leave a usable tree with faults: the other faults are still wanted. */
static int from_tree_and_free(struct nxw_node *tree, int status, const char *path,
                              struct nxw_case *out, struct nxw_case_notes *notes,
                              struct nxw_fault_list *faults)
{
    if (tree == NULL) {
        nxw_case_init(out);
        *notes = (struct nxw_case_notes){0};
        return status;
    }
    status = nxw_case_from_tree(tree, path, out, notes, faults);
    nxw_tree_free(tree);
    return faults->n > 0 ? (int)nxw_read_outcome(faults) : status;
}

int nxw_case_file_read(const char *path, enum nxw_path_from from, struct nxw_case *out,
                       struct nxw_case_notes *notes, struct nxw_fault_list *faults)
{
    struct nxw_node *tree;
    const int status = (int)nxw_tree_read_file(path, from, &tree, faults);
    return from_tree_and_free(tree, status, path, out, notes, faults);
}

int nxw_case_text_read(const char *text, size_t length, bool json, const char *path,
                       struct nxw_case *out, struct nxw_case_notes *notes,
                       struct nxw_fault_list *faults)
{
    struct nxw_node *tree;
    const int status = (int)nxw_tree_read_text(text, length, json, &tree, faults);
    return from_tree_and_free(tree, status, path, out, notes, faults);
}

void nxw_faults_print(FILE *out, const char *path, const struct nxw_fault_list *faults)
{
    for (size_t i = 0; i < faults->n; i++) {
        const struct nxw_fault *f = &faults->faults[i];
        if (f->line > 0)
            (void)fprintf(out, "%s:%zu:%zu: %s\n", path, f->line, f->column, f->text);
        else
            (void)fprintf(out, "%s: %s\n", path, f->text);
    }
    if (faults->out_of_memory)
        (void)fprintf(out, "%s: out of memory\n", path);
}
