/* The runs of the remedies: alone, and the best together. */
#include <math.h>
#include <stdlib.h>

#include "base/progress.h"
#include "study/cost.h"
#include "study/remedy.h"
#include "study/what_if.h"

static double nitrous_acid_mol(const struct nxw_result *r)
{
    double sum = 0.0;
    for (size_t i = 0; i < r->n_stages; i++)
        sum += r->stages[i].nitrous_acid_mol;
    return sum;
}

struct trial {
    const struct nxw_case *in;
    const struct nxw_case_notes *notes;
    nxw_observer *observer;
    void *user;
    struct nxw_remedies *out;
    struct nxw_case c;
    struct nxw_result result;
};

/* A run that stops before its time has no figures to compare. */
static bool in_range(enum nxw_status status, unsigned new_warnings)
{
    return status == NXW_OK && (new_warnings & NXW_WARN_OUTSIDE) == 0;
}

static void take_figures(struct trial *t, enum nxw_status status, struct nxw_remedy_run *run)
{
    const struct nxw_result *base = &t->out->base;
    run->gain_mol = t->result.kept_mol - base->kept_mol;
    run->drop_mol = base->escaped_mol - t->result.escaped_mol;
    run->nitrous_acid_mol = nitrous_acid_mol(&t->result);
    run->peak_temperature_K = nxw_hottest_K(&t->c, &t->result);
    run->peroxide_kg = nxw_case_peroxide_kg(&t->c) - nxw_case_peroxide_kg(t->in);
    run->ice_kg = nxw_case_ice_kg(&t->c) - nxw_case_ice_kg(t->in);
    run->new_warnings = t->result.warnings & ~base->warnings;
    run->in_range = in_range(status, run->new_warnings);
    run->cost = nxw_charge_cost(t->notes, t->in, &t->c);
    run->worth = run->gain_mol * NXW_MOLAR_MASS_HNO3_KG_MOL * nxw_bought_acid_cost_kg(t->notes);
    run->at_risk_m3 = t->result.glass.liquid_at_risk_m3;
    run->gauge_Pa = t->result.glass.gauge_peak_Pa;
}

/* Not NXW_OK: cancelled, or out of memory. */
static enum nxw_status try_run(struct trial *t, struct nxw_remedy_run *run)
{
    t->c = *t->in;
    run->ran = false;
    nxw_progress_step();
    for (size_t i = 0; i < run->n; i++)
        if (!nxw_remedies[run->index[i]].apply(t->in, &t->out->base, &t->c, run->detail))
            return NXW_OK;
    t->out->runs++;
    const enum nxw_status status = nxw_estimate(&t->c, t->observer, t->user, &t->result);
    if (nxw_ends_all(status))
        return status;
    run->ran = status >= 0;
    if (run->ran)
        take_figures(t, status, run);
    else
        (void)snprintf(run->detail, sizeof run->detail, "could not be run: %.120s",
                       status < 0 && t->result.diagnosis.text[0] != '\0'
                           ? t->result.diagnosis.text
                           : nxw_status_text(status < 0 ? status : NXW_ERROR_SOLVER));
    return NXW_OK;
}

/* Half as long and longer: how much of it comes when. */
static enum nxw_status try_purges(struct trial *t)
{
    static const double durations_s[NXW_PURGES] = {300.0, 2700.0};
    char detail[NXW_REMEDY_DETAIL];
    for (size_t i = 0; i < NXW_PURGES; i++) {
        struct nxw_purge *p = &t->out->purges[i];
        t->c = *t->in;
        p->duration_s = durations_s[i];
        if (!(t->out->base.fed_mol > 0.0) || !nxw_purge_apply(&t->c, p->duration_s, detail))
            continue;
        t->out->runs++;
        const enum nxw_status status = nxw_estimate(&t->c, t->observer, t->user, &t->result);
        if (nxw_ends_all(status))
            return status;
        p->ran = status >= 0;
        p->gain_mol = t->result.kept_mol - t->out->base.kept_mol;
        p->drop_mol = t->out->base.escaped_mol - t->result.escaped_mol;
    }
    return NXW_OK;
}

enum { HELPFUL = 5, SETS = 10 }; /* ten pairs and ten triples of five */

static bool exclude_each_other(const struct nxw_remedy_run *run)
{
    unsigned groups = 0;
    for (size_t i = 0; i < run->n; i++) {
        if ((groups & nxw_remedies[run->index[i]].group) != 0)
            return true;
        groups |= nxw_remedies[run->index[i]].group;
    }
    return false;
}

/* The members of a set given by bits; false: not n of them. */
static bool take_set(unsigned set, const size_t *helpful, size_t n_helpful, size_t n,
                     struct nxw_remedy_run *run)
{
    *run = (struct nxw_remedy_run){0};
    for (size_t i = 0; i < n_helpful; i++) {
        if ((set >> i & 1u) == 0)
            continue;
        if (run->n == n)
            return false;
        run->index[run->n++] = helpful[i];
    }
    return run->n == n;
}

/* Every set of n among the most helpful; keep the first that helps and may be advised. */
static enum nxw_status try_sets(struct trial *t, const size_t *helpful, size_t n_helpful, size_t n,
                                struct nxw_remedy_run *best)
{
    struct nxw_remedy_run sets[SETS];
    size_t n_sets = 0;
    for (unsigned set = 0; set < 1u << n_helpful; set++) {
        struct nxw_remedy_run run;
        if (!take_set(set, helpful, n_helpful, n, &run) || exclude_each_other(&run))
            continue;
        nxw_progress_expect(1);
        const enum nxw_status status = try_run(t, &run);
        if (status != NXW_OK)
            return status;
        sets[n_sets++] = run;
    }
    nxw_remedies_rank(t->out, sets, n_sets);
    for (size_t i = 0; i < n_sets && best->n == 0; i++)
        if (nxw_remedy_may_be_advised(t->out, &sets[i]) && nxw_remedy_helps(t->out, &sets[i]))
            *best = sets[i];
    return NXW_OK;
}

static int rising(const void *left, const void *right)
{
    const size_t a = *(const size_t *)left, b = *(const size_t *)right;
    return a < b ? -1 : a > b;
}

static enum nxw_status run_all(struct trial *t)
{
    struct nxw_remedies *out = t->out;
    const enum nxw_status status = nxw_estimate(t->in, t->observer, t->user, &out->base);
    out->runs = 1;
    if (status < 0)
        return status;
    /* the sets come on top when they are known */
    nxw_progress_expect(NXW_REMEDY_COUNT);
    out->base_nitrous_acid_mol = nitrous_acid_mol(&out->base);
    nxw_peroxide_range_kg(t->in, &out->base, &out->peroxide_least_kg, &out->peroxide_most_kg);
    out->base_peak_temperature_K = nxw_hottest_K(t->in, &out->base);
    for (size_t i = 0; i < NXW_REMEDY_COUNT; i++) {
        out->alone[i] = (struct nxw_remedy_run){.n = 1, .index = {i}};
        if (!(out->base.fed_mol > 0.0))
            (void)snprintf(out->alone[i].detail, NXW_REMEDY_DETAIL, "no nitrogen oxides are fed");
        else {
            const enum nxw_status one = try_run(t, &out->alone[i]);
            if (one != NXW_OK)
                return one;
        }
    }
    enum nxw_status ended = try_purges(t);
    if (ended != NXW_OK)
        return ended;
    nxw_remedies_rank(out, out->alone, NXW_REMEDY_COUNT);
    size_t helpful[HELPFUL], n = 0;
    for (size_t i = 0; i < NXW_REMEDY_COUNT && n < HELPFUL; i++)
        if (nxw_remedy_helps(out, &out->alone[i]))
            helpful[n++] = out->alone[i].index[0];
    out->n_helpful = n;
    qsort(helpful, n, sizeof helpful[0], rising);
    ended = try_sets(t, helpful, n, 2, &out->pair);
    if (ended == NXW_OK)
        ended = try_sets(t, helpful, n, 3, &out->triple);
    return ended == NXW_OK ? status : ended;
}

enum nxw_status nxw_remedies_run(const struct nxw_case *in, const struct nxw_case_notes *notes,
                                 nxw_observer *observer, void *user, struct nxw_remedies *out)
{
    *out = (struct nxw_remedies){.aim = notes->aim};
    struct trial *t = calloc(1, sizeof *t);
    if (t == NULL)
        return NXW_ERROR_MEMORY;
    t->in = in;
    t->notes = notes;
    t->observer = observer;
    t->user = user;
    t->out = out;
    const enum nxw_status status = run_all(t);
    free(t);
    return status;
}

void nxw_remedy_names(const struct nxw_remedy_run *run, char *out, size_t size)
{
    size_t used = 0;
    out[0] = '\0';
    for (size_t i = 0; i < run->n && used < size; i++) {
        const int n = snprintf(out + used, size - used, "%s%s", i > 0 ? " + " : "",
                               nxw_remedies[run->index[i]].name);
        used += n > 0 ? (size_t)n : 0;
    }
}

double nxw_remedy_net(const struct nxw_remedy_run *run)
{
    return isnan(run->worth) && isnan(run->cost)
               ? (double)NAN
               : (isnan(run->worth) ? 0.0 : run->worth) - (isnan(run->cost) ? 0.0 : run->cost);
}
