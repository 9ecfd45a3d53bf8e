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

/*
 * The same for two that consume each other one to one, m the lesser of them, M the greater:
 *
 *   a b;  m (|M| + |m|) where m < 0
 *
 * With a b alone one that lies below zero by more than the other above it lets that one grow, with
 * the rate k |m|. Implicit steps damp such a growth, and Newton, which sees a trace of M move by
 * less than its tolerance, takes a root that is none: spent peroxide went on being spent, far below
 * nothing. Here the sum of both slopes is positive everywhere: there is one root.
 */
static inline double nxw_product_of_pair(double a, double b)
{
    const double least = a < b ? a : b, most = a < b ? b : a;
    return least < 0.0 ? least * (fabs(most) - least) : a * b;
}

#endif
