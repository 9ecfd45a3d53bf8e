#include "run/peak.h"

static const double UNEVEN = 5.0;

static void raise(struct nxw_peak *p, double time_s, double value)
{
    if (p->n > 0 && !(value > p->most))
        return;
    p->most = value;
    p->at_s = time_s;
}

void nxw_peak_add(struct nxw_peak *p, double time_s, double value)
{
    raise(p, time_s, value);
    const double before_s = p->time_s[1] - p->time_s[0], after_s = time_s - p->time_s[1];
    if (p->n == 2 && before_s < UNEVEN * after_s && after_s < UNEVEN * before_s) {
        const double up = (p->value[1] - p->value[0]) / before_s;
        const double down = (value - p->value[1]) / after_s;
        if (up >= 0.0 && down <= 0.0 && up > down) {
            const double bend = (down - up) / (before_s + after_s); /* half the second derivative */
            const double slope = up + bend * before_s;              /* at the middle one */
            raise(p, p->time_s[1] - 0.5 * slope / bend, p->value[1] - 0.25 * slope * slope / bend);
        }
    }
    p->time_s[0] = p->time_s[1];
    p->value[0] = p->value[1];
    p->time_s[1] = time_s;
    p->value[1] = value;
    p->n = p->n < 2 ? p->n + 1 : 2;
}
