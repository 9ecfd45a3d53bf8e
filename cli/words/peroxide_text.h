/* How much peroxide solution holds so much H2O2. */
#ifndef NXW_PEROXIDE_TEXT_H
#define NXW_PEROXIDE_TEXT_H

#include <stdbool.h>

enum { NXW_PEROXIDE_TEXT_LENGTH = 200 };

/*
 * "13 mL of 30 wt% or 34 mL of 12 wt% peroxide"
 *
 * Given:    peroxide_kg    H2O2, 100 %
 *           mass_fraction  of the filling that is made with it: above 12 wt% no solution of 12 wt%
 *                          makes it, and that is said
 *           digits         of the volumes
 *           acid           in the same bottle: then the stronger solution is diluted first
 */
void nxw_peroxide_volumes_text(double peroxide_kg, double mass_fraction, int digits, bool acid,
                               char out[NXW_PEROXIDE_TEXT_LENGTH]);

#endif
