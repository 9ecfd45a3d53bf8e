#include "base/curve.h"

#include <math.h>

/* Slope at an inner row from the chords left and right of it. */
static double inner_slope(double h0, double h1, double d0, double d1)
{
    if (d0 * d1 <= 0.0)
        return 0.0;
    const double w0 = h0 + 2.0 * h1, w1 = 2.0 * h0 + h1;
    return (w0 + w1) * d0 * d1 / (w0 * d1 + w1 * d0);
}

/* Slope at an end row: parabola through three rows, kept monotone. */
static double end_slope(double h0, double h1, double d0, double d1)
{
    const double s = ((2.0 * h0 + h1) * d0 - h0 * d1) / (h0 + h1);
    if (s * d0 <= 0.0)
        return 0.0;
    return fabs(s) > 3.0 * fabs(d0) ? 3.0 * d0 : s;
}

static double row_slope(const double *x, const double *y, size_t n, size_t i)
{
    if (i == 0 || i == n - 1) {
        const size_t a = i == 0 ? 0 : n - 2, b = i == 0 ? 1 : n - 3;
        return end_slope(x[a + 1] - x[a], x[b + 1] - x[b], (y[a + 1] - y[a]) / (x[a + 1] - x[a]),
                         (y[b + 1] - y[b]) / (x[b + 1] - x[b]));
    }
    const double h0 = x[i] - x[i - 1], h1 = x[i + 1] - x[i];
    return inner_slope(h0, h1, (y[i] - y[i - 1]) / h0, (y[i + 1] - y[i]) / h1);
}

double nxw_curve_monotone(const double *x, const double *y, size_t n, double at, double *slope)
{
    if (at <= x[0] || at >= x[n - 1]) {
        const size_t i = at <= x[0] ? 0 : n - 1;
        *slope = row_slope(x, y, n, i);
        return y[i] + *slope * (at - x[i]);
    }
    size_t low = 0, high = n - 1;
    while (high - low > 1) {
        const size_t middle = (low + high) / 2;
        if (at < x[middle])
            high = middle;
        else
            low = middle;
    }
    const double h = x[high] - x[low], s = (at - x[low]) / h;
    const double chord = (y[high] - y[low]) / h;
    const double m0 = row_slope(x, y, n, low), m1 = row_slope(x, y, n, high);
    const double c = 3.0 * chord - 2.0 * m0 - m1, d = m0 + m1 - 2.0 * chord;
    *slope = m0 + s * (2.0 * c + 3.0 * d * s);
    return y[low] + h * s * (m0 + s * (c + d * s));
}

double nxw_curve_limit(double x, double low, double high, double width)
{
    if (x > high)
        return high + width * tanh((x - high) / width);
    if (x < low)
        return low + width * tanh((x - low) / width);
    return x;
}
