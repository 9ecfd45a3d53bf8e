/* One bubble: how big it is born, how fast it rises, how well it gives up gas. */
#ifndef NXW_BUBBLE_H
#define NXW_BUBBLE_H

#include "noxwash.h"
#include "properties/liquid_state.h"

/* What depends on the liquid only, hoisted out of the march up the bubble path. */
struct nxw_bubble_liquid {
    double kinematic_viscosity_m2_s;
    double ln_archimedes_per_m3; /* ln(g drho rho/mu2) */
    double tension_m3_s2;        /* 2 sigma/rho */
    double buoyancy_m_s2;        /* g drho/(2 rho) */
};

/*
 * Work out the constants of one liquid.
 *
 * Given:    liquid, gas_density_kg_m3 (less than the liquid's)
 * Returned: out
 */
void nxw_bubble_liquid_prepare(const struct nxw_liquid_state *liquid, double gas_density_kg_m3,
                               struct nxw_bubble_liquid *out);

/*
 * Rise velocity of one bubble in still, not perfectly clean liquid, far from walls.
 *
 *   Cd = max( 24/Re (1 + 0.15 Re^0.687),  8 Eo/(3 (Eo + 4)) ),  u2 = 4 drho g d/(3 rho Cd)
 *
 * The larger drag is the smaller velocity; the two are joined by u = (u1^-20 + u2^-20)^(-1/20),
 * which is 3.4 % low where they cross and exact elsewhere.
 *
 * Given:    diameter_m  m; <= 0 counts as 1e-9
 * Returned: m/s, positive
 * Valid:    1e-2 < Eo < 1e3, 1e-3 < Re < 1e5
 * Source:   Tomiyama et al. 1998, JSME Int. J. B 41, 472, contaminated systems; published
 *           (secondary transcription); join and solution for Re computed
 */
double nxw_rise_velocity_m_s(const struct nxw_bubble_liquid *liquid, double diameter_m);

/*
 * How much the wall of the bottle slows a bubble.
 *
 *   (1 - (d/D)2)^1.5 to d/D = 0.6; beyond, an exponential of the same value and slope
 *
 * Given:    diameter_ratio  bubble over bottle; the sign does not matter
 * Returned: 1 down to 0, always positive
 * Source:   Clift, Grace and Weber 1978, ch. 9; from memory
 */
double nxw_wall_factor(double diameter_ratio);

/* Rise velocity in still liquid between the walls of a bottle: the product of the two. */
double nxw_rise_between_walls_m_s(const struct nxw_bubble_liquid *liquid, double diameter_m,
                                  double inner_diameter_m);

/*
 * Gas-side mass-transfer coefficient inside a bubble, over the diffusivity at 1 atm.
 *
 *   kG = D Sh_bubble factor_kG/d (1 atm/P)
 *
 * Given:    parameters, diameter_m, pressure_Pa of the gas; both > 0
 * Returned: 1/m: times D at 1 atm in m2/s, kG in m/s
 * Source:   parameter Sh_bubble, between Newman 1931 and Kronig and Brink 1950
 */
double nxw_kG_per_D_1_m(const struct nxw_parameters *parameters, double diameter_m,
                        double pressure_Pa);

/*
 * Liquid-side mass-transfer coefficient of a bubble, in three parts, for several gases in many
 * bubbles: what the gas brings, what the bubble, and both together.
 *
 *   f 2 sqrt(D u/(pi d)) + (1 - f) (D/d) (2 + 0.6 Re^(1/2) Sc^(1/3)),  f = 1/(1 + (d_blend/d)^4)
 *
 * Given:    diameter_m, velocity_m_s, diffusivity_m2_s, blend_diameter_m; all > 0
 * Returned: m/s, positive
 * Valid:    within a factor 2; both bounds are returned far from d_blend
 * Source:   Higbie 1935 (mobile) and Froessling 1938 (rigid), from memory; the blend is own
 *           judgement: parameter kL_blend_diameter
 */
struct nxw_kL_gas {
    double diffusivity_m2_s;
    double mobile_m_s_half; /* 2 sqrt(D/pi) */
    double rigid;           /* 0.6 Sc^(1/3) */
};
struct nxw_kL_bubble {
    double mobile_share, root_velocity_per_diameter, root_Re, diameter_m;
};
void nxw_kL_gas_prepare(const struct nxw_bubble_liquid *liquid, double diffusivity_m2_s,
                        struct nxw_kL_gas *out);
void nxw_kL_bubble_prepare(const struct nxw_bubble_liquid *liquid, double diameter_m,
                           double velocity_m_s, double blend_diameter_m, struct nxw_kL_bubble *out);
static inline double nxw_kL_of_m_s(const struct nxw_kL_gas *gas, const struct nxw_kL_bubble *bubble)
{
    return bubble->mobile_share * gas->mobile_m_s_half * bubble->root_velocity_per_diameter +
           (1.0 - bubble->mobile_share) * gas->diffusivity_m2_s / bubble->diameter_m *
               (2.0 + gas->rigid * bubble->root_Re);
}

/*
 * Diameter of bubbles from one submerged hole or tube end.
 *
 *   d4 = (6 d_o sigma/(rho g))^(4/3) + 81 nu Q/(pi g) + (135 Q2/(4 pi2 g))^(4/5)
 *
 * Given:    bore_m                      hole diameter or tube bore, m
 *           surface_tension_N_m, density_kg_m3, kinematic_viscosity_m2_s   of the liquid
 *           gas_flow_per_hole_m3_s      at the tip's temperature and pressure; < 0 counts as 0
 * Returned: m
 * Valid:    bore 0.2 to 6 mm, 1 mPa s to 1 Pa s, bubbling, not jetting; a factor 1.3
 * Source:   Gaddis and Vogelpohl 1986, Chem. Eng. Sci. 41, 97; from memory, limits tested
 */
double nxw_orifice_diameter_m(double bore_m, double surface_tension_N_m, double density_kg_m3,
                              double kinematic_viscosity_m2_s, double gas_flow_per_hole_m3_s);

/*
 * Diameter of bubbles from a fritted disc, before the floor.
 *
 *   d = orifice diameter with d_o = largest pore and Q/n per site,  n = A_frit/d2
 *
 * (a site needs one bubble diameter of disc)
 *
 * Given:    pore_m, frit_diameter_m, liquid, gas_flow_m3_s (whole disc; < 0 counts as 0)
 * Returned: m; at most cap_m, which is approached smoothly
 * Valid:    to a flux of 0.06 m/s; above it the closure runs away and the cap holds; a factor 1.7
 * Source:   own closure, judgement; orifice term as above
 */
double nxw_frit_diameter_m(double pore_m, double frit_diameter_m,
                           const struct nxw_liquid_state *liquid, double gas_flow_m3_s,
                           double cap_m);

/*
 * Diameter of the bubbles a stage's tip makes, for all kinds of tip.
 *
 * Frits: at least 1.5 mm (water and nitric acid let smaller ones coalesce), at most what an open
 * 6 mm tube makes. The user's diameter is taken as it is. All times factor_bubble_diameter.
 *
 * Given:    stage, parameters, liquid, gas_flow_m3_s at the tip (any; < 0 counts as 0)
 * Returned: m, positive, not less than bubble_diameter_floor
 */
double nxw_bubble_diameter_m(const struct nxw_stage *stage, const struct nxw_parameters *parameters,
                             const struct nxw_liquid_state *liquid, double gas_flow_m3_s);

/*
 * Upward velocity the bubble plume lends to every bubble in it.
 *
 *   c_p (g Q/h)^(1/3)
 *
 * Rounded off below 1e-9 m3/s (zero and level at Q = 0) and below a depth of 5 mm.
 *
 * Given:    plume_coefficient  parameters plume_tube, plume_holes, plume_frit
 *           gas_flow_m3_s, depth_m  any
 * Returned: m/s, >= 0
 * Source:   own term, calibrated to the hold-up of Akita and Yoshida 1973; judgement
 */
double nxw_plume_velocity_m_s(double plume_coefficient, double gas_flow_m3_s, double depth_m);

#endif
