#include "study/sweep_plan.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/latin_hypercube.h"
#include "base/tree_node.h"

/* -------------------------------------------------------------------------------- reading */

static bool read_part(const char *text, struct nxw_plan *plan, char *message)
{
    plan->part = plan->parts = 1;
    if (text == NULL)
        return true;
    char *end = NULL;
    const char *slash = strchr(text, '/');
    if (text[0] >= '1' && text[0] <= '9' && slash != NULL && slash[1] >= '1' && slash[1] <= '9') {
        const unsigned long long part = strtoull(text, &end, 10);
        const bool first_good = end == slash;
        const unsigned long long parts = strtoull(slash + 1, &end, 10);
        if (first_good && *end == '\0' && part <= parts && parts <= NXW_SWEEP_CASES_MAX) {
            plan->part = part;
            plan->parts = parts;
            return true;
        }
    }
    (void)snprintf(message, NXW_VARY_MESSAGE,
                   "--part '%.40s': write i/n with 1 <= i <= n, such "
                   "as 2/8",
                   text);
    return false;
}

/* One more expression: free of the others' paths. */
static bool take_vary(const char *text, struct nxw_plan *plan, char *message)
{
    char why[NXW_VARY_MESSAGE];
    struct nxw_vary *v = &plan->varies[plan->n_varies++];
    if (!nxw_vary_read(text, plan->sampled, v, why)) {
        (void)snprintf(message, NXW_VARY_MESSAGE, "--vary '%.80s': %.220s", text, why);
        return false;
    }
    for (size_t i = 0; i + 1 < plan->n_varies; i++) {
        const struct nxw_vary *other = &plan->varies[i];
        if (!nxw_path_holds(v->path, other->path) && !nxw_path_holds(other->path, v->path))
            continue;
        (void)snprintf(message, NXW_VARY_MESSAGE,
                       "--vary '%.80s': %.60s and %.60s are, or lie in, the same place", text,
                       other->path, v->path);
        return false;
    }
    const char *dot = strrchr(v->path, '.');
    const char *last = dot != NULL ? dot + 1 : v->path;
    if (strcmp(last, "kind") == 0 || strcmp(last, "gas") == 0)
        plan->sets_aside = true;
    return true;
}

bool nxw_plan_read(size_t n_varies, const char *const *varies, uint64_t sample, uint64_t seed,
                   const char *part, struct nxw_plan *plan, char message[NXW_VARY_MESSAGE])
{
    *plan = (struct nxw_plan){.sampled = sample > 0, .seed = seed, .n_cases = 1};
    if (!read_part(part, plan, message))
        return false;
    if (n_varies == 0) {
        (void)snprintf(message, NXW_VARY_MESSAGE,
                       "nothing to vary; give --vary PATH=VALUES, such "
                       "as --vary 'train[1].liquid=100:500:50 mL'");
        return false;
    }
    for (size_t i = 0; i < n_varies; i++) {
        if (!take_vary(varies[i], plan, message))
            return false;
        if (!plan->sampled && plan->varies[i].n > NXW_SWEEP_CASES_MAX / plan->n_cases) {
            (void)snprintf(message, NXW_VARY_MESSAGE,
                           "the grid has more than %u cases; use wider steps or --sample N",
                           NXW_SWEEP_CASES_MAX);
            return false;
        }
        plan->n_cases *= plan->sampled ? 1 : plan->varies[i].n;
    }
    if (plan->sampled)
        plan->n_cases = sample;
    return true;
}

void nxw_plan_free(struct nxw_plan *plan)
{
    for (size_t i = 0; i < plan->n_varies; i++)
        nxw_vary_free(&plan->varies[i]);
    plan->n_varies = 0;
}

/* ------------------------------------------------------------------------------ numbering */

uint64_t nxw_plan_first(const struct nxw_plan *plan)
{
    return plan->part <= plan->n_cases ? plan->part : 0;
}

uint64_t nxw_plan_next(const struct nxw_plan *plan, uint64_t number)
{
    return plan->n_cases - number >= plan->parts ? number + plan->parts : 0;
}

uint64_t nxw_plan_count(const struct nxw_plan *plan)
{
    return plan->part <= plan->n_cases ? (plan->n_cases - plan->part) / plan->parts + 1 : 0;
}

void nxw_plan_value(const struct nxw_plan *plan, uint64_t number, size_t key,
                    struct nxw_vary_value *out)
{
    const struct nxw_vary *vary = &plan->varies[key];
    if (!plan->sampled) {
        uint64_t faster = 1;
        for (size_t i = key + 1; i < plan->n_varies; i++)
            faster *= plan->varies[i].n;
        nxw_vary_nth(vary, (number - 1) / faster % vary->n, out);
        return;
    }
    nxw_vary_at(vary, nxw_latin_share(number - 1, plan->n_cases, plan->seed, key), out);
}

/* ------------------------------------------------------------------------------- applying */

/* A value that begins with { or [ is read as the case file would read it; others are plain. */
static struct nxw_node *value_node(const char *text, struct nxw_fault_list *faults)
{
    struct nxw_node *node = NULL;
    if (text[0] == '{' || text[0] == '[' || text[0] == '"' || text[0] == '\'') {
        const enum nxw_read_status status =
            nxw_tree_read_text(text, strlen(text), false, &node, faults);
        for (size_t i = 0; i < faults->n; i++) /* the places are those in the value */
            faults->faults[i].line = 0;
        if (status == NXW_READ_OK)
            return node;
        nxw_tree_free(node);
        return NULL;
    }
    node = nxw_node_new(NXW_NODE_SCALAR, 0, 0);
    if (node != NULL && (node->text = nxw_copy_text(text, strlen(text))) == NULL) {
        nxw_tree_free(node);
        node = NULL;
    }
    if (node == NULL)
        faults->out_of_memory = true;
    return node;
}

static bool put_value(struct nxw_node *tree, const char *path, const char *text,
                      struct nxw_fault_list *faults)
{
    /* a case without a train has one bottle of defaults; its keys can be varied too */
    if (nxw_path_holds("train[1]", path) && nxw_tree_get(tree, "train") == NULL) {
        struct nxw_node *train = value_node("[{}]", faults);
        if (train == NULL || !nxw_tree_put(tree, "train", train))
            return false;
    }
    struct nxw_node *node = value_node(text, faults);
    return node != NULL && nxw_tree_put(tree, path, node);
}

bool nxw_plan_apply(const struct nxw_plan *plan, uint64_t number, struct nxw_node *tree,
                    struct nxw_fault_list *faults)
{
    struct nxw_vary_value value;
    for (size_t i = 0; i < plan->n_varies; i++) {
        nxw_plan_value(plan, number, i, &value);
        if (!put_value(tree, plan->varies[i].path, value.text, faults))
            return false;
    }
    return true;
}

int nxw_plan_read_case(const struct nxw_plan *plan, struct nxw_node *tree, const char *path,
                       struct nxw_case *out, struct nxw_case_notes *notes,
                       struct nxw_fault_list *faults, struct nxw_fault_list *set_aside)
{
    return nxw_case_from_tree_setting_aside(tree, path, out, notes, faults,
                                            plan->sets_aside ? set_aside : NULL);
}

/* ------------------------------------------------------------------------------- checking */

/* Combinations of the other keys that are tried before a value is held to be wrong. */
enum { COMBINATIONS_MAX = 500, TRIALS_MAX = 9 };

struct check {
    const struct nxw_plan *plan;
    struct nxw_node *tree;
    const char *path;
    uint64_t *hash;
    struct nxw_case in;
    struct nxw_case_notes notes;
};

/* Of a list every value is tried, of a range up to nine spread over it. */
static uint64_t trials(const struct nxw_vary *v)
{
    return v->is_range && (v->n == 0 || v->n > TRIALS_MAX) ? TRIALS_MAX : v->n;
}

static void trial_value(const struct nxw_vary *v, uint64_t trial, struct nxw_vary_value *out)
{
    if (v->is_range && v->n == 0)
        nxw_vary_at(v, (double)trial / (TRIALS_MAX - 1), out);
    else if (trials(v) == v->n)
        nxw_vary_nth(v, trial, out);
    else
        nxw_vary_nth(v, trial * (v->n - 1) / (TRIALS_MAX - 1), out);
}

/* Read one combination: value trial of the key, the others by the digits of a number. */
static bool try_combination(struct check *c, size_t key, uint64_t trial, uint64_t combination,
                            struct nxw_fault_list *faults)
{
    struct nxw_vary_value value;
    struct nxw_fault_list set_aside = {0};
    bool good = true;
    for (size_t i = 0; i < c->plan->n_varies && good; i++) {
        const struct nxw_vary *v = &c->plan->varies[i];
        uint64_t which = trial;
        if (i != key) {
            which = combination % trials(v);
            combination /= trials(v);
        }
        trial_value(v, which, &value);
        good = put_value(c->tree, v->path, value.text, faults);
        if (!good && faults->n == 0 && !faults->out_of_memory)
            nxw_fault_add(faults, 0, 0, "'%.100s' leads nowhere in this case", v->path);
    }
    good = good && nxw_plan_read_case(c->plan, c->tree, c->path, &c->in, &c->notes, faults,
                                      &set_aside) == NXW_READ_OK;
    faults->out_of_memory = faults->out_of_memory || set_aside.out_of_memory;
    nxw_fault_list_free(&set_aside);
    if (good) /* of the tables */
        *c->hash = nxw_hash(*c->hash, c->in.source.rows,
                            c->in.source.n_rows * sizeof c->in.source.rows[0]);
    return good;
}

/* false: no combination with this value can be read; faults: of the first. */
static bool try_value(struct check *c, size_t key, uint64_t trial, struct nxw_fault_list *faults)
{
    uint64_t combinations = 1;
    for (size_t i = 0; i < c->plan->n_varies && combinations < COMBINATIONS_MAX; i++)
        combinations *= i != key ? trials(&c->plan->varies[i]) : 1;
    for (uint64_t k = 0; k < combinations && k < COMBINATIONS_MAX; k++) {
        struct nxw_fault_list others = {0};
        const bool good = try_combination(c, key, trial, k, k == 0 ? faults : &others);
        faults->out_of_memory = faults->out_of_memory || others.out_of_memory;
        nxw_fault_list_free(&others);
        if (good || faults->out_of_memory)
            return good;
    }
    return false;
}

static enum nxw_exit refuse_value(struct check *c, size_t key, uint64_t trial,
                                  const struct nxw_fault_list *faults)
{
    const struct nxw_vary *v = &c->plan->varies[key];
    struct nxw_vary_value value;
    trial_value(v, trial, &value);
    (void)fprintf(stderr, "noxwash: --vary '%s': the case cannot be read with %s = %s\n", v->given,
                  v->path, value.text);
    nxw_faults_print(stderr, c->path, faults);
    return NXW_EXIT_CASE;
}

static enum nxw_exit check_key(struct check *c, size_t key)
{
    const struct nxw_vary *v = &c->plan->varies[key];
    bool any = false;
    enum nxw_exit code = NXW_EXIT_DONE;
    for (uint64_t trial = 0; trial < trials(v) && code == NXW_EXIT_DONE; trial++) {
        struct nxw_fault_list faults = {0};
        const bool good = try_value(c, key, trial, &faults);
        any = any || good;
        if (faults.out_of_memory) {
            (void)fputs("noxwash: out of memory\n", stderr);
            code = NXW_EXIT_INTERNAL;
        } else if (!good && (!v->is_range || (trial + 1 == trials(v) && !any)))
            code = refuse_value(c, key, trial, &faults);
        nxw_fault_list_free(&faults);
    }
    return code;
}

enum nxw_exit nxw_plan_check(const struct nxw_plan *plan, struct nxw_node *tree, const char *path,
                             uint64_t *hash)
{
    struct check *c = calloc(1, sizeof *c);
    if (c == NULL) {
        (void)fputs("noxwash: out of memory\n", stderr);
        return NXW_EXIT_INTERNAL;
    }
    c->plan = plan;
    c->tree = tree;
    c->path = path;
    c->hash = hash;
    enum nxw_exit code = NXW_EXIT_DONE;
    for (size_t i = 0; i < plan->n_varies && code == NXW_EXIT_DONE; i++)
        code = check_key(c, i);
    free(c);
    return code;
}

/* --------------------------------------------------------------------------- fingerprints */

uint64_t nxw_hash(uint64_t hash, const void *bytes, size_t n)
{
    const unsigned char *p = bytes;
    for (size_t i = 0; i < n; i++)
        hash = (hash ^ p[i]) * UINT64_C(0x100000001b3);
    return hash;
}

uint64_t nxw_hash_tree(uint64_t hash, const struct nxw_node *tree)
{
    const unsigned char kind = (unsigned char)tree->kind;
    hash = nxw_hash(hash, &kind, 1);
    if (tree->key != NULL)
        hash = nxw_hash(hash, tree->key, strlen(tree->key) + 1);
    if (tree->text != NULL)
        hash = nxw_hash(hash, tree->text, strlen(tree->text) + 1);
    for (size_t i = 0; i < tree->n; i++)
        hash = nxw_hash_tree(hash, tree->children[i]);
    const unsigned char end = 0xff;
    return nxw_hash(hash, &end, 1);
}
