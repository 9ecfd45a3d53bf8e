#include "study/worst_case.h"

#include <math.h>
#include <stdlib.h>

#include "base/many_runs.h"
#include "base/progress.h"

#define END 2.0 /* standard errors: the end of a range */

struct change { /* of the answer on its scale, to the bad side, by one factor at one end */
    size_t factor;
    double z, worse; /* NAN: no result */
};

struct work { /* shared by the threads */
    const struct nxw_case *in;
    const struct nxw_uncertainty *u;
    enum nxw_answer answer;
    double bad; /* 1: more is worse; or -1 */
    double base;
    struct change *ends; /* of each factor two, or the one that it reaches */
    size_t n_ends;
};

/* Less than this is the noise of a run. */
static double least(enum nxw_answer answer) { return answer == NXW_ANSWER_PEAK ? 0.01 : 1e-3; }

static double worse_by(const struct work *w, const struct nxw_case *c, const struct nxw_result *r)
{
    double answers[NXW_ANSWERS];
    nxw_answers_scaled(c, r, answers);
    return w->bad * (answers[w->answer] - w->base);
}

static void list_ends(struct work *w)
{
    for (size_t i = 0; i < w->u->n_factors; i++) {
        w->ends[w->n_ends++] = (struct change){i, END, (double)NAN};
        if (!nxw_factor_reaches_one_side(&w->u->factors[i]))
            w->ends[w->n_ends++] = (struct change){i, -END, (double)NAN};
    }
}

static enum nxw_status try_end(void *user, size_t index, struct nxw_run_room *room)
{
    const struct work *w = user;
    struct change *end = &w->ends[index];
    room->c = *w->in;
    nxw_factor_move(&w->u->factors[end->factor], end->z, &room->c);
    const enum nxw_status status = nxw_estimate(&room->c, NULL, NULL, &room->r);
    if (status >= 0)
        end->worse = worse_by(w, &room->c, &room->r);
    return status;
}

/* Worst first; what gave no result last. */
static int by_effect(const void *left, const void *right)
{
    const double a = ((const struct change *)left)->worse,
                 b = ((const struct change *)right)->worse;
    if (isnan(a) || isnan(b))
        return (isnan(a) ? 1 : 0) - (isnan(b) ? 1 : 0);
    return (a < b) - (a > b);
}

static void name_top(const struct work *w, size_t n_bad, struct nxw_worst_case *out)
{
    const double value = nxw_answer_plain(w->answer, w->base);
    bool named[NXW_FACTORS_MAX] = {false}; /* one may be bad at both ends */
    for (size_t i = 0; i < n_bad && out->n_top < NXW_WORST_TOP; i++) {
        const struct change *end = &w->ends[i];
        const size_t constant = w->u->factors[end->factor].constant;
        if (named[end->factor])
            continue;
        named[end->factor] = true;
        out->in = *w->in;
        nxw_factor_move(&w->u->factors[end->factor], end->z, &out->in);
        out->top[out->n_top++] =
            (struct nxw_worst_constant){constant, out->in.parameters.value[constant],
                                        nxw_answer_step(w->answer, value, w->bad * end->worse)};
    }
}

/* One after the other, the worst first; what makes it no worse than it has become is left. Of one
 * that is bad at both ends the second is tried where the first is left. */
static enum nxw_status move_in_turn(const struct work *w, size_t n_bad, bool (*stop)(void),
                                    struct nxw_run_room *room, struct nxw_worst_case *out)
{
    bool moved[NXW_FACTORS_MAX] = {false};
    double worst = 0.0;
    out->in = *w->in;
    for (size_t i = 0; i < n_bad; i++) {
        const struct change *end = &w->ends[i];
        nxw_progress_step();
        if (moved[end->factor])
            continue;
        if (stop != NULL && stop())
            return NXW_ERROR_CANCELLED;
        room->c = out->in;
        nxw_factor_move(&w->u->factors[end->factor], end->z, &room->c);
        const enum nxw_status status = nxw_estimate(&room->c, NULL, NULL, &room->r);
        if (status == NXW_ERROR_MEMORY)
            return status;
        const double now = status >= 0 ? worse_by(w, &room->c, &room->r) : (double)NAN;
        if (!(now > worst))
            continue;
        worst = now;
        moved[end->factor] = true;
        out->n_moved++;
        out->in = room->c;
        out->result = room->r;
    }
    return NXW_OK;
}

static enum nxw_status find(struct work *w, unsigned threads, bool (*stop)(void),
                            struct nxw_run_room *room, struct nxw_worst_case *out)
{
    size_t n_bad = 0;
    list_ends(w);
    nxw_progress_expect(w->n_ends);
    enum nxw_status status = nxw_many_runs(w->n_ends, threads, stop, try_end, w);
    if (status != NXW_OK)
        return status;
    for (size_t i = 0; i < w->n_ends; i++) {
        out->n_failed += isnan(w->ends[i].worse) ? 1u : 0u;
        n_bad += w->ends[i].worse > least(w->answer) ? 1u : 0u;
    }
    qsort(w->ends, w->n_ends, sizeof *w->ends, by_effect);
    nxw_progress_expect(n_bad);
    name_top(w, n_bad, out);
    status = move_in_turn(w, n_bad, stop, room, out);
    out->ran = status == NXW_OK;
    return status;
}

enum nxw_status nxw_worst_case_run(const struct nxw_case *in, const struct nxw_result *base,
                                   enum nxw_answer answer, const size_t *fixed, size_t n_fixed,
                                   unsigned threads, bool (*stop)(void), struct nxw_worst_case *out)
{
    *out = (struct nxw_worst_case){.answer = answer, .in = *in, .result = *base};
    double answers[NXW_ANSWERS];
    nxw_answers_scaled(in, base, answers);
    if (!(base->fed_mol > 0.0) || !isfinite(answers[answer]))
        return NXW_OK;
    struct nxw_uncertainty *u = calloc(1, sizeof *u);
    struct nxw_run_room *room = malloc(sizeof *room);
    struct work w = {.in = in,
                     .u = u,
                     .answer = answer,
                     .bad = nxw_more_is_worse(answer) ? 1.0 : -1.0,
                     .base = answers[answer],
                     .ends = calloc((size_t)2 * NXW_FACTORS_MAX, sizeof *w.ends)};
    enum nxw_status status = NXW_ERROR_MEMORY;
    if (u != NULL && room != NULL && w.ends != NULL) {
        nxw_factors_of_constants(in, fixed, n_fixed, u);
        out->n_tried = u->n_factors;
        status = find(&w, threads, stop, room, out);
    }
    free(w.ends);
    free(room);
    free(u);
    return status;
}
