/* Run files: what was put in and what was found after a run. */
#ifndef NXW_RUN_FILE_H
#define NXW_RUN_FILE_H

#include "case/blend_part.h"
#include "case/case_file.h"
#include "case/gravity.h"
#include "case/titration_text.h"

enum nxw_found_kind { NXW_FOUND_NITROGEN, NXW_FOUND_DENSITY, NXW_FOUND_TITRATION };

struct nxw_found {
    enum nxw_found_kind kind;
    size_t place;
    double volume_m3, mass_kg; /* one of them; 0: not given */
    double amount_error;       /* share, standard error */
    bool error_assumed;        /* of the amount */
    struct nxw_gravity gravity;
    struct nxw_strength strength;
    struct nxw_titrated titrated;
    double nitrogen_mol, error_mol; /* standard error */
    double HNO3_mol;                /* of it nitric acid, as far as the reading tells */
    double temperature_K;           /* of the liquid while read */
};

enum { NXW_PUT_IN_MAX = 16 };

/* A liquid put into a place before or during the run. */
struct nxw_put_in {
    char where[48];
    struct nxw_written_part part;
};
double nxw_put_in_HNO3_mol(const struct nxw_put_in *p);
double nxw_put_in_H2O2_mol(const struct nxw_put_in *p);

struct nxw_run {
    char name[96], currency[16];
    double available_mol, available_error_mol;
    bool available_error_assumed, complete, log_given;
    bool priced;        /* what was spent is counted from the case's prices */
    bool bought_priced; /* and bought acid */
    /* available_mol is the charge, less what a metal binds as nitrate, and acid put in */
    char metal[32];
    double metal_bound_mol, acid_put_in_mol;
    size_t n_put_in;
    struct nxw_put_in put_in[NXW_PUT_IN_MAX];
    size_t n_places;
    char places[NXW_BALANCE_PLACES_MAX][48];
    size_t n_found;
    struct nxw_found found[NXW_BALANCE_READINGS_MAX];
    /* money; NAN: not given */
    double energy_J, disposed_m3; /* counted at the case's prices; NAN: not told */
    double spent, bought_price, delivery, bought_m3, bought_mass_fraction;
    double NO2_price;   /* what keeping a kg of NO2 out of the air is worth */
    struct nxw_case in; /* only when the run names a case */
    struct nxw_case_notes notes;
};

/* The metal that was dissolved, by the run or by its case; NULL: none is told. */
const char *nxw_run_metal(const struct nxw_run *run);

/*
 * Read a run file; a case it names is looked for beside it.
 *
 * Status: 0 good, 3 faults, 6 the file could not be read
 */
int nxw_run_file_read(const char *path, struct nxw_run *out, struct nxw_fault_list *faults);

/*
 * The same from a tree already read.
 *
 * Given: account  what an account needs is asked for: a charge and what was found
 */
int nxw_run_tree_read(struct nxw_node *tree, const char *path, bool account, struct nxw_run *out,
                      struct nxw_fault_list *faults);

#endif
