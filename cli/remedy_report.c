#include "remedy_report.h"

#include <math.h>

#include "cost.h"
#include "headline.h"
#include "report_words.h"
#include "text_layout.h"

enum { AMOUNT = NXW_AMOUNT_LENGTH, NAMES = 120 };

/* Part of what is kept; the solver's own error is a good deal smaller. */
#define NO_CHANGE 1e-4

/* ------------------------------------------------------------------------------- advice */

/* What an addition must bring over what stands already, to be named. */
static bool adds(const struct nxw_remedies *all, const struct nxw_remedy_run *more,
                 const struct nxw_remedy_run *less)
{
    return more->n > 0 && !nxw_remedy_raises_escape(all, more) &&
           more->gain_mol - less->gain_mol >= NXW_REMEDY_LITTLE_GAIN * all->base.kept_mol;
}

/* The remedy that gains most and lets no more escape; where gains are little, the one that holds
 * most back. */
static const struct nxw_remedy_run *best_alone(const struct nxw_remedies *all)
{
    const struct nxw_remedy_run *best = &all->alone[0];
    for (size_t i = 0; i < NXW_REMEDY_COUNT; i++)
        if (all->alone[i].ran && !nxw_remedy_raises_escape(all, &all->alone[i]) &&
            all->alone[i].gain_mol >= NXW_REMEDY_LITTLE_GAIN * all->base.kept_mol)
            return &all->alone[i];
    for (size_t i = 1; i < NXW_REMEDY_COUNT; i++)
        if (all->alone[i].ran && (!best->ran || all->alone[i].drop_mol > best->drop_mol))
            best = &all->alone[i];
    return best;
}

/* "+2.4 g HNO3 (+22 %)" */
static void gain_text(const struct nxw_remedies *all, double gain_mol, char out[3 * AMOUNT])
{
    char grams[AMOUNT], percent[AMOUNT];
    if (fabs(gain_mol) < NO_CHANGE * all->base.kept_mol) {
        (void)snprintf(out, 3 * AMOUNT, "no change in HNO3");
        return;
    }
    nxw_number_text(fabs(gain_mol) * NXW_MOLAR_MASS_HNO3_KG_MOL * 1e3, 3, grams);
    nxw_number_text(fabs(gain_mol) / all->base.kept_mol * 100.0, 2, percent);
    const char *sign = gain_mol < 0.0 ? "-" : "+";
    (void)snprintf(out, 3 * AMOUNT, "%s%s g HNO3 (%s%s %%)", sign, grams, sign, percent);
}

void nxw_remedy_escape_text(const struct nxw_remedies *all, double drop_mol, char *out)
{
    nxw_percent_text((all->base.escaped_mol - drop_mol) / all->base.fed_mol, 2, out);
}

void nxw_remedies_advice(const struct nxw_remedies *all, char out[NXW_REMEDY_ADVICE])
{
    const struct nxw_remedy_run *best = best_alone(all);
    const struct nxw_remedy_run *more = adds(all, &all->triple, &all->pair) ? &all->triple
                                        : adds(all, &all->pair, best)       ? &all->pair
                                                                            : NULL;
    char names[NAMES], gain[3 * AMOUNT], before[AMOUNT], after[AMOUNT];
    if (!best->ran) {
        (void)snprintf(out, NXW_REMEDY_ADVICE, "No remedy could be run.");
        return;
    }
    gain_text(all, best->gain_mol, gain);
    nxw_remedy_escape_text(all, 0.0, before);
    nxw_remedy_escape_text(all, best->drop_mol, after);
    nxw_remedy_names(best, names, sizeof names);
    if (!nxw_remedy_is_worth_it(all, best) && more == NULL) {
        (void)snprintf(out, NXW_REMEDY_ADVICE,
                       "Leave it as it is: the best of all, %s, brings %s and takes the escape "
                       "from %s to %s of the nitrogen fed.",
                       names, gain, before, after);
        return;
    }
    const int n = snprintf(out, NXW_REMEDY_ADVICE,
                           "First of all: %s (%s); it brings %s and takes the escape from %s to "
                           "%s of the nitrogen fed",
                           names, best->detail, gain, before, after);
    if (n < 0 || n >= NXW_REMEDY_ADVICE)
        return;
    char *rest = out + n;
    const size_t room = (size_t)(NXW_REMEDY_ADVICE - n);
    if (more == NULL) {
        (void)snprintf(rest, room, "; nothing tried with it brings another %.0f %%.",
                       NXW_REMEDY_LITTLE_GAIN * 100.0);
        return;
    }
    gain_text(all, more->gain_mol, gain);
    nxw_remedy_escape_text(all, more->drop_mol, after);
    nxw_remedy_names(more, names, sizeof names);
    (void)snprintf(rest, room, "; together, %s bring %s, the escape then being %s.", names, gain,
                   after);
}

/* ----------------------------------------------------------------------------- one run */

void nxw_remedy_print(FILE *out, const struct nxw_remedies *all, const char *currency,
                      const struct nxw_remedy_run *run)
{
    char names[NAMES], gain[3 * AMOUNT], escape[AMOUNT], nitrous[AMOUNT], hottest[AMOUNT];
    nxw_remedy_names(run, names, sizeof names);
    if (!run->ran) {
        nxw_wrapf(out, "  ", 6, "%s: %s", names, run->detail);
        return;
    }
    gain_text(all, run->gain_mol, gain);
    nxw_remedy_escape_text(all, run->drop_mol, escape);
    nxw_percent_text(run->nitrous_acid_mol / all->base.fed_mol, 2, nitrous);
    nxw_temperature_text(run->peak_temperature_K, hottest);
    (void)fprintf(out, "  %s: %s\n", names, gain);
    nxw_wrapf(out, "      ", 6, "escapes %s, nitrous acid left %s, hottest %s", escape, nitrous,
              hottest);
    if (nxw_remedy_raises_escape(all, run)) {
        char before[AMOUNT];
        nxw_remedy_escape_text(all, 0.0, before);
        nxw_wrapf(out, "      ! ", 8, "More escapes than as it is: %s instead of %s.", escape,
                  before);
    }
    if (run->n == 1)
        nxw_wrapf(out, "      ", 6, "%s", run->detail);
    if (isfinite(run->cost)) {
        char money[AMOUNT];
        nxw_number_text(run->cost, 2, money);
        nxw_wrapf(out, "      ", 6, "costs about %s %s (peroxide as 30 wt%% solution, ice)", money,
                  nxw_currency(currency));
    }
    for (size_t i = 0; i < NXW_WARNING_COUNT; i++)
        if ((run->new_warnings & (unsigned)nxw_warning_words[i].bit) != 0)
            nxw_wrapf(out, "      ! ", 8, "%s", nxw_warning_words[i].word.text);
}

static json_t *run_json(struct nxw_json *j, const struct nxw_remedies *all,
                        const struct nxw_remedy_run *run)
{
    json_t *o = nxw_json_object(j), *names = nxw_json_array(j);
    char warnings[256];
    for (size_t i = 0; i < run->n; i++)
        nxw_json_add(j, names, json_string(nxw_remedies[run->index[i]].name));
    nxw_json_put(j, o, "remedies", names);
    nxw_json_flag(j, o, "ran", run->ran);
    if (run->n == 1)
        nxw_json_text(j, o, "detail", run->detail);
    if (!run->ran)
        return o;
    nxw_json_number(j, o, "gain_mol", run->gain_mol);
    nxw_json_number(j, o, "gain_HNO3_g", run->gain_mol * NXW_MOLAR_MASS_HNO3_KG_MOL * 1e3);
    nxw_json_number(j, o, "gain_fraction", run->gain_mol / all->base.kept_mol);
    nxw_json_number(j, o, "escape_drop_mol", run->drop_mol);
    nxw_json_number(j, o, "escaped_mol", all->base.escaped_mol - run->drop_mol);
    nxw_json_number(j, o, "nitrous_acid_mol", run->nitrous_acid_mol);
    nxw_json_number(j, o, "peak_temperature_K", run->peak_temperature_K);
    nxw_json_number(j, o, "peroxide_kg", run->peroxide_kg);
    nxw_json_number(j, o, "ice_kg", run->ice_kg);
    nxw_json_number(j, o, "cost_currency", run->cost);
    nxw_warning_names(run->new_warnings, warnings, sizeof warnings);
    nxw_json_text(j, o, "new_warnings", warnings);
    nxw_json_flag(j, o, "worth_it", nxw_remedy_is_worth_it(all, run));
    nxw_json_flag(j, o, "raises_escape", nxw_remedy_raises_escape(all, run));
    return o;
}

void nxw_remedies_json(struct nxw_json *j, json_t *o, const struct nxw_remedies *all)
{
    json_t *alone = nxw_json_array(j);
    char advice[NXW_REMEDY_ADVICE];
    for (size_t i = 0; i < NXW_REMEDY_COUNT; i++)
        nxw_json_add(j, alone, run_json(j, all, &all->alone[i]));
    nxw_json_put(j, o, "alone", alone);
    if (all->pair.n > 0)
        nxw_json_put(j, o, "best_pair", run_json(j, all, &all->pair));
    if (all->triple.n > 0)
        nxw_json_put(j, o, "best_triple", run_json(j, all, &all->triple));
    nxw_remedies_advice(all, advice);
    nxw_json_text(j, o, "advice", advice);
}
