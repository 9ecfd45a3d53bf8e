/* Heat through the wall of a bottle. */
#ifndef NXW_HEAT_H
#define NXW_HEAT_H

#include "noxwash.h"
#include "properties/liquid_state.h"

/*
 * Film coefficient inside a gas-stirred bottle.
 *
 *   h = 0.1 rho cp u_G ((u_G3/(nu g)) Pr2)^(-1/4)
 *
 * Given:    liquid; superficial_gas_m_s, < 0 counts as 0. cp and k are those of water at 25 degC
 * Returned: W/(m2 K), 0 without gas
 * Valid:    tall columns; on the safe side in short ones; a factor 1.5
 * Source:   Deckwer 1980, Chem. Eng. Sci. 35, 1341; from memory
 */
double nxw_inside_film_W_m2K(const struct nxw_liquid_state *liquid, double superficial_gas_m_s);

/*
 * Conductance between a bottle's liquid and its bath.
 *
 *   UA = A factor_UA / (1/h_inside + wall/k_glass + 1/h_outside)
 *
 * h_inside is Deckwer's or h_inside_least, whichever is more (joined smoothly: their eighth powers
 * add). h_outside is h_air in air; h_bath_stirred, h_ice_still or h_water_still in a liquid.
 * A is the wetted side, in a liquid bath also the base.
 *
 * Given:    stage, parameters
 *           liquid_temperature_K, bath_temperature_K   K
 *           wetted_height_m       m, < 0 counts as 0
 *           superficial_gas_m_s   gas flow over the bottle's cross-section
 *           liquid
 * Returned: W/K; stage->UA_W_K where that is given
 * Valid:    +-50 %
 * Source:   films of hydrodynamic reviews, keys h_*; resistances in series
 */
double nxw_heat_UA_W_K(const struct nxw_stage *stage, const struct nxw_parameters *parameters,
                       double liquid_temperature_K, double bath_temperature_K,
                       double wetted_height_m, double superficial_gas_m_s,
                       const struct nxw_liquid_state *liquid);

/*
 * Heat capacity of a bottle's glass.
 *
 *   glass_heat_250mL (V/250 mL)^(2/3)
 *
 * Given:    stage, parameters; does not change during a run: call it once
 * Returned: J/K
 * Source:   glass grows as surface; parameter glass_heat_250mL
 */
double nxw_glass_heat_J_K(const struct nxw_stage *stage, const struct nxw_parameters *parameters);

#endif
