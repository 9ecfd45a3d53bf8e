/* Whether the first remedy is surely the first: it and the next one under all that is unsure. */
#include <math.h>
#include <stdlib.h>

#include "case/gravity.h"
#include "study/remedy.h"
#include "study/uncertainty.h"

struct side { /* one remedy under all that is unsure */
    struct nxw_case c;
    struct nxw_result result;
    struct nxw_uncertainty u;
};

/* A constant that is wrong is wrong for both: their difference is what each factor moves. */
static void add_up(const struct side *a, const struct side *b, enum nxw_answer answer, double sign,
                   struct nxw_remedies *all)
{
    struct nxw_sides sides = {0.0, 0.0};
    for (size_t i = 0; i < a->u.n_factors; i++) {
        const struct nxw_factor *f = &a->u.factors[i], *g = &b->u.factors[i];
        if (!f->ran || !g->ran)
            continue;
        const double up = nxw_answer_step(answer, a->u.value[answer], f->up[answer]) -
                          nxw_answer_step(answer, b->u.value[answer], g->up[answer]);
        const double down = nxw_answer_step(answer, a->u.value[answer], f->down[answer]) -
                            nxw_answer_step(answer, b->u.value[answer], g->down[answer]);
        nxw_sides_add(&sides, sign * up, sign * down);
    }
    all->lead_not_given =
        a->u.not_given[answer] != NULL ? a->u.not_given[answer] : b->u.not_given[answer];
    all->lead_low_mol = all->lead_high_mol = (double)NAN;
    if (all->lead_not_given != NULL)
        return;
    const double lead = sign * (a->u.value[answer] - b->u.value[answer]);
    all->lead_low_mol = all->base.fed_mol * (lead - NXW_OF_100_95 * sqrt(sides.less));
    all->lead_high_mol = all->base.fed_mol * (lead + NXW_OF_100_95 * sqrt(sides.more));
}

static enum nxw_status run_side(const struct nxw_case *in, const struct nxw_remedies *all,
                                const struct nxw_remedy_run *remedy, const size_t *fixed,
                                size_t n_fixed, unsigned threads, bool (*stop)(void),
                                struct side *out)
{
    char detail[NXW_REMEDY_DETAIL];
    out->c = *in;
    (void)nxw_remedies[remedy->index[0]].apply(in, &all->base, &out->c, detail);
    const enum nxw_status status = nxw_estimate(&out->c, NULL, NULL, &out->result);
    return status < 0 ? status
                      : nxw_uncertainty_run(&out->c, &out->result, fixed, n_fixed, false, threads,
                                            stop, NULL, &out->u);
}

enum nxw_status nxw_remedies_compare(const struct nxw_case *in, const size_t *fixed, size_t n_fixed,
                                     unsigned threads, bool (*stop)(void), struct nxw_remedies *all)
{
    const struct nxw_remedy_run *first = nxw_remedy_first(all), *next = nxw_remedy_next(all);
    const bool by_gain = all->aim == NXW_AIM_ACID;
    if (next == NULL)
        return NXW_OK;
    struct side *sides = calloc(2, sizeof *sides);
    if (sides == NULL)
        return NXW_ERROR_MEMORY;
    enum nxw_status status = run_side(in, all, first, fixed, n_fixed, threads, stop, &sides[0]);
    if (status >= 0)
        status = run_side(in, all, next, fixed, n_fixed, threads, stop, &sides[1]);
    if (status >= 0 && sides[0].u.ran && sides[1].u.ran) {
        all->next = next;
        add_up(&sides[0], &sides[1], by_gain ? NXW_ANSWER_KEPT : NXW_ANSWER_ESCAPED,
               by_gain ? 1.0 : -1.0, all);
    }
    free(sides);
    return status < 0 ? status : NXW_OK;
}
