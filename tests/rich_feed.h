/* The case of the orientation figures, shared by tests and bench. */
#ifndef NXW_RICH_FEED_H
#define NXW_RICH_FEED_H

#include "noxwash.h"

/*
 * 0.5 mol NO2 with 0.125 mol O2 as half a sine over 45 min into 250 mL of water: 5 mm bubbles, 8 cm
 * deep, UA 0.25 W/K to air at 20 degC, flat surface only, 30 min standing.
 */
static inline struct nxw_case rich_feed(void)
{
    struct nxw_case c;
    nxw_case_init(&c);
    c.source.kind = NXW_SOURCE_METERED;
    c.source.shape = NXW_SHAPE_RISE_AND_FALL;
    c.source.duration_s = 2700.0;
    c.source.flow_mol_s = 0.625 / 2700.0;
    c.source.NO2_fraction = 0.8;
    c.source.O2_fraction = 0.2;
    struct nxw_stage *s = &c.stages[0];
    s->volume_m3 = 500e-6;
    s->inner_diameter_m = 0.065;
    s->liquid_m3 = 250e-6;
    s->tip = NXW_TIP_BUBBLE_DIAMETER;
    s->bubble_diameter_m = 5e-3;
    s->depth_m = 0.08;
    s->UA_W_K = 0.25;
    c.parameters.value[NXW_P_wet_wall_share] = 0.0;
    return c;
}

#endif
