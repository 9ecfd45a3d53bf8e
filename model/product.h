/* Product of two concentrations in a rate law. */
#ifndef NXW_PRODUCT_H
#define NXW_PRODUCT_H

#include <math.h>

/*
 * a b; negative as soon as one of them is below zero, also when both are. Two traces below zero
 * would otherwise consume each other further and run away; so they are pulled back.
 */
static inline double nxw_product(double a, double b)
{
    return a < 0.0 || b < 0.0 ? -fabs(a * b) : a * b;
}

#endif
