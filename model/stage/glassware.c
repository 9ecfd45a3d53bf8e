#include "stage/glassware.h"

#include <math.h>

#include "base/constants_of_nature.h"
#include "properties/water.h"

static const double GAS_VISCOSITY_PA_S = 1.85e-5; /* air at 25 degC, from memory (high) */
static const double BENDS = 1.5;                  /* velocity heads: entrance 0.5, exit 1 */

static double circle_m2(double diameter_m) { return 0.25 * NXW_PI * diameter_m * diameter_m; }

static double holes_of(const struct nxw_stage *s)
{
    return s->tip == NXW_TIP_HOLES ? s->holes : 1.0;
}

double nxw_tip_jet_flow_m3_s(const struct nxw_stage *s, const struct nxw_parameters *p,
                             const struct nxw_liquid_state *l, double gas_kg_m3)
{
    if (s->tip == NXW_TIP_BUBBLE_DIAMETER)
        return (double)INFINITY;
    if (s->tip == NXW_TIP_FRIT)
        return p->value[NXW_P_frit_flux_most] * circle_m2(s->frit_diameter_m);
    const double ratio = gas_kg_m3 / (l->density_kg_m3 - gas_kg_m3), d = s->bore_m;
    const double weber = p->value[NXW_P_jet_weber] * l->surface_tension_N_m / (gas_kg_m3 * d);
    const double froude = p->value[NXW_P_jet_froude] * d * NXW_GRAVITY_M_S2 * pow(ratio, -1.25);
    return holes_of(s) * sqrt(fmax(weber, froude)) * circle_m2(d);
}

double nxw_tip_holes_blowing(const struct nxw_stage *s, double gas_m3_s, double jet_flow_m3_s)
{
    const double n = holes_of(s), blowing = floor(n * gas_m3_s / jet_flow_m3_s);
    return blowing < 1.0 ? 1.0 : blowing > n ? n : blowing;
}

double nxw_tip_capillary_Pa(const struct nxw_stage *s, double surface_tension_N_m)
{
    if (s->kind == NXW_STAGE_EMPTY || s->tip == NXW_TIP_BUBBLE_DIAMETER)
        return 0.0;
    return 4.0 * surface_tension_N_m / s->bore_m;
}

/* Velocity heads lost by a flow through a bore. */
static double bends_Pa(double gas_kg_m3, double gas_m3_s, double area_m2)
{
    const double u = gas_m3_s / area_m2;
    return 0.5 * BENDS * gas_kg_m3 * u * u;
}

double nxw_tip_flow_loss_Pa(const struct nxw_stage *s, const struct nxw_parameters *p,
                            double gas_kg_m3, double gas_m3_s)
{
    if (s->kind == NXW_STAGE_EMPTY || s->tip == NXW_TIP_BUBBLE_DIAMETER || !(gas_m3_s > 0.0))
        return 0.0;
    if (s->tip != NXW_TIP_FRIT)
        return bends_Pa(gas_kg_m3, gas_m3_s, holes_of(s) * circle_m2(s->bore_m));
    const double mean_m = p->value[NXW_P_frit_mean_pore_share] * s->bore_m;
    return p->value[NXW_P_frit_wet_factor] * GAS_VISCOSITY_PA_S * gas_m3_s /
           circle_m2(s->frit_diameter_m) * 1e-3 * p->value[NXW_P_frit_thickness] /
           (p->value[NXW_P_frit_permeability] * mean_m * mean_m);
}

double nxw_vent_loss_Pa(const struct nxw_case *in, double gas_kg_m3, double gas_m3_s)
{
    if (in->vent_closed || !(gas_m3_s > 0.0))
        return 0.0;
    const double d2 = in->vent_bore_m * in->vent_bore_m;
    return 128.0 * GAS_VISCOSITY_PA_S * in->vent_length_m * gas_m3_s / (NXW_PI * d2 * d2) +
           bends_Pa(gas_kg_m3, gas_m3_s, circle_m2(in->vent_bore_m));
}

double nxw_tube_crest_m(const struct nxw_stage *s, const struct nxw_parameters *p)
{
    return s->volume_m3 / circle_m2(s->inner_diameter_m) - s->tip_clearance_m +
           1e-3 * p->value[NXW_P_tube_above_bottle];
}

double nxw_drawn_over_m3(double space_m3, double gas_m3, double pressure_Pa, double density_kg_m3,
                         double crest_m)
{
    const double least_Pa = pressure_Pa - density_kg_m3 * NXW_GRAVITY_M_S2 * crest_m;
    const double drawn_m3 = space_m3 - gas_m3 * pressure_Pa / least_Pa;
    return drawn_m3 > 0.0 ? drawn_m3 : 0.0;
}

double nxw_between_trap_m3(double space_m3, double drawn_m3, double liquid_m3, double margin)
{
    const double rest = 1.0 - margin * drawn_m3 / space_m3;
    return margin * fmin(liquid_m3, rest > 0.0 ? drawn_m3 / rest : (double)INFINITY);
}

double nxw_cooling_vapour_share(double hot_K, double pressure_Pa)
{
    return fmin(nxw_water_vapour_pressure_Pa(hot_K) / pressure_Pa, 1.0);
}

bool nxw_vessel_boils_water(const struct nxw_case *in)
{
    /* 1 % of the pressure, 0.3 K: more than the vapour pressure errs by, so 100 degC boils */
    return nxw_cooling_vapour_share(in->vessel_hot_K, in->surroundings_pressure_Pa) >= 0.99;
}

/* Share that is left of a gas without vapour, at the room's pressure instead of the start's. */
static double kept_of_gas(const struct nxw_cooling *c)
{
    const double head_Pa = c->density_kg_m3 * NXW_GRAVITY_M_S2 * c->depth_m;
    return (1.0 - c->dissolved_share) * (c->room_Pa + head_Pa) / c->room_Pa;
}

/* What is left of all the gas, m3/K: times a temperature, its volume at the room's pressure. */
static double left_m3_K(const struct nxw_cooling *c)
{
    return kept_of_gas(c) *
           ((1.0 - c->vapour_share) * c->vessel_m3 / c->hot_K + c->traps_m3 / c->room_K);
}

double nxw_cooling_drawn_m3(const struct nxw_cooling *c)
{
    const double left = left_m3_K(c);
    const double vessel = c->vessel_m3 / c->cool_K; /* the traps fill first */
    double drawn_m3 = c->traps_m3 - (left - vessel) * c->room_K;
    if (drawn_m3 > c->traps_m3)
        drawn_m3 = c->traps_m3 + c->vessel_m3 - left * c->cool_K;
    return drawn_m3 > 0.0 ? drawn_m3 : 0.0;
}

double nxw_cooling_trap_m3(const struct nxw_cooling *c, double liquid_m3, double margin)
{
    struct nxw_cooling alone = *c;
    alone.traps_m3 = 0.0;
    const double vessel_m3 = (c->vessel_m3 / c->cool_K - left_m3_K(&alone)) * c->room_K;
    const double rest = 1.0 - margin * (1.0 - kept_of_gas(c)); /* 1 - margin b */
    const double drawn_m3 = rest > 0.0 ? fmax(vessel_m3, 0.0) / rest : (double)INFINITY;
    return margin * fmin(liquid_m3, drawn_m3);
}

double nxw_cooling_crest_m(const struct nxw_cooling *c)
{
    const double end_Pa =
        c->room_Pa * left_m3_K(c) / (c->vessel_m3 / c->cool_K + c->traps_m3 / c->room_K);
    const double crest_m = (c->room_Pa - end_Pa) / (c->density_kg_m3 * NXW_GRAVITY_M_S2);
    return crest_m > 0.0 ? crest_m : 0.0;
}

double nxw_cooling_carrier_mol_s(const struct nxw_cooling *c, double cooling_time_s)
{
    const double left = (1.0 - c->dissolved_share) * c->cool_K / c->hot_K;
    const double step_K = 0.1;
    const double steepness_1_K = log(nxw_water_vapour_pressure_Pa(c->hot_K + 0.5 * step_K) /
                                     nxw_water_vapour_pressure_Pa(c->hot_K - 0.5 * step_K)) /
                                 step_K;
    const double fall = fmax((c->hot_K - c->cool_K) * steepness_1_K, 1.0);
    const double lost = (1.0 - c->vapour_share) * fmax(1.0 - left, 0.0) + c->vapour_share * fall;
    return c->room_Pa * c->vessel_m3 * lost / (NXW_GAS_CONSTANT * c->cool_K * cooling_time_s);
}
