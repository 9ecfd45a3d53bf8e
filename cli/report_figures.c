/* Curves over time: drawn by gnuplot, cleaned and put into the page as SVG. */
#include <fcntl.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "gnuplot.h"
#include "html_out.h"
#include "report_page.h"
#include "text_layout.h"

#define TRACE 1e-6  /* mmol/min, mg/min, mol/L or g: less is nothing to draw */
#define LEVEL_K 0.1 /* a temperature that moves less is drawn as a level line */

enum { AMOUNT = NXW_AMOUNT_LENGTH, LINES_MAX = NXW_STAGES_MAX, TITLE = 2048 };

/* Eight lines told apart by colour and, printed in black, by their dashes. The colours are the set
 * of Okabe and Ito for the colour-blind (from memory), without its yellow. */
static const struct {
    const char *colour, *dash;
} STYLES[LINES_MAX] = {
    {"#0072b2", "1"},
    {"#d55e00", "(9,5)"},
    {"#000000", "(2,4)"},
    {"#009e73", "(10,4,2,4)"},
    {"#cc79a7", "(16,5)"},
    {"#56b4e9", "(5,3)"},
    {"#e69f00", "(10,3,2,3,2,3)"},
    {"#555555", "(1,7)"},
};

struct line {
    struct nxw_curve curve;
    char name[32];
    size_t style;
};

struct figure {
    const char *title, *unit;
    const struct nxw_page *page;
    double until_s;
    double lowest, highest; /* of all lines */
    size_t n;
    struct line lines[LINES_MAX];
};

/* Time the curves show: a long standing time would squeeze the run itself to nothing. */
static double shown_time_s(const struct nxw_result *r)
{
    double active_s = 0.0;
    for (size_t i = 0; i < r->n_events; i++)
        if (r->events[i].kind == NXW_EVENT_SOURCE_ENDS ||
            r->events[i].kind == NXW_EVENT_CARRIER_ENDS)
            active_s = fmax(active_s, r->events[i].time_s);
    return active_s > 0.0 && r->end_s > 4.0 * active_s ? 2.0 * active_s : r->end_s;
}

static void print_point(void *user, double time_s, double value)
{
    (void)fprintf(user, "%.6g %.6g\n", time_s / 60.0, value);
}

static bool write_script(FILE *script, void *user)
{
    const struct figure *f = user;
    (void)fputs(
        "set encoding utf8\nset terminal svg size 440,290 dynamic background rgb 'white' font "
        "'sans-serif,14'\nset key outside above noenhanced samplen 5\n"
        "set grid lc rgb '#cccccc' lw 0.6 dt 1\nset tics nomirror scale 0.5\n"
        "set xlabel 'time, min' offset 0,0.4\nset ylabel ",
        script);
    nxw_gnuplot_quoted(script, f->unit);
    (void)fprintf(script, " noenhanced offset 0.8,0\nset xrange [0:%.6g]\n", f->until_s / 60.0);
    if (f->lines[0].curve.kind != NXW_CURVE_TEMPERATURE)
        (void)fputs("set yrange [0:*]\n", script);
    else if (f->highest - f->lowest < LEVEL_K)
        (void)fprintf(script, "set yrange [%.6g:%.6g]\n", f->lowest - LEVEL_K,
                      f->highest + LEVEL_K);
    for (size_t i = 0; i < f->n; i++) {
        (void)fprintf(script, "$d%u << EOD\n", (unsigned)i);
        nxw_curve_points(f->page->series, &f->lines[i].curve, f->until_s, print_point, script);
        (void)fputs("EOD\n", script);
    }
    for (size_t i = 0; i < f->n; i++) {
        (void)fprintf(script, "%s$d%u using 1:2 with lines lw 2.5 dt %s lc rgb '%s' ",
                      i == 0 ? "plot " : ", ", (unsigned)i, STYLES[f->lines[i].style].dash,
                      STYLES[f->lines[i].style].colour);
        if (f->n == 1 && f->lines[0].name[0] == '\0')
            (void)fputs("notitle", script);
        else {
            (void)fputs("title ", script);
            nxw_gnuplot_quoted(script, f->lines[i].name);
        }
    }
    return fputc('\n', script) != EOF;
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

/* What the picture says, for those who cannot see it. */
static void describe(const struct figure *f, char out[TITLE])
{
    char until[AMOUNT];
    nxw_time_text(f->until_s, until);
    int n = snprintf(out, TITLE, "%s over %s.", f->title, until);
    for (size_t i = 0; i < f->n && n > 0 && n < TITLE; i++) {
        struct nxw_curve_summary c;
        if (!nxw_curve_summary(f->page->series, &f->lines[i].curve, f->until_s, &c))
            continue;
        char high[AMOUNT], time[AMOUNT], end[AMOUNT];
        nxw_number_text(c.highest, 3, high);
        nxw_time_text(c.highest_s, time);
        nxw_number_text(fabs(c.last) < 1e-6 * fabs(c.highest) ? 0.0 : c.last, 3, end);
        n += snprintf(out + n, TITLE - (size_t)n, " %s%shighest %s %s at %s, last %s %s.",
                      f->lines[i].name, f->lines[i].name[0] != '\0' ? ": " : "", high, f->unit,
                      time, end, f->unit);
    }
}

static const char *draw(FILE *out, struct figure *f)
{
    FILE *file = tmpfile();
    if (file == NULL)
        return "no room for a temporary file";
    (void)fcntl(fileno(file), F_SETFD, FD_CLOEXEC);
    const char *why = nxw_gnuplot(write_script, f, fileno(file));
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

/* ------------------------------------------------------------------------ which figures */

static void add_line(struct figure *f, enum nxw_curve_kind kind, size_t stage, const char *name,
                     size_t style)
{
    struct line *line = &f->lines[f->n++];
    *line = (struct line){.curve = {kind, stage, 0.0}, .style = style};
    if (kind == NXW_CURVE_ACID)
        line->curve.charged_mol = f->page->report->result->stages[stage].nitrate_start_mol;
    (void)snprintf(line->name, sizeof line->name, "%s", name);
}

static bool has_curve(const struct nxw_report *report, enum nxw_curve_kind kind, size_t stage)
{
    const struct nxw_stage_result *s = &report->result->stages[stage];
    return kind == NXW_CURVE_PEROXIDE ? s->peroxide_start_mol > 0.0
           : kind == NXW_CURVE_ICE    ? s->ice_start_kg > 0.0
                                      : true;
}

static struct figure plan(const struct nxw_page *page, size_t which)
{
    static const struct {
        const char *title, *unit;
        enum nxw_curve_kind kind;
    } plans[] = {
        {"Gas from the source", "mmol N/min", NXW_CURVE_FED},
        {"At the vent", "mg/min", NXW_CURVE_VENT_NO2},
        {"Strength: nitric acid in the liquid", "mol/L", NXW_CURVE_ACID},
        {"Nitrous acid in the liquid", "mol/L", NXW_CURVE_NITROUS},
        {"Peroxide left", "g H2O2", NXW_CURVE_PEROXIDE},
        {"Temperature of the liquid",
         "\xc2\xb0"
         "C",
         NXW_CURVE_TEMPERATURE},
        {"Ice left", "g", NXW_CURVE_ICE},
    };
    const struct nxw_report *report = page->report;
    struct figure f = {.page = page, .until_s = shown_time_s(report->result)};
    if (which >= sizeof plans / sizeof plans[0])
        return f;
    f.title = plans[which].title;
    f.unit = plans[which].unit;
    if (plans[which].kind == NXW_CURVE_FED)
        add_line(&f, NXW_CURVE_FED, 0, "", 0);
    else if (plans[which].kind == NXW_CURVE_VENT_NO2) {
        add_line(&f, NXW_CURVE_VENT_NO2, report->in->n_stages - 1, "NO2", 0);
        add_line(&f, NXW_CURVE_VENT_NO, report->in->n_stages - 1, "NO", 1);
    } else {
        size_t bottles = 0; /* a bottle has one style in all figures */
        for (size_t i = 0; i < report->in->n_stages && i < LINES_MAX; i++) {
            char name[32];
            if (report->in->stages[i].kind == NXW_STAGE_EMPTY)
                continue;
            const size_t style = bottles++;
            nxw_report_stage_name(report->in, i, name);
            if (has_curve(report, plans[which].kind, i))
                add_line(&f, plans[which].kind, i, report->in->n_stages > 1 ? name : "", style);
        }
    }
    return f;
}

/* The span of all lines; false: there is nothing to draw. */
static bool measure(struct figure *f)
{
    bool any = false;
    for (size_t i = 0; i < f->n; i++) {
        struct nxw_curve_summary c;
        if (!nxw_curve_summary(f->page->series, &f->lines[i].curve, f->until_s, &c))
            continue;
        f->lowest = any ? fmin(f->lowest, c.lowest) : c.lowest;
        f->highest = any ? fmax(f->highest, c.highest) : c.highest;
        any = true;
    }
    return any && (f->lines[0].curve.kind == NXW_CURVE_TEMPERATURE || f->highest > TRACE);
}

const char *nxw_report_curves(FILE *out, const struct nxw_page *page)
{
    const char *why = page->series->n < 2 ? "the run has no course" : NULL;
    (void)fputs("<section>\n<h2>In the course of time</h2>\n", out);
    const struct nxw_result *r = page->report->result;
    if (shown_time_s(r) < r->end_s) {
        char shown[AMOUNT], all[AMOUNT];
        nxw_time_text(shown_time_s(r), shown);
        nxw_time_text(r->end_s, all);
        nxw_html_elementf(out, "p class=\"note lead\"", "Drawn up to %s of the %s followed.", shown,
                          all);
    }
    (void)fputs("<div class=\"curves\">\n", out);
    for (size_t which = 0; why == NULL; which++) {
        struct figure f = plan(page, which);
        if (f.title == NULL)
            break;
        if (measure(&f))
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
