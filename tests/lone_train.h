/* A train whose first state a test sets by hand, and its integration without the watch: for
 * reduced problems with a closed form. */
#ifndef NXW_LONE_TRAIN_H
#define NXW_LONE_TRAIN_H

#include <assert.h>
#include <string.h>

#include "run/solver.h"

enum { LONE_STATES_MAX = 3 * NXW_STAGE_STATES_MAX };

struct lone_train {
    struct nxw_case c;
    struct nxw_train train;
    double x[LONE_STATES_MAX], relative[LONE_STATES_MAX], absolute[LONE_STATES_MAX],
        rate[LONE_STATES_MAX];
};

/* Ready to be started; tolerances for so much nitrogen. The case is copied first: o->c. */
static inline void lone_train_make(struct lone_train *o, const struct nxw_case *c, double N_mol)
{
    o->c = *c;
    nxw_train_make(&o->c, &o->train);
    assert(o->train.n_states <= LONE_STATES_MAX);
    nxw_train_start(&o->train, o->x);
    nxw_train_tolerances(&o->train, N_mol, 1.0, o->relative, o->absolute);
}

static inline double *lone_tank(struct lone_train *o, size_t stage)
{
    return o->x + o->train.first[stage] + o->train.stages[stage].n_path;
}

static inline const double *lone_rate(const struct lone_train *o, size_t stage)
{
    return o->rate + o->train.first[stage] + o->train.stages[stage].n_path;
}

/* Rates and views at the present state; false when one is no number. */
static inline bool lone_train_rates(struct lone_train *o, double t_s)
{
    return nxw_train_rates(&o->train, t_s, o->x, o->rate);
}

/* From time 0 to until_s, restarted at the breakpoints of the source; the state is then x. */
static inline enum nxw_status lone_train_run(struct lone_train *o, double until_s)
{
    struct nxw_solver *solver = nxw_solver_create(&o->train, o->x, o->relative, o->absolute);
    if (solver == NULL)
        return NXW_ERROR_MEMORY;
    const struct nxw_source_plan *s = &o->train.source;
    enum nxw_status status = NXW_OK;
    const double *now = o->x;
    double t = 0.0;
    for (size_t b = 0; status == NXW_OK && t < until_s; b++) {
        const double stop = b < s->n_breaks ? fmin(s->breaks_s[b], until_s) : until_s;
        while (status == NXW_OK && t < stop)
            status = nxw_solver_step(solver, stop, &t, &now);
        if (status == NXW_OK && t < until_s)
            status = nxw_solver_restart(solver);
    }
    memcpy(o->x, now, o->train.n_states * sizeof *o->x);
    nxw_solver_free(solver);
    return status;
}

/* A vessel of 250 mL in dry room air of 20 degC, 1 atm: no gas comes, nothing reacts with water
 * vapour in the gas, nothing pairs to N2O4 or N2O3. */
static inline struct nxw_case quiet_case(enum nxw_stage_kind kind)
{
    struct nxw_case c;
    nxw_case_init(&c);
    c.source.kind = NXW_SOURCE_METERED;
    c.source.shape = NXW_SHAPE_STEADY;
    c.source.duration_s = 1.0;
    c.source.temperature_K = 293.15;
    c.isothermal = true;
    c.parameters.value[NXW_P_room_humidity] = 0.0;
    c.parameters.value[NXW_P_k_HNO2_gas] = 0.0;
    c.parameters.value[NXW_P_K_N2O4] = 1e-9;
    c.parameters.value[NXW_P_K_N2O3] = 1e-9;
    c.stages[0].kind = kind;
    c.stages[0].depth_m = 0.0;
    c.stages[0].no_surface = true;
    return c;
}

#endif
