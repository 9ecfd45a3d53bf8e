/* One bubble going up: the path from the tip to the surface, cut into slices. */
#include <math.h>
#include <string.h>

#include "base/curve.h"
#include "reactions/hno2_formation_gas.h"
#include "reactions/no_oxidation.h"
#include "stage/bubble.h"
#include "stage/slice_weights.h"

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
 * which went below nothing by what is in flight. They settle faster (nxw_stage_plan); where they
 * settle, and so what a steady feed loses, is the same.
 */

/* In fresh bubbles: less is left to the weights. */
static const double TRACE_OF_NO = 1e-4, TRACE_OF_BOTH = 5e-3;

/* One bubble in one slice. */
struct bubble {
    double slice_s, time_s; /* there from end to end; and until it ends */
    double diameter_m, area_m2, volume_m3;
    struct nxw_gas_pressures gas; /* in the mean */
    struct nxw_film_flux J;
    double loss[NXW_PATH_POOLS]; /* mol/s */
    double sum[NXW_S_COUNT];     /* of all bubbles in the slice; the first ones grow with time_s */
};

/*
 * Share of a slice within which what comes is taken up whole. Weights of the slices leave a little
 * more than all, which would be taken beyond what comes. Of traces they do not: what comes is left
 * to them from there on down, by its fourth power.
 */
static double until_gone(double comes, double taken, double trace)
{
    static const double ALL = 0.9, ROUNDED = 0.1;
    if (comes <= 0.0 || taken <= ALL * comes)
        return 1.0;
    const double x = taken / comes, end = ALL + ROUNDED * tanh((x - ALL) / ROUNDED);
    const double much = comes * comes / (trace * trace), all = much * much;
    return (1.0 + all * end / x) / (1.0 + all);
}

enum { LEAVING = NXW_PATH_POOLS + 1 };

/*
 * Slices grow from the tip, where the gas is richest and uptake steepest: their height is an
 * exponential along the way, at the surface 1.5 + 1e-4 m2/s t/d^2 y/(y + 0.1) times that at the
 * tip; t is the time of rise of a fresh bubble, y its share of NO and NO2. Transfer units of rich
 * gas go about so, too: that of fine bubbles, nearly all taken up in the first tenths of the way,
 * is followed there. Dilute gas is held up by the liquid and goes all along the way.
 */
static void cut(struct nxw_path *path, double depth_m)
{
    const size_t n_slices = path->plan->n_slices;
    const double time_s = depth_m / (path->rise_m_s + path->plume_m_s);
    const double y = nxw_curve_positive(path->inlet[NXW_NO] + path->inlet[NXW_NO2], 1e-3);
    const double at_surface = 1.5 + 1e-4 * time_s / (path->fresh_m * path->fresh_m) * y / (y + 0.1);
    const double growth = exp(log(at_surface) / (double)n_slices);
    double all = 0.0, share = 1.0;
    for (size_t i = 0; i < n_slices; i++) {
        path->share[i] = share;
        all += share;
        share *= growth;
    }
    for (size_t i = 0; i < n_slices; i++)
        path->share[i] /= all;
}

static void prepare(const struct nxw_stage_plan *plan, const struct nxw_stage_view *v,
                    const struct nxw_gas_stream *inlet, struct nxw_path *path)
{
    const struct nxw_parameters *p = &plan->in->parameters;
    const struct nxw_liquid *l = &v->liquid;
    const struct nxw_chemistry *c = &l->c;
    path->plan = plan;
    path->liquid = l;
    memcpy(path->inlet, inlet->y, sizeof path->inlet);
    /* without gas there is no bubble, and its contents stand still: they do not matter, but of gas
     * that all dissolves they would keep the steps short */
    const double flow = fabs(inlet->flow_mol_s);
    path->faster = plan->settles_faster * flow / (flow + 1e-9);
    nxw_bubble_liquid_prepare(&l->fluid, 1.2, &path->fluid);
    nxw_kL_gas_prepare(&path->fluid, c->D_NO, &path->NO);
    nxw_kL_gas_prepare(&path->fluid, c->D_NO2, &path->NO2);
    nxw_kL_gas_prepare(&path->fluid, c->D_HNO2, &path->HNO2);
    const double floor_m = p->value[NXW_P_bubble_diameter_floor] * 1e-3, d = v->bubble_diameter_m;
    path->floor_m3 = floor_m * floor_m * floor_m;
    path->fresh_m = d;
    path->bubbles_1_s = v->bubbles_1_s;
    path->plume_m_s = nxw_plume_velocity_m_s(plan->plume, v->tip_gas_m3_s, v->depth_m);
    path->rise_m_s = nxw_rise_between_walls_m_s(&path->fluid, d, plan->stage->inner_diameter_m);

    const double weight_Pa_m = l->fluid.density_kg_m3 * NXW_GRAVITY_M_S2;
    const double curved_Pa = plan->pressure_Pa + 4.0 * l->fluid.surface_tension_N_m / d;
    path->fresh_mol = v->bubble_mol;
    cut(path, v->depth_m);
    double above = 1.0;
    for (size_t i = 0; i < plan->n_slices; i++) {
        path->height_m[i] = p->value[NXW_P_factor_residence] * v->depth_m * path->share[i];
        path->P_Pa[i] = curved_Pa + weight_Pa_m * v->depth_m * (above - 0.5 * path->share[i]);
        above -= path->share[i];
    }
}

/*
 * What one bubble loses, and what all bubbles in the slice do to the tank. NO that NO2 takes along
 * as N2O3 goes as fast as NO2 is rich, which the weights do not foresee for NO: where it is gone
 * before the end of the slice, what takes it ends there. So does a bubble that is taken up whole.
 */
static void account(const struct nxw_path *path, size_t slice, const double below[NXW_POOLS],
                    struct bubble *b)
{
    const struct nxw_chemistry *c = &path->liquid->c;
    const struct nxw_film_flux *J = &b->J;
    const double area = b->area_m2, slices = b->slice_s / path->fresh_mol;
    double NO = J->NO * area, N2O3 = J->N2O3 * area;
    double oxidation = nxw_NO_oxidation_mol_m3_s(c, &b->gas) * b->volume_m3;
    double formation = nxw_HNO2_formation_mol_m3_s(c, &b->gas) * b->volume_m3;
    const double others = NO + oxidation + formation;
    const double unforeseen = N2O3 * N2O3 / (N2O3 * N2O3 + others * others + 1e-60);
    const double share =
        1.0 - unforeseen * (1.0 - until_gone(below[NXW_NO], (N2O3 + others) * slices, TRACE_OF_NO));
    NO *= share;
    N2O3 *= share;
    oxidation *= share;
    formation *= share;
    b->loss[NXW_NO] = NO + N2O3 + oxidation + formation;
    b->loss[NXW_NO2] = (J->NO2_hydrolysis + J->NO2_pool) * area + N2O3 - oxidation + formation;
    b->loss[NXW_HNO2] = J->HNO2 * area - 2.0 * formation;
    b->loss[NXW_HNO3] = J->HNO3 * area;
    b->loss[NXW_O2] = 0.5 * oxidation;
    b->loss[NXW_H2O] = J->H2O * area + formation;
    b->time_s =
        b->slice_s * until_gone(below[NXW_NO] + below[NXW_NO2],
                                (b->loss[NXW_NO] + b->loss[NXW_NO2]) * slices, TRACE_OF_BOTH);

    const double bubbles = path->bubbles_1_s * b->time_s; /* in this slice now */
    b->sum[NXW_S_NO] = bubbles * NO;
    b->sum[NXW_S_N2O3] = bubbles * N2O3;
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

/* Mean contents of the slices. */
static void means(const struct nxw_path *path, double (*below)[NXW_POOLS], double (*own)[NXW_POOLS],
                  struct nxw_weights *weights, double (*n)[NXW_POOLS])
{
    double(*w)[NXW_POOLS] = weights->of;
    if (!weights->held)
        nxw_slice_weights(path, below, w);
    for (size_t i = 0; i < path->plan->n_slices; i++)
        for (int j = 0; j < NXW_POOLS; j++)
            n[i][j] = w[i][j] * below[i][j] + (1.0 - w[i][j]) * own[i][j];
}

/* A bubble of content n in the mean of its slice: how long it is there, what it loses. */
static void exchange(const struct nxw_path *path, double (*below)[NXW_POOLS],
                     double (*mean)[NXW_POOLS], struct bubble *out)
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
        /* of less than nothing, where Newton goes astray, as of nothing */
        const double d = exp(log(6.0 / NXW_PI * fmax(V, 0.0) + path->floor_m3) / 3.0);
        const double u =
            nxw_rise_between_walls_m_s(&path->fluid, d, path->plan->stage->inner_diameter_m);
        out[i].diameter_m = d;
        out[i].area_m2 = NXW_PI * d * d;
        out[i].volume_m3 = V;
        out[i].slice_s = path->height_m[i] / (u + path->plume_m_s);
        const double Sh_d = nxw_kG_per_D_1_m(&in->parameters, d, path->P_Pa[i]);
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
    for (size_t i = 0; i < n_slices; i++) {
        out[i].gas = g[i];
        out[i].J = J[i];
        account(path, i, below[i], &out[i]);
    }
}

/* The state beside what comes from below: both with all pools. */
static void contents(const struct nxw_path *path, const double *state, double (*below)[NXW_POOLS],
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
static void leaving_dimers(const struct nxw_path *path, size_t count, double (*n)[NXW_POOLS],
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
                    const struct nxw_gas_stream *inlet, const double *state,
                    struct nxw_weights *weights, double *rate, double (*slice_sums)[NXW_S_COUNT])
{
    const size_t n_slices = plan->n_slices;
    if (n_slices == 0)
        return;
    struct nxw_path path;
    double below[NXW_SLICES_MAX][NXW_POOLS], own[NXW_SLICES_MAX][NXW_POOLS];
    double n[NXW_SLICES_MAX][NXW_POOLS];
    struct bubble b[NXW_SLICES_MAX];
    prepare(plan, v, inlet, &path);
    contents(&path, state, below, own);
    means(&path, below, own, weights, n);
    exchange(&path, below, n, b);
    v->residence_s = 0.0;
    for (size_t i = 0; i < n_slices; i++) {
        for (int j = 0; j < NXW_PATH_POOLS; j++)
            rate[i * NXW_PATH_POOLS + (size_t)j] =
                path.faster *
                ((below[i][j] - own[i][j]) / b[i].time_s - b[i].loss[j] / path.fresh_mol);
        memcpy(slice_sums[i], b[i].sum, sizeof b[i].sum);
        v->residence_s += b[i].time_s;
    }
    v->bubble_out_diameter_m = b[n_slices - 1].diameter_m;
    leaving_dimers(&path, 1, &own[n_slices - 1], &slice_sums[n_slices - 1][NXW_S_DIMER_J_MOL]);
}

/* -------------------------------------------------------------------------------- derivatives
 *
 * A slice knows its contents only through their mean n = w below + (1 - w) own. So one difference
 * by each pool of n gives all columns. How w moves with what is below is left out: Newton converges
 * as fast without, and it is two fifths of the work.
 */

/* What one pool of the mean does: to the rates at given contents, and to the sums. */
struct slope {
    double rate[NXW_PATH_POOLS], sum[NXW_S_COUNT];
};

/* slope[slice][pool of n]; n comes back as it was. */
static void slopes_with_mean(const struct nxw_path *path, double (*below)[NXW_POOLS],
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
        exchange(path, below, n, moved);
        for (size_t i = 0; i < n_slices; i++) {
            n[i][k] = old[i];
            const double faster = (1.0 / moved[i].time_s - 1.0 / base[i].time_s) / step[i];
            for (int r = 0; r < NXW_PATH_POOLS; r++)
                slope[i][k].rate[r] = path->faster * ((below[i][r] - own[i][r]) * faster -
                                                      (moved[i].loss[r] - base[i].loss[r]) /
                                                          step[i] / path->fresh_mol);
            for (int r = 0; r < NXW_S_COUNT; r++)
                slope[i][k].sum[r] = (moved[i].sum[r] - base[i].sum[r]) / step[i];
        }
    }
}

/* The topmost slice: dimers that leave, by each pool in it. */
static void slopes_of_dimers(const struct nxw_path *path, const double own[NXW_POOLS],
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

/* At the same mean; by one pool that comes from below, added. */
static void slopes_of_ends(const struct nxw_path *path, size_t slice, double below[NXW_POOLS],
                           const double own[NXW_POOLS], size_t pool, double step,
                           const struct bubble *base, double rate[NXW_PATH_POOLS],
                           double sum[NXW_S_COUNT])
{
    struct bubble moved = *base;
    const double old = below[pool];
    below[pool] += step;
    account(path, slice, below, &moved);
    below[pool] = old;
    const double faster = (1.0 / moved.time_s - 1.0 / base->time_s) / step;
    for (int r = 0; r < NXW_PATH_POOLS; r++)
        rate[r] += path->faster * ((below[r] - own[r]) * faster -
                                   (moved.loss[r] - base->loss[r]) / step / path->fresh_mol);
    for (int r = 0; r < NXW_S_DIMER_J_MOL; r++)
        sum[r] += (moved.sum[r] - base->sum[r]) / step;
}

void nxw_stage_path_slopes(const struct nxw_stage_plan *plan, const struct nxw_stage_view *v,
                           const struct nxw_gas_stream *inlet, const double *state,
                           const double *least, struct nxw_weights *weights,
                           double (*by_own)[NXW_PATH_POOLS][NXW_PATH_POOLS],
                           double (*by_below)[NXW_PATH_POOLS][NXW_PATH_POOLS],
                           double (*sum)[NXW_PATH_POOLS][NXW_S_COUNT])
{
    const size_t n_slices = plan->n_slices;
    if (n_slices == 0)
        return;
    struct nxw_path path;
    double below[NXW_SLICES_MAX][NXW_POOLS], own[NXW_SLICES_MAX][NXW_POOLS];
    double n[NXW_SLICES_MAX][NXW_POOLS], (*w)[NXW_POOLS] = weights->of;
    struct bubble base[NXW_SLICES_MAX];
    struct slope slope[NXW_SLICES_MAX][NXW_PATH_POOLS];
    prepare(plan, v, inlet, &path);
    contents(&path, state, below, own);
    means(&path, below, own, weights, n);
    exchange(&path, below, n, base);
    slopes_with_mean(&path, below, own, n, base, least, slope);
    for (size_t i = 0; i < n_slices; i++)
        for (int j = 0; j < NXW_PATH_POOLS; j++) {
            for (int r = 0; r < NXW_PATH_POOLS; r++)
                by_own[i][j][r] = (1.0 - w[i][j]) * slope[i][j].rate[r];
            for (int r = 0; r < NXW_S_COUNT; r++)
                sum[i][j][r] = (1.0 - w[i][j]) * slope[i][j].sum[r];
            by_own[i][j][j] -= path.faster / base[i].time_s;
        }
    for (size_t i = 1; i < n_slices; i++)
        for (size_t j = 0; j < NXW_PATH_POOLS; j++) {
            for (int r = 0; r < NXW_PATH_POOLS; r++)
                by_below[i][j][r] = w[i][j] * slope[i][j].rate[r];
            for (int r = 0; r < NXW_S_COUNT; r++)
                sum[i - 1][j][r] += w[i][j] * slope[i][j].sum[r];
            by_below[i][j][j] += path.faster / base[i].time_s;
            if (j <= NXW_NO2) /* it ends later, with more to take */
                slopes_of_ends(&path, i, below[i], own[i], j,
                               nxw_small_step(below[i][j], least[(i - 1) * NXW_PATH_POOLS + j]),
                               &base[i], by_below[i][j], sum[i - 1][j]);
        }
    slopes_of_dimers(&path, own[n_slices - 1], least + (n_slices - 1) * NXW_PATH_POOLS,
                     sum[n_slices - 1]);
}
