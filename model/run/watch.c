#include "run/watch.h"

#include <math.h>
#include <stdio.h>

#include "properties/acid.h"

static void add_event(struct nxw_result *r, struct nxw_watch *w, enum nxw_event_kind kind,
                      size_t stage, double t_s, double value)
{
    if (w->seen[kind][stage] || r->n_events >= sizeof r->events / sizeof r->events[0])
        return;
    w->seen[kind][stage] = true;
    r->events[r->n_events++] = (struct nxw_event){kind, stage, t_s, value};
}

/* An event whose value is the most that comes of it: it begins once and its value may rise. */
static void raise_event(struct nxw_result *r, struct nxw_watch *w, enum nxw_event_kind kind,
                        size_t stage, double t_s, double value)
{
    add_event(r, w, kind, stage, t_s, value);
    for (size_t i = 0; i < r->n_events; i++)
        if (r->events[i].kind == kind && r->events[i].stage == stage)
            r->events[i].value = fmax(r->events[i].value, value);
}

/* Largest mean over 15 minutes of what left, from the accumulated ledger. */
static void mean_15_min(struct nxw_watch *w, double t_s, const double out_mol[2], double hood_mol_s)
{
    const double span = 900.0;
    if (w->n_ring == NXW_WATCH_RING) { /* thin out: keep every other entry */
        for (size_t i = 0; i < NXW_WATCH_RING / 2; i++) {
            w->time_s[i] = w->time_s[2 * i];
            for (int k = 0; k < 2; k++)
                w->out_mol[i][k] = w->out_mol[2 * i][k];
        }
        w->n_ring = NXW_WATCH_RING / 2;
    }
    w->time_s[w->n_ring] = t_s;
    for (int k = 0; k < 2; k++)
        w->out_mol[w->n_ring][k] = out_mol[k];
    w->n_ring++;
    size_t i = w->n_ring - 1;
    while (i > 0 && t_s - w->time_s[i] < span)
        i--;
    const double M[2] = {NXW_MOLAR_MASS_NO_KG_MOL, NXW_MOLAR_MASS_NO2_KG_MOL};
    for (int k = 0; k < 2; k++) {
        double from = w->out_mol[i][k];
        if (i + 1 < w->n_ring && t_s - w->time_s[i] > span) {
            const double x = (t_s - span - w->time_s[i]) / (w->time_s[i + 1] - w->time_s[i]);
            from += x * (w->out_mol[i + 1][k] - from);
        }
        const double mean = (out_mol[k] - from) / span;
        if (mean * M[k] > w->mean15_kg_s[k])
            w->mean15_kg_s[k] = mean * M[k];
        if (hood_mol_s > 0.0 && mean / hood_mol_s > w->mean15_fraction[k])
            w->mean15_fraction[k] = mean / hood_mol_s;
    }
}

static void watch_stage(const struct nxw_train *train, size_t i, double t_s, const double *x,
                        struct nxw_watch *w, struct nxw_result *r)
{
    const struct nxw_stage_plan *plan = &train->stages[i];
    const struct nxw_stage_view *v = &train->views[i];
    const struct nxw_parameters *p = &train->in->parameters;
    const double *tank = x + train->first[i] + plan->n_path;
    struct nxw_stage_result *s = &r->stages[i];
    const double T = tank[NXW_T_TEMPERATURE];
    nxw_peak_add(&w->temperature_K[i], t_s, T);
    s->peak_temperature_K = w->temperature_K[i].most;
    s->peak_at_s = w->temperature_K[i].at_s;
    double sum = 0.0;
    for (int j = 0; j < NXW_POOLS; j++)
        sum += tank[NXW_T_HEAD + j];
    const double yNO2 = tank[NXW_T_HEAD + NXW_NO2] / sum;
    s->peak_NO2_headspace_fraction = fmax(s->peak_NO2_headspace_fraction, yNO2);
    if (yNO2 > p->value[NXW_P_brown_NO2_fraction])
        add_event(r, w, NXW_EVENT_BROWN_HEADSPACE, i, t_s, yNO2);
    if (plan->stage->kind == NXW_STAGE_EMPTY)
        return;
    s->peak_HNO2_mol_m3 = fmax(s->peak_HNO2_mol_m3, v->liquid.HNO2);
    if (v->liquid.HNO2 > p->value[NXW_P_blue_HNO2])
        add_event(r, w, NXW_EVENT_BLUE_LIQUID, i, t_s, v->liquid.HNO2);
    if (v->liquid.HNO2 > NXW_NITROUS_MOST_MOL_M3)
        r->warnings |= NXW_WARN_HNO2_OUTSIDE_DATA;
    const double HNO2_w = tank[NXW_L_N3] * NXW_MOLAR_MASS_HNO2_KG_MOL / v->liquid.mass_kg;
    if (HNO2_w > NXW_STRONG_NITROUS && HNO2_w + v->liquid.acid_mass_fraction > NXW_STRONG_ACID)
        r->warnings |= NXW_WARN_STRONG_ACID_OUTSIDE_DATA;
    if (v->fizz_mol_s * v->head_T_K * NXW_GAS_CONSTANT / plan->pressure_Pa > 1e-8) /* 0.6 mL/min */
        raise_event(r, w, NXW_EVENT_FIZZ, i, t_s, v->fizz_mol_s);
    if (plan->peroxide_start_mol > 0.0 &&
        tank[NXW_L_H2O2] < p->value[NXW_P_peroxide_spent_fraction] * plan->peroxide_start_mol) {
        if (!w->seen[NXW_EVENT_PEROXIDE_SPENT][i])
            s->peroxide_spent_at_s = t_s;
        add_event(r, w, NXW_EVENT_PEROXIDE_SPENT, i, t_s, 0.0);
        r->warnings |= NXW_WARN_PEROXIDE_SPENT;
    }
    if (plan->stage->bath == NXW_BATH_ICE_WATER && plan->stage->ice_kg > 0.0 &&
        nxw_bath_ice_kg(plan, tank[NXW_T_BATH_HEAT]) <= 0.0) {
        add_event(r, w, NXW_EVENT_ICE_GONE, i, t_s, 0.0);
        r->warnings |= NXW_WARN_ICE_GONE;
    }
    if (v->liquid.volume_m3 > plan->stage->volume_m3) {
        add_event(r, w, NXW_EVENT_OVERFULL, i, t_s, v->liquid.volume_m3);
        r->warnings |= NXW_WARN_OVERFULL;
    }
    if (T < nxw_acid_freezing_K(v->liquid.acid_mass_fraction) - 0.05) {
        add_event(r, w, NXW_EVENT_FREEZING, i, t_s, T);
        r->warnings |= NXW_WARN_FREEZING;
    }
    if (T > NXW_HOT_K)
        r->warnings |= NXW_WARN_HOT;
    if (v->tip_gas_m3_s > w->peak_flow[i]) {
        w->peak_flow[i] = v->tip_gas_m3_s;
        s->bubble_diameter_m = v->bubble_diameter_m;
        s->bubble_residence_s = v->residence_s;
        s->depth_m = v->depth_m;
    }
}

static void watch_vent(const struct nxw_train *train, double t_s, const double *x,
                       struct nxw_watch *w, struct nxw_result *r)
{
    const size_t last = train->n_stages - 1;
    const struct nxw_stage_plan *plan = &train->stages[last];
    const struct nxw_stage_view *v = &train->views[last];
    const double *ledger = x + train->first[last] + plan->n_path + NXW_T_COUNT;
    const struct nxw_case *in = train->in;
    const double M[2] = {NXW_MOLAR_MASS_NO_KG_MOL, NXW_MOLAR_MASS_NO2_KG_MOL};
    const double out[2] = {v->out[NXW_NO], v->out[NXW_NO2]};
    const double hood_mol_s = in->hood_flow_m3_s * in->surroundings_pressure_Pa /
                              (NXW_GAS_CONSTANT * in->surroundings_temperature_K);
    for (int k = 0; k < 2; k++) {
        w->peak_vent_kg_s[k] = fmax(w->peak_vent_kg_s[k], out[k] * M[k]);
        if (v->out_mol_s > 1e-6)
            w->peak_fraction[k] = fmax(w->peak_fraction[k], v->outlet.y[k == 0 ? NXW_NO : NXW_NO2]);
    }
    const double limit_kg_s = in->parameters.value[NXW_P_vent_limit_NO2] * 1e-6 / 60.0;
    if (out[1] * M[1] > limit_kg_s) {
        w->above_s += t_s - w->last_s;
        add_event(r, w, NXW_EVENT_VENT_ABOVE_LIMIT, last, t_s, out[1] * M[1]);
    }
    w->last_s = t_s;
    const double total[2] = {ledger[NXW_E_OUT + NXW_NO], ledger[NXW_E_OUT + NXW_NO2]};
    mean_15_min(w, t_s, total, hood_mol_s);
}

/* Gas and liquid that come back: when first, and how much up to now. */
static void watch_drawn(const struct nxw_train *train, double t_s, const double *x,
                        struct nxw_watch *w, struct nxw_result *r)
{
    nxw_glass_watch_step(train, t_s, x, &w->glass, r);
    for (size_t i = 0; i < train->n_stages; i++) {
        const double *ledger = x + train->first[i] + train->stages[i].n_path + NXW_T_COUNT;
        if (ledger[NXW_E_DRAWN_BACK] > NXW_DRAWN_BACK_MOL)
            add_event(r, w, NXW_EVENT_DRAWN_BACK, i, t_s, 0.0);
        if (w->glass.liquid_drawn[i])
            add_event(r, w, NXW_EVENT_LIQUID_DRAWN, i, t_s, 0.0);
    }
}

/* Their events carry the amounts of the whole run. */
static void value_drawn(struct nxw_result *r)
{
    for (size_t i = 0; i < r->n_events; i++) {
        struct nxw_event *e = &r->events[i];
        if (e->kind == NXW_EVENT_DRAWN_BACK)
            e->value = r->stages[e->stage].drawn_back_mol;
        if (e->kind == NXW_EVENT_LIQUID_DRAWN)
            e->value = r->stages[e->stage].liquid_drawn_m3;
    }
}

void nxw_watch_step(const struct nxw_train *train, double t_s, const double *x, struct nxw_watch *w,
                    struct nxw_result *r)
{
    for (size_t i = 0; i < train->n_stages; i++)
        watch_stage(train, i, t_s, x, w, r);
    watch_vent(train, t_s, x, w, r);
    watch_drawn(train, t_s, x, w, r);
}

static void say_end(struct nxw_result *r, size_t stage, const char *text)
{
    r->diagnosis.status = NXW_ENDED_EARLY;
    (void)snprintf(r->diagnosis.path, sizeof r->diagnosis.path, "train[%zu]", stage + 1);
    (void)snprintf(r->diagnosis.text, sizeof r->diagnosis.text, "%s", text);
}

/* Of the charge, and of the glass: beyond these a bottle is none any more. */
static const double DRIED_UP = 0.02, FAR_OVERFULL = 1.1;

bool nxw_watch_must_end(const struct nxw_train *train, double t_s, const double *x,
                        struct nxw_watch *w, struct nxw_result *r)
{
    for (size_t i = 0; i < train->n_stages; i++) {
        if (train->stages[i].stage->kind == NXW_STAGE_EMPTY)
            continue;
        const double *tank = x + train->first[i] + train->stages[i].n_path;
        const struct nxw_liquid *l = &train->views[i].liquid;
        if (l->H2O_e_Pa + l->HNO3_e_Pa >
            train->in->parameters.value[NXW_P_boiling_share] * train->stages[i].pressure_Pa) {
            r->warnings |= NXW_WARN_BOILING;
            add_event(r, w, NXW_EVENT_BOILING, i, t_s, tank[NXW_T_TEMPERATURE]);
            say_end(r, i, "the liquid boils; the run ends there");
            return true;
        }
        const struct nxw_stage *s = train->stages[i].stage;
        if (tank[NXW_L_H2O] * NXW_MOLAR_MASS_H2O_KG_MOL < 0.2 * l->mass_kg ||
            l->volume_m3 < DRIED_UP * s->liquid_m3) {
            r->warnings |= NXW_WARN_WATER_NEARLY_GONE;
            add_event(r, w, NXW_EVENT_WATER_NEARLY_GONE, i, t_s, tank[NXW_L_H2O]);
            say_end(r, i, "the water is nearly gone; the run ends there");
            return true;
        }
        if (l->volume_m3 > FAR_OVERFULL * s->volume_m3) { /* with its event when it was full */
            say_end(r, i, "the liquid has far outgrown the glass; the run ends there");
            return true;
        }
    }
    return false;
}

bool nxw_watch_is_overfull(const struct nxw_train *train, struct nxw_result *r)
{
    for (size_t i = 0; i < train->n_stages; i++) {
        const struct nxw_stage *s = train->stages[i].stage;
        if (s->kind == NXW_STAGE_EMPTY || !(train->views[i].liquid.volume_m3 > s->volume_m3))
            continue;
        say_end(r, i,
                "the liquid has outgrown the glass and cannot be followed further; the run "
                "ends there");
        return true;
    }
    return false;
}

bool nxw_watch_observe(const struct nxw_train *train, double t_s, const double *x, bool begins,
                       nxw_observer *observer, void *user)
{
    for (size_t i = 0; i < train->n_stages; i++) {
        const struct nxw_stage_plan *plan = &train->stages[i];
        const struct nxw_stage_view *v = &train->views[i];
        const double *tank = x + train->first[i] + plan->n_path;
        double flow[NXW_POOLS], y[NXW_POOLS];
        nxw_source_flow(&train->source, t_s, flow, y);
        struct nxw_series_row row = {.begins = begins && i == 0, .time_s = t_s, .stage = i};
        row.fed_N_mol_s = nxw_gas_N(flow);
        row.kept_mol = tank[NXW_L_NITRATE];
        row.nitrous_acid_mol = tank[NXW_L_N3];
        row.HOONO_mol = tank[NXW_L_HOONO];
        row.NO_aq_mol = tank[NXW_L_NO_AQ];
        row.NO2_aq_mol = tank[NXW_L_NO2_AQ];
        row.peroxide_mol = tank[NXW_L_H2O2];
        row.temperature_K = tank[NXW_T_TEMPERATURE];
        row.liquid_m3 = v->liquid.volume_m3;
        row.ice_kg = nxw_bath_ice_kg(plan, tank[NXW_T_BATH_HEAT]);
        row.headspace_NO_fraction = v->outlet.y[NXW_NO];
        row.headspace_NO2_fraction = v->outlet.y[NXW_NO2];
        row.headspace_HNO2_fraction = v->outlet.y[NXW_HNO2];
        row.vent_NO_mol_s = v->out[NXW_NO];
        row.vent_NO2_mol_s = v->out[NXW_NO2];
        row.vent_HNO2_mol_s = v->out[NXW_HNO2];
        row.vent_HNO3_mol_s = v->out[NXW_HNO3];
        row.vent_flow_mol_s = v->out_mol_s;
        row.bubble_diameter_m = v->bubble_diameter_m;
        row.bubble_out_diameter_m = v->bubble_out_diameter_m;
        if (!observer(&row, user))
            return false;
    }
    return true;
}

static int by_time(const struct nxw_event *a, const struct nxw_event *b)
{
    return a->time_s > b->time_s;
}

static void sort_events(struct nxw_result *r)
{
    for (size_t i = 1; i < r->n_events; i++)
        for (size_t j = i; j > 0 && by_time(&r->events[j - 1], &r->events[j]); j--) {
            const struct nxw_event e = r->events[j];
            r->events[j] = r->events[j - 1];
            r->events[j - 1] = e;
        }
}

static void vent_figures(const struct nxw_case *in, const struct nxw_watch *w, struct nxw_result *r)
{
    r->vent_peak_NO_kg_s = w->peak_vent_kg_s[0];
    r->vent_peak_NO2_kg_s = w->peak_vent_kg_s[1];
    r->vent_mean15_NO_kg_s = w->mean15_kg_s[0];
    r->vent_mean15_NO2_kg_s = w->mean15_kg_s[1];
    r->vent_peak_NO_fraction = w->peak_fraction[0];
    r->vent_peak_NO2_fraction = w->peak_fraction[1];
    r->vent_time_above_s = w->above_s;
    const double hood_mol_s = in->hood_flow_m3_s * in->surroundings_pressure_Pa /
                              (NXW_GAS_CONSTANT * in->surroundings_temperature_K);
    if (hood_mol_s > 0.0) {
        r->hood_peak_NO_fraction = w->peak_vent_kg_s[0] / NXW_MOLAR_MASS_NO_KG_MOL / hood_mol_s;
        r->hood_peak_NO2_fraction = w->peak_vent_kg_s[1] / NXW_MOLAR_MASS_NO2_KG_MOL / hood_mol_s;
        r->hood_mean15_NO_fraction = w->mean15_fraction[0];
        r->hood_mean15_NO2_fraction = w->mean15_fraction[1];
    }
}

void nxw_watch_start(struct nxw_watch *w, struct nxw_result *r)
{
    for (size_t i = 0; i < r->n_stages; i++)
        r->stages[i].peroxide_spent_at_s = (double)NAN;
    add_event(r, w, NXW_EVENT_SOURCE_STARTS, 0, 0.0, 0.0);
}

void nxw_watch_end(const struct nxw_train *train, struct nxw_watch *w, struct nxw_result *r)
{
    const struct nxw_source_plan *source = &train->source;
    vent_figures(train->in, w, r);
    nxw_glass_watch_end(train, &w->glass, r);
    value_drawn(r);
    if (source->source_end_s <= r->end_s)
        add_event(r, w, NXW_EVENT_SOURCE_ENDS, 0, source->source_end_s, 0.0);
    if (source->carrier_end_s > source->source_end_s && source->carrier_end_s <= r->end_s)
        add_event(r, w, NXW_EVENT_CARRIER_ENDS, 0, source->carrier_end_s, 0.0);
    for (size_t i = 0; i < r->n_stages; i++) {
        const struct nxw_stage_result *s = &r->stages[i];
        add_event(r, w, NXW_EVENT_PEAK_TEMPERATURE, i, s->peak_at_s, s->peak_temperature_K);
    }
    sort_events(r);
    add_event(r, w, NXW_EVENT_END, 0, r->end_s, 0.0);
}
