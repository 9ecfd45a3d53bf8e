#include "train.h"

#include <math.h>

void nxw_train_make(const struct nxw_case *in, struct nxw_train *train)
{
    train->in = in;
    train->n_stages = in->n_stages;
    train->n_states = 0;
    nxw_source_plan_make(in, &train->source);
    for (size_t i = 0; i < in->n_stages; i++) {
        nxw_stage_plan_make(in, i, &train->stages[i]);
        train->first[i] = train->n_states;
        train->n_states += train->stages[i].n_states;
    }
}

void nxw_train_start(const struct nxw_train *train, double *x)
{
    for (size_t i = 0; i < train->n_stages; i++)
        nxw_stage_start(&train->stages[i], x + train->first[i]);
}

static void first_stream(const struct nxw_train *train, double t_s, struct nxw_gas_stream *s)
{
    const struct nxw_case *in = train->in;
    double flow[NXW_POOLS];
    nxw_source_flow(&train->source, t_s, flow, s->y);
    s->flow_mol_s = 0.0;
    for (int j = 0; j < NXW_POOLS; j++)
        s->flow_mol_s += flow[j];
    /* the feed brings the enthalpy of its own mixture at its own temperature */
    struct nxw_chemistry c;
    struct nxw_gas_pressures g;
    nxw_chemistry_gas(&in->parameters, in->source.temperature_K, &c);
    nxw_gas_speciate(&c, s->y, in->surroundings_pressure_Pa, &g);
    s->enthalpy_J_mol = nxw_gas_enthalpy(&in->parameters, s->y, &g, in->source.temperature_K);
}

/* Air or oxygen bled in ahead of a stage. */
static void bleed(const struct nxw_train *train, const struct nxw_carrier *b, double t_s,
                  struct nxw_gas_stream *s)
{
    if (b->gas == NXW_GAS_NONE)
        return;
    double flow[NXW_POOLS] = {0.0}, extra = 0.0;
    nxw_carrier_flow(b, train->source.ramp_s, t_s, flow);
    for (int j = 0; j < NXW_POOLS; j++)
        extra += flow[j];
    const double old = fmax(s->flow_mol_s, 1e-15), all = old + extra;
    for (int j = 0; j < NXW_POOLS; j++)
        s->y[j] = (old * s->y[j] + flow[j]) / all;
    double h = 0.0;
    for (int j = 0; j < NXW_POOLS; j++)
        h += flow[j] * nxw_gas_molar_enthalpy(&train->in->parameters, (enum nxw_pool)j,
                                              train->in->surroundings_temperature_K);
    s->enthalpy_J_mol = (old * s->enthalpy_J_mol + h) / all;
    s->flow_mol_s += extra;
}

bool nxw_train_rates(struct nxw_train *train, double t_s, const double *x, double *rate)
{
    struct nxw_gas_stream stream;
    double sums[NXW_SLICES_MAX][NXW_S_COUNT];
    first_stream(train, t_s, &stream);
    for (size_t i = 0; i < train->n_stages; i++) {
        const struct nxw_stage_plan *plan = &train->stages[i];
        struct nxw_stage_view *v = &train->views[i];
        const double *path = x + train->first[i], *tank = path + plan->n_path;
        double *path_rate = rate + train->first[i], *tank_rate = path_rate + plan->n_path;
        bleed(train, &plan->stage->bleed, t_s, &stream);
        nxw_stage_look(plan, tank, &stream, v);
        nxw_stage_path(plan, v, &stream, path, path_rate, sums);
        for (int k = 0; k < NXW_S_COUNT; k++) {
            v->sums[k] = 0.0;
            for (size_t s = 0; s < plan->n_slices; s++)
                v->sums[k] += sums[s][k];
        }
        if (plan->n_slices == 0) { /* the gas passes unchanged, undimerised books at the tank */
            struct nxw_gas_pressures g;
            double free_gas = 0.0;
            nxw_gas_speciate(&v->liquid.c, stream.y, plan->pressure_Pa, &g);
            for (int j = 0; j < NXW_POOLS; j++)
                free_gas += stream.y[j] * nxw_gas_molar_enthalpy(&train->in->parameters,
                                                                 (enum nxw_pool)j,
                                                                 v->liquid.c.T_K);
            v->sums[NXW_S_DIMER_J_MOL] =
                nxw_gas_enthalpy(&train->in->parameters, stream.y, &g, v->liquid.c.T_K) - free_gas;
        }
        nxw_stage_tank(plan, v, &stream, tank, tank_rate);
        stream = v->outlet;
    }
    for (size_t i = 0; i < train->n_states; i++)
        if (!isfinite(rate[i]))
            return false;
    return true;
}

void nxw_train_tolerances(const struct nxw_train *train, double fed_N_mol, double NOx_fraction,
                          double *tolerance)
{
    const double N = fmax(fed_N_mol, 1e-12);
    for (size_t i = 0; i < train->n_stages; i++) {
        const struct nxw_stage_plan *plan = &train->stages[i];
        double *a = tolerance + train->first[i];
        for (size_t s = 0; s < plan->n_path; s++) {
            const size_t j = s % NXW_POOLS;
            const bool N_pool = j == NXW_NO || j == NXW_NO2 || j == NXW_HNO2 || j == NXW_HNO3;
            a[s] = N_pool ? 1e-7 * fmax(NOx_fraction, 1e-9) : 1e-7;
        }
        a += plan->n_path;
        for (int j = 0; j < NXW_T_COUNT; j++)
            a[j] = 1e-8 * N;
        a[NXW_T_LIQUID + NXW_L_NO2_AQ] = 1e-11 * N;
        a[NXW_T_LIQUID + NXW_L_NO_AQ] = 1e-10 * N;
        a[NXW_T_LIQUID + NXW_L_H2O] = 1e-5;
        a[NXW_T_LIQUID + NXW_L_H2O2] = 1e-8 * (N + plan->peroxide_start_mol);
        a[NXW_T_TEMPERATURE] = 1e-4;
        a[NXW_T_BATH_HEAT] = 1.0;
        a[NXW_T_HEAD + NXW_O2] = a[NXW_T_HEAD + NXW_INERT] = a[NXW_T_HEAD + NXW_H2O] = 1e-8;
        a[NXW_T_RETURNED_NO] = a[NXW_T_REFORMED_NO2] = 1e-5 * N;
        a[NXW_T_FLOW] = 1e-9;
        a += NXW_T_COUNT;
        for (int j = 0; j < NXW_E_COUNT; j++)
            a[j] = 1e-5 * N;
        for (int j = 0; j < NXW_POOLS; j++)
            if (j == NXW_O2 || j == NXW_INERT || j == NXW_H2O)
                a[NXW_E_FED + j] = a[NXW_E_OUT + j] = 1e-5;
        a[NXW_E_HEAT_IN] = a[NXW_E_HEAT_LOST] = 1.0;
        a[NXW_E_DRAWN_BACK] = 1e-4;
    }
}
