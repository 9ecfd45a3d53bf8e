/* The report as one page: the order of its parts, and those that are plain text. */
#include <stdlib.h>
#include <string.h>

#include "base/html_out.h"
#include "base/text_layout.h"
#include "case/resolved.h"
#include "report/report_glass.h"
#include "report/report_page.h"
#include "report/report_text.h"
#include "report/verdict.h"
#include "words/cautions.h"
#include "words/run_words.h"
#include "words/warning_text.h"

/* One point of the verdict: its question in bold. */
static bool print_point(FILE *out, const char *text, size_t length)
{
    size_t lead = 0;
    while (lead < length && text[lead] != '?' && text[lead] != ':')
        lead++;
    (void)fputs("<p>", out);
    if (lead < length && lead < 40 && memchr(text, '(', lead) == NULL) {
        (void)fputs("<strong>", out);
        nxw_html_textn(out, text, lead + 1);
        (void)fputs("</strong>", out);
    } else
        lead = (size_t)-1;
    char *rest = strndup(text + lead + 1, length - lead - 1);
    if (rest == NULL)
        return false;
    nxw_html_say(out, rest);
    free(rest);
    (void)fputs("</p>\n", out);
    return true;
}

/* Text written for 78 columns: a line at two blanks begins a point, deeper ones go on. */
static bool print_points(FILE *out, const char *text)
{
    char *point = calloc(1, strlen(text) + 1);
    size_t n = 0;
    bool good = point != NULL;
    while (good && *text != '\0') {
        const size_t length = strcspn(text, "\n"), indent = strspn(text, " ");
        if (indent == 2 && n > 0) {
            good = print_point(out, point, n);
            n = 0;
        }
        if (indent >= 2 && indent < length) {
            if (n > 0)
                point[n++] = ' ';
            memcpy(point + n, text + indent, length - indent);
            n += length - indent;
        }
        text += length + (text[length] == '\n');
    }
    if (good && n > 0)
        good = print_point(out, point, n);
    free(point);
    return good;
}

/* Is the text whole? */
static bool close_memory(FILE *memory, char *const *text)
{
    const bool good = ferror(memory) == 0;
    return fclose(memory) == 0 && good && *text != NULL;
}

/* A section from a part of the report for the terminal; its end is left open. false: no memory. */
static bool begin_from_text(FILE *out, const char *heading, const struct nxw_report *report,
                            void (*print)(FILE *out, const struct nxw_report *report))
{
    char *text = NULL;
    size_t size = 0;
    FILE *memory = open_memstream(&text, &size);
    bool good = memory != NULL;
    if (memory != NULL) {
        print(memory, report);
        good = close_memory(memory, &text);
    }
    (void)fputs("<section>\n", out);
    nxw_html_element(out, "h2", heading);
    good = good && print_points(out, text);
    free(text);
    return good;
}

static bool print_verdict(FILE *out, const struct nxw_report *report)
{
    const bool good = begin_from_text(out, "Verdict", report, nxw_verdict_print);
    const struct nxw_result *r = report->result;
    if (r->status == NXW_ENDED_EARLY) {
        char time[NXW_AMOUNT_LENGTH];
        nxw_time_text(r->end_s, time);
        nxw_html_elementf(out, "p class=\"warn\"",
                          "The run ended early, at %s: the figures stop there.", time);
    }
    for (size_t i = 0; i < NXW_WARNING_COUNT; i++) {
        char text[NXW_WARNING_TEXT_LENGTH];
        if ((r->warnings & (unsigned)nxw_warning_words[i].bit) == 0)
            continue;
        nxw_warning_text(report->in, r, i, text);
        nxw_html_element(out, "p class=\"warn\"", text);
    }
    (void)fputs("<p class=\"note\">An estimate, with the <a href=\"#cautions\">cautions</a> "
                "below.</p>\n</section>\n",
                out);
    return good;
}

static void print_cautions(FILE *out, const struct nxw_report *report)
{
    struct nxw_cautions cautions;
    nxw_cautions_make(&(struct nxw_caution_for){report->in, report->result, report->notes->metal},
                      &cautions);
    (void)fputs("<section class=\"after-sheet\" id=\"cautions\">\n<h2>Cautions</h2>\n<ul>\n", out);
    for (size_t i = 0; i < cautions.n; i++)
        nxw_html_element(out, "li", cautions.text[i]);
    (void)fputs("</ul>\n</section>\n", out);
}

static void print_versions(FILE *out)
{
    (void)fputs("<section>\n<h2>Versions</h2>\n", out);
    nxw_html_elementf(out, "p class=\"k\"", "noxwash %s, commit %s", nxw_version(), nxw_commit());
    (void)fputs("<p>Constants: table ", out);
    nxw_html_text(out, nxw_parameter_version());
    (void)fputs(", hash ", out);
    nxw_html_element(out, "code", nxw_parameter_hash());
    (void)fputs("</p>\n</section>\n", out);
}

static bool print_case(FILE *out, const struct nxw_page *page)
{
    char *text = NULL;
    size_t size = 0;
    FILE *memory = open_memstream(&text, &size);
    bool good = memory != NULL;
    if (memory != NULL) {
        good = nxw_resolved_print(memory, page->report->in, page->report->notes, page->given);
        good = close_memory(memory, &text) && good;
    }
    (void)fputs("<section>\n<h2>The case in full, for copying</h2>\n<pre dir=\"ltr\">", out);
    if (good)
        nxw_html_text(out, text);
    (void)fputs("</pre>\n</section>\n", out);
    free(text);
    return good;
}

static void print_head(FILE *out, const struct nxw_page *page)
{
    const struct nxw_report *report = page->report;
    const bool named = nxw_tree_find(page->given, "name", false) != NULL;
    char title[256];
    (void)snprintf(title, sizeof title, "noxwash: %.200s", named ? report->in->name : report->path);
    nxw_html_begin(out, title);
    (void)fputs("<header>\n<h1>What becomes of the brown gas: ", out);
    nxw_html_foreign(out, named ? report->in->name : report->path);
    (void)fputs("</h1>\n", out);
    if (named) {
        (void)fputs("<p class=\"note\">Case file: ", out);
        nxw_html_foreign(out, report->path);
        (void)fputs("</p>\n", out);
    }
    char usual[NXW_USUAL_LENGTH];
    nxw_usual_text(report, usual);
    if (usual[0] != '\0')
        nxw_html_element(out, "p class=\"note\"", usual);
    (void)fputs("</header>\n", out);
}

bool nxw_report_page(FILE *out, const struct nxw_page *page, const char **no_curves)
{
    const struct nxw_report *report = page->report;
    print_head(out, page);
    bool good = print_verdict(out, report);
    nxw_report_train(out, report);
    *no_curves = nxw_report_curves(out, page);
    nxw_report_account(out, report);
    nxw_report_intervals(out, report->uncertainty);
    good = begin_from_text(out, "What the glass has to bear", report, nxw_glass_print) && good;
    (void)fputs("</section>\n", out);
    nxw_report_vent(out, report);
    nxw_report_why(out, report->result);
    if (page->remedies != NULL)
        nxw_report_remedies(out, page->remedies, report->notes->currency);
    nxw_report_sheet(out, report);
    if (report->uncertainty != NULL)
        nxw_report_sensitivity(out, report->uncertainty);
    print_cautions(out, report);
    nxw_report_unproven(out, report);
    print_versions(out);
    good = print_case(out, page) && good;
    nxw_html_end(out);
    return good;
}
