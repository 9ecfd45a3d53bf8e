#include "stage/slice_weights.h"

#include <math.h>
#include <string.h>

#include "base/curve.h"
#include "reactions/no2_hydrolysis.h"
#include "stage/bubble.h"

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

/* Transfer units of a slice for a bubble of content n: gas film for vapours, both films
 * and the reactions in the gas for NO2 and NO. */
static void transfer_units(const struct nxw_path *path, size_t slice, const double n[NXW_POOLS],
                           double N[NXW_POOLS])
{
    const struct nxw_case *in = path->plan->in;
    const double *p = in->parameters.value, P_Pa = path->P_Pa[slice];
    const struct nxw_chemistry *c = &path->liquid->c;
    double sum = 0.0;
    for (int j = 0; j < NXW_POOLS; j++)
        sum += n[j];
    sum = nxw_curve_positive(sum, 5e-4);
    const double RT = c->RT_J_mol, mol = path->fresh_mol * sum;
    const double d = exp(log(6.0 / NXW_PI * mol * RT / P_Pa + path->floor_m3) / 3.0);
    /* smaller ones rise more slowly, about in proportion */
    const double r = d / path->fresh_m;
    const double rise_m_s = path->rise_m_s * r * sqrt(2.0 / (1.0 + r * r));
    const double time_s = path->height_m[slice] / (rise_m_s + path->plume_m_s);
    const double area_time = NXW_PI * d * d * time_s * P_Pa / (mol * RT); /* over volume; s/m */
    const double kG = nxw_kG_per_D_1_m(&in->parameters, d, P_Pa);
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

/*
 * Weights of the content below. A bubble of soluble gas shrinks, and gives up faster as it does; so
 * the transfer units are those at the content that the weights themselves make: w (1 + 19.5 w^3) of
 * what comes from below. That meets the closed form of a bubble of one gas, n^(1/3) falling
 * linearly, within 3 %, exactly where all of it is taken within the slice: more would take more
 * than comes.
 *
 * Three passes are extrapolated as a geometric series. Where they diverge its ratio falls again, so
 * that the weight makes no leap; 0.3 is chosen: the ratio is met within 3 % up to 0.3, and 0.54 for
 * 0.6. For ln(b/a) stands 2 (b - a)/(b + a), and for e^x what meets it and stays positive.
 */
static double end_of_way(double w1, double w2, double w3)
{
    const double first = 2.0 * (w2 - w1) / (w2 + w1), second = 2.0 * (w3 - w2) / (w3 + w2);
    const double r = nxw_curve_limit(
        first * second / (first * first + 0.3 * second * second + 1e-6), -0.5, 0.7, 0.1);
    const double way = second * r / (1.0 - r);
    const double w =
        w3 * (way > 0.0 ? 1.0 + way * (1.0 + 0.5 * way) : 1.0 / (1.0 - way * (1.0 - 0.5 * way)));
    return w < 0.5 ? w : 0.5;
}

void nxw_slice_weights(const struct nxw_path *path, double (*below)[NXW_POOLS],
                       double (*w)[NXW_POOLS])
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
