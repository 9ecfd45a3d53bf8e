/* Properties of water, nitric acid and peroxide solutions by name. */
#include <math.h>

#include "base/root.h"
#include "properties/acid.h"
#include "properties/water.h"
#include "selftest/quantity.h"
#include "stage/liquid.h"
#include "stage/source.h"

static const double SIXTY_F_K = 288.7055556;

static double acid_density(const double *in) { return nxw_acid_density_kg_m3(in[0], in[1]); }
static double peroxide_density(const double *in)
{
    return nxw_peroxide_density_kg_m3(in[0], in[1]);
}
static double acid_density_change(const double *in)
{
    return nxw_acid_density_kg_m3(in[0], in[1]) - nxw_acid_density_kg_m3(in[0], 293.15);
}
static double water_density(const double *in) { return nxw_water_density_kg_m3(in[0]); }
static double water_vapour(const double *in) { return nxw_water_vapour_pressure_Pa(in[0]); }
static double water_viscosity(const double *in) { return nxw_water_viscosity_Pa_s(in[0]); }
static double water_tension(const double *in) { return nxw_water_surface_tension_N_m(in[0]); }
static double water_cp(const double *in) { return nxw_water_heat_capacity_J_kgK(in[0]); }

static double acid_cp_ratio(const double *in) { return nxw_acid_heat_capacity_ratio(in[0]); }
static double freezing_depression(const double *in)
{
    return nxw_acid_freezing_K(0.0) - nxw_acid_freezing_K(in[0]);
}
static double acid_freezing(const double *in) { return nxw_acid_freezing_K(in[0]); }

static double gamma_HNO3(const double *in)
{
    return pow(10.0, nxw_acid_log10_activity_coefficient(in[0]));
}
static double water_activity(const double *in) { return nxw_acid_water_activity(in[0]); }
static double dilution_heat(const double *in)
{
    double slope;
    return nxw_acid_dilution_heat_J_mol(in[0], &slope);
}

/* Pure nitric acid as a bottle's liquid. */
static struct nxw_liquid acid(double w, double T_K)
{
    static const struct nxw_liquid_charge plain = {0};
    struct nxw_parameters p;
    struct nxw_liquid l;
    double n[NXW_L_AMOUNTS] = {0.0};
    n[NXW_L_NITRATE] = w / NXW_MOLAR_MASS_HNO3_KG_MOL;
    n[NXW_L_H2O] = (1.0 - w) / NXW_MOLAR_MASS_H2O_KG_MOL;
    nxw_parameters_default(&p);
    nxw_liquid_set(&p, n, T_K, &plain, &l);
    return l;
}
static double acid_viscosity(const double *in) { return acid(in[0], in[1]).fluid.viscosity_Pa_s; }
static double acid_tension(const double *in)
{
    return acid(in[0], in[1]).fluid.surface_tension_N_m;
}
static double HNO3_over_acid(const double *in) { return acid(in[0], in[1]).HNO3_e_Pa; }
static double H2O_over_acid(const double *in) { return acid(in[0], in[1]).H2O_e_Pa; }

/* What the acid-vapour source lets stand over its condensate, read back from the amounts it feeds:
 * n_j/n_gas = p_j/(P - p_HNO3 - p_H2O). */
static double over_condensate(const double *in, enum nxw_pool pool)
{
    struct nxw_case c;
    struct nxw_source_plan plan;
    nxw_case_init(&c);
    c.source.kind = NXW_SOURCE_ACID_VAPOUR;
    c.source.acid_made_mol = 1.0;
    c.source.decomposed_fraction = 1e-3;
    c.source.condensate_mass_fraction = in[0];
    c.source.condenser_temperature_K = in[1];
    nxw_source_plan_make(&c, &plan);
    const double gas_mol = 1.25 * plan.total_mol[NXW_NO2];
    const double a = plan.total_mol[NXW_HNO3] / gas_mol, b = plan.total_mol[NXW_H2O] / gas_mol;
    return c.surroundings_pressure_Pa * (pool == NXW_HNO3 ? a : b) / (1.0 + a + b);
}
static double HNO3_over_condensate(const double *in) { return over_condensate(in, NXW_HNO3); }
static double H2O_over_condensate(const double *in) { return over_condensate(in, NXW_H2O); }

/* 145 - 145/SG at 60 F, the heavy scale with the modulus 145 */
static double acid_baume(const double *in)
{
    return 145.0 -
           145.0 * nxw_water_density_kg_m3(SIXTY_F_K) / nxw_acid_density_kg_m3(in[0], SIXTY_F_K);
}

struct wanted {
    double mass_fraction, T_K;
};
static double strength_less_wanted(double kg_m3, void *user)
{
    const struct wanted *wanted = user;
    double w = NAN;
    (void)nxw_strength_from_concentration(kg_m3, wanted->T_K, &w);
    return w - wanted->mass_fraction;
}
/* The concentration that is read as this strength. */
static double acid_molarity(const double *in)
{
    struct wanted wanted = {in[0], in[1]};
    double kg_m3;
    (void)nxw_root(strength_less_wanted, &wanted, 0.0, 1500.0, 1e-9, &kg_m3);
    return kg_m3 / NXW_MOLAR_MASS_HNO3_KG_MOL;
}
static double peroxide_molarity(const double *in)
{
    return in[0] * nxw_peroxide_density_kg_m3(in[0], in[1]) / NXW_MOLAR_MASS_H2O2_KG_MOL;
}
static double peroxide_mass_volume(const double *in)
{
    return in[0] * nxw_peroxide_density_kg_m3(in[0], in[1]);
}
/* litres of oxygen at 0 degC and 1 atm that a litre of solution at T gives off */
static double peroxide_volumes(const double *in)
{
    return peroxide_molarity(in) * 0.5 * NXW_GAS_CONSTANT * 273.15 / NXW_ATMOSPHERE_PA;
}

#define W_T NXW_INPUTS_2("w", "1", "T", "K")
#define AT_T NXW_INPUTS_1("T", "K")
#define AT_W NXW_INPUTS_1("w", "1")
#define AT_M NXW_INPUTS_1("m", "mol/kg")

const struct nxw_quantity_entry nxw_property_quantities[] = {
    {{"acid_density", "kg/m3", W_T}, acid_density},
    {{"acid_density_change_from_20C", "kg/m3", W_T}, acid_density_change},
    {{"peroxide_density", "kg/m3", W_T}, peroxide_density},
    {{"water_density", "kg/m3", AT_T}, water_density},
    {{"water_vapour_pressure", "Pa", AT_T}, water_vapour},
    {{"water_viscosity", "Pa s", AT_T}, water_viscosity},
    {{"water_surface_tension", "N/m", AT_T}, water_tension},
    {{"water_heat_capacity", "J/(kg K)", AT_T}, water_cp},
    {{"acid_viscosity", "Pa s", W_T}, acid_viscosity},
    {{"acid_surface_tension", "N/m", W_T}, acid_tension},
    {{"acid_heat_capacity_ratio", "1", AT_W}, acid_cp_ratio},
    {{"acid_freezing_depression", "K", AT_W}, freezing_depression},
    {{"acid_freezing_point", "K", AT_W}, acid_freezing},
    {{"acid_activity_coefficient", "1", AT_M}, gamma_HNO3},
    {{"acid_water_activity", "1", AT_M}, water_activity},
    {{"acid_dilution_heat", "J/mol", AT_M}, dilution_heat},
    {{"HNO3_pressure_over_acid", "Pa", W_T}, HNO3_over_acid},
    {{"H2O_pressure_over_acid", "Pa", W_T}, H2O_over_acid},
    {{"HNO3_pressure_over_condensate", "Pa", W_T}, HNO3_over_condensate},
    {{"H2O_pressure_over_condensate", "Pa", W_T}, H2O_over_condensate},
    {{"acid_baume", "degBe", AT_W}, acid_baume},
    {{"acid_molarity", "mol/m3", W_T}, acid_molarity},
    {{"peroxide_molarity", "mol/m3", W_T}, peroxide_molarity},
    {{"peroxide_mass_per_volume", "kg/m3", W_T}, peroxide_mass_volume},
    {{"peroxide_volume_strength", "1", W_T}, peroxide_volumes},
    {{NULL, NULL, NXW_INPUTS_0}, NULL}};
