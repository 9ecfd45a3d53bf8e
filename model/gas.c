#include "gas.h"

#include <math.h>

void nxw_gas_speciate(const struct nxw_chemistry *c, const double n[NXW_POOLS], double P_Pa,
                      struct nxw_gas_pressures *g)
{
    const double K4 = c->K_N2O4_1_Pa, K3 = c->K_N2O3_1_Pa;
    double sum = 0.0;
    for (int j = 0; j < NXW_POOLS; j++)
        sum += n[j];
    const double nNO = n[NXW_NO], nNO2 = n[NXW_NO2];

    /* Start: the dimer alone, f = share of NO2* in all pools:
     *   f (p + K4 p^2) + (1 - f)(p + 2 K4 p^2) = f P  */
    const double f = nNO2 / sum;
    const double root = 1.0 + 4.0 * K4 * fabs((2.0 - f) * f) * P_Pa;
    double p2 = 2.0 * f * P_Pa / (1.0 + sqrt(root));

    /* Both equilibria: with s = RT/V,
     *   p1 = n_NO s / (1 + K3 p2),  s = (P + K4 p2^2) / (sum - n_NO K3 p2 / (1 + K3 p2)),
     *   0 = p2 + 2 K4 p2^2 + K3 p1 p2 - n_NO2 s  */
    double s = 0.0, p1 = 0.0;
    for (int i = 0; i < 8; i++) {
        const double a = 1.0 + K3 * p2, b = K3 * p2 / a;
        const double den = sum - nNO * b;
        s = (P_Pa + K4 * p2 * fabs(p2)) / den;
        p1 = nNO * s / a;
        const double F = p2 + 2.0 * K4 * p2 * fabs(p2) + K3 * p1 * p2 - nNO2 * s;
        const double db = K3 / (a * a);
        const double ds = (2.0 * K4 * fabs(p2) + s * nNO * db) / den;
        const double dF = 1.0 + 4.0 * K4 * fabs(p2) + nNO * (ds * b + s * db) - nNO2 * ds;
        const double step = F / dF;
        p2 -= step;
        if (fabs(step) <= 1e-8 * fabs(p2)) /* the error left is the square of that */
            break;
    }
    const double a = 1.0 + K3 * p2;
    s = (P_Pa + K4 * p2 * fabs(p2)) / (sum - nNO * K3 * p2 / a);
    p1 = nNO * s / a;

    g->P_Pa = P_Pa;
    g->NO_Pa = p1;
    g->NO2_Pa = p2;
    g->N2O4_Pa = K4 * p2 * fabs(p2); /* odd: a trace below zero stays a trace */
    g->N2O3_Pa = K3 * p1 * p2;
    g->Pa_per_mol = s;
    g->volume_m3 = c->RT_J_mol / s;
    for (int j = 0; j < NXW_POOLS; j++)
        g->pool_Pa[j] = n[j] * s;
}

/* Heat capacities, J/(mol K), near 300 K; NIST-JANAF values, from memory (high). */
static const double CP_POOL[NXW_POOLS] = {29.9, 37.2, 45.5, 53.3, 29.4, 33.6, 29.1};
static const double CP_N2O4 = 77.3, CP_N2O3 = 65.6;

double nxw_gas_molar_enthalpy(const struct nxw_parameters *p, enum nxw_pool pool, double T_K)
{
    static const enum nxw_parameter_id id[NXW_POOLS] = {
        NXW_P_dHf_NO_gas,    NXW_P_dHf_NO2_gas, NXW_P_dHf_HNO2_gas, NXW_P_dHf_HNO3_gas,
        NXW_PARAMETER_COUNT, NXW_P_dHf_H2O_gas, NXW_PARAMETER_COUNT};
    double h = id[pool] == NXW_PARAMETER_COUNT ? 0.0 : p->value[id[pool]] * 1e3;
    return h + CP_POOL[pool] * (T_K - NXW_STANDARD_K);
}

double nxw_gas_dimer_enthalpy(const struct nxw_parameters *p, const struct nxw_gas_pressures *g,
                              double T_K)
{
    const double dT = T_K - NXW_STANDARD_K;
    const double n4 = g->N2O4_Pa / g->Pa_per_mol, n3 = g->N2O3_Pa / g->Pa_per_mol;
    const double NO = nxw_gas_molar_enthalpy(p, NXW_NO, T_K);
    const double NO2 = nxw_gas_molar_enthalpy(p, NXW_NO2, T_K);
    return n4 * (p->value[NXW_P_dHf_N2O4_gas] * 1e3 + CP_N2O4 * dT - 2.0 * NO2) +
           n3 * (p->value[NXW_P_dHf_N2O3_gas] * 1e3 + CP_N2O3 * dT - NO - NO2);
}

double nxw_gas_enthalpy(const struct nxw_parameters *p, const double n[NXW_POOLS],
                        const struct nxw_gas_pressures *g, double T_K)
{
    double h = nxw_gas_dimer_enthalpy(p, g, T_K);
    for (int j = 0; j < NXW_POOLS; j++)
        h += n[j] * nxw_gas_molar_enthalpy(p, (enum nxw_pool)j, T_K);
    return h;
}
