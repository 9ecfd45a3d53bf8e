/* The tank: headspace, vent, liquid, heat, and the ledgers. */
#include <math.h>

#include "base/curve.h"
#include "reactions/hno2_formation_gas.h"
#include "reactions/no_oxidation.h"
#include "stage/stage.h"

static const double POCKET = 0.03; /* share of the headspace; below it gas counts as a pocket */
static const double TRACE_MOL_S = 1e-16; /* over which a flow's corner at nothing is rounded */

/* x/(e^x - 1) */
static double bernoulli(double x)
{
    if (fabs(x) < 1e-4)
        return 1.0 - 0.5 * x;
    return x > 40.0 ? 0.0 : x / expm1(x); /* 2e-16 beside what flows */
}

/* part/whole; over less than nothing as over as much, and bounded at nothing. */
static double share(double part, double whole) { return part / sqrt(whole * whole + 4e-28); }

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
        /* sharper it crawls; so a ten-thousandth goes in a day */
        const double forward = nxw_curve_positive(N, 5e-7 * sum);
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

void nxw_stage_headspace(const struct nxw_stage_plan *plan, const double *tank,
                         struct nxw_stage_view *v)
{
    const struct nxw_case *in = plan->in;
    const struct nxw_parameters *p = &in->parameters;
    const struct nxw_stage *s = plan->stage;
    const struct nxw_liquid *l = &v->liquid;
    const double *head = tank + NXW_T_HEAD, T = tank[NXW_T_TEMPERATURE];

    /* gas: mean of liquid and surroundings, well mixed */
    struct nxw_chemistry c;
    v->head_T_K = in->isothermal ? T : 0.5 * (T + in->surroundings_temperature_K);
    nxw_chemistry_gas(p, v->head_T_K, &c);
    double sum = 0.0;
    for (int j = 0; j < NXW_POOLS; j++)
        sum += head[j];
    nxw_gas_speciate(&c, head, plan->pressure_Pa, &v->head);
    double head_m3 = s->volume_m3 - (s->kind == NXW_STAGE_EMPTY ? 0.0 : l->volume_m3);
    head_m3 = nxw_curve_positive(head_m3, 1e-6);
    const double gas_m3 = v->head.volume_m3;
    v->oxidation_mol_s = nxw_NO_oxidation_mol_m3_s(&c, &v->head) * gas_m3;
    v->formation_mol_s = nxw_HNO2_formation_mol_m3_s(&c, &v->head) * gas_m3;
    surface(plan, v, &c, head_m3, &v->surface);

    for (int i = 0; i < NXW_L_AMOUNTS; i++)
        v->reacted_mol_s[i] = 0.0;
    v->fizz_mol_s = v->O2_mol_s = 0.0;
    if (s->kind == NXW_STAGE_BOTTLE && !plan->charge.physical_only)
        nxw_liquid_react(
            p, l, plan->pressure_Pa + 0.5 * l->fluid.density_kg_m3 * NXW_GRAVITY_M_S2 * v->level_m,
            v->reacted_mol_s, &v->fizz_mol_s, &v->O2_mol_s);

    /* outflow keeps the pressure: the excess volume leaves within a fifth of a second; at 1.5 L/min
     * the headspace of a 500 mL bottle then holds 2 % more gas than its volume */
    vent(plan, &c, head, sum, sum * (1.0 - head_m3 / gas_m3) / 0.2, v->out);
    v->out_mol_s = 0.0;
    for (int j = 0; j < NXW_POOLS; j++) {
        v->out_mol_s += v->out[j];
        v->outlet.y[j] = head[j] / sum;
    }
    v->outlet.flow_mol_s = v->out_mol_s;
    v->outlet.enthalpy_J_mol = nxw_gas_enthalpy(p, head, &v->head, v->head_T_K) / sum;
}

/* Gas that comes to the headspace, mol/s = entered - taken by the liquid + reacted on the way. */
static void arriving(const struct nxw_stage_view *v, const struct nxw_gas_stream *inlet,
                     double in_head[NXW_POOLS])
{
    const double *S = v->sums;
    for (int j = 0; j < NXW_POOLS; j++)
        in_head[j] = inlet->flow_mol_s * inlet->y[j];
    in_head[NXW_NO] -= S[NXW_S_NO] + S[NXW_S_N2O3] + S[NXW_S_OXIDATION] + S[NXW_S_HNO2_FORMATION];
    in_head[NXW_NO2] -= S[NXW_S_HYDROLYSIS] + S[NXW_S_POOL] + S[NXW_S_N2O3] - S[NXW_S_OXIDATION] +
                        S[NXW_S_HNO2_FORMATION];
    in_head[NXW_HNO2] -= S[NXW_S_HNO2] - 2.0 * S[NXW_S_HNO2_FORMATION];
    in_head[NXW_HNO3] -= S[NXW_S_HNO3];
    in_head[NXW_O2] -= 0.5 * S[NXW_S_OXIDATION];
    in_head[NXW_H2O] -= S[NXW_S_H2O] + S[NXW_S_HNO2_FORMATION];
}

/* What changes in the headspace, mol/s, before anything leaves. */
static void gas_change(const struct nxw_stage_view *v, const double in_head[NXW_POOLS],
                       double change[NXW_POOLS])
{
    const struct nxw_film_flux *J = &v->surface;
    const double oxidation = v->oxidation_mol_s, formation = v->formation_mol_s;
    change[NXW_NO] = in_head[NXW_NO] - J->NO - J->N2O3 - oxidation - formation + v->fizz_mol_s;
    change[NXW_NO2] =
        in_head[NXW_NO2] - J->NO2_hydrolysis - J->NO2_pool - J->N2O3 + oxidation - formation;
    change[NXW_HNO2] = in_head[NXW_HNO2] - J->HNO2 + 2.0 * formation;
    change[NXW_HNO3] = in_head[NXW_HNO3] - J->HNO3;
    change[NXW_O2] = in_head[NXW_O2] - 0.5 * oxidation + v->O2_mol_s;
    change[NXW_INERT] = in_head[NXW_INERT];
    change[NXW_H2O] = in_head[NXW_H2O] - J->H2O - formation;
}

/* What changes in the liquid, mol/s. */
static void liquid_change(const struct nxw_stage_view *v, double dn[NXW_L_AMOUNTS])
{
    const double *S = v->sums;
    const struct nxw_film_flux *J = &v->surface;
    for (int i = 0; i < NXW_L_AMOUNTS; i++)
        dn[i] = v->reacted_mol_s[i];
    dn[NXW_L_NITRATE] += 0.5 * (S[NXW_S_HYDROLYSIS] + J->NO2_hydrolysis) + S[NXW_S_HNO3] + J->HNO3;
    dn[NXW_L_N3] += 0.5 * (S[NXW_S_HYDROLYSIS] + J->NO2_hydrolysis) +
                    2.0 * (S[NXW_S_N2O3] + J->N2O3) + S[NXW_S_HNO2] + J->HNO2;
    dn[NXW_L_NO_AQ] += S[NXW_S_NO] + J->NO;
    dn[NXW_L_NO2_AQ] += S[NXW_S_POOL] + J->NO2_pool;
    dn[NXW_L_H2O] += S[NXW_S_H2O] + J->H2O - S[NXW_S_N2O3] - J->N2O3 -
                     0.5 * (S[NXW_S_HYDROLYSIS] + J->NO2_hydrolysis);
}

/* Heat, W, that the gas brings to the liquid: directly, and a share of what the headspace gives. */
static double heat_from_gas(const struct nxw_stage_plan *plan, const struct nxw_stage_view *v,
                            const struct nxw_gas_stream *inlet, double T,
                            const double in_head[NXW_POOLS], const double change[NXW_POOLS])
{
    const struct nxw_parameters *p = &plan->in->parameters;
    const struct nxw_film_flux *J = &v->surface;
    double h[NXW_POOLS], delivered = inlet->flow_mol_s * v->sums[NXW_S_DIMER_J_MOL];
    for (int j = 0; j < NXW_POOLS; j++) {
        h[j] = nxw_gas_molar_enthalpy(p, (enum nxw_pool)j, T);
        delivered += in_head[j] * h[j];
    }
    const double pool_Pa = fabs(v->head.pool_Pa[NXW_NO2]) + 1e-9;
    const double dimer = 2.0 * v->head.N2O4_Pa / pool_Pa;
    const double h_dimer =
        (0.5 * p->value[NXW_P_dHf_N2O4_gas] - p->value[NXW_P_dHf_NO2_gas]) * 1e3; /* per NO2 */
    const double absorbed = J->NO * h[NXW_NO] + J->N2O3 * p->value[NXW_P_dHf_N2O3_gas] * 1e3 +
                            (J->NO2_hydrolysis + J->NO2_pool) * (h[NXW_NO2] + dimer * h_dimer) +
                            J->HNO2 * h[NXW_HNO2] + J->HNO3 * h[NXW_HNO3] + J->H2O * h[NXW_H2O] -
                            v->fizz_mol_s * h[NXW_NO] - v->O2_mol_s * h[NXW_O2];
    /* headspace: what its gas gives off by reacting, pairing to N2O4 and cooling is what came less
     * what the surface took, what left and what stayed */
    double head = delivered - absorbed;
    for (int j = 0; j < NXW_POOLS; j++)
        head -= change[j] * nxw_gas_molar_enthalpy(p, (enum nxw_pool)j, v->head_T_K);
    head -= change[NXW_NO2] * dimer * h_dimer;
    return inlet->flow_mol_s * inlet->enthalpy_J_mol - delivered + absorbed +
           p->value[NXW_P_headspace_heat_share] * head;
}

/* The liquid keeps its own enthalpy, the wall loses. */
static void heat(const struct nxw_stage_plan *plan, const struct nxw_stage_view *v,
                 const double *tank, double heat_in, double *rate)
{
    const struct nxw_case *in = plan->in;
    const struct nxw_parameters *p = &in->parameters;
    const double T = tank[NXW_T_TEMPERATURE], lost = v->UA_W_K * (T - v->bath_K);
    if (!in->isothermal && plan->stage->kind == NXW_STAGE_BOTTLE) {
        double liquid_W, capacity;
        nxw_liquid_enthalpy_rate(p, v->amount_mol, rate + NXW_T_LIQUID, T, &liquid_W, &capacity);
        rate[NXW_T_TEMPERATURE] = (heat_in - lost - liquid_W) / (capacity + plan->glass_J_K);
        rate[NXW_T_COUNT + NXW_E_HEAT_IN] = heat_in;
        rate[NXW_T_COUNT + NXW_E_HEAT_LOST] = lost;
    }
    if (plan->stage->bath == NXW_BATH_ICE_WATER)
        rate[NXW_T_BATH_HEAT] =
            (in->isothermal ? 0.0 : lost) +
            p->value[NXW_P_bath_room_UA] * (in->surroundings_temperature_K - v->bath_K);
}

/*
 * Where the escaping gas came from; nothing depends on these. What is taken carries its share away;
 * HNO2 that falls apart leaves the shares as they are. Counted as taken less than nothing, it and
 * an oxidation by a trace of oxygen below nothing would let a share grow by itself.
 */
static void trace(const struct nxw_stage_plan *plan, struct nxw_stage_view *v,
                  const struct nxw_gas_stream *inlet, const double *tank,
                  const double in_head[NXW_POOLS], double *rate)
{
    const double *S = v->sums, *head = tank + NXW_T_HEAD;
    const struct nxw_film_flux *J = &v->surface;
    double *ledger = rate + NXW_T_COUNT;
    const double oxidation = fmax(v->oxidation_mol_s, 0.0);
    const double formation = nxw_curve_positive(v->formation_mol_s, TRACE_MOL_S);
    const double falls_apart = nxw_curve_positive(-v->formation_mol_s, TRACE_MOL_S);
    const double NO_out = nxw_curve_positive(v->out[NXW_NO], TRACE_MOL_S);
    const double NO2_out = nxw_curve_positive(v->out[NXW_NO2], TRACE_MOL_S);
    const double given_back = nxw_film_NO_given_back(J), NO_taken = given_back + J->NO + J->N2O3;
    const double NO2_taken = nxw_curve_positive(J->NO2_hydrolysis + J->NO2_pool + J->N2O3,
                                                1e-3 * oxidation + TRACE_MOL_S);
    const double x = share(tank[NXW_T_RETURNED_NO], head[NXW_NO]);
    const double z = share(tank[NXW_T_REFORMED_NO2], head[NXW_NO2]);
    const double returned = fmin(fmax(x, 0.0), 1.0), reformed = fmin(fmax(z, 0.0), 1.0);
    const double through = in_head[NXW_NO2];
    const double NO_passed = nxw_curve_positive(in_head[NXW_NO] - S[NXW_S_RETURNED], TRACE_MOL_S);
    rate[NXW_T_RETURNED_NO] = S[NXW_S_RETURNED] + v->fizz_mol_s + given_back +
                              inlet->returned_share * NO_passed + returned * falls_apart -
                              x * (oxidation + formation + NO_out + NO_taken);
    rate[NXW_T_REFORMED_NO2] = oxidation +
                               inlet->reformed_share * nxw_curve_positive(through, TRACE_MOL_S) +
                               reformed * falls_apart - z * (formation + NO2_out + NO2_taken);
    ledger[NXW_E_OUT_RETURNED] = returned * NO_out;
    double spent = 0.0;
    if (plan->peroxide_start_mol > 0.0) {
        const double left = tank[NXW_T_LIQUID + NXW_L_H2O2] / (0.01 * plan->peroxide_start_mol);
        spent = 1.0 / (1.0 + left * left);
    }
    ledger[NXW_E_OUT_RETURNED_SPENT] = spent * returned * NO_out;
    ledger[NXW_E_OUT_REFORMED] = reformed * NO2_out;
    ledger[NXW_E_THROUGH] = through;
    ledger[NXW_E_THROUGH_LIQUID] = through * S[NXW_S_LIQUID_SHARE];
    v->outlet.returned_share = returned;
    v->outlet.reformed_share = reformed;
}

void nxw_stage_balance(const struct nxw_stage_plan *plan, struct nxw_stage_view *v,
                       const struct nxw_gas_stream *inlet, const double *tank, double *rate)
{
    double *ledger = rate + NXW_T_COUNT;
    double in_head[NXW_POOLS], change[NXW_POOLS];
    for (int i = 0; i < NXW_T_COUNT + NXW_E_COUNT; i++)
        rate[i] = 0.0;
    arriving(v, inlet, in_head);
    gas_change(v, in_head, change);
    for (int j = 0; j < NXW_POOLS; j++) {
        rate[NXW_T_HEAD + j] = change[j] - v->out[j];
        ledger[NXW_E_FED + j] = inlet->flow_mol_s * inlet->y[j];
        ledger[NXW_E_OUT + j] = v->out[j];
    }
    ledger[NXW_E_FIZZ] = v->fizz_mol_s;
    ledger[NXW_E_DRAWN_BACK] = v->out_mol_s < 0.0 ? -v->out_mol_s : 0.0;
    liquid_change(v, rate + NXW_T_LIQUID);
    heat(plan, v, tank, heat_from_gas(plan, v, inlet, tank[NXW_T_TEMPERATURE], in_head, change),
         rate);
    trace(plan, v, inlet, tank, in_head, rate);
}
