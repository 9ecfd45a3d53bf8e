/* The liquid film of one bubble in one go, from the three parts a run works it out by. */
#ifndef NXW_BUBBLE_KL_H
#define NXW_BUBBLE_KL_H

#include "stage/bubble.h"

static inline double bubble_kL_m_s(const struct nxw_bubble_liquid *l, double diameter_m,
                                   double velocity_m_s, double diffusivity_m2_s, double blend_m)
{
    struct nxw_kL_gas gas;
    struct nxw_kL_bubble bubble;
    nxw_kL_gas_prepare(l, diffusivity_m2_s, &gas);
    nxw_kL_bubble_prepare(l, diameter_m, velocity_m_s, blend_m, &bubble);
    return nxw_kL_of_m_s(&gas, &bubble);
}

#endif
