/* The course of a run as figures: which there are, and the scripts that draw them. */
#ifndef NXW_FIGURE_H
#define NXW_FIGURE_H

#include <stdio.h>

#include "report/report_content.h"
#include "study/run_bands.h"
#include "study/run_series.h"

enum { NXW_FIGURE_LINES_MAX = NXW_STAGES_MAX };

struct nxw_figure_line {
    struct nxw_curve curve;
    char name[32];
    size_t style;
};

struct nxw_figure {
    const char *title, *unit;
    const struct nxw_report *report;
    const struct nxw_run_series *series;
    const struct nxw_bands *bands; /* NULL: none to draw */
    double until_s;
    double lowest, highest; /* of all lines */
    size_t n;
    struct nxw_figure_line lines[NXW_FIGURE_LINES_MAX];
};

/* Time the curves show: a long standing time would squeeze the run itself to nothing. */
double nxw_shown_time_s(const struct nxw_result *r);

/* The figure of that number, from 0; false: there are no more. */
bool nxw_figure_plan(const struct nxw_report *report, const struct nxw_run_series *series,
                     const struct nxw_bands *bands, size_t which, struct nxw_figure *out);

/* The span of all lines; false: there is nothing to draw. */
bool nxw_figure_measure(struct nxw_figure *figure);

/* Data and plot of a figure, for a terminal chosen before; false: it could not be written. */
bool nxw_figure_script(FILE *script, const struct nxw_figure *figure, bool svg, bool titled);

/* All figures in one SVG, two beside each other, flushed; NULL, or why there are none. */
const char *nxw_figures_svg(const struct nxw_report *report, const struct nxw_run_series *series,
                            FILE *out);

/* All figures on standard output as text; NULL, or why there are none. */
const char *nxw_figures_text(const struct nxw_report *report, const struct nxw_run_series *series);

#endif
