/* One bubble going up: the path from the tip to the surface, cut into slices. */
#include <math.h>
#include <string.h>

#include "reaction_hno2_formation_gas.h"
#include "reaction_no2_hydrolysis.h"
#include "reaction_no_oxidation.h"
#include "stage.h"

/*
 * Weight of the content below in a slice's mean content, for N transfer units in the slice:
 * with w = 1/N - 1/(e^N - 1) a first-order uptake leaves the slice as e^-N, exactly, and a
 * content never turns negative however long the slice.
 */
static double weight_below(double N)
{
    if (N < 1e-3)
        return 0.5 - N / 12.0;
    return 1.0 / N - 1.0 / expm1(N);
}

/* How far a content lies below zero, more than a trace; its slope bends gently. */
static double missing(double n)
{
    const double x = -n - 1e-4;
    return x > 0.0 ? x * x / (x + 1e-3) : 0.0;
}

/* An inert trace keeps the gas a gas when everything dissolves, also beside what lies below zero:
 * the sum stays above 5e-4 of a fresh bubble and, where much lies below zero, above that, smoothly.
 */
static void keep_gas(double n[NXW_POOLS])
{
    double sum = 0.0, below = 0.0;
    for (int j = 0; j < NXW_POOLS; j++) {
        sum += n[j];
        below += 2.0 * missing(n[j]);
    }
    sum += below;
    n[NXW_INERT] += 1e-6 + below + 0.5 * (sqrt(sum * sum + 1e-6) - sum);
}

/*
 * The headspace is given what enters less what the liquid takes, at once: no gas counts as on its
 * way. So the contents must follow what enters at once too. With a bubble's own time of rise they
 * lag, and what the liquid still takes of a feed that has just ended was charged to the headspace,
 * which went below nothing by what is in flight. They settle this many times faster; where they
 * settle, and so what a steady feed loses, is the same.
 */
static const double SETTLES_FASTER = 30.0;

struct slice {
    double height_m, P_Pa;
    double fresh_mol, fresh_m;  /* content and diameter of a fresh bubble */
    double rise_m_s, plume_m_s; /* of a fresh bubble, and what the plume lends */
};

/* Transfer units of the slice for a bubble of content n: gas film for vapours, both films
 * and the reactions in the gas for NO2 and NO. */
static void transfer_units(const struct nxw_stage_plan *plan, const struct nxw_stage_view *v,
                           const struct slice *s, const double n[NXW_POOLS], double N[NXW_POOLS])
{
    const struct nxw_parameters *p = &plan->in->parameters;
    const struct nxw_chemistry *c = &v->liquid.c;
    double sum = 0.0;
    for (int j = 0; j < NXW_POOLS; j++)
        sum += n[j];
    sum = 0.5 * (sum + sqrt(sum * sum + 1e-6));
    const double floor_m = p->value[NXW_P_bubble_diameter_floor] * 1e-3, RT = c->RT_J_mol;
    const double mol = s->fresh_mol * sum;
    const double d = cbrt(6.0 / NXW_PI * mol * RT / s->P_Pa + floor_m * floor_m * floor_m);
    /* smaller ones rise more slowly, about in proportion */
    const double r = d / s->fresh_m;
    const double time_s =
        s->height_m / (s->rise_m_s * r * sqrt(2.0 / (1.0 + r * r)) + s->plume_m_s);
    const double area_time = NXW_PI * d * d * time_s * s->P_Pa / (mol * RT); /* over volume; s/m */
    const double kG =
        p->value[NXW_P_Sh_bubble] * p->value[NXW_P_factor_kG] / d * (NXW_ATMOSPHERE_PA / s->P_Pa);
    const double fixed_kG = plan->in->bubble_kG_m_s;
    N[NXW_HNO2] = (fixed_kG > 0.0 ? fixed_kG : kG * c->D_air_m2_s[NXW_HNO2]) * area_time;
    N[NXW_HNO3] = (fixed_kG > 0.0 ? fixed_kG : kG * c->D_air_m2_s[NXW_HNO3]) * area_time;
    N[NXW_H2O] = kG * c->D_air_m2_s[NXW_H2O] * area_time;

    struct nxw_gas_pressures g;
    const double Pa = s->P_Pa / sum; /* per unit of content */
    const double p2 = fabs(n[NXW_NO2]) * Pa, p1 = fabs(n[NXW_NO]) * Pa;
    g.NO2_Pa = 2.0 * p2 / (1.0 + sqrt(1.0 + 8.0 * c->K_N2O4_1_Pa * p2));
    g.N2O4_Pa = c->K_N2O4_1_Pa * g.NO2_Pa * g.NO2_Pa;
    const double a3K3 = c->H_N2O3 * sqrt(c->k_N2O3_1_s * c->D_N2O3) * c->K_N2O3_1_Pa;
    const double kL = 2.0 * sqrt(c->D_NO2 * 0.2 / (NXW_PI * d));
    const double share_1 = 1.0 / (1.0 + c->K_N2O3_1_Pa * g.NO2_Pa);
    const double G2 = nxw_NO2_liquid_conductance(&g, &v->liquid, kL) + a3K3 * p1 * share_1;
    const double G1 = kL * c->H_NO + a3K3 * g.NO2_Pa * share_1;
    const double g2 = kG * c->D_air_m2_s[NXW_NO2] / RT, g1 = kG * c->D_air_m2_s[NXW_NO] / RT;
    const double k_HNO2 = c->k_HNO2_gas_mol_m3_s_Pa3 * RT * fabs(n[NXW_H2O]) * Pa;
    const double k_NO2 = 2.0 * c->k_NO_oxidation_m6_mol2_s * p1 * fabs(n[NXW_O2]) * Pa / (RT * RT);
    N[NXW_NO2] = RT * area_time * g2 * G2 / (g2 + G2) + time_s * k_HNO2 * p1 * share_1;
    N[NXW_NO] =
        RT * area_time * g1 * G1 / (g1 + G1) + time_s * (k_HNO2 * g.NO2_Pa + k_NO2) * share_1;
}

/*
 * Weights of the content below. A bubble of soluble gas shrinks, and gives up faster as it does; so
 * the transfer units are those at a content that the weights themselves make: (2 w)^2 (1.5 - w) of
 * what comes from below. That meets the closed form of a bubble of one gas, n^(1/3) falling
 * linearly, within 0.02 in w, and keeps the content above positive however fast the uptake.
 */
static void weights(const struct nxw_stage_plan *plan, const struct nxw_stage_view *v,
                    const struct slice *s, const double *below, double w[NXW_POOLS])
{
    double N[NXW_POOLS], n[NXW_POOLS];
    for (int j = 0; j < NXW_POOLS; j++)
        n[j] = below[j];
    w[NXW_O2] = w[NXW_INERT] = 0.5;
    for (int pass = 0; pass < 2; pass++) {
        transfer_units(plan, v, s, n, N);
        w[NXW_NO] = weight_below(N[NXW_NO]);
        w[NXW_NO2] = weight_below(N[NXW_NO2]);
        w[NXW_HNO2] = weight_below(N[NXW_HNO2]);
        w[NXW_HNO3] = weight_below(N[NXW_HNO3]);
        for (int j = NXW_NO; j <= NXW_HNO3; j++)
            n[j] = 4.0 * w[j] * w[j] * (1.5 - w[j]) * below[j];
    }
    w[NXW_H2O] = weight_below(N[NXW_H2O]);
}

/*
 *   0 = (n_j,below - n_j)/tau(d) - J_j pi d^2 + gas reactions in the bubble
 *   d = (6 V/pi)^(1/3), V from the molecules inside, T and the local pressure
 *
 * met by letting n_j settle (above). J and reactions at the slice's mean content. Times bubbles per
 * second and residence: what the liquid receives.
 */
void nxw_stage_path(const struct nxw_stage_plan *plan, struct nxw_stage_view *v,
                    const struct nxw_gas_stream *inlet, const double *path, double *path_rate,
                    double (*slice_sums)[NXW_S_COUNT])
{
    const struct nxw_parameters *p = &plan->in->parameters;
    const struct nxw_liquid *l = &v->liquid;
    const struct nxw_chemistry *c = &l->c;
    if (plan->n_slices == 0)
        return;
    struct nxw_bubble_liquid fluid;
    nxw_bubble_liquid_prepare(&l->fluid, 1.2, &fluid);
    struct nxw_kL_gas NO, NO2, HNO2;
    nxw_kL_gas_prepare(&fluid, c->D_NO, &NO);
    nxw_kL_gas_prepare(&fluid, c->D_NO2, &NO2);
    nxw_kL_gas_prepare(&fluid, c->D_HNO2, &HNO2);
    const double floor_m = p->value[NXW_P_bubble_diameter_floor] * 1e-3;
    const double blend_m = p->value[NXW_P_kL_blend_diameter] * 1e-3;
    const double fresh_m3 =
        NXW_PI / 6.0 * v->bubble_diameter_m * v->bubble_diameter_m * v->bubble_diameter_m;
    const double plume = nxw_plume_velocity_m_s(plan->plume, v->tip_gas_m3_s, v->depth_m);
    const double factor_kL = p->value[NXW_P_factor_kL];
    const double factor_tau = p->value[NXW_P_factor_residence];
    struct nxw_gas_pressures fresh;
    const double P_tip = plan->pressure_Pa +
                         l->fluid.density_kg_m3 * NXW_GRAVITY_M_S2 * v->depth_m +
                         4.0 * l->fluid.surface_tension_N_m / v->bubble_diameter_m;
    nxw_gas_speciate(c, inlet->y, P_tip, &fresh);
    const double fresh_mol = fresh_m3 / fresh.volume_m3; /* pools, since y sums to one */
    struct slice s = {.fresh_mol = fresh_mol, .fresh_m = v->bubble_diameter_m, .plume_m_s = plume};
    s.rise_m_s = nxw_rise_velocity_m_s(&fluid, s.fresh_m) *
                 nxw_wall_factor(s.fresh_m / plan->stage->inner_diameter_m);

    double below[NXW_POOLS];
    memcpy(below, inlet->y, sizeof below);
    for (size_t i = 0; i < plan->n_slices; i++) {
        const double *content = path + i * NXW_PATH_POOLS;
        double *rate = path_rate + i * NXW_PATH_POOLS, *sum = slice_sums[i];
        double own[NXW_POOLS];
        memcpy(own, content, NXW_PATH_POOLS * sizeof *own);
        own[NXW_INERT] = inlet->y[NXW_INERT];
        const double bottom = i == 0 ? 0.0 : plan->top[i - 1];
        const double share = plan->top[i] - bottom;
        const double head_m = v->depth_m * (1.0 - 0.5 * (plan->top[i] + bottom));
        s.P_Pa = plan->pressure_Pa + l->fluid.density_kg_m3 * NXW_GRAVITY_M_S2 * head_m +
                 4.0 * l->fluid.surface_tension_N_m / v->bubble_diameter_m;
        s.height_m = factor_tau * v->depth_m * share;

        double w[NXW_POOLS], n[NXW_POOLS];
        weights(plan, v, &s, below, w);
        for (int j = 0; j < NXW_POOLS; j++)
            n[j] = w[j] * below[j] + (1.0 - w[j]) * own[j];
        keep_gas(n);

        struct nxw_gas_pressures g;
        nxw_gas_speciate(c, n, s.P_Pa, &g);
        const double V = fresh_mol * g.volume_m3;
        const double d = cbrt(6.0 / NXW_PI * V + floor_m * floor_m * floor_m);
        const double u =
            nxw_rise_velocity_m_s(&fluid, d) * nxw_wall_factor(d / plan->stage->inner_diameter_m);
        const double tau = s.height_m / (u + plume);
        v->residence_s = (i == 0 ? 0.0 : v->residence_s) + tau;
        v->bubble_out_diameter_m = d;
        const double area = NXW_PI * d * d;

        struct nxw_film_coefficients k;
        const double Sh_d = p->value[NXW_P_Sh_bubble] * p->value[NXW_P_factor_kG] / d *
                            (NXW_ATMOSPHERE_PA / s.P_Pa);
        for (int j = 0; j < NXW_POOLS; j++)
            k.kG[j] = Sh_d * c->D_air_m2_s[j];
        k.kG[NXW_NO2] = Sh_d * nxw_NO2_pool_diffusivity(c, &g);
        for (int j = 0; plan->in->bubble_kG_m_s > 0.0 && j < NXW_POOLS; j++)
            k.kG[j] = plan->in->bubble_kG_m_s;
        struct nxw_kL_bubble bubble;
        nxw_kL_bubble_prepare(&fluid, d, u, blend_m, &bubble);
        k.kL_NO = factor_kL * nxw_kL_of_m_s(&NO, &bubble);
        k.kL_NO2 = factor_kL * nxw_kL_of_m_s(&NO2, &bubble);
        k.kL_HNO2 = factor_kL * nxw_kL_of_m_s(&HNO2, &bubble);
        struct nxw_film_flux J;
        nxw_film_flux(&g, l, &k, c->RT_J_mol, &J);

        const double oxidation = nxw_NO_oxidation_mol_m3_s(c, &g) * V;
        const double formation = nxw_HNO2_formation_mol_m3_s(c, &g) * V;
        double loss[NXW_PATH_POOLS];
        loss[NXW_NO] = (J.NO + J.N2O3) * area + oxidation + formation;
        loss[NXW_NO2] = (J.NO2_hydrolysis + J.NO2_pool + J.N2O3) * area - oxidation + formation;
        loss[NXW_HNO2] = J.HNO2 * area - 2.0 * formation;
        loss[NXW_HNO3] = J.HNO3 * area;
        loss[NXW_O2] = 0.5 * oxidation;
        loss[NXW_H2O] = J.H2O * area + formation;
        for (int j = 0; j < NXW_PATH_POOLS; j++)
            rate[j] = SETTLES_FASTER * ((below[j] - own[j]) / tau - loss[j] / fresh_mol);

        const double bubbles = v->bubbles_1_s * tau; /* in this slice now */
        sum[NXW_S_NO] = bubbles * area * J.NO;
        sum[NXW_S_N2O3] = bubbles * area * J.N2O3;
        sum[NXW_S_HYDROLYSIS] = bubbles * area * J.NO2_hydrolysis;
        sum[NXW_S_POOL] = bubbles * area * J.NO2_pool;
        sum[NXW_S_HNO2] = bubbles * area * J.HNO2;
        sum[NXW_S_HNO3] = bubbles * area * J.HNO3;
        sum[NXW_S_H2O] = bubbles * area * J.H2O;
        sum[NXW_S_OXIDATION] = bubbles * oxidation;
        sum[NXW_S_HNO2_FORMATION] = bubbles * formation;
        sum[NXW_S_RETURNED] = bubbles * area * nxw_film_NO_given_back(&J);
        sum[NXW_S_LIQUID_SHARE] = share * J.liquid_share;
        sum[NXW_S_DIMER_J_MOL] = 0.0;
        if (i + 1 == plan->n_slices) {
            double out[NXW_POOLS];
            struct nxw_gas_pressures top;
            for (int j = 0; j < NXW_POOLS; j++)
                out[j] = own[j];
            keep_gas(out);
            nxw_gas_speciate(c, out, plan->pressure_Pa, &top);
            sum[NXW_S_DIMER_J_MOL] = nxw_gas_dimer_enthalpy(p, &top, c->T_K);
        }
        memcpy(below, own, sizeof own);
    }
}
