/*
 * Derivatives of all rates with respect to all states, by differences along the structure.
 *
 * A slice of a bubble path feels itself, the slice below, the liquid and the entering gas; a tank
 * feels its path only through the sums over the slices; a stage feels the one before it only
 * through the gas that comes from it. A slice knows itself and the one below by their weighted
 * mean, so all slices are moved together, and no difference is taken twice.
 */
#ifndef NXW_JACOBIAN_H
#define NXW_JACOBIAN_H

#include "run/train_matrix.h"

struct nxw_jacobian; /* room to work in */

/* Returned: NULL when memory is short. tolerance: absolute, sets the least displacement. */
struct nxw_jacobian *nxw_jacobian_create(struct nxw_train *train, const double *tolerance);
void nxw_jacobian_free(struct nxw_jacobian *jacobian);

/*
 * Derivatives at states x, for which the train was evaluated last: rate, and what it keeps.
 *
 * Returned: false when a rate is not finite.
 */
bool nxw_jacobian_fill(struct nxw_jacobian *jacobian, double t_s, const double *x,
                       const double *rate, struct nxw_train_matrix *out);

#endif
