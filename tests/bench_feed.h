/* A bottle at the bench with an open tube and air going through, shared by the tests of the glass.
 */
#ifndef NXW_BENCH_FEED_H
#define NXW_BENCH_FEED_H

#include "rich_feed.h"

/* A fifth of the rich feed with 0.3 L/min of air, tip 5 mm above the bottom. */
static inline struct nxw_case bench_feed(void)
{
    struct nxw_case c = rich_feed();
    c.source.flow_mol_s *= 0.2;
    c.carrier.gas = NXW_GAS_AIR;
    c.carrier.flow_mol_s = 0.3 / 60.0 / 24.055;
    c.stages[0].tip = NXW_TIP_OPEN_TUBE;
    c.stages[0].depth_m = NAN;
    return c;
}

#endif
