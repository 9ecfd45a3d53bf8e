#include "run/jacobian.h"

#include <math.h>
#include <string.h>

#include "base/memory.h"

enum {
    STREAM = NXW_POOLS + 2, /* flow, enthalpy, composition */
    ENTHALPY = 1,
    ROWS = NXW_T_COUNT + NXW_E_COUNT
};

/* A stage with one of its states moved. */
struct evaluation {
    struct nxw_stage_view view;
    double sums[NXW_SLICES_MAX][NXW_S_COUNT];
    double rate[NXW_STAGE_STATES_MAX];
};

struct nxw_jacobian {
    struct nxw_train *train;
    const double *tolerance;
    const struct nxw_stage_view *view; /* of the stage at the states themselves */
    const double *rate;
    struct nxw_weights *weights; /* too: held while states move */
    struct evaluation moved;
    double x[NXW_STAGE_STATES_MAX];                 /* the stage's states, one of them moved */
    double by_stream[STREAM][NXW_STAGE_STATES_MAX]; /* this stage by the entering gas */
    double leaving[NXW_T_COUNT][STREAM], leaving_before[NXW_T_COUNT][STREAM];
};

struct nxw_jacobian *nxw_jacobian_create(struct nxw_train *train, const double *tolerance)
{
    struct nxw_jacobian *j = nxw_allocate(sizeof *j);
    if (j != NULL) {
        j->train = train;
        j->tolerance = tolerance;
    }
    return j;
}

void nxw_jacobian_free(struct nxw_jacobian *j) { nxw_release(j); }

/* ----------------------------------------------------------------------- the differences */

static void difference(const double *a, const double *b, double step, size_t n, double *out)
{
    for (size_t i = 0; i < n; i++)
        out[i] = (a[i] - b[i]) / step;
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

/* Columns of the bubble path. */
static void path_columns(struct nxw_jacobian *j, size_t stage, const struct nxw_gas_stream *inlet,
                         const double *x, struct nxw_train_matrix *out)
{
    const struct nxw_stage_blocks *blocks = &out->blocks[stage];
    double *e = out->element;
    nxw_stage_path_slopes(&j->train->stages[stage], j->view, inlet, x,
                          j->tolerance + j->train->first[stage], j->weights,
                          (void *)(e + blocks->own), (void *)(e + blocks->below),
                          (void *)(e + blocks->sum_by_path));
}

/* Tank and ledgers by each sum over the path. */
static void sum_differences(struct nxw_jacobian *j, size_t stage,
                            const struct nxw_gas_stream *inlet, const double *x,
                            struct nxw_train_matrix *out)
{
    const struct nxw_stage_plan *plan = &j->train->stages[stage];
    const size_t path = plan->n_path;
    struct evaluation *moved = &j->moved;
    for (size_t k = 0; k < NXW_S_COUNT && plan->n_slices > 0; k++) {
        moved->view = *j->view;
        const double old = moved->view.sums[k];
        volatile double at = old + 1e-6 * fabs(old) + 1e-12;
        moved->view.sums[k] = at;
        nxw_stage_balance(plan, &moved->view, inlet, x + path, moved->rate + path);
        difference(moved->rate + path, j->rate + path, at - old, ROWS,
                   out->element + out->blocks[stage].by_sum + k * ROWS);
    }
}

/* Where none was put in there is no peroxide, nor anything made of it: nobody asks what it does. */
static bool is_absent(const struct nxw_stage_plan *plan, size_t k)
{
    return plan->charge.no_peroxide &&
           (k == NXW_T_LIQUID + NXW_L_H2O2 || k == NXW_T_LIQUID + NXW_L_HOONO);
}

/* Columns of the tank; keeps what each does to the leaving gas. */
static void tank_columns(struct nxw_jacobian *j, size_t stage, const struct nxw_gas_stream *inlet,
                         const double *x, struct nxw_train_matrix *out)
{
    const struct nxw_stage_plan *plan = &j->train->stages[stage];
    const struct nxw_stage_blocks *blocks = &out->blocks[stage];
    const size_t first = j->train->first[stage], path = plan->n_path;
    struct evaluation *moved = &j->moved;
    memcpy(j->x, x, plan->n_states * sizeof *x);
    for (size_t k = 0; k < NXW_T_COUNT; k++) {
        const size_t c = path + k;
        if (is_absent(plan, k)) {
            memset(out->element + blocks->by_liquid + k * path, 0, path * sizeof(double));
            memset(out->element + blocks->by_tank + k * ROWS, 0, ROWS * sizeof(double));
            memset(j->leaving[k], 0, sizeof j->leaving[k]);
            continue;
        }
        j->x[c] = x[c] + nxw_small_step(x[c], j->tolerance[first + c]);
        const double step = j->x[c] - x[c];
        if (k < NXW_M_LIQUID) {
            nxw_stage_rates(plan, inlet, j->x, j->weights, moved->rate, moved->sums, &moved->view);
            difference(moved->rate, j->rate, step, path,
                       out->element + blocks->by_liquid + k * path);
        } else {
            moved->view = *j->view;
            moved->view.bath_K = nxw_bath_temperature_K(plan, j->x[path + NXW_T_BATH_HEAT]);
            if (k >= NXW_T_HEAD && k < NXW_T_HEAD + NXW_POOLS)
                nxw_stage_headspace(plan, j->x + path, &moved->view);
            nxw_stage_balance(plan, &moved->view, inlet, j->x + path, moved->rate + path);
        }
        difference(moved->rate + path, j->rate + path, step, ROWS,
                   out->element + blocks->by_tank + k * ROWS);
        stream_difference(&moved->view.outlet, &j->view->outlet, step, j->leaving[k]);
        j->x[c] = x[c];
    }
}

/* What the stage before does to this one, through the gas between them (before any bleed). */
static void coupling(struct nxw_jacobian *j, size_t stage, double t_s,
                     const struct nxw_gas_stream *between, const double *x,
                     struct nxw_train_matrix *out)
{
    const struct nxw_stage_plan *plan = &j->train->stages[stage];
    struct evaluation *moved = &j->moved;
    for (size_t i = 0; i < STREAM; i++) {
        static const double least[2] = {1e-12, 1e-3};
        struct nxw_gas_stream s = *between;
        double *value = stream_element(&s, i);
        const double old = *value;
        *value += 1e-7 * fabs(old) + (i < 2 ? least[i] : 1e-11);
        const double step = *value - old;
        nxw_train_bleed(j->train, stage, t_s, &s);
        if (i == ENTHALPY) { /* it only warms */
            moved->view = *j->view;
            memcpy(moved->rate, j->rate, plan->n_path * sizeof *j->rate);
            nxw_stage_balance(plan, &moved->view, &s, x + plan->n_path, moved->rate + plan->n_path);
        } else
            nxw_stage_rates(plan, &s, x, j->weights, moved->rate, moved->sums, &moved->view);
        difference(moved->rate, j->rate, step, plan->n_states, j->by_stream[i]);
    }
    for (size_t k = 0; k < NXW_M_BETWEEN; k++) {
        const double *leaving = j->leaving_before[nxw_train_matrix_between(k)];
        double *rows = out->element + out->blocks[stage].by_before + k * plan->n_states;
        for (size_t r = 0; r < plan->n_states; r++) {
            rows[r] = 0.0;
            for (size_t i = 0; i < STREAM; i++)
                rows[r] += j->by_stream[i][r] * leaving[i];
        }
    }
}

bool nxw_jacobian_fill(struct nxw_jacobian *j, double t_s, const double *x, const double *rate,
                       struct nxw_train_matrix *out)
{
    struct nxw_gas_stream inlet, between;
    nxw_train_first_stream(j->train, t_s, &inlet);
    for (size_t s = 0; s < j->train->n_stages; s++) {
        const double *own = x + j->train->first[s];
        between = inlet;
        nxw_train_bleed(j->train, s, t_s, &inlet);
        j->view = &j->train->views[s];
        j->rate = rate + j->train->first[s];
        j->weights = &j->train->weights[s];
        j->weights->held = true;
        if (s > 0)
            coupling(j, s, t_s, &between, own, out);
        sum_differences(j, s, &inlet, own, out);
        path_columns(j, s, &inlet, own, out);
        tank_columns(j, s, &inlet, own, out);
        memcpy(j->leaving_before, j->leaving, sizeof j->leaving);
        inlet = j->view->outlet;
    }
    for (size_t i = 0; i < out->n_elements; i++)
        if (!isfinite(out->element[i]))
            return false;
    return true;
}
