/*
 * One stage of a train: the bubble path, the liquid, the headspace, glass and bath, and its
 * ledgers.
 *
 * The state of a stage is one run of numbers: first the bubble path, slice by slice from the tip
 * (content of ONE bubble, in units of the content of a fresh bubble; the inert part stays what it
 * was at the tip), then the tank, then ledgers that nothing depends on.
 */
#ifndef NXW_STAGE_H
#define NXW_STAGE_H

#include <math.h>

#include "stage/film.h"

enum nxw_tank_index {
    NXW_T_LIQUID = 0,                           /* NXW_L_AMOUNTS amounts, mol; nitrate: gained */
    NXW_T_TEMPERATURE = NXW_L_AMOUNTS,          /* K */
    NXW_T_BATH_HEAT,                            /* J taken up by the bath */
    NXW_T_HEAD,                                 /* NXW_POOLS amounts, mol */
    NXW_T_RETURNED_NO = NXW_T_HEAD + NXW_POOLS, /* of the headspace's NO: came from the liquid */
    NXW_T_REFORMED_NO2,                         /* of its NO2: formed from NO in the headspace */
    NXW_T_COUNT
};
enum nxw_ledger_index {
    NXW_E_FED,                             /* NXW_POOLS, mol into the stage */
    NXW_E_OUT = NXW_E_FED + NXW_POOLS,     /* NXW_POOLS, mol out, net */
    NXW_E_HEAT_IN = NXW_E_OUT + NXW_POOLS, /* J: enthalpy brought by gas */
    NXW_E_HEAT_LOST,                       /* J through the wall */
    NXW_E_OUT_RETURNED,                    /* mol NO out that came from the liquid */
    NXW_E_OUT_RETURNED_SPENT,              /* of that: when no peroxide was left */
    NXW_E_OUT_REFORMED,                    /* mol NO2 out that formed in the headspace */
    NXW_E_THROUGH,                         /* mol NO2* that passed the bubble path */
    NXW_E_THROUGH_LIQUID,                  /* of that: held up by the liquid's side */
    NXW_E_FIZZ,                            /* mol NO by effervescence */
    NXW_E_DRAWN_BACK,                      /* mol gas drawn in through the outlet */
    NXW_E_COUNT
};
enum { NXW_STAGE_STATES_MAX = NXW_SLICES_MAX * NXW_PATH_POOLS + NXW_T_COUNT + NXW_E_COUNT };

/* What the bubble path does to the tank; sums over slices, so that each slice's part is known. */
enum nxw_path_sum {
    NXW_S_NO,
    NXW_S_N2O3,
    NXW_S_HYDROLYSIS,
    NXW_S_POOL,
    NXW_S_HNO2,
    NXW_S_HNO3,
    NXW_S_H2O,
    NXW_S_OXIDATION,      /* mol NO/s oxidised in the bubbles */
    NXW_S_HNO2_FORMATION, /* events/s in the bubbles */
    NXW_S_RETURNED,       /* mol NO/s given back into the bubbles */
    NXW_S_DIMER_J_MOL,    /* enthalpy of N2O4, N2O3 in the gas that leaves, per mol entering */
    NXW_S_LIQUID_SHARE,
    NXW_S_COUNT
};

struct nxw_gas_stream { /* into a stage */
    double flow_mol_s;  /* all pools */
    double y[NXW_POOLS];
    double enthalpy_J_mol;
    double returned_share,
        reformed_share; /* of its NO: given back; of its NO2: made in a headspace */
};

struct nxw_stage_plan { /* what does not change in a run */
    const struct nxw_case *in;
    const struct nxw_stage *stage;
    size_t n_slices, n_path,
        n_states;          /* n_path = slices * path pools; n_states = path + tank + ledger */
    double settles_faster; /* contents of the bubbles than a bubble rises; times */
    double area_m2, glass_J_K, pressure_Pa, plume;
    double nitrate_start_mol, peroxide_start_mol;
    bool last;
    double room[NXW_POOLS]; /* air of the room at the stage's pressure, mole fractions */
    struct nxw_liquid_charge charge;
};

/* What a right-hand side knows besides the rates. */
struct nxw_stage_view {
    double amount_mol[NXW_L_AMOUNTS]; /* in the liquid, all of them */
    struct nxw_liquid liquid;
    struct nxw_gas_pressures head;
    double head_T_K, depth_m, level_m, bath_K, UA_W_K;
    double bubbles_1_s, bubble_mol; /* fresh ones: together, what enters */
    double bubble_diameter_m, bubble_out_diameter_m, residence_s, tip_gas_m3_s;
    /* in the headspace: NO oxidised, events of HNO2 formation; through the surface and wet wall */
    double oxidation_mol_s, formation_mol_s;
    struct nxw_film_flux surface;           /* mol/s */
    double reacted_mol_s[NXW_L_AMOUNTS];    /* in the liquid */
    double fizz_mol_s, O2_mol_s, out_mol_s; /* NO and O2 that bubble up; all pools, net, outward */
    double out[NXW_POOLS];
    double sums[NXW_S_COUNT];
    struct nxw_gas_stream outlet;
};

/* Of a bubble path: the case's, or the default. */
size_t nxw_stage_slices(const struct nxw_case *in);
void nxw_stage_plan_make(const struct nxw_case *in, size_t index, struct nxw_stage_plan *out);
/*
 * Amounts in the liquid for the state of a tank. The state counts nitrate from the charge on, so
 * that the catch from a trace of gas is not lost in the rounding of a mole of acid.
 */
void nxw_stage_amounts(const struct nxw_stage_plan *plan, const double *tank,
                       double amount_mol[NXW_L_AMOUNTS]);
/* Initial state; the bubbles hold what is not nitrogen oxides or acids of the gas y that comes
 * first. */
void nxw_stage_start(const struct nxw_stage_plan *plan, const double y[NXW_POOLS], double *x);

/* Properties of liquid and tip for state x: the view but for the path and the headspace. */
void nxw_stage_look(const struct nxw_stage_plan *plan, const double *tank,
                    const struct nxw_gas_stream *inlet, struct nxw_stage_view *view);
/*
 * How much of the mean content of each slice is what comes from below (slice_weights.h). Held: they
 * are used as they are; else they are set for the state.
 */
struct nxw_weights {
    bool held;
    double of[NXW_SLICES_MAX][NXW_POOLS];
};
/* Rates of the bubble path and, slice by slice, its sums; residence and last size into the view. */
void nxw_stage_path(const struct nxw_stage_plan *plan, struct nxw_stage_view *view,
                    const struct nxw_gas_stream *inlet, const double *path,
                    struct nxw_weights *weights, double *path_rate,
                    double (*slice_sums)[NXW_S_COUNT]);
/*
 * Derivatives of the rates and sums of the path by the contents of its bubbles at given weights,
 * column by column: of a slice by its own ([slice][column][row]) and by those of the slice below,
 * of the sums by the contents of a slice. least: steps that are small for each state, beside 1e-7
 * of it.
 */
void nxw_stage_path_slopes(const struct nxw_stage_plan *plan, const struct nxw_stage_view *view,
                           const struct nxw_gas_stream *inlet, const double *path,
                           const double *least, struct nxw_weights *weights,
                           double (*by_own)[NXW_PATH_POOLS][NXW_PATH_POOLS],
                           double (*by_below)[NXW_PATH_POOLS][NXW_PATH_POOLS],
                           double (*sums)[NXW_PATH_POOLS][NXW_S_COUNT]);
/* A displacement small beside the state and large beside rounding: exactly what x moves by. */
static inline double nxw_small_step(double x, double tolerance)
{
    volatile double moved = x + (1e-8 * fabs(x) + 1e-4 * tolerance);
    return moved - x;
}
/* Headspace, surface, vent and reactions of the liquid, into the view: what the tank does by
 * itself, whatever comes through the path. */
void nxw_stage_headspace(const struct nxw_stage_plan *plan, const double *tank,
                         struct nxw_stage_view *view);
/* Rates of tank and ledgers for the sums of the path and the headspace in the view. */
void nxw_stage_balance(const struct nxw_stage_plan *plan, struct nxw_stage_view *view,
                       const struct nxw_gas_stream *inlet, const double *tank, double *tank_rate);

/* All of the above: rates of a whole stage. */
void nxw_stage_rates(const struct nxw_stage_plan *plan, const struct nxw_gas_stream *inlet,
                     const double *x, struct nxw_weights *weights, double *rate,
                     double (*slice_sums)[NXW_S_COUNT], struct nxw_stage_view *view);

double nxw_bath_temperature_K(const struct nxw_stage_plan *plan, double heat_J);
double nxw_bath_ice_kg(const struct nxw_stage_plan *plan, double heat_J);

#endif
