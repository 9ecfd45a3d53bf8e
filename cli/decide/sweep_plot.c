#include "decide/sweep_plot.h"

#include <string.h>

#include "base/gnuplot.h"
#include "base/out_file.h"

enum { CURVES_MAX = 8 };

bool nxw_sweep_plot_fits(const struct nxw_plan *plan, char message[NXW_VARY_MESSAGE])
{
    const char *why = NULL;
    if (plan->n_varies > 2)
        why = "one or two varied keys can be drawn, not more";
    else if (!plan->varies[0].is_number)
        why = "the first varied key must take numbers in one unit to be drawn";
    else if (plan->n_varies == 2 && (plan->sampled || plan->varies[1].n > CURVES_MAX))
        why = "a second key can be drawn when it takes 8 values at most, in a grid";
    if (why != NULL)
        (void)snprintf(message, NXW_VARY_MESSAGE, "%s", why);
    return why == NULL;
}

/* ------------------------------------------------------------------------------- script */

static bool print_point(void *user, double x, double kept, double escaped)
{
    return fprintf(user, "%.9g %.9g %.9g\n", x, 100.0 * kept, 100.0 * escaped) > 0;
}

static uint64_t curves(const struct nxw_plan *plan)
{
    return plan->n_varies == 2 ? plan->varies[1].n : 1;
}

static void print_curve_name(FILE *out, const struct nxw_plan *plan, uint64_t i, const char *what)
{
    struct nxw_vary_value value = {.text = ""};
    char name[NXW_VARY_TEXT + 32];
    if (plan->n_varies == 2)
        nxw_vary_nth(&plan->varies[1], i, &value);
    (void)snprintf(name, sizeof name, "%s%s%.80s", what, plan->n_varies == 2 ? ", " : "",
                   value.text);
    nxw_gnuplot_quoted(out, name);
}

static bool print_data(FILE *out, const struct nxw_plan *plan, struct nxw_sweep_store *store)
{
    for (uint64_t i = 0; i < curves(plan); i++) {
        (void)fprintf(out, "$d%llu << EOD\n", (unsigned long long)i);
        if (!nxw_sweep_store_points(store, plan->n_varies == 2, i, print_point, out))
            return false;
        (void)fputs("EOD\n", out);
    }
    return true;
}

static bool print_script(FILE *out, const struct nxw_plan *plan, struct nxw_sweep_store *store,
                         bool svg)
{
    if (svg)
        nxw_gnuplot_svg(out, 800, 500, "DejaVu Sans,14");
    else
        nxw_gnuplot_terminal(out);
    (void)fputs("set key outside above noenhanced\nset yrange [0:*]\n"
                "set ylabel 'share of the nitrogen fed, %'\nset xlabel ",
                out);
    nxw_gnuplot_quoted(out, plan->varies[0].column);
    (void)fputs(" noenhanced\n", out);
    if (!print_data(out, plan, store))
        return false;
    (void)fputs("plot ", out);
    for (uint64_t i = 0; i < curves(plan); i++) {
        const char *style = plan->sampled ? "points" : svg ? "linespoints lw 2" : "linespoints";
        (void)fprintf(out, "%s$d%llu using 1:2 with %s title ", i > 0 ? ", " : "",
                      (unsigned long long)i, style);
        print_curve_name(out, plan, i, "kept as HNO3");
        (void)fprintf(out, ", $d%llu using 1:3 with %s title ", (unsigned long long)i, style);
        print_curve_name(out, plan, i, "escaped");
    }
    return fputc('\n', out) != EOF;
}

/* ------------------------------------------------------------------------------ gnuplot */

struct picture {
    const struct nxw_plan *plan;
    struct nxw_sweep_store *store;
    bool svg;
};

static bool write_script(FILE *script, void *user)
{
    const struct picture *picture = user;
    return print_script(script, picture->plan, picture->store, picture->svg);
}

static enum nxw_exit failed(const char *text)
{
    (void)fprintf(stderr, "noxwash: no picture: %s\n", text);
    return NXW_EXIT_IO;
}

static enum nxw_exit draw_file(const struct nxw_plan *plan, struct nxw_sweep_store *store,
                               const char *name)
{
    struct nxw_out_file out;
    const char *why = nxw_out_file_open(&out, name);
    if (why != NULL)
        return failed(why);
    struct picture picture = {plan, store, true};
    const char *no_picture = nxw_gnuplot(write_script, &picture, out.file);
    why = nxw_out_file_close(&out, no_picture == NULL);
    no_picture = no_picture != NULL ? no_picture : why;
    return no_picture != NULL ? failed(no_picture) : NXW_EXIT_DONE;
}

enum nxw_exit nxw_sweep_plot(const struct nxw_plan *plan, struct nxw_sweep_store *store,
                             const char *svg)
{
    if (svg != NULL)
        return draw_file(plan, store, svg);
    struct picture picture = {plan, store, false};
    const char *why = nxw_gnuplot_text(write_script, &picture);
    return why != NULL ? failed(why) : NXW_EXIT_DONE;
}
