#include "size_search.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "progress.h"
#include "report_words.h"
#include "what_if.h"

#define FILL 0.6               /* liquid in the glass, as the default bottle */
#define OTHERS_PEROXIDE 0.1    /* in each further bottle, of what the first one is charged with */
#define TEMPERATURE_SCALE_K 20 /* so that a miss by it weighs like a miss of the others by all */

enum { BOTTLES_MOST = 3, STEPS = 7 }; /* 25 mL doubled six times: 1600 mL */

struct search {
    const struct nxw_case *in;
    const struct nxw_targets *targets;
    nxw_observer *observer;
    void *user;
    struct nxw_size_result *out;
    size_t first; /* the bottle the others are like */
    double peroxide_kg;
    enum nxw_status ended; /* cancelled, or out of memory; else NXW_OK */
    struct nxw_case c;
    struct nxw_result result;
};

/* ------------------------------------------------------------------------------ one case */

static struct nxw_stage bottle(const struct search *s, struct nxw_arrangement *a, size_t number)
{
    struct nxw_stage b = s->in->stages[s->first];
    const double scale = cbrt(a->liquid_m3 / FILL / b.volume_m3);
    b.volume_m3 = a->bottle_m3 = a->liquid_m3 / FILL;
    b.inner_diameter_m *= scale;
    b.depth_m *= scale; /* NAN stays: from the level */
    b.liquid_m3 = a->liquid_m3;
    b.peroxide_mass_fraction = 0.0;
    if (number > 0)
        b.bleed = (struct nxw_carrier){.gas = NXW_GAS_NONE};
    if (a->peroxide)
        a->peroxide_kg += nxw_charge_peroxide(&b, number == 0 ? s->peroxide_kg
                                                              : OTHERS_PEROXIDE * s->peroxide_kg);
    if (a->ice) {
        nxw_swap_bath(s->in, &b, true);
        a->ice_kg += b.ice_kg;
    } else if (b.bath == NXW_BATH_ICE_WATER)
        nxw_swap_bath(s->in, &b, false);
    return b;
}

/* Empty stages stay where they are; the bottles stand where the first one stood. false: no room. */
static bool arrange(struct search *s, struct nxw_arrangement *a)
{
    size_t n = 0;
    s->c = *s->in;
    a->peroxide_kg = a->ice_kg = 0.0;
    for (size_t i = 0; i < s->in->n_stages; i++) {
        const bool is_first = i == s->first;
        if (!is_first && s->in->stages[i].kind == NXW_STAGE_BOTTLE)
            continue;
        const size_t more = is_first ? a->bottles : 1;
        if (n + more > NXW_STAGES_MAX)
            return false;
        for (size_t k = 0; k < more; k++)
            s->c.stages[n++] = is_first ? bottle(s, a, k) : s->in->stages[i];
    }
    s->c.n_stages = n;
    return true;
}

static void take_values(const struct search *s, struct nxw_size_point *p)
{
    const struct nxw_result *r = &s->result;
    double hottest_K = 0.0;
    for (size_t i = 0; i < r->n_stages; i++)
        if (s->c.stages[i].kind == NXW_STAGE_BOTTLE)
            hottest_K = fmax(hottest_K, r->stages[i].peak_temperature_K);
    p->got[NXW_TARGET_CAPTURE] = r->kept_mol / r->fed_mol;
    p->got[NXW_TARGET_VENT] = r->vent_peak_NO_kg_s + r->vent_peak_NO2_kg_s;
    p->got[NXW_TARGET_STRENGTH] = r->stages[nxw_first_bottle(&s->c)].acid_mass_fraction;
    p->got[NXW_TARGET_PEAK_TEMPERATURE] = hottest_K;
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
static void try_point(struct search *s, const struct nxw_arrangement *kind, double liquid_m3,
                      struct nxw_size_point *p)
{
    *p = (struct nxw_size_point){.arrangement = *kind};
    p->arrangement.liquid_m3 = liquid_m3;
    if (s->ended != NXW_OK || !arrange(s, &p->arrangement))
        return;
    s->out->runs++;
    const enum nxw_status status = nxw_estimate(&s->c, s->observer, s->user, &s->result);
    nxw_progress_step();
    if (nxw_ends_all(status))
        s->ended = status;
    p->ran = status == NXW_OK;
    if (!p->ran) {
        s->out->failed_runs++;
        return;
    }
    take_values(s, p);
    judge(s->targets, p);
    for (size_t i = 0; i < NXW_WARNING_COUNT; i++)
        if (nxw_warning_words[i].outside && (p->warnings & (unsigned)nxw_warning_words[i].bit) != 0)
            p->outside = true;
    p->meets = p->meets && !p->outside;
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

/* Between a volume that misses and one that meets: both ends are runs, not guesses. */
static void narrow(struct search *s, struct nxw_size_point *low, struct nxw_size_point *high)
{
    while (high->arrangement.liquid_m3 > (1.0 + NXW_SIZE_WIDTH) * low->arrangement.liquid_m3) {
        struct nxw_size_point middle;
        try_point(s, &low->arrangement,
                  sqrt(low->arrangement.liquid_m3 * high->arrangement.liquid_m3), &middle);
        if (s->ended != NXW_OK)
            return;
        *(middle.meets ? high : low) = middle;
    }
}

/* One kind of arrangement over all volumes. */
static void try_kind(struct search *s, const struct nxw_arrangement *kind)
{
    struct nxw_size_point points[STEPS];
    size_t first = STEPS;
    s->out->arrangements++;
    for (size_t i = 0; i < STEPS && s->ended == NXW_OK; i++) {
        try_point(s, kind, NXW_SIZE_LEAST_M3 * (double)(1u << i), &points[i]);
        if (s->ended != NXW_OK)
            return;
        keep_closest(s, &points[i]);
        if (points[i].meets && first == STEPS)
            first = i;
        if (first < i && !points[i].meets && !s->out->fails_above) {
            s->out->fails_above = true;
            s->out->above = points[i];
        }
    }
    if (first == STEPS || s->ended != NXW_OK)
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

static enum nxw_status search(struct search *s, struct nxw_diagnosis *diagnosis)
{
    s->first = nxw_first_bottle(s->in);
    if (s->first == s->in->n_stages) {
        diagnosis->status = NXW_ERROR_CASE;
        (void)snprintf(diagnosis->path, sizeof diagnosis->path, "train");
        (void)snprintf(diagnosis->text, sizeof diagnosis->text, "there is no bottle to size");
        return NXW_ERROR_CASE;
    }
    const enum nxw_status status = nxw_estimate(s->in, s->observer, s->user, &s->result);
    s->out->runs++;
    if (status < 0) {
        *diagnosis = s->result.diagnosis;
        return status;
    }
    s->peroxide_kg = s->out->peroxide_kg = nxw_peroxide_for_gas_kg(&s->result);
    for (size_t bottles = 1; bottles <= BOTTLES_MOST; bottles++)
        for (unsigned extra = 0; extra < 4 && !s->out->found && s->ended == NXW_OK; extra++) {
            const struct nxw_arrangement kind = {
                .bottles = bottles, .peroxide = extra >= 2, .ice = extra % 2 == 1};
            try_kind(s, &kind);
        }
    return s->ended;
}

enum nxw_status nxw_size_case(const struct nxw_case *in, const struct nxw_size_result *found,
                              struct nxw_case *out)
{
    struct search *s = calloc(1, sizeof *s);
    if (s == NULL)
        return NXW_ERROR_MEMORY;
    struct nxw_arrangement a = found->best.arrangement;
    s->in = in;
    s->first = nxw_first_bottle(in);
    s->peroxide_kg = found->peroxide_kg;
    (void)arrange(s, &a);
    *out = s->c;
    free(s);
    return NXW_OK;
}

enum nxw_status nxw_size_search(const struct nxw_case *in, const struct nxw_targets *targets,
                                nxw_observer *observer, void *user, struct nxw_diagnosis *diagnosis,
                                struct nxw_size_result *out)
{
    *out = (struct nxw_size_result){0};
    *diagnosis = (struct nxw_diagnosis){0};
    struct search *s = calloc(1, sizeof *s);
    if (s == NULL)
        return NXW_ERROR_MEMORY;
    s->in = in;
    s->targets = targets;
    s->observer = observer;
    s->user = user;
    s->out = out;
    const enum nxw_status status = search(s, diagnosis);
    free(s);
    return status;
}
