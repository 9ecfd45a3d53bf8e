#include "report/verdict.h"

#include <ctype.h>
#include <math.h>

#include "base/text_layout.h"
#include "case/exposure_limits.h"
#include "noxwash.h"
#include "study/cost.h"
#include "words/limit_digits.h"
#include "words/peroxide_text.h"

enum { AMOUNT = NXW_AMOUNT_LENGTH, SENTENCE = 400 };

/* Judgement: escape, of the nitrogen fed, up to which the bottle counts as big enough; printed. */
#define ESCAPE_SMALL 0.05

static double escaped_share(const struct nxw_result *r)
{
    return r->fed_mol > 0.0 ? r->escaped_mol / r->fed_mol : 0.0;
}

/* "escape falls from about 12 % to about 3 % of the nitrogen fed, and about 1.2 g more HNO3 is
 * kept" */
static void amounts_text(const struct nxw_result *from, double escaped_mol, double kept_mol,
                         char out[SENTENCE])
{
    char a[AMOUNT], b[AMOUNT], mass[AMOUNT], kept[AMOUNT + 40];
    const double change_mol = escaped_mol - from->escaped_mol;
    const double gain_mol = kept_mol - from->kept_mol;
    nxw_percent_text(escaped_share(from), 2, a);
    nxw_percent_text(escaped_mol / from->fed_mol, 2, b);
    nxw_mass_text(fabs(gain_mol) * NXW_MOLAR_MASS_HNO3_KG_MOL, 2, mass);
    if (fabs(gain_mol) < 1e-3 * from->fed_mol)
        (void)snprintf(kept, sizeof kept, "as much HNO3 is kept");
    else
        (void)snprintf(kept, sizeof kept, "about %s %s HNO3 is kept", mass,
                       gain_mol > 0.0 ? "more" : "less");
    if (fabs(change_mol) <= 0.02 * from->escaped_mol)
        (void)snprintf(out, SENTENCE, "escape stays at about %s of the nitrogen fed, and %s", a,
                       kept);
    else
        (void)snprintf(out, SENTENCE,
                       "escape %s from about %s to about %s of the nitrogen fed, and %s",
                       change_mol < 0.0 ? "falls" : "rises", a, b, kept);
}

static void change_text(const struct nxw_result *from, const struct nxw_result *to,
                        char out[SENTENCE])
{
    amounts_text(from, to->escaped_mol, to->kept_mol, out);
}

static bool is_worth_it(const struct nxw_result *from, const struct nxw_result *to)
{
    return nxw_is_worth_it(from, to->escaped_mol, to->kept_mol);
}

static bool lets_more_escape(const struct nxw_result *from, const struct nxw_result *to)
{
    return nxw_more_escapes(from->escaped_mol, to->escaped_mol, from->fed_mol);
}

/* What a change is worth in a word or two; more acid at the price of more escape is no plain yes.
 */
static const char *worth_word(const struct nxw_result *from, const struct nxw_result *to)
{
    if (!is_worth_it(from, to))
        return "Hardly";
    return lets_more_escape(from, to) ? "For the acid alone; more escapes" : "Yes";
}

/* The answer on peroxide: a bottle that it makes too hot, or that holds too much of it, has no yes,
 * whatever the gas does. */
static const char *peroxide_word(const struct nxw_result *from, const struct nxw_result *to)
{
    if ((to->warnings & NXW_WARN_PEROXIDE_STRONG) != 0)
        return "Not at this strength";
    if ((to->warnings & NXW_WARN_HOT) != 0)
        return "Not without more cooling or more liquid";
    return worth_word(from, to);
}

static double nitrous_share(const struct nxw_result *r)
{
    double nitrous_mol = 0.0;
    for (size_t i = 0; i < r->n_stages; i++)
        nitrous_mol += r->stages[i].nitrous_acid_mol;
    return nitrous_mol / r->fed_mol;
}

/* "12 vol%", "840 ppm" */
static void vent_fraction_text(double fraction, char out[AMOUNT])
{
    char number[AMOUNT];
    if (fraction < 0.01)
        nxw_ppm_text(fmax(fraction, 0.0), 2, out);
    else {
        nxw_number_text(100.0 * fraction, 2, number);
        (void)snprintf(out, AMOUNT, "%.30s vol%%", number);
    }
}

/* However little escapes in all, the gas at the vent is not one to breathe. */
static void vent_gas(FILE *out, const struct nxw_result *r)
{
    const double limit_ppm = nxw_short_limit_ppm("NO2");
    char NO2[AMOUNT], NO[AMOUNT], limit[AMOUNT], beside[100] = "";
    if (!isfinite(r->vent_peak_NO2_fraction) || !isfinite(r->vent_peak_NO_fraction))
        return;
    vent_fraction_text(r->vent_peak_NO2_fraction, NO2);
    vent_fraction_text(r->vent_peak_NO_fraction, NO);
    nxw_number_text(limit_ppm, 2, limit);
    if (isfinite(limit_ppm))
        (void)snprintf(beside, sizeof beside,
                       " (a limit for breathing, over 15 min: %.30s ppm NO2)", limit);
    nxw_wrapf(out, "    ", 4,
              "What leaves holds up to %s NO2 and %s NO%s: it must go up a hood that draws.", NO2,
              NO, beside);
}

static void size_words(FILE *out, const struct nxw_report *report, const char *lead)
{
    const struct nxw_result *r = report->result;
    const struct nxw_what_ifs *w = report->what_ifs;
    const struct nxw_stage *big = &w->bigger.in.stages[w->stage];
    char escaped[AMOUNT], small[AMOUNT], volume[AMOUNT], liquid[AMOUNT];
    char change[SENTENCE] = "", twice[2 * SENTENCE] = "", nitrous[120] = "";
    nxw_percent_text(escaped_share(r), 2, escaped);
    nxw_percent_text(ESCAPE_SMALL, 1, small);
    nxw_number_text(big->volume_m3 * 1e6, 3, volume);
    nxw_number_text(big->liquid_m3 * 1e6, 3, liquid);
    if (w->bigger.ran) {
        change_text(r, &w->bigger.result, change);
        (void)snprintf(twice, sizeof twice, " With twice the bottle (%s mL, %s mL liquid) %s.",
                       volume, liquid, change);
    }
    const bool helps = w->bigger.ran && is_worth_it(r, &w->bigger.result);
    if (escaped_share(r) <= ESCAPE_SMALL) {
        if (nitrous_share(r) > 0.02) {
            char percent[AMOUNT];
            nxw_percent_text(nitrous_share(r), 2, percent);
            (void)snprintf(nitrous, sizeof nitrous,
                           ", and about %s more is held only as nitrous acid", percent);
        }
        nxw_wrapf(out, lead, 4,
                  "Yes, if at most %s may escape: about %s of the nitrogen fed leaves%s.%s", small,
                  escaped, nitrous, twice);
    } else if (!w->bigger.ran)
        nxw_wrapf(out, lead, 4,
                  "No, if at most %s may escape: about %s of the nitrogen fed does. The run with a "
                  "bigger bottle could not be done.",
                  small, escaped);
    else
        nxw_wrapf(out, lead, 4,
                  "No, if at most %s may escape: about %s of the nitrogen fed does. %s%s%s", small,
                  escaped,
                  helps && lets_more_escape(r, &w->bigger.result)
                      ? "A bigger bottle would keep more acid, but let more escape."
                  : helps ? "A bigger bottle would help."
                          : "A bigger bottle would not help.",
                  twice,
                  helps && escaped_share(&w->bigger.result) > ESCAPE_SMALL
                      ? " Even that is not enough by itself: see below, or put one more bottle "
                        "behind it."
                      : "");
}

/* What leaves where joints part is in no figure. */
static void too_much_pressure(FILE *out, const char *lead, const struct nxw_result *r)
{
    char escaped[AMOUNT], gauge[AMOUNT], bears[AMOUNT];
    nxw_percent_text(escaped_share(r), 2, escaped);
    nxw_pressure_text(r->glass.gauge_peak_Pa, gauge);
    nxw_pressure_text(r->glass.joint_bears_Pa, bears);
    nxw_wrapf(
        out, lead, 4,
        "No, not as it stands: the train resists with about %s, joints part at about %s, and "
        "the gas comes out there. Lower the resistance, then estimate again. By the vent alone "
        "about %s of the nitrogen fed leaves.",
        gauge, bears, escaped);
}

static void size_verdict(FILE *out, const struct nxw_report *report)
{
    const char *lead = "  Is the bottle big enough? ";
    if ((report->result->warnings & NXW_WARN_OVERFULL) != 0) {
        nxw_wrap(out, lead, 4, "No: the liquid does not stay within it.");
        return;
    }
    if ((report->result->warnings & NXW_WARN_BACK_PRESSURE) != 0) {
        too_much_pressure(out, lead, report->result);
        vent_gas(out, report->result);
        return;
    }
    size_words(out, report, lead);
    vent_gas(out, report->result);
}

/* "4.3 g H2O2, that is 13 mL of 30 wt% or 34 mL of 12 wt% peroxide, made up to 150 mL (2.8 wt%)" */
static void peroxide_text(const struct nxw_what_ifs *w, char out[SENTENCE])
{
    const struct nxw_stage *s = &w->with_peroxide.in.stages[w->stage];
    char mass[AMOUNT], volumes[NXW_PEROXIDE_TEXT_LENGTH], liquid[AMOUNT], strength[AMOUNT];
    nxw_mass_text(w->peroxide_charged_kg, 2, mass);
    nxw_peroxide_volumes_text(w->peroxide_charged_kg, s->peroxide_mass_fraction, 2,
                              s->acid_mass_fraction > 0.0, volumes);
    nxw_number_text(s->liquid_m3 * 1e6, 3, liquid);
    nxw_number_text(s->peroxide_mass_fraction * 100.0, 2, strength);
    (void)snprintf(out, SENTENCE, "%s H2O2, that is %s, made up to %s mL (%s wt%%)", mass, volumes,
                   liquid, strength);
}

/* The same kg in a bought bottle. */
static void bought_price(FILE *out, const struct nxw_case_notes *notes, double each_kg)
{
    const double bought_kg = nxw_bought_acid_cost_kg(notes);
    char bought[AMOUNT];
    if (!isfinite(bought_kg))
        return;
    nxw_number_text(bought_kg, 2, bought);
    nxw_wrapf(out, "    ", 4,
              "A kg of HNO3 in bought acid of 68 wt%% costs %s %s, delivery not counted: for the "
              "acid alone %s; what does not go up the hood comes on top.",
              bought, nxw_currency(notes->currency),
              each_kg > bought_kg ? "the peroxide does not pay" : "the peroxide pays");
}

static void peroxide_price(FILE *out, const struct nxw_report *report, double peroxide_kg,
                           double gain_mol)
{
    const double cost = nxw_peroxide_cost(report->notes, peroxide_kg);
    if (!isfinite(cost) || !(peroxide_kg > 0.0))
        return;
    char money[AMOUNT], each[AMOUNT];
    const char *currency = nxw_currency(report->notes->currency);
    nxw_number_text(cost, 2, money);
    if (gain_mol > 0.0) {
        const double each_kg = cost / (gain_mol * NXW_MOLAR_MASS_HNO3_KG_MOL);
        nxw_number_text(each_kg, 2, each);
        nxw_wrapf(out, "    ", 4,
                  "As 30 wt%% solution that peroxide costs about %s %s, or %s %s "
                  "for each kg of HNO3 gained.",
                  money, currency, each, currency);
        bought_price(out, report->notes, each_kg);
    } else
        nxw_wrapf(out, "    ", 4, "As 30 wt%% solution that peroxide costs about %s %s.", money,
                  currency);
}

static void hot_peroxide(FILE *out, const struct nxw_result *r)
{
    if ((r->warnings & NXW_WARN_HOT) != 0)
        nxw_wrap(out, "    ", 4,
                 "Above " NXW_HOT_DIGITS " degC these figures are beyond the range of the "
                 "constants, and peroxide gives off oxygen the faster the hotter it is: do not run "
                 "it like that.");
}

static void peroxide_verdict(FILE *out, const struct nxw_report *report)
{
    const struct nxw_result *r = report->result;
    const struct nxw_what_ifs *w = report->what_ifs;
    const double start_kg = r->stages[w->stage].peroxide_start_mol * NXW_MOLAR_MASS_H2O2_KG_MOL;
    const char *lead = start_kg > 0.0 ? "  Does the peroxide pay? " : "  Would peroxide pay? ";
    char change[SENTENCE], amount[SENTENCE];
    if (w->without_peroxide.ran) {
        change_text(&w->without_peroxide.result, r, change);
        nxw_wrapf(out, lead, 4, "%s: against plain liquid, %s.",
                  peroxide_word(&w->without_peroxide.result, r), change);
        hot_peroxide(out, r);
        peroxide_price(out, report, start_kg, r->kept_mol - w->without_peroxide.result.kept_mol);
        lead = "    ";
    }
    if (!w->with_peroxide.ran) {
        if (!w->without_peroxide.ran)
            nxw_wrapf(out, lead, 4, "That run could not be done: %s.",
                      nxw_status_text(w->with_peroxide.status));
        else
            nxw_wrap(out, lead, 4, "What is charged covers what the gas can take up.");
        return;
    }
    const struct nxw_result *more = &w->with_peroxide.result;
    change_text(r, more, change);
    peroxide_text(w, amount);
    if (start_kg > 0.0)
        nxw_wrapf(out, lead, 4, "More of it %s: with %s in all, %s.",
                  (more->warnings & NXW_WARN_HOT) != 0 ? "would make the liquid too hot"
                  : !is_worth_it(r, more)              ? "would bring little"
                  : lets_more_escape(r, more)          ? "would bring acid, but let more escape"
                                                       : "would pay",
                  amount, change);
    else
        nxw_wrapf(out, lead, 4, "%s: with %s, %s.", peroxide_word(r, more), amount, change);
    const double hottest_K = more->stages[w->stage].peak_temperature_K;
    if (hottest_K > r->stages[w->stage].peak_temperature_K + 5.0) {
        char hot[AMOUNT], now[AMOUNT];
        nxw_temperature_text(hottest_K, hot);
        nxw_temperature_text(r->stages[w->stage].peak_temperature_K, now);
        nxw_wrapf(out, "    ", 4,
                  "The liquid grows hotter then: %s at its hottest instead of %s%s.", hot, now,
                  hottest_K > 323.15 ? "; that calls for ice around it" : "");
    }
    hot_peroxide(out, more);
    if (start_kg == 0.0)
        peroxide_price(out, report, w->peroxide_charged_kg, more->kept_mol - r->kept_mol);
    if (w->peroxide_needed_kg > 1.01 * w->peroxide_charged_kg) {
        char needed[AMOUNT];
        nxw_mass_text(w->peroxide_needed_kg, 2, needed);
        nxw_wrapf(out, "    ", 4,
                  "All the gas could take up %s H2O2, more than this liquid can hold "
                  "at " NXW_PEROXIDE_DIGITS
                  " wt%%: it takes more liquid or one more bottle with peroxide.",
                  needed);
    }
}

#define KEPT_TOLD 0.02   /* judgement: a change of what is kept that has a word, of what is kept */
#define OF_FED_TOLD 1e-3 /* and of the nitrogen fed */

/* What cooling does to the escape and to the acid, by the figures that stand beside it. */
static const char *cooling_word(const struct nxw_result *warm, const struct nxw_result *cold)
{
    const double gain_mol = cold->kept_mol - warm->kept_mol;
    const bool clear =
        fabs(gain_mol) > KEPT_TOLD * warm->kept_mol && fabs(gain_mol) > OF_FED_TOLD * warm->fed_mol;
    const int acid = !clear ? 0 : gain_mol > 0.0 ? 1 : 2;
    const int escape = lets_more_escape(warm, cold) ? 2 : lets_more_escape(cold, warm) ? 1 : 0;
    static const char *const words[3][3] = {
        {"Little", "More acid is kept", "Nothing; less acid is kept"},
        {"Less escapes", "Less escapes, and more acid is kept",
         "Less escapes, but less acid is kept"},
        {"Nothing; more escapes", "For the acid alone; more escapes",
         "Nothing; more escapes, and less acid is kept"}};
    return words[escape][acid];
}

static void cooling_verdict(FILE *out, const struct nxw_report *report)
{
    const struct nxw_result *r = report->result;
    const struct nxw_what_ifs *w = report->what_ifs;
    const bool iced = report->in->stages[w->stage].bath == NXW_BATH_ICE_WATER;
    const struct nxw_what_if *other = iced ? &w->uncooled : &w->cooled;
    const char *lead = iced ? "  What does the ice bring? " : "  What would cooling bring? ";
    if (!other->ran) {
        nxw_wrapf(out, lead, 4, "That run could not be done: %s.", nxw_status_text(other->status));
        return;
    }
    const struct nxw_result *warm = iced ? &other->result : r, *cold = iced ? r : &other->result;
    char change[SENTENCE], hot[AMOUNT], cool[AMOUNT], ice[AMOUNT], word[AMOUNT + 80];
    const char *gas = cooling_word(warm, cold);
    const bool keeps_cool = (warm->warnings & ~cold->warnings & NXW_WARN_HOT) != 0;
    change_text(warm, cold, change);
    (void)snprintf(word, sizeof word, "%s%c%s",
                   keeps_cool ? "A liquid that stays below " NXW_HOT_DIGITS
                                " degC, and that is needed. As to the gas, "
                              : "",
                   keeps_cool ? tolower((unsigned char)gas[0]) : gas[0], gas + 1);
    nxw_temperature_text(warm->stages[w->stage].peak_temperature_K, hot);
    nxw_temperature_text(cold->stages[w->stage].peak_temperature_K, cool);
    nxw_mass_text(cold->stages[w->stage].ice_melted_kg, 2, ice);
    nxw_wrapf(out, lead, 4,
              "%s: with %s, %s. The liquid's highest temperature is %s instead of %s; about %s of "
              "ice melts.",
              word,
              iced ? "it"
                   : "400 g of ice in water around the bottle and the liquid chilled "
                     "beforehand",
              change, cool, hot, ice);
}

/* "Bottle 2: with 3.0 wt% peroxide there" */
static void stage_change_text(size_t stage, enum nxw_stage_change_kind kind, char out[SENTENCE])
{
    char number[AMOUNT];
    if (kind == NXW_CHANGED_PEROXIDE) {
        nxw_number_text(100.0 * NXW_CHANGE_PEROXIDE, 2, number);
        (void)snprintf(out, SENTENCE, "Bottle %zu: with %s wt%% peroxide there", stage + 1, number);
    } else if (kind == NXW_CHANGED_BUBBLES) {
        nxw_number_text(1e3 * NXW_CHANGE_BUBBLE_M, 2, number);
        (void)snprintf(out, SENTENCE,
                       "Bottle %zu: with bubbles of %s mm there, as from a coarse "
                       "frit",
                       stage + 1, number);
    } else
        (void)snprintf(out, SENTENCE, "Stage %zu: with an empty vessel of twice the size there",
                       stage + 1);
}

static void train_verdict(FILE *out, const struct nxw_report *report)
{
    const struct nxw_result *r = report->result;
    const char *lead = "  Which stage is worth changing? ";
    const size_t best = nxw_stage_worth_changing(r, report->what_ifs);
    char now[AMOUNT], what[SENTENCE], change[SENTENCE];
    nxw_percent_text(escaped_share(r), 2, now);
    if (best == r->n_stages) {
        nxw_wrapf(out, lead, 4,
                  "None by itself: neither peroxide nor finer bubbles in one bottle alone, nor an "
                  "empty vessel of twice the size, changes much about the escape of about %s or "
                  "about what is kept.",
                  now);
        return;
    }
    const struct nxw_stage_change *c = &report->what_ifs->changes[best];
    stage_change_text(best, c->kind, what);
    amounts_text(r, c->escaped_mol, c->kept_mol, change);
    nxw_wrapf(out, lead, 4, "%s, %s.", what, change);
}

static void yield_verdict(FILE *out, const struct nxw_result *r)
{
    char mass[AMOUNT], percent[AMOUNT], receiver[AMOUNT];
    nxw_mass_text(r->kept_mol * NXW_MOLAR_MASS_HNO3_KG_MOL, 2, mass);
    if (r->receiver_HNO3_mol > 0.0) {
        nxw_percent_text(r->kept_mol / r->receiver_HNO3_mol, 2, percent);
        nxw_mass_text(r->receiver_HNO3_mol * NXW_MOLAR_MASS_HNO3_KG_MOL, 3, receiver);
        nxw_wrapf(out, "  Extra yield from the scrubber: ", 4,
                  "about %s HNO3, %s of the %s HNO3 that the receiver holds.", mass, percent,
                  receiver);
    } else
        nxw_wrapf(out, "  Extra yield from the scrubber: ", 4, "about %s HNO3.", mass);
}

void nxw_verdict_print(FILE *out, const struct nxw_report *report)
{
    const struct nxw_what_ifs *w = report->what_ifs;
    (void)fputs("\nVerdict\n", out);
    if (!(report->result->fed_mol > 0.0)) {
        (void)fputs("  No nitrogen oxides were fed: there is nothing to judge.\n", out);
        return;
    }
    if (w == NULL)
        (void)fputs("  The runs that answer bottle, peroxide and ice were left out (--quick).\n",
                    out);
    else if (w->stage == report->in->n_stages)
        (void)fputs("  No stage holds liquid: nothing is washed out.\n", out);
    else {
        if (report->result->status == NXW_ENDED_EARLY)
            nxw_wrap(out, "  ", 4,
                     "The run ended early: this counts only up to that moment, and the case as it "
                     "stands is not one to carry out.");
        if (report->in->n_stages > 1) {
            train_verdict(out, report);
            (void)fprintf(out, "  (changed in the runs below: bottle %zu)\n", w->stage + 1);
        }
        size_verdict(out, report);
        peroxide_verdict(out, report);
        cooling_verdict(out, report);
    }
    yield_verdict(out, report->result);
}
