#include "stage/film.h"

#include <math.h>

#include "base/curve.h"
#include "base/product.h"
#include "reactions/no2_hydrolysis.h"

double nxw_NO2_pool_diffusivity(const struct nxw_chemistry *c, const struct nxw_gas_pressures *g)
{
    const double small = 1e-12;
    const double p2 = fabs(g->NO2_Pa) + small, p4 = 2.0 * fabs(g->N2O4_Pa), p3 = fabs(g->N2O3_Pa);
    return (p2 * c->D_air_m2_s[NXW_NO2] + p4 * c->D_N2O4_air_m2_s + p3 * c->D_N2O3_air_m2_s) /
           (p2 + p4 + p3);
}

/* Film hydrolysis and physical absorption of NO2 together, and the slope with c_i. */
struct NO2_flux {
    double hydrolysis, pool, slope;
};

/*
 * Reaction in the film (k_f) and diffusion through it (k_p), both driven by c - c_e; and NO2 that
 * the bulk holds beyond its own equilibrium, which diffuses only.
 *
 *   J = (c - c_e) q - kL (C - C_e) k_p/q,   q = sqrt(k_f^2 + k_p^2)
 *   of which (c - c_e) k_f^2/q has reacted, the rest arrives as pool
 *
 * k_p = kL (C_i - C_e)/(c - c_e) = kL (1 + 2 K (|c| + c_e)). Where the bulk is at equilibrium this
 * is J^2 = J_f^2 + J_p^2 in both directions; without reaction it is kL (C_i - C). No kink anywhere.
 */
static struct NO2_flux combine(const struct nxw_liquid *l, double c, double kL)
{
    const double e = l->NO2_equilibrium, K = l->c.K_dimer_m3_mol;
    double kf2_slope;
    const double kf2 = nxw_NO2_film_conductance2_m2_s2(l, c, &kf2_slope);
    const double kp = kL * (1.0 + 2.0 * K * (fabs(c) + e));
    const double kp_slope = kL * 2.0 * K * (c < 0.0 ? -1.0 : 1.0);
    const double q = sqrt(kf2 + kp * kp), q_1 = 1.0 / q;
    const double q_slope = (0.5 * kf2_slope + kp * kp_slope) * q_1;
    const double excess = kL * (l->NO2_pool - e - 2.0 * K * e * e) * q_1;
    struct NO2_flux out;
    out.hydrolysis = (c - e) * kf2 * q_1;
    out.pool = kp * ((c - e) * kp * q_1 - excess);
    out.slope = q + (c - e) * q_slope - excess * (kp_slope - kp * q_slope * q_1);
    return out;
}

/* ln(a/b)/(a - b), the reciprocal of the log mean, and its slope with a; smooth at a = b. */
static double log_mean_factor(double a, double b, double *slope)
{
    const double s = 1.0 / (a + b), z = (a - b) * s;
    if (fabs(z) < 0.05) { /* ln(a/b) = 2 (z + z^3/3 + z^5/5 ...) */
        const double y = z * z;
        const double odd = 1.0 + y * (1.0 / 3.0 + y * (1.0 / 5.0 + y * (1.0 / 7.0 + y / 9.0)));
        const double even =
            z * (2.0 / 3.0 + y * (4.0 / 5.0 + y * (6.0 / 7.0 + y * (8.0 / 9.0 + y * 10.0 / 11.0))));
        *slope = 2.0 * s * s * (even * (1.0 - z) - odd);
        return 2.0 * s * odd;
    }
    const double d_1 = 1.0 / (a - b), f = log(a / b) * d_1;
    *slope = (1.0 / a - f) * d_1;
    return f;
}

/* y where it is well above floor, smoothly not below it. */
static double at_least(double y, double floor, double *slope)
{
    const double d = y - floor, q = sqrt(d * d + 4e-2 * floor * floor);
    *slope = 0.5 * (1.0 + d / q);
    return floor + 0.5 * (d + q);
}

double nxw_NO2_liquid_conductance(const struct nxw_gas_pressures *g, const struct nxw_liquid *l,
                                  double kL)
{
    // cppcheck-suppress ctuuninitvar; the path fills in what is read here, and no more of it
    const double c = fabs(l->c.H_NO2 * g->NO2_Pa), K = l->c.K_dimer_m3_mol;
    const double q = 2.0 * l->acid_factor *
                     sqrt(l->c.k2_m3_mol_s * (l->c.D_NO2 * c / 3.0 + K * l->c.D_N2O4 * c * c));
    const double kp = kL * (1.0 + 2.0 * K * c);
    return l->c.H_NO2 * sqrt(q * q + kp * kp) /
           (1.0 + 2.0 * fabs(g->N2O4_Pa) / (fabs(g->NO2_Pa) + 1e-9));
}

enum {
    AT_ONCE = 8
}; /* interfaces under way together: one's divisions wait for nothing of another's */

/* One interface under way. One unknown, the NO2 pressure x: NO follows in closed form. */
struct interface {
    const struct nxw_gas_pressures *g;
    double g1, g2, a1, a3, kL_NO2; /* conductances of gas and liquid */
    double P_1, b;                 /* one over the pressure; 1 - y of the bulk */
    double x;
    bool met;
};

/* Newton begins at resistances in series, at the bulk's own conductance. */
static void approach(const struct nxw_gas_pressures *g, const struct nxw_liquid *l,
                     const struct nxw_film_coefficients *k, double RT, struct interface *f)
{
    const struct nxw_chemistry *c = &l->c;
    const double K4 = c->K_N2O4_1_Pa, K3 = c->K_N2O3_1_Pa;
    f->g = g;
    f->g1 = k->kG[NXW_NO] / RT;
    f->g2 = k->kG[NXW_NO2] / RT;
    f->a1 = k->kL_NO * c->H_NO;
    f->a3 = c->H_N2O3 * sqrt(c->k_N2O3_1_s * c->D_N2O3 + k->kL_NO * k->kL_NO);
    f->kL_NO2 = k->kL_NO2;
    f->met = false;

    /* High flux: kG times the reciprocal log mean of what does not move, 1 - y (film theory);
     * y counts the molecules of NO2, N2O4, N2O3. */
    double ignored;
    f->P_1 = 1.0 / g->P_Pa;
    f->b = at_least(1.0 - (g->NO2_Pa + g->N2O4_Pa + g->N2O3_Pa) * f->P_1, 5e-3, &ignored);

    const double G = nxw_NO2_liquid_conductance(g, l, k->kL_NO2) +
                     f->a3 * K3 * fabs(g->NO_Pa) / (1.0 + 2.0 * K4 * fabs(g->NO2_Pa));
    const double G_gas = f->g2 / (0.5 * (1.0 + f->b));
    f->x = g->NO2_Pa * sqrt(G_gas / (G_gas + G));
}

/* NO at the interface for NO2 there, something over den; in turn one over den. */
static double interface_NO_Pa(const struct interface *f, const struct nxw_liquid *l, double *den_1)
{
    const double K3 = l->c.K_N2O3_1_Pa;
    *den_1 = 1.0 / (f->g1 + f->a1 + (f->g1 + f->a3) * K3 * f->x);
    return (f->g1 * f->g->pool_Pa[NXW_NO] + f->a1 * l->NO_e_Pa + f->a3 * l->N2O3_e_Pa) * *den_1;
}

/* One step; what arrives through the gas less what the liquid takes, F, falls with x. */
static void newton(const struct nxw_liquid *l, struct interface *f)
{
    const double K4 = l->c.K_N2O4_1_Pa, K3 = l->c.K_N2O3_1_Pa, x = f->x, a3 = f->a3;
    const double p2b = f->g->pool_Pa[NXW_NO2], p_scale = fabs(p2b) + 1e-9;
    double den_1, a_slope, theta_slope;
    const double p1 = interface_NO_Pa(f, l, &den_1);
    const double dp1 = -p1 * (f->g1 + a3) * K3 * den_1;
    const double both = p1 < 0.0 && x < 0.0 ? -1.0 : 1.0; /* as nxw_product */
    const double p3 = both * K3 * p1 * x, dp3 = both * K3 * (p1 + x * dp1);
    const double p2 = x + 2.0 * K4 * x * fabs(x) + p3, dp2 = 1.0 + 4.0 * K4 * fabs(x) + dp3;
    const double y = (x + K4 * x * fabs(x) + p3) * f->P_1;
    const double dy = (1.0 + 2.0 * K4 * fabs(x) + dp3) * f->P_1;
    const double a = at_least(1.0 - y, 5e-3, &a_slope);
    const double theta = log_mean_factor(a, f->b, &theta_slope);
    const struct NO2_flux J2 = combine(l, l->c.H_NO2 * x, f->kL_NO2);
    const double F =
        f->g2 * theta * (p2b - p2) - J2.hydrolysis - J2.pool - a3 * (p3 - l->N2O3_e_Pa);
    const double dF = -f->g2 * (theta * dp2 + theta_slope * a_slope * dy * (p2b - p2)) -
                      J2.slope * l->c.H_NO2 - a3 * dp3;
    double step = F / dF;
    /* keep to the side of positive pressures while far from the solution */
    if (x - step < -1e-6 * p_scale && x > 0.0)
        step = 0.9 * x;
    f->x = x - step;
    /* the error left is about the square of that */
    f->met = fabs(step) <= 1e-5 * fabs(f->x) || fabs(step) <= 1e-18 * p_scale;
}

static void flux(const struct interface *f, const struct nxw_liquid *l,
                 const struct nxw_film_coefficients *k, double RT, struct nxw_film_flux *out)
{
    const struct nxw_chemistry *c = &l->c;
    const struct nxw_gas_pressures *g = f->g;
    const double K3 = c->K_N2O3_1_Pa, x = f->x, a1 = f->a1, a3 = f->a3;
    double ignored;
    const double p1 = interface_NO_Pa(f, l, &ignored);
    const struct NO2_flux J2 = combine(l, c->H_NO2 * x, f->kL_NO2);
    out->NO = a1 * (p1 - l->NO_e_Pa);
    out->N2O3 = a3 * (K3 * nxw_product(p1, x) - l->N2O3_e_Pa);
    out->NO_exchange =
        a1 * (fabs(p1) + fabs(l->NO_e_Pa)) + a3 * (fabs(K3 * p1 * x) + fabs(l->N2O3_e_Pa));
    out->NO2_hydrolysis = J2.hydrolysis;
    out->NO2_pool = J2.pool;
    const double p2 = x + 2.0 * c->K_N2O4_1_Pa * x * fabs(x) + K3 * p1 * x;
    out->liquid_share =
        1.0 - nxw_curve_positive(1.0 - fabs(p2) / (fabs(g->pool_Pa[NXW_NO2]) + 1e-9), 1e-3);

    /* Nitrous acid: both films in series; nitric acid and water: the gas film. */
    out->HNO2 = (g->pool_Pa[NXW_HNO2] - l->HNO2_e_Pa) /
                (RT / k->kG[NXW_HNO2] + 1.0 / (k->kL_HNO2 * c->H_HNO2));
    out->HNO3 = k->kG[NXW_HNO3] / RT * (g->pool_Pa[NXW_HNO3] - l->HNO3_e_Pa);
    out->H2O = k->kG[NXW_H2O] / RT * (g->pool_Pa[NXW_H2O] - l->H2O_e_Pa);
}

void nxw_film_flux_all(size_t count, const struct nxw_gas_pressures *g, const struct nxw_liquid *l,
                       const struct nxw_film_coefficients *k, double RT, struct nxw_film_flux *out)
{
    for (size_t first = 0; first < count; first += AT_ONCE) {
        struct interface f[AT_ONCE];
        const size_t some = count - first < AT_ONCE ? count - first : AT_ONCE;
        for (size_t i = 0; i < some; i++)
            approach(&g[first + i], l, &k[first + i], RT, &f[i]);
        size_t open = some;
        for (int round = 0; round < 40 && open > 0; round++) {
            open = 0;
            for (size_t i = 0; i < some; i++)
                if (!f[i].met) {
                    newton(l, &f[i]);
                    open += !f[i].met;
                }
        }
        for (size_t i = 0; i < some; i++)
            flux(&f[i], l, &k[first + i], RT, &out[first + i]);
    }
}

void nxw_film_flux(const struct nxw_gas_pressures *g, const struct nxw_liquid *l,
                   const struct nxw_film_coefficients *k, double RT, struct nxw_film_flux *out)
{
    nxw_film_flux_all(1, g, l, k, RT, out);
}

double nxw_film_NO_given_back(const struct nxw_film_flux *J)
{
    return nxw_curve_positive(-(J->NO + J->N2O3), 1e-3 * J->NO_exchange + 1e-30);
}
