#include "worst_case.h"

#include <math.h>
#include <stdlib.h>

#include "many_runs.h"
#include "progress.h"

#define END 2.0    /* standard errors: the end of a range */
#define LEAST 1e-4 /* on the scale answers are added on: less is the noise of a run */

struct ends { /* shared by the threads */
    const struct nxw_case *in;
    const struct nxw_uncertainty *u;
    enum nxw_answer answer;
    double base, (*change)[2]; /* of the answer; with a factor down, up. NAN: no result */
};

static enum nxw_status try_end(void *user, size_t index, struct nxw_run_room *room)
{
    const struct ends *e = user;
    const size_t factor = index / 2, up = index % 2;
    double answers[NXW_ANSWERS];
    room->c = *e->in;
    nxw_factor_move(&e->u->factors[factor], up ? END : -END, &room->c);
    const enum nxw_status status = nxw_estimate(&room->c, NULL, NULL, &room->r);
    if (status >= 0)
        nxw_answers_scaled(&room->c, &room->r, answers);
    e->change[factor][up] = status >= 0 ? answers[e->answer] - e->base : (double)NAN;
    return status;
}

static void keep_top(struct nxw_worst_case *w, const struct nxw_worst_constant *one)
{
    size_t at = w->n_top;
    while (at > 0 && fabs(w->top[at - 1].step) < fabs(one->step))
        at--;
    if (at == NXW_WORST_TOP)
        return;
    if (w->n_top < NXW_WORST_TOP)
        w->n_top++;
    for (size_t i = w->n_top - 1; i > at; i--)
        w->top[i] = w->top[i - 1];
    w->top[at] = *one;
}

/* Each factor to the end that is worse, if one is. */
static void move_all(const struct ends *e, double value, struct nxw_worst_case *out)
{
    const double bad = nxw_more_is_worse(e->answer) ? 1.0 : -1.0;
    for (size_t i = 0; i < e->u->n_factors; i++) {
        const struct nxw_factor *f = &e->u->factors[i];
        const double down = bad * e->change[i][0], up = bad * e->change[i][1];
        out->n_failed += (isnan(down) ? 1u : 0u) + (isnan(up) ? 1u : 0u);
        const double worse = fmax(down, up); /* passes over NAN */
        if (!(worse > LEAST))
            continue;
        out->n_moved++;
        nxw_factor_move(f, up == worse ? END : -END, &out->in);
        keep_top(out,
                 &(struct nxw_worst_constant){f->constant, out->in.parameters.value[f->constant],
                                              nxw_answer_step(e->answer, value, bad * worse)});
    }
}

enum nxw_status nxw_worst_case_run(const struct nxw_case *in, const struct nxw_result *base,
                                   enum nxw_answer answer, const size_t *fixed, size_t n_fixed,
                                   unsigned threads, bool (*stop)(void), struct nxw_worst_case *out)
{
    *out = (struct nxw_worst_case){.answer = answer, .in = *in};
    struct nxw_uncertainty *u = calloc(1, sizeof *u);
    struct ends e = {.in = in, .u = u, .answer = answer};
    double answers[NXW_ANSWERS];
    e.change = calloc(NXW_FACTORS_MAX, sizeof *e.change);
    enum nxw_status status = u != NULL && e.change != NULL ? NXW_OK : NXW_ERROR_MEMORY;
    nxw_answers_scaled(in, base, answers);
    e.base = answers[answer];
    if (status == NXW_OK && base->fed_mol > 0.0 && isfinite(e.base)) {
        nxw_factors_of_constants(in, fixed, n_fixed, u);
        out->n_tried = u->n_factors;
        nxw_progress_expect(2 * u->n_factors + 1);
        status = nxw_many_runs(2 * u->n_factors, threads, stop, try_end, &e);
        if (status == NXW_OK) {
            move_all(&e, nxw_answer_plain(answer, e.base), out);
            out->status = nxw_estimate(&out->in, NULL, NULL, &out->result);
            nxw_progress_step();
            out->ran = out->status >= 0;
            status = out->status == NXW_ERROR_MEMORY ? NXW_ERROR_MEMORY : NXW_OK;
        }
    }
    free(e.change);
    free(u);
    return status;
}
