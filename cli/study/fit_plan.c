/* Which further reading would tell most, at the errors a bench may expect. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "study/fit.h"

enum { N = NXW_FIT_UNKNOWNS_MAX };

/* Errors of such readings, 95 of 100; judgement. */
#define DENSITY_ERROR_KG_M3 1.0 /* a hydrometer of 0.001 g/cm3 */
#define THERMOMETER_ERROR_K 1.0
#define AMOUNT_ERROR 0.01 /* weighing, measuring, titrating acid */
#define OTHER_ERROR 0.02  /* permanganate */
#define OTHER_LEAST_MOL_M3 2.0
#define VENT_ERROR 0.20
#define BROWN_ERROR_S 120.0

static void candidate(struct nxw_fit *fit, enum nxw_fit_kind kind, size_t stage, size_t bottle,
                      const char *text)
{
    if (fit->n_readings == NXW_FIT_CANDIDATES_MAX)
        return;
    struct nxw_fit_reading *m = &fit->readings[fit->n_readings++];
    *m = (struct nxw_fit_reading){
        .kind = kind, .stage = stage, .error = 1.0, .temperature_K = 293.15};
    if (bottle > 0)
        (void)snprintf(m->name, sizeof m->name, "bottle %zu: %s", bottle, text);
    else
        (void)snprintf(m->name, sizeof m->name, "%s", text);
}

static void list_candidates(struct nxw_fit *fit)
{
    size_t bottle = 0;
    fit->n_readings = 0;
    for (size_t i = 0; i < fit->base.n_stages; i++) {
        if (fit->base.stages[i].kind != NXW_STAGE_BOTTLE)
            continue;
        bottle++;
        candidate(fit, NXW_FIT_STRENGTH, i, bottle, "strength by density");
        candidate(fit, NXW_FIT_VOLUME, i, bottle, "volume");
        candidate(fit, NXW_FIT_ACID, i, bottle, "acid, titrated");
        candidate(fit, NXW_FIT_NITROUS, i, bottle, "nitrous acid, titrated");
        if (fit->base.stages[i].peroxide_mass_fraction > 0.0)
            candidate(fit, NXW_FIT_PEROXIDE, i, bottle, "peroxide, titrated");
        candidate(fit, NXW_FIT_PEAK_TEMPERATURE, i, bottle, "peak temperature");
    }
    if (fit->base.source.kind == NXW_SOURCE_ACID_VAPOUR)
        candidate(fit, NXW_FIT_RECEIVER, 0, 0, "receiver: nitrogen");
    candidate(fit, NXW_FIT_VENT_NO2, 0, 0, "vent: peak of NO2");
    candidate(fit, NXW_FIT_BROWN, 0, 0, "brown gas: when it is seen");
}

/* Standard error of a reading that shows what the model expects. */
static double bench_error(const struct nxw_fit_reading *m)
{
    struct nxw_strength strength;
    struct nxw_diagnosis ignored;
    switch (m->kind) {
    case NXW_FIT_STRENGTH: {
        const struct nxw_density_reading reading = {
            .density_kg_m3 = nxw_acid_density_kg_m3(m->value, m->temperature_K),
            .density_error_kg_m3 = DENSITY_ERROR_KG_M3 / NXW_OF_100_95,
            .temperature_K = m->temperature_K,
            .temperature_error_K = 0.5 / NXW_OF_100_95};
        return nxw_strength_from_density(&reading, &strength, &ignored) == NXW_OK
                   ? strength.standard_error
                   : (double)NAN;
    }
    case NXW_FIT_NITROUS:
    case NXW_FIT_PEROXIDE:
        return fmax(OTHER_ERROR * m->value, OTHER_LEAST_MOL_M3) / NXW_OF_100_95;
    case NXW_FIT_PEAK_TEMPERATURE:
    case NXW_FIT_LOG:
        return THERMOMETER_ERROR_K / NXW_OF_100_95;
    case NXW_FIT_VENT_NO2:
        return VENT_ERROR * m->value / NXW_OF_100_95;
    case NXW_FIT_BROWN:
        return BROWN_ERROR_S / NXW_OF_100_95;
    default:
        return AMOUNT_ERROR * m->value / NXW_OF_100_95;
    }
}

/* Covariance from information: Gauss-Jordan; it is positive definite, the range counts in it. */
static void invert(size_t n, double a[N][N], double out[N][N])
{
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < n; k++)
            out[i][k] = i == k ? 1.0 : 0.0;
    for (size_t p = 0; p < n; p++) {
        const double pivot = a[p][p];
        for (size_t k = 0; k < n; k++) {
            a[p][k] /= pivot;
            out[p][k] /= pivot;
        }
        for (size_t i = 0; i < n; i++) {
            const double f = a[i][p];
            for (size_t k = 0; k < n && i != p; k++) {
                a[i][k] -= f * a[p][k];
                out[i][k] -= f * out[p][k];
            }
        }
    }
}

static void weigh(const struct nxw_fit *fit, struct nxw_fit_result *r, double c[N][N],
                  struct nxw_fit_plan *plan)
{
    const size_t n = fit->n_unknowns;
    for (size_t j = 0; j < fit->n_readings; j++) {
        struct nxw_fit_candidate *one = &plan->candidates[plan->n];
        double cj[N], sum = 1.0;
        bool finite = true;
        one->reading = fit->readings[j];
        one->reading.value = r->predicted[j];
        one->reading.error = bench_error(&one->reading);
        for (size_t k = 0; k < n; k++) {
            r->jacobian[j][k] /= one->reading.error;
            finite = finite && isfinite(r->jacobian[j][k]);
        }
        if (!finite) /* the model shows no such thing here */
            continue;
        for (size_t i = 0; i < n; i++) {
            cj[i] = 0.0;
            for (size_t k = 0; k < n; k++)
                cj[i] += c[i][k] * r->jacobian[j][k];
            sum += r->jacobian[j][i] * cj[i];
        }
        for (size_t k = 0; k < n; k++)
            one->after[k] = sqrt(fmax(c[k][k] - cj[k] * cj[k] / sum, 0.0)) *
                            (fit->unknowns[k].to - fit->unknowns[k].from);
        plan->n++;
    }
    for (size_t k = 0; k < n; k++) {
        plan->best[k] = plan->n;
        for (size_t i = 0; i < plan->n; i++)
            if (plan->best[k] == plan->n ||
                plan->candidates[i].after[k] < plan->candidates[plan->best[k]].after[k])
                plan->best[k] = i;
    }
}

static enum nxw_exit plan_run(struct nxw_fit *fit, struct nxw_fit_result *r,
                              struct nxw_fit_plan *plan)
{
    const size_t n = plan->n_unknowns = fit->n_unknowns;
    double x[N], a[N][N] = {{0.0}}, c[N][N];
    enum nxw_exit code = NXW_EXIT_DONE;
    for (size_t k = 0; k < N; k++)
        x[k] = 0.5;
    if (fit->n_readings > 0)
        code = nxw_fit_run(fit, r);
    if (code != NXW_EXIT_DONE)
        return code;
    plan->loose = fit->n_readings > 0 && !r->determined;
    for (size_t k = 0; k < n; k++) {
        const struct nxw_vary *u = &fit->unknowns[k];
        if (fit->n_readings > 0)
            x[k] = fmin(fmax((r->value[k] - u->from) / (u->to - u->from), 0.0), 1.0);
        a[k][k] = 1.0 / (NXW_FIT_RANGE_DEVIATION * NXW_FIT_RANGE_DEVIATION);
        for (size_t i = 0; i < n; i++)
            for (size_t j = 0; j < fit->n_readings; j++)
                a[k][i] += r->jacobian[j][k] * r->jacobian[j][i];
    }
    invert(n, a, c);
    for (size_t k = 0; k < n; k++) {
        plan->value[k] = nxw_fit_unknown_value(&fit->unknowns[k], x[k]);
        plan->before[k] = sqrt(c[k][k]) * (fit->unknowns[k].to - fit->unknowns[k].from);
    }
    list_candidates(fit);
    code = nxw_fit_derive(fit, x, r);
    if (code == NXW_EXIT_DONE)
        weigh(fit, r, c, plan);
    return code == NXW_EXIT_DONE && plan->n == 0 ? NXW_EXIT_SOLVER : code;
}

enum nxw_exit nxw_fit_plan_run(struct nxw_fit *fit, struct nxw_fit_plan *plan)
{
    memset(plan, 0, sizeof *plan);
    struct nxw_fit_result *r = calloc(1, sizeof *r);
    const enum nxw_exit code = r != NULL ? plan_run(fit, r, plan) : NXW_EXIT_INTERNAL;
    free(r);
    return code;
}
