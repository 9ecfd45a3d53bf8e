/* Case files: from text to struct nxw_case, with every fault and its place. */
#ifndef NXW_CASE_FILE_H
#define NXW_CASE_FILE_H

#include <stdbool.h>
#include <stdio.h>

#include "base/tree.h"
#include "noxwash.h"

#define NXW_PEROXIDE_BOUGHT 0.30 /* mass fraction of peroxide as commonly bought */

enum nxw_price_kind {
    NXW_PRICE_PEROXIDE, /* of the solution as bought */
    NXW_PRICE_ICE,
    NXW_PRICE_WATER,
    NXW_PRICE_ENERGY,
    NXW_PRICE_BOUGHT_ACID,
    NXW_PRICE_DISPOSAL,
    NXW_PRICE_COUNT
};
enum nxw_price_basis { NXW_PER_KG, NXW_PER_LITRE, NXW_PER_KWH };
struct nxw_price {
    bool given;
    double amount; /* currency per kg, litre or kWh */
    enum nxw_price_basis basis;
};
extern const char *const nxw_price_words[NXW_PRICE_COUNT];
extern const char *const nxw_price_basis_words[3]; /* "kg", "L", "kWh" */

/* What remedies are ranked by: the fall of what escapes, or the nitric acid gained. */
enum nxw_aim { NXW_AIM_CLEAN_AIR, NXW_AIM_ACID };

/* What a case file says beyond what the library needs. */
struct nxw_case_notes {
    enum nxw_aim aim;
    double acid_made_kg; /* acid vapour: nitric acid, as HNO3; else 0 */
    char metal[32];      /* metal source: its name; else empty */
    double metal_kg;
    double metal_molar_mass_kg_mol;
    char source_file[128];          /* of a table source or a shape from a file, as written */
    char glass[NXW_STAGES_MAX][48]; /* name of the glass, or empty */
    bool usual_train;               /* none was given */
    bool usual_glass[NXW_STAGES_MAX], usual_liquid[NXW_STAGES_MAX]; /* filled in */
    char currency[16];
    struct nxw_price prices[NXW_PRICE_COUNT];
    size_t n_overrides;
    size_t overrides[NXW_PARAMETER_COUNT]; /* indices of constants the case sets */
};

/*
 * Read a case file.
 *
 * Given:    path    of the file; a table of the source is looked for beside it
 * Returned: out     the case, as far as it could be read
 *           notes   what the library does not need
 *           faults  all faults, by place; nxw_fault_list_free
 * Status:   0 good, 3 faults, 6 the file could not be read
 */
int nxw_case_file_read(const char *path, enum nxw_path_from from, struct nxw_case *out,
                       struct nxw_case_notes *notes, struct nxw_fault_list *faults);

/* The same from a tree already read (perhaps changed with nxw_tree_set); path: see above. */
int nxw_case_from_tree(struct nxw_node *tree, const char *path, struct nxw_case *out,
                       struct nxw_case_notes *notes, struct nxw_fault_list *faults);

/*
 * The same, but keys that do not belong to the kind of their map (ice to a bath of air) are left
 * unread and noted in set_aside instead of being faults.
 */
int nxw_case_from_tree_setting_aside(struct nxw_node *tree, const char *path, struct nxw_case *out,
                                     struct nxw_case_notes *notes, struct nxw_fault_list *faults,
                                     struct nxw_fault_list *set_aside);

/* The same from text; lines and columns are the text's. */
int nxw_case_text_read(const char *text, size_t length, bool json, const char *path,
                       struct nxw_case *out, struct nxw_case_notes *notes,
                       struct nxw_fault_list *faults);

/* Each fault as one line "path:14:3: text" (without the place where there is none). */
void nxw_faults_print(FILE *out, const char *path, const struct nxw_fault_list *faults);

#endif
