/*
 * The glass around the liquid: what a tip resists, when it jets, what joints bear, what is drawn
 * back and what holds it off. Formulas only; glass_watch.h follows a run with them.
 */
#ifndef NXW_GLASSWARE_H
#define NXW_GLASSWARE_H

#include "stage/bubble.h"

/*
 * Flow at which a tip's gas begins to jet, through all its holes together.
 *
 *   narrow bores  rho_G u2 d/sigma = jet_weber
 *   wide bores    u2/(d g) (rho_G/drho)^1.25 = jet_froude
 *                 the greater of the two; they meet at d = (jet_weber/jet_froude)^0.5
 *                 (sigma/(rho_G g))^0.5 (rho_G/drho)^0.625, 2.7 mm for air in water
 *   frit          frit_flux_most over the disc: above it the bubbles merge
 *
 * Below the flow of a row of holes not all of them blow all the time; the worst case is one.
 *
 * Given:    gas_kg_m3 at the tip, > 0
 * Returned: m3/s at the tip; INFINITY where only the bubble's diameter is known
 * Source:   Mersmann 1978, Ruff; from memory. The frit's: judgement
 */
double nxw_tip_jet_flow_m3_s(const struct nxw_stage *stage, const struct nxw_parameters *parameters,
                             const struct nxw_liquid_state *liquid, double gas_kg_m3);

/* Of a row of holes those that can be counted on to blow at a flow: 1 to all of them. */
double nxw_tip_holes_blowing(const struct nxw_stage *stage, double gas_m3_s, double jet_flow_m3_s);

/*
 * Pressure to push gas out of the wet tip: 4 sigma/d. Nothing where only the bubbles are known.
 * Source: Young and Laplace
 */
double nxw_tip_capillary_Pa(const struct nxw_stage *stage, double surface_tension_N_m);

/*
 * Pressure lost by the flow in the tip.
 *
 *   tube, holes  1.5 rho u2/2
 *   frit         mu u L/(frit_permeability d_mean2) times frit_wet_factor
 *
 * Source:   loss of an entrance and an exit, common practice; frit: Kozeny-type, judgement
 */
double nxw_tip_flow_loss_Pa(const struct nxw_stage *stage, const struct nxw_parameters *parameters,
                            double gas_kg_m3, double gas_m3_s);

/* The same for the vent: laminar flow 128 mu L Q/(pi d4), and 1.5 rho u2/2. */
double nxw_vent_loss_Pa(const struct nxw_case *in, double gas_kg_m3, double gas_m3_s);

/* Crest of a bottle's dip tube above its tip: the bottle's inside height and tube_above_bottle. */
double nxw_tube_crest_m(const struct nxw_stage *stage, const struct nxw_parameters *parameters);

/*
 * Liquid that has come over the crest into a gas space that is short of gas.
 *
 *   V = V_space - V_gas P/(P - rho g L_c), not below zero
 *
 * Given:    space_m3, gas_m3 (what its gas would fill at P), pressure_Pa P while it bubbles,
 *           density_kg_m3, crest_m L_c above the tip
 * Source:   gas law; derived
 */
double nxw_drawn_over_m3(double space_m3, double gas_m3, double pressure_Pa, double density_kg_m3,
                         double crest_m);

/*
 * Smallest empty vessel between two bottles that holds what is drawn over, with some to spare.
 *
 *   V = margin min(L, D (V_space + V)/V_space): its own gas is taken up along with the rest
 *
 * Given:    space_m3 of the gas now, drawn_m3 D from it, liquid_m3 L above the tip behind
 * Source:   proportion; derived. The margin: judgement
 */
double nxw_between_trap_m3(double space_m3, double drawn_m3, double liquid_m3, double margin);

/*
 * The gas space ahead of the first bottle when the vessel cools and no gas follows: the vessel and
 * all empty vessels behind it.
 */
struct nxw_cooling {
    double vessel_m3, traps_m3; /* traps stay at the room's temperature */
    double hot_K, cool_K, room_K;
    double vapour_share;    /* v of the vessel's gas: condenses */
    double dissolved_share; /* y of the other gas, and of the traps': taken up */
    double room_Pa, density_kg_m3, depth_m;
};

/*
 * Vapour's share of the gas over a hot liquid: that of water, all of it from its boiling on.
 * Nitric acid of any strength boils above water, so this is the larger figure.
 */
double nxw_cooling_vapour_share(double hot_K, double pressure_Pa);

/*
 * Liquid drawn in, were there enough; the head against it and the vapour left in the cold vessel
 * are left out, which is the larger figure.
 *
 *   P1 = P_a + rho g h; what is left, (1 - y) P1 ((1 - v) V_v/T_hot + V_t/T_room), fills the
 *   vessel at T_cool and what the liquid leaves of the traps
 *
 * Source:   gas law; derived
 */
double nxw_cooling_drawn_m3(const struct nxw_cooling *c);

/*
 * Smallest volume of the empty vessels ahead of the first bottle, all together, that holds what
 * comes over and has some to spare.
 *
 *   V = margin min(L, drawn(V)): never more than the liquid there is above the tips, L, since
 *   after that the room's air follows through the tube; never more than the gas law draws, for
 *   which the empty vessels' own gas counts too:
 *   drawn(V) = b V + V_v T_room (1/T_cool - (1 - v)(1 - y) P1/(P_a T_hot)),
 *   b = 1 - (1 - y) P1/P_a
 *
 * Given:    liquid_m3 L; margin >= 1; traps_m3 of the struct is not looked at
 * Source:   gas law; derived. The margin: judgement
 */
double nxw_cooling_trap_m3(const struct nxw_cooling *c, double liquid_m3, double margin);

/* Crest above the liquid's level that would hold the liquid back by its height alone. */
double nxw_cooling_crest_m(const struct nxw_cooling *c);
/*
 * Smallest flow of gas into the vessel that keeps it full while it cools, at its fastest: at the
 * start.
 *
 *   P V/(R T_cool) ((1 - v)(1 - (1 - y) T_cool/T_hot) + v max(1, s))/tau
 *   s = (T_hot - T_cool) d ln p_water/dT at T_hot: vapour goes faster than the vessel cools
 *
 * 250 mL from 110 to 20 degC, tau 600 s: 10.4 mmol when cold. Dry gas shrinks by 0.235 of that:
 * 4.1 umol/s, 0.006 L/min. Steam, 3.3 % less for each K, 90 K: s = 3.0, 51 umol/s, 0.07 L/min.
 *
 * Given:    cooling_time_s tau, of the exponential fall towards T_cool. It is a guess within a
 *           factor of five: 0.3 L of water in a flask in air (1.3 kJ/K, 0.35 W/K) takes an hour,
 *           an empty flask (0.1 kJ/K) some minutes, a flask set in water two
 * Returned: mol/s; the gas that follows counted cold, which is the larger figure
 * Source:   gas law, vapour pressure of water; derived
 */
double nxw_cooling_carrier_mol_s(const struct nxw_cooling *c, double cooling_time_s);

#endif
