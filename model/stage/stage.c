#include "stage/stage.h"

#include <math.h>

#include "base/curve.h"
#include "properties/acid.h"
#include "properties/heat.h"
#include "properties/water.h"
#include "stage/bubble.h"
#include "stage/glassware.h"

static const double ICE_K = 273.15;
enum { DEFAULT_SLICES = 4 };

/* ------------------------------------------------------------------------ what is fixed */

static double start_temperature_K(const struct nxw_stage *s)
{
    if (isfinite(s->liquid_temperature_K))
        return s->liquid_temperature_K;
    return s->bath == NXW_BATH_ICE_WATER ? ICE_K : s->bath_temperature_K;
}

static double charge_kg(const struct nxw_stage *s)
{
    return s->liquid_m3 * nxw_liquid_density_curve_kg_m3(s->acid_mass_fraction,
                                                         s->peroxide_mass_fraction,
                                                         start_temperature_K(s));
}

/* What gas must overcome to enter a stage as charged: head and capillary pressure of its tip. */
static double standing_pressure_Pa(const struct nxw_stage *s)
{
    if (s->kind == NXW_STAGE_EMPTY)
        return 0.0;
    const double level = s->liquid_m3 / (0.25 * NXW_PI * s->inner_diameter_m * s->inner_diameter_m);
    const double depth = isfinite(s->depth_m) ? s->depth_m : fmax(0.0, level - s->tip_clearance_m);
    const double tension = nxw_water_surface_tension_N_m(start_temperature_K(s)) *
                           nxw_acid_surface_tension_ratio(s->acid_mass_fraction);
    return charge_kg(s) / s->liquid_m3 * NXW_GRAVITY_M_S2 * depth +
           nxw_tip_capillary_Pa(s, tension);
}

/* The room's air with its water vapour, mole fractions at a pressure. */
static void room_air(const struct nxw_case *in, double pressure_Pa, double y[NXW_POOLS])
{
    const double *p = in->parameters.value;
    const double wet = p[NXW_P_room_humidity] *
                       nxw_water_vapour_pressure_Pa(in->surroundings_temperature_K) / pressure_Pa;
    for (int j = 0; j < NXW_POOLS; j++)
        y[j] = 0.0;
    y[NXW_O2] = p[NXW_P_dry_air_oxygen] * (1.0 - wet);
    y[NXW_INERT] = (1.0 - p[NXW_P_dry_air_oxygen]) * (1.0 - wet);
    y[NXW_H2O] = wet;
}

size_t nxw_stage_slices(const struct nxw_case *in)
{
    return in->slices > 0 ? in->slices : DEFAULT_SLICES;
}

void nxw_stage_plan_make(const struct nxw_case *in, size_t index, struct nxw_stage_plan *plan)
{
    const struct nxw_stage *s = &in->stages[index];
    const struct nxw_parameters *p = &in->parameters;
    *plan = (struct nxw_stage_plan){.in = in, .stage = s};
    plan->last = index + 1 == in->n_stages;
    const bool path = s->kind == NXW_STAGE_BOTTLE && !(s->depth_m == 0.0) &&
                      (isfinite(s->depth_m) ? s->depth_m > 0.0 : true);
    plan->n_slices = !path ? 0 : nxw_stage_slices(in);
    plan->n_path = plan->n_slices * NXW_PATH_POOLS;
    plan->n_states = plan->n_path + NXW_T_COUNT + NXW_E_COUNT;
    plan->area_m2 = 0.25 * NXW_PI * s->inner_diameter_m * s->inner_diameter_m;
    plan->glass_J_K = nxw_glass_heat_J_K(s, p);
    plan->pressure_Pa = in->surroundings_pressure_Pa;
    for (size_t i = index + 1; i < in->n_stages; i++)
        plan->pressure_Pa += standing_pressure_Pa(&in->stages[i]);
    room_air(in, plan->pressure_Pa, plan->room);
    plan->plume = p->value[s->tip == NXW_TIP_HOLES  ? NXW_P_plume_holes
                           : s->tip == NXW_TIP_FRIT ? NXW_P_plume_frit
                                                    : NXW_P_plume_tube];
    plan->charge.physical_only = in->physical_absorption_only;
    plan->charge.strong_acid_mol = s->strong_acid_mol_m3 * s->liquid_m3;
    const double kg = s->kind == NXW_STAGE_EMPTY ? 0.0 : charge_kg(s);
    plan->nitrate_start_mol = kg * s->acid_mass_fraction / NXW_MOLAR_MASS_HNO3_KG_MOL;
    plan->peroxide_start_mol = kg * s->peroxide_mass_fraction / NXW_MOLAR_MASS_H2O2_KG_MOL;
    plan->charge.no_peroxide = plan->peroxide_start_mol == 0.0;
}

void nxw_stage_amounts(const struct nxw_stage_plan *plan, const double *tank,
                       double amount_mol[NXW_L_AMOUNTS])
{
    for (int i = 0; i < NXW_L_AMOUNTS; i++)
        amount_mol[i] = tank[NXW_T_LIQUID + i];
    amount_mol[NXW_L_NITRATE] += plan->nitrate_start_mol;
}

void nxw_stage_start(const struct nxw_stage_plan *plan, const double y[NXW_POOLS], double *x)
{
    const struct nxw_stage *s = plan->stage;
    const struct nxw_case *in = plan->in;
    for (size_t i = 0; i < plan->n_states; i++)
        x[i] = 0.0;
    /* No nitrogen is in the bubbles before any has come: what fills them first counts as passed
     * on, or a short source would lose to the liquid more than it brings. Where that leaves next to
     * nothing there is steam: a bubble of nothing would be filled within no time. */
    const double steam = fmax(0.0, nxw_gas_N(y) - 0.95);
    for (size_t i = 0; i < plan->n_slices; i++) {
        for (int j = NXW_O2; j < NXW_PATH_POOLS; j++)
            x[i * NXW_PATH_POOLS + (size_t)j] = y[j];
        x[i * NXW_PATH_POOLS + NXW_H2O] += steam;
    }
    double *tank = x + plan->n_path;
    const double T = start_temperature_K(s);
    const double w = s->acid_mass_fraction, wp = s->peroxide_mass_fraction;
    const double kg = charge_kg(s);
    tank[NXW_T_LIQUID + NXW_L_H2O2] = plan->peroxide_start_mol;
    tank[NXW_T_LIQUID + NXW_L_H2O] = kg * (1.0 - w - wp) / NXW_MOLAR_MASS_H2O_KG_MOL;
    if (s->kind == NXW_STAGE_EMPTY)
        tank[NXW_T_LIQUID + NXW_L_H2O] = 1e-3; /* a trace, so that no property divides by zero */
    tank[NXW_T_TEMPERATURE] = T;
    /* the headspace starts as room air */
    const double head = s->kind == NXW_STAGE_EMPTY ? s->volume_m3 : s->volume_m3 - s->liquid_m3;
    const double T_head = 0.5 * (T + in->surroundings_temperature_K);
    const double n = plan->pressure_Pa * fmax(head, 1e-7) / (NXW_GAS_CONSTANT * T_head);
    for (int j = 0; j < NXW_POOLS; j++)
        tank[NXW_T_HEAD + j] = n * plan->room[j];
}

/* ------------------------------------------------------------------------------- bath */

double nxw_bath_ice_kg(const struct nxw_stage_plan *plan, double heat_J)
{
    const double fusion = plan->in->parameters.value[NXW_P_ice_fusion] * 1e3;
    const double left = plan->stage->ice_kg - heat_J / fusion;
    return left > 0.0 ? left : 0.0;
}

double nxw_bath_temperature_K(const struct nxw_stage_plan *plan, double heat_J)
{
    const struct nxw_stage *s = plan->stage;
    if (s->bath != NXW_BATH_ICE_WATER)
        return s->bath_temperature_K;
    /* it melts at 0 degC, then warms as water; the corner is rounded over 1 % of the ice */
    const double fusion = plan->in->parameters.value[NXW_P_ice_fusion] * 1e3;
    const double melt = s->ice_kg * fusion, x = heat_J - melt, r = 0.01 * melt + 1.0;
    const double above = 0.5 * (x + sqrt(x * x + r * r)) - 0.25 * r * r / (melt + r);
    return ICE_K + above / (4186.0 * (s->ice_kg + s->bath_water_kg) + 1.0);
}

/* ------------------------------------------------------------------- the liquid and tip */

void nxw_stage_look(const struct nxw_stage_plan *plan, const double *tank,
                    const struct nxw_gas_stream *inlet, struct nxw_stage_view *v)
{
    const struct nxw_stage *s = plan->stage;
    const struct nxw_parameters *p = &plan->in->parameters;
    struct nxw_liquid *l = &v->liquid;
    nxw_stage_amounts(plan, tank, v->amount_mol);
    nxw_liquid_set(p, v->amount_mol, tank[NXW_T_TEMPERATURE], &plan->charge, l);
    v->level_m = l->volume_m3 / plan->area_m2;
    const double depth = isfinite(s->depth_m) ? s->depth_m : v->level_m - s->tip_clearance_m;
    v->depth_m = nxw_curve_positive(depth, 5e-5);
    v->bath_K = nxw_bath_temperature_K(plan, tank[NXW_T_BATH_HEAT]);

    const double flow = inlet->flow_mol_s;
    v->tip_gas_m3_s = 0.0;
    v->bubbles_1_s = v->bubble_mol = 0.0;
    v->bubble_diameter_m = v->bubble_out_diameter_m = v->residence_s = 0.0;
    if (plan->n_slices > 0) {
        struct nxw_gas_pressures g;
        const double P = plan->pressure_Pa + l->fluid.density_kg_m3 * NXW_GRAVITY_M_S2 * v->depth_m;
        nxw_gas_speciate(&l->c, inlet->y, P, &g);
        v->tip_gas_m3_s = flow * g.volume_m3;
        const double Q = 0.5 * (v->tip_gas_m3_s + fabs(v->tip_gas_m3_s));
        v->bubble_diameter_m = nxw_bubble_diameter_m(s, p, &l->fluid, Q);
        const double d = v->bubble_diameter_m;
        /* a fresh bubble is under its own skin's pressure, too; pools, since y sums to one */
        nxw_gas_speciate(&l->c, inlet->y, P + 4.0 * l->fluid.surface_tension_N_m / d, &g);
        v->bubble_mol = NXW_PI / 6.0 * d * d * d / g.volume_m3;
        v->bubbles_1_s = 0.5 * (flow + fabs(flow)) / v->bubble_mol;
    }
    const double u_G = fabs(v->tip_gas_m3_s) / plan->area_m2;
    v->UA_W_K = nxw_heat_UA_W_K(s, p, tank[NXW_T_TEMPERATURE], v->bath_K,
                                fmin(v->level_m, s->volume_m3 / plan->area_m2), u_G, &l->fluid);
}

void nxw_stage_rates(const struct nxw_stage_plan *plan, const struct nxw_gas_stream *inlet,
                     const double *x, struct nxw_weights *weights, double *rate,
                     double (*slice_sums)[NXW_S_COUNT], struct nxw_stage_view *v)
{
    const double *tank = x + plan->n_path;
    nxw_stage_look(plan, tank, inlet, v);
    nxw_stage_path(plan, v, inlet, x, weights, rate, slice_sums);
    for (int k = 0; k < NXW_S_COUNT; k++) {
        v->sums[k] = 0.0;
        for (size_t i = 0; i < plan->n_slices; i++)
            v->sums[k] += slice_sums[i][k];
    }
    if (plan->n_slices == 0) { /* the gas enters the tank unchanged, with its dimers' heat */
        struct nxw_gas_pressures g;
        nxw_gas_speciate(&v->liquid.c, inlet->y, plan->pressure_Pa, &g);
        v->sums[NXW_S_DIMER_J_MOL] =
            nxw_gas_dimer_enthalpy(&plan->in->parameters, &g, v->liquid.c.T_K);
    }
    nxw_stage_headspace(plan, tank, v);
    nxw_stage_balance(plan, v, inlet, tank, rate + plan->n_path);
}
