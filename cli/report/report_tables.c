/* The tables of the report: account, intervals, vent, ways of escape, what the answers hang on. */
#include <math.h>
#include <string.h>

#include "base/constant_kinds.h"
#include "base/html_out.h"
#include "base/text_layout.h"
#include "report/report_page.h"
#include "study/hood_air.h"
#include "words/interval_text.h"
#include "words/run_words.h"

enum { AMOUNT = NXW_AMOUNT_LENGTH, FACTORS_SHOWN = 12, FEW_SHOWN = 5 };

static double share(const struct nxw_result *r, double amount_mol)
{
    return r->fed_mol > 0.0 ? amount_mol / r->fed_mol : 0.0;
}

/* Kept dark and full, held grey, escaped striped: told apart in black and white. */
enum fill { FULL, GREY, STRIPED };

static void bar(FILE *out, double part, enum fill fill, const char *what)
{
    static const char *const fills[] = {"#0072b2", "#999", "url(#stripes)"};
    char percent[AMOUNT];
    const double width = 100.0 * fmin(fmax(part, 0.0), 1.0);
    nxw_percent_text(part, 2, percent);
    (void)fputs("<svg class=\"bar\" role=\"img\" viewBox=\"0 0 100 6\" "
                "preserveAspectRatio=\"none\">",
                out);
    nxw_html_elementf(out, "title", "%s: %s", what, percent);
    (void)fprintf(out,
                  "<rect width=\"100\" height=\"6\" fill=\"#f0f0f0\"/>"
                  "<rect width=\"%.2f\" height=\"6\" fill=\"%s\"/></svg>",
                  width, fills[fill]);
}

static void account_row(FILE *out, const struct nxw_result *r, const char *what, double amount_mol,
                        enum fill fill, double molar_mass_kg_mol, const char *formula)
{
    char mol[AMOUNT], percent[AMOUNT], mass[AMOUNT] = "";
    nxw_mol_text(amount_mol, 3, mol);
    nxw_percent_text(share(r, amount_mol), 2, percent);
    if (formula[0] != '\0')
        nxw_mass_text(amount_mol * molar_mass_kg_mol, 2, mass);
    (void)fputs("<tr><th scope=\"row\">", out);
    nxw_html_say(out, what);
    bar(out, share(r, amount_mol), fill, what);
    (void)fputs("</th>", out);
    nxw_html_element(out, "td class=\"n\"", percent);
    (void)fputs("<td class=\"n\">", out);
    nxw_html_say(out, mol);
    if (formula[0] != '\0') {
        (void)fputs("<br>", out);
        nxw_html_say(out, mass);
        (void)fputs("&nbsp;", out);
        nxw_html_say(out, formula);
    }
    (void)fputs("</td></tr>\n", out);
}

void nxw_report_account(FILE *out, const struct nxw_report *report)
{
    const struct nxw_result *r = report->result;
    double nitrous_mol = 0.0;
    for (size_t i = 0; i < r->n_stages; i++)
        nitrous_mol += r->stages[i].nitrous_acid_mol;
    (void)fputs("<section>\n<h2>Where the nitrogen goes</h2>\n"
                "<svg width=\"0\" height=\"0\" style=\"position:absolute\" aria-hidden=\"true\">"
                "<title>pattern of the bars</title><defs><pattern id=\"stripes\" width=\"2\" "
                "height=\"6\" patternUnits=\"userSpaceOnUse\"><rect width=\"1.2\" height=\"6\" "
                "fill=\"#d55e00\"/></pattern></defs></svg>\n"
                "<table><thead><tr><th>of what was fed</th><th class=\"n\">share</th>"
                "<th class=\"n\">N, mass</th></tr></thead>\n",
                out);
    account_row(out, r, "kept as nitric acid", r->kept_mol, FULL, NXW_MOLAR_MASS_HNO3_KG_MOL,
                "HNO3");
    account_row(out, r, "left as nitrous acid", nitrous_mol, GREY, NXW_MOLAR_MASS_HNO2_KG_MOL,
                "HNO2");
    account_row(out, r, "dissolved otherwise", r->held_mol - r->kept_mol - nitrous_mol, GREY, 0.0,
                "");
    account_row(out, r, "still in the gas space", r->in_flight_mol, GREY, 0.0, "");
    account_row(out, r, "escaped as NO", r->escaped_NO_mol, STRIPED, NXW_MOLAR_MASS_NO_KG_MOL,
                "NO");
    account_row(out, r, "escaped as NO2", r->escaped_NO2_mol, STRIPED, NXW_MOLAR_MASS_NO2_KG_MOL,
                "NO2");
    account_row(out, r, "escaped as HNO2 vapour", r->escaped_HNO2_mol, STRIPED,
                NXW_MOLAR_MASS_HNO2_KG_MOL, "HNO2");
    account_row(out, r, "escaped as HNO3 vapour", r->escaped_HNO3_mol, STRIPED,
                NXW_MOLAR_MASS_HNO3_KG_MOL, "HNO3");
    (void)fputs("</table>\n", out);
    char mol[AMOUNT], percent[AMOUNT];
    nxw_mol_text(r->fed_mol, 3, mol);
    nxw_html_elementf(out, "p class=\"note\"", "Fed: %s N.", mol);
    if (fabs(r->nitrogen_closure) > 1e-4) {
        nxw_percent_text(fabs(r->nitrogen_closure), 2, percent);
        nxw_html_elementf(out, "p class=\"warn\"",
                          "This account does not close: %s of what was fed is missing.", percent);
    }
    if (nitrous_mol > 0.02 * r->fed_mol)
        nxw_html_element(out, "p",
                         "The nitrous acid is not caught for good: it gives off NO, which turns "
                         "brown in air, for as long as the bottle stands or is warmed.");
    (void)fputs("</section>\n", out);
}

void nxw_report_intervals(FILE *out, const struct nxw_uncertainty *u)
{
    (void)fputs("<section>\n<h2>How sure is that</h2>\n", out);
    if (u == NULL) {
        nxw_html_element(out, "p", "The runs that answer this were left out.");
        (void)fputs("</section>\n", out);
        return;
    }
    (void)fputs("<p>Nineteen of twenty such bottles should lie within:</p>\n"
                "<table><thead><tr><th>answer</th><th class=\"n\">from</th><th class=\"n\">to</th>"
                "<th class=\"n\">about</th></tr></thead>\n",
                out);
    for (int a = 0; a < NXW_ANSWERS; a++) {
        const double values[] = {u->low[a], u->high[a], u->value[a]};
        if (!isfinite(u->value[a]))
            continue;
        (void)fputs("<tr>", out);
        nxw_html_element(out, "th scope=\"row\"", nxw_answer_names[a].words);
        if (u->not_given[a] != NULL)
            nxw_html_elementf(out, "td colspan=\"2\"", "not given: %s", u->not_given[a]);
        for (size_t i = u->not_given[a] != NULL ? 2 : 0; i < 3; i++) {
            char text[AMOUNT];
            nxw_answer_text((enum nxw_answer)a, values[i], text);
            nxw_html_element(out, "td class=\"n\"", text);
        }
        (void)fputs("</tr>\n", out);
    }
    (void)fputs("</table>\n", out);
    if (u->n_failed > 0)
        nxw_html_elementf(out, "p class=\"note\"",
                          "%zu factors could not be followed to the end and are left out.",
                          u->n_failed);
    (void)fputs("</section>\n", out);
}

void nxw_report_sensitivity(FILE *out, const struct nxw_uncertainty *u)
{
    (void)fputs("<section>\n<h2>What moves the answers</h2>\n"
                "<p>What one standard error of a factor does, the greatest first; and percent of "
                "the answer per percent of the factor (for the temperature, K per percent).</p>\n",
                out);
    for (int a = 0; a < NXW_ANSWERS; a++) {
        size_t rank[NXW_FACTORS_MAX];
        const size_t n = nxw_uncertainty_rank(u, (enum nxw_answer)a, rank);
        if (!isfinite(u->value[a]))
            continue;
        nxw_html_element(out, "h3", nxw_answer_names[a].words);
        if (u->not_given[a] != NULL) {
            nxw_html_elementf(out, "p", "Not given: %s.", u->not_given[a]);
            continue;
        }
        (void)fputs("<table><thead><tr><th>factor</th><th class=\"n\">one error does</th>"
                    "<th class=\"n\">% per %</th></tr></thead>\n",
                    out);
        for (size_t i = 0; i < n && i < (u->derivatives ? FACTORS_SHOWN : FEW_SHOWN); i++) {
            const struct nxw_factor *f = &u->factors[rank[i]];
            char elasticity[AMOUNT] = "-";
            if (isfinite(f->elasticity[a]))
                nxw_number_text(f->elasticity[a], 2, elasticity);
            (void)fputs("<tr>", out);
            nxw_html_element(out, "th scope=\"row\" class=\"k\"", f->name);
            nxw_html_elementf(out, "td class=\"n\"", "%+.2g %s",
                              nxw_factor_step(f, (enum nxw_answer)a, u->value[a]),
                              nxw_answer_names[a].step_unit);
            nxw_html_element(out, "td class=\"n\"", elasticity);
            (void)fputs("</tr>\n", out);
        }
        (void)fputs("</table>\n", out);
    }
    (void)fputs("</section>\n", out);
}

/* ---------------------------------------------------------------------------- the vent */

static void vent_row(FILE *out, const char *what, const char *unit, double NO2, double NO)
{
    char a[AMOUNT], b[AMOUNT];
    if (!isfinite(NO2) && !isfinite(NO))
        return;
    nxw_number_text(fmax(NO2, 0.0), 2, a);
    nxw_number_text(fmax(NO, 0.0), 2, b);
    (void)fputs("<tr>", out);
    nxw_html_element(out, "th scope=\"row\"", what);
    nxw_html_elementf(out, "td class=\"n\"", "%s %s", a, unit);
    nxw_html_elementf(out, "td class=\"n\"", "%s %s", b, unit);
    (void)fputs("</tr>\n", out);
}

static void print_limits(FILE *out, const struct nxw_hood_air *NO2, const struct nxw_hood_air *NO)
{
    struct nxw_exposure_limit limits[NXW_EXPOSURE_LIMITS_MAX];
    const size_t n = nxw_exposure_limits(limits);
    (void)fputs("<h3>Exposure limits of air that is breathed</h3>\n<table class=\"small\"><thead>"
                "<tr><th>of</th><th class=\"n\">ppm</th>",
                out);
    if (NO2->known)
        (void)fputs("<th>hood air</th>", out);
    (void)fputs("<th>limit</th><th>source</th></tr></thead>\n", out);
    for (size_t i = 0; i < n; i++) {
        const bool is_NO2 = strcmp(limits[i].substance, "NO2") == 0;
        if (!is_NO2 && strcmp(limits[i].substance, "NO") != 0)
            continue;
        char verdict[NXW_HOOD_VERDICT_LENGTH];
        nxw_hood_verdict(is_NO2 ? NO2 : NO, &limits[i], verdict);
        (void)fputs("<tr>", out);
        nxw_html_element(out, "td class=\"whole\"", limits[i].substance);
        nxw_html_elementf(out, "td class=\"n\"", "%g", limits[i].ppm);
        if (NO2->known)
            nxw_html_element(out, "td", verdict);
        nxw_html_elementf(out, "td", "%s (%s)", limits[i].name, limits[i].averaging);
        nxw_html_elementf(out, "td class=\"k\"", "%s%s", limits[i].source,
                          limits[i].memory ? "; text not at hand, check" : "");
        (void)fputs("</tr>\n", out);
    }
    (void)fputs("</table>\n", out);
}

void nxw_report_vent(FILE *out, const struct nxw_report *report)
{
    const struct nxw_result *r = report->result;
    const struct nxw_hood_air NO2 = nxw_hood_air_NO2(report->in, r),
                              NO = nxw_hood_air_NO(report->in, r);
    (void)fputs("<section>\n<h2>At the vent</h2>\n<table><thead><tr><th>about</th>"
                "<th class=\"n\">NO2</th><th class=\"n\">NO</th></tr></thead>\n",
                out);
    vent_row(out, "leaves at the peak", "mg/min", r->vent_peak_NO2_kg_s * NXW_MG_MIN,
             r->vent_peak_NO_kg_s * NXW_MG_MIN);
    vent_row(out, "leaves, 15-min mean", "mg/min", r->vent_mean15_NO2_kg_s * NXW_MG_MIN,
             r->vent_mean15_NO_kg_s * NXW_MG_MIN);
    vent_row(out, "vent gas, peak while it flows", "ppm", r->vent_peak_NO2_fraction * 1e6,
             r->vent_peak_NO_fraction * 1e6);
    vent_row(out, "hood air, peak", "ppm", NO2.fraction[NXW_HOOD_PEAK] * 1e6,
             NO.fraction[NXW_HOOD_PEAK] * 1e6);
    vent_row(out, "hood air, 15-min mean", "ppm", NO2.fraction[NXW_HOOD_15_MIN] * 1e6,
             NO.fraction[NXW_HOOD_15_MIN] * 1e6);
    vent_row(out, "hood air, 8-h mean with this run", "ppm", NO2.fraction[NXW_HOOD_8_H] * 1e6,
             NO.fraction[NXW_HOOD_8_H] * 1e6);
    (void)fputs("</table>\n", out);
    char time[AMOUNT], limit[AMOUNT];
    nxw_time_text(r->vent_time_above_s, time);
    nxw_number_text(report->in->parameters.value[NXW_P_vent_limit_NO2], 2, limit);
    if (r->vent_time_above_s > 0.0)
        nxw_html_elementf(out, "p", "More than %s mg/min NO2 for %s in all.", limit, time);
    if (!NO2.known)
        nxw_html_element(out, "p",
                         "Give the hood's flow (hood: {flow: 10 m3/min}) to have the strength in "
                         "its air.");
    print_limits(out, &NO2, &NO);
    (void)fputs("</section>\n", out);
}

void nxw_report_why(FILE *out, const struct nxw_result *r)
{
    (void)fputs("<section>\n<h2>Why it escaped</h2>\n", out);
    if (!(r->escaped_mol > 0.0)) {
        (void)fputs("<p>Nothing to speak of did.</p>\n</section>\n", out);
        return;
    }
    (void)fputs("<table><thead><tr><th>way, and what helps</th><th class=\"n\">of the escape</th>"
                "<th class=\"n\">about</th></tr></thead>\n",
                out);
    size_t order[NXW_WHY_COUNT];
    nxw_why_largest_first(&r->why, order);
    for (size_t k = 0; k < NXW_WHY_COUNT; k++) {
        const size_t i = order[k];
        const double part = nxw_why_mol(&r->why, i) / r->escaped_mol;
        if (!(part > 1e-4))
            continue;
        char percent[AMOUNT], mass[AMOUNT];
        nxw_percent_text(part, 2, percent);
        nxw_mass_text(nxw_why_mol(&r->why, i) * nxw_why_words[i].molar_mass_kg_mol, 2, mass);
        (void)fputs("<tr><th scope=\"row\">", out);
        nxw_html_say(out, nxw_why_words[i].text);
        nxw_html_elementf(out, "div class=\"note\"", "Against it: %s", nxw_why_words[i].remedy);
        bar(out, part, STRIPED, nxw_why_words[i].text);
        (void)fputs("</th>", out);
        nxw_html_element(out, "td class=\"n\"", percent);
        nxw_html_element(out, "td class=\"n\"", mass);
        (void)fputs("</tr>\n", out);
    }
    (void)fputs("</table>\n</section>\n", out);
}

/* ------------------------------------------------------------------------- constants */

static void constant_row(FILE *out, const struct nxw_parameter_record *p)
{
    char value[AMOUNT], low[AMOUNT], high[AMOUNT];
    const char *unit = strcmp(p->unit, "1") == 0 ? "" : p->unit;
    nxw_number_text(p->value, 4, value);
    nxw_number_text(p->low, 4, low);
    nxw_number_text(p->high, 4, high);
    (void)fputs("<tr>", out);
    nxw_html_element(out, "td class=\"k\"", p->key);
    nxw_html_elementf(out, "td", "%s %s (%s to %s)", value, unit, low, high);
    nxw_html_element(out, "td", p->known == NXW_KNOWN_MEMORY ? "from memory" : "judgement");
    nxw_html_element(out, "td class=\"k\"", p->source);
    (void)fputs("</tr>\n", out);
}

void nxw_report_unproven(FILE *out, const struct nxw_report *report)
{
    const struct nxw_case_notes *notes = report->notes;
    (void)fputs("<section>\n<h2>What this rests on</h2>\n", out);
    nxw_html_elementf(out, "p",
                      "%zu of the %zu constants rest on memory or judgement, not on a source that "
                      "was at hand:",
                      nxw_unproven_constants(), nxw_parameter_count());
    (void)fputs("<table class=\"small\"><thead><tr><th>constant</th><th>value (range)</th>"
                "<th>known</th><th>source</th></tr></thead>\n",
                out);
    for (size_t i = 0; i < nxw_parameter_count(); i++) {
        const struct nxw_parameter_record *p = nxw_parameter_record(i);
        if (p->known == NXW_KNOWN_MEMORY || p->known == NXW_KNOWN_JUDGEMENT)
            constant_row(out, p);
    }
    (void)fputs("</table>\n", out);
    for (size_t i = 0; i < notes->n_overrides; i++) {
        const struct nxw_parameter_record *p = nxw_parameter_record(notes->overrides[i]);
        char value[AMOUNT], table[AMOUNT];
        nxw_number_text(report->in->parameters.value[notes->overrides[i]], 6, value);
        nxw_number_text(p->value, 6, table);
        nxw_html_elementf(out, "p class=\"warn\"", "Set by the case: %s = %s %s (table: %s)",
                          p->key, value, p->unit, table);
    }
    (void)fputs("</section>\n", out);
}
