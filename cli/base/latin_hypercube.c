#include "base/latin_hypercube.h"

#include <math.h>

/* splitmix64 (Steele, Lea, Flood 2014, Fast splittable pseudorandom number generators): finaliser
 */
static uint64_t mixed(uint64_t x)
{
    x += UINT64_C(0x9e3779b97f4a7c15);
    x = (x ^ (x >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
    x = (x ^ (x >> 27)) * UINT64_C(0x94d049bb133111eb);
    return x ^ (x >> 31);
}

/*
 * The place of index in a shuffled row of n, without holding the row: a Feistel network over the
 * next even power of two, walked on until the place lies below n.
 */
static uint64_t shuffled(uint64_t index, uint64_t n, uint64_t stream)
{
    unsigned half = 1;
    while (half < 16 && (UINT64_C(1) << (2 * half)) < n)
        half++;
    const uint64_t mask = (UINT64_C(1) << half) - 1;
    do {
        uint64_t left = index >> half, right = index & mask;
        for (uint64_t round = 0; round < 6; round++) {
            const uint64_t next = left ^ (mixed(stream ^ mixed(right + (round << 32))) & mask);
            left = right;
            right = next;
        }
        index = left << half | right;
    } while (index >= n);
    return index;
}

double nxw_latin_share(uint64_t index, uint64_t n, uint64_t seed, uint64_t column)
{
    const uint64_t stream = mixed(seed ^ mixed(column + 1));
    const uint64_t slot = shuffled(index, n, stream);
    const double within = ldexp((double)(mixed(stream ^ mixed(~slot)) >> 11), -53); /* 0..1 */
    return ((double)slot + within) / (double)n;
}
