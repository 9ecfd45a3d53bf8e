#include "stage/bubble.h"

#include <math.h>

#include "base/constants_of_nature.h"
#include "base/curve.h"

void nxw_bubble_liquid_prepare(const struct nxw_liquid_state *l, double gas_density_kg_m3,
                               struct nxw_bubble_liquid *out)
{
    const double difference = l->density_kg_m3 - gas_density_kg_m3;
    out->kinematic_viscosity_m2_s = l->viscosity_Pa_s / l->density_kg_m3;
    out->ln_archimedes_per_m3 = log(NXW_GRAVITY_M_S2 * difference * l->density_kg_m3 /
                                    (l->viscosity_Pa_s * l->viscosity_Pa_s));
    out->tension_m3_s2 = 2.0 * l->surface_tension_N_m / l->density_kg_m3;
    out->buoyancy_m_s2 = 0.5 * NXW_GRAVITY_M_S2 * difference / l->density_kg_m3;
}

/* ln Re and its slope at ln Ar = -8, -7, ... 28, from Ar = 18 Re (1 + 0.15 Re^0.687), which is
 * Cd = 24/Re (1 + 0.15 Re^0.687) of a bubble that no longer speeds up. Computed. */
static const double LN_RE[][2] = {
    {-10.8904562455, 0.9999419628}, {-9.8905396809, 0.9998846599}, {-8.8907054801, 0.9997708236},
    {-7.8910348528, 0.9995448121},  {-6.8916887975, 0.9990966062}, {-5.8929856672, 0.9982097998},
    {-4.8955517325, 0.9964631124},  {-3.9006065897, 0.9930531270}, {-2.9104787192, 0.9865089622},
    {-1.9294475561, 0.9743480063},  {-0.9648367369, 0.9530170842}, {-0.0276742499, 0.9190013924},
    {0.8686903870, 0.8717687066},   {1.7131051511, 0.8164023789},  {2.5017241683, 0.7616524673},
    {3.2390360691, 0.7146171566},   {3.9344768006, 0.6780242563},  {4.5983831178, 0.6512860287},
    {5.2396888452, 0.6324668133},   {5.8652662448, 0.6195090834},  {6.4800857049, 0.6107021502},
    {7.0876222993, 0.6047628408},   {7.6902592943, 0.6007765503},  {8.2896127948, 0.5981090781},
    {8.8867712188, 0.5963275146},   {9.4824644926, 0.5951391015},  {10.0771808142, 0.5943469929},
    {10.6712461432, 0.5938193097},  {11.2648778725, 0.5934679021}, {11.8582208816, 0.5932339380},
    {12.4513716780, 0.5930781904},  {13.0443945268, 0.5929745212}, {13.6373322134, 0.5929055212},
    {14.2302132193, 0.5928595983},  {14.8230565019, 0.5928290353}, {15.4158746789, 0.5928086952},
    {16.0086761477, 0.5927951587}};

/* Re of the viscous branch; cubic between the rows, within 3e-5. */
static double reynolds(double ln_Ar)
{
    const int last = (int)(sizeof LN_RE / sizeof LN_RE[0]) - 1;
    const double x = ln_Ar + 8.0;
    if (!(x > 0.0 && x < (double)last)) {
        const double *end = LN_RE[x > 0.0 ? last : 0];
        return exp(end[0] + end[1] * (x - (x > 0.0 ? (double)last : 0.0)));
    }
    const double *r0 = LN_RE[(int)x], *r1 = LN_RE[(int)x + 1];
    const double t = x - (double)(int)x, chord = r1[0] - r0[0];
    return exp(r0[0] + t * (r0[1] + t * (3.0 * chord - 2.0 * r0[1] - r1[1] +
                                         t * (r0[1] + r1[1] - 2.0 * chord))));
}

/* The smaller of two, joined in the 20th powers: (a^-20 + b^-20)^(-1/20). */
static double smaller(double a, double b)
{
    const double low = fmin(a, b), r = low / fmax(a, b);
    const double r2 = r * r, r4 = r2 * r2, r16 = r4 * r4 * r4 * r4, x = r16 * r4;
    return low * (x < 1e-5 ? 1.0 - 0.05 * x * (1.0 - 0.525 * x) : exp(-0.05 * log1p(x)));
}

double nxw_rise_velocity_m_s(const struct nxw_bubble_liquid *l, double diameter_m)
{
    const double d = diameter_m > 1e-9 ? diameter_m : 1e-9;
    const double viscous =
        reynolds(l->ln_archimedes_per_m3 + 3.0 * log(d)) * l->kinematic_viscosity_m2_s / d;
    const double distorted = sqrt(l->tension_m3_s2 / d + l->buoyancy_m_s2 * d);
    return smaller(viscous, distorted);
}

double nxw_wall_factor(double diameter_ratio)
{
    const double x = fabs(diameter_ratio), edge = 0.6;
    if (x <= edge)
        return (1.0 - x * x) * sqrt(1.0 - x * x);
    const double q = 1.0 - edge * edge; /* value q^1.5, slope over value -3 edge/q */
    return q * sqrt(q) * exp(-3.0 * edge / q * (x - edge));
}

double nxw_rise_between_walls_m_s(const struct nxw_bubble_liquid *l, double diameter_m,
                                  double inner_diameter_m)
{
    return nxw_rise_velocity_m_s(l, diameter_m) * nxw_wall_factor(diameter_m / inner_diameter_m);
}

void nxw_kL_gas_prepare(const struct nxw_bubble_liquid *l, double diffusivity_m2_s,
                        struct nxw_kL_gas *out)
{
    out->diffusivity_m2_s = diffusivity_m2_s;
    out->mobile_m_s_half = 2.0 * sqrt(diffusivity_m2_s / NXW_PI);
    out->rigid = 0.6 * cbrt(l->kinematic_viscosity_m2_s / diffusivity_m2_s);
}

void nxw_kL_bubble_prepare(const struct nxw_bubble_liquid *l, double diameter_m,
                           double velocity_m_s, double blend_diameter_m, struct nxw_kL_bubble *out)
{
    const double x = blend_diameter_m / diameter_m;
    out->mobile_share = 1.0 / (1.0 + x * x * x * x);
    out->root_velocity_per_diameter = sqrt(velocity_m_s / diameter_m);
    out->root_Re = sqrt(velocity_m_s * diameter_m / l->kinematic_viscosity_m2_s);
    out->diameter_m = diameter_m;
}

double nxw_kG_per_D_1_m(const struct nxw_parameters *p, double diameter_m, double pressure_Pa)
{
    return p->value[NXW_P_Sh_bubble] * p->value[NXW_P_factor_kG] / diameter_m *
           (NXW_ATMOSPHERE_PA / pressure_Pa);
}

double nxw_orifice_diameter_m(double bore_m, double surface_tension_N_m, double density_kg_m3,
                              double kinematic_viscosity_m2_s, double gas_flow_per_hole_m3_s)
{
    const double Q = gas_flow_per_hole_m3_s > 0.0 ? gas_flow_per_hole_m3_s : 0.0;
    const double tate = 6.0 * bore_m * surface_tension_N_m / (density_kg_m3 * NXW_GRAVITY_M_S2);
    const double viscous = 81.0 * kinematic_viscosity_m2_s * Q / (NXW_PI * NXW_GRAVITY_M_S2);
    const double inertial = 135.0 * Q * Q / (4.0 * NXW_PI * NXW_PI * NXW_GRAVITY_M_S2);
    return sqrt(sqrt(tate * cbrt(tate) + viscous + pow(inertial, 0.8)));
}

double nxw_frit_diameter_m(double pore_m, double frit_diameter_m,
                           const struct nxw_liquid_state *liquid, double gas_flow_m3_s,
                           double cap_m)
{
    const double nu = liquid->viscosity_Pa_s / liquid->density_kg_m3;
    const double flux_m_s = (gas_flow_m3_s > 0.0 ? gas_flow_m3_s : 0.0) /
                            (0.25 * NXW_PI * frit_diameter_m * frit_diameter_m);
    const double tate =
        6.0 * pore_m * liquid->surface_tension_N_m / (liquid->density_kg_m3 * NXW_GRAVITY_M_S2);
    /* s = d2:  s2 = still + viscous s + inertial s^1.6.  In ln s the difference of the logarithms
     * is concave and rises, so Newton from the left of the root cannot miss. */
    const double still = tate * cbrt(tate);
    const double viscous = 81.0 * nu * flux_m_s / (NXW_PI * NXW_GRAVITY_M_S2);
    const double inertial =
        pow(135.0 * flux_m_s * flux_m_s / (4.0 * NXW_PI * NXW_PI * NXW_GRAVITY_M_S2), 0.8);
    double s = fmax(sqrt(still), inertial * inertial * sqrt(inertial)); /* both left of it */
    for (int i = 0; i < 20; i++) {
        const double v = viscous * s, j = inertial * pow(s, 1.6), sum = still + v + j;
        const double step = log(sum / (s * s)) / (2.0 - (v + 1.6 * j) / sum);
        s *= exp(step);
        if (step < 1e-13)
            break;
    }
    return smaller(sqrt(s), cap_m);
}

double nxw_bubble_diameter_m(const struct nxw_stage *stage, const struct nxw_parameters *parameters,
                             const struct nxw_liquid_state *liquid, double gas_flow_m3_s)
{
    const double nu = liquid->viscosity_Pa_s / liquid->density_kg_m3;
    const double sigma = liquid->surface_tension_N_m, rho = liquid->density_kg_m3;
    double d = stage->bubble_diameter_m;
    switch (stage->tip) {
    case NXW_TIP_BUBBLE_DIAMETER:
        break;
    case NXW_TIP_OPEN_TUBE:
        d = nxw_orifice_diameter_m(stage->bore_m, sigma, rho, nu, gas_flow_m3_s);
        break;
    case NXW_TIP_HOLES:
        d = nxw_orifice_diameter_m(stage->bore_m, sigma, rho, nu, gas_flow_m3_s / stage->holes);
        break;
    case NXW_TIP_FRIT: {
        const double tube = nxw_orifice_diameter_m(0.006, sigma, rho, nu, gas_flow_m3_s);
        d = nxw_frit_diameter_m(stage->bore_m, stage->frit_diameter_m, liquid, gas_flow_m3_s, tube);
        d = 1.5e-3 + nxw_curve_positive(d - 1.5e-3, 5e-5);
        break;
    }
    }
    d *= parameters->value[NXW_P_factor_bubble_diameter];
    const double floor_m = 1e-3 * parameters->value[NXW_P_bubble_diameter_floor];
    return d > floor_m ? d : floor_m;
}

double nxw_plume_velocity_m_s(double plume_coefficient, double gas_flow_m3_s, double depth_m)
{
    const double h = 5e-3 + nxw_curve_positive(depth_m - 5e-3, 1e-3);
    /* Q^(1/3) as Q2/(Q2 + r2)^(5/6): level at Q = 0, 1e-4 low where Q = 90 r */
    const double Q2 = gas_flow_m3_s * gas_flow_m3_s, sum = Q2 + 1e-9 * 1e-9;
    return plume_coefficient * cbrt(NXW_GRAVITY_M_S2 / h * sqrt(sum)) * (Q2 / sum);
}
