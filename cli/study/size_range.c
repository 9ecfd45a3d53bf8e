#include "study/size_range.h"

#include <math.h>
#include <stdlib.h>

#include "case/gravity.h"
#include "study/uncertainty.h"
#include "study/what_if.h"

/* The answer a target is about. */
static const enum nxw_answer BEHIND[NXW_TARGET_COUNT] = {
    [NXW_TARGET_CAPTURE] = NXW_ANSWER_KEPT,
    [NXW_TARGET_VENT] = NXW_ANSWER_VENT,
    [NXW_TARGET_STRENGTH] = NXW_ANSWER_STRENGTH,
    [NXW_TARGET_PEAK_TEMPERATURE] = NXW_ANSWER_PEAK,
};

struct room {
    struct nxw_case c;
    struct nxw_result result;
    struct nxw_uncertainty u;
    bool over_8_h; /* the vent counts by all that escapes, not by its peak */
};

static enum nxw_answer answer_behind(const struct room *room, enum nxw_target_kind binding)
{
    const bool all_day = binding == NXW_TARGET_VENT && room->over_8_h;
    return all_day ? NXW_ANSWER_ESCAPED : BEHIND[binding];
}

/* What each factor does to the binding target in the arrangement that was found: up is worse. */
static double worsening(const struct room *room, enum nxw_target_kind binding, size_t factor)
{
    const double change = room->u.factors[factor].change[answer_behind(room, binding)];
    return nxw_more_is_worse(BEHIND[binding]) ? change : -change;
}

/* What moves to one side only counts on the end that this leads to. */
static bool counts(const struct room *room, enum nxw_target_kind binding, size_t factor, bool worse)
{
    const double w = worsening(room, binding, factor);
    return w != 0.0 &&
           (!nxw_factor_reaches_one_side(&room->u.factors[factor]) || (w > 0.0) == worse);
}

/*
 * Of the points equally likely, the worst lies along what each factor does. reach: in standard
 * errors of the whole; below 0: the best. all: each factor by reach, however little it does.
 */
static void lie(const struct nxw_case *in, const struct room *room, enum nxw_target_kind binding,
                double reach, bool all, struct nxw_case *out)
{
    double square = 0.0;
    for (size_t i = 0; i < room->u.n_factors; i++)
        if (counts(room, binding, i, reach > 0.0))
            square += pow(worsening(room, binding, i), 2.0);
    *out = *in;
    for (size_t i = 0; i < room->u.n_factors; i++) {
        const double w = worsening(room, binding, i);
        if (counts(room, binding, i, reach > 0.0))
            nxw_factor_move(&room->u.factors[i],
                            all ? copysign(reach, w) : reach * w / sqrt(square), out);
    }
}

static enum nxw_status search_all(const struct nxw_case *in, const struct nxw_targets *targets,
                                  const struct nxw_free *may, enum nxw_target_kind binding,
                                  struct room *room, nxw_observer *observer, void *user,
                                  struct nxw_size_range *out)
{
    const struct {
        double reach;
        bool all;
        struct nxw_size_result *result;
    } ends[] = {{-NXW_OF_100_95, false, &out->good},
                {NXW_OF_100_95, false, &out->bad},
                {2.0, true, &out->worst}};
    for (size_t i = 0; i < sizeof ends / sizeof ends[0]; i++) {
        struct nxw_diagnosis diagnosis;
        lie(in, room, binding, ends[i].reach, ends[i].all, &room->c);
        const enum nxw_status status =
            nxw_size_search(&room->c, targets, may, observer, user, &diagnosis, ends[i].result);
        if (nxw_ends_all(status)) /* one that gives no result has found nothing */
            return status;
    }
    out->ran = true;
    return NXW_OK;
}

enum nxw_status nxw_size_range_run(const struct nxw_case *in, const struct nxw_targets *targets,
                                   const struct nxw_free *may, const struct nxw_size_result *found,
                                   const size_t *fixed, size_t n_fixed, unsigned threads,
                                   nxw_observer *observer, void *user, bool (*stop)(void),
                                   struct nxw_size_range *out)
{
    *out = (struct nxw_size_range){0};
    struct room *room = calloc(1, sizeof *room);
    if (room == NULL)
        return NXW_ERROR_MEMORY;
    struct nxw_free same = *may;
    same.peroxide_kg = found->peroxide_kg; /* it is weighed out before anyone knows better */
    room->over_8_h = targets->vent.in_hood && targets->vent.mean == NXW_HOOD_8_H;
    nxw_size_case(in, may, found, &room->c);
    enum nxw_status status = nxw_estimate(&room->c, observer, user, &room->result);
    if (status >= 0)
        status = nxw_uncertainty_run(&room->c, &room->result, fixed, n_fixed, false, threads, stop,
                                     NULL, &room->u);
    const enum nxw_target_kind binding =
        found->range_decides ? NXW_TARGET_PEAK_TEMPERATURE : found->best.binding;
    if (status >= 0 && room->u.ran)
        out->not_given = room->u.not_given[answer_behind(room, binding)];
    if (status >= 0 && room->u.ran && out->not_given == NULL)
        status = search_all(in, targets, &same, binding, room, observer, user, out);
    free(room);
    return status;
}
