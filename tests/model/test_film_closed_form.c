/*
 * Layer (d): the law of uptake against the film itself, integrated from deep in the liquid to the
 * interface:
 *
 *   F'' = 2 k2 (c^2 - c_e^2),  F = D1 c + 2 K D4 c^2;  uptake = -F' at the interface
 */
#include "../assert_near.h"
#include "../film_law.h"

#include "reactions/no2_hydrolysis.h"
#include "stage/film.h"

struct film {
    double c, F_slope; /* mol/m3; mol/(m2 s), rising towards the interface */
};

struct law {
    double k2, D, KD, e;
};

static struct film rate(const struct law *o, const struct film *x)
{
    return (struct film){x->F_slope / (o->D + 4.0 * o->KD * x->c),
                         2.0 * o->k2 * (x->c * x->c - o->e * o->e)};
}

static struct film moved(const struct film *x, const struct film *by, double dz)
{
    return (struct film){x->c + dz * by->c, x->F_slope + dz * by->F_slope};
}

static struct film step(const struct law *o, const struct film *x, double dz)
{
    const struct film k1 = rate(o, x), x2 = moved(x, &k1, 0.5 * dz);
    const struct film k2 = rate(o, &x2), x3 = moved(x, &k2, 0.5 * dz);
    const struct film k3 = rate(o, &x3), x4 = moved(x, &k3, dz);
    const struct film k4 = rate(o, &x4);
    return (struct film){
        x->c + dz / 6.0 * (k1.c + 2.0 * k2.c + 2.0 * k3.c + k4.c),
        x->F_slope + dz / 6.0 * (k1.F_slope + 2.0 * k2.F_slope + 2.0 * k3.F_slope + k4.F_slope)};
}

/*
 * Deep in the liquid c is all but c_e and leaves it as exp(z/L), L^2 = (D1 + 4 K D4 c_e)/(4 k2
 * c_e); without a c_e as 3 D1/(k2 z^2), the trace's own law, with the slope 2 c/z. Steps of a five
 * hundredth of the way in which c - c_e grows by its own size, until c is that of the interface.
 */
static double uptake(const struct law *o, double c_interface)
{
    const double sign = c_interface > o->e ? 1.0 : -1.0;
    struct film x = {1e-7 * c_interface, 0.0};
    if (o->e > 0.0) {
        const double D = o->D + 4.0 * o->KD * o->e, small = 1e-7 * fabs(c_interface - o->e);
        x = (struct film){o->e + sign * small, sign * small * sqrt(4.0 * o->k2 * o->e * D)};
    } else
        x.F_slope = 2.0 * o->D * x.c / sqrt(3.0 * o->D / (o->k2 * x.c));
    for (int i = 0; i < 200000; i++) {
        const struct film r = rate(o, &x);
        double dz = fabs((x.c - o->e) / r.c) / 500.0;
        const bool last = sign * (x.c + dz * r.c - c_interface) >= 0.0;
        if (last)
            dz = (c_interface - x.c) / r.c;
        x = step(o, &x, dz);
        if (last)
            return x.F_slope;
    }
    return NAN;
}

/* From ppb to pure gas, into water and into acid that holds nitrous acid, in and out. 2e-5: the
 * last step and the start, each good to 1e-5. */
static void law_of_uptake(void **state)
{
    (void)state;
    static const double T_K[] = {275.15, 298.15, 323.15};
    static const double NO2_Pa[] = {1e-4, 1.0, 100.0, 1e4, 8e4},
                        share[] = {0.0, 0.01, 0.5, 2.0, 50};
    struct nxw_parameters p;
    nxw_parameters_default(&p);
    for (int t = 0; t < 3; t++)
        for (int i = 0; i < 5; i++)
            for (int j = 0; j < 5; j++) {
                const struct nxw_liquid_charge charge = {0};
                const double n[NXW_L_AMOUNTS] = {[NXW_L_H2O] = 8.0};
                struct nxw_liquid l;
                nxw_liquid_set(&p, n, T_K[t], &charge, &l);
                const double c = l.c.H_NO2 * NO2_Pa[i], K = l.c.K_dimer_m3_mol;
                l.NO2_equilibrium = share[j] * c;
                const struct law o = {l.c.k2_m3_mol_s, l.c.D_NO2, K * l.c.D_N2O4, share[j] * c};
                double slope;
                const double law = film_law_mol_m2_s(&l, c, &slope);
                assert_true(j < 3 ? law > 0.0 : law < 0.0);
                assert_relative(law, uptake(&o, c), 2e-5);
            }
}

/* Its slope is what differences of it are. */
static void slope_of_the_law(void **state)
{
    (void)state;
    struct nxw_parameters p;
    nxw_parameters_default(&p);
    const struct nxw_liquid_charge charge = {0};
    const double n[NXW_L_AMOUNTS] = {[NXW_L_NITRATE] = 0.1, [NXW_L_N3] = 0.01, [NXW_L_H2O] = 8.0};
    struct nxw_liquid l;
    nxw_liquid_set(&p, n, 298.15, &charge, &l);
    static const double c[] = {-0.3, -1e-3, 1e-3, 0.02, 3.0};
    for (int i = 0; i < 5; i++) {
        double slope, ignored;
        (void)film_law_mol_m2_s(&l, c[i], &slope);
        const double h = 1e-5 * fabs(c[i]);
        const double up = film_law_mol_m2_s(&l, c[i] + h, &ignored);
        const double down = film_law_mol_m2_s(&l, c[i] - h, &ignored);
        assert_relative(slope, (up - down) / (2.0 * h), 1e-6);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(law_of_uptake),
                                       cmocka_unit_test(slope_of_the_law)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
