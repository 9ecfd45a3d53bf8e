#include "run/vector_arithmetic.h"

#include <math.h>
#include <stddef.h>

static size_t length(N_Vector v) { return (size_t)NV_LENGTH_S(v); }

/* z = a x + b y; z may be x or y. */
static void linear_sum(realtype a, N_Vector x, realtype b, N_Vector y, N_Vector z)
{
    const double *X = NV_DATA_S(x), *Y = NV_DATA_S(y);
    double *Z = NV_DATA_S(z);
    for (size_t i = 0; i < length(z); i++)
        Z[i] = a * X[i] + b * Y[i];
}

static void set_all(realtype c, N_Vector z)
{
    double *Z = NV_DATA_S(z);
    for (size_t i = 0; i < length(z); i++)
        Z[i] = c;
}

static void scale(realtype c, N_Vector x, N_Vector z)
{
    const double *X = NV_DATA_S(x);
    double *Z = NV_DATA_S(z);
    for (size_t i = 0; i < length(z); i++)
        Z[i] = c * X[i];
}

/* Root of the mean of (x w)^2; four sums, none of which waits for another. */
static realtype weighted_rms(N_Vector x, N_Vector w)
{
    enum { SUMS = 4 };
    const double *X = NV_DATA_S(x), *W = NV_DATA_S(w);
    const size_t n = length(x);
    double sum[SUMS] = {0.0};
    size_t i = 0;
    for (; i + SUMS <= n; i += SUMS)
        for (size_t k = 0; k < SUMS; k++) {
            const double e = X[i + k] * W[i + k];
            sum[k] += e * e;
        }
    for (; i < n; i++)
        sum[0] += X[i] * W[i] * X[i] * W[i];
    return sqrt((sum[0] + sum[1] + sum[2] + sum[3]) / (double)n);
}

/* z = sum of c_k x_k; z may be one of them. */
static int linear_combination(int n, realtype *c, N_Vector *x, N_Vector z)
{
    double *Z = NV_DATA_S(z);
    for (size_t i = 0; i < length(z); i++) {
        double sum = c[0] * NV_Ith_S(x[0], i);
        for (int k = 1; k < n; k++)
            sum += c[k] * NV_Ith_S(x[k], i);
        Z[i] = sum;
    }
    return 0;
}

/* z_k = a_k x + y_k; z_k may be y_k. */
static int scale_add_multi(int n, realtype *a, N_Vector x, N_Vector *y, N_Vector *z)
{
    for (int k = 0; k < n; k++)
        linear_sum(a[k], x, 1.0, y[k], z[k]);
    return 0;
}

void nxw_vector_arithmetic(N_Vector v)
{
    v->ops->nvlinearsum = linear_sum;
    v->ops->nvconst = set_all;
    v->ops->nvscale = scale;
    v->ops->nvwrmsnorm = weighted_rms;
    v->ops->nvlinearcombination = linear_combination;
    v->ops->nvscaleaddmulti = scale_add_multi;
}
