/* What the remedies come to: the advice, by the aim, and whether its first is surely the first. */
#include <stdarg.h>
#include <string.h>

#include "base/text_layout.h"
#include "report/remedy_report.h"
#include "study/cost.h"
#include "words/headline.h"
#include "words/run_words.h"

enum { AMOUNT = NXW_AMOUNT_LENGTH, NAMES = 120 };

static void add(char out[NXW_REMEDY_ADVICE], const char *format, ...)
    __attribute__((format(printf, 2, 3)));

static void add(char out[NXW_REMEDY_ADVICE], const char *format, ...)
{
    const size_t used = strlen(out);
    va_list list;
    va_start(list, format);
    (void)vsnprintf(out + used, NXW_REMEDY_ADVICE - used, format, list);
    va_end(list);
}

/* What it does, or what several do together; what the aim counts stands first. */
static void add_effect(char out[NXW_REMEDY_ADVICE], const struct nxw_remedies *all,
                       enum nxw_aim aim, const struct nxw_remedy_run *run)
{
    const bool one = run->n == 1;
    char gain[NXW_REMEDY_GAIN], before[AMOUNT], after[AMOUNT];
    nxw_remedy_gain_text(all, run->gain_mol, gain);
    nxw_remedy_escape_text(all, 0.0, before);
    nxw_remedy_escape_text(all, run->drop_mol, after);
    if (aim == NXW_AIM_ACID)
        add(out, "%s %s and %s the escape from %s to %s of the nitrogen fed",
            one ? "it brings" : "they bring", gain, one ? "takes" : "take", before, after);
    else
        add(out, "%s the escape from %s to %s of the nitrogen fed, with %s",
            one ? "it takes" : "they take", before, after, gain);
}

/* Nothing is advised without what it brings that could hurt. */
static void add_warnings(char out[NXW_REMEDY_ADVICE], const struct nxw_remedies *all,
                         const struct nxw_remedy_run *run)
{
    const char *lead = " Mind:";
    if (nxw_remedy_raises_risk(all, run)) {
        char risk[NXW_REMEDY_RISK];
        nxw_remedy_risk_text(all, run, risk);
        add(out, "%s %s", lead, risk);
        lead = "";
    }
    for (size_t i = 0; i < NXW_WARNING_COUNT; i++)
        if ((run->new_warnings & (unsigned)nxw_warning_words[i].bit) != 0) {
            add(out, "%s %s", lead, nxw_warning_words[i].word.text);
            lead = "";
        }
}

/* "First of all: peroxide (what is done): the escape from 25 % to 16 % ..." without an end. */
static void add_run(char out[NXW_REMEDY_ADVICE], const struct nxw_remedies *all, enum nxw_aim aim,
                    const char *lead, const struct nxw_remedy_run *run)
{
    char names[NAMES];
    nxw_remedy_names(run, names, sizeof names);
    add(out, "%s %s", lead, names);
    if (run->n == 1)
        add(out, " (%s)", run->detail);
    add(out, "; ");
    add_effect(out, all, aim, run);
}

/* How many were run and can be ranked, or cannot. */
static size_t count(const struct nxw_remedies *all, bool ranked)
{
    size_t n = 0;
    for (size_t i = 0; i < NXW_REMEDY_COUNT; i++)
        n += all->alone[i].ran && nxw_remedy_is_ranked(&all->alone[i]) == ranked;
    return n;
}

/* Did one do enough that cannot be advised for what else it does? */
static bool any_left_out(const struct nxw_remedies *all)
{
    for (size_t i = 0; i < NXW_REMEDY_COUNT; i++) {
        const struct nxw_remedy_run *r = &all->alone[i];
        if (r->ran && !nxw_remedy_may_be_advised(all, r) &&
            nxw_remedy_toward_mol(all, r) >= nxw_remedy_little_mol(all, all->aim))
            return true;
    }
    return false;
}

static void nothing_is_worth_it(const struct nxw_remedies *all, const struct nxw_remedy_run *best,
                                char out[NXW_REMEDY_ADVICE])
{
    const bool acid = all->aim == NXW_AIM_ACID;
    const enum nxw_aim other = acid ? NXW_AIM_CLEAN_AIR : NXW_AIM_ACID;
    const struct nxw_remedy_run *by_other = nxw_remedy_best_for(all, other);
    char before[AMOUNT], mass[AMOUNT];
    nxw_remedy_escape_text(all, 0.0, before);
    nxw_mass_text(all->base.escaped_mol * NXW_MOLAR_MASS_NO2_KG_MOL, 2, mass);
    const char *advised = any_left_out(all) ? " that can be advised" : "";
    if (acid)
        add(out,
            "Nothing tried is worth it for acid: without more escape none%s brings another %.0f %% "
            "of what is kept.",
            advised, NXW_REMEDY_LITTLE_GAIN * 100.0);
    else
        add(out,
            "Nothing tried is worth it for clean air: none%s takes %.0f %% of the nitrogen fed "
            "out of the escape, which is %s as it is (%s counted as NO2: the vent belongs under a "
            "hood that draws).",
            advised, NXW_REMEDY_LITTLE_DROP * 100.0, before, mass);
    if (best != NULL && nxw_remedy_helps(all, best)) {
        add_run(out, all, all->aim, " The most comes of", best);
        add(out, ".");
        add_warnings(out, all, best);
    }
    if (by_other != NULL) {
        add_run(out, all, other, acid ? " For clean air:" : " For acid:", by_other);
        add(out, ".");
        add_warnings(out, all, by_other);
    }
}

/* What an addition must bring over what is had already, to be named. */
static bool adds(const struct nxw_remedies *all, const struct nxw_remedy_run *more, double had_mol)
{
    return more->n > 0 && nxw_remedy_is_worth_it(all, more) &&
           nxw_remedy_toward_mol(all, more) - had_mol >= nxw_remedy_little_mol(all, all->aim);
}

void nxw_remedies_advice(const struct nxw_remedies *all, char out[NXW_REMEDY_ADVICE])
{
    const struct nxw_remedy_run *best = nxw_remedy_first(all);
    const double best_mol = best != NULL ? nxw_remedy_toward_mol(all, best) : 0.0;
    const double pair_mol = all->pair.n > 0 ? nxw_remedy_toward_mol(all, &all->pair) : 0.0;
    const struct nxw_remedy_run *more = adds(all, &all->triple, pair_mol) ? &all->triple
                                        : adds(all, &all->pair, best_mol) ? &all->pair
                                                                          : NULL;
    const bool alone = best != NULL && nxw_remedy_helps(all, best);
    out[0] = '\0';
    if (more == NULL && count(all, true) == 0) {
        add(out, count(all, false) == 0 ? "No remedy could be run."
                                        : "All that was tried leaves the range of the model: none "
                                          "of it can be advised.");
        return;
    }
    if (more == NULL && (!alone || !nxw_remedy_is_worth_it(all, best))) {
        nothing_is_worth_it(all, best, out);
        return;
    }
    if (alone) {
        add_run(out, all, all->aim, "First of all:", best);
        if (more == NULL && all->aim == NXW_AIM_ACID)
            add(out, "; nothing tried with it brings another %.0f %%",
                NXW_REMEDY_LITTLE_GAIN * 100.0);
        else if (more == NULL)
            add(out, "; nothing tried with it takes away another %.0f %%",
                NXW_REMEDY_LITTLE_DROP * 100.0);
        add(out, ".");
        add_warnings(out, all, best);
    }
    if (more != NULL) {
        add_run(out, all, all->aim, alone ? " Best together:" : "Only together:", more);
        add(out, ".");
        add_warnings(out, all, more);
    }
}

void nxw_remedies_lead(const struct nxw_remedies *all, char out[NXW_REMEDY_ADVICE])
{
    char first[NAMES], next[NAMES], low[AMOUNT], high[AMOUNT];
    const bool by_gain = all->aim == NXW_AIM_ACID;
    const double g_mol = 1e3 * (by_gain ? NXW_MOLAR_MASS_HNO3_KG_MOL : NXW_MOLAR_MASS_NO2_KG_MOL);
    out[0] = '\0';
    if (all->next == NULL)
        return;
    nxw_remedy_names(nxw_remedy_first(all), first, sizeof first);
    nxw_remedy_names(all->next, next, sizeof next);
    nxw_number_text(all->lead_low_mol * g_mol, 2, low);
    nxw_number_text(all->lead_high_mol * g_mol, 2, high);
    const char *of = by_gain ? "g HNO3 gained" : "g NO2 held back";
    if (all->lead_not_given != NULL)
        (void)snprintf(out, NXW_REMEDY_ADVICE,
                       "Next to it comes %s; by how much %s leads is not given: %s.", next, first,
                       all->lead_not_given);
    else if (all->lead_low_mol > 0.0)
        (void)snprintf(out, NXW_REMEDY_ADVICE,
                       "Next to it comes %s; %s leads by %s to %s %s in nineteen of twenty such "
                       "bottles.",
                       next, first, low, high, of);
    else
        (void)snprintf(out, NXW_REMEDY_ADVICE,
                       "Inside what is unsure, %s and %s come out equal (%s to %s %s between "
                       "them): take the one that is easier for you.",
                       first, next, low, high, of);
}
