/* Shared by the files that turn a tree into a case: places, words, fields. Internal to cli/. */
#ifndef NXW_CASE_READ_H
#define NXW_CASE_READ_H

#include "case/case_fields.h"
#include "case/case_file.h"

struct nxw_reading {
    const char *path;
    struct nxw_case *out;
    struct nxw_case_notes *notes;
    struct nxw_fault_list *faults;
    struct nxw_fault_list *set_aside; /* keys that do not belong go here, not to the faults */
};

/* A map, or NULL when there is none or it is something else (a fault then). */
struct nxw_node *nxw_read_map(struct nxw_reading *r, const struct nxw_node *parent,
                              const char *key);

/* The text of a single value, or NULL (absent, or a fault then). */
const char *nxw_read_text(struct nxw_reading *r, const struct nxw_node *map, const char *key);

/* Copied, and whole: one without room for it in out is a fault. false: absent or a fault. */
bool nxw_read_label(struct nxw_reading *r, const struct nxw_node *map, const char *key, char *out,
                    size_t size);

/* Unknown keys of a map; known: the fields' keys and the others. */
void nxw_check_keys(struct nxw_reading *r, const struct nxw_node *map,
                    const struct nxw_section *section, const char *const *others, size_t n_others);

/* Every field of a section that the map gives; kind: bit of the present kind, 0 for none. */
void nxw_read_fields(struct nxw_reading *r, const struct nxw_node *map,
                     const struct nxw_section *section, unsigned kind, const char *kind_word,
                     void *object);

/* One word of a list; false: absent or a fault. */
bool nxw_read_word(struct nxw_reading *r, const struct nxw_node *map, const char *key,
                   const char *const *words, size_t n, size_t *index);
bool nxw_read_yes_no(struct nxw_reading *r, const struct nxw_node *map, const char *key, bool *out);

/* Fault when a key is not there. */
void nxw_require(struct nxw_reading *r, const struct nxw_node *map, const char *key,
                 const char *of);

/* Fault, or note of what is set aside, when a key that does not belong there is given. */
void nxw_refuse_key(struct nxw_reading *r, const struct nxw_node *map, const char *key,
                    const char *of);

void nxw_read_source(struct nxw_reading *r, struct nxw_node *top);
void nxw_read_train(struct nxw_reading *r, struct nxw_node *top);
void nxw_read_gas(struct nxw_reading *r, struct nxw_node *map, struct nxw_carrier *carrier);
void nxw_read_prices(struct nxw_reading *r, struct nxw_node *top);

#endif
