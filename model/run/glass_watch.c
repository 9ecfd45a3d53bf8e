#include "run/glass_watch.h"

#include <math.h>

#include "stage/glassware.h"

static const double FLOWS_M3_S = 1e-9; /* 0.06 mL/min: less counts as no flow */

static const double PEROXIDE_TRACE_MOL = 1e-5; /* 0.3 mg: less is not worth a word */

static const double SHORTAGE_S = 5.0; /* over less, what a step may err by is taken for gas */

static const double TUBE_HOLDS_M3 = 1e-6; /* 6 mm wide, 35 mm of it; judgement, the low side */

static const double COOL = 3.0; /* time constants until a vessel counts as cool: 95 % */

static const double M_KG_MOL[NXW_POOLS] = {
    [NXW_NO] = NXW_MOLAR_MASS_NO_KG_MOL,
    [NXW_NO2] = NXW_MOLAR_MASS_NO2_KG_MOL,
    [NXW_HNO2] = NXW_MOLAR_MASS_HNO2_KG_MOL,
    [NXW_HNO3] = NXW_MOLAR_MASS_HNO3_KG_MOL,
    [NXW_O2] = NXW_MOLAR_MASS_O2_KG_MOL,
    [NXW_H2O] = NXW_MOLAR_MASS_H2O_KG_MOL,
    [NXW_INERT] = 0.028014 /* nitrogen, CIAAW abridged
                            */
};

static double inlet_mass_kg_s(const struct nxw_gas_stream *s)
{
    double kg_mol = 0.0;
    for (int j = 0; j < NXW_POOLS; j++)
        kg_mol += s->y[j] * M_KG_MOL[j];
    return s->flow_mol_s * kg_mol;
}

static double head_mol(const struct nxw_train *train, size_t i, const double *x)
{
    const double *head = x + train->first[i] + train->stages[i].n_path + NXW_T_HEAD;
    double sum = 0.0;
    for (int j = 0; j < NXW_POOLS; j++)
        sum += head[j];
    return sum;
}

static double headspace_m3(const struct nxw_train *train, size_t i)
{
    const struct nxw_stage *s = train->stages[i].stage;
    const double liquid = s->kind == NXW_STAGE_EMPTY ? 0.0 : train->views[i].liquid.volume_m3;
    return fmax(s->volume_m3 - liquid, 0.0);
}

/* ------------------------------------------------------------------------------- the tip */

static void watch_tip(const struct nxw_train *train, size_t i, double gas_kg_m3,
                      struct nxw_glass_watch *w, struct nxw_result *r)
{
    const struct nxw_stage *c = train->stages[i].stage;
    const struct nxw_stage_view *v = &train->views[i];
    const struct nxw_parameters *p = &train->in->parameters;
    struct nxw_stage_result *s = &r->stages[i];
    const double flow = v->tip_gas_m3_s;
    const double depth = isfinite(c->depth_m) ? c->depth_m : v->level_m - c->tip_clearance_m;
    if (depth < NXW_UNDER_M)
        r->warnings |= NXW_WARN_SHALLOW;
    if (!(flow > w->flow_peak_m3_s[i]) || !(flow > FLOWS_M3_S))
        return;
    w->flow_peak_m3_s[i] = flow;
    s->tip_flow_m3_s = flow;
    s->tip_jet_flow_m3_s = nxw_tip_jet_flow_m3_s(c, p, &v->liquid.fluid, gas_kg_m3);
    s->tip_holes_blowing = nxw_tip_holes_blowing(c, flow, s->tip_jet_flow_m3_s);
}

/* Pressures along the train for the flows of this moment, from the vent back. */
static void watch_pressure(const struct nxw_train *train, const double *gas_kg_m3,
                           const double *flow_m3_s, struct nxw_result *r)
{
    const size_t last = train->n_stages - 1;
    const double vent_Pa = nxw_vent_loss_Pa(train->in, gas_kg_m3[last + 1], flow_m3_s[last + 1]);
    r->glass.vent_loss_Pa = fmax(r->glass.vent_loss_Pa, vent_Pa);
    double gauge_Pa = vent_Pa;
    for (size_t i = train->n_stages; i-- > 0;) {
        const struct nxw_stage *c = train->stages[i].stage;
        const struct nxw_stage_view *v = &train->views[i];
        struct nxw_stage_result *s = &r->stages[i];
        if (c->kind == NXW_STAGE_BOTTLE && flow_m3_s[i] > FLOWS_M3_S) {
            const double head = v->liquid.fluid.density_kg_m3 * NXW_GRAVITY_M_S2 * v->depth_m;
            const double wet = nxw_tip_capillary_Pa(c, v->liquid.fluid.surface_tension_N_m);
            const double loss =
                nxw_tip_flow_loss_Pa(c, &train->in->parameters, gas_kg_m3[i], flow_m3_s[i]);
            s->head_Pa = fmax(s->head_Pa, head);
            s->capillary_Pa = fmax(s->capillary_Pa, wet);
            s->flow_loss_Pa = fmax(s->flow_loss_Pa, loss);
            gauge_Pa += head + wet + loss;
        }
        s->gauge_Pa = fmax(s->gauge_Pa, gauge_Pa);
    }
    r->glass.gauge_peak_Pa = fmax(r->glass.gauge_peak_Pa, gauge_Pa);
}

/* ---------------------------------------------------------------------------- drawn back */

/* The gas space between two bottles, or between the source and the first: stages from..to. */
struct space {
    size_t from, to;
    double space_m3, gas_m3;
};

static struct space gas_space(const struct nxw_train *train, size_t from)
{
    struct space g = {.from = from, .to = from};
    while (g.to + 1 < train->n_stages && train->stages[g.to + 1].stage->kind == NXW_STAGE_EMPTY)
        g.to++;
    for (size_t i = from; i <= g.to; i++) {
        g.space_m3 += headspace_m3(train, i);
        g.gas_m3 += train->views[i].head.volume_m3;
    }
    return g;
}

/*
 * A space whose gas is taken up faster than it comes sucks at the bottle behind it: its liquid
 * rises in the tube, and comes over once the pressure has fallen by the tube's height. It lands in
 * the stage just ahead. Behind the last bottle it is the room's air that comes.
 */
static void watch_shortage(const struct nxw_train *train, const struct space *g, double t_s,
                           const double *x, struct nxw_glass_watch *w, struct nxw_result *r)
{
    struct nxw_stage_result *s = &r->stages[g->to];
    const struct nxw_stage_view *v = &train->views[g->to];
    if (train->stages[g->to].last) {
        s->short_of_gas_mol_s = fmax(s->short_of_gas_mol_s, -v->out_mol_s);
        return;
    }
    const double short_m3 = g->space_m3 - g->gas_m3;
    const double span_s = t_s - w->short_at_s[g->to];
    if (span_s >= SHORTAGE_S) {
        const double m3_mol = v->head.volume_m3 / w->head_mol[g->to];
        const double rate_mol_s = (short_m3 - w->short_m3[g->to]) / m3_mol / span_s;
        if (short_m3 > 1e-3 * g->space_m3)
            s->short_of_gas_mol_s = fmax(s->short_of_gas_mol_s, rate_mol_s);
        w->short_m3[g->to] = short_m3;
        w->short_at_s[g->to] = t_s;
    }
    const size_t next = g->to + 1;
    const struct nxw_stage_view *behind = &train->views[next];
    const double over_m3 =
        nxw_drawn_over_m3(g->space_m3, g->gas_m3, train->stages[g->to].pressure_Pa,
                          behind->liquid.fluid.density_kg_m3,
                          nxw_tube_crest_m(train->stages[next].stage, &train->in->parameters));
    const double above_m3 =
        fmin(behind->liquid.volume_m3, train->stages[next].area_m2 * behind->depth_m);
    const double drawn_m3 = fmin(over_m3, above_m3);
    if (drawn_m3 > s->liquid_drawn_m3) {
        const double *tank = x + train->first[next] + train->stages[next].n_path;
        s->liquid_drawn_m3 = drawn_m3;
        s->peroxide_drawn_mol = fmax(tank[NXW_L_H2O2], 0.0) * drawn_m3 / behind->liquid.volume_m3;
        s->between_needed_m3 = nxw_between_trap_m3(g->space_m3, drawn_m3, above_m3,
                                                   train->in->parameters.value[NXW_P_trap_margin]);
    }
    w->liquid_drawn[g->to] = s->liquid_drawn_m3 > 0.0;
}

/* Gas spaces over their temperatures up to the vent: what a blocked vent fills. */
static double space_m3_K(const struct nxw_train *train)
{
    double sum = train->in->vessel_volume_m3 / train->in->vessel_hot_K;
    for (size_t i = 0; i < train->n_stages; i++)
        sum += headspace_m3(train, i) / train->views[i].head_T_K;
    return sum;
}

void nxw_glass_watch_step(const struct nxw_train *train, double t_s, const double *x,
                          struct nxw_glass_watch *w, struct nxw_result *r)
{
    double gas_kg_m3[NXW_STAGES_MAX + 1], flow_m3_s[NXW_STAGES_MAX + 1];
    struct nxw_gas_stream in;
    nxw_train_first_stream(train, t_s, &in);
    double feed_mol_s = in.flow_mol_s;
    bool ahead = true; /* of the first tip */
    for (size_t i = 0; i < train->n_stages; i++) {
        const struct nxw_stage_view *v = &train->views[i];
        const double arrives_mol_s = in.flow_mol_s;
        nxw_train_bleed(train, i, t_s, &in);
        feed_mol_s += in.flow_mol_s - arrives_mol_s;
        if (ahead)
            w->tip_feed_peak_mol_s = fmax(w->tip_feed_peak_mol_s, feed_mol_s);
        ahead = ahead && train->stages[i].stage->kind == NXW_STAGE_EMPTY;
        flow_m3_s[i] = v->tip_gas_m3_s;
        gas_kg_m3[i] = flow_m3_s[i] > FLOWS_M3_S ? inlet_mass_kg_s(&in) / flow_m3_s[i] : 1.2;
        if (train->stages[i].stage->kind == NXW_STAGE_BOTTLE)
            watch_tip(train, i, gas_kg_m3[i], w, r);
        w->head_mol[i] = head_mol(train, i, x);
        in = v->outlet;
    }
    for (size_t i = 0; i < train->n_stages;) {
        const struct space g = gas_space(train, i);
        watch_shortage(train, &g, t_s, x, w, r);
        i = g.to + 1;
    }
    const size_t last = train->n_stages - 1;
    const double vent_mol_s = fmax(train->views[last].out_mol_s, 0.0);
    flow_m3_s[last + 1] = vent_mol_s * train->views[last].head.volume_m3 / w->head_mol[last];
    gas_kg_m3[last + 1] =
        flow_m3_s[last + 1] > FLOWS_M3_S ? inlet_mass_kg_s(&in) / flow_m3_s[last + 1] : 1.2;
    watch_pressure(train, gas_kg_m3, flow_m3_s, r);
    if (feed_mol_s > w->feed_peak_mol_s) {
        w->feed_peak_mol_s = feed_mol_s;
        w->space_m3_K = space_m3_K(train);
    }
}

/* --------------------------------------------------------------------------- at the end */

/* Of what came in with the source: what water takes up or a cold wall condenses. */
static double soluble_share(const struct nxw_train *train)
{
    const struct nxw_source_plan *plan = &train->source;
    double soluble = 0.0, all = 0.0;
    for (int k = 0; k < 200; k++) {
        double flow[NXW_POOLS], y[NXW_POOLS];
        nxw_source_flow(plan, plan->source_end_s * (k + 0.5) / 200.0, flow, y);
        soluble += flow[NXW_NO2] + flow[NXW_HNO2] + flow[NXW_HNO3] + flow[NXW_H2O];
        for (int j = 0; j < NXW_POOLS; j++)
            all += flow[j];
    }
    return all > 0.0 ? soluble / all : 0.0;
}

/* What the carrier goes on to send once the source has ended, mol/s, and for how long. */
static double carrier_after_mol_s(const struct nxw_train *train, double *seconds)
{
    const struct nxw_carrier *c = &train->in->carrier;
    const double from = fmax(c->from_s, train->source.source_end_s);
    const bool on = c->gas != NXW_GAS_NONE && c->until_s > from;
    *seconds = on ? c->until_s - from : 0.0;
    return on ? c->flow_mol_s : 0.0;
}

static double depth_at_end_m(const struct nxw_train *train, size_t i, const struct nxw_result *r)
{
    const struct nxw_stage *c = &train->in->stages[i];
    const double level_m = r->stages[i].liquid_m3 / train->stages[i].area_m2;
    return isfinite(c->depth_m) ? fmin(c->depth_m, level_m)
                                : fmax(level_m - c->tip_clearance_m, 0.0);
}

/*
 * Liquid that can come over from the first bottle on, most_m3 at most, and the peroxide in it. Only
 * what stands above a tip: once a tip is bare, gas follows. But that gas is taken from the bottle's
 * own headspace, which draws the next bottle's liquid into it, and so on; an empty vessel between
 * keeps as much of what comes from behind as it holds.
 */
static double drawable_m3(const struct nxw_train *train, size_t first, double most_m3,
                          const struct nxw_result *r, double *peroxide_mol)
{
    double drawn_m3 = 0.0, between_m3 = 0.0;
    *peroxide_mol = 0.0;
    for (size_t i = first; i < train->n_stages; i++) {
        const struct nxw_stage_result *s = &r->stages[i];
        if (train->in->stages[i].kind == NXW_STAGE_EMPTY) {
            between_m3 += train->in->stages[i].volume_m3;
            continue;
        }
        const double above_m3 = train->stages[i].area_m2 * depth_at_end_m(train, i, r);
        const double stays_m3 = fmin(above_m3, between_m3);
        const double comes_m3 = fmin(above_m3 - stays_m3, most_m3 - drawn_m3);
        between_m3 -= stays_m3;
        drawn_m3 += comes_m3;
        if (comes_m3 > 0.0)
            *peroxide_mol += s->peroxide_mol * comes_m3 / s->liquid_m3;
    }
    return drawn_m3;
}

/* The source's vessel cools with nothing to follow. */
static void suck_back(const struct nxw_train *train, size_t first, struct nxw_result *r)
{
    const struct nxw_case *in = train->in;
    const struct nxw_parameters *p = &in->parameters;
    const struct nxw_stage_result *s = &r->stages[first];
    struct nxw_glass_result *g = &r->glass;
    const double depth_m = depth_at_end_m(train, first, r);
    const struct nxw_cooling cooling = {.vessel_m3 = in->vessel_volume_m3,
                                        .traps_m3 = g->trap_m3,
                                        .hot_K = in->vessel_hot_K,
                                        .cool_K = in->vessel_cool_K,
                                        .room_K = in->surroundings_temperature_K,
                                        .vapour_share = g->vapour_share,
                                        .dissolved_share = g->dissolved_share,
                                        .room_Pa = train->stages[first].pressure_Pa,
                                        .density_kg_m3 = s->density_kg_m3,
                                        .depth_m = depth_m};
    g->suck_back_m3 = nxw_cooling_drawn_m3(&cooling);
    g->crest_needed_m = nxw_cooling_crest_m(&cooling);
    g->crest_m = s->tube_crest_m - depth_m;
    const double cooling_s = p->value[NXW_P_vessel_cooling_time];
    g->carrier_needed_mol_s = nxw_cooling_carrier_mol_s(&cooling, cooling_s);
    g->carrier_needed_s = COOL * cooling_s;
    /* the bend does not hold it, and it is more than stays in the tube */
    const bool over = g->crest_needed_m > g->crest_m && g->suck_back_m3 > TUBE_HOLDS_M3;
    double peroxide_mol;
    const double all_m3 = drawable_m3(train, first, (double)INFINITY, r, &peroxide_mol);
    g->liquid_at_risk_m3 =
        drawable_m3(train, first, over ? g->suck_back_m3 : 0.0, r, &peroxide_mol);
    g->peroxide_at_risk_mol = peroxide_mol;
    g->trap_needed_m3 =
        over ? nxw_cooling_trap_m3(&cooling, all_m3, p->value[NXW_P_trap_margin]) : 0.0;
    const bool swept =
        g->carrier_mol_s >= g->carrier_needed_mol_s && g->carrier_s >= g->carrier_needed_s;
    if (swept || g->trap_m3 >= g->trap_needed_m3)
        return;
    r->warnings |= NXW_WARN_SUCK_BACK;
    if (nxw_vessel_boils_water(in))
        r->warnings |= NXW_WARN_STEAM_BURST;
    if (in->source.kind == NXW_SOURCE_METAL)
        r->warnings |= NXW_WARN_DRAWN_TO_METAL;
    if (g->peroxide_at_risk_mol > PEROXIDE_TRACE_MOL)
        r->warnings |= NXW_WARN_PEROXIDE_DRAWN;
}

/* dP/dt = R dn/dt/sum(V/T) at the largest flow, nothing taken up: at most. */
static void blockage(const struct nxw_train *train, const struct nxw_glass_watch *w,
                     struct nxw_glass_result *g)
{
    const struct nxw_case *in = train->in;
    g->blocked_vent_Pa_s = g->blocked_tip_Pa_s = g->blocked_vent_s = g->blocked_tip_s = (double)NAN;
    if (!(w->feed_peak_mol_s > 0.0))
        return;
    g->blocked_vent_Pa_s = w->feed_peak_mol_s * NXW_GAS_CONSTANT / w->space_m3_K;
    g->blocked_vent_s = g->joint_bears_Pa / g->blocked_vent_Pa_s;
    if (in->vessel_volume_m3 > 0.0) {
        g->blocked_tip_Pa_s =
            w->tip_feed_peak_mol_s * NXW_GAS_CONSTANT /
            (in->vessel_volume_m3 / in->vessel_hot_K + g->trap_m3 / in->surroundings_temperature_K);
        g->blocked_tip_s = g->joint_bears_Pa / g->blocked_tip_Pa_s;
    }
}

static void warn(const struct nxw_train *train, struct nxw_result *r)
{
    if (r->glass.gauge_peak_Pa > r->glass.joint_bears_Pa)
        r->warnings |= NXW_WARN_BACK_PRESSURE;
    for (size_t i = 0; i < train->n_stages; i++) {
        const struct nxw_stage *c = train->stages[i].stage;
        const struct nxw_stage_result *s = &r->stages[i];
        const bool held = c->kind == NXW_STAGE_EMPTY && s->liquid_drawn_m3 <= c->volume_m3;
        if (s->liquid_drawn_m3 > 0.0 && !held)
            r->warnings |= NXW_WARN_LIQUID_DRAWN;
        if (s->peroxide_drawn_mol > PEROXIDE_TRACE_MOL && !held)
            r->warnings |= NXW_WARN_PEROXIDE_BETWEEN;
        if (c->kind == NXW_STAGE_EMPTY || !(s->tip_flow_m3_s > 0.0))
            continue;
        if (s->tip_flow_m3_s > s->tip_jet_flow_m3_s)
            r->warnings |= NXW_WARN_JETTING;
        if (c->tip == NXW_TIP_HOLES && s->tip_holes_blowing < c->holes)
            r->warnings |= NXW_WARN_WEEPING;
    }
}

void nxw_glass_watch_end(const struct nxw_train *train, const struct nxw_glass_watch *w,
                         struct nxw_result *r)
{
    const struct nxw_case *in = train->in;
    const struct nxw_parameters *p = &in->parameters;
    struct nxw_glass_result *g = &r->glass;
    size_t first = 0;
    for (size_t i = 0; i < train->n_stages; i++)
        r->stages[i].tube_crest_m = in->stages[i].kind == NXW_STAGE_BOTTLE
                                        ? nxw_tube_crest_m(&in->stages[i], p)
                                        : (double)NAN;
    for (; first < train->n_stages && in->stages[first].kind == NXW_STAGE_EMPTY; first++)
        g->trap_m3 += in->stages[first].volume_m3;
    g->joint_bears_Pa = 1e3 * p->value[NXW_P_joint_pressure];
    g->carrier_mol_s = carrier_after_mol_s(train, &g->carrier_s);
    g->dissolved_share = soluble_share(train);
    g->vapour_share = g->carrier_needed_s = (double)NAN;
    g->suck_back_m3 = g->liquid_at_risk_m3 = g->peroxide_at_risk_mol = g->crest_needed_m =
        g->crest_m = g->trap_needed_m3 = g->carrier_needed_mol_s = (double)NAN;
    if (in->vessel_volume_m3 > 0.0) {
        /* over a hot liquid stands its vapour; what the carrier sweeps out is the other gas */
        const bool liquid =
            in->source.kind == NXW_SOURCE_ACID_VAPOUR || in->source.kind == NXW_SOURCE_METAL;
        g->vapour_share =
            liquid ? nxw_cooling_vapour_share(in->vessel_hot_K, in->surroundings_pressure_Pa) : 0.0;
        const double purged_m3 = g->carrier_mol_s * g->carrier_s * NXW_GAS_CONSTANT *
                                 in->vessel_hot_K / in->surroundings_pressure_Pa;
        g->dissolved_share *= exp(-purged_m3 / (in->vessel_volume_m3 + g->trap_m3));
        if (first < train->n_stages)
            suck_back(train, first, r);
    }
    blockage(train, w, g);
    const double hood_mol = p->value[NXW_P_hood_volume] * in->surroundings_pressure_Pa /
                            (NXW_GAS_CONSTANT * in->surroundings_temperature_K);
    g->hood_stopped_NO_1_s = r->vent_peak_NO_kg_s / NXW_MOLAR_MASS_NO_KG_MOL / hood_mol;
    g->hood_stopped_NO2_1_s = r->vent_peak_NO2_kg_s / NXW_MOLAR_MASS_NO2_KG_MOL / hood_mol;
    warn(train, r);
}
