/* How far the smallest arrangement may move inside what is unsure. */
#ifndef NXW_SIZE_RANGE_H
#define NXW_SIZE_RANGE_H

#include "study/size_search.h"

/*
 * The same search where what is unsure lies as the target that binds would have it, or would not:
 * of all that is equally likely, the worst. worst: every factor two standard errors the wrong way.
 */
struct nxw_size_range {
    bool ran;
    const char *not_given; /* why it has not run, where the answer behind the target has no scale */
    struct nxw_size_result good, bad, worst; /* good, bad: nineteen of twenty lie between */
};

/*
 * Given:    found    a search of the same case and targets that has found something
 *           fixed    constants the user set: taken as known
 *           threads  1 or more
 *           stop     looked at between runs
 * Status: as nxw_size_search
 */
enum nxw_status nxw_size_range_run(const struct nxw_case *in, const struct nxw_targets *targets,
                                   const struct nxw_free *free, const struct nxw_size_result *found,
                                   const size_t *fixed, size_t n_fixed, unsigned threads,
                                   nxw_observer *observer, void *user, bool (*stop)(void),
                                   struct nxw_size_range *out);

#endif
