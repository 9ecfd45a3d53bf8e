#include "jacobian.h"

#include <math.h>
#include <string.h>

#include "memory.h"

enum { STREAM = NXW_POOLS + 2 }; /* flow, composition, enthalpy */

/* One stage evaluated once. */
struct evaluation {
    struct nxw_stage_view view;
    double sums[NXW_SLICES_MAX][NXW_S_COUNT];
    double rate[NXW_STAGE_STATES_MAX];
};

struct nxw_jacobian {
    struct nxw_train *train;
    const double *tolerance;
    size_t nonzeros, *start, *row;
    struct evaluation base, moved;
    double x[NXW_STAGE_STATES_MAX];                    /* the stage's states, one of them moved */
    double by_sum[NXW_S_COUNT][NXW_T_COUNT + NXW_E_COUNT]; /* tank and ledgers by each sum */
    double by_stream[STREAM][NXW_STAGE_STATES_MAX];    /* this stage by the entering gas */
    double leaving[NXW_T_COUNT][STREAM], leaving_before[NXW_T_COUNT][STREAM];
};

/* --------------------------------------------------------------------------- the pattern */

/* Tank states that the liquid, the tip and so the bubble path know of. */
static bool felt_by_path(size_t tank_state)
{
    return tank_state <= NXW_T_TEMPERATURE;
}

/* Tank states that the leaving gas knows of. */
static bool felt_downstream(size_t tank_state)
{
    return tank_state <= NXW_T_TEMPERATURE ||
           (tank_state >= NXW_T_HEAD && tank_state < NXW_T_HEAD + NXW_POOLS);
}

/* Rows of one column of one stage, and of the stage after it; counts only when row is NULL. */
static size_t column_rows(const struct nxw_train *train, size_t stage, size_t column, size_t *row)
{
    const struct nxw_stage_plan *plan = &train->stages[stage];
    const size_t first = train->first[stage], n = plan->n_states, path = plan->n_path;
    size_t count = 0, from = 0, until = n;
    if (column >= path + NXW_T_COUNT) { /* a ledger: only the diagonal */
        from = column;
        until = column + 1;
    } else if (column >= path) {
        from = felt_by_path(column - path) ? 0 : path;
    } else { /* own slice, the slice above, the tank */
        from = column - column % NXW_POOLS;
        const size_t end = from + 2 * NXW_POOLS < path ? from + 2 * NXW_POOLS : path;
        for (size_t i = from; i < end; i++, count++)
            if (row != NULL)
                row[count] = first + i;
        from = path;
    }
    for (size_t i = from; i < until; i++, count++)
        if (row != NULL)
            row[count] = first + i;
    if (stage + 1 < train->n_stages && column >= path && column < path + NXW_T_COUNT &&
        felt_downstream(column - path))
        for (size_t i = 0; i < train->stages[stage + 1].n_states; i++, count++)
            if (row != NULL)
                row[count] = train->first[stage + 1] + i;
    return count;
}

struct nxw_jacobian *nxw_jacobian_create(struct nxw_train *train, const double *tolerance)
{
    struct nxw_jacobian *j = nxw_allocate(sizeof *j);
    if (j == NULL)
        return NULL;
    j->train = train;
    j->tolerance = tolerance;
    for (size_t s = 0; s < train->n_stages; s++)
        for (size_t c = 0; c < train->stages[s].n_states; c++)
            j->nonzeros += column_rows(train, s, c, NULL);
    j->start = nxw_allocate((train->n_states + 1) * sizeof *j->start);
    j->row = nxw_allocate(j->nonzeros * sizeof *j->row);
    if (j->start == NULL || j->row == NULL) {
        nxw_jacobian_free(j);
        return NULL;
    }
    size_t k = 0;
    for (size_t s = 0; s < train->n_stages; s++)
        for (size_t c = 0; c < train->stages[s].n_states; c++) {
            j->start[train->first[s] + c] = k;
            k += column_rows(train, s, c, j->row + k);
        }
    j->start[train->n_states] = k;
    return j;
}

void nxw_jacobian_free(struct nxw_jacobian *j)
{
    if (j == NULL)
        return;
    nxw_release(j->start);
    nxw_release(j->row);
    nxw_release(j);
}

size_t nxw_jacobian_nonzeros(const struct nxw_jacobian *j)
{
    return j->nonzeros;
}

const size_t *nxw_jacobian_starts(const struct nxw_jacobian *j)
{
    return j->start;
}

const size_t *nxw_jacobian_rows(const struct nxw_jacobian *j)
{
    return j->row;
}

/* ----------------------------------------------------------------------- the differences */

/* A displacement that is small beside the state and large beside rounding. */
static double displacement(double x, double tolerance)
{
    const double wanted = 1e-7 * fabs(x) + 1e-4 * tolerance;
    volatile double moved = x + wanted; /* exactly what x moves by */
    return moved - x;
}

static void stream_difference(const struct nxw_gas_stream *a, const struct nxw_gas_stream *b,
                              double step, double out[STREAM])
{
    out[0] = (a->flow_mol_s - b->flow_mol_s) / step;
    out[1] = (a->enthalpy_J_mol - b->enthalpy_J_mol) / step;
    for (int i = 0; i < NXW_POOLS; i++)
        out[2 + i] = (a->y[i] - b->y[i]) / step;
}

static double *stream_element(struct nxw_gas_stream *s, size_t i)
{
    return i == 0 ? &s->flow_mol_s : i == 1 ? &s->enthalpy_J_mol : &s->y[i - 2];
}

/* Columns of the bubble path: slices of one parity move together, pool by pool. */
static void path_columns(struct nxw_jacobian *j, size_t stage, const struct nxw_gas_stream *inlet,
                         const double *x, double *element)
{
    const struct nxw_stage_plan *plan = &j->train->stages[stage];
    const size_t n_slices = plan->n_slices, first = j->train->first[stage], path = plan->n_path;
    struct evaluation *base = &j->base, *moved = &j->moved;
    for (size_t pool = 0; pool < NXW_POOLS; pool++)
        for (size_t parity = 0; parity < 2 && parity < n_slices; parity++) {
            memcpy(j->x, x, path * sizeof *x);
            for (size_t s = parity; s < n_slices; s += 2) {
                const size_t c = s * NXW_POOLS + pool;
                j->x[c] += displacement(x[c], j->tolerance[first + c]);
            }
            nxw_stage_path(plan, &base->view, inlet, j->x, moved->rate, moved->sums);
            for (size_t s = parity; s < n_slices; s += 2) {
                const size_t c = s * NXW_POOLS + pool;
                const double step = j->x[c] - x[c];
                const size_t slices = s + 1 < n_slices ? 2 : 1;
                double *e = element + j->start[first + c];
                for (size_t i = s * NXW_POOLS; i < (s + slices) * NXW_POOLS; i++)
                    *e++ = (moved->rate[i] - base->rate[i]) / step;
                double sum[NXW_S_COUNT];
                for (int k = 0; k < NXW_S_COUNT; k++) {
                    sum[k] = (moved->sums[s][k] - base->sums[s][k]) / step;
                    if (slices == 2)
                        sum[k] += (moved->sums[s + 1][k] - base->sums[s + 1][k]) / step;
                }
                for (size_t i = 0; i < NXW_T_COUNT + NXW_E_COUNT; i++) {
                    e[i] = 0.0;
                    for (int k = 0; k < NXW_S_COUNT; k++)
                        e[i] += j->by_sum[k][i] * sum[k];
                }
            }
        }
}

/* Tank and ledgers by each sum over the path. */
static void sum_differences(struct nxw_jacobian *j, size_t stage,
                            const struct nxw_gas_stream *inlet, const double *x)
{
    const struct nxw_stage_plan *plan = &j->train->stages[stage];
    const size_t path = plan->n_path;
    struct evaluation *base = &j->base, *moved = &j->moved;
    for (int k = 0; k < NXW_S_COUNT && plan->n_slices > 0; k++) {
        moved->view = base->view;
        const double old = base->view.sums[k];
        volatile double at = old + 1e-6 * fabs(old) + 1e-12;
        moved->view.sums[k] = at;
        nxw_stage_tank(plan, &moved->view, inlet, x + path, moved->rate + path);
        for (size_t i = 0; i < NXW_T_COUNT + NXW_E_COUNT; i++)
            j->by_sum[k][i] = (moved->rate[path + i] - base->rate[path + i]) / (at - old);
    }
}

/* Columns of the tank; keeps what each does to the leaving gas. */
static void tank_columns(struct nxw_jacobian *j, size_t stage, const struct nxw_gas_stream *inlet,
                         const double *x, double *element)
{
    const struct nxw_stage_plan *plan = &j->train->stages[stage];
    const size_t first = j->train->first[stage], path = plan->n_path;
    struct evaluation *base = &j->base, *moved = &j->moved;
    memcpy(j->x, x, plan->n_states * sizeof *x);
    for (size_t k = 0; k < NXW_T_COUNT; k++) {
        const size_t c = path + k;
        j->x[c] = x[c] + displacement(x[c], j->tolerance[first + c]);
        const double step = j->x[c] - x[c];
        size_t from = path;
        if (felt_by_path(k)) {
            from = 0;
            nxw_stage_rates(plan, inlet, j->x, moved->rate, moved->sums, &moved->view);
        } else {
            moved->view = base->view;
            moved->view.bath_K = nxw_bath_temperature_K(plan, j->x[path + NXW_T_BATH_HEAT]);
            nxw_stage_tank(plan, &moved->view, inlet, j->x + path, moved->rate + path);
        }
        double *e = element + j->start[first + c];
        for (size_t i = from; i < plan->n_states; i++)
            *e++ = (moved->rate[i] - base->rate[i]) / step;
        stream_difference(&moved->view.outlet, &base->view.outlet, step, j->leaving[k]);
        j->x[c] = x[c];
    }
}

/* What the stage before does to this one, through the gas between them (before any bleed). */
static void coupling(struct nxw_jacobian *j, size_t stage, double t_s,
                     const struct nxw_gas_stream *between, const double *x, double *element)
{
    const struct nxw_stage_plan *plan = &j->train->stages[stage];
    const struct nxw_stage_plan *before = &j->train->stages[stage - 1];
    struct evaluation *base = &j->base, *moved = &j->moved;
    for (size_t i = 0; i < STREAM; i++) {
        static const double least[2] = {1e-12, 1e-3};
        struct nxw_gas_stream s = *between;
        double *value = stream_element(&s, i);
        const double old = *value;
        *value += 1e-6 * fabs(old) + (i < 2 ? least[i] : 1e-9);
        const double step = *value - old;
        nxw_train_bleed(j->train, stage, t_s, &s);
        nxw_stage_rates(plan, &s, x, moved->rate, moved->sums, &moved->view);
        for (size_t r = 0; r < plan->n_states; r++)
            j->by_stream[i][r] = (moved->rate[r] - base->rate[r]) / step;
    }
    for (size_t k = 0; k < NXW_T_COUNT; k++) {
        if (!felt_downstream(k))
            continue;
        const size_t c = j->train->first[stage - 1] + before->n_path + k;
        double *e = element + j->start[c + 1] - plan->n_states; /* the last rows of the column */
        for (size_t r = 0; r < plan->n_states; r++) {
            e[r] = 0.0;
            for (size_t i = 0; i < STREAM; i++)
                e[r] += j->by_stream[i][r] * j->leaving_before[k][i];
        }
    }
}

bool nxw_jacobian_fill(struct nxw_jacobian *j, double t_s, const double *x, double *element)
{
    struct nxw_gas_stream inlet, between;
    nxw_train_first_stream(j->train, t_s, &inlet);
    for (size_t s = 0; s < j->train->n_stages; s++) {
        const struct nxw_stage_plan *plan = &j->train->stages[s];
        const double *own = x + j->train->first[s];
        between = inlet;
        nxw_train_bleed(j->train, s, t_s, &inlet);
        nxw_stage_rates(plan, &inlet, own, j->base.rate, j->base.sums, &j->base.view);
        if (s > 0)
            coupling(j, s, t_s, &between, own, element);
        sum_differences(j, s, &inlet, own);
        path_columns(j, s, &inlet, own, element);
        tank_columns(j, s, &inlet, own, element);
        for (size_t c = plan->n_path + NXW_T_COUNT; c < plan->n_states; c++)
            element[j->start[j->train->first[s] + c]] = 0.0;
        memcpy(j->leaving_before, j->leaving, sizeof j->leaving);
        inlet = j->base.view.outlet;
    }
    for (size_t i = 0; i < j->nonzeros; i++)
        if (!isfinite(element[i]))
            return false;
    return true;
}
