#include "report/remedy_report.h"

#include <string.h>

#include "base/text_layout.h"
#include "case/case_fields.h"
#include "study/cost.h"
#include "words/headline.h"
#include "words/run_words.h"

enum { AMOUNT = NXW_AMOUNT_LENGTH, NAMES = 120 };

/* ----------------------------------------------------------------------------- one run */

/* What the peroxide's amount rests on, and purging for other times. */
static void print_more(FILE *out, const struct nxw_remedies *all, const struct nxw_remedy_run *run)
{
    char least[AMOUNT], most[AMOUNT], gain[NXW_REMEDY_GAIN], escape[AMOUNT];
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
        nxw_remedy_gain_text(all, p->gain_mol, gain);
        nxw_remedy_escape_text(all, p->drop_mol, escape);
        nxw_wrapf(out, "      ", 6, "for %.0f min: %s, escapes %s", p->duration_s / 60.0, gain,
                  escape);
    }
}

void nxw_remedy_print(FILE *out, const struct nxw_remedies *all, const char *currency,
                      const struct nxw_remedy_run *run)
{
    char money[NXW_REMEDY_MONEY], risk[NXW_REMEDY_RISK], gain[NXW_REMEDY_GAIN];
    char names[NAMES], before[AMOUNT], escape[AMOUNT], nitrous[AMOUNT], hottest[AMOUNT];
    nxw_remedy_names(run, names, sizeof names);
    if (!run->ran) {
        nxw_wrapf(out, "  ", 6, "%s: %s", names, run->detail);
        return;
    }
    nxw_remedy_gain_text(all, run->gain_mol, gain);
    nxw_remedy_escape_text(all, run->drop_mol, escape);
    nxw_percent_text(run->nitrous_acid_mol / all->base.fed_mol, 2, nitrous);
    nxw_temperature_text(run->peak_temperature_K, hottest);
    nxw_remedy_escape_text(all, 0.0, before);
    if (all->aim == NXW_AIM_ACID) {
        nxw_wrapf(out, "  ", 6, "%s: %s", names, gain);
        nxw_wrapf(out, "      ", 6, "escapes %s, nitrous acid left %s, hottest %s", escape, nitrous,
                  hottest);
    } else {
        if (strcmp(escape, before) == 0)
            nxw_wrapf(out, "  ", 6, "%s: escapes %s, as it is", names, escape);
        else
            nxw_wrapf(out, "  ", 6, "%s: escapes %s instead of %s", names, escape, before);
        nxw_wrapf(out, "      ", 6, "%s, nitrous acid left %s, hottest %s", gain, nitrous, hottest);
    }
    if (nxw_remedy_raises_escape(all, run))
        nxw_wrapf(out, "      ! ", 8, "More escapes than as it is: %s instead of %s.", escape,
                  before);
    if (run->n == 1)
        nxw_wrapf(out, "      ", 6, "%s", run->detail);
    else if (run->peroxide_kg > 0.0) {
        char peroxide[AMOUNT];
        nxw_mass_text(run->peroxide_kg, 3, peroxide);
        nxw_wrapf(out, "      ", 6, "%s H2O2 more than as it is, in all bottles together",
                  peroxide);
    }
    print_more(out, all, run);
    nxw_remedy_money(run, currency, money);
    if (money[0] != '\0')
        nxw_wrapf(out, "      ", 6, "%s", money);
    if (nxw_remedy_raises_risk(all, run)) {
        nxw_remedy_risk_text(all, run, risk);
        nxw_wrapf(out, "      ! ", 8, "%s", risk);
    }
    if (nxw_remedy_raises_pressure(all, run)) {
        nxw_remedy_pressure_text(all, run, risk);
        nxw_wrapf(out, "      ! ", 8, "%s", risk);
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
    nxw_json_number(j, o, "toward_aim_mol", nxw_remedy_toward_mol(all, run));
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
    nxw_json_flag(j, o, "in_range", run->in_range);
    nxw_json_flag(j, o, "may_be_advised", nxw_remedy_may_be_advised(all, run));
    nxw_json_flag(j, o, "worth_it", nxw_remedy_is_worth_it(all, run));
    nxw_json_flag(j, o, "raises_escape", nxw_remedy_raises_escape(all, run));
    nxw_json_flag(j, o, "raises_drawn_back", nxw_remedy_raises_risk(all, run));
    nxw_json_number(j, o, "source_pressure_Pa", run->gauge_Pa);
    nxw_json_flag(j, o, "raises_pressure", nxw_remedy_raises_pressure(all, run));
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
    const struct nxw_remedy_run *first = nxw_remedy_first(all);
    json_t *alone = nxw_json_array(j);
    char advice[NXW_REMEDY_ADVICE];
    nxw_json_text(j, o, "aim", nxw_words_aim[all->aim]);
    nxw_json_text(j, o, "ranked_by", all->aim == NXW_AIM_ACID ? "gain_mol" : "escape_drop_mol");
    for (size_t i = 0; i < NXW_REMEDY_COUNT; i++) {
        json_t *one = run_json(j, all, &all->alone[i]);
        if (nxw_remedy_is_ranked(&all->alone[i]))
            nxw_json_integer(j, one, "rank", (long)i + 1);
        nxw_json_add(j, alone, one);
    }
    nxw_json_put(j, o, "alone", alone);
    nxw_json_put(j, o, "purging_for_other_times", purges_json(j, all));
    nxw_json_number(j, o, "peroxide_least_kg", all->peroxide_least_kg);
    nxw_json_number(j, o, "peroxide_most_kg", all->peroxide_most_kg);
    if (all->pair.n > 0)
        nxw_json_put(j, o, "best_pair", run_json(j, all, &all->pair));
    if (all->triple.n > 0)
        nxw_json_put(j, o, "best_triple", run_json(j, all, &all->triple));
    if (first != NULL)
        nxw_json_text(j, o, "first_remedy", nxw_remedies[first->index[0]].name);
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
