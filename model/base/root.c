#include "base/root.h"

#include <math.h>

enum { STEPS_MAX = 400 };

bool nxw_root(nxw_root_function *f, void *user, double low, double high, double tolerance,
              double *root)
{
    *root = NAN;
    if (!(low < high && tolerance > 0.0))
        return false;
    double f_low = f(low, user), f_high = f(high, user);
    int side = 0; /* the end that moved last: -1 low, 1 high */
    if (f_low == 0.0 || f_high == 0.0) {
        *root = f_low == 0.0 ? low : high;
        return true;
    }
    if (!((f_low < 0.0) != (f_high < 0.0)) || isnan(f_low) || isnan(f_high))
        return false;
    for (int step = 1; step < STEPS_MAX && high - low > tolerance; step++) {
        double x =
            step % 3 == 0 ? 0.5 * (low + high) : high - f_high * (high - low) / (f_high - f_low);
        if (!(x > low && x < high))
            x = 0.5 * (low + high);
        if (!(x > low && x < high))
            break; /* neighbours */
        const double f_x = f(x, user);
        if (isnan(f_x))
            return false;
        if (f_x == 0.0) {
            *root = x;
            return true;
        }
        const int moved = (f_x < 0.0) == (f_low < 0.0) ? -1 : 1;
        if (moved < 0) {
            low = x;
            f_low = f_x;
            f_high *= side == moved ? 0.5 : 1.0;
        } else {
            high = x;
            f_high = f_x;
            f_low *= side == moved ? 0.5 : 1.0;
        }
        side = moved;
    }
    *root = 0.5 * (low + high);
    return true;
}
