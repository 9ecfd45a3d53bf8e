/* One answer at its worst, by the uncertain constants. */
#ifndef NXW_WORST_CASE_H
#define NXW_WORST_CASE_H

#include "study/uncertainty.h"

enum { NXW_WORST_TOP = 6 };

struct nxw_worst_case {
    bool ran; /* result holds numbers */
    enum nxw_answer answer;
    size_t n_tried, n_moved, n_failed; /* constants; runs */
    struct nxw_case in;
    struct nxw_result result;
    size_t n_top; /* those that matter most, each alone */
    struct nxw_worst_constant {
        size_t constant;    /* index */
        double value, step; /* what it is moved to; by how much the answer moves */
    } top[NXW_WORST_TOP];
};

/*
 * Every uncertain constant at the end of its range that is bad for one answer: they are moved one
 * after the other, the one that alone does most first, as long as it becomes worse.
 *
 * Given:    in, base  a case and its result
 *           answer    the one that is to come out badly: less of it kept or weaker, else more
 *           fixed     constants the user set: left alone, and inputs stay what the case gives
 *           threads   1 or more
 *           stop      looked at between runs; or NULL
 * Returned: out       ran = false where nothing is fed or there is no such answer
 * Status: NXW_ERROR_CANCELLED when stopped, NXW_ERROR_MEMORY
 */
enum nxw_status nxw_worst_case_run(const struct nxw_case *in, const struct nxw_result *base,
                                   enum nxw_answer answer, const size_t *fixed, size_t n_fixed,
                                   unsigned threads, bool (*stop)(void),
                                   struct nxw_worst_case *out);

#endif
