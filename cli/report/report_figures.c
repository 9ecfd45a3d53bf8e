/* Curves over time: drawn by gnuplot, cleaned and put into the page as SVG. */
#include <fcntl.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/gnuplot.h"
#include "base/html_out.h"
#include "base/text_layout.h"
#include "report/figure.h"
#include "report/report_page.h"

enum { AMOUNT = NXW_AMOUNT_LENGTH, TITLE = 2048 };

static bool write_script(FILE *script, void *user)
{
    nxw_gnuplot_svg(script, 440, 290, "sans-serif,14");
    return nxw_figure_script(script, user, true, false);
}

/* ------------------------------------------------------------------------ SVG into HTML */

/* Print what gnuplot drew without what has no place in a page: names of its own, titles and
 * definitions, which would meet those of the next picture. false: it does not look like SVG. */
static bool print_clean(FILE *out, const char *svg)
{
    static const char *const dropped[][2] = {
        {"<title>", "</title>"}, {"<desc>", "</desc>"}, {"<defs>", "</defs>"}, {" id=\"", "\""}};
    const char *at = strstr(svg, "<svg");
    at = at != NULL ? strchr(at, '>') : NULL;
    if (at == NULL || strstr(at, "</svg>") == NULL)
        return false;
    for (at++; *at != '\0'; at++) {
        const char *end = NULL;
        for (size_t i = 0; i < sizeof dropped / sizeof dropped[0] && end == NULL; i++) {
            const size_t n = strlen(dropped[i][0]);
            if (strncmp(at, dropped[i][0], n) == 0 && (end = strstr(at + n, dropped[i][1])) != NULL)
                end += strlen(dropped[i][1]);
        }
        if (end != NULL)
            at = end - 1;
        else if (*at != '\n' && *at != '\t')
            (void)fputc(*at, out);
        else
            (void)fputc(' ', out);
    }
    return true;
}

static char *read_all(int descriptor)
{
    const off_t size = lseek(descriptor, 0, SEEK_END);
    if (size < 0 || lseek(descriptor, 0, SEEK_SET) != 0)
        return NULL;
    char *text = malloc((size_t)size + 1);
    size_t n = 0;
    while (text != NULL && n < (size_t)size) {
        const ssize_t got = read(descriptor, text + n, (size_t)size - n);
        if (got <= 0)
            break;
        n += (size_t)got;
    }
    if (text != NULL)
        text[n] = '\0';
    return text;
}

/* " (19 of 20 runs: 1.0 to 1.2 mol/L)." at the end; "." without a band. */
static int describe_band(const struct nxw_figure *f, size_t line, char *out, size_t size)
{
    if (f->bands == NULL)
        return snprintf(out, size, ".");
    double time_s, low, high;
    char from[AMOUNT], to[AMOUNT];
    nxw_band_at(f->bands, &f->lines[line].curve, NXW_BAND_POINTS - 1, &time_s, &low, &high);
    nxw_number_text(low, 2, from);
    nxw_number_text(high, 2, to);
    return snprintf(out, size, " (19 of 20 runs: %s to %s %s).", from, to, f->unit);
}

/* What the picture says, for those who cannot see it. */
static void describe(const struct nxw_figure *f, char out[TITLE])
{
    char until[AMOUNT];
    nxw_time_text(f->until_s, until);
    int n = snprintf(out, TITLE, "%s over %s.", f->title, until);
    for (size_t i = 0; i < f->n && n > 0 && n < TITLE; i++) {
        struct nxw_curve_summary c;
        if (!nxw_curve_summary(f->series, &f->lines[i].curve, f->until_s, &c))
            continue;
        char high[AMOUNT], time[AMOUNT], end[AMOUNT];
        nxw_number_text(c.highest, 3, high);
        nxw_time_text(c.highest_s, time);
        nxw_number_text(fabs(c.last) < 1e-6 * fabs(c.highest) ? 0.0 : c.last, 3, end);
        n += snprintf(out + n, TITLE - (size_t)n, " %s%shighest %s %s at %s, last %s %s",
                      f->lines[i].name, f->lines[i].name[0] != '\0' ? ": " : "", high, f->unit,
                      time, end, f->unit);
        if (n > 0 && n < TITLE)
            n += describe_band(f, i, out + n, (size_t)(TITLE - n));
    }
}

static const char *draw(FILE *out, struct nxw_figure *f)
{
    FILE *file = tmpfile();
    if (file == NULL)
        return "no room for a temporary file";
    (void)fcntl(fileno(file), F_SETFD, FD_CLOEXEC);
    const char *why = nxw_gnuplot(write_script, f, file);
    char *svg = why == NULL ? read_all(fileno(file)) : NULL;
    if (why == NULL && (svg == NULL || strstr(svg, "</svg>") == NULL))
        why = "gnuplot drew no picture";
    if (why == NULL) {
        char text[TITLE];
        describe(f, text);
        (void)fputs("<figure>", out);
        nxw_html_element(out, "figcaption", f->title);
        (void)fputs("<svg role=\"img\" viewBox=\"0 0 440 290\">", out);
        nxw_html_element(out, "title", text);
        if (!print_clean(out, svg))
            why = "gnuplot drew no picture";
        (void)fputs("</figure>\n", out);
    }
    free(svg);
    (void)fclose(file);
    return why;
}

const char *nxw_report_curves(FILE *out, const struct nxw_page *page)
{
    const char *why = page->series->n < 2 ? "the run has no course" : NULL;
    (void)fputs("<section>\n<h2>In the course of time</h2>\n", out);
    const struct nxw_result *r = page->report->result;
    if (nxw_shown_time_s(r) < r->end_s) {
        char shown[AMOUNT], all[AMOUNT];
        nxw_time_text(nxw_shown_time_s(r), shown);
        nxw_time_text(r->end_s, all);
        nxw_html_elementf(out, "p class=\"note lead\"", "Drawn up to %s of the %s followed.", shown,
                          all);
    }
    if (page->bands != NULL)
        nxw_html_element(
            out, "p class=\"note lead\"",
            "Shaded: nineteen of twenty such runs lie within. Each thing that may be off "
            "is moved by itself, and what that does is added up in squares.");
    (void)fputs("<div class=\"curves\">\n", out);
    struct nxw_figure f;
    for (size_t which = 0;
         why == NULL && nxw_figure_plan(page->report, page->series, page->bands, which, &f);
         which++) {
        if (nxw_figure_measure(&f))
            why = draw(out, &f);
        else if (f.n > 0)
            nxw_html_elementf(out, "p class=\"note\"", "%s: none to speak of.", f.title);
    }
    (void)fputs("</div>\n", out);
    if (why != NULL)
        nxw_html_elementf(out, "p class=\"note\"", "No curves: %s.", why);
    (void)fputs("</section>\n", out);
    return why;
}
