#include <math.h>

#include "noxwash.h"

#define OF_100_95 1.96
#define DEGREES_MOST 1000000 /* a bound on the time: a tenth of a second */
#define UNCHECKED 1e-9       /* share of a variance below which nothing else speaks on a reading */

double nxw_chi_square_tail(double chi_square, size_t degrees)
{
    if (degrees == 0 || degrees > DEGREES_MOST || !(chi_square >= 0.0) || !isfinite(chi_square))
        return NAN;
    /* Q(k/2, x/2) by its recursion: Q(a + 1, y) = Q(a, y) + y^a e^-y / Gamma(a + 1) */
    const double y = 0.5 * chi_square;
    double tail = degrees % 2 == 0 ? exp(-y) : erfc(sqrt(y));
    for (size_t k = degrees % 2 == 0 ? 2 : 1; k < degrees && y > 0.0; k += 2) {
        const double a = 0.5 * (double)k;
        tail += exp(a * log(y) - y - lgamma(a + 1.0));
    }
    return tail;
}

/* Bounds within which no square and no weight over- or underflows. */
static bool is_amount(double mol) { return fabs(mol) <= 1e12; }
static bool is_error(double mol) { return mol >= 1e-18 && mol <= 1e12; }

static bool possible(const struct nxw_balance_in *in)
{
    bool good = in->available_mol > 0.0 && is_amount(in->available_mol) &&
                is_error(in->available_error_mol) && in->n_places >= 1 &&
                in->n_places <= NXW_BALANCE_PLACES_MAX &&
                in->n_readings <= NXW_BALANCE_READINGS_MAX;
    for (size_t i = 0; good && i < in->n_readings; i++)
        good = in->readings[i].place < in->n_places && is_error(in->readings[i].error_mol) &&
               is_amount(in->readings[i].nitrogen_mol);
    return good;
}

/* Weighted mean of every place; returns how many places have a reading. */
static size_t means(const struct nxw_balance_in *in, struct nxw_balance *out)
{
    size_t n_read = 0;
    for (size_t p = 0; p < in->n_places; p++) {
        double weight = 0.0, sum = 0.0;
        for (size_t i = 0; i < in->n_readings; i++) {
            const struct nxw_balance_reading *r = &in->readings[i];
            if (r->place != p)
                continue;
            weight += 1.0 / (r->error_mol * r->error_mol);
            sum += r->nitrogen_mol / (r->error_mol * r->error_mol);
        }
        out->found_mol[p] = weight > 0.0 ? sum / weight : (double)NAN;
        out->found_error_mol[p] = weight > 0.0 ? 1.0 / sqrt(weight) : (double)NAN;
        out->closed_mol[p] = out->found_mol[p];
        out->closed_error_mol[p] = out->found_error_mol[p];
        if (weight <= 0.0)
            continue;
        n_read++;
        out->total_mol += out->found_mol[p];
        out->total_error_mol = hypot(out->total_error_mol, out->found_error_mol[p]);
    }
    return n_read;
}

/* The condition c = sum x: each moves by its variance's share of the gap. */
static void close_account(const struct nxw_balance_in *in, struct nxw_balance *out)
{
    const double all = out->unexplained_error_mol * out->unexplained_error_mol;
    const double c2 = in->available_error_mol * in->available_error_mol;
    out->available_closed_mol = in->available_mol - c2 / all * out->unexplained_mol;
    for (size_t p = 0; p < in->n_places; p++) {
        const double s2 = out->found_error_mol[p] * out->found_error_mol[p];
        out->closed_mol[p] = out->found_mol[p] + s2 / all * out->unexplained_mol;
        out->closed_error_mol[p] = sqrt(fmax(s2 * (1.0 - s2 / all), 0.0));
    }
}

/* residual/its own standard error; NAN where the reading is all there is */
static double standardised(double residual, double error, double adjusted_error)
{
    const double left = error * error - adjusted_error * adjusted_error;
    return left > UNCHECKED * error * error ? residual / sqrt(left) : (double)NAN;
}

static void judge(const struct nxw_balance_in *in, bool closed, struct nxw_balance *out)
{
    double worst = 0.0;
    const double c = in->available_error_mol;
    const double c_residual = in->available_mol - out->available_closed_mol;
    out->standardised_available =
        closed ? standardised(c_residual, c,
                              c * sqrt(fmax(1.0 - pow(c / out->unexplained_error_mol, 2.0), 0.0)))
               : (double)NAN;
    out->chi_square = pow(c_residual / c, 2.0);
    for (size_t i = 0; i < in->n_readings; i++) {
        const struct nxw_balance_reading *r = &in->readings[i];
        const double residual = r->nitrogen_mol - out->closed_mol[r->place];
        out->chi_square += pow(residual / r->error_mol, 2.0);
        out->standardised[i] =
            standardised(residual, r->error_mol, out->closed_error_mol[r->place]);
        if (fabs(out->standardised[i]) > worst) {
            worst = fabs(out->standardised[i]);
            out->suspect = i;
        }
    }
    if (fabs(out->standardised_available) > worst * (1.0 + 1e-9)) {
        worst = fabs(out->standardised_available);
        out->suspect = in->n_readings;
    }
    out->has_suspect = worst > OF_100_95;
}

static void no_balance(struct nxw_balance *out)
{
    for (size_t p = 0; p < NXW_BALANCE_PLACES_MAX; p++)
        out->found_mol[p] = out->found_error_mol[p] = out->closed_mol[p] =
            out->closed_error_mol[p] = NAN;
    for (size_t i = 0; i < NXW_BALANCE_READINGS_MAX; i++)
        out->standardised[i] = NAN;
    out->available_closed_mol = out->standardised_available = NAN;
    out->total_mol = out->total_error_mol = NAN;
    out->unexplained_mol = out->unexplained_error_mol = NAN;
    out->chi_square = out->probability = NAN;
}

enum nxw_status nxw_balance(const struct nxw_balance_in *in, struct nxw_balance *out)
{
    *out = (struct nxw_balance){.bytes = sizeof *out};
    if (!possible(in)) {
        no_balance(out);
        return NXW_ERROR_RANGE;
    }
    const size_t n_read = means(in, out);
    const bool closed = in->complete && n_read == in->n_places;
    out->available_closed_mol = in->available_mol;
    out->unexplained_mol = in->available_mol - out->total_mol;
    out->unexplained_error_mol = hypot(in->available_error_mol, out->total_error_mol);
    out->impossible = out->unexplained_mol < -OF_100_95 * out->unexplained_error_mol;
    if (closed)
        close_account(in, out);
    out->degrees = in->n_readings - n_read + (closed ? 1 : 0);
    judge(in, closed, out);
    out->probability = nxw_chi_square_tail(out->chi_square, out->degrees);
    return NXW_OK;
}
