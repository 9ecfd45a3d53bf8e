/* Nodes of a tree: making, finding, setting them. */
#include "base/tree_node.h"

#include <stdlib.h>
#include <string.h>

void nxw_tree_free(struct nxw_node *tree)
{
    if (tree == NULL)
        return;
    for (size_t i = 0; i < tree->n; i++)
        nxw_tree_free(tree->children[i]);
    free(tree->children);
    free(tree->text);
    free(tree->key);
    free(tree);
}

char *nxw_copy_text(const char *text, size_t length)
{
    char *copy = malloc(length + 1);
    if (copy != NULL) {
        memcpy(copy, text, length);
        copy[length] = '\0';
    }
    return copy;
}

struct nxw_node *nxw_node_new(enum nxw_node_kind kind, size_t line, size_t column)
{
    struct nxw_node *node = calloc(1, sizeof *node);
    if (node != NULL) {
        node->kind = kind;
        node->line = line;
        node->column = column;
    }
    return node;
}

bool nxw_node_append(struct nxw_node *parent, struct nxw_node *child)
{
    if (parent->n == parent->room) {
        const size_t room = parent->room > 0 ? 2 * parent->room : 8;
        struct nxw_node **more = realloc(parent->children, room * sizeof(struct nxw_node *));
        if (more == NULL)
            return false;
        parent->children = more;
        parent->room = room;
    }
    parent->children[parent->n++] = child;
    return true;
}

struct nxw_node *nxw_tree_get(const struct nxw_node *map, const char *key)
{
    if (map == NULL || map->kind != NXW_NODE_MAP)
        return NULL;
    for (size_t i = 0; i < map->n; i++)
        if (strcmp(map->children[i]->key, key) == 0)
            return map->children[i];
    return NULL;
}

enum { KEY_MAX = 96 };

/* Split "train[1].liquid" at its first step: the key, an index (0: none), the rest. */
static bool first_step(const char *path, char key[KEY_MAX], size_t *index, const char **rest)
{
    const size_t n = strcspn(path, ".[");
    if (n == 0 || n >= KEY_MAX)
        return false;
    memcpy(key, path, n);
    key[n] = '\0';
    path += n;
    *index = 0;
    if (*path == '[') {
        path++;
        size_t value = 0, count = 0;
        for (; *path >= '0' && *path <= '9' && count < 5; path++, count++)
            value = 10 * value + (size_t)(*path - '0');
        if (count == 0 || value == 0 || *path != ']')
            return false;
        *index = value;
        path++;
    }
    if (*path == '.')
        path++;
    else if (*path != '\0')
        return false;
    *rest = path;
    return true;
}

struct nxw_node *nxw_tree_find(struct nxw_node *tree, const char *path, bool nearest)
{
    struct nxw_node *node = tree;
    while (*path != '\0' && node != NULL) {
        char key[KEY_MAX];
        size_t index;
        struct nxw_node *next = NULL;
        if (first_step(path, key, &index, &path))
            next = nxw_tree_get(node, key);
        if (next != NULL && index > 0) {
            if (next->kind == NXW_NODE_LIST && index <= next->n)
                next = next->children[index - 1];
            else
                next = NULL;
        }
        if (next == NULL)
            return nearest ? node : NULL;
        node = next;
    }
    return node;
}

static struct nxw_node *add_entry(struct nxw_node *map, const char *key, enum nxw_node_kind kind)
{
    struct nxw_node *node = nxw_node_new(kind, map->line, map->column);
    if (node == NULL)
        return NULL;
    node->key = nxw_copy_text(key, strlen(key));
    node->key_line = map->line;
    node->key_column = map->column;
    if (kind == NXW_NODE_SCALAR)
        node->text = nxw_copy_text("", 0);
    if (node->key == NULL || (kind == NXW_NODE_SCALAR && node->text == NULL) ||
        !nxw_node_append(map, node)) {
        nxw_tree_free(node);
        return NULL;
    }
    return node;
}

/* The node of a path, made on the way where a key is missing; NULL: not usable, or memory. */
static struct nxw_node *reach(struct nxw_node *node, const char *path)
{
    while (*path != '\0') {
        char key[KEY_MAX];
        size_t index;
        if (node->kind != NXW_NODE_MAP || !first_step(path, key, &index, &path))
            return NULL;
        struct nxw_node *next = nxw_tree_get(node, key);
        if (next == NULL && index == 0)
            next = add_entry(node, key, *path == '\0' ? NXW_NODE_SCALAR : NXW_NODE_MAP);
        if (next != NULL && index > 0)
            next =
                next->kind == NXW_NODE_LIST && index <= next->n ? next->children[index - 1] : NULL;
        if (next == NULL)
            return NULL;
        node = next;
    }
    return node;
}

bool nxw_tree_set(struct nxw_node *tree, const char *path, const char *text)
{
    struct nxw_node *node = reach(tree, path);
    char *copy =
        node != NULL && node->kind == NXW_NODE_SCALAR ? nxw_copy_text(text, strlen(text)) : NULL;
    if (copy == NULL)
        return false;
    free(node->text);
    node->text = copy;
    return true;
}

static void place_at(struct nxw_node *node, size_t line, size_t column)
{
    node->line = node->key_line = line;
    node->column = node->key_column = column;
    for (size_t i = 0; i < node->n; i++)
        place_at(node->children[i], line, column);
}

bool nxw_tree_put(struct nxw_node *tree, const char *path, struct nxw_node *value)
{
    struct nxw_node *node = path[0] != '\0' ? reach(tree, path) : NULL;
    if (node == NULL) {
        nxw_tree_free(value);
        return false;
    }
    place_at(value, node->line, node->column);
    const struct nxw_node before = *node;
    node->kind = value->kind;
    node->text = value->text;
    node->quoted = value->quoted;
    node->n = value->n;
    node->room = value->room;
    node->children = value->children;
    *value = (struct nxw_node){.text = before.text, .n = before.n, .children = before.children};
    nxw_tree_free(value);
    return true;
}
