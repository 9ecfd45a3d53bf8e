/*
 * noxwash: what a gas-washing train does with brown nitrogen-oxide gas.
 *
 * Fill a struct nxw_case (start from nxw_case_init), run it with nxw_estimate, read the
 * struct nxw_result. SI units throughout; the unit stands in every name. The library prints
 * nothing, keeps no global state but the allocator hook, and may be used from several threads
 * as long as each call has its own structs; set the allocator hook before the first thread.
 *
 * No number makes the library abort or hang: what is not finite, or outside the range that is told
 * beside a function, gives a status below 0, and a function that returns a plain number then
 * returns NAN. A kind that is none of its enum counts as such a number. A pointer must be good,
 * except that every diagnosis may be NULL, and what is told beside a function.
 *
 * Structs are the caller's: they hold no pointers to free, may be copied, and live as long as the
 * caller wants. Texts that are returned are constant and live as long as the program.
 */
#ifndef NOXWASH_H
#define NOXWASH_H

#include <stdbool.h>
#include <stddef.h>

#include "parameter_ids.h" /* generated from params/constants.csv: enum nxw_parameter_id */

#ifdef __cplusplus
extern "C" {
#endif

/* ------------------------------------------------------------------ status and diagnosis */

/* name, value, text: 0 good, negative = no result, positive = result with a warning. */
#define NXW_STATUS_LIST(X)                                                                         \
    X(NXW_OK, 0, "done")                                                                           \
    X(NXW_ENDED_EARLY, 1, "the run ended before its time; the result stops there")                 \
    X(NXW_ERROR_MEMORY, -1, "out of memory")                                                       \
    X(NXW_ERROR_CASE, -2, "the case is not possible")                                              \
    X(NXW_ERROR_RANGE, -3, "a value lies outside the range of the correlation")                    \
    X(NXW_ERROR_SOLVER, -4, "the solver could not finish")                                         \
    X(NXW_ERROR_KEY, -5, "no constant of that name")                                               \
    X(NXW_ERROR_CANCELLED, -6, "cancelled")                                                        \
    X(NXW_ERROR_INTERNAL, -7, "internal fault")

enum nxw_status {
#define NXW_STATUS_ENUM(name, value, text) name = (value),
    NXW_STATUS_LIST(NXW_STATUS_ENUM)
#undef NXW_STATUS_ENUM
};

/* The text of a status; never NULL. */
const char *nxw_status_text(enum nxw_status status);

/* What went wrong, for people. Owned by the caller; always a terminated string. */
struct nxw_diagnosis {
    enum nxw_status status;
    char path[96];  /* case path such as train[1].liquid, or empty */
    char text[320]; /* one sentence: what is wrong and what would be right */
};

/* Replace malloc/realloc/free of the library (tests make them fail); NULL restores the default. */
struct nxw_allocator {
    void *(*allocate)(size_t bytes, void *user);
    void (*release)(void *memory, void *user);
    void *user;
};
void nxw_set_allocator(const struct nxw_allocator *allocator);

/* Molar masses, sums of the IUPAC (CIAAW) abridged atomic weights. */
#define NXW_MOLAR_MASS_NO_KG_MOL 0.030006
#define NXW_MOLAR_MASS_NO2_KG_MOL 0.046005
#define NXW_MOLAR_MASS_HNO2_KG_MOL 0.047013
#define NXW_MOLAR_MASS_HNO3_KG_MOL 0.063012
#define NXW_MOLAR_MASS_H2O2_KG_MOL 0.034014
#define NXW_MOLAR_MASS_H2O_KG_MOL 0.018015
#define NXW_MOLAR_MASS_O2_KG_MOL 0.031998

/* -------------------------------------------------------------------------- constants */

enum nxw_known { NXW_KNOWN_PUBLISHED, NXW_KNOWN_MEMORY, NXW_KNOWN_COMPUTED, NXW_KNOWN_JUDGEMENT };

/* One record of params/constants.csv. */
struct nxw_parameter_record {
    const char *key;
    double value;
    const char *unit;
    double low, high;  /* range of plausible values, same unit; low <= value <= high */
    const char *group; /* constants of one group are tied: what follows moves along; "" = none */
    enum nxw_known known;
    const char *source; /* author year, place in the source */
    const char *note;
};

size_t nxw_parameter_count(void);
const struct nxw_parameter_record *nxw_parameter_record(size_t index); /* NULL past the end */
const char *nxw_parameter_version(void);                               /* version of the table */
const char *nxw_parameter_hash(void); /* hash over the table's contents, hex */
/* Index of a key, or NXW_ERROR_KEY. */
enum nxw_status nxw_parameter_find(const char *key, size_t *index);

/* The values a run uses; start from the defaults and change single values by enum or index. */
struct nxw_parameters {
    double value[NXW_PARAMETER_COUNT];
};
void nxw_parameters_default(struct nxw_parameters *parameters);

/* ------------------------------------------------------------------------------- case */

enum { NXW_STAGES_MAX = 8, NXW_SOURCE_ROWS_MAX = 512, NXW_SLICES_MAX = 64 };

enum nxw_source_kind {
    NXW_SOURCE_ACID_VAPOUR,
    NXW_SOURCE_METAL,
    NXW_SOURCE_METERED,
    NXW_SOURCE_TABLE
};
enum nxw_shape { NXW_SHAPE_STEADY, NXW_SHAPE_RISE_AND_FALL, NXW_SHAPE_TABLE };

/* Gas flows of a source at one time. NO and NO2 count molecules as NO and NO2 (no dimers). */
struct nxw_source_row {
    double time_s;
    double NO_mol_s, NO2_mol_s, HNO2_mol_s, HNO3_mol_s, O2_mol_s, inert_mol_s, H2O_mol_s;
};

struct nxw_source {
    enum nxw_source_kind kind;
    enum nxw_shape shape;
    double duration_s;    /* > 0 */
    double temperature_K; /* of the gas at the tip */

    /* acid vapour: 4 HNO3 -> 4 NO2 + O2 + 2 H2O for the share that decomposes */
    double acid_made_mol;
    double decomposed_fraction;
    double condenser_temperature_K;
    double condensate_mass_fraction; /* HNO3 in what the receiver condenses */

    /* metal: per mole of metal z NO2 or z/3 NO */
    double metal_mol;
    double metal_valence;
    double NO2_route_fraction;

    /* metered: steady flow and mole fractions (rest inert); or steps/table in rows */
    double flow_mol_s;
    double NO2_fraction, NO_fraction, O2_fraction;

    /* shape or source from a table: linear between rows, zero outside; rows ascending in time.
     * For NXW_SHAPE_TABLE with another kind, inert_mol_s of each row is the relative strength. */
    size_t n_rows;
    struct nxw_source_row rows[NXW_SOURCE_ROWS_MAX];
};

enum nxw_gas { NXW_GAS_NONE, NXW_GAS_AIR, NXW_GAS_NITROGEN, NXW_GAS_OXYGEN };

struct nxw_carrier { /* carrier of the source, or a bleed ahead of a stage */
    enum nxw_gas gas;
    double flow_mol_s;
    double from_s, until_s; /* until_s = INFINITY: to the end of the run */
};

enum nxw_stage_kind { NXW_STAGE_BOTTLE, NXW_STAGE_EMPTY };
enum nxw_tip_kind {
    NXW_TIP_OPEN_TUBE,
    NXW_TIP_HOLES,
    NXW_TIP_FRIT,
    NXW_TIP_BUBBLE_DIAMETER /* the user's own bubble diameter */
};
enum nxw_bath_kind { NXW_BATH_AIR, NXW_BATH_WATER, NXW_BATH_ICE_WATER };

struct nxw_stage {
    enum nxw_stage_kind kind;
    double volume_m3; /* whole inside volume */
    double inner_diameter_m;
    double wall_thickness_m;

    double liquid_m3;              /* charged */
    double acid_mass_fraction;     /* HNO3 in the charge */
    double peroxide_mass_fraction; /* H2O2 in the charge */
    double strong_acid_mol_m3;     /* univalent strong-acid background, usually 0 */
    double liquid_temperature_K;   /* NAN: the bath's */

    enum nxw_tip_kind tip;
    double bore_m; /* tube bore, hole diameter, or largest pore of a frit */
    double holes;  /* number of holes */
    double frit_diameter_m;
    double bubble_diameter_m; /* for NXW_TIP_BUBBLE_DIAMETER */
    double tip_clearance_m;   /* height of the tip above the bottom; depth = level - clearance */
    double depth_m;           /* NAN: from level and clearance; else fixed immersion depth */
    bool no_surface;          /* for checks: flat surface and wet wall take nothing up */

    enum nxw_bath_kind bath;
    double bath_temperature_K;
    double ice_kg;
    double bath_water_kg; /* water in the ice bath at the start */
    bool bath_stirred;
    double UA_W_K; /* NAN: from films and glass */

    struct nxw_carrier bleed; /* ahead of this stage */
};

struct nxw_case {
    char name[96];
    struct nxw_source source;
    struct nxw_carrier carrier;
    size_t n_stages;
    struct nxw_stage stages[NXW_STAGES_MAX];

    double vent_bore_m, vent_length_m;
    bool vent_closed;      /* for checks against closed vessels only: constant pressure */
    double hood_flow_m3_s; /* 0: none given */
    double standing_s;     /* after source and carrier have ended */
    double surroundings_temperature_K, surroundings_pressure_Pa;
    double vessel_volume_m3; /* gas space of the hot vessel, 0: none given (suck-back) */
    double vessel_hot_K, vessel_cool_K;

    double relative_tolerance;     /* 1e-5 */
    size_t slices;                 /* of the bubble path; 0: default */
    bool isothermal;               /* for checks: liquid and gas stay at the start temperature */
    bool physical_absorption_only; /* for checks: no reaction in the liquid or its film */
    double bubble_kG_m_s;          /* for checks: gas film of every bubble; 0: from Sh_bubble */

    struct nxw_parameters parameters;
};

/* An ordinary bench bottle with a default everywhere; source amounts stay zero. */
void nxw_case_init(struct nxw_case *out);

/* Judge a case without running it: NXW_OK or NXW_ERROR_CASE with path and sentence. */
enum nxw_status nxw_case_check(const struct nxw_case *in, struct nxw_diagnosis *diagnosis);

/*
 * A value that misses a bound by no more than what converting its unit rounds off is that bound:
 * 5 mL as 5 * 1e-6 is one digit in the seventeenth place below 5e-6 m3. nxw_case_check judges so.
 *
 * Returned: low or high where the value lies within 8 roundings of it, else the value
 */
double nxw_at_bound(double value, double low, double high);

/*
 * The most liquid a bottle may be filled with, of its whole inside volume; nxw_case_check refuses
 * more.
 *
 *   V = 0.95 volume
 *
 * Fuller than this any bottle is at its brim as soon as gas comes: in a 60 mm bottle gas at 0.5 to
 * 2 L/min lifts the liquid by 1 to 3 % (hold-up), and a dip tube of 8 mm displaces 2 % of what it
 * stands in; in narrower glass both are more; and what is caught adds to the liquid. A run tells
 * with NXW_EVENT_OVERFULL when a liquid that has grown passes the whole volume.
 *
 * Returned: m3; NAN where the volume is not finite, or below 0
 * Source:   judgement
 */
double nxw_largest_fill_m3(double volume_m3);

/* Does the liquid of a bottle suit its glass? NXW_OK, or NXW_ERROR_CASE with the largest fill. */
enum nxw_status nxw_fill_check(const struct nxw_stage *stage, struct nxw_diagnosis *diagnosis);

/*
 * The first stage that holds liquid, where gas meets it.
 *
 * Returned: index from 0; n_stages where there is none
 */
size_t nxw_first_bottle(const struct nxw_case *in);

/* ----------------------------------------------------------------------------- result */

enum nxw_event_kind {
    NXW_EVENT_SOURCE_STARTS,
    NXW_EVENT_SOURCE_ENDS,
    NXW_EVENT_CARRIER_ENDS,
    NXW_EVENT_BROWN_HEADSPACE, /* NO2 to be seen above the liquid: value = mole fraction */
    NXW_EVENT_BLUE_LIQUID,     /* nitrous acid colours the liquid: value = mol/m3 */
    NXW_EVENT_FIZZ,            /* NO leaves the liquid as bubbles: value = mol/s at peak */
    NXW_EVENT_PEROXIDE_SPENT,
    NXW_EVENT_ICE_GONE,
    NXW_EVENT_OVERFULL,
    NXW_EVENT_PEAK_TEMPERATURE, /* value = K */
    NXW_EVENT_DRAWN_BACK,       /* gas drawn back through the vent: value = mol air drawn in */
    NXW_EVENT_LIQUID_DRAWN,     /* the next bottle's liquid comes up its dip tube: value = m3 */
    NXW_EVENT_FREEZING,
    NXW_EVENT_WATER_NEARLY_GONE,
    NXW_EVENT_BOILING,
    NXW_EVENT_VENT_ABOVE_LIMIT, /* vent flow of NO2 passes the judgement limit */
    NXW_EVENT_END,
    NXW_EVENT_COUNT
};
struct nxw_event {
    enum nxw_event_kind kind;
    size_t stage; /* 0-based */
    double time_s;
    double value;
};

/*
 * Limits beyond which a run warns. They stand here alone, as whole numbers, so that a program can
 * make its texts of the very digits.
 *
 * Source:   regulated strengths: EU 2019/1148, for the public (secondary transcription); the rest
 *           judgement: where the data behind the constants end, what boils up, sprays or bubbles
 */
#define NXW_HOT_DEGC 60             /* a liquid above it is beyond the constants' range */
#define NXW_NITROUS_MOST_MOL_L 2    /* nitrous acid beyond the data behind the constants */
#define NXW_STRONG_ACID_WT_PCT 45   /* HNO3 and HNO2 together, */
#define NXW_STRONG_NITROUS_WT_PCT 5 /* with so much HNO2: beyond the data as well */
#define NXW_FULLEST_PCT 75          /* of the glass: above, spray and foam leave with the gas */
#define NXW_PEROXIDE_MOST_WT_PCT 12 /* above, peroxide can boil up by itself; regulated */
#define NXW_ACID_REGULATED_WT_PCT 3 /* above, nitric acid is regulated */
#define NXW_UNDER_MM 1              /* a tip less deep is not under the liquid */

#define NXW_HOT_K (273.15 + NXW_HOT_DEGC)
#define NXW_NITROUS_MOST_MOL_M3 (1e3 * NXW_NITROUS_MOST_MOL_L)
#define NXW_STRONG_ACID (NXW_STRONG_ACID_WT_PCT / 100.0)
#define NXW_STRONG_NITROUS (NXW_STRONG_NITROUS_WT_PCT / 100.0)
#define NXW_FULLEST (NXW_FULLEST_PCT / 100.0)
#define NXW_PEROXIDE_MOST (NXW_PEROXIDE_MOST_WT_PCT / 100.0)
#define NXW_ACID_REGULATED (NXW_ACID_REGULATED_WT_PCT / 100.0)
#define NXW_UNDER_M (NXW_UNDER_MM / 1e3)

enum nxw_warning { /* bits */
                   NXW_WARN_OVERFULL = 1 << 0,
                   NXW_WARN_HNO2_OUTSIDE_DATA = 1 << 1, /* HNO2 above NXW_NITROUS_MOST_MOL_L */
                   NXW_WARN_STRONG_ACID_OUTSIDE_DATA =
                       1 << 2, /* above NXW_STRONG_ACID with NXW_STRONG_NITROUS */
                   NXW_WARN_FREEZING = 1 << 3,
                   NXW_WARN_WATER_NEARLY_GONE = 1 << 4,
                   NXW_WARN_BOILING = 1 << 5,
                   NXW_WARN_DRAWN_BACK = 1 << 6,
                   NXW_WARN_PEROXIDE_SPENT = 1 << 7,
                   NXW_WARN_ICE_GONE = 1 << 8,
                   NXW_WARN_LEGAL_STRENGTH = 1 << 9, /* acid above NXW_ACID_REGULATED */
                   NXW_WARN_HOT = 1 << 10,           /* above NXW_HOT_DEGC */
                   NXW_WARN_SHALLOW = 1 << 11,       /* tip not under the liquid */
                   NXW_WARN_HEADSPACE_SMALL = 1 << 12,
                   NXW_WARN_PEROXIDE_STRONG = 1 << 13, /* above NXW_PEROXIDE_MOST */
                   NXW_WARN_JETTING = 1 << 14,
                   NXW_WARN_WEEPING = 1 << 15, /* too little gas for all holes: some stay wet */
                   NXW_WARN_BACK_PRESSURE = 1 << 16, /* more than ground joints bear */
                   NXW_WARN_LIQUID_DRAWN =
                       1 << 17, /* into a stage ahead that is no empty vessel to hold it */
                   NXW_WARN_SUCK_BACK =
                       1 << 18, /* cooling would draw liquid past the traps to the source */
                   NXW_WARN_DRAWN_TO_METAL = 1 << 19, /* and metal salts wait there */
                   NXW_WARN_PEROXIDE_DRAWN = 1 << 20, /* and what is drawn holds peroxide */
                   NXW_WARN_VENT_CLOSED = 1 << 21,    /* only for checks; a closed train bursts */
                   NXW_WARN_PEROXIDE_BETWEEN =
                       1 << 22, /* LIQUID_DRAWN, and the liquid holds peroxide */
                   NXW_WARN_STEAM_BURST =
                       1 << 23, /* SUCK_BACK, and water boils at the hot vessel's temperature */

                   /* the figures rest on no data, or on a bottle that would not be so */
                   NXW_WARN_OUTSIDE = NXW_WARN_OVERFULL | NXW_WARN_HNO2_OUTSIDE_DATA |
                                      NXW_WARN_STRONG_ACID_OUTSIDE_DATA | NXW_WARN_FREEZING |
                                      NXW_WARN_WATER_NEARLY_GONE | NXW_WARN_BOILING | NXW_WARN_HOT |
                                      NXW_WARN_SHALLOW | NXW_WARN_VENT_CLOSED |
                                      NXW_WARN_PEROXIDE_STRONG | NXW_WARN_JETTING
};

/* Why nitrogen left by the vent; mol N each, adding up to what escaped. */
struct nxw_why {
    double NO_never_oxidised_mol;            /* fed as NO, no oxygen or no time */
    double NO_given_back_mol;                /* nitrous acid gave NO back to the gas */
    double NO_given_back_peroxide_spent_mol; /* of that: after the peroxide ran out */
    double NO2_too_dilute_mol; /* passed the bubble path, held up by the slow reaction */
    double
        NO2_path_too_short_mol; /* passed it, held up on the gas side: big bubbles, little depth */
    double NO2_reformed_swept_mol; /* NO that turned to NO2 in the headspace and was swept out */
    double acid_vapour_mol;        /* HNO2 and HNO3 vapour */
};

struct nxw_stage_result {
    double entered_NO_mol, entered_NO2_mol, entered_HNO2_mol, entered_HNO3_mol; /* pools, N each */
    double left_NO_mol, left_NO2_mol, left_HNO2_mol, left_HNO3_mol;             /* net outward */
    double nitrate_start_mol, nitrate_mol;                                      /* in the liquid */
    double nitrous_acid_mol, HOONO_mol, NO_aq_mol, NO2_aq_mol;
    double in_flight_mol; /* N in the headspace */
    double gas_m3;        /* above the liquid at the end, as it expands at the stage's pressure */
    double peroxide_start_mol, peroxide_mol, peroxide_spent_at_s; /* NAN: never */
    double water_mol;
    double liquid_m3, density_kg_m3, density_reference_kg_m3; /* reference: 20 degC */
    double acid_mass_fraction, acid_mol_m3;                   /* nitrate as HNO3 */
    double temperature_K, peak_temperature_K, peak_at_s;
    double ice_start_kg, ice_left_kg, ice_melted_kg;
    double bubble_diameter_m, bubble_residence_s, depth_m; /* at the peak of the flow */
    double peak_HNO2_mol_m3, peak_NO2_headspace_fraction;
    double fizz_mol; /* NO that left by effervescence */
    double drawn_back_mol;
    /* heat, followed in bottles whose temperature moves, else 0; booked + stored + lost = 0 when
     * closed. Lost through the wall; stored in liquid and glass that end warmer than they began,
     * below 0 when colder; booked: less what uptake, reactions and dilution set free and the gas
     * brought along, counted at the temperature of the start, below 0 when that warms */
    double heat_lost_J, heat_stored_J, heat_booked_J;
    /* the tip at the peak of the flow; 0 in an empty vessel */
    double tip_flow_m3_s, tip_jet_flow_m3_s; /* all holes together; INFINITY: not known */
    double tip_holes_blowing;                /* of the holes: those sure to blow */
    double head_Pa, capillary_Pa, flow_loss_Pa;
    double gauge_Pa;           /* ahead of the stage, above the room: at most */
    double tube_crest_m;       /* of the dip tube, above the tip */
    double liquid_drawn_m3;    /* of the NEXT bottle, drawn into this stage: at most */
    double peroxide_drawn_mol; /* in that */
    double between_needed_m3;  /* empty vessel between the two that would catch it */
    double short_of_gas_mol_s; /* carrier that would have kept gas from being drawn back */
};

/* What the glass has to bear and what would be drawn back. NAN: not known without the vessel. */
struct nxw_glass_result {
    double gauge_peak_Pa, joint_bears_Pa; /* at the source's outlet, above the room */
    double vent_loss_Pa;                  /* part of it */
    /* the hot vessel cools and no gas follows */
    double vapour_share;            /* of the vessel's gas: condenses */
    double dissolved_share;         /* of the other gas ahead of the first bottle */
    double suck_back_m3;            /* liquid the cooling gas would draw, were there enough */
    double liquid_at_risk_m3;       /* of it, what stands above the tips */
    double peroxide_at_risk_mol;    /* in that */
    double crest_needed_m, crest_m; /* above the liquid's level */
    double trap_needed_m3, trap_m3; /* empty vessels ahead of the first bottle, together */
    double carrier_needed_mol_s, carrier_needed_s;
    double carrier_mol_s, carrier_s; /* what flows on after the source, and how long */
    /* a blocked vent, a blocked first tip: pressure rise at the peak flow, time to what joints bear
     */
    double blocked_vent_Pa_s, blocked_vent_s, blocked_tip_Pa_s, blocked_tip_s;
    /* the hood stops: rise of the fraction in its air at the peak */
    double hood_stopped_NO_1_s, hood_stopped_NO2_1_s;
};

enum { NXW_ORDERS = 5 };

struct nxw_statistics {
    long runs; /* 2 to 4: those before did not come out clean; what follows is of the last */
    long steps, steps_of_order[NXW_ORDERS]; /* the latter: of the first, second ... */
    long rhs, jacobians, factorisations, newton_iterations;
    long error_test_failures, newton_failures; /* steps tried again for them */
    double processor_ms;                       /* of all runs */
    size_t states, nonzeros;
};

struct nxw_result {
    size_t bytes; /* sizeof(struct nxw_result) of the library; another than yours: another header */
    enum nxw_status status;
    double end_s;      /* where the run ended */
    double source_mol; /* N that the source brings, also where the run ended before it did */
    double fed_mol;    /* N fed: NO, NO2, HNO2, HNO3 vapour */
    double fed_NO_mol, fed_NO2_mol, fed_HNO2_mol, fed_HNO3_mol, fed_O2_mol;
    double kept_mol; /* nitrate gained */
    double held_mol; /* kept + HNO2 + HOONO + NO(aq) + NO2(aq) gained */
    double escaped_NO_mol, escaped_NO2_mol, escaped_HNO2_mol, escaped_HNO3_mol;
    double escaped_mol, in_flight_mol;
    double nitrogen_closure, oxygen_closure, hydrogen_closure, heat_closure; /* fractions of fed */
    double receiver_HNO3_mol; /* acid vapour source: what the receiver keeps; 0 otherwise */
    double receiver_mass_fraction;
    double vent_peak_NO_kg_s, vent_peak_NO2_kg_s, vent_mean15_NO_kg_s, vent_mean15_NO2_kg_s;
    double vent_peak_NO_fraction, vent_peak_NO2_fraction; /* while gas flows */
    double vent_time_above_s;                             /* NO2 above parameter vent_limit_NO2 */
    double hood_peak_NO_fraction, hood_peak_NO2_fraction, hood_mean15_NO2_fraction,
        hood_mean15_NO_fraction;
    struct nxw_why why;
    struct nxw_glass_result glass;
    unsigned warnings; /* enum nxw_warning bits */
    size_t n_stages;
    struct nxw_stage_result stages[NXW_STAGES_MAX];
    size_t n_events;
    struct nxw_event events[NXW_EVENT_COUNT * NXW_STAGES_MAX];
    struct nxw_statistics statistics;
    struct nxw_diagnosis diagnosis;
};

/* One row of a time series, for the observer. */
struct nxw_series_row {
    bool begins; /* the first of a run; when another begins, what came before is void */
    double time_s;
    size_t stage;
    double fed_N_mol_s; /* into the first stage */
    double kept_mol, nitrous_acid_mol, HOONO_mol, NO_aq_mol, NO2_aq_mol, peroxide_mol;
    double temperature_K, liquid_m3, ice_kg;
    double headspace_NO_fraction, headspace_NO2_fraction, headspace_HNO2_fraction;
    double vent_NO_mol_s, vent_NO2_mol_s, vent_HNO2_mol_s, vent_HNO3_mol_s, vent_flow_mol_s;
    double bubble_diameter_m, bubble_out_diameter_m;
};

/*
 * Observer called once per stage per accepted step, from the thread of the call; the row lives
 * until it returns. Return false to cancel: nxw_estimate then ends with NXW_ERROR_CANCELLED. NULL:
 * none.
 */
typedef bool nxw_observer(const struct nxw_series_row *row, void *user);

/*
 * Run a case. A run that fails, or leaves an amount below nothing by more than a millionth of what
 * moved, is done again with 0.03 to 0.05 of the tolerance (1e-6 at most): one that fails with its
 * slices, any with half as many again, then with three times as many. Where all of them fail it is
 * done once more as at first, and may take more steps; what that leaves below nothing is told with
 * the balances. A run that ends early does so at the first step after what ends it.
 *
 * Given:    in        the case; checked first
 *           observer  or NULL
 * Returned: out       filled when the status is not negative; else bytes, status, diagnosis and
 *                     statistics, no event, and NAN for every figure
 * Status:   NXW_OK, NXW_ENDED_EARLY, NXW_ERROR_CASE, _MEMORY, _SOLVER, _CANCELLED
 */
enum nxw_status nxw_estimate(const struct nxw_case *in, nxw_observer *observer, void *user,
                             struct nxw_result *out);

/* ------------------------------------------------------ properties a bench may ask for */

/*
 * Density of nitric acid, of hydrogen peroxide, of water that holds both.
 *
 * Given:    mass fractions  0 to 1, together at most 1
 *           temperature_K   258.15 to 373.15
 * Returned: kg/m3; NAN outside these ranges
 */
double nxw_acid_density_kg_m3(double mass_fraction, double temperature_K);
double nxw_peroxide_density_kg_m3(double mass_fraction, double temperature_K);
double nxw_liquid_density_kg_m3(double HNO3_mass_fraction, double H2O2_mass_fraction,
                                double temperature_K);

/*
 * Does water boil, to 0.3 K, at the temperature of the hot vessel and the room's pressure? What is
 * drawn over to the vessel then flashes to steam. Peroxide and acid of a bottle's strength (below
 * 80 wt%) boil above water, so this is the earlier mark.
 */
bool nxw_vessel_boils_water(const struct nxw_case *in);

/* ------------------------------------------------------------------------- version */

const char *nxw_version(void);
const char *nxw_commit(void);

/* ------------------------------------------------------ strength of acid from its density */

/* Water at the lower temperature of a gravity scale, or any other. 0 to 100 degC; else NAN. */
double nxw_pure_water_density_kg_m3(double temperature_K);

/* How far the density curve can be trusted at a strength. */
enum nxw_strength_basis {
    NXW_STRENGTH_PRINTED,    /* to 40 wt%: printed table */
    NXW_STRENGTH_CONFIRMED,  /* to 70 wt%: remembered row; a published fit and one print agree */
    NXW_STRENGTH_REMEMBERED, /* to 85 wt%: remembered data only */
    NXW_STRENGTH_FLAT        /* above: 1 wt% is less than 0.003 g/cm3; not read. And no number */
};
enum nxw_strength_basis nxw_strength_basis(double mass_fraction);

/* A density reading. Errors are standard errors: 1.96 of them hold 95 readings of 100. */
struct nxw_density_reading {
    double density_kg_m3;       /* true, at temperature_K: see nxw_hydrometer_density_kg_m3 */
    double density_error_kg_m3; /* 0 to 1000; of the density: 500 to 2500 */
    double temperature_K;       /* of the liquid, -10 to 95 degC */
    double temperature_error_K; /* 0 to 100 */
    /* known from elsewhere, 0: none; mass fractions of the whole liquid, together below 1 */
    double NO2_mass_fraction, HNO2_mass_fraction, H2O2_mass_fraction;
};

struct nxw_strength {
    size_t bytes;          /* as in struct nxw_result */
    double mass_fraction;  /* HNO3 in the whole liquid */
    double low, high;      /* 95 of 100; low is 0 where less than nothing would be met */
    bool high_is_open;     /* the upper end lies where the curve is too flat */
    double standard_error; /* of mass_fraction, all causes */
    double reading_error, temperature_error, table_error, other_error; /* its parts */
    double mol_m3, kg_m3;                                              /* HNO3, at temperature_K */
    double density_20_kg_m3; /* the same liquid at 20 degC */
    enum nxw_strength_basis basis;
};

/*
 * True density from what a hydrometer shows.
 *
 *   rho(t) = reading (1 - expansion (t - t_reference))
 *
 * Given:    reading_kg_m3       what the scale shows, as density at its reference temperature
 *           temperature_K       of the liquid (and the glass in it)
 *           reference_K         temperature the hydrometer was made for
 *           expansion_1_K       cubic expansion of the glass, 25e-6 by convention
 * Returned: kg/m3; NAN where a density, or the glass, would not be above 0 and finite
 * Source:   ISO 1768:1975 (25e-6 per K; secondary copy); equation from memory (high)
 */
double nxw_hydrometer_density_kg_m3(double reading_kg_m3, double temperature_K, double reference_K,
                                    double expansion_1_K);

/* The way back: what the hydrometer shows in a liquid of this density; NAN as above. */
double nxw_hydrometer_reading_kg_m3(double density_kg_m3, double temperature_K, double reference_K,
                                    double expansion_1_K);

/*
 * Error of the density curve itself, as a standard error in kg/m3.
 *
 * Given:    mass_fraction, temperature_K; NAN outside those of nxw_acid_density_kg_m3
 * Returned: a half of the greatest distance to be met: 0.5 at 20 degC to 40 wt%, 0.6 to 65 wt%,
 *           2 from 70 wt%; 0.1 more for every kelvin below 20 degC, 0.06 above, and three times
 *           that from 70 wt%
 * Source:   to 27 wt% the distance to every cell of Perry's table and of the molality table, 0 to
 *           100 degC (computed); to 65 wt% the row against Laliberte's fit (computed); above,
 *           and for the change with temperature above 27 wt%, judgement
 */
double nxw_acid_density_error_kg_m3(double mass_fraction, double temperature_K);

/*
 * Nitric acid by weight from a density reading.
 *
 * Given:    reading
 * Returned: out  all NAN on failure
 * Status:   NXW_OK
 *           NXW_ERROR_RANGE  a member outside its range; lighter than water by more than the
 *                            errors; so strong that the curve is too flat; more of something else
 *                            than the density can hold (diagnosis says which)
 * Valid:    0 to 85 wt%, see enum nxw_strength_basis
 * Source:   nxw_liquid_density_kg_m3 inverted; NO2: 4.8 +- 1 kg/m3 per wt%, from fuming acid with
 *           12 % NO2 at 1.57 against 1.513 without (secondary transcription); HNO2 taken to weigh
 *           as HNO3 does, +-50 % (judgement: no figure is published)
 */
enum nxw_status nxw_strength_from_density(const struct nxw_density_reading *reading,
                                          struct nxw_strength *out,
                                          struct nxw_diagnosis *diagnosis);

/*
 * Nitric acid by weight from its amount or mass in a volume: w rho(w) = c.
 *
 * Given:    kg_m3  HNO3 per cubic metre at temperature_K (258.15 to 373.15)
 * Returned: mass_fraction; NAN on failure
 * Status:   NXW_OK; NXW_ERROR_RANGE  below 0, more than the pure acid holds, or a temperature
 *           outside its range
 */
enum nxw_status nxw_strength_from_concentration(double kg_m3, double temperature_K,
                                                double *mass_fraction);

/* What a titration of the liquid gave; permanganate_m3 = 0: total acid only. */
struct nxw_titration {
    double temperature_K; /* of the liquid when the samples were taken, -10 to 95 degC */
    double sample_m3, alkali_m3, alkali_mol_m3; /* univalent alkali, 0 to 100 mol/L; a sample is
                                                 * more than 0, a titre 0 or more */
    double permanganate_sample_m3, permanganate_m3, permanganate_mol_m3;
    bool permanganate_finds_peroxide; /* else nitrous acid; a liquid holds only one for long */
    double relative_error;            /* standard error of each titre, as a share of it: 0 to 1 */
};

struct nxw_titrated {
    size_t bytes;       /* as in struct nxw_result */
    double acid_mol_m3; /* all that the alkali found */
    double HNO3_mol_m3, HNO2_mol_m3, H2O2_mol_m3;
    double HNO3_error_mol_m3, other_error_mol_m3; /* standard errors */
    double HNO3_mass_fraction, HNO3_mass_error;
    double HNO2_mass_fraction, H2O2_mass_fraction;
};

/*
 * Acid from its titration: all acid by alkali, nitrous acid or peroxide by permanganate.
 *
 *   acid = c V / V_sample;  5 HNO2 (or 5 H2O2) + 2 MnO4-: 2.5 mol for each mol of permanganate
 *
 * Given:    in
 * Returned: out  all NAN on failure
 * Status:   NXW_OK
 *           NXW_ERROR_RANGE  a member outside its range; more nitrous acid than acid, by more
 *                            than the errors; more of anything than a liquid can hold (diagnosis
 *                            says which)
 * Valid:    mass fractions lean on the density curve: 0.2 % of them to 70 wt%
 * Source:   the two reactions; HNO2 titrates as an acid (pKa 3.3)
 */
enum nxw_status nxw_titration_result(const struct nxw_titration *in, struct nxw_titrated *out,
                                     struct nxw_diagnosis *diagnosis);

/* ------------------------------------------------------------------- mixing and diluting */

enum { NXW_BLEND_PARTS_MAX = 20 };

/*
 * Acid is not planned together with peroxide above NXW_PEROXIDE_MOST. The heat of its decomposition
 * (98 kJ/mol) is 346 kJ in a kilogram of 12 wt%: 85 K, from room temperature to boiling.
 */
struct nxw_blend_part {
    double mass_kg;                                    /* 1e-9 to 1e6 */
    double acid_mass_fraction, peroxide_mass_fraction; /* together at most 1 */
    double temperature_K;                              /* 223.15 to 373.15; of ice: 273.15 */
    bool ice;                                          /* pure, at its melting point */
};

struct nxw_blend {
    size_t bytes;   /* as in struct nxw_result */
    double mass_kg; /* with any ice left */
    double acid_kg, peroxide_kg;
    double acid_mass_fraction, peroxide_mass_fraction; /* of the liquid */
    double temperature_K; /* right after mixing, nothing lost to glass and air */
    /* set free by diluting the acid, at 25 degC; a little below 0, up to 14 J for each kg, between
     * acids that are nearly alike, and 5 kJ for each kg between such of 80 and 100 wt%: the curve
     * of the heats is known no better */
    double heat_J;
    double volume_20_m3, parts_volume_20_m3; /* liquid at 20 degC; parts alike, each by itself,
                                              * ice as water */
    double density_20_kg_m3;
    double ice_left_kg;
    bool boils; /* it would pass 100 degC: temperature_K is where it would go */
};

/*
 * Mix liquids and ice: masses add, heat contents add, volumes do not.
 *
 *   H = m cp_w r (T - 298.15 K) + n(HNO3) L(molality);   r = cp/cp_w
 *
 * Given:    parts, n   1 to NXW_BLEND_PARTS_MAX parts
 * Returned: out        all NAN on failure
 * Status:   NXW_OK
 *           NXW_ERROR_RANGE  a part outside its range; acid in any part and peroxide above
 *                            NXW_PEROXIDE_MOST in any; the mixture would freeze (diagnosis says)
 * Valid:    heat of dilution 1 %, heat capacity 5 % (to 70 wt%); the heat that peroxide sets free
 *           on dilution is left out (under 3.4 kJ for a mole of it)
 * Source:   Parker 1965 (nxw_acid_dilution_heat_J_mol), Perry's heat capacities, from memory;
 *           cp of peroxide 3.86 and 3.53 kJ/(kg K) at 30 and 50 wt% (Laliberte 2009, computed)
 */
enum nxw_status nxw_blend(const struct nxw_blend_part *parts, size_t n, struct nxw_blend *out,
                          struct nxw_diagnosis *diagnosis);

/* --------------------------------------------------------------- account after the run */

enum { NXW_BALANCE_PLACES_MAX = 16, NXW_BALANCE_READINGS_MAX = 32 };

struct nxw_balance_reading {
    size_t place; /* 0 to n_places - 1; several readings of one place are allowed */
    double nitrogen_mol, error_mol; /* -1e12 to 1e12; standard error, 1e-18 to 1e12 */
};

struct nxw_balance_in {
    double available_mol, available_error_mol; /* > 0 to 1e12; standard error as of a reading */
    bool complete; /* every place nitrogen can be in was read: the account must close */
    size_t n_places, n_readings;
    struct nxw_balance_reading readings[NXW_BALANCE_READINGS_MAX];
};

struct nxw_balance {
    size_t bytes; /* as in struct nxw_result */
    /* per place: weighted mean of its readings; NAN without one */
    double found_mol[NXW_BALANCE_PLACES_MAX], found_error_mol[NXW_BALANCE_PLACES_MAX];
    /* after closing the account; the same where complete is false */
    double closed_mol[NXW_BALANCE_PLACES_MAX], closed_error_mol[NXW_BALANCE_PLACES_MAX];
    double available_closed_mol;
    double total_mol, total_error_mol;             /* all that was found */
    double unexplained_mol, unexplained_error_mol; /* available less found */
    double chi_square, probability; /* of so much or more by chance; NAN without degrees */
    size_t degrees;                 /* readings more than are needed */
    double standardised[NXW_BALANCE_READINGS_MAX]; /* residuals; NAN where nothing checks it */
    double standardised_available;
    size_t suspect;   /* the reading that fits worst; n_readings: what was available */
    bool has_suspect; /* and it lies outside 95 of 100 */
    bool impossible;  /* more found than was available, by more than the errors */
};

/*
 * Account of nitrogen: what was available against what was found, by weighted least squares.
 *
 *   least of  sum (reading - x)2/s2 + (available - c)2/s2   with, where complete, c = sum x
 *
 * Given:    in
 * Returned: out  all NAN on failure
 * Status:   NXW_OK; NXW_ERROR_RANGE  too many readings or places, one that names no place, or a
 *           number outside its range
 * Source:   adjustment by the method of least squares in closed form: one condition
 */
enum nxw_status nxw_balance(const struct nxw_balance_in *in, struct nxw_balance *out);

/* Chance of a chi-square of that size or more, with 1 to 1e6 degrees of freedom; else NAN. */
double nxw_chi_square_tail(double chi_square, size_t degrees);

#ifdef __cplusplus
}
#endif
#endif
