/* A volume of gas: pools, true molecules, enthalpy. */
#ifndef NXW_GAS_H
#define NXW_GAS_H

#include "properties/chemistry.h"

/* Nitrogen in the pools, as N; any unit of amount. */
static inline double nxw_gas_N(const double pool[NXW_POOLS])
{
    return pool[NXW_NO] + pool[NXW_NO2] + pool[NXW_HNO2] + pool[NXW_HNO3];
}

/* True partial pressures in a gas of known pools. */
struct nxw_gas_pressures {
    double P_Pa;
    double NO_Pa, NO2_Pa, N2O4_Pa, N2O3_Pa;
    double pool_Pa[NXW_POOLS]; /* pool amount times Pa_per_mol */
    double Pa_per_mol;         /* R T / V: turns amounts into partial pressures */
    double volume_m3;
};

/*
 * Partial pressures and volume of pools n at T and P; N2O4 and N2O3 are in equilibrium.
 *
 *   p_N2O4 = K4 p_NO2^2,  p_N2O3 = K3 p_NO p_NO2,  sum of all = P
 *
 * Given:    n  mol[NXW_POOLS]; any of them may be zero; a trace below zero is tolerated
 * Source:   model equations; one unknown (p_NO2), Newton to 1e-9 from a closed form
 */
void nxw_gas_speciate(const struct nxw_chemistry *c, const double n[NXW_POOLS], double P_Pa,
                      struct nxw_gas_pressures *out);

/* The same for several gases, together: several times faster than one after the other. */
void nxw_gas_speciate_all(const struct nxw_chemistry *c, size_t count, double (*n)[NXW_POOLS],
                          const double *P_Pa, struct nxw_gas_pressures *out);

/* Enthalpy of pools n with the speciation g at temperature T_K, J (per what n counts). */
double nxw_gas_enthalpy(const struct nxw_parameters *p, const double n[NXW_POOLS],
                        const struct nxw_gas_pressures *g, double T_K);

/* Of that, what N2O4 and N2O3 differ from their undimerised parts. */
double nxw_gas_dimer_enthalpy(const struct nxw_parameters *p, const struct nxw_gas_pressures *g,
                              double T_K);

/* Enthalpy of one mole of an undimerised pool's molecule at T. */
double nxw_gas_molar_enthalpy(const struct nxw_parameters *p, enum nxw_pool pool, double T_K);

#endif
