/* Least squares within ranges: damped Gauss-Newton on shares of the ranges, and what it tells. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "study/fit.h"

enum { N = NXW_FIT_UNKNOWNS_MAX, M = NXW_FIT_READINGS_MAX, STARTS = 24, STEPS = 60 };
#define STEP 2e-3 /* of the range, for derivatives */
/* Two steps in a row that gain less in chi-square end the search: one standard error is 1. */
#define LITTLE 1e-4
#define SINGULAR 1e-6 /* least eigenvalue of the normal matrix with unit diagonal; judgement */
#define BAD_FIT 0.05  /* chance below which the limits are widened */

/* Everything that is too big for a stack. */
struct room {
    double points[2 * N + STARTS][N];
    double predicted[2 * N + STARTS][M];
};

static double residual(const struct nxw_fit_reading *m, double predicted)
{
    return (predicted - m->value) / m->error;
}

static double chi_square(const struct nxw_fit *fit, const double *predicted)
{
    double sum = 0.0;
    for (size_t i = 0; i < fit->n_readings; i++) {
        const double r = residual(&fit->readings[i], predicted[i]);
        sum += r * r;
    }
    return isfinite(sum) ? sum : (double)INFINITY;
}

/* ----------------------------------------------------------------------- linear algebra */

/* Solve a x = b, a positive definite with ridge on its diagonal; false: it is not. */
static bool solve(size_t n, const double a[N][N], const double ridge[N], const double *b, double *x)
{
    double l[N][N] = {{0.0}}, y[N];
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k <= i; k++) {
            double sum = a[i][k] + (i == k ? ridge[i] : 0.0);
            for (size_t j = 0; j < k; j++)
                sum -= l[i][j] * l[k][j];
            if (i == k && !(sum > 0.0))
                return false;
            l[i][k] = i == k ? sqrt(sum) : sum / l[k][k];
        }
    for (size_t i = 0; i < n; i++) {
        y[i] = b[i];
        for (size_t j = 0; j < i; j++)
            y[i] -= l[i][j] * y[j];
        y[i] /= l[i][i];
    }
    for (size_t i = n; i-- > 0;) {
        x[i] = y[i];
        for (size_t j = i + 1; j < n; j++)
            x[i] -= l[j][i] * x[j];
        x[i] /= l[i][i];
    }
    return true;
}

/* Eigenvalues and vectors (columns) of a symmetric matrix by Jacobi's rotations. */
static void eigen(size_t n, double a[N][N], double v[N][N])
{
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < n; k++)
            v[i][k] = i == k ? 1.0 : 0.0;
    for (int sweep = 0; sweep < 60; sweep++)
        for (size_t p = 0; p < n; p++)
            for (size_t q = p + 1; q < n; q++) {
                if (fabs(a[p][q]) < 1e-300)
                    continue;
                const double theta = (a[q][q] - a[p][p]) / (2.0 * a[p][q]);
                const double t = (theta < 0.0 ? -1.0 : 1.0) / (fabs(theta) + hypot(theta, 1.0));
                const double c = 1.0 / hypot(t, 1.0), s = t * c;
                for (size_t k = 0; k < n; k++) {
                    const double kp = a[k][p], kq = a[k][q];
                    a[k][p] = c * kp - s * kq;
                    a[k][q] = s * kp + c * kq;
                }
                for (size_t k = 0; k < n; k++) {
                    const double pk = a[p][k], qk = a[q][k];
                    a[p][k] = c * pk - s * qk;
                    a[q][k] = s * pk + c * qk;
                    const double vp = v[k][p], vq = v[k][q];
                    v[k][p] = c * vp - s * vq;
                    v[k][q] = s * vp + c * vq;
                }
            }
}

static void normal_matrix(const struct nxw_fit *fit, const struct nxw_fit_result *r, double a[N][N])
{
    for (size_t i = 0; i < fit->n_unknowns; i++)
        for (size_t k = 0; k < fit->n_unknowns; k++) {
            a[i][k] = 0.0;
            for (size_t j = 0; j < fit->n_readings; j++)
                a[i][k] += r->jacobian[j][i] * r->jacobian[j][k];
        }
}

/* -------------------------------------------------------------------------- derivatives */

static enum nxw_exit derive(struct nxw_fit *fit, const double *x, struct room *room,
                            struct nxw_fit_result *out)
{
    bool finite = true;
    const size_t n = fit->n_unknowns;
    double span[N];
    for (size_t k = 0; k < n; k++) {
        const double up = fmin(x[k] + STEP, 1.0), down = fmax(x[k] - STEP, 0.0);
        memcpy(room->points[2 * k], x, sizeof room->points[0]);
        memcpy(room->points[2 * k + 1], x, sizeof room->points[0]);
        room->points[2 * k][k] = up;
        room->points[2 * k + 1][k] = down;
        span[k] = up - down;
    }
    const enum nxw_exit code =
        nxw_fit_predict(fit, 2 * n, (const double(*)[N])room->points, room->predicted);
    if (code != NXW_EXIT_DONE)
        return code;
    for (size_t j = 0; j < fit->n_readings; j++)
        for (size_t k = 0; k < n; k++) {
            out->jacobian[j][k] = (room->predicted[2 * k][j] - room->predicted[2 * k + 1][j]) /
                                  span[k] / fit->readings[j].error;
            finite = finite && isfinite(out->jacobian[j][k]);
        }
    return finite ? NXW_EXIT_DONE : NXW_EXIT_SOLVER;
}

static enum nxw_exit at(struct nxw_fit *fit, const double *x, struct room *room, double *predicted,
                        double *chi)
{
    memcpy(room->points[0], x, sizeof room->points[0]);
    const enum nxw_exit code =
        nxw_fit_predict(fit, 1, (const double(*)[N])room->points, room->predicted);
    memcpy(predicted, room->predicted[0], sizeof room->predicted[0]);
    *chi = chi_square(fit, predicted);
    return code;
}

enum nxw_exit nxw_fit_derive(struct nxw_fit *fit, const double x[N], struct nxw_fit_result *out)
{
    struct room *room = malloc(sizeof *room);
    double chi;
    if (room == NULL)
        return NXW_EXIT_INTERNAL;
    enum nxw_exit code = at(fit, x, room, out->predicted, &chi);
    if (code == NXW_EXIT_DONE)
        code = derive(fit, x, room, out);
    free(room);
    return code == NXW_EXIT_SOLVER ? NXW_EXIT_DONE : code; /* the caller looks at each */
}

/* -------------------------------------------------------------------------------- fit */

/* Halton's points: even over the ranges, the same every time. The first is the middle. */
static double halton(size_t index, size_t dimension)
{
    static const size_t primes[N] = {2, 3, 5, 7, 11, 13, 17, 19};
    double share = 0.0, part = 1.0;
    for (size_t i = index; i > 0; i /= primes[dimension]) {
        part /= (double)primes[dimension];
        share += part * (double)(i % primes[dimension]);
    }
    return share;
}

static enum nxw_exit start(struct nxw_fit *fit, struct room *room, double *x, double *predicted,
                           double *chi)
{
    for (size_t i = 0; i < STARTS; i++)
        for (size_t k = 0; k < N; k++)
            room->points[i][k] = i == 0 ? 0.5 : halton(i, k);
    const enum nxw_exit code =
        nxw_fit_predict(fit, STARTS, (const double(*)[N])room->points, room->predicted);
    if (code != NXW_EXIT_DONE)
        return code;
    *chi = (double)INFINITY;
    for (size_t i = 0; i < STARTS; i++) {
        const double here = chi_square(fit, room->predicted[i]);
        if (!isfinite(here))
            fit->failed_runs++;
        if (here < *chi) {
            *chi = here;
            memcpy(x, room->points[i], sizeof room->points[0]);
            memcpy(predicted, room->predicted[i], sizeof room->predicted[0]);
        }
    }
    return isfinite(*chi) ? NXW_EXIT_DONE : NXW_EXIT_SOLVER;
}

/* One damped step that stays in the ranges: unknowns that would leave are held at the end. */
static bool step(const struct nxw_fit *fit, const struct nxw_fit_result *r, const double *x,
                 double damping, double *trial)
{
    const size_t n = fit->n_unknowns;
    double a[N][N], g[N], move[N];
    bool held[N] = {false};
    for (size_t round = 0; round <= n; round++) {
        double ridge[N];
        normal_matrix(fit, r, a);
        for (size_t k = 0; k < n; k++) {
            g[k] = 0.0;
            for (size_t j = 0; j < fit->n_readings; j++)
                g[k] -= r->jacobian[j][k] * residual(&fit->readings[j], r->predicted[j]);
            ridge[k] = damping * (a[k][k] + 1e-6);
        }
        for (size_t k = 0; k < n; k++) {
            if (!held[k])
                continue;
            for (size_t i = 0; i < n; i++)
                a[i][k] = a[k][i] = 0.0;
            a[k][k] = 1.0;
            g[k] = 0.0;
        }
        if (!solve(n, (const double(*)[N])a, ridge, g, move))
            return false;
        bool again = false;
        for (size_t k = 0; k < n; k++) {
            const bool leaves = (x[k] <= 0.0 && move[k] < 0.0) || (x[k] >= 1.0 && move[k] > 0.0);
            again |= leaves && !held[k];
            held[k] |= leaves;
        }
        if (!again)
            break;
    }
    memcpy(trial, x, sizeof(double) * N);
    for (size_t k = 0; k < n; k++)
        trial[k] = fmin(fmax(x[k] + move[k], 0.0), 1.0);
    return true;
}

static enum nxw_exit descend(struct nxw_fit *fit, struct room *room, double *x, double *chi,
                             struct nxw_fit_result *out)
{
    double damping = 1e-3, trial[N], trial_chi, *predicted = malloc(sizeof out->predicted);
    if (predicted == NULL)
        return NXW_EXIT_INTERNAL;
    int little = 0;
    enum nxw_exit code = derive(fit, x, room, out);
    for (int i = 0; i < STEPS && code == NXW_EXIT_DONE && !out->converged; i++) {
        if (!step(fit, out, x, damping, trial)) {
            damping = fmax(10.0 * damping, 1e-6);
            continue;
        }
        code = at(fit, trial, room, predicted, &trial_chi);
        if (code != NXW_EXIT_DONE)
            break;
        if (trial_chi <= *chi) {
            little = *chi - trial_chi < LITTLE * fmax(1.0, *chi) ? little + 1 : 0;
            out->converged = little >= 2;
            memcpy(x, trial, sizeof trial);
            memcpy(out->predicted, predicted, sizeof out->predicted);
            *chi = trial_chi;
            damping = fmax(0.2 * damping, 1e-9);
            code = derive(fit, x, room, out);
        } else
            damping *= 5.0;
        out->converged |= damping > 1e8; /* no way down that differences can see */
    }
    free(predicted);
    return code;
}

/* ----------------------------------------------------------------------------- telling */

/* Covariance in shares of the ranges from what the readings fix; what they do not is marked. */
static void covariance(const struct nxw_fit *fit, struct nxw_fit_result *r, double c[N][N])
{
    const size_t n = fit->n_unknowns;
    double a[N][N], unit[N][N] = {{0.0}}, v[N][N], scale[N];
    normal_matrix(fit, r, a);
    for (size_t k = 0; k < n; k++) {
        scale[k] = sqrt(a[k][k]);
        /* nothing read moves by a hundredth of its error over the whole range */
        r->untold[k] = !(scale[k] > 0.01);
    }
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < n; k++)
            unit[i][k] = i == k                         ? 1.0
                         : r->untold[i] || r->untold[k] ? 0.0
                                                        : a[i][k] / (scale[i] * scale[k]);
    eigen(n, unit, v);
    r->weakest = unit[0][0];
    for (size_t e = 0; e < n; e++) {
        r->weakest = fmin(r->weakest, unit[e][e]);
        for (size_t k = 0; k < n && unit[e][e] < SINGULAR; k++)
            r->together[k] |= fabs(v[k][e]) > 0.1;
    }
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < n; k++) {
            c[i][k] = 0.0;
            for (size_t e = 0; e < n; e++)
                if (unit[e][e] >= SINGULAR)
                    c[i][k] += v[i][e] * v[k][e] / unit[e][e];
            c[i][k] = r->untold[i] || r->untold[k] ? 0.0 : c[i][k] / (scale[i] * scale[k]);
        }
}

static void judge(const struct nxw_fit *fit, const double *x, double chi, struct nxw_fit_result *r)
{
    const size_t n = fit->n_unknowns;
    double c[N][N], width[N];
    covariance(fit, r, c);
    r->n = n;
    r->chi_square = chi;
    r->degrees = fit->n_readings > n ? fit->n_readings - n : 0;
    r->probability = r->degrees > 0 ? nxw_chi_square_tail(chi, r->degrees) : (double)NAN;
    r->widened = r->probability < BAD_FIT ? sqrt(chi / (double)r->degrees) : 1.0;
    r->determined = true;
    for (size_t k = 0; k < n; k++) {
        width[k] = fit->unknowns[k].to - fit->unknowns[k].from;
        r->value[k] = nxw_fit_unknown_value(&fit->unknowns[k], x[k]);
        r->at_end[k] = x[k] < 1e-6 || x[k] > 1.0 - 1e-6;
        const bool fixed = !r->untold[k] && !r->together[k];
        const double share = r->widened * sqrt(c[k][k]);
        r->error[k] = fixed ? share * width[k] : (double)NAN;
        r->determined &= fixed;
        r->untold[k] |= fixed && share > NXW_FIT_RANGE_DEVIATION;
        for (size_t i = 0; i < n; i++)
            r->correlation[k][i] = i == k ? 1.0 : c[k][i] / sqrt(c[k][k] * c[i][i]);
    }
    for (size_t k = 0; k < n; k++)
        for (size_t i = 0; i < n; i++)
            if (i != k && (isnan(r->error[k]) || isnan(r->error[i])))
                r->correlation[k][i] = (double)NAN;
    for (size_t j = 0; j < fit->n_readings; j++) {
        r->standardised[j] = residual(&fit->readings[j], r->predicted[j]);
        r->leverage[j] = 0.0;
        for (size_t k = 0; k < n; k++) {
            double sum = 0.0;
            for (size_t i = 0; i < n; i++)
                sum += c[k][i] * r->jacobian[j][i];
            r->leverage[j] += sum * r->jacobian[j][k];
            r->pull[j][k] = isnan(r->error[k]) ? (double)NAN : sum * width[k];
        }
    }
}

enum nxw_exit nxw_fit_run(struct nxw_fit *fit, struct nxw_fit_result *out)
{
    double x[N] = {0.0}, chi;
    struct room *room = malloc(sizeof *room);
    memset(out, 0, sizeof *out);
    if (room == NULL)
        return NXW_EXIT_INTERNAL;
    enum nxw_exit code = start(fit, room, x, out->predicted, &chi);
    if (code == NXW_EXIT_DONE)
        code = descend(fit, room, x, &chi, out);
    free(room);
    if (code == NXW_EXIT_DONE)
        judge(fit, x, chi, out);
    return code;
}
