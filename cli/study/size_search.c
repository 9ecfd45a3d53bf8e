#include "study/size_search.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/progress.h"
#include "study/what_if.h"

/* Of a value, in its logarithm: where the amount is discontinuous there is no nearer. */
#define LEAST_STEP 1e-4
#define TEMPERATURE_SCALE_K 20 /* so that a miss by it weighs like a miss of the others by all */

struct search {
    struct nxw_size_base base;
    const struct nxw_targets *targets;
    nxw_observer *observer;
    void *user;
    struct nxw_size_result *out;
    enum nxw_status ended; /* cancelled, or out of memory; else NXW_OK */
    struct nxw_case c;
    struct nxw_result result;
};

/* ------------------------------------------------------------------------------ one case */

/* Once a tip is bare gas follows: only what stands above the tips can be drawn back. */
static double above_tips_m3(const struct nxw_case *c, const struct nxw_result *r)
{
    double sum_m3 = 0.0;
    for (size_t i = 0; i < c->n_stages; i++)
        if (c->stages[i].kind == NXW_STAGE_BOTTLE)
            sum_m3 += fmax(r->stages[i].liquid_m3 - nxw_below_tip_m3(&c->stages[i]), 0.0);
    return sum_m3;
}

static struct nxw_size_glass glass(const struct nxw_case *c, const struct nxw_result *r)
{
    const struct nxw_stage *first = &c->stages[nxw_first_bottle(c)];
    struct nxw_size_glass g = {.headspace_m3 = first->volume_m3 - first->liquid_m3,
                               .above_tips_m3 = above_tips_m3(c, r),
                               .trap_m3 = r->glass.trap_needed_m3,
                               .crest_m = r->glass.crest_needed_m};
    for (size_t i = 0; i < r->n_stages; i++) {
        g.between_m3 = fmax(g.between_m3, r->stages[i].between_needed_m3);
        if (c->stages[i].kind == NXW_STAGE_BOTTLE && c->stages[i].bath == NXW_BATH_ICE_WATER)
            g.ice_melted_kg += r->stages[i].ice_melted_kg;
    }
    return g;
}

static void take_values(const struct search *s, struct nxw_size_point *p)
{
    const struct nxw_result *r = &s->result;
    p->got[NXW_TARGET_CAPTURE] = r->kept_mol / r->fed_mol;
    p->got[NXW_TARGET_VENT] = nxw_vent_reached(&s->targets->vent, &s->c, r);
    p->got[NXW_TARGET_STRENGTH] = r->stages[nxw_first_bottle(&s->c)].acid_mass_fraction;
    p->got[NXW_TARGET_PEAK_TEMPERATURE] = nxw_hottest_K(&s->c, r);
    p->vent_kg_s = r->vent_peak_NO_kg_s + r->vent_peak_NO2_kg_s;
    p->glass = glass(&s->c, r);
    p->warnings = r->warnings;
}

static void judge(const struct nxw_targets *t, struct nxw_size_point *p)
{
    double least = (double)INFINITY;
    for (int i = 0; i < NXW_TARGET_COUNT; i++) {
        const double share = p->got[i] / t->wanted[i];
        p->margin[i] = i == NXW_TARGET_PEAK_TEMPERATURE
                           ? (t->wanted[i] - p->got[i]) / TEMPERATURE_SCALE_K
                       : i == NXW_TARGET_VENT ? 1.0 - share
                                              : share - 1.0;
        if (!t->given[i])
            continue;
        if (p->margin[i] < least) {
            least = p->margin[i];
            p->binding = (enum nxw_target_kind)i;
        }
    }
    p->meets = least >= 0.0;
}

/* A run that fails, or leaves the range of the constants, meets nothing. */
static void take_run(struct search *s, enum nxw_status status, struct nxw_size_point *p)
{
    s->out->runs++;
    p->ran = status == NXW_OK;
    if (!p->ran) {
        s->out->failed_runs++;
        return;
    }
    take_values(s, p);
    judge(s->targets, p);
    p->outside = (p->warnings & NXW_WARN_OUTSIDE) != 0;
    p->meets = p->meets && !p->outside;
}

static void try_point(struct search *s, const struct nxw_arrangement *kind, double lead,
                      struct nxw_size_point *p)
{
    *p = (struct nxw_size_point){.arrangement = *kind};
    p->arrangement.value[s->base.free->lead] = lead;
    if (s->ended != NXW_OK || !nxw_arrange(&s->base, &p->arrangement, &s->c))
        return;
    const double shown = nxw_lead_shown(s->base.free, &p->arrangement);
    s->out->tried_least = s->out->runs > 1 ? fmin(s->out->tried_least, shown) : shown;
    s->out->tried_most = s->out->runs > 1 ? fmax(s->out->tried_most, shown) : shown;
    const enum nxw_status status = nxw_estimate(&s->c, s->observer, s->user, &s->result);
    nxw_progress_step();
    if (nxw_ends_all(status))
        s->ended = status;
    take_run(s, status, p);
}

/* -------------------------------------------------------------------------------- search */

static void keep_closest(struct search *s, const struct nxw_size_point *p)
{
    struct nxw_size_point *best = &s->out->best;
    if (s->out->found || !p->ran)
        return;
    const bool closer = p->margin[p->binding] > best->margin[best->binding];
    if (!best->ran || (p->outside != best->outside ? best->outside : closer))
        *best = *p;
}

/* Between a value that misses and one that meets: both ends are runs, not guesses. */
static void narrow(struct search *s, struct nxw_size_point *low, struct nxw_size_point *high)
{
    const enum nxw_free_quantity lead = s->base.free->lead;
    const double *from = &low->arrangement.value[lead], *to = &high->arrangement.value[lead];
    while (*from > 0.0 && fabs(log(*to / *from)) > LEAST_STEP &&
           fabs(log(nxw_lead_shown(s->base.free, &high->arrangement) /
                    nxw_lead_shown(s->base.free, &low->arrangement))) > log1p(NXW_SIZE_WIDTH)) {
        struct nxw_size_point middle;
        try_point(s, &low->arrangement, sqrt(*from * *to), &middle);
        if (s->ended != NXW_OK)
            return;
        *(middle.meets ? high : low) = middle;
    }
}

static void note_above(struct search *s, const struct nxw_size_point *p)
{
    if (p->meets || s->out->fails_above)
        return;
    s->out->fails_above = true;
    s->out->above = *p;
}

/* One kind of arrangement over all values of what leads. */
static void try_kind(struct search *s, const struct nxw_arrangement *kind)
{
    struct nxw_size_point points[NXW_LEAD_POINTS_MAX];
    double values[NXW_LEAD_POINTS_MAX];
    const size_t n = nxw_lead_points(&s->base, kind, values);
    size_t first = n;
    s->out->arrangements++;
    for (size_t i = 0; i < n; i++) {
        try_point(s, kind, values[i], &points[i]);
        if (s->ended != NXW_OK)
            return;
        keep_closest(s, &points[i]);
        if (first < i)
            note_above(s, &points[i]);
        else if (points[i].meets)
            first = i;
    }
    if (first == n)
        return;
    s->out->best = points[first];
    if (first > 0) {
        s->out->below = points[first - 1];
        narrow(s, &s->out->below, &s->out->best);
    }
    s->out->found = s->ended == NXW_OK;
    s->out->range_decides =
        first > 0 && s->out->below.outside && s->out->below.margin[s->out->below.binding] >= 0.0;
}

/* Where bottles are only counted: one fewer misses, and more of them are looked at. */
static void check_counts(struct search *s)
{
    struct nxw_arrangement other = s->out->best.arrangement;
    const double found = other.value[NXW_FREE_BOTTLES];
    if (s->base.free->lead != NXW_FREE_BOTTLES || !s->base.free->may[NXW_FREE_BOTTLES])
        return;
    if (found > 1.0)
        try_point(s, &other, found - 1.0, &s->out->below);
    for (int n = (int)found + 1; n <= NXW_BOTTLES_MOST && s->ended == NXW_OK; n++) {
        struct nxw_size_point more;
        try_point(s, &other, n, &more);
        if (more.ran)
            note_above(s, &more);
    }
}

/* No more of anything that is counted, and less of something; bubbles cannot be compared so. */
static bool is_less(const struct nxw_free *free, const struct nxw_arrangement *a,
                    const struct nxw_arrangement *b)
{
    const double pairs[][2] = {{(double)a->bottles, (double)b->bottles},
                               {nxw_lead_shown(free, a), nxw_lead_shown(free, b)},
                               {a->liquid_m3, b->liquid_m3},
                               {a->peroxide_kg, b->peroxide_kg},
                               {a->ice_kg, b->ice_kg}};
    bool less = false;
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++) {
        if (!(pairs[i][0] <= pairs[i][1] * (1.0 + 1e-6)))
            return false;
        less = less || pairs[i][0] < pairs[i][1] * (1.0 - 1e-6);
    }
    return less;
}

/* The case as it is, where it meets and the search has found nothing, or nothing as small. */
static void take_case(struct search *s, const struct nxw_size_point *own)
{
    struct nxw_size_result *r = s->out;
    const struct nxw_free *free = s->base.free;
    if (!own->meets || (r->found && !is_less(free, &own->arrangement, &r->best.arrangement)))
        return;
    r->found = true;
    r->best = *own;
    r->range_decides = false;
    if (r->below.ran && !is_less(free, &r->below.arrangement, &own->arrangement))
        r->below = (struct nxw_size_point){0};
}

static enum nxw_status search(struct search *s, struct nxw_diagnosis *diagnosis)
{
    const struct nxw_case *in = s->base.in;
    const struct nxw_free *may = s->base.free;
    struct nxw_size_point own = {.arrangement = {.as_it_is = true}};
    if (nxw_first_bottle(in) == in->n_stages) {
        diagnosis->status = NXW_ERROR_CASE;
        (void)snprintf(diagnosis->path, sizeof diagnosis->path, "train");
        (void)snprintf(diagnosis->text, sizeof diagnosis->text, "there is no bottle to size");
        return NXW_ERROR_CASE;
    }
    const enum nxw_status status = nxw_estimate(in, s->observer, s->user, &s->result);
    if (status < 0) {
        *diagnosis = s->result.diagnosis;
        return status;
    }
    s->out->peroxide_kg =
        may->peroxide_kg > 0.0 ? may->peroxide_kg : nxw_peroxide_for_gas_kg(&s->result);
    s->base = nxw_size_base_of(in, may, s->out->peroxide_kg);
    (void)nxw_arrange(&s->base, &own.arrangement, &s->c);
    take_run(s, status, &own);
    keep_closest(s, &own);
    const size_t kinds = nxw_kind_count(&s->base);
    for (size_t i = 0; i < kinds && !s->out->found && s->ended == NXW_OK; i++) {
        struct nxw_arrangement kind;
        if (nxw_kind(&s->base, i, &kind))
            try_kind(s, &kind);
    }
    if (s->out->found)
        check_counts(s);
    if (s->ended == NXW_OK)
        take_case(s, &own);
    return s->ended;
}

void nxw_size_case(const struct nxw_case *in, const struct nxw_free *free,
                   const struct nxw_size_result *found, struct nxw_case *out)
{
    struct nxw_arrangement a = found->best.arrangement;
    const struct nxw_size_base base = nxw_size_base_of(in, free, found->peroxide_kg);
    (void)nxw_arrange(&base, &a, out);
}

enum nxw_status nxw_size_search(const struct nxw_case *in, const struct nxw_targets *targets,
                                const struct nxw_free *may, nxw_observer *observer, void *user,
                                struct nxw_diagnosis *diagnosis, struct nxw_size_result *out)
{
    *out = (struct nxw_size_result){0};
    *diagnosis = (struct nxw_diagnosis){0};
    struct search *s = calloc(1, sizeof *s);
    if (s == NULL)
        return NXW_ERROR_MEMORY;
    s->base.in = in;
    s->base.free = may;
    s->targets = targets;
    s->observer = observer;
    s->user = user;
    s->out = out;
    const enum nxw_status status = search(s, diagnosis);
    free(s);
    return status;
}
