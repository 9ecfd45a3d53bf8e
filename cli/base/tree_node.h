/* Nodes and characters, for the reader. Internal to cli/. */
#ifndef NXW_TREE_NODE_H
#define NXW_TREE_NODE_H

#include "base/characters.h"
#include "base/tree.h"

/* All of them: NULL or false when memory ran out. */
char *nxw_copy_text(const char *text, size_t length);
struct nxw_node *nxw_node_new(enum nxw_node_kind kind, size_t line, size_t column);
bool nxw_node_append(struct nxw_node *parent, struct nxw_node *child); /* takes the child */

#endif
