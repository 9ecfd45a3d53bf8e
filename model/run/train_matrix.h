/*
 * A matrix with the structure of a train: what acts on what, and nothing else.
 *
 *   path    a slice by itself and by the slice below; by the liquid (amounts and temperature)
 *   tank    by the path, but only through the sums over it, and by the tank
 *   ledgers likewise; they act on nothing, so they have no columns
 *   all     by the tank of the stage before, through the gas that comes from it
 *
 * Blocks are stored column by column. Elimination: slice by slice up the path, then the tank with
 * what the path sends back to it, stage after stage.
 */
#ifndef NXW_TRAIN_MATRIX_H
#define NXW_TRAIN_MATRIX_H

#include "stage/train.h"

enum {
    NXW_M_LIQUID = NXW_T_TEMPERATURE + 1,    /* tank states the path knows of: the first ones */
    NXW_M_BETWEEN = NXW_M_LIQUID + NXW_POOLS /* those the next stage knows of: and the headspace */
};

/* Places of one stage's blocks in the elements. */
struct nxw_stage_blocks {
    size_t own, below;  /* [slice][column][row], NXW_PATH_POOLS each */
    size_t by_liquid;   /* [NXW_M_LIQUID][path] */
    size_t by_sum;      /* [NXW_S_COUNT][tank + ledgers] */
    size_t by_tank;     /* [tank][tank + ledgers] */
    size_t by_before;   /* [NXW_M_BETWEEN][path + tank + ledgers]; not in the first stage */
    size_t sum_by_path; /* [path][NXW_S_COUNT]; keeps its scale, as it meets by_sum in a product */
};

struct nxw_train_matrix {
    const struct nxw_train *train;
    struct nxw_stage_blocks blocks[NXW_STAGES_MAX];
    size_t n_elements, n_scaled;
    double *element;
    double
        *work; /* the tank's reduced block, factored; the answers of sums and path to the liquid */
    size_t *pivot; /* of the reduced blocks */
};

/* Returned: false when memory is short; free it then too. */
bool nxw_train_matrix_make(const struct nxw_train *train, struct nxw_train_matrix *out);
void nxw_train_matrix_free(struct nxw_train_matrix *matrix);

/* Tank state of the k-th column of by_before. */
size_t nxw_train_matrix_between(size_t k);

void nxw_train_matrix_copy(const struct nxw_train_matrix *from, struct nxw_train_matrix *to);
/* Elements times factor, plus one on the diagonal. */
void nxw_train_matrix_scale_add_identity(struct nxw_train_matrix *matrix, double factor);

/* In place: false when it is singular. The diagonal of the ledgers counts as one. */
bool nxw_train_matrix_factor(struct nxw_train_matrix *matrix);
/* Solve for b in place, with the factors. */
void nxw_train_matrix_solve(const struct nxw_train_matrix *matrix, double *b);

#endif
