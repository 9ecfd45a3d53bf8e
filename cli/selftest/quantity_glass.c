/* The glass around the liquid by name: tips, what is drawn back, the outside film. Water at 25 degC
 * unless given. */
#include "base/constants_of_nature.h"
#include "selftest/quantity.h"
#include "stage/glassware.h"

static const struct nxw_liquid_state WATER = {997.05, 8.90e-4, 0.07197};

static double default_of(enum nxw_parameter_id id)
{
    struct nxw_parameters p;
    nxw_parameters_default(&p);
    return p.value[id];
}

/* A tube end of this bore, as a run asks when its gas begins to jet. */
static double jet_onset(const double *in)
{
    struct nxw_case c;
    nxw_case_init(&c);
    c.stages[0].tip = NXW_TIP_OPEN_TUBE;
    c.stages[0].bore_m = in[0];
    return nxw_tip_jet_flow_m3_s(&c.stages[0], &c.parameters, &WATER, in[1]);
}

/* Pores or a hole of this width, wet. */
static double capillary(const double *in)
{
    struct nxw_case c;
    nxw_case_init(&c);
    c.stages[0].tip = NXW_TIP_FRIT;
    c.stages[0].bore_m = in[0];
    return nxw_tip_capillary_Pa(&c.stages[0], WATER.surface_tension_N_m);
}

/* A vessel of gas without vapour, and no trap: what comes over when it cools at 1 atm. */
static double suck_back(const double *in)
{
    const struct nxw_cooling c = {.vessel_m3 = in[0],
                                  .dissolved_share = in[1],
                                  .hot_K = in[2],
                                  .cool_K = in[3],
                                  .room_K = in[3],
                                  .room_Pa = NXW_ATMOSPHERE_PA,
                                  .density_kg_m3 = WATER.density_kg_m3,
                                  .depth_m = in[4]};
    return nxw_cooling_drawn_m3(&c);
}

static double h_air(const double *in)
{
    (void)in;
    return default_of(NXW_P_h_air);
}

#define SUCK NXW_INPUTS_5("gas", "m3", "dissolved", "1", "hot", "K", "cold", "K", "depth", "m")

const struct nxw_quantity_entry nxw_glass_quantities[] = {
    {{"jet_onset_flow", "m3/s", NXW_INPUTS_2("bore", "m", "gas", "kg/m3")}, jet_onset},
    {{"capillary_pressure_water", "Pa", NXW_INPUTS_1("pore", "m")}, capillary},
    {{"suck_back", "m3", SUCK}, suck_back},
    {{"h_air", "W/(m2 K)", NXW_INPUTS_0}, h_air},
    {{NULL, NULL, NXW_INPUTS_0}, NULL}};
