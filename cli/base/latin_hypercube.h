/* A latin hypercube that no one has to hold: each point is found from its index alone. */
#ifndef NXW_LATIN_HYPERCUBE_H
#define NXW_LATIN_HYPERCUBE_H

#include <stdint.h>

/*
 * Where point index of n (0 to n - 1) lies in a column, 0 to 1: each of the column's n slots of
 * equal width is met once, in an order drawn from the seed.
 */
double nxw_latin_share(uint64_t index, uint64_t n, uint64_t seed, uint64_t column);

#endif
