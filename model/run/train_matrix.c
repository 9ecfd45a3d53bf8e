#include "run/train_matrix.h"

#include <math.h>
#include <string.h>

#include "base/memory.h"

enum {
    ROWS = NXW_T_COUNT + NXW_E_COUNT,
    OUT = NXW_T_COUNT + NXW_E_OUT, /* rows of ledgers, after the tank's */
    HEAT_IN = NXW_T_COUNT + NXW_E_HEAT_IN,
    BLOCK = NXW_PATH_POOLS * NXW_PATH_POOLS
};

/* Work of one stage: [tank][tank], what the liquid does to the sums, to the path. */
enum { SUMS = NXW_T_COUNT * NXW_T_COUNT, ANSWER = SUMS + NXW_M_LIQUID * NXW_S_COUNT };

static size_t work_size(const struct nxw_stage_plan *plan)
{
    return ANSWER + NXW_M_LIQUID * plan->n_path;
}

bool nxw_train_matrix_make(const struct nxw_train *train, struct nxw_train_matrix *m)
{
    *m = (struct nxw_train_matrix){.train = train};
    size_t n = 0, work = 0;
    for (size_t s = 0; s < train->n_stages; s++) {
        const struct nxw_stage_plan *plan = &train->stages[s];
        struct nxw_stage_blocks *b = &m->blocks[s];
        b->own = n;
        b->below = b->own + plan->n_slices * BLOCK;
        b->by_liquid = b->below + plan->n_slices * BLOCK;
        b->by_sum = b->by_liquid + NXW_M_LIQUID * plan->n_path;
        b->by_tank = b->by_sum + (size_t)NXW_S_COUNT * ROWS;
        b->by_before = b->by_tank + (size_t)NXW_T_COUNT * ROWS;
        n = b->by_before + (s > 0 ? NXW_M_BETWEEN * plan->n_states : 0);
        work += work_size(plan);
    }
    m->n_scaled = n;
    for (size_t s = 0; s < train->n_stages; s++) {
        m->blocks[s].sum_by_path = n;
        n += train->stages[s].n_path * NXW_S_COUNT;
    }
    m->n_elements = n;
    m->element = nxw_allocate(n * sizeof *m->element);
    m->work = nxw_allocate(work * sizeof *m->work);
    m->pivot = nxw_allocate(train->n_stages * NXW_T_COUNT * sizeof *m->pivot);
    return m->element != NULL && m->work != NULL && m->pivot != NULL;
}

void nxw_train_matrix_free(struct nxw_train_matrix *m)
{
    nxw_release(m->element);
    nxw_release(m->work);
    nxw_release(m->pivot);
    *m = (struct nxw_train_matrix){0};
}

size_t nxw_train_matrix_between(size_t k)
{
    return k < NXW_M_LIQUID ? k : NXW_T_HEAD + k - NXW_M_LIQUID;
}

void nxw_train_matrix_copy(const struct nxw_train_matrix *from, struct nxw_train_matrix *to)
{
    memcpy(to->element, from->element, from->n_elements * sizeof *from->element);
}

void nxw_train_matrix_scale_add_identity(struct nxw_train_matrix *m, double factor)
{
    for (size_t i = 0; i < m->n_scaled; i++)
        m->element[i] *= factor;
    for (size_t s = 0; s < m->train->n_stages; s++) {
        for (size_t i = 0; i < m->train->stages[s].n_path; i++) {
            const size_t slice = i / NXW_PATH_POOLS, pool = i % NXW_PATH_POOLS;
            m->element[m->blocks[s].own + slice * BLOCK + pool * (NXW_PATH_POOLS + 1)] += 1.0;
        }
        for (size_t i = 0; i < NXW_T_COUNT; i++)
            m->element[m->blocks[s].by_tank + i * (ROWS + 1)] += 1.0;
    }
}

/* LU of a dense n x n block, columns stride apart, with row exchanges. */
static bool lu_factor(double *a, size_t n, size_t stride, size_t *pivot)
{
    for (size_t k = 0; k < n; k++) {
        double *column = a + k * stride;
        size_t p = k;
        for (size_t i = k + 1; i < n; i++)
            if (fabs(column[i]) > fabs(column[p]))
                p = i;
        pivot[k] = p;
        if (!(fabs(column[p]) > 0.0))
            return false;
        if (p != k)
            for (size_t j = 0; j < n; j++) {
                const double swap = a[j * stride + k];
                a[j * stride + k] = a[j * stride + p];
                a[j * stride + p] = swap;
            }
        column[k] = 1.0 / column[k]; /* the factors keep the reciprocal of the diagonal */
        for (size_t i = k + 1; i < n; i++)
            column[i] *= column[k];
        for (size_t j = k + 1; j < n; j++) {
            double *other = a + j * stride;
            const double f = other[k];
            if (f != 0.0)
                for (size_t i = k + 1; i < n; i++)
                    other[i] -= f * column[i];
        }
    }
    return true;
}

static void lu_solve(const double *a, size_t n, size_t stride, const size_t *pivot, double *b)
{
    for (size_t k = 0; k < n; k++) {
        const double swap = b[k];
        b[k] = b[pivot[k]];
        b[pivot[k]] = swap;
    }
    for (size_t k = 0; k < n; k++)
        for (size_t i = k + 1; i < n; i++)
            b[i] -= b[k] * a[k * stride + i];
    for (size_t k = n; k-- > 0;) {
        b[k] *= a[k * stride + k];
        for (size_t i = 0; i < k; i++)
            b[i] -= b[k] * a[k * stride + i];
    }
}

/* A slice's own block becomes its inverse: it is small and met thousands of times. */
static bool invert(double *a)
{
    enum { N = NXW_PATH_POOLS };
    size_t pivot[N];
    double inverse[N][N] = {{0.0}};
    if (!lu_factor(a, N, N, pivot))
        return false;
    for (size_t k = 0; k < N; k++) {
        inverse[k][k] = 1.0;
        lu_solve(a, N, N, pivot, inverse[k]);
    }
    memcpy(a, inverse, sizeof inverse);
    return true;
}

/* y -= A x, A stored column by column; two at a time. */
static inline void subtract_product(const double *restrict a, size_t stride, size_t rows,
                                    size_t columns, const double *x, double *restrict y)
{
    for (size_t j = 0; j + 1 < columns; j += 2) {
        const double f = x[j], g = x[j + 1], *left = a + j * stride, *right = left + stride;
        for (size_t i = 0; i < rows; i++)
            y[i] -= f * left[i] + g * right[i];
    }
    if (columns % 2 == 0)
        return;
    const double *last = a + (columns - 1) * stride;
    for (size_t i = 0; i < rows; i++)
        y[i] -= x[columns - 1] * last[i];
}

/* What the path adds to the sums over it. */
static void path_sums(const struct nxw_train_matrix *m, size_t stage, const double *path,
                      double sum[NXW_S_COUNT])
{
    memset(sum, 0, NXW_S_COUNT * sizeof *sum);
    subtract_product(m->element + m->blocks[stage].sum_by_path, NXW_S_COUNT, NXW_S_COUNT,
                     m->train->stages[stage].n_path, path, sum);
    for (int k = 0; k < NXW_S_COUNT; k++)
        sum[k] = -sum[k];
}

/* Up the path: b becomes what the slices alone answer to it. */
static void path_solve(const struct nxw_train_matrix *m, size_t stage, double *b)
{
    enum { N = NXW_PATH_POOLS };
    const double *inverse = m->element + m->blocks[stage].own;
    const double *below = m->element + m->blocks[stage].below;
    for (size_t s = 0; s < m->train->stages[stage].n_slices; s++, b += N) {
        double minus[N], answer[N] = {0.0};
        if (s > 0)
            subtract_product(below + s * BLOCK, N, N, N, b - N, b);
        for (int i = 0; i < N; i++)
            minus[i] = -b[i];
        subtract_product(inverse + s * BLOCK, N, N, N, minus, answer);
        memcpy(b, answer, sizeof answer);
    }
}

bool nxw_train_matrix_factor(struct nxw_train_matrix *m)
{
    double *reduced = m->work;
    for (size_t stage = 0; stage < m->train->n_stages; stage++) {
        const struct nxw_stage_plan *plan = &m->train->stages[stage];
        const struct nxw_stage_blocks *b = &m->blocks[stage];
        const size_t path = plan->n_path;
        double *sums = reduced + SUMS, *answer = reduced + ANSWER;
        for (size_t s = 0; s < plan->n_slices; s++)
            if (!invert(m->element + b->own + s * BLOCK))
                return false;
        memcpy(answer, m->element + b->by_liquid, NXW_M_LIQUID * path * sizeof *answer);
        for (size_t k = 0; k < NXW_T_COUNT; k++) {
            double *column = reduced + k * NXW_T_COUNT;
            memcpy(column, m->element + b->by_tank + k * ROWS, NXW_T_COUNT * sizeof *column);
            if (k >= NXW_M_LIQUID)
                continue;
            path_solve(m, stage, answer + k * path);
            double *sum = sums + k * NXW_S_COUNT;
            path_sums(m, stage, answer + k * path, sum);
            subtract_product(m->element + b->by_sum, ROWS, NXW_T_COUNT, NXW_S_COUNT, sum, column);
        }
        if (!lu_factor(reduced, NXW_T_COUNT, NXW_T_COUNT, m->pivot + stage * NXW_T_COUNT))
            return false;
        reduced += work_size(plan);
    }
    return true;
}

void nxw_train_matrix_solve(const struct nxw_train_matrix *m, double *x)
{
    const double *reduced = m->work;
    for (size_t stage = 0; stage < m->train->n_stages; stage++) {
        const struct nxw_stage_plan *plan = &m->train->stages[stage];
        const struct nxw_stage_blocks *b = &m->blocks[stage];
        const size_t path = plan->n_path;
        double *own = x + m->train->first[stage], *tank = own + path;
        if (stage > 0) {
            const double *before =
                x + m->train->first[stage - 1] + m->train->stages[stage - 1].n_path;
            double between[NXW_M_BETWEEN];
            for (size_t k = 0; k < NXW_M_BETWEEN; k++)
                between[k] = before[nxw_train_matrix_between(k)];
            subtract_product(m->element + b->by_before, plan->n_states, plan->n_states,
                             NXW_M_BETWEEN, between, own);
        }
        path_solve(m, stage, own);
        double sum[NXW_S_COUNT];
        path_sums(m, stage, own, sum);
        subtract_product(m->element + b->by_sum, ROWS, NXW_T_COUNT, NXW_S_COUNT, sum, tank);
        lu_solve(reduced, NXW_T_COUNT, NXW_T_COUNT, m->pivot + stage * NXW_T_COUNT, tank);
        subtract_product(reduced + ANSWER, path, path, NXW_M_LIQUID, tank, own);
        subtract_product(reduced + SUMS, NXW_S_COUNT, NXW_S_COUNT, NXW_M_LIQUID, tank, sum);
        /* what is fed depends on neither, what leaves on the headspace */
        subtract_product(m->element + b->by_sum + HEAT_IN, ROWS, ROWS - HEAT_IN, NXW_S_COUNT, sum,
                         tank + HEAT_IN);
        subtract_product(m->element + b->by_tank + OUT, ROWS, ROWS - OUT, NXW_T_COUNT, tank,
                         tank + OUT);
        reduced += work_size(plan);
    }
}
