#include "study/run_bands.h"

#include <math.h>

#define OF_100_95 1.96

static struct nxw_curve curve_of(const struct nxw_bands *b, size_t kind, size_t stage)
{
    return (struct nxw_curve){(enum nxw_curve_kind)kind, stage,
                              kind == NXW_CURVE_ACID ? b->charged_mol[stage] : 0.0};
}

static double grid_s(const struct nxw_bands *b, size_t point)
{
    return b->until_s * (double)point / (NXW_BAND_POINTS - 1);
}

void nxw_bands_begin(struct nxw_bands *b, const struct nxw_run_series *base,
                     const struct nxw_result *result, double until_s)
{
    *b = (struct nxw_bands){
        .until_s = until_s, .n_stages = result->n_stages, .base = base, .unmoved = base};
    (void)pthread_mutex_init(&b->lock, NULL);
    for (size_t i = 0; i < result->n_stages; i++)
        b->charged_mol[i] = result->stages[i].nitrate_start_mol;
}

void nxw_bands_add(struct nxw_bands *b, const struct nxw_run_series *moved, double reach)
{
    double here[NXW_BAND_POINTS], there[NXW_BAND_POINTS];
    (void)pthread_mutex_lock(&b->lock);
    b->n_runs++;
    for (size_t kind = 0; kind < NXW_CURVES; kind++)
        for (size_t stage = 0; stage < b->n_stages; stage++) {
            const struct nxw_curve curve = curve_of(b, kind, stage);
            nxw_curve_at(b->unmoved, &curve, b->until_s, NXW_BAND_POINTS, here);
            nxw_curve_at(moved, &curve, b->until_s, NXW_BAND_POINTS, there);
            for (size_t i = 0; i < NXW_BAND_POINTS; i++) {
                const double change = (there[i] - here[i]) / reach;
                b->square[kind][stage][i] += isfinite(change) ? change * change : 0.0;
            }
        }
    (void)pthread_mutex_unlock(&b->lock);
}

void nxw_band_at(const struct nxw_bands *b, const struct nxw_curve *curve, size_t point,
                 double *time_s, double *low, double *high)
{
    double value[NXW_BAND_POINTS];
    nxw_curve_at(b->base, curve, b->until_s, NXW_BAND_POINTS, value);
    const double error = OF_100_95 * sqrt(b->square[curve->kind][curve->stage][point]);
    *time_s = grid_s(b, point);
    *low = value[point] - error;
    *high = value[point] + error;
    if (curve->kind == NXW_CURVE_ICE) /* it only melts */
        *high = fmax(fmin(*high, value[0]), value[point]);
    if (curve->kind != NXW_CURVE_TEMPERATURE) /* an amount, a flow, a strength */
        *low = fmin(fmax(*low, 0.0), value[point]);
}
