#include "properties/gas.h"

#include <math.h>
#include <string.h>

enum { AT_ONCE = 8 }; /* gases under way together: one's divisions wait for nothing of another's */

/* One gas under way: p2 is what Newton moves. */
struct mixture {
    double sum, NO, NO2, P_Pa;
    double p2, a_1, s, sum_1; /* a_1: one over a; sum_1: over the molecules but for N2O4 */
    bool met;
};

/* p1 = n_NO s/a with a = 1 + K3 p2, and s = RT/V = (P + K4 p2^2)/(sum - n_NO K3 p2/a). */
static void scale(double K4, double K3, struct mixture *m)
{
    m->a_1 = 1.0 / (1.0 + K3 * m->p2);
    m->sum_1 = 1.0 / (m->sum - m->NO * K3 * m->p2 * m->a_1);
    m->s = (m->P_Pa + K4 * m->p2 * fabs(m->p2)) * m->sum_1;
}

/* Start from the dimer alone, f = share of NO2* in all pools:
 *   f (p + K4 p^2) + (1 - f)(p + 2 K4 p^2) = f P
 * with as much of p again in N2O3 as NO would hold that is a gas by itself. */
static void start(double K4, double K3, const double n[NXW_POOLS], double P_Pa, struct mixture *m)
{
    double sum = 0.0;
    for (int j = 0; j < NXW_POOLS; j++)
        sum += n[j];
    *m = (struct mixture){.sum = sum, .NO = n[NXW_NO], .NO2 = n[NXW_NO2], .P_Pa = P_Pa};
    const double f = m->NO2 / sum, again = 1.0 + K3 * fmax(m->NO / sum, 0.0) * P_Pa;
    m->p2 = 2.0 * f * P_Pa / (again + sqrt(again * again + 4.0 * K4 * fabs((2.0 - f) * f) * P_Pa));
}

/* One step to 0 = p2 + 2 K4 p2^2 + K3 p1 p2 - n_NO2 s. */
static void newton(double K4, double K3, struct mixture *m)
{
    scale(K4, K3, m);
    const double p2 = m->p2, s = m->s, b = K3 * p2 * m->a_1, db = K3 * m->a_1 * m->a_1;
    const double F = p2 + 2.0 * K4 * p2 * fabs(p2) + m->NO * s * b - m->NO2 * s;
    const double ds = (2.0 * K4 * fabs(p2) + s * m->NO * db) * m->sum_1;
    const double dF = 1.0 + 4.0 * K4 * fabs(p2) + m->NO * (ds * b + s * db) - m->NO2 * ds;
    const double step = F / dF;
    m->p2 -= step;
    m->met = fabs(step) <= 1e-6 * fabs(m->p2); /* the error left is about the square of that */
}

static void finish(const struct nxw_chemistry *c, const double n[NXW_POOLS], struct mixture *m,
                   struct nxw_gas_pressures *g)
{
    const double K4 = c->K_N2O4_1_Pa, K3 = c->K_N2O3_1_Pa;
    scale(K4, K3, m);
    g->P_Pa = m->P_Pa;
    g->NO_Pa = m->NO * m->s * m->a_1;
    g->NO2_Pa = m->p2;
    g->N2O4_Pa = K4 * m->p2 * fabs(m->p2); /* odd: a trace below zero stays a trace */
    g->N2O3_Pa = K3 * g->NO_Pa * m->p2;
    g->Pa_per_mol = m->s;
    g->volume_m3 = c->RT_J_mol / m->s;
    for (int j = 0; j < NXW_POOLS; j++)
        g->pool_Pa[j] = n[j] * m->s;
}

void nxw_gas_speciate_all(const struct nxw_chemistry *c, size_t count, double (*n)[NXW_POOLS],
                          const double *P_Pa, struct nxw_gas_pressures *out)
{
    const double K4 = c->K_N2O4_1_Pa, K3 = c->K_N2O3_1_Pa;
    for (size_t first = 0; first < count; first += AT_ONCE) {
        struct mixture m[AT_ONCE];
        const size_t some = count - first < AT_ONCE ? count - first : AT_ONCE;
        for (size_t i = 0; i < some; i++)
            start(K4, K3, n[first + i], P_Pa[first + i], &m[i]);
        size_t open = some;
        for (int round = 0; round < 8 && open > 0; round++) {
            open = 0;
            for (size_t i = 0; i < some; i++)
                if (!m[i].met) {
                    newton(K4, K3, &m[i]);
                    open += !m[i].met;
                }
        }
        for (size_t i = 0; i < some; i++)
            finish(c, n[first + i], &m[i], &out[first + i]);
    }
}

void nxw_gas_speciate(const struct nxw_chemistry *c, const double n[NXW_POOLS], double P_Pa,
                      struct nxw_gas_pressures *out)
{
    double one[1][NXW_POOLS];
    memcpy(one[0], n, sizeof one[0]);
    nxw_gas_speciate_all(c, 1, one, &P_Pa, out);
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
