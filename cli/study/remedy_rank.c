/* Which remedy comes before which, which is the first, and when none is worth it. */
#include <math.h>

#include "study/remedy.h"
#include "study/what_if.h"

/* ------------------------------------------------------------------------ of one remedy */

bool nxw_remedy_is_ranked(const struct nxw_remedy_run *run) { return run->ran && run->in_range; }

bool nxw_remedy_raises_escape(const struct nxw_remedies *all, const struct nxw_remedy_run *run)
{
    const double before_mol = all->base.escaped_mol;
    return run->ran && nxw_more_escapes(before_mol, before_mol - run->drop_mol, all->base.fed_mol);
}

bool nxw_remedy_raises_risk(const struct nxw_remedies *all, const struct nxw_remedy_run *run)
{
    const double before_m3 = all->base.glass.liquid_at_risk_m3;
    return run->ran && run->at_risk_m3 > 1.02 * before_m3 + 1e-6; /* false for NAN */
}

bool nxw_remedy_raises_pressure(const struct nxw_remedies *all, const struct nxw_remedy_run *run)
{
    const double before_Pa = all->base.glass.gauge_peak_Pa;
    return run->ran && (all->base.warnings & NXW_WARN_BACK_PRESSURE) != 0 &&
           run->gauge_Pa > 1.1 * before_Pa;
}

static bool lowers_escape(const struct nxw_remedies *all, const struct nxw_remedy_run *run)
{
    const double before_mol = all->base.escaped_mol;
    return nxw_more_escapes(before_mol - run->drop_mol, before_mol, all->base.fed_mol);
}

static double toward_mol(enum nxw_aim aim, const struct nxw_remedy_run *run)
{
    return aim == NXW_AIM_ACID ? run->gain_mol : run->drop_mol;
}

double nxw_remedy_toward_mol(const struct nxw_remedies *all, const struct nxw_remedy_run *run)
{
    return toward_mol(all->aim, run);
}

double nxw_remedy_little_mol(const struct nxw_remedies *all, enum nxw_aim aim)
{
    return aim == NXW_AIM_ACID ? NXW_REMEDY_LITTLE_GAIN * all->base.kept_mol
                               : NXW_REMEDY_LITTLE_DROP * all->base.fed_mol;
}

bool nxw_remedy_helps(const struct nxw_remedies *all, const struct nxw_remedy_run *run)
{
    if (!run->ran)
        return false;
    return all->aim == NXW_AIM_ACID ? run->gain_mol > NXW_REMEDY_SAME * all->base.fed_mol
                                    : lowers_escape(all, run);
}

/* Anew with it: more pressure than the joints bear, or liquid drawn to the hot vessel; or yet more
 * pressure. */
static bool endangers(const struct nxw_remedies *all, const struct nxw_remedy_run *run)
{
    return (run->new_warnings & NXW_REMEDY_DANGERS) != 0 || nxw_remedy_raises_pressure(all, run);
}

bool nxw_remedy_may_be_advised(const struct nxw_remedies *all, const struct nxw_remedy_run *run)
{
    return nxw_remedy_is_ranked(run) && !nxw_remedy_raises_escape(all, run) && !endangers(all, run);
}

bool nxw_remedy_is_worth_it_for(const struct nxw_remedies *all, enum nxw_aim aim,
                                const struct nxw_remedy_run *run)
{
    return nxw_remedy_may_be_advised(all, run) &&
           toward_mol(aim, run) >= nxw_remedy_little_mol(all, aim);
}

bool nxw_remedy_is_worth_it(const struct nxw_remedies *all, const struct nxw_remedy_run *run)
{
    return nxw_remedy_is_worth_it_for(all, all->aim, run);
}

/* ------------------------------------------------------------------------------ ordering */

enum level { STANDING, BY_AIM, BY_OTHER_AIM, SIMPLER_FIRST, LEVELS };

/*
 * By clean air what lowers the escape comes before what raises it, whatever acid it gains. Where
 * it is not clearly lowered or raised, the amount is no ground to rank by: the acid decides.
 */
enum standing {
    CLEARLY_BETTER,
    HARDLY_LESS_ESCAPES,
    HARDLY_MORE_ESCAPES,
    CLEARLY_WORSE,
    OUTSIDE,
    NOT_RUN
};

static enum standing standing_of(const struct nxw_remedies *all, const struct nxw_remedy_run *run)
{
    if (!run->ran)
        return NOT_RUN;
    if (!run->in_range)
        return OUTSIDE;
    if (all->aim == NXW_AIM_ACID || nxw_remedy_helps(all, run))
        return CLEARLY_BETTER;
    if (nxw_remedy_raises_escape(all, run))
        return CLEARLY_WORSE;
    return run->drop_mol > 0.0 ? HARDLY_LESS_ESCAPES : HARDLY_MORE_ESCAPES;
}

static double set_number(const struct nxw_remedy_run *run)
{
    double number = 0.0;
    for (size_t i = 0; i < run->n; i++)
        number = number * NXW_REMEDY_COUNT + (double)run->index[i];
    return number;
}

/* Less is earlier. */
static double key(const struct nxw_remedies *all, const struct nxw_remedy_run *run,
                  enum level level)
{
    const bool acid_first = all->aim == NXW_AIM_ACID;
    if (level == STANDING)
        return (double)standing_of(all, run);
    if (level == SIMPLER_FIRST || !run->ran)
        return set_number(run);
    return (level == BY_AIM) == acid_first ? -run->gain_mol : -run->drop_mol;
}

/* Is the second so little behind the first that the difference does not count? */
static bool is_equal(const struct nxw_remedies *all, const struct nxw_remedy_run *first,
                     const struct nxw_remedy_run *second, enum level level)
{
    const double fed_mol = all->base.fed_mol, before_mol = all->base.escaped_mol;
    const double behind = key(all, second, level) - key(all, first, level);
    const enum standing standing = standing_of(all, first);
    if (level == STANDING || level == SIMPLER_FIRST || !first->ran)
        return !(behind > 0.0);
    if (level == BY_OTHER_AIM || behind <= NXW_REMEDY_SAME * fed_mol)
        return behind <= NXW_REMEDY_SAME * fed_mol;
    if (all->aim == NXW_AIM_ACID)
        return behind <= nxw_remedy_little_mol(all, NXW_AIM_ACID);
    if (standing == HARDLY_LESS_ESCAPES || standing == HARDLY_MORE_ESCAPES)
        return true;
    return behind <= nxw_remedy_little_mol(all, NXW_AIM_CLEAN_AIR) &&
           before_mol - second->drop_mol <= 2.0 * (before_mol - first->drop_mol);
}

static void sort_by(const struct nxw_remedies *all, struct nxw_remedy_run *runs, size_t n,
                    enum level level)
{
    for (size_t i = 1; i < n; i++) {
        const struct nxw_remedy_run moved = runs[i];
        size_t k = i;
        for (; k > 0 && key(all, &runs[k - 1], level) > key(all, &moved, level); k--)
            runs[k] = runs[k - 1];
        runs[k] = moved;
    }
}

void nxw_remedies_rank(const struct nxw_remedies *all, struct nxw_remedy_run *runs, size_t n)
{
    bool starts[NXW_REMEDY_RANKED_MAX + 1] = {
        true}; /* each a group of runs that are equal so far */
    starts[n] = true;
    for (int level = STANDING; level < LEVELS; level++)
        for (size_t i = 0, end; i < n; i = end) {
            end = i + 1;
            while (!starts[end])
                end++;
            sort_by(all, runs + i, end - i, (enum level)level);
            size_t first = i;
            for (size_t k = i + 1; k < end; k++)
                if (!is_equal(all, &runs[first], &runs[k], (enum level)level)) {
                    starts[k] = true;
                    first = k;
                }
        }
}

/* ------------------------------------------------------------------------------ the first */

const struct nxw_remedy_run *nxw_remedy_first(const struct nxw_remedies *all)
{
    for (size_t i = 0; i < NXW_REMEDY_COUNT; i++)
        if (nxw_remedy_may_be_advised(all, &all->alone[i]))
            return &all->alone[i];
    return NULL;
}

const struct nxw_remedy_run *nxw_remedy_next(const struct nxw_remedies *all)
{
    const struct nxw_remedy_run *first = nxw_remedy_first(all);
    if (first == NULL || !nxw_remedy_is_worth_it(all, first))
        return NULL;
    for (const struct nxw_remedy_run *r = first + 1; r < all->alone + NXW_REMEDY_COUNT; r++)
        if (nxw_remedy_is_worth_it(all, r))
            return r;
    return NULL;
}

const struct nxw_remedy_run *nxw_remedy_best_for(const struct nxw_remedies *all, enum nxw_aim aim)
{
    const struct nxw_remedy_run *best = NULL;
    for (size_t i = 0; i < NXW_REMEDY_COUNT; i++) {
        const struct nxw_remedy_run *r = &all->alone[i];
        if (nxw_remedy_is_worth_it_for(all, aim, r) &&
            (best == NULL || toward_mol(aim, r) > toward_mol(aim, best)))
            best = r;
    }
    return best;
}
