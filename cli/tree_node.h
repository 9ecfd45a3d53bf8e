/* Nodes and characters, for the reader. Internal to cli/. */
#ifndef NXW_TREE_NODE_H
#define NXW_TREE_NODE_H

#include "tree.h"

/* All of them: NULL or false when memory ran out. */
char *nxw_copy_text(const char *text, size_t length);
struct nxw_node *nxw_node_new(enum nxw_node_kind kind, size_t line, size_t column);
bool nxw_node_append(struct nxw_node *parent, struct nxw_node *child); /* takes the child */

/* Bytes of the UTF-8 character at p, 0 if it is none; left: bytes there are. */
size_t nxw_character_length(const unsigned char *p, size_t left);
bool nxw_is_utf8(const char *text);

#endif
