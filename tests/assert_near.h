/* Comparison that passes only if near: NaN and infinity never do. */
#ifndef NXW_ASSERT_NEAR_H
#define NXW_ASSERT_NEAR_H

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

static inline bool nxw_near(double got, double want, double tolerance)
{
    return isfinite(got) && isfinite(want) && isfinite(tolerance) && fabs(got - want) <= tolerance;
}

static inline void assert_near_at(double got, double want, double tolerance, const char *text,
                                  const char *file, int line)
{
    if (!nxw_near(got, want, tolerance)) {
        print_error("%s = %.17g, wanted %.17g +- %g\n", text, got, want, tolerance);
        _fail(file, line);
    }
}

#define assert_near(got, want, tolerance)                                                          \
    assert_near_at((got), (want), (tolerance), #got, __FILE__, __LINE__)
#define assert_relative(got, want, relative)                                                       \
    assert_near_at((got), (want), fabs(want) * (relative), #got, __FILE__, __LINE__)

#endif
