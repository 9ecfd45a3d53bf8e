/* A text file as a tree of maps, lists and scalars, each with its place. */
#ifndef NXW_TREE_H
#define NXW_TREE_H

#include <stdbool.h>
#include <stddef.h>

/* ------------------------------------------------------------------------------ faults */

struct nxw_fault {
    size_t line, column; /* counted from 1; 0: the file as a whole */
    char text[320];
};

struct nxw_fault_list {
    size_t n, room;
    bool out_of_memory; /* some faults could not be kept */
    struct nxw_fault *faults;
};

/* A zeroed list is an empty one. */
#if defined(__GNUC__)
__attribute__((format(printf, 4, 5)))
#endif
void nxw_fault_add(struct nxw_fault_list *list, size_t line, size_t column, const char *format,
                   ...);
void nxw_fault_list_sort(struct nxw_fault_list *list); /* by place; equal places keep their order */
void nxw_fault_list_free(struct nxw_fault_list *list);

/* -------------------------------------------------------------------------------- tree */

enum { NXW_TREE_BYTES_MAX = 64 * 1024, NXW_TREE_DEPTH_MAX = 8, NXW_TREE_VALUES_MAX = 5000 };

enum nxw_node_kind { NXW_NODE_SCALAR, NXW_NODE_MAP, NXW_NODE_LIST };

struct nxw_node {
    enum nxw_node_kind kind;
    size_t line, column;
    char *text;  /* of a scalar; never NULL there */
    bool quoted; /* scalar in quotes */
    char *key;   /* when it is an entry of a map */
    size_t key_line, key_column;
    size_t n, room;
    struct nxw_node **children;
};

/* What reading a file came to; the values are the program's exit codes. */
enum nxw_read_status {
    NXW_READ_OK = 0,
    NXW_READ_FAULTS = 3,
    NXW_READ_IO = 6,
    NXW_READ_MEMORY = 70 /* whatever else was found: the faults may be incomplete */
};

/* What a reader's faults come to. */
static inline enum nxw_read_status nxw_read_outcome(const struct nxw_fault_list *faults)
{
    return faults->out_of_memory ? NXW_READ_MEMORY : faults->n > 0 ? NXW_READ_FAULTS : NXW_READ_OK;
}

/* Who named a file: it is read as it is, or only when it is an ordinary one. */
enum nxw_path_from { NXW_PATH_FROM_COMMAND_LINE, NXW_PATH_FROM_FILE };

/*
 * Read a file into a tree.
 *
 * Given:    path    .json is held to strict JSON, all else to the stated subset of YAML
 * Returned: tree    owned by the caller; nxw_tree_free. Never NULL after NXW_READ_OK. After
 *                   NXW_READ_FAULTS there may be one (a key stands twice), for the other faults
 *                   only: nothing may be run with it
 *           faults  added to; none by NXW_READ_OK
 */
enum nxw_read_status nxw_tree_read_file(const char *path, enum nxw_path_from from,
                                        struct nxw_node **tree, struct nxw_fault_list *faults);
enum nxw_read_status nxw_tree_read_text(const char *text, size_t length, bool json,
                                        struct nxw_node **tree, struct nxw_fault_list *faults);
void nxw_tree_free(struct nxw_node *tree);

/* Is it held to strict JSON? By its name. */
bool nxw_is_json(const char *path);

/* A whole file of at most max bytes, terminated; free() it. NULL: not readable or too long. */
char *nxw_file_read(const char *path, enum nxw_path_from from, size_t max, size_t *length,
                    struct nxw_fault_list *faults, enum nxw_read_status *status);

/* Entry of a map, or NULL. */
struct nxw_node *nxw_tree_get(const struct nxw_node *map, const char *key);

/*
 * The node of a path such as "train[1].liquid"; entries of lists are counted from 1.
 * nearest: when the path leads nowhere, the last node met on the way instead of NULL.
 */
struct nxw_node *nxw_tree_find(struct nxw_node *tree, const char *path, bool nearest);

/*
 * Set the scalar of a path, making maps on the way; a list entry must exist.
 * false: the path is not usable, or memory ran out (errno ENOMEM); the tree is still sound.
 */
bool nxw_tree_set(struct nxw_node *tree, const char *path, const char *text);

/*
 * Put a scalar, map or list in the place of a path, whatever stood there; makes maps on the way.
 *
 * Given:    value  taken, also on failure; its lines and columns become those of the place
 * Returned: false when the path is not usable or memory ran out; the tree is still sound
 */
bool nxw_tree_put(struct nxw_node *tree, const char *path, struct nxw_node *value);

/* The candidate nearest in spelling to a word, or NULL if none is near; n candidates. */
const char *nxw_nearest_word(const char *word, const char *const *candidates, size_t n);

#endif
