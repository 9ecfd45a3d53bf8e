/* The integrator: the only place that knows SUNDIALS. */
#ifndef NXW_SOLVER_H
#define NXW_SOLVER_H

#include "stage/train.h"

struct nxw_solver;

/*
 * Returned: NULL when memory is short. x is the start; tolerances as in nxw_train_tolerances, kept
 * by the caller for the solver's life.
 */
struct nxw_solver *nxw_solver_create(struct nxw_train *train, const double *x,
                                     const double *relative, const double *absolute);
void nxw_solver_free(struct nxw_solver *solver);
/* One step towards stop_s, never beyond it. Status: NXW_OK or NXW_ERROR_SOLVER. */
enum nxw_status nxw_solver_step(struct nxw_solver *solver, double stop_s, double *t_s,
                                const double **x);
/* Start afresh at the present state, after a jump of the source. */
enum nxw_status nxw_solver_restart(struct nxw_solver *solver);
void nxw_solver_statistics(const struct nxw_solver *solver, struct nxw_statistics *out);
const char *nxw_solver_reason(const struct nxw_solver *solver);

#endif
