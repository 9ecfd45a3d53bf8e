#include "film.h"

#include <math.h>

#include "curve.h"
#include "product.h"
#include "reaction_no2_hydrolysis.h"

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
    const double q = sqrt(kf2 + kp * kp), q_slope = (0.5 * kf2_slope + kp * kp_slope) / q;
    const double excess = kL * (l->NO2_pool - e - 2.0 * K * e * e) / q;
    struct NO2_flux out;
    out.hydrolysis = (c - e) * kf2 / q;
    out.pool = kp * ((c - e) * kp / q - excess);
    out.slope = q + (c - e) * q_slope - excess * (kp_slope - kp * q_slope / q);
    return out;
}

/* ln(a/b)/(a - b), the reciprocal of the log mean, and its slope with a; smooth at a = b. */
static double log_mean_factor(double a, double b, double *slope)
{
    const double r = a / b - 1.0;
    if (fabs(r) < 1e-3) {
        *slope = (-0.5 + r * (2.0 / 3.0 - 0.75 * r)) / (b * b);
        return (1.0 - r * (0.5 - r * (1.0 / 3.0 - 0.25 * r))) / b;
    }
    const double f = log(a / b) / (a - b);
    *slope = (1.0 / a - f) / (a - b);
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
    const double c = fabs(l->c.H_NO2 * g->NO2_Pa), K = l->c.K_dimer_m3_mol;
    const double q = 2.0 * l->acid_factor *
                     sqrt(l->c.k2_m3_mol_s * (l->c.D_NO2 * c / 3.0 + K * l->c.D_N2O4 * c * c));
    const double kp = kL * (1.0 + 2.0 * K * c);
    return l->c.H_NO2 * sqrt(q * q + kp * kp) /
           (1.0 + 2.0 * fabs(g->N2O4_Pa) / (fabs(g->NO2_Pa) + 1e-9));
}

void nxw_film_flux(const struct nxw_gas_pressures *g, const struct nxw_liquid *l,
                   const struct nxw_film_coefficients *k, double RT, struct nxw_film_flux *out)
{
    const struct nxw_chemistry *c = &l->c;
    const double K4 = c->K_N2O4_1_Pa, K3 = c->K_N2O3_1_Pa;
    const double g1 = k->kG[NXW_NO] / RT, g2 = k->kG[NXW_NO2] / RT;
    const double a1 = k->kL_NO * c->H_NO;
    const double a3 = c->H_N2O3 * sqrt(c->k_N2O3_1_s * c->D_N2O3 + k->kL_NO * k->kL_NO);
    const double p1b = g->pool_Pa[NXW_NO], p2b = g->pool_Pa[NXW_NO2];

    /* High flux: kG times the reciprocal log mean of what does not move, 1 - y (film theory);
     * y counts the molecules of NO2, N2O4, N2O3. */
    double ignored;
    const double y_bulk = (g->NO2_Pa + g->N2O4_Pa + g->N2O3_Pa) / g->P_Pa;
    const double b = at_least(1.0 - y_bulk, 5e-3, &ignored);

    /*
     * One unknown, the NO2 pressure at the interface x: NO follows in closed form. Newton from
     * the bulk's equilibrium (no flux) side; F falls with x.
     */
    double x = g->NO2_Pa, p1 = 0.0, theta = 1.0;
    {
        /* start: resistances in series at the bulk's own conductance */
        const double G = nxw_NO2_liquid_conductance(g, l, k->kL_NO2) +
                         a3 * K3 * fabs(g->NO_Pa) / (1.0 + 2.0 * K4 * fabs(g->NO2_Pa));
        const double G_gas = g2 / (0.5 * (1.0 + b));
        x *= sqrt(G_gas / (G_gas + G));
    }
    struct NO2_flux J2 = {0.0, 0.0, 0.0};
    const double p_scale = fabs(p2b) + 1e-9;
    for (int i = 0; i < 40; i++) {
        const double den = g1 * (1.0 + K3 * x) + a1 + a3 * K3 * x;
        const double num = g1 * p1b + a1 * l->NO_e_Pa + a3 * l->N2O3_e_Pa;
        p1 = num / den;
        const double dp1 = -p1 * (g1 * K3 + a3 * K3) / den;
        const double both = p1 < 0.0 && x < 0.0 ? -1.0 : 1.0; /* as nxw_product */
        const double p3 = both * K3 * p1 * x, dp3 = both * K3 * (p1 + x * dp1);
        const double p2 = x + 2.0 * K4 * x * fabs(x) + p3, dp2 = 1.0 + 4.0 * K4 * fabs(x) + dp3;
        const double y = (x + K4 * x * fabs(x) + p3) / g->P_Pa;
        const double dy = (1.0 + 2.0 * K4 * fabs(x) + dp3) / g->P_Pa;
        double a_slope, theta_slope;
        const double a = at_least(1.0 - y, 5e-3, &a_slope);
        theta = log_mean_factor(a, b, &theta_slope);
        J2 = combine(l, c->H_NO2 * x, k->kL_NO2);
        const double F =
            g2 * theta * (p2b - p2) - J2.hydrolysis - J2.pool - a3 * (p3 - l->N2O3_e_Pa);
        const double dF = -g2 * theta * dp2 - g2 * theta_slope * a_slope * dy * (p2b - p2) -
                          J2.slope * c->H_NO2 - a3 * dp3;
        double step = F / dF;
        /* keep to the side of positive pressures while far from the solution */
        if (x - step < -1e-6 * p_scale && x > 0.0)
            step = 0.9 * x;
        x -= step;
        if (fabs(step) <= 1e-8 * fabs(x) || fabs(step) <= 1e-18 * p_scale)
            break; /* the error left is the square of that */
    }
    J2 = combine(l, c->H_NO2 * x, k->kL_NO2);
    const double den = g1 * (1.0 + K3 * x) + a1 + a3 * K3 * x;
    p1 = (g1 * p1b + a1 * l->NO_e_Pa + a3 * l->N2O3_e_Pa) / den;

    out->NO = a1 * (p1 - l->NO_e_Pa);
    out->N2O3 = a3 * (K3 * nxw_product(p1, x) - l->N2O3_e_Pa);
    out->NO_exchange =
        a1 * (fabs(p1) + fabs(l->NO_e_Pa)) + a3 * (fabs(K3 * p1 * x) + fabs(l->N2O3_e_Pa));
    out->NO2_hydrolysis = J2.hydrolysis;
    out->NO2_pool = J2.pool;
    const double p2i = x + 2.0 * K4 * x * fabs(x) + K3 * p1 * x;
    out->liquid_share = 1.0 - nxw_curve_positive(1.0 - fabs(p2i) / (fabs(p2b) + 1e-9), 1e-3);

    /* Nitrous acid: both films in series; nitric acid and water: the gas film. */
    out->HNO2 = (g->pool_Pa[NXW_HNO2] - l->HNO2_e_Pa) /
                (RT / k->kG[NXW_HNO2] + 1.0 / (k->kL_HNO2 * c->H_HNO2));
    out->HNO3 = k->kG[NXW_HNO3] / RT * (g->pool_Pa[NXW_HNO3] - l->HNO3_e_Pa);
    out->H2O = k->kG[NXW_H2O] / RT * (g->pool_Pa[NXW_H2O] - l->H2O_e_Pa);
}

double nxw_film_NO_given_back(const struct nxw_film_flux *J)
{
    return nxw_curve_positive(-(J->NO + J->N2O3), 1e-3 * J->NO_exchange + 1e-30);
}
