/* Further runs that answer "what if": peroxide, cooling, a bigger bottle. */
#ifndef NXW_WHAT_IF_H
#define NXW_WHAT_IF_H

#include "noxwash.h"

/*
 * Peroxide for what was fed, with a margin of a fifth: NO2 + 1/2 H2O2 -> HNO3,
 * NO + 3/2 H2O2 -> HNO3 + H2O, HNO2 + H2O2 -> HNO3 + H2O.
 */
double nxw_peroxide_for_gas_kg(const struct nxw_result *base);

/*
 * The same without a margin, and with what is lost aside, to water and oxygen: s mol for each that
 * is used, over the range of s (peroxide_side_loss).
 */
void nxw_peroxide_range_kg(const struct nxw_case *in, const struct nxw_result *base, double *least,
                           double *most);

/* Charge a bottle with so much H2O2 in the same volume, up to NXW_PEROXIDE_MOST; what was charged,
 * kg.
 */
double nxw_charge_peroxide(struct nxw_stage *stage, double peroxide_kg);

/* H2O2 charged in all bottles together, and ice around them. */
double nxw_case_peroxide_kg(const struct nxw_case *in);
double nxw_case_ice_kg(const struct nxw_case *in);

/* The highest temperature of any bottle's liquid; NAN in a train without a bottle. */
double nxw_hottest_K(const struct nxw_case *in, const struct nxw_result *result);

/* Ice water around a bottle, or the air of the surroundings. */
void nxw_swap_bath(const struct nxw_case *in, struct nxw_stage *stage, bool cool);

/* Does clearly more escape after a change? Worth saying even where more acid is kept; judgement. */
bool nxw_more_escapes(double before_mol, double after_mol, double fed_mol);

/* Does a run that ended so end the whole work? One that the solver could not finish does not. */
bool nxw_ends_all(enum nxw_status status);

struct nxw_what_if {
    bool ran; /* result holds numbers */
    enum nxw_status status;
    struct nxw_case in;
    struct nxw_result result;
};

struct nxw_what_ifs {
    size_t stage; /* the bottle that is changed: the first with liquid */
    struct nxw_what_if with_peroxide, without_peroxide; /* without: when the case has some */
    double peroxide_needed_kg;                          /* H2O2 for what is fed, with the margin */
    double peroxide_charged_kg;                         /* in the run with peroxide */
    struct nxw_what_if cooled, uncooled; /* one of them: the other of what the case has */
    struct nxw_what_if bigger;
    /* of a train: each stage changed alone, by what gains most there */
    struct nxw_stage_change {
        bool ran;
        enum nxw_stage_change_kind {
            NXW_CHANGED_PEROXIDE, /* a bottle given peroxide */
            NXW_CHANGED_BUBBLES,  /* or finer bubbles */
            NXW_CHANGED_VOLUME    /* an empty vessel of twice the volume */
        } kind;
        double escaped_mol, kept_mol;
    } changes[NXW_STAGES_MAX];
};

/* Worth a change: clearly less escapes, or clearly more is kept for good. */
bool nxw_is_worth_it(const struct nxw_result *base, double escaped_mol, double kept_mol);

/* What less escapes and what more is kept, together: by this changes of a stage are ranked. */
double nxw_stage_gain_mol(const struct nxw_result *base, const struct nxw_stage_change *change);

/* The stage whose change gains most; n_stages when none is worth it. */
size_t nxw_stage_worth_changing(const struct nxw_result *base, const struct nxw_what_ifs *what_ifs);

#define NXW_CHANGE_PEROXIDE 0.03 /* mass fraction in a bottle changed alone; judgement */
#define NXW_CHANGE_BUBBLE_M 2e-3 /* a frit's bubbles, as a coarse frit makes them; judgement */

/* Run them all; stops when a run is cancelled. Given: observer such as nxw_estimate's. */
enum nxw_status nxw_what_ifs_run(const struct nxw_case *in, const struct nxw_result *base,
                                 nxw_observer *observer, void *user, struct nxw_what_ifs *out);

#endif
