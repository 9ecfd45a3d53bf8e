/* A blend that must come about, shared by the tests of mixing. */
#ifndef NXW_GOOD_BLEND_H
#define NXW_GOOD_BLEND_H

#include "assert_near.h"
#include "noxwash.h"

#define C(degC) ((degC) + 273.15)

static inline struct nxw_blend good(const struct nxw_blend_part *parts, size_t n)
{
    struct nxw_blend out;
    struct nxw_diagnosis d;
    assert_int_equal(nxw_blend(parts, n, &out, &d), NXW_OK);
    assert_int_equal(out.bytes, sizeof out);
    return out;
}

#endif
