#include "properties/heat.h"

#include <math.h>

#include "base/constants_of_nature.h"
#include "base/curve.h"

static const double CP_J_KGK = 4181.0, CONDUCTIVITY_W_MK = 0.607; /* of water at 25 degC */

double nxw_inside_film_W_m2K(const struct nxw_liquid_state *liquid, double superficial_gas_m_s)
{
    if (superficial_gas_m_s <= 0.0)
        return 0.0;
    const double Pr = CP_J_KGK * liquid->viscosity_Pa_s / CONDUCTIVITY_W_MK;
    const double nu = liquid->viscosity_Pa_s / liquid->density_kg_m3, u = superficial_gas_m_s;
    return 0.1 * liquid->density_kg_m3 * CP_J_KGK * sqrt(sqrt(u * nu * NXW_GRAVITY_M_S2)) /
           sqrt(Pr);
}

double nxw_heat_UA_W_K(const struct nxw_stage *stage, const struct nxw_parameters *parameters,
                       double liquid_temperature_K, double bath_temperature_K,
                       double wetted_height_m, double superficial_gas_m_s,
                       const struct nxw_liquid_state *liquid)
{
    (void)liquid_temperature_K; /* the outside films are constants of the table */
    (void)bath_temperature_K;
    if (!isnan(stage->UA_W_K))
        return stage->UA_W_K;
    const double *p = parameters->value;
    const double deckwer = nxw_inside_film_W_m2K(liquid, superficial_gas_m_s);
    const double least = p[NXW_P_h_inside_least], r = deckwer / least;
    const double r4 = r * r * r * r, inside = least * sqrt(sqrt(sqrt(1.0 + r4 * r4)));
    double outside = p[NXW_P_h_air];
    if (stage->bath != NXW_BATH_AIR)
        outside = stage->bath_stirred                 ? p[NXW_P_h_bath_stirred]
                  : stage->bath == NXW_BATH_ICE_WATER ? p[NXW_P_h_ice_still]
                                                      : p[NXW_P_h_water_still];
    const double D = stage->inner_diameter_m;
    double area = NXW_PI * D * nxw_curve_positive(wetted_height_m, 1e-4);
    if (stage->bath != NXW_BATH_AIR)
        area += 0.25 * NXW_PI * D * D;
    return area * p[NXW_P_factor_UA] /
           (1.0 / inside + stage->wall_thickness_m / p[NXW_P_glass_conductivity] + 1.0 / outside);
}

double nxw_glass_heat_J_K(const struct nxw_stage *stage, const struct nxw_parameters *parameters)
{
    const double x = cbrt(stage->volume_m3 / 250e-6);
    return parameters->value[NXW_P_glass_heat_250mL] * x * x;
}
