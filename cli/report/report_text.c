#include "report/report_text.h"

#include <math.h>
#include <string.h>

#include "base/constant_kinds.h"
#include "base/text_layout.h"
#include "case/gravity.h"
#include "report/report_glass.h"
#include "report/report_train.h"
#include "report/statistics_report.h"
#include "report/vent_text.h"
#include "report/verdict.h"
#include "report/worst_case_report.h"
#include "words/cautions.h"
#include "words/event_text.h"
#include "words/interval_text.h"
#include "words/run_words.h"
#include "words/warning_text.h"

enum { AMOUNT = NXW_AMOUNT_LENGTH };

#define LEAST_SOLUTE_MOL_L 1e-4 /* less reads as 0.001 wt% of acid */

static double share(const struct nxw_result *r, double amount_mol)
{
    return r->fed_mol > 0.0 ? amount_mol / r->fed_mol : 0.0;
}

/* "less than 0.01 %" to "<0.01 %", for columns. */
static void short_form(char text[AMOUNT])
{
    static const char words[] = "less than ";
    const size_t n = sizeof words - 1;
    if (strncmp(text, words, n) != 0)
        return;
    text[0] = '<';
    (void)memmove(text + 1, text + n, strlen(text + n) + 1);
}

/* "  as NO     0.0123 mol N    4.1 %    0.37 g NO"; without formula: no mass */
static void account_line(FILE *out, const struct nxw_result *r, const char *what, double amount_mol,
                         int digits, double molar_mass_kg_mol, const char *formula)
{
    char mol[AMOUNT], percent[AMOUNT], mass[AMOUNT], first[AMOUNT + 4];
    nxw_mol_text(amount_mol, digits, mol);
    nxw_percent_text(share(r, amount_mol), digits, percent);
    nxw_mass_text(amount_mol * molar_mass_kg_mol, digits, mass);
    short_form(mol);
    short_form(percent);
    short_form(mass);
    (void)snprintf(first, sizeof first, "%s N", mol);
    if (formula[0] == '\0')
        (void)fprintf(out, "  %-23s %-15s %s\n", what, first, percent);
    else
        (void)fprintf(out, "  %-23s %-15s %-10s %s %s\n", what, first, percent, mass, formula);
}

static void print_account(FILE *out, const struct nxw_result *r)
{
    (void)fputs("Where the nitrogen goes\n", out);
    if (!(r->fed_mol > 0.0)) {
        (void)fputs("  no nitrogen oxides were fed\n", out);
        return;
    }
    account_line(out, r, "fed", r->fed_mol, 3, 0.0, "");
    if (r->fed_NO2_mol > 0.0)
        account_line(out, r, "  of that as NO2", r->fed_NO2_mol, 3, NXW_MOLAR_MASS_NO2_KG_MOL,
                     "NO2");
    if (r->fed_NO_mol > 0.0)
        account_line(out, r, "  of that as NO", r->fed_NO_mol, 3, NXW_MOLAR_MASS_NO_KG_MOL, "NO");
    if (r->fed_HNO2_mol > 0.0)
        account_line(out, r, "  of that as HNO2", r->fed_HNO2_mol, 3, NXW_MOLAR_MASS_HNO2_KG_MOL,
                     "HNO2");
    if (r->fed_HNO3_mol > 0.0)
        account_line(out, r, "  of that as HNO3", r->fed_HNO3_mol, 3, NXW_MOLAR_MASS_HNO3_KG_MOL,
                     "HNO3");
    account_line(out, r, "kept as nitric acid", r->kept_mol, 3, NXW_MOLAR_MASS_HNO3_KG_MOL, "HNO3");
    double nitrous_mol = 0.0;
    for (size_t i = 0; i < r->n_stages; i++)
        nitrous_mol += r->stages[i].nitrous_acid_mol;
    account_line(out, r, "left as nitrous acid", nitrous_mol, 2, NXW_MOLAR_MASS_HNO2_KG_MOL,
                 "HNO2");
    const double other_mol = r->held_mol - r->kept_mol - nitrous_mol;
    if (share(r, other_mol) > 1e-4)
        account_line(out, r, "dissolved otherwise", other_mol, 2, 0.0, "");
    account_line(out, r, "escaped, about", r->escaped_mol, 2, 0.0, "");
    account_line(out, r, "  as NO, about", r->escaped_NO_mol, 2, NXW_MOLAR_MASS_NO_KG_MOL, "NO");
    account_line(out, r, "  as NO2, about", r->escaped_NO2_mol, 2, NXW_MOLAR_MASS_NO2_KG_MOL,
                 "NO2");
    account_line(out, r, "  as HNO2, about", r->escaped_HNO2_mol, 2, NXW_MOLAR_MASS_HNO2_KG_MOL,
                 "HNO2");
    account_line(out, r, "  as HNO3, about", r->escaped_HNO3_mol, 2, NXW_MOLAR_MASS_HNO3_KG_MOL,
                 "HNO3");
    account_line(out, r, "still in the gas space", r->in_flight_mol, 2, 0.0, "");
    if (fabs(r->nitrogen_closure) > 1e-4) {
        char percent[AMOUNT];
        nxw_percent_text(fabs(r->nitrogen_closure), 2, percent);
        (void)fprintf(out, "  This account does not close: %s of what was fed is missing.\n",
                      percent);
    }
    if (nitrous_mol > 0.02 * r->fed_mol)
        nxw_wrap(out, "  ", 2,
                 "The nitrous acid is not caught for good: it gives off NO, which turns brown "
                 "in air, for as long as the bottle stands or is warmed.");
}

/* The command that makes the strength of the reading again; what else reads as acid is taken off.
 */
static void print_way_back(FILE *out, const struct nxw_stage_result *s)
{
    const double HNO2_mol_L = 1e-3 * s->nitrous_acid_mol / s->liquid_m3;
    const double H2O2_mol_L = 1e-3 * s->peroxide_mol / s->liquid_m3;
    char temperature[AMOUNT], other[AMOUNT];
    nxw_temperature_text(s->temperature_K, temperature);
    (void)fprintf(out, "  %-24s noxwash strength --density '%.4f g/cm3' \\\n",
                  "the strength from that",
                  nxw_common_hydrometer_kg_m3(s->density_kg_m3, s->temperature_K) * 1e-3);
    (void)fprintf(out, "  %-24s     --temperature '%s'", "", temperature);
    if (HNO2_mol_L > LEAST_SOLUTE_MOL_L) {
        nxw_number_text(HNO2_mol_L, 3, other);
        (void)fprintf(out, " \\\n  %-24s     --nitrous-acid '%s mol/L'", "", other);
    }
    if (H2O2_mol_L > LEAST_SOLUTE_MOL_L) {
        nxw_number_text(H2O2_mol_L, 3, other);
        (void)fprintf(out, " \\\n  %-24s     --left-over-peroxide '%s mol/L'", "", other);
    }
    (void)fputc('\n', out);
}

static void print_bottle(FILE *out, const struct nxw_report *report, size_t i)
{
    const struct nxw_stage *c = &report->in->stages[i];
    const struct nxw_stage_result *s = &report->result->stages[i];
    char a[AMOUNT], b[AMOUNT], d[AMOUNT];
    nxw_number_text(c->volume_m3 * 1e6, 3, a);
    if (c->kind == NXW_STAGE_EMPTY) {
        nxw_temperature_text(s->peak_temperature_K, b);
        (void)fprintf(out, "\nStage %zu: empty, %s mL; hottest gas %s\n", i + 1, a, b);
        return;
    }
    nxw_number_text(c->liquid_m3 * 1e6, 3, b);
    (void)fprintf(out, "\nBottle%s%.0zu: %s mL, charged with %s mL\n",
                  report->in->n_stages > 1 ? " " : "", report->in->n_stages > 1 ? i + 1 : 0, a, b);
    nxw_number_text(s->acid_mass_fraction * 100.0, 3, a);
    nxw_number_text(s->acid_mol_m3 * 1e-3, 3, b);
    (void)fprintf(out, "  %-24s %s wt%% HNO3, %s mol/L%s\n", "acid", a, b,
                  s->acid_mass_fraction > NXW_ACID_REGULATED ? ", regulated in many places" : "");
    if (isfinite(s->density_kg_m3)) {
        nxw_temperature_text(s->temperature_K, a);
        (void)fprintf(out, "  %-24s %.4f g/cm3 at %s", "hydrometer should read",
                      nxw_common_hydrometer_kg_m3(s->density_kg_m3, s->temperature_K) * 1e-3, a);
        if (isfinite(s->density_reference_kg_m3))
            (void)fprintf(out, ", %.4f g/cm3 at 20 degC", s->density_reference_kg_m3 * 1e-3);
        (void)fputc('\n', out);
        print_way_back(out, s);
    }
    nxw_number_text(s->liquid_m3 * 1e6, 3, a);
    (void)fprintf(out, "  %-24s %s mL\n", "liquid at the end", a);
    if (s->peroxide_start_mol > 0.0) {
        nxw_mass_text((s->peroxide_start_mol - s->peroxide_mol) * NXW_MOLAR_MASS_H2O2_KG_MOL, 3, a);
        nxw_mass_text(s->peroxide_mol * NXW_MOLAR_MASS_H2O2_KG_MOL, 2, b);
        (void)fprintf(out, "  %-24s %s H2O2 used, %s H2O2 left", "peroxide", a, b);
        nxw_time_text(s->peroxide_spent_at_s, d);
        (void)fprintf(out, isfinite(s->peroxide_spent_at_s) ? "; spent at %s\n" : "\n", d);
    } else
        (void)fprintf(out, "  %-24s none charged\n", "peroxide");
    nxw_temperature_text(s->peak_temperature_K, a);
    nxw_time_text(s->peak_at_s, b);
    nxw_temperature_text(s->temperature_K, d);
    (void)fprintf(out, "  %-24s hottest %s at %s; %s at the end\n", "liquid's temperature", a, b,
                  d);
    if (s->ice_start_kg > 0.0) {
        nxw_mass_text(s->ice_melted_kg, 2, a);
        nxw_mass_text(s->ice_start_kg, 3, b);
        (void)fprintf(out, "  %-24s about %s of %s melted\n", "ice", a, b);
    }
}

static void print_events(FILE *out, const struct nxw_report *report)
{
    const struct nxw_result *r = report->result;
    (void)fputs("\nWhat happens when\n", out);
    for (size_t i = 0; i < r->n_events; i++) {
        char time[AMOUNT], text[NXW_EVENT_TEXT_LENGTH], lead[AMOUNT + 8];
        if (!nxw_event_text(report->in, &r->events[i], text))
            continue;
        nxw_time_text(r->events[i].time_s, time);
        (void)snprintf(lead, sizeof lead, "  %9s  ", time);
        nxw_wrap(out, lead, 13, text);
    }
}

static void print_why(FILE *out, const struct nxw_report *report)
{
    const struct nxw_result *r = report->result;
    (void)fputs("\nWhy it escaped\n", out);
    if (!(r->fed_mol > 0.0) || !(r->escaped_mol > 0.0)) {
        (void)fputs("  nothing to speak of did\n", out);
        return;
    }
    size_t order[NXW_WHY_COUNT];
    nxw_why_largest_first(&r->why, order);
    for (size_t k = 0; k < NXW_WHY_COUNT; k++) {
        const size_t i = order[k];
        const double amount_mol = nxw_why_mol(&r->why, i);
        const double part = amount_mol / r->escaped_mol;
        if (!(part > (report->why ? 1e-4 : 0.1)))
            continue;
        char percent[AMOUNT], mass[AMOUNT], lead[64];
        nxw_percent_text(part, 2, percent);
        nxw_mass_text(amount_mol * nxw_why_words[i].molar_mass_kg_mol, 2, mass);
        (void)snprintf(lead, sizeof lead, "  %-8s ", percent);
        nxw_wrapf(out, lead, 11, "%s (%s%s)%s%s", nxw_why_words[i].text, nxw_about(mass), mass,
                  report->why ? "; against it: " : "", report->why ? nxw_why_words[i].remedy : "");
    }
    if (!report->why)
        (void)fputs("  (--why: all of it, and what helps)\n", out);
}

static void print_warnings(FILE *out, const struct nxw_report *report)
{
    const struct nxw_result *r = report->result;
    bool head = false;
    if (r->status == NXW_ENDED_EARLY) {
        char time[AMOUNT];
        nxw_time_text(r->end_s, time);
        (void)fprintf(out, "\nThe run ended early, at %s: the figures stop there.\n", time);
    }
    for (size_t i = 0; i < NXW_WARNING_COUNT; i++) {
        char text[NXW_WARNING_TEXT_LENGTH];
        if ((r->warnings & (unsigned)nxw_warning_words[i].bit) == 0)
            continue;
        nxw_warning_text(report->in, r, i, text);
        if (!head)
            (void)fputs("\nTake note\n", out);
        head = true;
        nxw_wrap(out, "  ! ", 4, text);
    }
}

static void difference_line(FILE *out, const char *what, const char *unit, double here,
                            double there)
{
    const double least = 1e-3 * fmax(fabs(here), fabs(there)); /* less is no difference */
    const double step = there - here;
    const bool differs = isfinite(step) && fabs(step) > fmax(least, 1e-6);
    char a[AMOUNT], b[AMOUNT], d[AMOUNT], x[2 * AMOUNT], y[2 * AMOUNT];
    nxw_number_text(fabs(here) < 1e-6 ? 0.0 : here, 3, a);
    nxw_number_text(fabs(there) < 1e-6 ? 0.0 : there, 3, b);
    nxw_number_text(differs ? step : 0.0, 2, d);
    (void)snprintf(x, sizeof x, "%s %s", a, unit);
    (void)snprintf(y, sizeof y, "%s %s", b, unit);
    (void)fprintf(out, "  %-24s %-18s %-18s %s%s %s\n", what, x, y,
                  differs && step > 0.0 ? "+" : "", d, unit);
}

static void print_against(FILE *out, const struct nxw_report *report)
{
    const struct nxw_result *r = report->result, *o = report->other;
    nxw_wrapf(out, "\n", 2, "Against %s", report->other_path);
    (void)fprintf(out, "  %-24s %-18s %-18s %s\n", "", "this case", "the other", "difference");
    const double acid_g = NXW_MOLAR_MASS_HNO3_KG_MOL * 1e3;
    difference_line(out, "fed", "mol N", r->fed_mol, o->fed_mol);
    difference_line(out, "kept as HNO3", "g", r->kept_mol * acid_g, o->kept_mol * acid_g);
    difference_line(out, "kept, share of fed", "%", 100.0 * share(r, r->kept_mol),
                    100.0 * share(o, o->kept_mol));
    difference_line(out, "escaped", "mol N", r->escaped_mol, o->escaped_mol);
    difference_line(out, "escaped as NO", "mol", r->escaped_NO_mol, o->escaped_NO_mol);
    difference_line(out, "escaped as NO2", "mol", r->escaped_NO2_mol, o->escaped_NO2_mol);
    difference_line(out, "NO2 at the vent, peak", "mg/min", r->vent_peak_NO2_kg_s * NXW_MG_MIN,
                    o->vent_peak_NO2_kg_s * NXW_MG_MIN);
    const size_t i = nxw_first_bottle(report->in), j = nxw_first_bottle(report->other_in);
    if (i == r->n_stages || j == o->n_stages)
        return;
    const struct nxw_stage_result *s = &r->stages[i], *t = &o->stages[j];
    difference_line(out, "acid, first bottle", "wt%", 100.0 * s->acid_mass_fraction,
                    100.0 * t->acid_mass_fraction);
    difference_line(out, "liquid, first bottle", "mL", s->liquid_m3 * 1e6, t->liquid_m3 * 1e6);
    difference_line(out, "hottest, first bottle", "degC", s->peak_temperature_K - 273.15,
                    t->peak_temperature_K - 273.15);
    difference_line(out, "peroxide used", "g",
                    1e3 * NXW_MOLAR_MASS_H2O2_KG_MOL * (s->peroxide_start_mol - s->peroxide_mol),
                    1e3 * NXW_MOLAR_MASS_H2O2_KG_MOL * (t->peroxide_start_mol - t->peroxide_mol));
    difference_line(out, "ice melted", "g", s->ice_melted_kg * 1e3, t->ice_melted_kg * 1e3);
}

static void print_constants(FILE *out, const struct nxw_report *report)
{
    const struct nxw_case_notes *notes = report->notes;
    (void)fputs("\nWhat this rests on\n", out);
    nxw_wrapf(out, "  ", 2,
              "Constants: table %s, hash %.12s. %zu of the %zu rest on memory or judgement, not on "
              "a source that was at hand ('noxwash constants' lists them).",
              nxw_parameter_version(), nxw_parameter_hash(), nxw_unproven_constants(),
              nxw_parameter_count());
    for (size_t i = 0; i < notes->n_overrides; i++) {
        const struct nxw_parameter_record *p = nxw_parameter_record(notes->overrides[i]);
        char value[AMOUNT], table[AMOUNT];
        nxw_number_text(report->in->parameters.value[notes->overrides[i]], 6, value);
        nxw_number_text(p->value, 6, table);
        nxw_wrapf(out, "  ", 4, "Set by the case: %s = %s %s (table: %s)", p->key, value, p->unit,
                  table);
    }
}

void nxw_usual_text(const struct nxw_report *report, char out[NXW_USUAL_LENGTH])
{
    static const char lead[] = "Taken as usual, not given: ";
    const struct nxw_case_notes *n = report->notes;
    out[0] = '\0';
    for (size_t i = 0; i < report->in->n_stages; i++) {
        char liquid[AMOUNT], place[AMOUNT] = "";
        const size_t used = strlen(out);
        if (!n->usual_glass[i] && !n->usual_liquid[i])
            continue;
        nxw_volume_text(report->in->stages[i].liquid_m3, liquid);
        if (!n->usual_train)
            (void)snprintf(place, sizeof place, "stage %zu: ", i + 1);
        (void)snprintf(out + used, NXW_USUAL_LENGTH - 1 - used, "%s%s%s%s%s%s",
                       used > 0 ? "; " : lead, place, n->usual_glass[i] ? n->glass[i] : "",
                       n->usual_glass[i] && n->usual_liquid[i] ? " with " : "",
                       n->usual_liquid[i] ? liquid : "", n->usual_liquid[i] ? " of liquid" : "");
    }
    if (out[0] != '\0')
        memcpy(out + strlen(out), ".", 2);
}

void nxw_estimate_print(FILE *out, const struct nxw_report *report)
{
    char usual[NXW_USUAL_LENGTH];
    nxw_wrapf(out, "", 2, "Estimate for %s", report->path);
    nxw_usual_text(report, usual);
    if (usual[0] != '\0')
        nxw_wrap(out, "", 2, usual);
    (void)fputc('\n', out);
    print_account(out, report->result);
    if (report->uncertainty != NULL)
        nxw_intervals_print(out, report->uncertainty);
    nxw_train_print(out, report);
    for (size_t i = 0; i < report->result->n_stages; i++)
        print_bottle(out, report, i);
    nxw_vent_print(out, report);
    nxw_glass_print(out, report);
    print_events(out, report);
    print_why(out, report);
    if (report->uncertainty != NULL && report->uncertainty->derivatives)
        nxw_sensitivity_print(out, report->uncertainty);
    if (report->worst != NULL)
        nxw_worst_case_print(out, report);
    if (report->other != NULL)
        print_against(out, report);
    print_warnings(out, report);
    nxw_verdict_print(out, report);
    print_constants(out, report);
    if (report->stats)
        nxw_statistics_print(out, &report->result->statistics);
    (void)fputc('\n', out);
    nxw_cautions_print(out,
                       &(struct nxw_caution_for){report->in, report->result, report->notes->metal});
}
