#include "formula.h"

#include <math.h>

#include "constants_of_nature.h"

double nxw_inertial_bubble_coefficient(double added_mass)
{
    return pow(4.0 * added_mass, 0.6) * pow(0.75 / NXW_PI, 0.2);
}

double nxw_morton_number(const struct nxw_liquid_state *l, double gas_kg_m3)
{
    return NXW_GRAVITY_M_S2 * pow(l->viscosity_Pa_s, 4.0) * (l->density_kg_m3 - gas_kg_m3) /
           (l->density_kg_m3 * l->density_kg_m3 * pow(l->surface_tension_N_m, 3.0));
}

double nxw_rise_velocity_ellipsoid_m_s(const struct nxw_liquid_state *l, double gas_kg_m3, double d)
{
    const double Eo =
        NXW_GRAVITY_M_S2 * (l->density_kg_m3 - gas_kg_m3) * d * d / l->surface_tension_N_m;
    const double m = pow(nxw_morton_number(l, gas_kg_m3), -0.149);
    const double H = 4.0 / 3.0 * Eo * m * pow(l->viscosity_Pa_s / 0.0009, -0.14);
    if (!(H > 2.0))
        return NAN;
    const double J = H <= 59.3 ? 0.94 * pow(H, 0.757) : 3.42 * pow(H, 0.441);
    return m * (J - 0.857) * l->viscosity_Pa_s / (l->density_kg_m3 * d);
}

double nxw_column_hold_up(const struct nxw_liquid_state *l, double D, double u_G)
{
    const double nu = l->viscosity_Pa_s / l->density_kg_m3;
    const double right =
        0.2 * pow(NXW_GRAVITY_M_S2 * D * D * l->density_kg_m3 / l->surface_tension_N_m, 1.0 / 8.0) *
        pow(NXW_GRAVITY_M_S2 * D * D * D / (nu * nu), 1.0 / 12.0) * u_G /
        sqrt(NXW_GRAVITY_M_S2 * D);
    double low = 0.0, high = 0.9;
    for (int i = 0; i < 100; i++) {
        const double eps = 0.5 * (low + high);
        *(eps / pow(1.0 - eps, 4.0) < right ? &low : &high) = eps;
    }
    return low;
}

static double kL_scale(const struct nxw_liquid_state *l, double gas_kg_m3)
{
    return cbrt((l->density_kg_m3 - gas_kg_m3) * l->viscosity_Pa_s * NXW_GRAVITY_M_S2 /
                (l->density_kg_m3 * l->density_kg_m3));
}

double nxw_kL_small_m_s(const struct nxw_liquid_state *l, double gas_kg_m3, double D)
{
    const double Sc = l->viscosity_Pa_s / (l->density_kg_m3 * D);
    return 0.31 * kL_scale(l, gas_kg_m3) * pow(Sc, -2.0 / 3.0);
}

double nxw_kL_large_m_s(const struct nxw_liquid_state *l, double gas_kg_m3, double D)
{
    const double Sc = l->viscosity_Pa_s / (l->density_kg_m3 * D);
    return 0.42 * kL_scale(l, gas_kg_m3) / sqrt(Sc);
}

double nxw_enhancement_first_order(double Ha) { return Ha < 1e-6 ? 1.0 : Ha / tanh(Ha); }

double nxw_enhancement_van_krevelen(double Ha, double Ei)
{
    double low = 1.0, high = Ei;
    for (int i = 0; i < 200; i++) { /* E = s/tanh s, s = Ha sqrt((Ei - E)/(Ei - 1)) */
        const double E = 0.5 * (low + high);
        const double right = nxw_enhancement_first_order(Ha * sqrt((Ei - E) / (Ei - 1.0)));
        *(E < right ? &low : &high) = E;
    }
    return low;
}

double nxw_enhancement_wellek(double Ha, double Ei)
{
    const double first = nxw_enhancement_first_order(Ha) - 1.0;
    return 1.0 + pow(pow(Ei - 1.0, -1.35) + pow(first, -1.35), -1.0 / 1.35);
}

double nxw_enhancement_decoursey(double Ha, double Ei)
{
    const double x = Ha * Ha / (2.0 * (Ei - 1.0));
    return -x + sqrt(x * x + 2.0 * x * Ei + 1.0);
}

double nxw_two_film_flux(const struct nxw_two_films *f, double *interface_mol_m3)
{
    const double Ha = sqrt(f->k2_m3_mol_s * f->c_B_mol_m3 * f->D_m2_s) / f->kL_m_s;
    double low = 0.0, high = f->c_G_mol_m3 / f->H, flux = 0.0;
    for (int i = 0; i < 200; i++) { /* both films carry the same */
        const double c = 0.5 * (low + high);
        const double E = nxw_enhancement_wellek(Ha, 1.0 + f->c_B_mol_m3 / c);
        flux = f->kG_m_s * (f->c_G_mol_m3 - f->H * c);
        *(E * f->kL_m_s * c < flux ? &low : &high) = c;
    }
    *interface_mol_m3 = low;
    return flux;
}

double nxw_two_film_flux_instantaneous(const struct nxw_two_films *f)
{
    if (f->kG_m_s * f->c_G_mol_m3 <= f->kL_m_s * f->c_B_mol_m3)
        return f->kG_m_s * f->c_G_mol_m3; /* the gas film alone */
    return (f->c_G_mol_m3 / f->H + f->c_B_mol_m3) / (1.0 / f->kL_m_s + 1.0 / (f->kG_m_s * f->H));
}

double nxw_capillary_pressure_Pa(double surface_tension_N_m, double pore_m)
{
    return 4.0 * surface_tension_N_m / pore_m;
}

double nxw_suck_back_m3(double gas_m3, double dissolved_share, double hot_K, double cold_K,
                        double depth_m, double crest_m)
{
    const double P_a = 101325.0, head = 997.05 * NXW_GRAVITY_M_S2;
    const double P1 = P_a + head * depth_m, P2 = P_a - head * (crest_m - depth_m);
    const double drawn = 1.0 - (1.0 - dissolved_share) * cold_K / hot_K * P1 / P2;
    return drawn > 0.0 ? gas_m3 * drawn : 0.0;
}

double nxw_gas_diffusivity_m2_s(double M_A, double v_A, double M_B, double v_B, double T_K,
                                double P_Pa)
{
    const double M = 2e3 / (1.0 / M_A + 1.0 / M_B), v = cbrt(v_A) + cbrt(v_B);
    return 1e-4 * 0.00143 * pow(T_K, 1.75) / (P_Pa * 1e-5 * sqrt(M) * v * v);
}

double nxw_plate_convection_Nu(double Pr, double Gr)
{
    const double x = pow(1.0 + pow(0.492 / Pr, 9.0 / 16.0), 8.0 / 27.0);
    const double root = 0.825 + 0.387 * pow(Gr * Pr, 1.0 / 6.0) / x;
    return root * root;
}

double nxw_air_film_W_m2K(double L, double wall_K, double air_K)
{
    /* air at the film's temperature: nu 15.89e-6 (T/300)^1.73, k 0.0263 (T/300)^0.81, Pr 0.707 */
    const double T = 0.5 * (wall_K + air_K), Pr = 0.707;
    const double nu = 15.89e-6 * pow(T / 300.0, 1.73), k = 0.0263 * pow(T / 300.0, 0.81);
    const double Gr = NXW_GRAVITY_M_S2 / T * fabs(wall_K - air_K) * L * L * L / (nu * nu);
    const double radiation =
        0.92 * 5.670374419e-8 * (wall_K * wall_K + air_K * air_K) * (wall_K + air_K);
    return nxw_plate_convection_Nu(Pr, Gr) * k / L + radiation;
}
