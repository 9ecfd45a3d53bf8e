/* Running gnuplot: no shell, an environment of our own, the script as its input. */
#ifndef NXW_GNUPLOT_H
#define NXW_GNUPLOT_H

#include <stdbool.h>
#include <stdio.h>

/*
 * Run a script through gnuplot.
 *
 * Given:    write  writes the script; false: it could not
 *           out    is given what gnuplot prints, and flushed
 * Returned: NULL, or why there is no picture; what out holds then is of no use
 */
const char *nxw_gnuplot(bool (*write)(FILE *script, void *user), void *user, FILE *out);

/* Run a script whose pictures are text, on standard output. Returned: NULL, or why there is none.
 */
const char *nxw_gnuplot_text(bool (*write)(FILE *script, void *user), void *user);

/* What a script begins with whose pictures are text, at the window's size; SVG in its other form.
 */
void nxw_gnuplot_terminal(FILE *script);
void nxw_gnuplot_svg(FILE *script, int width, int height, const char *font);

/* Text in double quotes: nothing in it is an escape, is put in or run. */
void nxw_gnuplot_quoted(FILE *script, const char *text);

#endif
