/* The account of a run: where every mole of N, O and H and every joule went. */
#ifndef NXW_ACCOUNT_H
#define NXW_ACCOUNT_H

#include "stage/train.h"

/* Given: the last state x with the views at it, and the first state x0. */
void nxw_account(const struct nxw_train *train, const double *x, const double *x0,
                 struct nxw_result *result);

/* Nitrogen accounted for; no amount below nothing, and none above what there was, by more than a
 * thousandth of what was fed (at a coarse tolerance: ten times that). */
bool nxw_account_is_believable(const struct nxw_train *train, const double *x,
                               const struct nxw_result *result);

/* No amount below nothing by more than a millionth of what moved or was charged. */
bool nxw_account_is_clean(const struct nxw_train *train, const struct nxw_result *result);

#endif
