/* The run sheet: what goes in, what will be seen, what to do, what to read afterwards. */
#include <math.h>

#include "base/html_out.h"
#include "base/text_layout.h"
#include "case/case_fields.h"
#include "case/gravity.h"
#include "noxwash.h"
#include "report/report_page.h"
#include "words/breakthrough.h"
#include "words/event_text.h"
#include "words/limit_digits.h"
#include "words/peroxide_text.h"

enum { AMOUNT = NXW_AMOUNT_LENGTH, LINE = 240 };

static void blank(FILE *out, const char *what)
{
    (void)fputs("<td><input type=\"text\" aria-label=\"", out);
    nxw_html_say(out, what);
    (void)fputs("\"></td>", out);
}

/* A row with a place to write what was really done or read. */
static void row(FILE *out, const char *what, const char *planned)
{
    (void)fputs("<tr>", out);
    nxw_html_element(out, "th scope=\"row\"", what);
    nxw_html_element(out, "td", planned);
    blank(out, what);
    (void)fputs("</tr>\n", out);
}

static void tick(FILE *out, const char *text)
{
    (void)fputs("<label><input type=\"checkbox\">", out);
    nxw_html_say(out, text);
    (void)fputs("</label>\n", out);
}

static bool has_peroxide(const struct nxw_case *in)
{
    for (size_t i = 0; i < in->n_stages; i++)
        if (in->stages[i].peroxide_mass_fraction > 0.0)
            return true;
    return false;
}

static void print_before(FILE *out, const struct nxw_report *report)
{
    const struct nxw_case *in = report->in;
    const unsigned guards = nxw_guards(in, report->result);
    (void)fputs("<h3>Before the gas</h3>\n", out);
    tick(out,
         "The hood draws. Gloves, goggles and acid-proof clothing are on; nobody works alone.");
    tick(out, "The way from the source to the hood is open: nothing is stoppered, no tip, frit or "
              "vent is blocked.");
    if ((guards & NXW_GUARD_TRAP) != 0)
        tick(out, "The empty vessel stands ahead of the first bottle.");
    if ((guards & NXW_GUARD_PURGE) != 0)
        tick(out, "The purge gas runs, and there is enough of it for the time after the source.");
    if (guards == NXW_GUARD_NONE)
        tick(out, "Nothing in this arrangement keeps liquid from being sucked back: everyone here "
                  "knows what to do before the source is stopped, and when fumes break through.");
    if (has_peroxide(in))
        tick(out, "The peroxide went in cold, at " NXW_PEROXIDE_DIGITS " wt% or less, vented, away "
                  "from organic matter and metal salts.");
}

static void charge_peroxide(FILE *out, const char *what, double peroxide_kg,
                            const struct nxw_stage *stage)
{
    char mass[AMOUNT], strength[AMOUNT], volumes[NXW_PEROXIDE_TEXT_LENGTH];
    char text[LINE + NXW_PEROXIDE_TEXT_LENGTH];
    nxw_mass_text(peroxide_kg, 3, mass);
    nxw_number_text(100.0 * stage->peroxide_mass_fraction, 3, strength);
    nxw_peroxide_volumes_text(peroxide_kg, stage->peroxide_mass_fraction, 3,
                              stage->acid_mass_fraction > 0.0, volumes);
    (void)snprintf(text, sizeof text, "%s wt%%: %s H2O2, as in %s%s", strength, mass, volumes,
                   stage->peroxide_mass_fraction > NXW_PEROXIDE_MOST
                       ? "; that is above " NXW_PEROXIDE_DIGITS " wt%: use less"
                       : "");
    row(out, what, text);
}

static void charge_bath(FILE *out, const char *name, const struct nxw_stage *stage)
{
    char ice[AMOUNT], water[AMOUNT], temperature[AMOUNT], text[LINE], what[64];
    (void)snprintf(what, sizeof what, "%s: around it", name);
    nxw_mass_text(stage->ice_kg, 3, ice);
    nxw_mass_text(stage->bath_water_kg, 3, water);
    nxw_temperature_text(stage->bath_temperature_K, temperature);
    if (stage->bath == NXW_BATH_ICE_WATER)
        (void)snprintf(text, sizeof text, "%s ice in %s water", ice, water);
    else
        (void)snprintf(text, sizeof text, "%s, %s", nxw_words_bath[stage->bath], temperature);
    row(out, what, text);
}

static void charge_bottle(FILE *out, const struct nxw_report *report, size_t i)
{
    const struct nxw_stage *stage = &report->in->stages[i];
    char name[32], volume[AMOUNT], temperature[AMOUNT], strength[AMOUNT], what[64], text[LINE];
    nxw_report_stage_name(report->in, i, name);
    if (stage->kind == NXW_STAGE_EMPTY) {
        nxw_number_text(stage->volume_m3 * 1e6, 3, volume);
        (void)snprintf(text, sizeof text, "%s mL, dry", volume);
        row(out, name, text);
        return;
    }
    nxw_number_text(stage->liquid_m3 * 1e6, 3, volume);
    nxw_temperature_text(isnan(stage->liquid_temperature_K) ? stage->bath_temperature_K
                                                            : stage->liquid_temperature_K,
                         temperature);
    (void)snprintf(what, sizeof what, "%s: liquid in all", name);
    (void)snprintf(text, sizeof text, "%s mL at %s", volume, temperature);
    row(out, what, text);
    if (stage->acid_mass_fraction > 0.0) {
        nxw_number_text(100.0 * stage->acid_mass_fraction, 3, strength);
        (void)snprintf(what, sizeof what, "%s: acid in it", name);
        (void)snprintf(text, sizeof text, "%s wt%% HNO3", strength);
        row(out, what, text);
    }
    if (stage->peroxide_mass_fraction > 0.0) {
        (void)snprintf(what, sizeof what, "%s: peroxide in it", name);
        charge_peroxide(out, what,
                        report->result->stages[i].peroxide_start_mol * NXW_MOLAR_MASS_H2O2_KG_MOL,
                        stage);
    }
    charge_bath(out, name, stage);
}

static void print_charge(FILE *out, const struct nxw_report *report)
{
    char fed[AMOUNT], duration[AMOUNT], text[LINE];
    (void)fputs("<h3>What goes in</h3>\n<table><thead><tr><th>what</th><th>as estimated</th>"
                "<th>as done</th></tr></thead>\n",
                out);
    nxw_mol_text(report->result->fed_mol, 3, fed);
    nxw_time_text(report->in->source.duration_s, duration);
    (void)snprintf(text, sizeof text, "%s: %s N in %s", nxw_words_source[report->in->source.kind],
                   fed, duration);
    row(out, "Source", text);
    const struct nxw_carrier *carrier = &report->in->carrier;
    if (carrier->gas != NXW_GAS_NONE) {
        char flow[AMOUNT], until[AMOUNT];
        nxw_number_text(carrier->flow_mol_s * 24.055 * 60.0, 3, flow); /* L/mol, 20 degC, 1 atm */
        nxw_time_text(carrier->until_s, until);
        (void)snprintf(text, sizeof text, "%s, %s L/min, until %s", nxw_words_gas[carrier->gas],
                       flow, isfinite(carrier->until_s) ? until : "the end");
        row(out, "Carrier and purge gas", text);
    }
    for (size_t i = 0; i < report->in->n_stages; i++)
        charge_bottle(out, report, i);
    (void)fputs("</table>\n", out);
}

static void print_seen(FILE *out, const struct nxw_report *report)
{
    const struct nxw_result *r = report->result;
    (void)fputs("<h3>What will be seen, and when</h3>\n<table><thead><tr><th>about</th>"
                "<th>what</th><th>seen at</th></tr></thead>\n",
                out);
    for (size_t i = 0; i < r->n_events; i++) {
        char time[AMOUNT], text[NXW_EVENT_TEXT_LENGTH];
        if (!nxw_event_text(report->in, &r->events[i], text))
            continue;
        nxw_time_text(r->events[i].time_s, time);
        row(out, time, text);
    }
    (void)fputs("</table>\n", out);
}

static void print_readings(FILE *out, const struct nxw_report *report)
{
    (void)fputs("<h3>Readings afterwards</h3>\n<table><thead><tr><th>what</th><th>as estimated"
                "</th><th>as read</th></tr></thead>\n",
                out);
    for (size_t i = 0; i < report->in->n_stages; i++) {
        const struct nxw_stage_result *s = &report->result->stages[i];
        char name[32], what[80], text[LINE], number[AMOUNT], temperature[AMOUNT];
        if (report->in->stages[i].kind == NXW_STAGE_EMPTY)
            continue;
        nxw_report_stage_name(report->in, i, name);
        nxw_number_text(s->liquid_m3 * 1e6, 3, number);
        (void)snprintf(what, sizeof what, "%s: liquid", name);
        (void)snprintf(text, sizeof text, "%s mL", number);
        row(out, what, text);
        nxw_temperature_text(s->temperature_K, temperature);
        (void)snprintf(what, sizeof what, "%s: temperature", name);
        row(out, what, temperature);
        (void)snprintf(what, sizeof what, "%s: hydrometer", name);
        (void)snprintf(text, sizeof text, "%.4f g/cm3 at %s",
                       nxw_common_hydrometer_kg_m3(s->density_kg_m3, s->temperature_K) * 1e-3,
                       temperature);
        if (isfinite(s->density_kg_m3))
            row(out, what, text);
        nxw_number_text(1e-3 * (s->acid_mol_m3 + s->nitrous_acid_mol / s->liquid_m3), 3, number);
        (void)snprintf(what, sizeof what, "%s: titration, all acid", name);
        (void)snprintf(text, sizeof text, "%s mol/L", number);
        row(out, what, text);
    }
    (void)fputs("</table>\n<p class=\"note\">'noxwash balance' makes the account of the run from "
                "these readings.</p>\n",
                out);
}

void nxw_report_sheet(FILE *out, const struct nxw_report *report)
{
    (void)fputs("<section class=\"sheet\">\n<h2>Run sheet</h2>\n<table><tr>"
                "<th scope=\"row\">Date</th>",
                out);
    blank(out, "Date");
    (void)fputs("<th scope=\"row\">Name</th>", out);
    blank(out, "Name");
    (void)fputs("</tr></table>\n<div class=\"box\">", out);
    char breakthrough[NXW_BREAKTHROUGH_LENGTH];
    nxw_breakthrough_text(report->in, report->result, breakthrough);
    nxw_html_element(out, "p", breakthrough);
    (void)fputs("</div>\n", out);
    print_before(out, report);
    print_charge(out, report);
    print_seen(out, report);
    (void)fputs("<h3>When the source ends</h3>\n", out);
    const char *ending = nxw_ending_text(report->in, report->result);
    if (ending[0] != '\0')
        tick(out, ending);
    tick(out, "The bottles stand open to the hood: no stopper while nitrous acid or peroxide is in "
              "them.");
    print_readings(out, report);
    (void)fputs("<h3>Notes</h3>\n<textarea rows=\"5\" aria-label=\"Notes\"></textarea>\n"
                "</section>\n",
                out);
}
