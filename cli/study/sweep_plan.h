/* Which cases a sweep holds: from the number of a case to the values of its keys. */
#ifndef NXW_SWEEP_PLAN_H
#define NXW_SWEEP_PLAN_H

#include "base/exit_code.h"
#include "base/option_list.h"
#include "base/tree.h"
#include "case/case_file.h"
#include "study/vary.h"

#define NXW_SWEEP_CASES_MAX 1000000000u

/*
 * Cases are numbered from 1. Grid: the last key changes fastest. Sample: latin hypercube, each
 * key's n slots of equal width are met once each, in an order drawn from the seed.
 */
struct nxw_plan {
    size_t n_varies;
    struct nxw_vary varies[NXW_REPEATS_MAX];
    bool sampled;
    uint64_t seed;
    uint64_t n_cases;
    uint64_t part, parts; /* this run: the cases with (number - 1) mod parts = part - 1 */
    bool sets_aside;      /* a kind is varied: keys of other kinds are left unread */
};

/*
 * Given:    n_varies, varies  the expressions of --vary
 *           sample            cases of a sample; 0: grid
 *           part              "i/n" or NULL
 * Returned: plan              nxw_plan_free, also on failure
 *           message           on failure, for people
 */
bool nxw_plan_read(size_t n_varies, const char *const *varies, uint64_t sample, uint64_t seed,
                   const char *part, struct nxw_plan *plan, char message[NXW_VARY_MESSAGE]);
void nxw_plan_free(struct nxw_plan *plan);

/* First case of this run, the next, and 0 past the last. */
uint64_t nxw_plan_first(const struct nxw_plan *plan);
uint64_t nxw_plan_next(const struct nxw_plan *plan, uint64_t number);
uint64_t nxw_plan_count(const struct nxw_plan *plan); /* cases of this run */

void nxw_plan_value(const struct nxw_plan *plan, uint64_t number, size_t key,
                    struct nxw_vary_value *out);

/*
 * Give a tree the values of a case. false: a path leads nowhere (paths that nxw_plan_check has
 * passed do lead somewhere) or memory ran out. faults: when a value such as '{kind: air' is no
 * map.
 */
bool nxw_plan_apply(const struct nxw_plan *plan, uint64_t number, struct nxw_node *tree,
                    struct nxw_fault_list *faults);

/* Read the case a tree holds, as the plan wants it. 0 good, 3 faults. */
int nxw_plan_read_case(const struct nxw_plan *plan, struct nxw_node *tree, const char *path,
                       struct nxw_case *out, struct nxw_case_notes *notes,
                       struct nxw_fault_list *faults, struct nxw_fault_list *set_aside);

/*
 * Look whether every value of a list, and some value of every range, can be read in some
 * combination; print what is wrong on stderr. The tree is changed.
 *
 * Returned: hash  grows by the tables the case reads
 */
enum nxw_exit nxw_plan_check(const struct nxw_plan *plan, struct nxw_node *tree, const char *path,
                             uint64_t *hash);

/* Fingerprints, FNV-1a of 64 bits. */
#define NXW_HASH_START UINT64_C(0xcbf29ce484222325)
uint64_t nxw_hash(uint64_t hash, const void *bytes, size_t n);
uint64_t nxw_hash_tree(uint64_t hash, const struct nxw_node *tree); /* keys and texts, not places */

#endif
