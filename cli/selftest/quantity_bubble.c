/* Bubbles, their transfer and the heat through a wall by name. Water at 25 degC unless given. */
#include <math.h>

#include "base/constants_of_nature.h"
#include "properties/heat.h"
#include "selftest/quantity.h"
#include "stage/bubble.h"

static const struct nxw_liquid_state WATER = {997.05, 8.90e-4, 0.07197};
static const double AIR_KG_M3 = 1.184;

/* bore, flow, sigma, rho, mu */
static double orifice(const double *in)
{
    return nxw_orifice_diameter_m(in[0], in[2], in[3], in[4] / in[3], in[1]);
}
static double orifice_4(const double *in) { return pow(orifice(in), 4.0); }
static double orifice_water(const double *in)
{
    return nxw_orifice_diameter_m(in[0], WATER.surface_tension_N_m, WATER.density_kg_m3,
                                  WATER.viscosity_Pa_s / WATER.density_kg_m3, in[1]);
}
/* V/(Q^1.2 g^-0.6) of a bubble that only inertia sizes */
static double orifice_coefficient(const double *in)
{
    const double d = nxw_orifice_diameter_m(0.0, 0.0, 1.0, 0.0, in[0]);
    return NXW_PI / 6.0 * d * d * d / pow(in[0], 1.2) * pow(9.80665, 0.6);
}
static double frit(const double *in)
{
    return nxw_frit_diameter_m(in[0], in[1], &WATER, in[2], 1.0);
}

static struct nxw_bubble_liquid water(void)
{
    struct nxw_bubble_liquid b;
    nxw_bubble_liquid_prepare(&WATER, AIR_KG_M3, &b);
    return b;
}
static double rise_water(const double *in)
{
    const struct nxw_bubble_liquid b = water();
    return nxw_rise_velocity_m_s(&b, in[0]);
}
static double rise_any(const double *in)
{
    const struct nxw_liquid_state l = {in[1], in[2], in[3]};
    struct nxw_bubble_liquid b;
    nxw_bubble_liquid_prepare(&l, AIR_KG_M3, &b);
    return nxw_rise_velocity_m_s(&b, in[0]);
}
static double wall(const double *in) { return nxw_wall_factor(in[0]); }

/* d, u, D, blend */
static double kL(const double *in)
{
    const struct nxw_bubble_liquid b = water();
    struct nxw_kL_gas gas;
    struct nxw_kL_bubble bubble;
    nxw_kL_gas_prepare(&b, in[2], &gas);
    nxw_kL_bubble_prepare(&b, in[0], in[1], in[3], &bubble);
    return nxw_kL_of_m_s(&gas, &bubble);
}

static double plume(const double *in) { return nxw_plume_velocity_m_s(in[0], in[1], in[2]); }
/* d, column, plume coefficient, flow, depth: speed of a bubble in its plume and between walls */
static double effective_velocity(const double *in)
{
    const struct nxw_bubble_liquid b = water();
    return nxw_rise_between_walls_m_s(&b, in[0], in[1]) +
           nxw_plume_velocity_m_s(in[2], in[3], in[4]);
}
static double residence(const double *in) { return in[4] / effective_velocity(in); }
/* gas held in the bottle, share of gas and liquid */
static double hold_up(const double *in)
{
    const double gas = in[3] * residence(in), liquid = 0.25 * NXW_PI * in[1] * in[1] * in[4];
    return gas / (gas + liquid);
}
/* surface of all bubbles together */
static double bubble_area(const double *in) { return 6.0 * in[3] * residence(in) / in[0]; }

/* gas-film coefficient inside a bubble at 1 atm and its transfer units: d, D, residence */
static double kG(const double *in)
{
    struct nxw_parameters p;
    nxw_parameters_default(&p);
    return in[1] * nxw_kG_per_D_1_m(&p, in[0], NXW_ATMOSPHERE_PA);
}
static double gas_units(const double *in) { return 6.0 * kG(in) * in[2] / in[0]; }

static double Sh_low(const double *in)
{
    (void)in;
    return nxw_parameter_record(NXW_P_Sh_bubble)->low;
}
static double Sh_high(const double *in)
{
    (void)in;
    return nxw_parameter_record(NXW_P_Sh_bubble)->high;
}

static double inside_film(const double *in) { return nxw_inside_film_W_m2K(&WATER, in[0]); }

/* A washing bottle of inner diameter D and wall, wetted to a height, gas flow: W/K */
static double UA(enum nxw_bath_kind bath, bool stirred, const double *in)
{
    struct nxw_case c;
    nxw_case_init(&c);
    struct nxw_stage *s = &c.stages[0];
    s->inner_diameter_m = in[0];
    s->wall_thickness_m = in[1];
    s->bath = bath;
    s->bath_stirred = stirred;
    return nxw_heat_UA_W_K(s, &c.parameters, 298.15, 273.15, in[2],
                           in[3] / (0.25 * NXW_PI * in[0] * in[0]), &WATER);
}
static double UA_air(const double *in) { return UA(NXW_BATH_AIR, false, in); }
static double UA_ice(const double *in) { return UA(NXW_BATH_ICE_WATER, false, in); }
static double UA_ice_stirred(const double *in) { return UA(NXW_BATH_ICE_WATER, true, in); }

#define BORE_FLOW_LIQUID                                                                           \
    NXW_INPUTS_5("bore", "m", "flow", "m3/s", "sigma", "N/m", "rho", "kg/m3", "mu", "Pa s")
#define IN_COLUMN NXW_INPUTS_5("d", "m", "column", "m", "plume", "1", "flow", "m3/s", "depth", "m")
#define BOTTLE NXW_INPUTS_4("D", "m", "wall", "m", "height", "m", "flow", "m3/s")

const struct nxw_quantity_entry nxw_bubble_quantities[] = {
    {{"orifice_bubble_diameter", "m", BORE_FLOW_LIQUID}, orifice},
    {{"orifice_bubble_diameter_4", "m4", BORE_FLOW_LIQUID}, orifice_4},
    {{"orifice_bubble_diameter_water", "m", NXW_INPUTS_2("bore", "m", "flow", "m3/s")},
     orifice_water},
    {{"orifice_inertial_coefficient", "1", NXW_INPUTS_1("flow", "m3/s")}, orifice_coefficient},
    {{"frit_bubble_diameter", "m", NXW_INPUTS_3("pore", "m", "disc", "m", "flow", "m3/s")}, frit},
    {{"rise_velocity_water", "m/s", NXW_INPUTS_1("d", "m")}, rise_water},
    {{"rise_velocity", "m/s", NXW_INPUTS_4("d", "m", "rho", "kg/m3", "mu", "Pa s", "sigma", "N/m")},
     rise_any},
    {{"wall_factor", "1", NXW_INPUTS_1("ratio", "1")}, wall},
    {{"liquid_film_coefficient", "m/s",
      NXW_INPUTS_4("d", "m", "u", "m/s", "D", "m2/s", "blend", "m")},
     kL},
    {{"plume_velocity", "m/s", NXW_INPUTS_3("plume", "1", "flow", "m3/s", "depth", "m")}, plume},
    {{"bubble_effective_velocity", "m/s", IN_COLUMN}, effective_velocity},
    {{"bubble_residence", "s", IN_COLUMN}, residence},
    {{"hold_up", "1", IN_COLUMN}, hold_up},
    {{"bubble_area", "m2", IN_COLUMN}, bubble_area},
    {{"gas_film_coefficient", "m/s", NXW_INPUTS_2("d", "m", "D", "m2/s")}, kG},
    {{"gas_film_transfer_units", "1", NXW_INPUTS_3("d", "m", "D", "m2/s", "tau", "s")}, gas_units},
    {{"Sh_bubble_low", "1", NXW_INPUTS_0}, Sh_low},
    {{"Sh_bubble_high", "1", NXW_INPUTS_0}, Sh_high},
    {{"inside_heat_film", "W/(m2 K)", NXW_INPUTS_1("u", "m/s")}, inside_film},
    {{"UA_air", "W/K", BOTTLE}, UA_air},
    {{"UA_still_ice", "W/K", BOTTLE}, UA_ice},
    {{"UA_stirred_ice", "W/K", BOTTLE}, UA_ice_stirred},
    {{NULL, NULL, NXW_INPUTS_0}, NULL}};
