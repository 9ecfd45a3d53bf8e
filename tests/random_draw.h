/* Random numbers that are the same on every machine, for coverage of intervals. */
#ifndef NXW_RANDOM_DRAW_H
#define NXW_RANDOM_DRAW_H

#include <math.h>
#include <stdint.h>

static uint64_t random_state = 20240229;

static inline double draw_uniform(void)
{
    random_state = random_state * 6364136223846793005u + 1442695040888963407u; /* Knuth, MMIX */
    return ((double)(random_state >> 11) + 0.5) / 9007199254740992.0;
}

static inline double draw_normal(void) /* Box and Muller */
{
    const double r = sqrt(-2.0 * log(draw_uniform()));
    return r * cos(6.283185307179586 * draw_uniform());
}

#endif
