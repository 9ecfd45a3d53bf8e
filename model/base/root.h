/* One unknown, bracketed. */
#ifndef NXW_ROOT_H
#define NXW_ROOT_H

#include <stdbool.h>

typedef double nxw_root_function(double x, void *user);

/*
 * Where a continuous function crosses zero.
 *
 * Given:    f, user    the function and what it needs
 *           low, high  low < high; f has opposite signs there, or is zero at one of them
 *           tolerance  > 0: the bracket ends no wider than this
 * Returned: root       inside the bracket; NAN on failure
 *           true, or false when f does not change sign (or is not a number), low is not below
 *           high, or the tolerance not above 0
 * Source:   false position with halved ends (Illinois), every third step a bisection
 */
bool nxw_root(nxw_root_function *f, void *user, double low, double high, double tolerance,
              double *root);

#endif
