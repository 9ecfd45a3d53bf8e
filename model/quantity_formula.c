/* The formulas beside those in use, by name. Water at 25 degC and air unless given. */
#include "formula.h"
#include "quantity.h"

static const struct nxw_liquid_state WATER = {997.05, 8.90e-4, 0.07197};
static const double AIR_KG_M3 = 1.184;

static double inertial(const double *in) { return nxw_inertial_bubble_coefficient(in[0]); }
static double morton(const double *in)
{
    (void)in;
    return nxw_morton_number(&WATER, AIR_KG_M3);
}
static double ellipsoid(const double *in)
{
    return nxw_rise_velocity_ellipsoid_m_s(&WATER, AIR_KG_M3, in[0]);
}
static double column(const double *in) { return nxw_column_hold_up(&WATER, in[0], in[1]); }
static double small_bubble(const double *in) { return nxw_kL_small_m_s(&WATER, AIR_KG_M3, in[0]); }
static double large_bubble(const double *in) { return nxw_kL_large_m_s(&WATER, AIR_KG_M3, in[0]); }
static double first_order(const double *in) { return nxw_enhancement_first_order(in[0]); }
static double van_krevelen(const double *in) { return nxw_enhancement_van_krevelen(in[0], in[1]); }
static double wellek(const double *in) { return nxw_enhancement_wellek(in[0], in[1]); }
static double decoursey(const double *in) { return nxw_enhancement_decoursey(in[0], in[1]); }

/* c_G, H, kL, kG, D, c_B, k2 */
static struct nxw_two_films films(const double *in)
{
    return (struct nxw_two_films){in[0], in[1], in[2], in[3], in[4], in[5], in[6]};
}
static double two_film_flux(const double *in)
{
    const struct nxw_two_films f = films(in);
    double c;
    return nxw_two_film_flux(&f, &c);
}
static double two_film_interface(const double *in)
{
    const struct nxw_two_films f = films(in);
    double c;
    (void)nxw_two_film_flux(&f, &c);
    return c;
}
static double two_film_instantaneous(const double *in)
{
    const struct nxw_two_films f = films(in);
    return nxw_two_film_flux_instantaneous(&f);
}

static double capillary(const double *in)
{
    return nxw_capillary_pressure_Pa(WATER.surface_tension_N_m, in[0]);
}
static double suck_back(const double *in)
{
    return nxw_suck_back_m3(in[0], in[1], in[2], in[3], in[4], in[5]);
}
static double fuller(const double *in)
{
    return nxw_gas_diffusivity_m2_s(in[0], in[1], in[2], in[3], in[4], in[5]);
}
static double plate(const double *in) { return nxw_plate_convection_Nu(in[0], in[1]); }
static double air_film(const double *in) { return nxw_air_film_W_m2K(in[0], in[1], in[2]); }
static double h_air(const double *in)
{
    struct nxw_parameters p;
    (void)in;
    nxw_parameters_default(&p);
    return p.value[NXW_P_h_air];
}

/* clang-format off */
#define FILMS 7, {{"cG", "mol/m3"}, {"H", "1"}, {"kL", "m/s"}, {"kG", "m/s"}, {"D", "m2/s"}, \
                  {"cB", "mol/m3"}, {"k2", "m3/(mol s)"}}
#define SUCK 6, {{"gas", "m3"}, {"dissolved", "1"}, {"hot", "K"}, {"cold", "K"}, \
                 {"depth", "m"}, {"crest", "m"}}
#define FULLER 6, {{"MA", "kg/mol"}, {"vA", "1"}, {"MB", "kg/mol"}, {"vB", "1"}, \
                   {"T", "K"}, {"P", "Pa"}}
/* clang-format on */
#define HA_EI NXW_INPUTS_2("Ha", "1", "Ei", "1")

const struct nxw_quantity_entry nxw_formula_quantities[] = {
    {{"formula_inertial_coefficient", "1", NXW_INPUTS_1("alpha", "1")}, inertial},
    {{"formula_morton_water", "1", NXW_INPUTS_0}, morton},
    {{"formula_rise_velocity_ellipsoid", "m/s", NXW_INPUTS_1("d", "m")}, ellipsoid},
    {{"formula_column_hold_up", "1", NXW_INPUTS_2("column", "m", "u", "m/s")}, column},
    {{"formula_kL_small", "m/s", NXW_INPUTS_1("D", "m2/s")}, small_bubble},
    {{"formula_kL_large", "m/s", NXW_INPUTS_1("D", "m2/s")}, large_bubble},
    {{"formula_enhancement_first_order", "1", NXW_INPUTS_1("Ha", "1")}, first_order},
    {{"formula_enhancement_van_krevelen", "1", HA_EI}, van_krevelen},
    {{"formula_enhancement_wellek", "1", HA_EI}, wellek},
    {{"formula_enhancement_decoursey", "1", HA_EI}, decoursey},
    {{"formula_two_film_flux", "mol/(m2 s)", FILMS}, two_film_flux},
    {{"formula_two_film_interface", "mol/m3", FILMS}, two_film_interface},
    {{"formula_two_film_instantaneous", "mol/(m2 s)", FILMS}, two_film_instantaneous},
    {{"formula_capillary_pressure_water", "Pa", NXW_INPUTS_1("pore", "m")}, capillary},
    {{"formula_suck_back", "m3", SUCK}, suck_back},
    {{"formula_gas_diffusivity", "m2/s", FULLER}, fuller},
    {{"formula_plate_convection", "1", NXW_INPUTS_2("Pr", "1", "Gr", "1")}, plate},
    {{"formula_air_film", "W/(m2 K)", NXW_INPUTS_3("L", "m", "wall", "K", "air", "K")}, air_film},
    {{"h_air", "W/(m2 K)", NXW_INPUTS_0}, h_air},
    {{NULL, NULL, NXW_INPUTS_0}, NULL}};
