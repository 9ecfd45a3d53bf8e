#include "stage/train.h"

#include <math.h>

void nxw_train_make(const struct nxw_case *in, struct nxw_train *train)
{
    train->in = in;
    train->n_stages = in->n_stages;
    train->n_states = 0;
    nxw_source_plan_make(in, &train->source);
    nxw_chemistry_gas(&in->parameters, in->source.temperature_K, &train->feed);
    for (size_t i = 0; i < in->n_stages; i++) {
        nxw_stage_plan_make(in, i, &train->stages[i]);
        /* and so fast that what lags of a short source is nothing beside it */
        train->stages[i].settles_faster = 30.0 + 6000.0 / train->source.source_end_s;
        train->stages[i].charge.trace_HNO2_mol =
            fmax(1e-10, fmin(1e-3 * in->relative_tolerance, 1e-9)) *
            nxw_gas_N(train->source.total_mol);
        train->first[i] = train->n_states;
        train->n_states += train->stages[i].n_states;
    }
}

void nxw_train_first_stream(const struct nxw_train *train, double t_s, struct nxw_gas_stream *s)
{
    const struct nxw_case *in = train->in;
    double flow[NXW_POOLS];
    nxw_source_flow(&train->source, t_s, flow, s->y);
    s->flow_mol_s = 0.0;
    for (int j = 0; j < NXW_POOLS; j++)
        s->flow_mol_s += flow[j];
    s->returned_share = s->reformed_share = 0.0;
    /* the feed brings the enthalpy of its own mixture at its own temperature */
    struct nxw_gas_pressures g;
    nxw_gas_speciate(&train->feed, s->y, in->surroundings_pressure_Pa, &g);
    s->enthalpy_J_mol = nxw_gas_enthalpy(&in->parameters, s->y, &g, in->source.temperature_K);
}

void nxw_train_start(const struct nxw_train *train, double *x)
{
    struct nxw_gas_stream stream;
    nxw_train_first_stream(train, 0.0, &stream);
    for (size_t i = 0; i < train->n_stages; i++) {
        double *own = x + train->first[i];
        const double *head = own + train->stages[i].n_path + NXW_T_HEAD;
        double sum = 0.0;
        nxw_stage_start(&train->stages[i], stream.y, own);
        for (int j = 0; j < NXW_POOLS; j++)
            sum += head[j];
        for (int j = 0; j < NXW_POOLS; j++) /* the next stage gets the headspace first */
            stream.y[j] = head[j] / sum;
    }
}

void nxw_train_bleed(const struct nxw_train *train, size_t stage, double t_s,
                     struct nxw_gas_stream *s)
{
    const struct nxw_carrier *b = &train->in->stages[stage].bleed;
    if (b->gas == NXW_GAS_NONE)
        return;
    double flow[NXW_POOLS] = {0.0}, extra = 0.0;
    nxw_carrier_flow(&train->in->parameters, b, train->source.ramp_s, t_s, flow);
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

static bool rates(struct nxw_train *train, double t_s, const double *x, bool held, double *rate)
{
    struct nxw_gas_stream stream;
    double sums[NXW_SLICES_MAX][NXW_S_COUNT];
    nxw_train_first_stream(train, t_s, &stream);
    for (size_t i = 0; i < train->n_stages; i++) {
        nxw_train_bleed(train, i, t_s, &stream);
        train->weights[i].held = held;
        nxw_stage_rates(&train->stages[i], &stream, x + train->first[i], &train->weights[i],
                        rate + train->first[i], sums, &train->views[i]);
        stream = train->views[i].outlet;
    }
    for (size_t i = 0; i < train->n_states; i++)
        if (!isfinite(rate[i]))
            return false;
    return true;
}

bool nxw_train_rates(struct nxw_train *train, double t_s, const double *x, double *rate)
{
    return rates(train, t_s, x, false, rate);
}

bool nxw_train_rates_at_weights(struct nxw_train *train, double t_s, const double *x, double *rate)
{
    return rates(train, t_s, x, true, rate);
}

static void stage_tolerances(const struct nxw_stage_plan *plan, double N, double NOx_fraction,
                             double *r, double *a)
{
    const double relative = plan->in->relative_tolerance, k = fmin(relative / 1e-6, 100.0);
    const double fast = fmin(100.0 * relative, 1e-3); /* not so coarse that Newton loses its way */
    for (size_t i = 0; i < plan->n_states; i++)
        r[i] = relative;
    for (size_t i = 0; i < plan->n_path; i++) {
        const size_t pool = i % NXW_PATH_POOLS;
        const bool holds_N =
            pool == NXW_NO || pool == NXW_NO2 || pool == NXW_HNO2 || pool == NXW_HNO3;
        r[i] = fmin(10.0 * fast, 1e-3);
        a[i] = 3e-5 * k * (holds_N ? fmax(NOx_fraction, 1e-9) : 1.0);
    }
    r += plan->n_path;
    a += plan->n_path;
    for (int i = 0; i < NXW_T_COUNT; i++)
        a[i] = 1e-8 * k * N;
    for (int i = 0; i < NXW_POOLS; i++) /* what passes through the headspace within a minute */
        r[NXW_T_HEAD + i] = fmin(30.0 * relative, 1e-3);
    /* a trace of dissolved NO2 counts: coarser, Newton does not find it in the later bottles */
    r[NXW_T_LIQUID + NXW_L_NO2_AQ] = fast;
    a[NXW_T_LIQUID + NXW_L_NO2_AQ] = 1e-11 * k * N;
    /* a bottle that dries up must not pass nothing by more than a trace of its charge */
    const struct nxw_stage *s = plan->stage;
    const double water =
        s->kind == NXW_STAGE_EMPTY ? 1e-5 : 1e-6 * s->liquid_m3 * 1e3 / NXW_MOLAR_MASS_H2O_KG_MOL;
    a[NXW_T_LIQUID + NXW_L_H2O] = fmin(1e-5, water) * k;
    a[NXW_T_LIQUID + NXW_L_H2O2] = 1e-8 * k * (N + plan->peroxide_start_mol);
    a[NXW_T_TEMPERATURE] = 1e-4 * k;
    a[NXW_T_BATH_HEAT] = 1.0 * k;
    const int not_N[] = {NXW_O2, NXW_INERT, NXW_H2O};
    /* the bulk of a headspace: a fifth of a second lets out what is too much, or draws in what is
     * too little, so that what a step errs by looks like flow; less in a small one */
    for (int i = 0; i < 3; i++) {
        r[NXW_T_HEAD + not_N[i]] = 0.1 * relative;
        a[NXW_T_HEAD + not_N[i]] = 1e-8 * k * fmin(1.0, s->volume_m3 / 250e-6);
    }
    a[NXW_T_RETURNED_NO] = a[NXW_T_REFORMED_NO2] = 1e-5 * k * N;
    a += NXW_T_COUNT;
    for (int i = 0; i < NXW_E_COUNT; i++)
        a[i] = 1e-7 * k * N;
    for (int i = 0; i < 3; i++)
        a[NXW_E_FED + not_N[i]] = a[NXW_E_OUT + not_N[i]] = 1e-7 * k;
    a[NXW_E_HEAT_IN] = a[NXW_E_HEAT_LOST] = 1.0 * k;
    a[NXW_E_DRAWN_BACK] = 1e-7 * k; /* a warning hangs on a tenth of a mmol */
}

void nxw_train_tolerances(const struct nxw_train *train, double fed_N_mol, double NOx_fraction,
                          double *relative, double *absolute)
{
    for (size_t i = 0; i < train->n_stages; i++)
        stage_tolerances(&train->stages[i], fmax(fed_N_mol, 1e-15), NOx_fraction,
                         relative + train->first[i], absolute + train->first[i]);
}
