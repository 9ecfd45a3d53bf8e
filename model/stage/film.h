/* Through the interface between a gas and the liquid: both films, all gases. */
#ifndef NXW_FILM_H
#define NXW_FILM_H

#include "properties/gas.h"
#include "stage/liquid.h"

/* Transfer coefficients, m/s. kG of a pool; kL of the dissolved gas. */
struct nxw_film_coefficients {
    double kG[NXW_POOLS];
    double kL_NO, kL_NO2, kL_HNO2;
};

/* Fluxes into the liquid, mol/(m2 s). NO2_hydrolysis and NO2_pool count N. */
struct nxw_film_flux {
    double NO, N2O3, NO2_hydrolysis, NO2_pool, HNO2, HNO3, H2O;
    double NO_exchange;  /* of NO + N2O3, both ways together: the scale of their difference */
    double liquid_share; /* share of the NO2 resistance that lies in the liquid, 0..1 */
};

/* Mole-weighted diffusivity of the NO2* pool (NO2, N2O4, N2O3), m2/s at 1 atm. */
double nxw_NO2_pool_diffusivity(const struct nxw_chemistry *c, const struct nxw_gas_pressures *g);

/*
 * Fluxes between a gas and the bulk of the liquid.
 *
 *   kG/(RT) (p_NO*  - p_NO*,i)  = J_NO  + J_N2O3
 *   kG/(RT) (p_NO2* - p_NO2*,i) = J_NO2 + J_N2O3
 *   J_NO   = kL H (p_i - p_e),  J_N2O3 = H sqrt(k D + kL^2) (p_i - p_e)
 *   J_NO2  = film hydrolysis and physical absorption combined (film.c)
 *
 * with N2O4 and N2O3 in equilibrium at the interface; kG carries the log-mean factor of high flux.
 * Given: gas pressures, the liquid, the coefficients, the gas temperature as gas_RT_J_mol
 */
void nxw_film_flux(const struct nxw_gas_pressures *g, const struct nxw_liquid *l,
                   const struct nxw_film_coefficients *k, double gas_RT_J_mol,
                   struct nxw_film_flux *out);

/* The same for several gases over one liquid, together: faster than one after the other. */
void nxw_film_flux_all(size_t count, const struct nxw_gas_pressures *g, const struct nxw_liquid *l,
                       const struct nxw_film_coefficients *k, double gas_RT_J_mol,
                       struct nxw_film_flux *out);

/* An estimate of J_NO2/p_NO2* on the liquid's side at the gas's own pressures, mol/(m2 s Pa). */
double nxw_NO2_liquid_conductance(const struct nxw_gas_pressures *g, const struct nxw_liquid *l,
                                  double kL_NO2);

/* NO that leaves the liquid, mol/(m2 s): the negative part of J_NO + J_N2O3, rounded. */
double nxw_film_NO_given_back(const struct nxw_film_flux *J);

#endif
