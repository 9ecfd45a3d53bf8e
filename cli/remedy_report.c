#include "remedy_report.h"

#include <math.h>

#include "cost.h"
#include "headline.h"
#include "report_words.h"
#include "text_layout.h"

enum { AMOUNT = NXW_AMOUNT_LENGTH, GAIN = 3 * AMOUNT, NAMES = 120 };

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

/* "+2.4 g HNO3 (+22 %)" */
static void gain_text(const struct nxw_remedies *all, double gain_mol, char out[GAIN])
{
    char grams[AMOUNT], percent[AMOUNT];
    if (fabs(gain_mol) < NO_CHANGE * all->base.kept_mol) {
        (void)snprintf(out, GAIN, "no change in HNO3");
        return;
    }
    nxw_number_text(fabs(gain_mol) * NXW_MOLAR_MASS_HNO3_KG_MOL * 1e3, 3, grams);
    nxw_number_text(fabs(gain_mol) / all->base.kept_mol * 100.0, 2, percent);
    const char *sign = gain_mol < 0.0 ? "-" : "+";
    (void)snprintf(out, GAIN, "%s%s g HNO3 (%s%s %%)", sign, grams, sign, percent);
}

void nxw_remedy_escape_text(const struct nxw_remedies *all, double drop_mol, char *out)
{
    nxw_percent_text((all->base.escaped_mol - drop_mol) / all->base.fed_mol, 2, out);
}

void nxw_remedies_advice(const struct nxw_remedies *all, char out[NXW_REMEDY_ADVICE])
{
    const struct nxw_remedy_run *best = nxw_remedy_first(all);
    const struct nxw_remedy_run *more = adds(all, &all->triple, &all->pair) ? &all->triple
                                        : adds(all, &all->pair, best)       ? &all->pair
                                                                            : NULL;
    char names[NAMES], gain[GAIN], before[AMOUNT], after[AMOUNT];
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

void nxw_remedies_lead(const struct nxw_remedies *all, char out[NXW_REMEDY_ADVICE])
{
    char first[NAMES], next[NAMES], low[AMOUNT], high[AMOUNT];
    const bool by_gain = nxw_remedy_gains(all, nxw_remedy_first(all));
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

/* ----------------------------------------------------------------------------- one run */

/* What the peroxide's amount rests on, and purging for other times. */
static void print_more(FILE *out, const struct nxw_remedies *all, const struct nxw_remedy_run *run)
{
    char least[AMOUNT], most[AMOUNT], gain[GAIN], escape[AMOUNT];
    if (nxw_remedy_is_peroxide(run)) {
        nxw_mass_text(all->peroxide_least_kg, 3, least);
        nxw_mass_text(all->peroxide_most_kg, 3, most);
        nxw_wrapf(out, "      ", 6,
                  "all the gas takes up %s H2O2, or %s with the most that side reactions may lose",
                  least, most);
    }
    for (size_t i = 0; nxw_remedy_is_purge(run) && i < NXW_PURGES; i++) {
        const struct nxw_purge *p = &all->purges[i];
        if (!p->ran)
            continue;
        gain_text(all, p->gain_mol, gain);
        nxw_remedy_escape_text(all, p->drop_mol, escape);
        nxw_wrapf(out, "      ", 6, "for %.0f min: %s, escapes %s", p->duration_s / 60.0, gain,
                  escape);
    }
}

static void print_risk(FILE *out, const struct nxw_remedies *all, const struct nxw_remedy_run *run)
{
    char before[AMOUNT], after[AMOUNT];
    nxw_volume_text(all->base.glass.liquid_at_risk_m3, before);
    nxw_volume_text(run->at_risk_m3, after);
    nxw_wrapf(out, "      ! ", 8,
              "More is drawn back when the hot vessel cools: %s of liquid instead of %s.", after,
              before);
}

void nxw_remedy_print(FILE *out, const struct nxw_remedies *all, const char *currency,
                      const struct nxw_remedy_run *run)
{
    char money[NXW_REMEDY_MONEY];
    char names[NAMES], gain[GAIN], escape[AMOUNT], nitrous[AMOUNT], hottest[AMOUNT];
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
    print_more(out, all, run);
    nxw_remedy_money(run, currency, money);
    if (money[0] != '\0')
        nxw_wrapf(out, "      ", 6, "%s", money);
    if (nxw_remedy_raises_risk(all, run))
        print_risk(out, all, run);
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
    nxw_json_number(j, o, "worth_currency", run->worth);
    nxw_json_number(j, o, "net_currency", nxw_remedy_net(run));
    nxw_json_number(j, o, "drawn_back_m3", run->at_risk_m3);
    nxw_warning_names(run->new_warnings, warnings, sizeof warnings);
    nxw_json_text(j, o, "new_warnings", warnings);
    nxw_json_flag(j, o, "worth_it", nxw_remedy_is_worth_it(all, run));
    nxw_json_flag(j, o, "raises_escape", nxw_remedy_raises_escape(all, run));
    nxw_json_flag(j, o, "raises_drawn_back", nxw_remedy_raises_risk(all, run));
    return o;
}

static json_t *purges_json(struct nxw_json *j, const struct nxw_remedies *all)
{
    json_t *list = nxw_json_array(j);
    for (size_t i = 0; i < NXW_PURGES; i++) {
        const struct nxw_purge *p = &all->purges[i];
        if (!p->ran)
            continue;
        json_t *o = nxw_json_object(j);
        nxw_json_number(j, o, "duration_s", p->duration_s);
        nxw_json_number(j, o, "gain_mol", p->gain_mol);
        nxw_json_number(j, o, "escape_drop_mol", p->drop_mol);
        nxw_json_add(j, list, o);
    }
    return list;
}

void nxw_remedies_json(struct nxw_json *j, json_t *o, const struct nxw_remedies *all)
{
    json_t *alone = nxw_json_array(j);
    char advice[NXW_REMEDY_ADVICE];
    for (size_t i = 0; i < NXW_REMEDY_COUNT; i++)
        nxw_json_add(j, alone, run_json(j, all, &all->alone[i]));
    nxw_json_put(j, o, "alone", alone);
    nxw_json_put(j, o, "purging_for_other_times", purges_json(j, all));
    nxw_json_number(j, o, "peroxide_least_kg", all->peroxide_least_kg);
    nxw_json_number(j, o, "peroxide_most_kg", all->peroxide_most_kg);
    if (all->pair.n > 0)
        nxw_json_put(j, o, "best_pair", run_json(j, all, &all->pair));
    if (all->triple.n > 0)
        nxw_json_put(j, o, "best_triple", run_json(j, all, &all->triple));
    nxw_remedies_advice(all, advice);
    nxw_json_text(j, o, "advice", advice);
    if (all->next == NULL)
        return;
    nxw_json_text(j, o, "next_remedy", nxw_remedies[all->next->index[0]].name);
    nxw_json_number(j, o, "lead_low_mol", all->lead_low_mol);
    nxw_json_number(j, o, "lead_high_mol", all->lead_high_mol);
    if (all->lead_not_given != NULL)
        nxw_json_text(j, o, "lead_not_given", all->lead_not_given);
    nxw_remedies_lead(all, advice);
    nxw_json_text(j, o, "lead", advice);
}
