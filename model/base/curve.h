/* Smooth pieces: curves through printed rows, and limits that do not kink. */
#ifndef NXW_CURVE_H
#define NXW_CURVE_H

#include <math.h>
#include <stddef.h>

/*
 * Monotone cubic through rows (x, y): never leaves the range of its two neighbours.
 *
 * Given:    n >= 3 rows, x ascending; at
 * Returned: value, and its derivative in *slope; straight on with the end slope outside the rows
 * Source:   Fritsch and Butland 1984, SIAM J. Sci. Stat. Comput. 5, 300 (weighted harmonic mean)
 */
double nxw_curve_monotone(const double *x, const double *y, size_t n, double at, double *slope);

/*
 * x itself between low and high; outside it bends over, at most width beyond the limit.
 *
 * Given:    x, low < high, width > 0
 * Returned: twice continuously differentiable in x
 */
double nxw_curve_limit(double x, double low, double high, double width);

/* x where x >> width, 0 where x << -width, in between a hyperbola; always positive. */
static inline double nxw_curve_positive(double x, double width)
{
    const double r = sqrt(x * x + 4.0 * width * width);
    return x > 0.0 ? 0.5 * (x + r) : 2.0 * width * width / (r - x);
}

#endif
