#include "report/figure.h"

#include <math.h>
#include <string.h>

#include "base/gnuplot.h"
#include "case/exposure_limits.h"
#include "report/report_page.h"

enum { WIDTH = 440, HEIGHT = 290 };

#define TRACE 1e-6 /* mmol/min, mg/min, mol/L or g: less is nothing to draw */
#define LEAST_PPM 1e-3
#define MOST_PPM 30.0 /* the scale reaches at least so far */
#define LEVEL_K 0.1   /* a temperature that moves less is drawn as a level line */

/* Eight lines told apart by colour and, printed in black, by their dashes. The colours are the set
 * of Okabe and Ito for the colour-blind (from memory), without its yellow. */
static const struct {
    const char *colour, *dash;
} STYLES[NXW_FIGURE_LINES_MAX] = {
    {"#0072b2", "1"},
    {"#d55e00", "(9,5)"},
    {"#000000", "(2,4)"},
    {"#009e73", "(10,4,2,4)"},
    {"#cc79a7", "(16,5)"},
    {"#56b4e9", "(5,3)"},
    {"#e69f00", "(10,3,2,3,2,3)"},
    {"#555555", "(1,7)"},
};

/* ------------------------------------------------------------------------ which figures */

double nxw_shown_time_s(const struct nxw_result *r)
{
    double active_s = 0.0;
    for (size_t i = 0; i < r->n_events; i++)
        if (r->events[i].kind == NXW_EVENT_SOURCE_ENDS ||
            r->events[i].kind == NXW_EVENT_CARRIER_ENDS)
            active_s = fmax(active_s, r->events[i].time_s);
    return active_s > 0.0 && r->end_s > 4.0 * active_s ? 2.0 * active_s : r->end_s;
}

static void add_line(struct nxw_figure *f, enum nxw_curve_kind kind, size_t stage, const char *name,
                     size_t style)
{
    struct nxw_figure_line *line = &f->lines[f->n++];
    *line = (struct nxw_figure_line){.curve = {kind, stage, 0.0}, .style = style};
    if (kind == NXW_CURVE_ACID)
        line->curve.charged_mol = f->report->result->stages[stage].nitrate_start_mol;
    (void)snprintf(line->name, sizeof line->name, "%s", name);
}

static bool has_curve(const struct nxw_report *report, enum nxw_curve_kind kind, size_t stage)
{
    const struct nxw_stage_result *s = &report->result->stages[stage];
    return kind == NXW_CURVE_PEROXIDE ? s->peroxide_start_mol > 0.0
           : kind == NXW_CURVE_ICE    ? s->ice_start_kg > 0.0
                                      : true;
}

bool nxw_figure_plan(const struct nxw_report *report, const struct nxw_run_series *series,
                     const struct nxw_bands *bands, size_t which, struct nxw_figure *f)
{
    static const struct {
        const char *title, *unit;
        enum nxw_curve_kind kind;
    } plans[] = {
        {"Gas from the source", "mmol N/min", NXW_CURVE_FED},
        {"At the vent", "mg/min", NXW_CURVE_VENT_NO2},
        {"In the hood's air", "ppm", NXW_CURVE_HOOD_NO2},
        {"Strength: nitric acid in the liquid", "mol/L", NXW_CURVE_ACID},
        {"Nitrous acid in the liquid", "mol/L", NXW_CURVE_NITROUS},
        {"Peroxide left", "g H2O2", NXW_CURVE_PEROXIDE},
        {"Temperature of the liquid",
         "\xc2\xb0"
         "C",
         NXW_CURVE_TEMPERATURE},
        {"Ice left", "g", NXW_CURVE_ICE},
    };
    if (which >= sizeof plans / sizeof plans[0])
        return false;
    *f = (struct nxw_figure){.title = plans[which].title,
                             .unit = plans[which].unit,
                             .report = report,
                             .series = series,
                             .bands = bands,
                             .until_s = nxw_shown_time_s(report->result)};
    if (plans[which].kind == NXW_CURVE_FED)
        add_line(f, NXW_CURVE_FED, 0, "", 0);
    else if (plans[which].kind == NXW_CURVE_VENT_NO2) {
        add_line(f, NXW_CURVE_VENT_NO2, report->in->n_stages - 1, "NO2", 0);
        add_line(f, NXW_CURVE_VENT_NO, report->in->n_stages - 1, "NO", 1);
    } else if (plans[which].kind == NXW_CURVE_HOOD_NO2) {
        if (series->hood_mol_s > 0.0) {
            add_line(f, NXW_CURVE_HOOD_NO2, report->in->n_stages - 1, "NO2", 0);
            add_line(f, NXW_CURVE_HOOD_NO, report->in->n_stages - 1, "NO", 1);
        }
    } else {
        size_t bottles = 0; /* a bottle has one style in all figures */
        for (size_t i = 0; i < report->in->n_stages && i < NXW_FIGURE_LINES_MAX; i++) {
            char name[32];
            if (report->in->stages[i].kind == NXW_STAGE_EMPTY)
                continue;
            const size_t style = bottles++;
            nxw_report_stage_name(report->in, i, name);
            if (has_curve(report, plans[which].kind, i))
                add_line(f, plans[which].kind, i, report->in->n_stages > 1 ? name : "", style);
        }
    }
    return true;
}

bool nxw_figure_measure(struct nxw_figure *f)
{
    bool any = false;
    for (size_t i = 0; i < f->n; i++) {
        struct nxw_curve_summary c;
        if (!nxw_curve_summary(f->series, &f->lines[i].curve, f->until_s, &c))
            continue;
        f->lowest = any ? fmin(f->lowest, c.lowest) : c.lowest;
        f->highest = any ? fmax(f->highest, c.highest) : c.highest;
        any = true;
    }
    return any && (f->lines[0].curve.kind == NXW_CURVE_TEMPERATURE || f->highest > TRACE);
}

/* ------------------------------------------------------------------------------ scripts */

static void print_point(void *user, double time_s, double value)
{
    (void)fprintf(user, "%.6g %.6g\n", time_s / 60.0, value);
}

static void print_band(FILE *script, const struct nxw_figure *f, size_t line)
{
    (void)fprintf(script, "$b%u << EOD\n", (unsigned)line);
    for (size_t i = 0; i < NXW_BAND_POINTS; i++) {
        double time_s, low, high;
        nxw_band_at(f->bands, &f->lines[line].curve, i, &time_s, &low, &high);
        if (f->lines[line].curve.kind == NXW_CURVE_HOOD_NO2 ||
            f->lines[line].curve.kind == NXW_CURVE_HOOD_NO) { /* the scale has no zero */
            low = fmax(low, LEAST_PPM);
            high = fmax(high, LEAST_PPM);
        }
        (void)fprintf(script, "%.6g %.6g %.6g\n", time_s / 60.0, low, high);
    }
    (void)fputs("EOD\n", script);
}

/* A scale that holds the limits too, and those for a short time with their names. */
static void print_limits(FILE *script, const struct nxw_figure *f, bool svg)
{
    struct nxw_exposure_limit all[NXW_EXPOSURE_LIMITS_MAX];
    const size_t n = nxw_exposure_limits(all);
    (void)fprintf(script, "set logscale y\nset yrange [%g:%g]\n", LEAST_PPM,
                  fmax(MOST_PPM, 3.0 * f->highest));
    for (size_t i = 0; i < n; i++) {
        const struct nxw_exposure_limit *l = &all[i];
        const bool brief =
            strcmp(l->averaging, "ceiling") == 0 || strstr(l->averaging, "STEL") != NULL;
        char words[120];
        if (strcmp(l->substance, "NO2") != 0 || !brief || l->memory)
            continue;
        (void)snprintf(words, sizeof words, "NO2: %s, %s, %g ppm", l->name, l->averaging, l->ppm);
        (void)fprintf(script,
                      "set arrow from graph 0, first %g to graph 1, first %g nohead%s\nset label ",
                      l->ppm, l->ppm, svg ? " lw 1 dt (6,3) lc rgb '#555555'" : "");
        nxw_gnuplot_quoted(script, words);
        (void)fprintf(script, " at graph 0.02, first %g offset 0,%s front noenhanced%s\n", l->ppm,
                      svg ? "0.5" : "1", svg ? " font 'sans-serif,11'" : "");
    }
}

bool nxw_figure_script(FILE *script, const struct nxw_figure *f, bool svg, bool titled)
{
    char title[120];
    (void)snprintf(title, sizeof title, "%s, %s", f->title, f->unit);
    (void)fprintf(script,
                  "reset\nset tics nomirror scale 0.5\nset xlabel 'time, min' offset 0,0.4\n"
                  "set xrange [0:%.6g]\nset key outside above noenhanced samplen 5\nset %s ",
                  f->until_s / 60.0, titled ? "title" : "ylabel");
    nxw_gnuplot_quoted(script, titled ? title : f->unit);
    (void)fputs(titled ? " noenhanced\n" : " noenhanced offset 0.8,0\n", script);
    if (svg)
        (void)fputs("set grid lc rgb '#cccccc' lw 0.6 dt 1\n", script);
    if (f->lines[0].curve.kind == NXW_CURVE_HOOD_NO2)
        print_limits(script, f, svg);
    else if (f->lines[0].curve.kind != NXW_CURVE_TEMPERATURE)
        (void)fputs("set yrange [0:*]\n", script);
    else if (f->highest - f->lowest < LEVEL_K)
        (void)fprintf(script, "set yrange [%.6g:%.6g]\n", f->lowest - LEVEL_K,
                      f->highest + LEVEL_K);
    for (size_t i = 0; i < f->n; i++) {
        (void)fprintf(script, "$d%u << EOD\n", (unsigned)i);
        nxw_curve_points(f->series, &f->lines[i].curve, f->until_s, print_point, script);
        (void)fputs("EOD\n", script);
        if (f->bands != NULL)
            print_band(script, f, i);
    }
    (void)fputs("plot ", script);
    for (size_t i = 0; i < f->n && f->bands != NULL; i++) /* below the lines */
        (void)fprintf(script,
                      "$b%u using 1:2:3 with filledcurves fs transparent solid 0.2 noborder lc rgb "
                      "'%s' notitle, ",
                      (unsigned)i, STYLES[f->lines[i].style].colour);
    for (size_t i = 0; i < f->n; i++) {
        (void)fprintf(script, "%s$d%u using 1:2 with lines ", i == 0 ? "" : ", ", (unsigned)i);
        if (svg)
            (void)fprintf(script, "lw 2.5 dt %s lc rgb '%s' ", STYLES[f->lines[i].style].dash,
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

/* ---------------------------------------------------------------------- on the terminal */

struct all {
    const struct nxw_report *report;
    const struct nxw_run_series *series;
};

/* Every figure there is; a terminal was chosen. Returns whether it could be written. */
static bool write_figures(FILE *script, const struct all *all, bool svg)
{
    struct nxw_figure f;
    bool good = true;
    for (size_t which = 0; good && nxw_figure_plan(all->report, all->series, NULL, which, &f);
         which++)
        if (nxw_figure_measure(&f))
            good = nxw_figure_script(script, &f, svg, true);
    return good;
}

static bool write_text(FILE *script, void *user)
{
    nxw_gnuplot_terminal(script);
    return write_figures(script, user, false);
}

static bool write_svg(FILE *script, void *user)
{
    const struct all *all = user;
    struct nxw_figure f;
    int n = 0;
    for (size_t which = 0; nxw_figure_plan(all->report, all->series, NULL, which, &f); which++)
        n += nxw_figure_measure(&f);
    const int rows = (n + 1) / 2;
    nxw_gnuplot_svg(script, 2 * WIDTH, rows * HEIGHT, "sans-serif,14");
    (void)fprintf(script, "set multiplot layout %d,2\n", rows > 0 ? rows : 1);
    return write_figures(script, all, true) && fputs("unset multiplot\n", script) != EOF;
}

const char *nxw_figures_svg(const struct nxw_report *report, const struct nxw_run_series *series,
                            FILE *out)
{
    struct all all = {report, series};
    return nxw_gnuplot(write_svg, &all, out);
}

const char *nxw_figures_text(const struct nxw_report *report, const struct nxw_run_series *series)
{
    struct all all = {report, series};
    return nxw_gnuplot_text(write_text, &all);
}
