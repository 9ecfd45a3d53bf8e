/* The random cases of the campaign by number, counted from 1; each is drawn by itself. */
#ifndef NXW_NUMBERED_CASE_H
#define NXW_NUMBERED_CASE_H

#include "random_case.h"
#include "wide_case.h"

static inline struct nxw_case numbered_case(long number)
{
    random_state = 20261125u + 1000003u * (unsigned long long)number;
    for (int i = 0; i < 8; i++) /* neighbouring numbers are alike at first */
        (void)uniform(0.0, 1.0);
    return wide_case();
}

#endif
