/* HNO2 <-> H+ + NO2-. */
#ifndef NXW_REACTION_HNO2_DISSOCIATION_H
#define NXW_REACTION_HNO2_DISSOCIATION_H

#include <math.h>

#include "base/curve.h"

/*
 * Hydrogen ions and undissociated nitrous acid from the charge balance h = [NO3-] + [NO2-].
 *
 *   h^2 + h (Ka - a) - Ka (a + N) = 0,   HNO2 = N h / (h + Ka)
 *
 * Given:    a   mol/m3  strong anions (nitrate and background)
 *           N   mol/m3  nitrous acid and nitrite together
 * A trace of water's own ions (1e-4 mol/m3) keeps the root smooth in pure water.
 * Source: Ka_HNO2 in params/constants.csv
 */
static inline void nxw_HNO2_dissociation(double a, double N, double Ka, double *h, double *HNO2)
{
    const double b = a - Ka;
    const double q = b * b + 4.0 * Ka * (a + N);
    const double root = 0.5 * (b + sqrt(0.5 * (q + sqrt(q * q + 1e-28))));
    *h = nxw_curve_positive(root, 1e-5) + 1e-4; /* also of less than no acid: rates go with it */
    *HNO2 = N * *h / (*h + Ka);
}

#endif
