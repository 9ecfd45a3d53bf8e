#include "stage.h"

#include <math.h>

#include "acid.h"
#include "curve.h"
#include "glassware.h"
#include "heat.h"
#include "reaction_hno2_formation_gas.h"
#include "reaction_no_oxidation.h"
#include "water.h"

static const double ICE_K = 273.15;
static const double POCKET = 0.03; /* share of the headspace; below it gas counts as a pocket */
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
    return s->liquid_m3 * nxw_liquid_density_kg_m3(s->acid_mass_fraction, s->peroxide_mass_fraction,
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

void nxw_stage_plan_make(const struct nxw_case *in, size_t index, struct nxw_stage_plan *plan)
{
    const struct nxw_stage *s = &in->stages[index];
    const struct nxw_parameters *p = &in->parameters;
    *plan = (struct nxw_stage_plan){.in = in, .stage = s};
    plan->last = index + 1 == in->n_stages;
    const bool path = s->kind == NXW_STAGE_BOTTLE && !(s->depth_m == 0.0) &&
                      (isfinite(s->depth_m) ? s->depth_m > 0.0 : true);
    plan->n_slices = !path ? 0 : in->slices > 0 ? in->slices : DEFAULT_SLICES;
    plan->n_path = plan->n_slices * NXW_PATH_POOLS;
    plan->n_states = plan->n_path + NXW_T_COUNT + NXW_E_COUNT;
    /* Slices grow from the tip, where the gas is richest and uptake steepest. */
    for (size_t i = 0; i < plan->n_slices; i++) {
        const double x = (double)(i + 1) / (double)plan->n_slices;
        plan->top[i] = x * (0.4 + 0.6 * x);
    }
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
    plan->nitrate_start_mol = kg * s->acid_mass_fraction / NXW_M_HNO3;
    plan->peroxide_start_mol = kg * s->peroxide_mass_fraction / NXW_M_H2O2;
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
     * on, or a short source would lose to the liquid more than it brings. */
    for (size_t i = 0; i < plan->n_slices; i++)
        for (int j = NXW_O2; j < NXW_PATH_POOLS; j++)
            x[i * NXW_PATH_POOLS + (size_t)j] = y[j];
    double *tank = x + plan->n_path;
    const double T = start_temperature_K(s);
    const double w = s->acid_mass_fraction, wp = s->peroxide_mass_fraction;
    const double kg = charge_kg(s);
    tank[NXW_T_LIQUID + NXW_L_H2O2] = plan->peroxide_start_mol;
    tank[NXW_T_LIQUID + NXW_L_H2O] = kg * (1.0 - w - wp) / NXW_M_H2O;
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
    double depth = isfinite(s->depth_m) ? s->depth_m : v->level_m - s->tip_clearance_m;
    v->depth_m = 0.5 * (depth + sqrt(depth * depth + 1e-8));
    v->bath_K = nxw_bath_temperature_K(plan, tank[NXW_T_BATH_HEAT]);

    const double flow = inlet->flow_mol_s;
    v->tip_gas_m3_s = 0.0;
    v->bubbles_1_s = 0.0;
    v->bubble_diameter_m = v->bubble_out_diameter_m = v->residence_s = 0.0;
    if (plan->n_slices > 0) {
        struct nxw_gas_pressures g;
        const double P = plan->pressure_Pa + l->fluid.density_kg_m3 * NXW_GRAVITY_M_S2 * v->depth_m;
        nxw_gas_speciate(&l->c, inlet->y, P, &g);
        v->tip_gas_m3_s = flow * g.volume_m3;
        const double Q = 0.5 * (v->tip_gas_m3_s + fabs(v->tip_gas_m3_s));
        v->bubble_diameter_m = nxw_bubble_diameter_m(s, p, &l->fluid, Q);
        const double d = v->bubble_diameter_m;
        const double P_bubble = P + 4.0 * l->fluid.surface_tension_N_m / d;
        v->bubbles_1_s = Q * (P / P_bubble) / (NXW_PI / 6.0 * d * d * d);
    }
    const double u_G = fabs(v->tip_gas_m3_s) / plan->area_m2;
    v->UA_W_K = nxw_heat_UA_W_K(s, p, tank[NXW_T_TEMPERATURE], v->bath_K,
                                fmin(v->level_m, s->volume_m3 / plan->area_m2), u_G, &l->fluid);
}

/* ---------------------------------------------------------------------- headspace, heat */

/* x/(e^x - 1) */
static double bernoulli(double x)
{
    if (fabs(x) < 1e-4)
        return 1.0 - 0.5 * x;
    return x > 500.0 ? 0.0 : x / expm1(x);
}

/* part/whole, gone where there is nothing. */
static double share(double part, double whole) { return part * whole / (whole * whole + 1e-28); }

/* Exchange of the headspace with the flat surface and the wet wall, mol/s. */
static void surface(const struct nxw_stage_plan *plan, const struct nxw_stage_view *v,
                    const struct nxw_chemistry *c, double head_m3, struct nxw_film_flux *J)
{
    const struct nxw_stage *s = plan->stage;
    const struct nxw_parameters *p = &plan->in->parameters;
    const struct nxw_liquid *l = &v->liquid;
    *J = (struct nxw_film_flux){0};
    if (s->no_surface || s->kind == NXW_STAGE_EMPTY)
        return;
    const double u_G = fabs(v->tip_gas_m3_s) / plan->area_m2;
    const double stirred = plan->n_slices > 0 ? u_G / (u_G + 2e-6) : 0.0;
    const double u = p->value[NXW_P_surface_velocity];
    const double quiet = p->value[NXW_P_kL_quiet], fk = p->value[NXW_P_factor_kL];
    const double renewal = 2.0 * sqrt(u / (NXW_PI * s->inner_diameter_m));
    struct nxw_film_coefficients k;
    k.kL_NO = fk * (stirred * renewal * sqrt(l->c.D_NO) + (1.0 - stirred) * quiet);
    k.kL_NO2 = fk * (stirred * renewal * sqrt(l->c.D_NO2) + (1.0 - stirred) * quiet);
    k.kL_HNO2 = fk * (stirred * renewal * sqrt(l->c.D_HNO2) + (1.0 - stirred) * quiet);
    const double kG = p->value[NXW_P_factor_kG] * (stirred * p->value[NXW_P_kG_surface] +
                                                   (1.0 - stirred) * p->value[NXW_P_kG_quiet]);
    for (int j = 0; j < NXW_POOLS; j++)
        k.kG[j] = kG;
    nxw_film_flux(&v->head, l, &k, c->RT_J_mol, J);
    const double wall = 4.0 * head_m3 / s->inner_diameter_m;
    /* A headspace that has lost nearly all its gas, taken up with none to follow, stands full of
     * the next bottle's liquid (watched elsewhere): what is left is a pocket that touches less and
     * less. Without this the gas would be taken up beyond nothing. */
    const double x = nxw_curve_positive(v->head.volume_m3 / head_m3 / POCKET, 0.01);
    const double x2 = x * x, x8 = x2 * x2 * x2 * x2, pocket = x8 / (1.0 + x8);
    const double area = pocket * (plan->area_m2 + p->value[NXW_P_wet_wall_share] * wall);
    J->NO *= area;
    J->N2O3 *= area;
    J->NO_exchange *= area;
    J->NO2_hydrolysis *= area;
    J->NO2_pool *= area;
    J->HNO2 *= area;
    J->HNO3 *= area;
    J->H2O *= area;
}

/*
 * Through the vent, mol/s outward: flow that keeps the pressure and diffusion along the bore.
 *   N_j = N y_j + k_j B(N/k_j) (y_j - y_room),  k = D A P/(R T L),  B(x) = x/(e^x - 1)
 */
static void vent(const struct nxw_stage_plan *plan, const struct nxw_chemistry *c,
                 const double *head, double sum, double N, double out[NXW_POOLS])
{
    const struct nxw_case *in = plan->in;
    if (!plan->last) {
        const double r = 1e-9;
        const double forward = 0.5 * (N + sqrt(N * N + r * r));
        for (int j = 0; j < NXW_POOLS; j++)
            out[j] = forward * head[j] / sum;
        return;
    }
    if (in->vent_closed) {
        for (int j = 0; j < NXW_POOLS; j++)
            out[j] = 0.0;
        return;
    }
    const double bore_L = 0.25 * NXW_PI * in->vent_bore_m * in->vent_bore_m / in->vent_length_m;
    for (int j = 0; j < NXW_POOLS; j++) {
        const double k = c->D_air_m2_s[j] * bore_L * plan->pressure_Pa / c->RT_J_mol;
        const double y = head[j] / sum;
        out[j] = N * y + k * bernoulli(N / k) * (y - plan->room[j]);
    }
}

void nxw_stage_tank(const struct nxw_stage_plan *plan, struct nxw_stage_view *v,
                    const struct nxw_gas_stream *inlet, const double *tank, double *rate)
{
    const struct nxw_case *in = plan->in;
    const struct nxw_parameters *p = &in->parameters;
    const struct nxw_stage *s = plan->stage;
    const struct nxw_liquid *l = &v->liquid;
    const double *head = tank + NXW_T_HEAD, T = tank[NXW_T_TEMPERATURE];
    double *ledger = rate + NXW_T_COUNT;
    for (int i = 0; i < NXW_T_COUNT + NXW_E_COUNT; i++)
        rate[i] = 0.0;

    /* gas delivered to the headspace = entered - taken by the liquid + reacted */
    const double *S = v->sums;
    double in_head[NXW_POOLS];
    for (int j = 0; j < NXW_POOLS; j++) {
        in_head[j] = inlet->flow_mol_s * inlet->y[j];
        ledger[NXW_E_FED + j] = in_head[j];
    }
    in_head[NXW_NO] -= S[NXW_S_NO] + S[NXW_S_N2O3] + S[NXW_S_OXIDATION] + S[NXW_S_HNO2_FORMATION];
    in_head[NXW_NO2] -= S[NXW_S_HYDROLYSIS] + S[NXW_S_POOL] + S[NXW_S_N2O3] - S[NXW_S_OXIDATION] +
                        S[NXW_S_HNO2_FORMATION];
    in_head[NXW_HNO2] -= S[NXW_S_HNO2] - 2.0 * S[NXW_S_HNO2_FORMATION];
    in_head[NXW_HNO3] -= S[NXW_S_HNO3];
    in_head[NXW_O2] -= 0.5 * S[NXW_S_OXIDATION];
    in_head[NXW_H2O] -= S[NXW_S_H2O] + S[NXW_S_HNO2_FORMATION];
    const double through = in_head[NXW_NO2];
    double delivered_J = inlet->flow_mol_s * S[NXW_S_DIMER_J_MOL];
    for (int j = 0; j < NXW_POOLS; j++)
        delivered_J += in_head[j] * nxw_gas_molar_enthalpy(p, (enum nxw_pool)j, T);

    /* headspace gas: mean of liquid and surroundings, well mixed */
    struct nxw_chemistry c;
    v->head_T_K = in->isothermal ? T : 0.5 * (T + in->surroundings_temperature_K);
    nxw_chemistry_gas(p, v->head_T_K, &c);
    double sum = 0.0;
    for (int j = 0; j < NXW_POOLS; j++)
        sum += head[j];
    nxw_gas_speciate(&c, head, plan->pressure_Pa, &v->head);
    double head_m3 = s->volume_m3 - (s->kind == NXW_STAGE_EMPTY ? 0.0 : l->volume_m3);
    head_m3 = 0.5 * (head_m3 + sqrt(head_m3 * head_m3 + 4e-12)); /* overfull: 1 mL at least */
    const double gas_m3 = v->head.volume_m3;

    const double oxidation = nxw_NO_oxidation_mol_m3_s(&c, &v->head) * gas_m3;
    const double formation = nxw_HNO2_formation_mol_m3_s(&c, &v->head) * gas_m3;
    struct nxw_film_flux J;
    surface(plan, v, &c, head_m3, &J);
    double fizz = 0.0, O2 = 0.0;
    double *dn = rate + NXW_T_LIQUID;
    if (s->kind == NXW_STAGE_BOTTLE && !plan->charge.physical_only)
        nxw_liquid_react(
            p, l, plan->pressure_Pa + 0.5 * l->fluid.density_kg_m3 * NXW_GRAVITY_M_S2 * v->level_m,
            dn, &fizz, &O2);
    v->fizz_mol_s = fizz;

    double change[NXW_POOLS];
    change[NXW_NO] = in_head[NXW_NO] - J.NO - J.N2O3 - oxidation - formation + fizz;
    change[NXW_NO2] =
        in_head[NXW_NO2] - J.NO2_hydrolysis - J.NO2_pool - J.N2O3 + oxidation - formation;
    change[NXW_HNO2] = in_head[NXW_HNO2] - J.HNO2 + 2.0 * formation;
    change[NXW_HNO3] = in_head[NXW_HNO3] - J.HNO3;
    change[NXW_O2] = in_head[NXW_O2] - 0.5 * oxidation + O2;
    change[NXW_INERT] = in_head[NXW_INERT];
    change[NXW_H2O] = in_head[NXW_H2O] - J.H2O - formation;

    /* outflow keeps the pressure: the excess volume leaves within a fifth of a second; at 1.5 L/min
     * the headspace of a 500 mL bottle then holds 2 % more gas than its volume */
    const double N = sum * (1.0 - head_m3 / gas_m3) / 0.2;
    vent(plan, &c, head, sum, N, v->out);
    v->out_mol_s = 0.0;
    for (int j = 0; j < NXW_POOLS; j++) {
        rate[NXW_T_HEAD + j] = change[j] - v->out[j];
        ledger[NXW_E_OUT + j] = v->out[j];
        v->out_mol_s += v->out[j];
    }

    /* the liquid */
    dn[NXW_L_NITRATE] += 0.5 * (S[NXW_S_HYDROLYSIS] + J.NO2_hydrolysis) + S[NXW_S_HNO3] + J.HNO3;
    dn[NXW_L_N3] += 0.5 * (S[NXW_S_HYDROLYSIS] + J.NO2_hydrolysis) +
                    2.0 * (S[NXW_S_N2O3] + J.N2O3) + S[NXW_S_HNO2] + J.HNO2;
    dn[NXW_L_NO_AQ] += S[NXW_S_NO] + J.NO;
    dn[NXW_L_NO2_AQ] += S[NXW_S_POOL] + J.NO2_pool;
    dn[NXW_L_H2O] += S[NXW_S_H2O] + J.H2O - S[NXW_S_N2O3] - J.N2O3 -
                     0.5 * (S[NXW_S_HYDROLYSIS] + J.NO2_hydrolysis);

    /* heat: gas brings its enthalpy to the liquid, the liquid keeps its own, the wall loses */
    const double h_NO = nxw_gas_molar_enthalpy(p, NXW_NO, T);
    const double h_NO2 = nxw_gas_molar_enthalpy(p, NXW_NO2, T);
    const double pool_Pa = fabs(v->head.pool_Pa[NXW_NO2]) + 1e-9;
    const double h_N2O4_half = 0.5 * p->value[NXW_P_dHf_N2O4_gas] * 1e3;
    const double dimer = 2.0 * v->head.N2O4_Pa / pool_Pa;
    const double h_pool = h_NO2 + dimer * (h_N2O4_half - p->value[NXW_P_dHf_NO2_gas] * 1e3);
    const double absorbed_W = J.NO * h_NO + J.N2O3 * p->value[NXW_P_dHf_N2O3_gas] * 1e3 +
                              (J.NO2_hydrolysis + J.NO2_pool) * h_pool +
                              J.HNO2 * nxw_gas_molar_enthalpy(p, NXW_HNO2, T) +
                              J.HNO3 * nxw_gas_molar_enthalpy(p, NXW_HNO3, T) +
                              J.H2O * nxw_gas_molar_enthalpy(p, NXW_H2O, T) - fizz * h_NO -
                              O2 * nxw_gas_molar_enthalpy(p, NXW_O2, T);
    double heat_in = inlet->flow_mol_s * inlet->enthalpy_J_mol - delivered_J + absorbed_W;
    /* headspace: what its gas gives off by reacting, pairing to N2O4 and cooling is what came less
     * what the surface took, what left and what stayed; a share reaches the liquid */
    double head_W = delivered_J - absorbed_W;
    for (int j = 0; j < NXW_POOLS; j++)
        head_W -= change[j] * nxw_gas_molar_enthalpy(p, (enum nxw_pool)j, v->head_T_K);
    head_W -= change[NXW_NO2] * dimer * (h_N2O4_half - p->value[NXW_P_dHf_NO2_gas] * 1e3);
    heat_in += p->value[NXW_P_headspace_heat_share] * head_W;
    const double lost = v->UA_W_K * (T - v->bath_K);
    if (!in->isothermal && s->kind == NXW_STAGE_BOTTLE) {
        double liquid_W, capacity;
        nxw_liquid_enthalpy_rate(p, v->amount_mol, dn, T, &liquid_W, &capacity);
        rate[NXW_T_TEMPERATURE] = (heat_in - lost - liquid_W) / (capacity + plan->glass_J_K);
        ledger[NXW_E_HEAT_IN] = heat_in;
        ledger[NXW_E_HEAT_LOST] = lost;
    }
    if (s->bath == NXW_BATH_ICE_WATER)
        rate[NXW_T_BATH_HEAT] =
            (in->isothermal ? 0.0 : lost) +
            p->value[NXW_P_bath_room_UA] * (in->surroundings_temperature_K - v->bath_K);

    /* where the escaping gas came from; nothing depends on these */
    const double given_back = nxw_film_NO_given_back(&J), NO_taken = given_back + J.NO + J.N2O3;
    const double NO2_taken =
        nxw_curve_positive(J.NO2_hydrolysis + J.NO2_pool + J.N2O3, 1e-3 * fabs(oxidation) + 1e-16);
    const double x = share(tank[NXW_T_RETURNED_NO], head[NXW_NO]);
    const double z = share(tank[NXW_T_REFORMED_NO2], head[NXW_NO2]);
    const double NO_out = v->out[NXW_NO], NO2_out = v->out[NXW_NO2];
    const double NO_passed = nxw_curve_positive(in_head[NXW_NO] - S[NXW_S_RETURNED], 1e-16);
    rate[NXW_T_RETURNED_NO] = S[NXW_S_RETURNED] + fizz + given_back +
                              inlet->returned_share * NO_passed -
                              x * (oxidation + formation + NO_out + NO_taken);
    rate[NXW_T_REFORMED_NO2] = oxidation +
                               inlet->reformed_share * nxw_curve_positive(through, 1e-16) -
                               z * (formation + NO2_out + NO2_taken);
    ledger[NXW_E_OUT_RETURNED] = x * NO_out;
    const double spent =
        plan->peroxide_start_mol > 0.0
            ? 1.0 / (1.0 +
                     pow(tank[NXW_T_LIQUID + NXW_L_H2O2] / (0.01 * plan->peroxide_start_mol), 2.0))
            : 0.0;
    ledger[NXW_E_OUT_RETURNED_SPENT] = spent * x * NO_out;
    ledger[NXW_E_OUT_REFORMED] = z * NO2_out;
    ledger[NXW_E_THROUGH] = through;
    ledger[NXW_E_THROUGH_LIQUID] = through * S[NXW_S_LIQUID_SHARE];
    ledger[NXW_E_FIZZ] = fizz;
    ledger[NXW_E_DRAWN_BACK] = v->out_mol_s < 0.0 ? -v->out_mol_s : 0.0;

    v->outlet.flow_mol_s = v->out_mol_s;
    v->outlet.returned_share = x;
    v->outlet.reformed_share = z;
    for (int j = 0; j < NXW_POOLS; j++)
        v->outlet.y[j] = head[j] / sum;
    v->outlet.enthalpy_J_mol = nxw_gas_enthalpy(p, head, &v->head, v->head_T_K) / sum;
}

void nxw_stage_rates(const struct nxw_stage_plan *plan, const struct nxw_gas_stream *inlet,
                     const double *x, double *rate, double (*slice_sums)[NXW_S_COUNT],
                     struct nxw_stage_view *v)
{
    const double *tank = x + plan->n_path;
    nxw_stage_look(plan, tank, inlet, v);
    nxw_stage_path(plan, v, inlet, x, rate, slice_sums);
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
    nxw_stage_tank(plan, v, inlet, tank, rate + plan->n_path);
}
