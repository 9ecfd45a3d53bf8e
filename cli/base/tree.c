#include "base/tree.h"

#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <yaml.h>

#include "base/tree_node.h"

/* -------------------------------------------------------------------------- characters */

static bool refuse_hidden(struct nxw_fault_list *faults, size_t line, size_t column,
                          const unsigned char *p, size_t n, const char *more)
{
    nxw_fault_add(faults, line, column, "%s (U+%04X) is not accepted%s", nxw_hidden_character(p, n),
                  nxw_code_point(p, n), more);
    return false;
}

/* Of the file as it is; what escapes make of it is judged where a scalar is read. */
static bool check_character(const unsigned char *p, size_t n, size_t line, size_t column,
                            struct nxw_fault_list *faults)
{
    const char *refused = NULL;
    if (n == 0)
        refused = "the text is not valid UTF-8";
    else if (p[0] == '\0')
        refused = "a NUL byte is not text";
    else if (p[0] == '\t')
        refused = "a tab is not accepted; use blanks";
    if (refused != NULL) {
        nxw_fault_add(faults, line, column, "%s", refused);
        return false;
    }
    if (p[0] == '\n' || p[0] == '\r' || (p[0] == 0xc2 && p[1] == 0x85)) /* ends a line in YAML */
        return true;
    return nxw_hidden_character(p, n) == NULL || refuse_hidden(faults, line, column, p, n, "");
}

static bool check_characters(const char *text, size_t length, struct nxw_fault_list *faults)
{
    size_t line = 1, column = 1;
    for (size_t i = 0; i < length;) {
        const unsigned char *p = (const unsigned char *)text + i;
        const size_t n = nxw_character_length(p, length - i);
        if (!check_character(p, n, line, column, faults))
            return false;
        if (p[0] == '\n' || (p[0] == '\r' && (i + 1 >= length || p[1] != '\n'))) {
            line++;
            column = 1;
        } else
            column++;
        i += n;
    }
    return true;
}

/* ------------------------------------------------------------------------------- reader */

struct reader {
    yaml_parser_t parser;
    struct nxw_fault_list *faults;
    size_t values;
};

static size_t line_of(const yaml_mark_t *mark) { return mark->line + 1; }

static size_t column_of(const yaml_mark_t *mark) { return mark->column + 1; }

static bool next_event(struct reader *r, yaml_event_t *event)
{
    if (yaml_parser_parse(&r->parser, event))
        return true;
    const yaml_parser_t *p = &r->parser;
    if (p->error == YAML_MEMORY_ERROR) {
        r->faults->out_of_memory = true;
        return false;
    }
    const char *problem = p->problem != NULL ? p->problem : "the text cannot be read";
    if (p->context != NULL)
        nxw_fault_add(r->faults, line_of(&p->problem_mark), column_of(&p->problem_mark),
                      "%s, %s that began in line %zu", problem, p->context,
                      line_of(&p->context_mark));
    else
        nxw_fault_add(r->faults, line_of(&p->problem_mark), column_of(&p->problem_mark), "%s",
                      problem);
    return false;
}

static bool refuse_event(struct reader *r, const yaml_event_t *event, const char *text)
{
    nxw_fault_add(r->faults, line_of(&event->start_mark), column_of(&event->start_mark), "%s",
                  text);
    return false;
}

/* No anchors, aliases or tags. */
static bool plain_event(struct reader *r, const yaml_event_t *event)
{
    const yaml_char_t *anchor = NULL, *tag = NULL;
    if (event->type == YAML_ALIAS_EVENT)
        return refuse_event(r, event, "aliases (*name) are not accepted; write the value out");
    if (event->type == YAML_SCALAR_EVENT) {
        anchor = event->data.scalar.anchor;
        tag = event->data.scalar.tag;
    } else if (event->type == YAML_MAPPING_START_EVENT) {
        anchor = event->data.mapping_start.anchor;
        tag = event->data.mapping_start.tag;
    } else if (event->type == YAML_SEQUENCE_START_EVENT) {
        anchor = event->data.sequence_start.anchor;
        tag = event->data.sequence_start.tag;
    }
    if (anchor != NULL)
        return refuse_event(r, event, "anchors (&name) are not accepted");
    if (tag != NULL)
        return refuse_event(r, event, "tags (!name) are not accepted");
    return true;
}

static bool read_node(struct reader *r, yaml_event_t *start, size_t depth, struct nxw_node **out);

/* Every key and value comes through here, its escapes ("\x1b") undone. */
static bool scalar_text(struct reader *r, const yaml_event_t *event, char **out)
{
    const char *value = (const char *)event->data.scalar.value, *what;
    if (strlen(value) != event->data.scalar.length)
        return refuse_event(r, event, "a NUL byte is not text");
    const unsigned char *hidden = nxw_find_hidden(value, &what);
    if (hidden != NULL)
        return refuse_hidden(r->faults, line_of(&event->start_mark), column_of(&event->start_mark),
                             hidden, nxw_character_length(hidden, strlen((const char *)hidden)),
                             ", not as an escape either; write plain text in one line");
    *out = nxw_copy_text(value, event->data.scalar.length);
    if (*out == NULL)
        r->faults->out_of_memory = true;
    return *out != NULL;
}

/* One key and its value; a repeated key is a fault but reading goes on. */
static bool read_entry(struct reader *r, yaml_event_t *key_event, size_t depth,
                       struct nxw_node *map)
{
    char *key = NULL;
    if (!plain_event(r, key_event))
        return false;
    if (key_event->type != YAML_SCALAR_EVENT)
        return refuse_event(r, key_event, "a key must be plain text");
    if (!scalar_text(r, key_event, &key))
        return false;
    struct nxw_node *value = NULL;
    yaml_event_t event;
    if (!next_event(r, &event)) {
        free(key);
        return false;
    }
    const bool good = read_node(r, &event, depth, &value);
    yaml_event_delete(&event);
    if (!good) {
        free(key);
        return false;
    }
    value->key = key;
    value->key_line = line_of(&key_event->start_mark);
    value->key_column = column_of(&key_event->start_mark);
    const struct nxw_node *earlier = nxw_tree_get(map, key);
    if (earlier != NULL) {
        nxw_fault_add(r->faults, value->key_line, value->key_column,
                      "the key '%.60s' stands here and in line %zu; keep one", key,
                      earlier->key_line);
        nxw_tree_free(value);
        return true;
    }
    if (!nxw_node_append(map, value)) {
        r->faults->out_of_memory = true;
        nxw_tree_free(value);
        return false;
    }
    return true;
}

static bool read_children(struct reader *r, struct nxw_node *node, size_t depth)
{
    for (;;) {
        yaml_event_t event;
        if (!next_event(r, &event))
            return false;
        bool good = true, end = false;
        if (event.type == YAML_MAPPING_END_EVENT || event.type == YAML_SEQUENCE_END_EVENT)
            end = true;
        else if (node->kind == NXW_NODE_MAP)
            good = read_entry(r, &event, depth, node);
        else {
            struct nxw_node *child = NULL;
            good = read_node(r, &event, depth, &child);
            if (good && !nxw_node_append(node, child)) {
                r->faults->out_of_memory = true;
                nxw_tree_free(child);
                good = false;
            }
        }
        yaml_event_delete(&event);
        if (end || !good)
            return good;
    }
}

static bool read_node(struct reader *r, yaml_event_t *start, size_t depth, struct nxw_node **out)
{
    if (!plain_event(r, start))
        return false;
    if (++r->values > NXW_TREE_VALUES_MAX)
        return refuse_event(r, start, "more than 5000 values are not accepted");
    const bool scalar = start->type == YAML_SCALAR_EVENT;
    if (!scalar && depth >= NXW_TREE_DEPTH_MAX)
        return refuse_event(r, start, "nested deeper than 8 levels");
    const enum nxw_node_kind kind = scalar                                    ? NXW_NODE_SCALAR
                                    : start->type == YAML_MAPPING_START_EVENT ? NXW_NODE_MAP
                                                                              : NXW_NODE_LIST;
    struct nxw_node *node =
        nxw_node_new(kind, line_of(&start->start_mark), column_of(&start->start_mark));
    if (node == NULL) {
        r->faults->out_of_memory = true;
        return false;
    }
    bool good;
    if (scalar) {
        node->quoted = start->data.scalar.style != YAML_PLAIN_SCALAR_STYLE;
        good = scalar_text(r, start, &node->text);
    } else
        good = read_children(r, node, depth + 1);
    if (!good) {
        nxw_tree_free(node);
        return false;
    }
    *out = node;
    return true;
}

static bool read_document(struct reader *r, struct nxw_node **tree)
{
    for (;;) {
        yaml_event_t event;
        if (!next_event(r, &event))
            return false;
        bool good = true;
        const bool end = event.type == YAML_STREAM_END_EVENT;
        if (event.type == YAML_DOCUMENT_START_EVENT) {
            if (*tree != NULL)
                good = refuse_event(r, &event, "a second document in the file is not accepted");
            else if (event.data.document_start.version_directive != NULL ||
                     event.data.document_start.tag_directives.start !=
                         event.data.document_start.tag_directives.end)
                good = refuse_event(r, &event, "directives (%) are not accepted");
        } else if (event.type == YAML_ALIAS_EVENT || event.type == YAML_SCALAR_EVENT ||
                   event.type == YAML_MAPPING_START_EVENT ||
                   event.type == YAML_SEQUENCE_START_EVENT)
            good = read_node(r, &event, 0, tree);
        yaml_event_delete(&event);
        if (!good)
            return false;
        if (end)
            break;
    }
    if (*tree == NULL) {
        nxw_fault_add(r->faults, 1, 1, "the file is empty");
        return false;
    }
    return true;
}

/* JSON reads almost as the flow form of YAML: the strictness comes from a JSON reader first. */
static bool check_json(const char *text, size_t length, struct nxw_fault_list *faults)
{
    json_error_t error;
    json_t *json = json_loadb(text, length, JSON_REJECT_DUPLICATES, &error);
    if (json == NULL && json_error_code(&error) == json_error_out_of_memory) {
        faults->out_of_memory = true;
        return false;
    }
    if (json == NULL) {
        const size_t line = error.line > 0 ? (size_t)error.line : 1;
        const size_t column = error.column > 0 ? (size_t)error.column : 1;
        nxw_fault_add(faults, line, column, "not valid JSON: %s", error.text);
        return false;
    }
    json_decref(json);
    return true;
}

static enum nxw_read_status read_text(const char *text, size_t length, bool json,
                                      struct nxw_node **tree, struct nxw_fault_list *faults)
{
    if (length >= 3 && memcmp(text, "\xef\xbb\xbf", 3) == 0) {
        text += 3;
        length -= 3;
    }
    if (length > NXW_TREE_BYTES_MAX) {
        nxw_fault_add(faults, 0, 0, "the file is longer than 64 KiB");
        return NXW_READ_FAULTS;
    }
    if (!check_characters(text, length, faults) || (json && !check_json(text, length, faults)))
        return nxw_read_outcome(faults);
    struct reader r = {.faults = faults};
    if (!yaml_parser_initialize(&r.parser)) {
        faults->out_of_memory = true;
        return NXW_READ_MEMORY;
    }
    yaml_parser_set_encoding(&r.parser, YAML_UTF8_ENCODING);
    yaml_parser_set_input_string(&r.parser, (const unsigned char *)text, length);
    const bool good = read_document(&r, tree);
    yaml_parser_delete(&r.parser);
    if (!good) {
        nxw_tree_free(*tree);
        *tree = NULL;
    }
    return nxw_read_outcome(faults);
}

/* Only the faults of this text count: the list may hold some of another. */
enum nxw_read_status nxw_tree_read_text(const char *text, size_t length, bool json,
                                        struct nxw_node **tree, struct nxw_fault_list *faults)
{
    const size_t before = faults->n;
    *tree = NULL;
    const enum nxw_read_status status = read_text(text, length, json, tree, faults);
    return status == NXW_READ_FAULTS && faults->n == before ? NXW_READ_OK : status;
}
