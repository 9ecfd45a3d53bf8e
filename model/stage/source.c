#include "stage/source.h"

#include <math.h>
#include <stdlib.h>

/* Vapour over 50, 55, 60, 65, 70 wt% acid: log10 p/mmHg = A - B/T, least-squares lines through the
 * handbook table of partial pressures (published, secondary transcription; lines computed here). */
static const struct {
    double A_HNO3, B_HNO3, A_H2O, B_H2O;
} VAPOUR[] = {{9.2514, 2880.1, 8.7550, 2303.2},
              {9.0538, 2754.6, 8.7284, 2316.5},
              {8.8245, 2608.3, 8.6903, 2327.1},
              {8.5420, 2437.8, 8.5653, 2309.9},
              {8.4188, 2327.7, 8.3939, 2280.8}};

static void condensate_vapour(double w, double T_K, double *HNO3_Pa, double *H2O_Pa)
{
    /* the case's check keeps it within the table; outside, the line of its end goes on */
    const double at = (w - 0.50) / 0.05;
    const int i = at > 3.0 ? 3 : at > 0.0 ? (int)at : 0;
    const double x = at - i;
    const double a = VAPOUR[i].A_HNO3 - VAPOUR[i].B_HNO3 / T_K;
    const double b = VAPOUR[i + 1].A_HNO3 - VAPOUR[i + 1].B_HNO3 / T_K;
    const double c = VAPOUR[i].A_H2O - VAPOUR[i].B_H2O / T_K;
    const double d = VAPOUR[i + 1].A_H2O - VAPOUR[i + 1].B_H2O / T_K;
    *HNO3_Pa = 133.322 * pow(10.0, a + x * (b - a));
    *H2O_Pa = 133.322 * pow(10.0, c + x * (d - c));
}

static int ascending(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static void add_break(struct nxw_source_plan *plan, double t_s)
{
    if (isfinite(t_s) && t_s > 0.0 && t_s < plan->end_s && plan->n_breaks < NXW_BREAKS_MAX)
        plan->breaks_s[plan->n_breaks++] = t_s;
}

static void add_carrier_breaks(struct nxw_source_plan *plan, const struct nxw_carrier *carrier)
{
    if (carrier->gas == NXW_GAS_NONE)
        return;
    add_break(plan, carrier->from_s);
    add_break(plan, carrier->from_s + plan->ramp_s);
    add_break(plan, carrier->until_s);
    add_break(plan, carrier->until_s + plan->ramp_s);
}

/* 0 before 0, 1 after ramp, smooth between. */
static double smooth_step(double t_s, double ramp_s)
{
    const double u = t_s / ramp_s;
    if (u <= 0.0)
        return 0.0;
    return u >= 1.0 ? 1.0 : u * u * (3.0 - 2.0 * u);
}

void nxw_carrier_flow(const struct nxw_parameters *p, const struct nxw_carrier *carrier,
                      double ramp_s, double t_s, double flow[NXW_POOLS])
{
    if (carrier->gas == NXW_GAS_NONE)
        return;
    double s = smooth_step(t_s - carrier->from_s, ramp_s);
    if (isfinite(carrier->until_s))
        s -= smooth_step(t_s - carrier->until_s, ramp_s);
    const double O2 = carrier->gas == NXW_GAS_AIR      ? p->value[NXW_P_dry_air_oxygen]
                      : carrier->gas == NXW_GAS_OXYGEN ? 1.0
                                                       : 0.0;
    flow[NXW_O2] += s * carrier->flow_mol_s * O2;
    flow[NXW_INERT] += s * carrier->flow_mol_s * (1.0 - O2);
}

static void row_flow(const struct nxw_source_row *r, double flow[NXW_POOLS])
{
    flow[NXW_NO] = r->NO_mol_s;
    flow[NXW_NO2] = r->NO2_mol_s;
    flow[NXW_HNO2] = r->HNO2_mol_s;
    flow[NXW_HNO3] = r->HNO3_mol_s;
    flow[NXW_O2] = r->O2_mol_s;
    flow[NXW_INERT] = r->inert_mol_s;
    flow[NXW_H2O] = r->H2O_mol_s;
}

static bool from_rows(const struct nxw_source *s)
{
    return s->n_rows > 0 && (s->kind == NXW_SOURCE_TABLE || s->kind == NXW_SOURCE_METERED);
}

/* Linear between rows; zero outside. */
static void table_flow(const struct nxw_source *s, double t_s, double flow[NXW_POOLS])
{
    for (int j = 0; j < NXW_POOLS; j++)
        flow[j] = 0.0;
    if (s->n_rows < 2 || t_s < s->rows[0].time_s || t_s > s->rows[s->n_rows - 1].time_s)
        return;
    size_t i = 1;
    while (i + 1 < s->n_rows && s->rows[i].time_s < t_s)
        i++;
    double a[NXW_POOLS], b[NXW_POOLS];
    row_flow(&s->rows[i - 1], a);
    row_flow(&s->rows[i], b);
    const double span = s->rows[i].time_s - s->rows[i - 1].time_s;
    const double x = span > 0.0 ? (t_s - s->rows[i - 1].time_s) / span : 1.0;
    for (int j = 0; j < NXW_POOLS; j++)
        flow[j] = a[j] + x * (b[j] - a[j]);
}

void nxw_source_plan_make(const struct nxw_case *in, struct nxw_source_plan *plan)
{
    const struct nxw_source *s = &in->source;
    *plan = (struct nxw_source_plan){.in = in, .shape_integral = 1.0};
    plan->ramp_s = 1.0;
    double *n = plan->total_mol;
    switch (s->kind) {
    case NXW_SOURCE_ACID_VAPOUR: {
        /* 4 HNO3 -> 4 NO2 + O2 + 2 H2O for the share that decomposes; the gas leaves the condenser
         * with the vapour that stands over the condensate. */
        const double x = s->decomposed_fraction * s->acid_made_mol;
        n[NXW_NO2] = x;
        n[NXW_O2] = 0.25 * x;
        double p3, pw;
        condensate_vapour(s->condensate_mass_fraction, s->condenser_temperature_K, &p3, &pw);
        double carrier = 0.0;
        if (in->carrier.gas != NXW_GAS_NONE) {
            const double from = fmax(in->carrier.from_s, 0.0);
            const double until = fmin(in->carrier.until_s, s->duration_s);
            carrier = in->carrier.flow_mol_s * fmax(until - from, 0.0);
        }
        const double per_gas = 1.0 / (in->surroundings_pressure_Pa - p3 - pw);
        n[NXW_HNO3] = fmin((1.25 * x + carrier) * p3 * per_gas, s->acid_made_mol - x);
        n[NXW_H2O] = (1.25 * x + carrier) * pw * per_gas;
        plan->receiver_HNO3_mol = s->acid_made_mol - x - n[NXW_HNO3];
        break;
    }
    case NXW_SOURCE_METAL: {
        /* M + 2z HNO3 -> M(NO3)z + z NO2 + z H2O;  3 M + 4z HNO3 -> 3 M(NO3)z + z NO + 2z H2O */
        const double electrons = s->metal_mol * s->metal_valence;
        n[NXW_NO2] = s->NO2_route_fraction * electrons;
        n[NXW_NO] = (1.0 - s->NO2_route_fraction) * electrons / 3.0;
        break;
    }
    case NXW_SOURCE_METERED: {
        const double all = s->flow_mol_s * s->duration_s;
        n[NXW_NO2] = all * s->NO2_fraction;
        n[NXW_NO] = all * s->NO_fraction;
        n[NXW_O2] = all * s->O2_fraction;
        n[NXW_INERT] = all * (1.0 - s->NO2_fraction - s->NO_fraction - s->O2_fraction);
        break;
    }
    case NXW_SOURCE_TABLE:
        break;
    }
    if (s->duration_s < 4.0 * plan->ramp_s)
        plan->ramp_s = 0.25 * s->duration_s;

    plan->source_end_s = s->duration_s;
    if (from_rows(s))
        plan->source_end_s = s->rows[s->n_rows - 1].time_s;
    else if (s->shape == NXW_SHAPE_TABLE) {
        plan->shape_integral = 0.0;
        for (size_t i = 1; i < s->n_rows; i++)
            plan->shape_integral += 0.5 * (s->rows[i].inert_mol_s + s->rows[i - 1].inert_mol_s) *
                                    (s->rows[i].time_s - s->rows[i - 1].time_s);
        plan->source_end_s = s->rows[s->n_rows - 1].time_s;
    } else if (s->shape == NXW_SHAPE_STEADY)
        plan->source_end_s += plan->ramp_s;
    const struct nxw_carrier *c = &in->carrier;
    plan->carrier_end_s = plan->source_end_s;
    if (c->gas != NXW_GAS_NONE && isfinite(c->until_s))
        plan->carrier_end_s = fmax(plan->source_end_s, c->until_s + plan->ramp_s);
    plan->end_s = plan->carrier_end_s + in->standing_s;

    if (from_rows(s) || s->shape == NXW_SHAPE_TABLE)
        for (size_t i = 0; i < s->n_rows; i++)
            add_break(plan, s->rows[i].time_s);
    else if (s->shape == NXW_SHAPE_STEADY) {
        add_break(plan, plan->ramp_s);
        add_break(plan, s->duration_s);
    }
    add_break(plan, plan->source_end_s);
    add_carrier_breaks(plan, c);
    for (size_t i = 0; i < in->n_stages; i++)
        add_carrier_breaks(plan, &in->stages[i].bleed);
    qsort(plan->breaks_s, plan->n_breaks, sizeof plan->breaks_s[0], ascending);
    size_t kept = 0;
    for (size_t i = 0; i < plan->n_breaks; i++)
        if (kept == 0 || plan->breaks_s[i] - plan->breaks_s[kept - 1] > 1e-9 * plan->end_s)
            plan->breaks_s[kept++] = plan->breaks_s[i];
    plan->n_breaks = kept;
}

/* Share of the total per second; its integral over the run is 1. */
static double strength_1_s(const struct nxw_source_plan *plan, double t_s)
{
    const struct nxw_source *s = &plan->in->source;
    switch (s->shape) {
    case NXW_SHAPE_STEADY:
        return (smooth_step(t_s, plan->ramp_s) - smooth_step(t_s - s->duration_s, plan->ramp_s)) /
               s->duration_s;
    case NXW_SHAPE_RISE_AND_FALL: {
        if (t_s <= 0.0 || t_s >= s->duration_s)
            return 0.0;
        return 0.5 * NXW_PI / s->duration_s * sin(NXW_PI * t_s / s->duration_s);
    }
    case NXW_SHAPE_TABLE: {
        double flow[NXW_POOLS];
        table_flow(s, t_s, flow);
        return flow[NXW_INERT] / plan->shape_integral;
    }
    }
    return 0.0;
}

void nxw_source_flow(const struct nxw_source_plan *plan, double t_s, double flow[NXW_POOLS],
                     double y[NXW_POOLS])
{
    const struct nxw_source *s = &plan->in->source;
    double shadow[NXW_POOLS]; /* a vanishing flow of the source's mean gas keeps y defined */
    double total = 0.0;
    if (from_rows(s)) {
        table_flow(s, t_s, flow);
        for (int j = 0; j < NXW_POOLS; j++)
            shadow[j] = 0.0;
        for (size_t i = 0; i < s->n_rows; i++) {
            double row[NXW_POOLS];
            row_flow(&s->rows[i], row);
            for (int j = 0; j < NXW_POOLS; j++)
                shadow[j] += row[j] / (double)s->n_rows;
        }
    } else {
        const double f = strength_1_s(plan, t_s);
        for (int j = 0; j < NXW_POOLS; j++) {
            flow[j] = f * plan->total_mol[j];
            shadow[j] = plan->total_mol[j] / s->duration_s;
        }
    }
    nxw_carrier_flow(&plan->in->parameters, &plan->in->carrier, plan->ramp_s, t_s, flow);
    if (plan->in->carrier.gas != NXW_GAS_NONE && plan->in->carrier.from_s <= 0.0) {
        /* the carrier in full strength: the mix that is about to come */
        const struct nxw_carrier whole = {plan->in->carrier.gas, plan->in->carrier.flow_mol_s, -1e9,
                                          INFINITY};
        nxw_carrier_flow(&plan->in->parameters, &whole, plan->ramp_s, 0.0, shadow);
    }
    double shadow_total = 1e-30;
    for (int j = 0; j < NXW_POOLS; j++)
        shadow_total += shadow[j];
    if (shadow_total <= 1e-30)
        shadow[NXW_INERT] = 1.0;
    for (int j = 0; j < NXW_POOLS; j++) {
        y[j] = flow[j] + 1e-6 * shadow[j];
        total += y[j];
    }
    for (int j = 0; j < NXW_POOLS; j++)
        y[j] /= total;
}
