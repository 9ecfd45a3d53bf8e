#include "case/case_read.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct nxw_node *nxw_read_map(struct nxw_reading *r, const struct nxw_node *parent, const char *key)
{
    struct nxw_node *node = nxw_tree_get(parent, key);
    if (node == NULL || node->kind == NXW_NODE_MAP)
        return node;
    nxw_fault_add(r->faults, node->line, node->column, "'%s' must hold 'key: value' entries", key);
    return NULL;
}

const char *nxw_read_text(struct nxw_reading *r, const struct nxw_node *map, const char *key)
{
    const struct nxw_node *node = nxw_tree_get(map, key);
    if (node == NULL)
        return NULL;
    if (node->kind != NXW_NODE_SCALAR)
        nxw_fault_add(r->faults, node->line, node->column, "'%s' must be one value", key);
    else if (node->text[0] == '\0' && !node->quoted)
        nxw_fault_add(r->faults, node->key_line, node->key_column, "'%s' has no value", key);
    else
        return node->text;
    return NULL;
}

bool nxw_read_label(struct nxw_reading *r, const struct nxw_node *map, const char *key, char *out,
                    size_t size)
{
    const char *text = nxw_read_text(r, map, key);
    if (text == NULL)
        return false;
    if (strlen(text) < size) {
        memcpy(out, text, strlen(text) + 1);
        return true;
    }
    const struct nxw_node *node = nxw_tree_get(map, key);
    nxw_fault_add(r->faults, node->line, node->column, "the text of '%s' is longer than %zu bytes",
                  key, size - 1);
    return false;
}

void nxw_check_keys(struct nxw_reading *r, const struct nxw_node *map,
                    const struct nxw_section *section, const char *const *others, size_t n_others)
{
    const char *known[64];
    size_t n = 0;
    for (size_t i = 0; section != NULL && i < section->n; i++)
        known[n++] = section->fields[i].key;
    for (size_t i = 0; i < n_others; i++)
        known[n++] = others[i];
    for (size_t i = 0; map != NULL && i < map->n; i++) {
        const struct nxw_node *entry = map->children[i];
        bool found = false;
        for (size_t j = 0; j < n && !found; j++)
            found = strcmp(entry->key, known[j]) == 0;
        if (found)
            continue;
        const char *near = nxw_nearest_word(entry->key, known, n);
        if (near != NULL)
            nxw_fault_add(r->faults, entry->key_line, entry->key_column,
                          "unknown key '%.60s'; did you mean '%s'?", entry->key, near);
        else
            nxw_fault_add(r->faults, entry->key_line, entry->key_column, "unknown key '%.60s'",
                          entry->key);
    }
}

/* Four digits, or as many as it takes for what is written to be accepted itself. */
static void write_bound(double value, const struct nxw_field *field, char out[64])
{
    char exact[64], message[NXW_MESSAGE_LENGTH], *unit;
    nxw_quantity_write(value, field->unit, field->dimension, exact, sizeof exact);
    const double number = strtod(exact, &unit);
    for (int digits = 4; digits <= 17; digits++) {
        double back;
        (void)snprintf(out, 64, "%.*g%s", digits, number, unit);
        if (nxw_quantity_read(out, field->dimension, &back, message) &&
            nxw_within(&back, field->low, field->high))
            break;
    }
}

/* Within the field's bounds; writes the fault if not. */
static bool possible(struct nxw_reading *r, const struct nxw_node *node,
                     const struct nxw_field *field, double *value)
{
    const bool above = field->limit == NXW_ABOVE_LOW;
    if (nxw_within(value, field->low, field->high) && !(above && *value == field->low))
        return true;
    char low[64], high[64];
    write_bound(field->low, field, low);
    write_bound(field->high, field, high);
    nxw_fault_add(r->faults, node->line, node->column,
                  "'%s: %.40s' is not possible; %s %s, at most %s", field->key, node->text,
                  above ? "above" : "at least", low, high);
    return false;
}

static void read_field(struct nxw_reading *r, const struct nxw_node *map,
                       const struct nxw_field *field, void *object)
{
    const char *text = nxw_read_text(r, map, field->key);
    if (text == NULL)
        return;
    const struct nxw_node *node = nxw_tree_get(map, field->key);
    double value;
    char message[NXW_MESSAGE_LENGTH];
    if (!nxw_quantity_read(text, field->dimension, &value, message))
        nxw_fault_add(r->faults, node->line, node->column, "'%s: %.40s': %s", field->key, text,
                      message);
    else if (possible(r, node, field, &value))
        *nxw_field_place(field, object) = value;
}

void nxw_refuse_key(struct nxw_reading *r, const struct nxw_node *map, const char *key,
                    const char *of)
{
    const struct nxw_node *node = nxw_tree_get(map, key);
    if (node != NULL)
        nxw_fault_add(r->set_aside != NULL ? r->set_aside : r->faults, node->key_line,
                      node->key_column, "'%s' does not belong to %s", key, of);
}

void nxw_read_fields(struct nxw_reading *r, const struct nxw_node *map,
                     const struct nxw_section *section, unsigned kind, const char *kind_word,
                     void *object)
{
    for (size_t i = 0; map != NULL && i < section->n; i++) {
        const struct nxw_field *field = &section->fields[i];
        if (field->kinds != 0 && kind != 0 && (field->kinds & kind) == 0)
            nxw_refuse_key(r, map, field->key, kind_word);
        else
            read_field(r, map, field, object);
    }
}

bool nxw_read_word(struct nxw_reading *r, const struct nxw_node *map, const char *key,
                   const char *const *words, size_t n, size_t *index)
{
    const char *text = nxw_read_text(r, map, key);
    if (text == NULL)
        return false;
    for (size_t i = 0; i < n; i++)
        if (strcmp(text, words[i]) == 0) {
            *index = i;
            return true;
        }
    const struct nxw_node *node = nxw_tree_get(map, key);
    char accepted[200] = "";
    for (size_t i = 0, used = 0; i < n && used + strlen(words[i]) + 3 < sizeof accepted; i++)
        used += (size_t)snprintf(accepted + used, sizeof accepted - used, "%s%s", i > 0 ? ", " : "",
                                 words[i]);
    nxw_fault_add(r->faults, node->line, node->column, "'%s: %.40s' is not known; accepted: %s",
                  key, text, accepted);
    return false;
}

bool nxw_read_yes_no(struct nxw_reading *r, const struct nxw_node *map, const char *key, bool *out)
{
    static const char *const words[] = {"yes", "no", "true", "false"};
    size_t index;
    if (!nxw_read_word(r, map, key, words, 4, &index))
        return false;
    *out = index % 2 == 0;
    return true;
}

void nxw_require(struct nxw_reading *r, const struct nxw_node *map, const char *key, const char *of)
{
    if (map != NULL && nxw_tree_get(map, key) == NULL)
        nxw_fault_add(r->faults, map->line, map->column, "'%s' is missing; %s needs it", key, of);
}
