/* A list of stages as one system of rates. */
#ifndef NXW_TRAIN_H
#define NXW_TRAIN_H

#include "stage/source.h"
#include "stage/stage.h"

struct nxw_train {
    const struct nxw_case *in;
    struct nxw_source_plan source;
    struct nxw_chemistry feed; /* gas constants at the temperature of the feed */
    size_t n_stages, n_states;
    struct nxw_stage_plan stages[NXW_STAGES_MAX];
    size_t first[NXW_STAGES_MAX]; /* index of each stage's first state */
    /* of the last evaluation: */
    struct nxw_stage_view views[NXW_STAGES_MAX];
    struct nxw_weights weights[NXW_STAGES_MAX];
};

void nxw_train_make(const struct nxw_case *in, struct nxw_train *out);
void nxw_train_start(const struct nxw_train *train, double *x);
/* Rates of all states at t. Returns false when a rate is not finite. */
bool nxw_train_rates(struct nxw_train *train, double t_s, const double *x, double *rate);
/* The same with the weights of the slices as they were at the last evaluation. */
bool nxw_train_rates_at_weights(struct nxw_train *train, double t_s, const double *x, double *rate);
/* The gas the source and the carrier send, and what a bleed ahead of a stage adds to it. */
void nxw_train_first_stream(const struct nxw_train *train, double t_s, struct nxw_gas_stream *out);
void nxw_train_bleed(const struct nxw_train *train, size_t stage, double t_s,
                     struct nxw_gas_stream *stream);
/*
 * Tolerances of each state, relative and absolute; the absolute ones scale with what is fed.
 *
 * Bubbles and dissolved NO2 follow the rest within a second, NO and NO2 in a headspace within a
 * minute, so what is wrong with them is gone as soon: they get a thousand, a hundred and thirty
 * times the relative tolerance, a thousandth at most. The bulk of a headspace gets a tenth.
 */
void nxw_train_tolerances(const struct nxw_train *train, double fed_N_mol, double NOx_fraction,
                          double *relative, double *absolute);

#endif
