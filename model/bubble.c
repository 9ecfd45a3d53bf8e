#include "bubble.h"

#include <math.h>

#include "curve.h"

static const double PI = 3.14159265358979323846;
static const double GRAVITY = 9.80665;

void nxw_bubble_liquid_prepare(const struct nxw_liquid_state *l, double gas_density_kg_m3,
                               double column_diameter_m, struct nxw_bubble_liquid *out)
{
    const double difference = l->density_kg_m3 - gas_density_kg_m3;
    out->kinematic_viscosity_m2_s = l->viscosity_Pa_s / l->density_kg_m3;
    out->ln_archimedes_per_m3 = log(GRAVITY * difference * l->density_kg_m3 /
                                    (l->viscosity_Pa_s * l->viscosity_Pa_s));
    out->tension_m3_s2 = 2.0 * l->surface_tension_N_m / l->density_kg_m3;
    out->buoyancy_m_s2 = 0.5 * GRAVITY * difference / l->density_kg_m3;
    out->eotvos_offset_m2 = 4.0 * l->surface_tension_N_m / (GRAVITY * difference);
    out->ln_column_diameter = log(column_diameter_m);
}

/* Re of a sphere with Cd = 24/Re (1 + 0.15 Re^0.687) from 18 Re + 2.7 Re^1.687 = Ar. */
static double reynolds(double ln_Ar)
{
    const double Ar = exp(ln_Ar);
    double y = ln_Ar - log(18.0 + 0.6 * sqrt(Ar)); /* ln Re */
    for (int i = 0; i < 4; i++) {
        const double a = 18.0 * exp(y), b = 2.7 * exp(1.687 * y);
        y -= (log(a + b) - ln_Ar) * (a + b) / (a + 1.687 * b);
    }
    return exp(y);
}

double nxw_rise_velocity_m_s(const struct nxw_bubble_liquid *l, double diameter_m)
{
    const double d = diameter_m > 1e-9 ? diameter_m : 1e-9;
    const double viscous =
        reynolds(l->ln_archimedes_per_m3 + 3.0 * log(d)) * l->kinematic_viscosity_m2_s / d;
    const double distorted = sqrt(l->tension_m3_s2 / d + l->buoyancy_m_s2 * d);
    const double low = fmin(viscous, distorted), r = low / fmax(viscous, distorted);
    const double r2 = r * r, r4 = r2 * r2, r16 = r4 * r4 * r4 * r4;
    return low * exp(-log1p(r16 * r4) / 20.0);
}

double nxw_wall_factor(double diameter_ratio)
{
    const double x = fabs(diameter_ratio), edge = 0.6;
    if (x <= edge)
        return (1.0 - x * x) * sqrt(1.0 - x * x);
    const double q = 1.0 - edge * edge; /* value q^1.5, slope over value -3 edge/q */
    return q * sqrt(q) * exp(-3.0 * edge / q * (x - edge));
}

double nxw_kL_m_s(const struct nxw_bubble_liquid *l, double diameter_m, double velocity_m_s,
                  double diffusivity_m2_s, double blend_diameter_m)
{
    const double nu = l->kinematic_viscosity_m2_s;
    const double mobile = 2.0 * sqrt(diffusivity_m2_s * velocity_m_s / (PI * diameter_m));
    const double rigid = diffusivity_m2_s / diameter_m *
                         (2.0 + 0.6 * sqrt(velocity_m_s * diameter_m / nu) *
                                    cbrt(nu / diffusivity_m2_s));
    const double x = blend_diameter_m / diameter_m, f = 1.0 / (1.0 + x * x * x * x);
    return f * mobile + (1.0 - f) * rigid;
}

double nxw_orifice_diameter_m(double bore_m, double surface_tension_N_m, double density_kg_m3,
                              double kinematic_viscosity_m2_s, double gas_flow_per_hole_m3_s)
{
    const double Q = gas_flow_per_hole_m3_s > 0.0 ? gas_flow_per_hole_m3_s : 0.0;
    const double tate = 6.0 * bore_m * surface_tension_N_m / (density_kg_m3 * GRAVITY);
    const double viscous = 81.0 * kinematic_viscosity_m2_s * Q / (PI * GRAVITY);
    const double inertial = 135.0 * Q * Q / (4.0 * PI * PI * GRAVITY);
    return sqrt(sqrt(tate * cbrt(tate) + viscous + pow(inertial, 0.8)));
}

double nxw_frit_diameter_m(double pore_m, double frit_diameter_m,
                           const struct nxw_liquid_state *liquid, double gas_flow_m3_s,
                           double cap_m)
{
    const double nu = liquid->viscosity_Pa_s / liquid->density_kg_m3;
    const double area = 0.25 * PI * frit_diameter_m * frit_diameter_m;
    const double Q = gas_flow_m3_s > 0.0 ? gas_flow_m3_s : 0.0;
    double d = nxw_orifice_diameter_m(pore_m, liquid->surface_tension_N_m, liquid->density_kg_m3,
                                      nu, 0.0);
    for (int i = 0; i < 60; i++) { /* damped; each pass below the cap */
        const double next =
            nxw_orifice_diameter_m(pore_m, liquid->surface_tension_N_m, liquid->density_kg_m3, nu,
                                   Q * d * d / area);
        const double x = next / cap_m, x4 = x * x * x * x;
        const double step = 0.5 * (next / sqrt(sqrt(sqrt(1.0 + x4 * x4))) - d);
        d += step;
        if (fabs(step) < 1e-12 * d)
            break;
    }
    return d;
}

double nxw_bubble_diameter_m(const struct nxw_stage *stage,
                             const struct nxw_parameters *parameters,
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

bool nxw_hole_jets(double bore_m, double gas_flow_per_hole_m3_s, double gas_density_kg_m3,
                   double surface_tension_N_m)
{
    const double u = 4.0 * gas_flow_per_hole_m3_s / (PI * bore_m * bore_m);
    return gas_density_kg_m3 * u * u * bore_m / surface_tension_N_m > 2.0;
}

double nxw_plume_velocity_m_s(double plume_coefficient, double gas_flow_m3_s, double depth_m)
{
    const double r = 1e-9, h = 5e-3 + nxw_curve_positive(depth_m - 5e-3, 1e-3);
    const double Q = nxw_curve_positive(gas_flow_m3_s, 1e-12);
    return plume_coefficient * (cbrt(GRAVITY * (Q + r) / h) - cbrt(GRAVITY * r / h));
}
