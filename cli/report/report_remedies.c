/* The remedies as a table of the page. */
#include <ctype.h>
#include <math.h>
#include <string.h>

#include "base/html_out.h"
#include "base/text_layout.h"
#include "report/remedy_report.h"
#include "report/report_page.h"
#include "study/cost.h"
#include "words/headline.h"
#include "words/run_words.h"

enum { AMOUNT = NXW_AMOUNT_LENGTH, NAMES = 120, NOTE = 4000 };

/* One more sentence; a full stop where the text so far has none. */
static void say(char out[NOTE], const char *sentence)
{
    const size_t n = strlen(out);
    (void)snprintf(out + n, NOTE - n, "%s%s",
                   n == 0              ? ""
                   : out[n - 1] == '.' ? " "
                                       : ". ",
                   sentence);
}

/* What is done, what it costs, and what speaks against it. */
static void note(const struct nxw_remedies *all, const struct nxw_remedy_run *run,
                 const char *currency, char out[NOTE])
{
    char text[NXW_REMEDY_RISK], money[NXW_REMEDY_MONEY];
    (void)snprintf(out, NOTE, "%s", run->n == 1 ? run->detail : "");
    if (nxw_remedy_raises_escape(all, run))
        say(out, "More escapes than as it is.");
    if (run->ran && !nxw_remedy_is_ranked(run))
        say(out, "Outside the range of the model: not ranked.");
    nxw_remedy_money(run, currency, money);
    if (money[0] != '\0') {
        money[0] = (char)toupper((unsigned char)money[0]);
        say(out, money);
        (void)snprintf(out + strlen(out), NOTE - strlen(out), ".");
    }
    if (nxw_remedy_raises_risk(all, run)) {
        nxw_remedy_risk_text(all, run, text);
        say(out, text);
    }
    if (nxw_remedy_raises_pressure(all, run)) {
        nxw_remedy_pressure_text(all, run, text);
        say(out, text);
    }
    for (size_t i = 0; i < NXW_WARNING_COUNT; i++)
        if ((run->new_warnings & (unsigned)nxw_warning_words[i].bit) != 0)
            say(out, nxw_warning_words[i].word.text);
}

static void row(FILE *out, const struct nxw_remedies *all, const struct nxw_remedy_run *run,
                const char *currency)
{
    char names[NAMES], gain[AMOUNT], escape[AMOUNT], words[NOTE];
    const double grams = 1e3 * run->gain_mol * NXW_MOLAR_MASS_HNO3_KG_MOL;
    nxw_remedy_names(run, names, sizeof names);
    nxw_number_text(fabs(grams), 2, gain);
    nxw_remedy_escape_text(all, run->drop_mol, escape);
    note(all, run, currency, words);
    (void)fputs("<tr><th scope=\"row\">", out);
    nxw_html_say(out, names);
    if (words[0] != '\0')
        nxw_html_element(out, "div class=\"note\"", words);
    (void)fputs("</th>", out);
    nxw_html_elementf(out, "td class=\"n\"", "%s%s g", grams < 0.0 ? "\xe2\x88\x92" : "+", gain);
    nxw_html_element(out, "td class=\"n\"", escape);
    (void)fputs("</tr>\n", out);
}

void nxw_report_remedies(FILE *out, const struct nxw_remedies *all, const char *currency)
{
    char escape[AMOUNT], advice[NXW_REMEDY_ADVICE];
    (void)fputs("<section>\n<h2>What would help</h2>\n", out);
    nxw_remedies_advice(all, advice);
    nxw_html_element(out, "p", advice);
    nxw_remedy_escape_text(all, 0.0, escape);
    (void)fputs("<table><thead><tr>", out);
    nxw_html_elementf(out, "th", "each alone, %s", nxw_remedies_heading(all->aim));
    (void)fputs("<th class=\"n\">HNO3</th>"
                "<th class=\"n\">escapes</th></tr></thead>\n<tr><th scope=\"row\">as it is</th>"
                "<td class=\"n\"></td>",
                out);
    nxw_html_element(out, "td class=\"n\"", escape);
    (void)fputs("</tr>\n", out);
    for (size_t i = 0; i < NXW_REMEDY_COUNT; i++)
        if (all->alone[i].ran)
            row(out, all, &all->alone[i], currency);
    if (all->pair.n > 0)
        row(out, all, &all->pair, currency);
    if (all->triple.n > 0)
        row(out, all, &all->triple, currency);
    (void)fputs("</table>\n</section>\n", out);
}
