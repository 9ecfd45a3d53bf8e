/* One run: integrate the train, watch it, account for every mole. */
#include <math.h>
#include <stdio.h>
#include <time.h>

#include "acid.h"
#include "glass_watch.h"
#include "memory.h"
#include "solver.h"

enum { RING = 4096, STEPS_MAX = 20000, RESTARTS_MAX = 20 };

struct watch { /* what is seen along the way */
    double peak_vent_kg_s[2], peak_fraction[2], mean15_kg_s[2], mean15_fraction[2];
    double above_s, last_s, last_out[2];
    double time_s[RING], out_mol[RING][2]; /* accumulated, for the 15-minute mean */
    size_t n_ring;
    double peak_flow[NXW_STAGES_MAX];
    bool seen[NXW_EVENT_COUNT][NXW_STAGES_MAX];
    double peak_fizz[NXW_STAGES_MAX];
    size_t fizz_event[NXW_STAGES_MAX];
    struct nxw_glass_watch glass;
};

static const double DRAWN_BACK_MOL = 1e-4; /* 2.4 mL: less is the vent's breathing */

static void add_event(struct nxw_result *r, struct watch *w, enum nxw_event_kind kind,
                      size_t stage, double t_s, double value)
{
    if (w->seen[kind][stage] || r->n_events >= sizeof r->events / sizeof r->events[0])
        return;
    w->seen[kind][stage] = true;
    r->events[r->n_events++] = (struct nxw_event){kind, stage, t_s, value};
}

static double total_N(const double *pools)
{
    return pools[NXW_NO] + pools[NXW_NO2] + pools[NXW_HNO2] + pools[NXW_HNO3];
}

/* Atoms of O (element 0) and H (element 1) in pools and in the liquid's amounts. */
static double atoms_in_gas(const double *n, int element)
{
    static const double O[NXW_POOLS] = {1, 2, 2, 3, 2, 1, 0}, H[NXW_POOLS] = {0, 0, 1, 1, 0, 2, 0};
    double sum = 0.0;
    for (int j = 0; j < NXW_POOLS; j++)
        sum += n[j] * (element == 0 ? O[j] : H[j]);
    return sum;
}

static double atoms_in_liquid(const double *n, int element)
{
    static const double O[NXW_L_AMOUNTS] = {3, 2, 3, 1, 2, 2, 1};
    static const double H[NXW_L_AMOUNTS] = {1, 1, 1, 0, 0, 2, 2};
    double sum = 0.0;
    for (int j = 0; j < NXW_L_AMOUNTS; j++)
        sum += n[j] * (element == 0 ? O[j] : H[j]);
    return sum;
}

static double liquid_N(const double *n)
{
    return n[NXW_L_NITRATE] + n[NXW_L_N3] + n[NXW_L_HOONO] + n[NXW_L_NO_AQ] + n[NXW_L_NO2_AQ];
}

/* Largest mean over 15 minutes of what left, from the accumulated ledger. */
static void mean_15_min(struct watch *w, double t_s, const double out_mol[2], double hood_mol_s)
{
    const double span = 900.0;
    if (w->n_ring == RING) { /* thin out: keep every other entry */
        for (size_t i = 0; i < RING / 2; i++) {
            w->time_s[i] = w->time_s[2 * i];
            for (int k = 0; k < 2; k++)
                w->out_mol[i][k] = w->out_mol[2 * i][k];
        }
        w->n_ring = RING / 2;
    }
    w->time_s[w->n_ring] = t_s;
    for (int k = 0; k < 2; k++)
        w->out_mol[w->n_ring][k] = out_mol[k];
    w->n_ring++;
    size_t i = w->n_ring - 1;
    while (i > 0 && t_s - w->time_s[i] < span)
        i--;
    const double M[2] = {NXW_M_NO, NXW_M_NO2};
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
                        struct watch *w, struct nxw_result *r)
{
    const struct nxw_stage_plan *plan = &train->stages[i];
    const struct nxw_stage_view *v = &train->views[i];
    const struct nxw_parameters *p = &train->in->parameters;
    const double *tank = x + train->first[i] + plan->n_path;
    struct nxw_stage_result *s = &r->stages[i];
    const double T = tank[NXW_T_TEMPERATURE];
    if (!(T <= s->peak_temperature_K)) {
        s->peak_temperature_K = T;
        s->peak_at_s = t_s;
    }
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
    if (v->liquid.HNO2 > 2000.0)
        r->warnings |= NXW_WARN_HNO2_OUTSIDE_DATA;
    const double HNO2_w = tank[NXW_L_N3] * NXW_M_HNO2 / v->liquid.mass_kg;
    if (HNO2_w > 0.05 && HNO2_w + v->liquid.acid_mass_fraction > 0.45)
        r->warnings |= NXW_WARN_STRONG_ACID_OUTSIDE_DATA;
    if (v->fizz_mol_s * v->head_T_K * NXW_GAS_CONSTANT / plan->pressure_Pa > 1e-8) /* 0.6 mL/min */
        add_event(r, w, NXW_EVENT_FIZZ, i, t_s, v->fizz_mol_s);
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
    if (T > 333.15)
        r->warnings |= NXW_WARN_HOT;
    if (v->tip_gas_m3_s > w->peak_flow[i]) {
        w->peak_flow[i] = v->tip_gas_m3_s;
        s->bubble_diameter_m = v->bubble_diameter_m;
        s->bubble_residence_s = v->residence_s;
        s->depth_m = v->depth_m;
    }
}

static void watch_vent(const struct nxw_train *train, double t_s, const double *x,
                       struct watch *w, struct nxw_result *r)
{
    const size_t last = train->n_stages - 1;
    const struct nxw_stage_plan *plan = &train->stages[last];
    const struct nxw_stage_view *v = &train->views[last];
    const double *ledger = x + train->first[last] + plan->n_path + NXW_T_COUNT;
    const struct nxw_case *in = train->in;
    const double M[2] = {NXW_M_NO, NXW_M_NO2};
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
                        struct watch *w, struct nxw_result *r)
{
    nxw_glass_watch_step(train, t_s, x, &w->glass, r);
    for (size_t i = 0; i < train->n_stages; i++) {
        const double *ledger = x + train->first[i] + train->stages[i].n_path + NXW_T_COUNT;
        if (ledger[NXW_E_DRAWN_BACK] > DRAWN_BACK_MOL)
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

static bool observe(const struct nxw_train *train, double t_s, const double *x,
                    nxw_observer *observer, void *user)
{
    for (size_t i = 0; i < train->n_stages; i++) {
        const struct nxw_stage_plan *plan = &train->stages[i];
        const struct nxw_stage_view *v = &train->views[i];
        const double *tank = x + train->first[i] + plan->n_path;
        double flow[NXW_POOLS], y[NXW_POOLS];
        nxw_source_flow(&train->source, t_s, flow, y);
        struct nxw_series_row row = {.time_s = t_s, .stage = i};
        row.fed_N_mol_s = total_N(flow);
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

static void stage_result(const struct nxw_train *train, size_t i, const double *x,
                         const double *x0, struct nxw_stage_result *s)
{
    const struct nxw_stage_plan *plan = &train->stages[i];
    const struct nxw_stage_view *v = &train->views[i];
    const struct nxw_parameters *p = &train->in->parameters;
    const double *tank = x + train->first[i] + plan->n_path, *e = tank + NXW_T_COUNT;
    const double *tank0 = x0 + train->first[i] + plan->n_path;
    s->entered_NO_mol = e[NXW_E_FED + NXW_NO];
    s->entered_NO2_mol = e[NXW_E_FED + NXW_NO2];
    s->entered_HNO2_mol = e[NXW_E_FED + NXW_HNO2];
    s->entered_HNO3_mol = e[NXW_E_FED + NXW_HNO3];
    s->left_NO_mol = e[NXW_E_OUT + NXW_NO];
    s->left_NO2_mol = e[NXW_E_OUT + NXW_NO2];
    s->left_HNO2_mol = e[NXW_E_OUT + NXW_HNO2];
    s->left_HNO3_mol = e[NXW_E_OUT + NXW_HNO3];
    s->nitrate_start_mol = plan->nitrate_start_mol;
    s->nitrate_mol = v->amount_mol[NXW_L_NITRATE];
    s->nitrous_acid_mol = tank[NXW_L_N3];
    s->HOONO_mol = tank[NXW_L_HOONO];
    s->NO_aq_mol = tank[NXW_L_NO_AQ];
    s->NO2_aq_mol = tank[NXW_L_NO2_AQ];
    s->in_flight_mol = total_N(tank + NXW_T_HEAD);
    s->peroxide_start_mol = tank0[NXW_L_H2O2];
    s->peroxide_mol = tank[NXW_L_H2O2];
    s->water_mol = tank[NXW_L_H2O];
    const struct nxw_liquid *l = &v->liquid;
    s->liquid_m3 = plan->stage->kind == NXW_STAGE_EMPTY ? 0.0 : l->volume_m3;
    s->density_kg_m3 = l->fluid.density_kg_m3;
    const double other = (l->mass_kg * (1.0 - l->peroxide_mass_fraction) -
                          tank[NXW_L_H2O] * NXW_M_H2O) / l->mass_kg;
    s->density_reference_kg_m3 =
        nxw_liquid_density_kg_m3(other, l->peroxide_mass_fraction, 293.15);
    s->acid_mass_fraction = l->acid_mass_fraction;
    s->acid_mol_m3 = l->nitrate;
    s->temperature_K = tank[NXW_T_TEMPERATURE];
    s->ice_start_kg = plan->stage->ice_kg;
    s->ice_left_kg = nxw_bath_ice_kg(plan, tank[NXW_T_BATH_HEAT]);
    s->ice_melted_kg = s->ice_start_kg - s->ice_left_kg;
    s->fizz_mol = e[NXW_E_FIZZ];
    s->drawn_back_mol = e[NXW_E_DRAWN_BACK];
    s->heat_lost_J = e[NXW_E_HEAT_LOST];
    double amount0[NXW_L_AMOUNTS];
    nxw_stage_amounts(plan, tank0, amount0);
    s->heat_stored_J = nxw_liquid_enthalpy_J(p, v->amount_mol, tank[NXW_T_TEMPERATURE]) -
                       nxw_liquid_enthalpy_J(p, amount0, tank0[NXW_T_TEMPERATURE]) +
                       plan->glass_J_K * (tank[NXW_T_TEMPERATURE] - tank0[NXW_T_TEMPERATURE]);
    s->heat_booked_J = -e[NXW_E_HEAT_IN];
}

static void account(const struct nxw_train *train, const double *x, const double *x0,
                    struct nxw_result *r)
{
    const struct nxw_stage_plan *first = &train->stages[0];
    const double *fed = x + train->first[0] + first->n_path + NXW_T_COUNT + NXW_E_FED;
    double O = 0.0, H = 0.0, N = 0.0, heat = 0.0, heat_scale = 1.0;
    for (size_t i = 0; i < train->n_stages; i++) {
        stage_result(train, i, x, x0, &r->stages[i]);
        const struct nxw_stage_result *s = &r->stages[i];
        const struct nxw_stage_plan *plan = &train->stages[i];
        const double *t = x + train->first[i] + plan->n_path;
        const double *t0 = x0 + train->first[i] + plan->n_path, *e = t + NXW_T_COUNT;
        r->kept_mol += t[NXW_L_NITRATE];
        r->held_mol += liquid_N(t) - liquid_N(t0);
        r->in_flight_mol += s->in_flight_mol;
        N += total_N(e + NXW_E_FED) - total_N(e + NXW_E_OUT) - total_N(t + NXW_T_HEAD) +
             total_N(t0 + NXW_T_HEAD) - liquid_N(t) + liquid_N(t0);
        O += atoms_in_gas(e + NXW_E_FED, 0) - atoms_in_gas(e + NXW_E_OUT, 0) -
             atoms_in_gas(t + NXW_T_HEAD, 0) + atoms_in_gas(t0 + NXW_T_HEAD, 0) -
             atoms_in_liquid(t, 0) + atoms_in_liquid(t0, 0);
        H += atoms_in_gas(e + NXW_E_FED, 1) - atoms_in_gas(e + NXW_E_OUT, 1) -
             atoms_in_gas(t + NXW_T_HEAD, 1) + atoms_in_gas(t0 + NXW_T_HEAD, 1) -
             atoms_in_liquid(t, 1) + atoms_in_liquid(t0, 1);
        heat += s->heat_booked_J + s->heat_stored_J + s->heat_lost_J;
        heat_scale += fabs(s->heat_booked_J - 0.0) > 0.0 ? fabs(s->heat_lost_J) : 0.0;
        if (s->acid_mass_fraction > 0.03)
            r->warnings |= NXW_WARN_LEGAL_STRENGTH;
        if (plan->stage->peroxide_mass_fraction > 0.12)
            r->warnings |= NXW_WARN_PEROXIDE_STRONG;
        if (plan->stage->kind == NXW_STAGE_BOTTLE &&
            s->liquid_m3 > 0.75 * plan->stage->volume_m3)
            r->warnings |= NXW_WARN_HEADSPACE_SMALL;
        if (s->drawn_back_mol > DRAWN_BACK_MOL)
            r->warnings |= NXW_WARN_DRAWN_BACK;
        heat_scale += plan->glass_J_K * fabs(s->peak_temperature_K - t0[NXW_T_TEMPERATURE]) * 5.0;
    }
    r->fed_NO_mol = fed[NXW_NO];
    r->fed_NO2_mol = fed[NXW_NO2];
    r->fed_HNO2_mol = fed[NXW_HNO2];
    r->fed_HNO3_mol = fed[NXW_HNO3];
    r->fed_O2_mol = fed[NXW_O2];
    r->fed_mol = total_N(fed);
    const struct nxw_stage_result *last = &r->stages[train->n_stages - 1];
    r->escaped_NO_mol = last->left_NO_mol;
    r->escaped_NO2_mol = last->left_NO2_mol;
    r->escaped_HNO2_mol = last->left_HNO2_mol;
    r->escaped_HNO3_mol = last->left_HNO3_mol;
    r->escaped_mol = r->escaped_NO_mol + r->escaped_NO2_mol + r->escaped_HNO2_mol +
                     r->escaped_HNO3_mol;
    const double scale = r->fed_mol > 0.0 ? r->fed_mol : 1.0;
    r->nitrogen_closure = N / scale;
    r->oxygen_closure = O / scale;
    r->hydrogen_closure = H / scale;
    r->heat_closure = heat / heat_scale;

    /* why it escaped: the parts add up to what escaped */
    const struct nxw_stage_plan *plan = &train->stages[train->n_stages - 1];
    const double *e = x + train->first[train->n_stages - 1] + plan->n_path + NXW_T_COUNT;
    struct nxw_why *why = &r->why;
    const double back = fmin(e[NXW_E_OUT_RETURNED], r->escaped_NO_mol);
    why->NO_given_back_peroxide_spent_mol = fmin(e[NXW_E_OUT_RETURNED_SPENT], back);
    why->NO_given_back_mol = back - why->NO_given_back_peroxide_spent_mol;
    why->NO_never_oxidised_mol = r->escaped_NO_mol - back;
    why->NO2_reformed_swept_mol = fmin(e[NXW_E_OUT_REFORMED], r->escaped_NO2_mol);
    const double passed = r->escaped_NO2_mol - why->NO2_reformed_swept_mol;
    double liquid = e[NXW_E_THROUGH] > 0.0 ? e[NXW_E_THROUGH_LIQUID] / e[NXW_E_THROUGH] : 0.0;
    liquid = liquid < 0.0 ? 0.0 : liquid > 1.0 ? 1.0 : liquid;
    why->NO2_too_dilute_mol = passed * liquid;
    why->NO2_path_too_short_mol = passed * (1.0 - liquid);
    why->acid_vapour_mol = r->escaped_HNO2_mol + r->escaped_HNO3_mol;
}

/* The largest share of NOx in what is fed, for the scale of the tolerances. */
static double richest_fraction(const struct nxw_train *train)
{
    double richest = 0.0;
    for (int i = 0; i <= 200; i++) {
        double flow[NXW_POOLS], y[NXW_POOLS], sum = 0.0;
        nxw_source_flow(&train->source, train->source.source_end_s * (i + 0.5) / 201.0, flow, y);
        for (int j = 0; j < NXW_POOLS; j++)
            sum += flow[j];
        if (sum > 0.0)
            richest = fmax(richest, total_N(flow) / sum);
    }
    return richest;
}

static double expected_N(const struct nxw_train *train)
{
    double N = total_N(train->source.total_mol);
    if (N > 0.0)
        return N;
    for (int i = 0; i < 400; i++) {
        double flow[NXW_POOLS], y[NXW_POOLS];
        nxw_source_flow(&train->source, train->source.source_end_s * (i + 0.5) / 400.0, flow, y);
        N += total_N(flow) * train->source.source_end_s / 400.0;
    }
    return N > 0.0 ? N : 1e-6;
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

/* Boiling or nearly dry: the run ends there with what it has. */
static bool must_end(const struct nxw_train *train, double t_s, const double *x, struct watch *w,
                     struct nxw_result *r)
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
            return true;
        }
        if (tank[NXW_L_H2O] * NXW_M_H2O < 0.2 * l->mass_kg) {
            r->warnings |= NXW_WARN_WATER_NEARLY_GONE;
            add_event(r, w, NXW_EVENT_WATER_NEARLY_GONE, i, t_s, tank[NXW_L_H2O]);
            return true;
        }
    }
    return false;
}

struct run { /* everything one run allocates */
    struct nxw_train train;
    struct watch watch;
    struct nxw_solver *solver;
    double *x0, *relative, *absolute, *rate;
};

static void run_free(struct run *run)
{
    if (run == NULL)
        return;
    nxw_solver_free(run->solver);
    nxw_release(run->x0);
    nxw_release(run->relative);
    nxw_release(run->absolute);
    nxw_release(run->rate);
    nxw_release(run);
}

/* Nitrogen accounted for; no amount below nothing, and none above what there was, by more than a
 * thousandth of what was fed. */
static bool believable(const struct nxw_train *train, const double *x, const struct nxw_result *r)
{
    const double slack = 1e-3 * (r->fed_mol + 1e-6);
    bool good = fabs(r->nitrogen_closure) < 1e-4 || r->fed_mol < 1e-9;
    double most = r->fed_mol + slack;
    for (size_t i = 0; i < train->n_stages; i++)
        most += train->stages[i].nitrate_start_mol;
    for (size_t i = 0; i < train->n_stages; i++) {
        const double *amount = train->views[i].amount_mol;
        const double *head = x + train->first[i] + train->stages[i].n_path + NXW_T_HEAD;
        for (int j = 0; j < NXW_L_AMOUNTS; j++)
            good = good && amount[j] >= -slack;
        for (int j = NXW_L_NITRATE; j <= NXW_L_NO2_AQ; j++)
            good = good && amount[j] <= most;
        for (int j = 0; j < NXW_POOLS; j++)
            good = good && head[j] >= -slack;
    }
    return good && r->escaped_mol >= -slack && r->escaped_mol <= most;
}

/* No result: a sentence that says why. */
static enum nxw_status give_up(struct nxw_result *r, const char *why)
{
    snprintf(r->diagnosis.text, sizeof r->diagnosis.text,
             "the calculation could not be carried to its end: %s", why);
    return r->diagnosis.status = NXW_ERROR_SOLVER;
}

static enum nxw_status integrate(struct run *run, nxw_observer *observer, void *user,
                                 struct nxw_result *r)
{
    struct nxw_train *train = &run->train;
    const struct nxw_source_plan *source = &train->source;
    const double *x = run->x0;
    double t = 0.0;
    long steps = 0, restarts = 0;
    enum nxw_status status = NXW_OK;
    for (size_t b = 0; b <= source->n_breaks && status == NXW_OK; b++) {
        const double stop = b < source->n_breaks ? source->breaks_s[b] : source->end_s;
        if (b > 0 && nxw_solver_restart(run->solver) != NXW_OK)
            return give_up(r, nxw_solver_reason(run->solver));
        while (t < stop - 1e-9 * source->end_s) {
            if (steps++ > STEPS_MAX)
                return give_up(r, "it takes too many steps");
            if (nxw_solver_step(run->solver, stop, &t, &x) != NXW_OK) {
                /* a corner it cannot see around: begin afresh, with small steps of low order */
                if (restarts++ == RESTARTS_MAX || nxw_solver_restart(run->solver) != NXW_OK)
                    return give_up(r, nxw_solver_reason(run->solver));
                continue;
            }
            /* the views are those of Newton's last iterate, some thousandths of the tolerance away */
            for (size_t i = 0; i < train->n_stages; i++)
                watch_stage(train, i, t, x, &run->watch, r);
            watch_vent(train, t, x, &run->watch, r);
            watch_drawn(train, t, x, &run->watch, r);
            if (observer != NULL && !observe(train, t, x, observer, user))
                return NXW_ERROR_CANCELLED;
            if (must_end(train, t, x, &run->watch, r)) {
                status = NXW_ENDED_EARLY;
                break;
            }
        }
    }
    if (!nxw_train_rates(train, t, x, run->rate))
        return give_up(r, "rates that are not numbers at the last state");
    r->end_s = t;
    account(train, x, run->x0, r);
    return believable(train, x, r) ? status : give_up(r, "the amounts do not add up");
}

static void headline(const struct run *run, struct nxw_result *r)
{
    const struct watch *w = &run->watch;
    const struct nxw_case *in = run->train.in;
    r->receiver_HNO3_mol = run->train.source.receiver_HNO3_mol;
    if (in->source.kind == NXW_SOURCE_ACID_VAPOUR)
        r->receiver_mass_fraction = in->source.condensate_mass_fraction;
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
        r->hood_peak_NO_fraction = w->peak_vent_kg_s[0] / NXW_M_NO / hood_mol_s;
        r->hood_peak_NO2_fraction = w->peak_vent_kg_s[1] / NXW_M_NO2 / hood_mol_s;
        r->hood_mean15_NO_fraction = w->mean15_fraction[0];
        r->hood_mean15_NO2_fraction = w->mean15_fraction[1];
    }
}

enum nxw_status nxw_estimate(const struct nxw_case *in, nxw_observer *observer, void *user,
                             struct nxw_result *r)
{
    *r = (struct nxw_result){.n_stages = in->n_stages};
    enum nxw_status status = nxw_case_check(in, &r->diagnosis);
    if (status != NXW_OK)
        return r->status = status;
    const clock_t start = clock();
    struct run *run = nxw_allocate(sizeof *run);
    if (run == NULL)
        return r->status = NXW_ERROR_MEMORY;
    struct nxw_train *train = &run->train;
    nxw_train_make(in, train);
    run->x0 = nxw_allocate(train->n_states * sizeof *run->x0);
    run->relative = nxw_allocate(train->n_states * sizeof *run->relative);
    run->absolute = nxw_allocate(train->n_states * sizeof *run->absolute);
    run->rate = nxw_allocate(train->n_states * sizeof *run->rate);
    if (run->x0 == NULL || run->relative == NULL || run->absolute == NULL || run->rate == NULL) {
        run_free(run);
        return r->status = NXW_ERROR_MEMORY;
    }
    nxw_train_start(train, run->x0);
    nxw_train_tolerances(train, expected_N(train), richest_fraction(train), run->relative,
                         run->absolute);
    run->solver = nxw_solver_create(train, run->x0, run->relative, run->absolute);
    if (run->solver == NULL) {
        run_free(run);
        return r->status = NXW_ERROR_MEMORY;
    }
    for (size_t i = 0; i < in->n_stages; i++) {
        r->stages[i].peak_temperature_K = -INFINITY;
        r->stages[i].peroxide_spent_at_s = NAN;
    }
    add_event(r, &run->watch, NXW_EVENT_SOURCE_STARTS, 0, 0.0, 0.0);
    status = integrate(run, observer, user, r);
    if (status >= 0) {
        headline(run, r);
        nxw_glass_watch_end(train, &run->watch.glass, r);
        value_drawn(r);
        const struct nxw_source_plan *source = &train->source;
        if (source->source_end_s <= r->end_s)
            add_event(r, &run->watch, NXW_EVENT_SOURCE_ENDS, 0, source->source_end_s, 0.0);
        if (source->carrier_end_s > source->source_end_s && source->carrier_end_s <= r->end_s)
            add_event(r, &run->watch, NXW_EVENT_CARRIER_ENDS, 0, source->carrier_end_s, 0.0);
        for (size_t i = 0; i < in->n_stages; i++)
            add_event(r, &run->watch, NXW_EVENT_PEAK_TEMPERATURE, i, r->stages[i].peak_at_s,
                      r->stages[i].peak_temperature_K);
        sort_events(r);
        add_event(r, &run->watch, NXW_EVENT_END, 0, r->end_s, 0.0);
    }
    nxw_solver_statistics(run->solver, &r->statistics);
    r->statistics.processor_ms = 1e3 * (double)(clock() - start) / CLOCKS_PER_SEC;
    run_free(run);
    return r->status = status;
}
