/* One bubble going up: the path from the tip to the surface, cut into slices. */
#include <math.h>
#include <string.h>

#include "curve.h"
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
    if (N < 0.02)
        return 0.5 - N * (1.0 / 12.0 - N * N / 720.0);
    return 1.0 / N - 1.0 / (exp(N) - 1.0);
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

/* What bubbles meet on their way, worked out once for all of them. */
struct path {
    const struct nxw_stage_plan *plan;
    const struct nxw_liquid *liquid;
    struct nxw_bubble_liquid fluid;
    struct nxw_kL_gas NO, NO2, HNO2;
    double inlet[NXW_POOLS];
    double bubbles_1_s, floor_m3, fresh_mol, fresh_m; /* content and diameter of a fresh bubble */
    double rise_m_s, plume_m_s; /* of a fresh bubble, and what the plume lends */
    double share[NXW_SLICES_MAX], height_m[NXW_SLICES_MAX], P_Pa[NXW_SLICES_MAX]; /* of a slice */
};

/* One bubble in one slice. */
struct bubble {
    double time_s, diameter_m, area_m2, volume_m3;
    double loss[NXW_PATH_POOLS]; /* mol/s */
    double sum[NXW_S_COUNT];     /* of all bubbles in the slice */
};

enum { LEAVING = NXW_PATH_POOLS + 1 };

static void prepare(const struct nxw_stage_plan *plan, const struct nxw_stage_view *v,
                    const struct nxw_gas_stream *inlet, struct path *path)
{
    const struct nxw_parameters *p = &plan->in->parameters;
    const struct nxw_liquid *l = &v->liquid;
    const struct nxw_chemistry *c = &l->c;
    path->plan = plan;
    path->liquid = l;
    memcpy(path->inlet, inlet->y, sizeof path->inlet);
    nxw_bubble_liquid_prepare(&l->fluid, 1.2, &path->fluid);
    nxw_kL_gas_prepare(&path->fluid, c->D_NO, &path->NO);
    nxw_kL_gas_prepare(&path->fluid, c->D_NO2, &path->NO2);
    nxw_kL_gas_prepare(&path->fluid, c->D_HNO2, &path->HNO2);
    const double floor_m = p->value[NXW_P_bubble_diameter_floor] * 1e-3, d = v->bubble_diameter_m;
    path->floor_m3 = floor_m * floor_m * floor_m;
    path->fresh_m = d;
    path->bubbles_1_s = v->bubbles_1_s;
    path->plume_m_s = nxw_plume_velocity_m_s(plan->plume, v->tip_gas_m3_s, v->depth_m);
    path->rise_m_s =
        nxw_rise_velocity_m_s(&path->fluid, d) * nxw_wall_factor(d / plan->stage->inner_diameter_m);

    const double weight_Pa_m = l->fluid.density_kg_m3 * NXW_GRAVITY_M_S2;
    const double curved_Pa = plan->pressure_Pa + 4.0 * l->fluid.surface_tension_N_m / d;
    path->fresh_mol = v->bubble_mol;
    for (size_t i = 0; i < plan->n_slices; i++) {
        const double bottom = i == 0 ? 0.0 : plan->top[i - 1], top = plan->top[i];
        path->share[i] = top - bottom;
        path->height_m[i] = p->value[NXW_P_factor_residence] * v->depth_m * path->share[i];
        path->P_Pa[i] = curved_Pa + weight_Pa_m * v->depth_m * (1.0 - 0.5 * (top + bottom));
    }
}

/* Transfer units of a slice for a bubble of content n: gas film for vapours, both films
 * and the reactions in the gas for NO2 and NO. */
static void transfer_units(const struct path *path, size_t slice, const double n[NXW_POOLS],
                           double N[NXW_POOLS])
{
    const struct nxw_case *in = path->plan->in;
    const double *p = in->parameters.value, P_Pa = path->P_Pa[slice];
    const struct nxw_chemistry *c = &path->liquid->c;
    double sum = 0.0;
    for (int j = 0; j < NXW_POOLS; j++)
        sum += n[j];
    sum = 0.5 * (sum + sqrt(sum * sum + 1e-6));
    const double RT = c->RT_J_mol, mol = path->fresh_mol * sum;
    const double d = cbrt(6.0 / NXW_PI * mol * RT / P_Pa + path->floor_m3);
    /* smaller ones rise more slowly, about in proportion */
    const double r = d / path->fresh_m;
    const double rise_m_s = path->rise_m_s * r * sqrt(2.0 / (1.0 + r * r));
    const double time_s = path->height_m[slice] / (rise_m_s + path->plume_m_s);
    const double area_time = NXW_PI * d * d * time_s * P_Pa / (mol * RT); /* over volume; s/m */
    const double kG = p[NXW_P_Sh_bubble] * p[NXW_P_factor_kG] / d * (NXW_ATMOSPHERE_PA / P_Pa);
    const double fixed_kG = in->bubble_kG_m_s;
    N[NXW_HNO2] = (fixed_kG > 0.0 ? fixed_kG : kG * c->D_air_m2_s[NXW_HNO2]) * area_time;
    N[NXW_HNO3] = (fixed_kG > 0.0 ? fixed_kG : kG * c->D_air_m2_s[NXW_HNO3]) * area_time;
    N[NXW_H2O] = kG * c->D_air_m2_s[NXW_H2O] * area_time;

    struct nxw_gas_pressures g;
    const double Pa = P_Pa / sum; /* per unit of content */
    const double p2 = fabs(n[NXW_NO2]) * Pa, p1 = fabs(n[NXW_NO]) * Pa;
    g.NO2_Pa = 2.0 * p2 / (1.0 + sqrt(1.0 + 8.0 * c->K_N2O4_1_Pa * p2));
    g.N2O4_Pa = c->K_N2O4_1_Pa * g.NO2_Pa * g.NO2_Pa;
    const double mobile = p[NXW_P_factor_kL] * sqrt(path->rise_m_s / d);
    const double kL_NO2 = mobile * path->NO2.mobile_m_s_half;
    const double kL_NO = mobile * path->NO.mobile_m_s_half;
    const double share_1 = 1.0 / (1.0 + c->K_N2O3_1_Pa * g.NO2_Pa);
    const double a3K3 =
        c->H_N2O3 * sqrt(c->k_N2O3_1_s * c->D_N2O3 + kL_NO * kL_NO) * c->K_N2O3_1_Pa * share_1;
    const double G2 = nxw_NO2_liquid_conductance(&g, path->liquid, kL_NO2) + a3K3 * p1;
    const double G1 = kL_NO * c->H_NO + a3K3 * g.NO2_Pa;
    /* high flux: the gas film over the log mean of 1 - y, one of them 1; that within 1 % to 1/10 */
    const double b = nxw_curve_positive(1.0 - (g.NO2_Pa + g.N2O4_Pa) / P_Pa, 5e-3);
    const double log_mean = (1.0 + 4.0 * sqrt(b) + b) / 6.0;
    const double g2 = kG * c->D_air_m2_s[NXW_NO2] / (RT * log_mean);
    const double g1 = kG * c->D_air_m2_s[NXW_NO] / RT;
    /* a dry bubble is wet soon */
    const double dry_Pa = fabs(n[NXW_H2O]) * Pa, wet_Pa = path->liquid->H2O_e_Pa;
    const double water_Pa = wet_Pa + nxw_curve_positive(dry_Pa - wet_Pa, 0.1 * wet_Pa);
    const double k_HNO2 = c->k_HNO2_gas_mol_m3_s_Pa3 * RT * water_Pa;
    const double k_NO2 = 2.0 * c->k_NO_oxidation_m6_mol2_s * p1 * fabs(n[NXW_O2]) * Pa / (RT * RT);
    N[NXW_NO2] = RT * area_time * g2 * G2 / (g2 + G2) + time_s * k_HNO2 * p1 * share_1;
    N[NXW_NO] =
        RT * area_time * g1 * G1 / (g1 + G1) + time_s * (k_HNO2 * g.NO2_Pa + k_NO2) * share_1;
}

/* ln(1 + x); most of the x here are small, and four terms are good to 2e-11. */
static double ln_1_plus(double x)
{
    if (fabs(x) < 1e-2)
        return x * (1.0 - x * (0.5 - x * (1.0 / 3.0 - 0.25 * x)));
    return log(1.0 + x);
}

/*
 * Weights of the content below. A bubble of soluble gas shrinks, and gives up faster as it does; so
 * the transfer units are those at the content that the weights themselves make: w (1 + 19.5 w^3) of
 * what comes from below. That meets the closed form of a bubble of one gas, n^(1/3) falling
 * linearly, within 3 %, exactly where all of it is taken within the slice: more would take more
 * than comes.
 *
 * Each pass leaves about the same part of the way to go, so that three tell where it ends.
 */
static double end_of_way(double w1, double w2, double w3)
{
    const double first = ln_1_plus(w2 / w1 - 1.0), second = ln_1_plus(w3 / w2 - 1.0);
    const double r = nxw_curve_limit(first * second / (first * first + 1e-6), -0.5, 0.7, 0.1);
    const double way = second * r / (1.0 - r);
    const double w =
        w3 * (fabs(way) < 1e-2 ? 1.0 + way * (1.0 + way * (0.5 + way / 6.0)) : exp(way));
    return w < 0.5 ? w : 0.5;
}

static void weights(const struct path *path, double (*below)[NXW_POOLS], double (*w)[NXW_POOLS])
{
    const size_t n_slices = path->plan->n_slices;
    double N[NXW_SLICES_MAX][NXW_POOLS], n[NXW_SLICES_MAX][NXW_POOLS];
    double pass_w[3][NXW_SLICES_MAX][NXW_POOLS];
    memcpy(n, below, n_slices * sizeof *n);
    for (int pass = 0; pass < 3; pass++) {
        for (size_t i = 0; i < n_slices; i++)
            transfer_units(path, i, n[i], N[i]);
        for (size_t i = 0; i < n_slices; i++)
            for (int j = NXW_NO; j <= NXW_HNO3; j++) {
                const double x = weight_below(N[i][j]);
                pass_w[pass][i][j] = x;
                n[i][j] = x * (1.0 + 19.5 * x * x * x) * below[i][j];
            }
    }
    for (size_t i = 0; i < n_slices; i++) {
        for (int j = NXW_NO; j <= NXW_HNO3; j++)
            w[i][j] = end_of_way(pass_w[0][i][j], pass_w[1][i][j], pass_w[2][i][j]);
        w[i][NXW_O2] = w[i][NXW_INERT] = 0.5;
        w[i][NXW_H2O] = weight_below(N[i][NXW_H2O]);
    }
}

/* What one bubble loses, and what all bubbles in the slice do to the tank. */
static void account(const struct path *path, size_t slice, const struct nxw_gas_pressures *g,
                    const struct nxw_film_flux *J, struct bubble *b)
{
    const struct nxw_chemistry *c = &path->liquid->c;
    const double area = b->area_m2;
    const double oxidation = nxw_NO_oxidation_mol_m3_s(c, g) * b->volume_m3;
    const double formation = nxw_HNO2_formation_mol_m3_s(c, g) * b->volume_m3;
    b->loss[NXW_NO] = (J->NO + J->N2O3) * area + oxidation + formation;
    b->loss[NXW_NO2] = (J->NO2_hydrolysis + J->NO2_pool + J->N2O3) * area - oxidation + formation;
    b->loss[NXW_HNO2] = J->HNO2 * area - 2.0 * formation;
    b->loss[NXW_HNO3] = J->HNO3 * area;
    b->loss[NXW_O2] = 0.5 * oxidation;
    b->loss[NXW_H2O] = J->H2O * area + formation;

    const double bubbles = path->bubbles_1_s * b->time_s; /* in this slice now */
    b->sum[NXW_S_NO] = bubbles * area * J->NO;
    b->sum[NXW_S_N2O3] = bubbles * area * J->N2O3;
    b->sum[NXW_S_HYDROLYSIS] = bubbles * area * J->NO2_hydrolysis;
    b->sum[NXW_S_POOL] = bubbles * area * J->NO2_pool;
    b->sum[NXW_S_HNO2] = bubbles * area * J->HNO2;
    b->sum[NXW_S_HNO3] = bubbles * area * J->HNO3;
    b->sum[NXW_S_H2O] = bubbles * area * J->H2O;
    b->sum[NXW_S_OXIDATION] = bubbles * oxidation;
    b->sum[NXW_S_HNO2_FORMATION] = bubbles * formation;
    b->sum[NXW_S_RETURNED] = bubbles * area * nxw_film_NO_given_back(J);
    b->sum[NXW_S_LIQUID_SHARE] = path->share[slice] * J->liquid_share;
    b->sum[NXW_S_DIMER_J_MOL] = 0.0; /* of the topmost slice alone, from what leaves it */
}

/* Mean contents of the slices, and the weights of what comes from below. */
static void means(const struct path *path, double (*below)[NXW_POOLS], double (*own)[NXW_POOLS],
                  double (*w)[NXW_POOLS], double (*n)[NXW_POOLS])
{
    weights(path, below, w);
    for (size_t i = 0; i < path->plan->n_slices; i++)
        for (int j = 0; j < NXW_POOLS; j++)
            n[i][j] = w[i][j] * below[i][j] + (1.0 - w[i][j]) * own[i][j];
}

/* A bubble of content n in the mean of its slice: how long it is there, what it loses. */
static void exchange(const struct path *path, double (*mean)[NXW_POOLS], struct bubble *out)
{
    const struct nxw_case *in = path->plan->in;
    const double *p = in->parameters.value;
    const struct nxw_liquid *l = path->liquid;
    const struct nxw_chemistry *c = &l->c;
    const size_t n_slices = path->plan->n_slices;
    struct nxw_gas_pressures g[NXW_SLICES_MAX];
    struct nxw_film_coefficients k[NXW_SLICES_MAX];
    struct nxw_film_flux J[NXW_SLICES_MAX];
    double n[NXW_SLICES_MAX][NXW_POOLS];
    memcpy(n, mean, n_slices * sizeof *n);
    for (size_t i = 0; i < n_slices; i++)
        keep_gas(n[i]);
    nxw_gas_speciate_all(c, n_slices, n, path->P_Pa, g);
    for (size_t i = 0; i < n_slices; i++) {
        const double V = path->fresh_mol * g[i].volume_m3;
        const double d = cbrt(6.0 / NXW_PI * V + path->floor_m3);
        const double u = nxw_rise_velocity_m_s(&path->fluid, d) *
                         nxw_wall_factor(d / path->plan->stage->inner_diameter_m);
        out[i].diameter_m = d;
        out[i].area_m2 = NXW_PI * d * d;
        out[i].volume_m3 = V;
        out[i].time_s = path->height_m[i] / (u + path->plume_m_s);
        const double Sh_d =
            p[NXW_P_Sh_bubble] * p[NXW_P_factor_kG] / d * (NXW_ATMOSPHERE_PA / path->P_Pa[i]);
        for (int j = 0; j < NXW_POOLS; j++)
            k[i].kG[j] = in->bubble_kG_m_s > 0.0 ? in->bubble_kG_m_s : Sh_d * c->D_air_m2_s[j];
        if (!(in->bubble_kG_m_s > 0.0))
            k[i].kG[NXW_NO2] = Sh_d * nxw_NO2_pool_diffusivity(c, &g[i]);
        struct nxw_kL_bubble bubble;
        nxw_kL_bubble_prepare(&path->fluid, d, u, p[NXW_P_kL_blend_diameter] * 1e-3, &bubble);
        k[i].kL_NO = p[NXW_P_factor_kL] * nxw_kL_of_m_s(&path->NO, &bubble);
        k[i].kL_NO2 = p[NXW_P_factor_kL] * nxw_kL_of_m_s(&path->NO2, &bubble);
        k[i].kL_HNO2 = p[NXW_P_factor_kL] * nxw_kL_of_m_s(&path->HNO2, &bubble);
    }
    nxw_film_flux_all(n_slices, g, l, k, c->RT_J_mol, J);
    for (size_t i = 0; i < n_slices; i++)
        account(path, i, &g[i], &J[i], &out[i]);
}

/* The state beside what comes from below: both with all pools. */
static void contents(const struct path *path, const double *state, double (*below)[NXW_POOLS],
                     double (*own)[NXW_POOLS])
{
    memcpy(below[0], path->inlet, sizeof path->inlet);
    for (size_t i = 0; i < path->plan->n_slices; i++) {
        memcpy(own[i], state + i * NXW_PATH_POOLS, NXW_PATH_POOLS * sizeof *state);
        own[i][NXW_INERT] = path->inlet[NXW_INERT];
        if (i > 0)
            memcpy(below[i], own[i - 1], sizeof own[i]);
    }
}

/* Enthalpy of the N2O4 and N2O3 in gases that leave the topmost slice, per mol entering. */
static void leaving_dimers(const struct path *path, size_t count, double (*n)[NXW_POOLS],
                           double *J_mol)
{
    double P_Pa[LEAVING] = {0.0};
    struct nxw_gas_pressures g[LEAVING];
    for (size_t i = 0; i < count; i++) {
        keep_gas(n[i]);
        P_Pa[i] = path->plan->pressure_Pa;
    }
    nxw_gas_speciate_all(&path->liquid->c, count, n, P_Pa, g);
    for (size_t i = 0; i < count; i++)
        J_mol[i] = nxw_gas_dimer_enthalpy(&path->plan->in->parameters, &g[i], path->liquid->c.T_K);
}

/*
 *   0 = (n_j,below - n_j)/tau(d) - J_j pi d^2 + gas reactions in the bubble
 *   d = (6 V/pi)^(1/3), V from the molecules inside, T and the local pressure
 *
 * met by letting n_j settle (above). J and reactions at the slice's mean content. Times bubbles per
 * second and residence: what the liquid receives.
 */
void nxw_stage_path(const struct nxw_stage_plan *plan, struct nxw_stage_view *v,
                    const struct nxw_gas_stream *inlet, const double *state, double *rate,
                    double (*slice_sums)[NXW_S_COUNT])
{
    const size_t n_slices = plan->n_slices;
    if (n_slices == 0)
        return;
    struct path path;
    double below[NXW_SLICES_MAX][NXW_POOLS], own[NXW_SLICES_MAX][NXW_POOLS];
    double w[NXW_SLICES_MAX][NXW_POOLS], n[NXW_SLICES_MAX][NXW_POOLS];
    struct bubble b[NXW_SLICES_MAX];
    prepare(plan, v, inlet, &path);
    contents(&path, state, below, own);
    means(&path, below, own, w, n);
    exchange(&path, n, b);
    v->residence_s = 0.0;
    for (size_t i = 0; i < n_slices; i++) {
        for (int j = 0; j < NXW_PATH_POOLS; j++)
            rate[i * NXW_PATH_POOLS + (size_t)j] =
                SETTLES_FASTER *
                ((below[i][j] - own[i][j]) / b[i].time_s - b[i].loss[j] / path.fresh_mol);
        memcpy(slice_sums[i], b[i].sum, sizeof b[i].sum);
        v->residence_s += b[i].time_s;
    }
    v->bubble_out_diameter_m = b[n_slices - 1].diameter_m;
    leaving_dimers(&path, 1, &own[n_slices - 1], &slice_sums[n_slices - 1][NXW_S_DIMER_J_MOL]);
}

/* -------------------------------------------------------------------------------- derivatives
 *
 * A slice knows its contents only through their mean n = w below + (1 - w) own, w by what is
 * below. So one difference by each pool of n, and one of n by each pool below, give all columns.
 */

/* What one pool of the mean does: to the rates at given contents, and to the sums. */
struct slope {
    double rate[NXW_PATH_POOLS], sum[NXW_S_COUNT];
};

/* slope[slice][pool of n]; n comes back as it was. */
static void slopes_with_mean(const struct path *path, double (*below)[NXW_POOLS],
                             double (*own)[NXW_POOLS], double (*n)[NXW_POOLS],
                             const struct bubble *base, const double *least,
                             struct slope (*slope)[NXW_PATH_POOLS])
{
    const size_t n_slices = path->plan->n_slices;
    for (size_t k = 0; k < NXW_PATH_POOLS; k++) {
        double old[NXW_SLICES_MAX], step[NXW_SLICES_MAX];
        struct bubble moved[NXW_SLICES_MAX];
        for (size_t i = 0; i < n_slices; i++) {
            old[i] = n[i][k];
            n[i][k] += nxw_small_step(old[i], least[i * NXW_PATH_POOLS + k]);
            step[i] = n[i][k] - old[i];
        }
        exchange(path, n, moved);
        for (size_t i = 0; i < n_slices; i++) {
            n[i][k] = old[i];
            const double faster = (1.0 / moved[i].time_s - 1.0 / base[i].time_s) / step[i];
            for (int r = 0; r < NXW_PATH_POOLS; r++)
                slope[i][k].rate[r] = SETTLES_FASTER * ((below[i][r] - own[i][r]) * faster -
                                                        (moved[i].loss[r] - base[i].loss[r]) /
                                                            step[i] / path->fresh_mol);
            for (int r = 0; r < NXW_S_COUNT; r++)
                slope[i][k].sum[r] = (moved[i].sum[r] - base[i].sum[r]) / step[i];
        }
    }
}

/* The topmost slice: dimers that leave, by each pool in it. */
static void slopes_of_dimers(const struct path *path, const double own[NXW_POOLS],
                             const double *least, double (*sum)[NXW_S_COUNT])
{
    double n[LEAVING][NXW_POOLS], step[LEAVING], J_mol[LEAVING];
    for (size_t k = 0; k < LEAVING; k++)
        memcpy(n[k], own, sizeof n[k]);
    for (size_t k = 0; k < NXW_PATH_POOLS; k++) {
        n[k][k] += nxw_small_step(own[k], least[k]);
        step[k] = n[k][k] - own[k];
    }
    leaving_dimers(path, LEAVING, n, J_mol);
    for (size_t k = 0; k < NXW_PATH_POOLS; k++)
        sum[k][NXW_S_DIMER_J_MOL] = (J_mol[k] - J_mol[NXW_PATH_POOLS]) / step[k];
}

void nxw_stage_path_slopes(const struct nxw_stage_plan *plan, const struct nxw_stage_view *v,
                           const struct nxw_gas_stream *inlet, const double *state,
                           const double *least, double (*by_own)[NXW_PATH_POOLS][NXW_PATH_POOLS],
                           double (*by_below)[NXW_PATH_POOLS][NXW_PATH_POOLS],
                           double (*sum)[NXW_PATH_POOLS][NXW_S_COUNT])
{
    const size_t n_slices = plan->n_slices;
    if (n_slices == 0)
        return;
    struct path path;
    double below[NXW_SLICES_MAX][NXW_POOLS], own[NXW_SLICES_MAX][NXW_POOLS];
    double w[NXW_SLICES_MAX][NXW_POOLS], n[NXW_SLICES_MAX][NXW_POOLS];
    struct bubble base[NXW_SLICES_MAX];
    struct slope slope[NXW_SLICES_MAX][NXW_PATH_POOLS];
    prepare(plan, v, inlet, &path);
    contents(&path, state, below, own);
    means(&path, below, own, w, n);
    exchange(&path, n, base);
    slopes_with_mean(&path, below, own, n, base, least, slope);
    for (size_t i = 0; i < n_slices; i++)
        for (int j = 0; j < NXW_PATH_POOLS; j++) {
            for (int r = 0; r < NXW_PATH_POOLS; r++)
                by_own[i][j][r] = (1.0 - w[i][j]) * slope[i][j].rate[r];
            for (int r = 0; r < NXW_S_COUNT; r++)
                sum[i][j][r] = (1.0 - w[i][j]) * slope[i][j].sum[r];
            by_own[i][j][j] -= SETTLES_FASTER / base[i].time_s;
        }
    for (size_t j = 0; j < NXW_PATH_POOLS; j++) {
        double step[NXW_SLICES_MAX], moved_w[NXW_SLICES_MAX][NXW_POOLS];
        double moved[NXW_SLICES_MAX][NXW_POOLS];
        for (size_t i = 1; i < n_slices; i++) {
            const double old = below[i][j];
            below[i][j] += nxw_small_step(old, least[(i - 1) * NXW_PATH_POOLS + j]);
            step[i] = below[i][j] - old;
        }
        means(&path, below, own, moved_w, moved);
        for (size_t i = 1; i < n_slices; i++) {
            below[i][j] = own[i - 1][j];
            memset(by_below[i][j], 0, sizeof by_below[i][j]);
            by_below[i][j][j] = SETTLES_FASTER / base[i].time_s;
            for (int k = 0; k < NXW_PATH_POOLS; k++) {
                const double dn = (moved[i][k] - n[i][k]) / step[i];
                for (int r = 0; r < NXW_PATH_POOLS; r++)
                    by_below[i][j][r] += dn * slope[i][k].rate[r];
                for (int r = 0; r < NXW_S_COUNT; r++)
                    sum[i - 1][j][r] += dn * slope[i][k].sum[r];
            }
        }
    }
    slopes_of_dimers(&path, own[n_slices - 1], least + (n_slices - 1) * NXW_PATH_POOLS,
                     sum[n_slices - 1]);
}
