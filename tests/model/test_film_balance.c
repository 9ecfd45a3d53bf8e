/* Layer (a): the fluxes through an interface solve their own equations: what the gas film brings is
 * what the liquid takes, recomputed here from the fluxes alone. */
#include "../assert_near.h"

#include "../random_draw.h"
#include "stage/film.h"

static struct nxw_parameters p;

static double draw(double low, double high) /* even in the logarithm */
{
    return low * exp(log(high / low) * draw_uniform());
}

struct contact {
    struct nxw_liquid l;
    struct nxw_gas_pressures g;
    struct nxw_film_coefficients k;
    struct nxw_film_flux J;
    double RT;
};

/* Gas of up to 30 % NOx over anything from water to acid with much nitrous acid. */
static void draw_contact(struct contact *o)
{
    const struct nxw_liquid_charge charge = {0};
    const double n[NXW_L_AMOUNTS] = {draw(1e-5, 0.5),
                                     draw(1e-7, 0.1),
                                     draw(1e-9, 1e-4),
                                     draw(1e-8, 3e-4),
                                     draw(1e-9, 1e-4),
                                     draw(1e-5, 0.3),
                                     8.0};
    const double T_K = 275.0 + 50.0 * draw_uniform();
    nxw_parameters_default(&p);
    nxw_liquid_set(&p, n, T_K, &charge, &o->l);
    const double gas[NXW_POOLS] = {
        draw(1e-6, 0.2), draw(1e-6, 0.2), draw(1e-7, 1e-2), draw(1e-7, 1e-2), 0.2, 0.02, 1.0};
    nxw_gas_speciate(&o->l.c, gas, 101325.0, &o->g);
    o->RT = o->l.c.RT_J_mol;
    for (int j = 0; j < NXW_POOLS; j++)
        o->k.kG[j] = draw(1e-3, 0.1);
    o->k.kL_NO = draw(1e-6, 5e-4);
    o->k.kL_NO2 = draw(1e-6, 5e-4);
    o->k.kL_HNO2 = draw(1e-6, 5e-4);
    nxw_film_flux(&o->g, &o->l, &o->k, o->RT, &o->J);
}

/* NO at the interface from what the liquid takes by diffusion, p_i = p_e + J/(kL H); N2O3 there
 * likewise, and NO2 = p_N2O3/(K3 p_NO). */
static void interface_of(const struct contact *o, double *NO, double *NO2, double *N2O3)
{
    const struct nxw_chemistry *c = &o->l.c;
    *NO = o->l.NO_e_Pa + o->J.NO / (o->k.kL_NO * c->H_NO);
    const double speed = sqrt(c->k_N2O3_1_s * c->D_N2O3 + o->k.kL_NO * o->k.kL_NO);
    *N2O3 = o->l.N2O3_e_Pa + o->J.N2O3 / (c->H_N2O3 * speed);
    *NO2 = *N2O3 / (c->K_N2O3_1_Pa * *NO);
}

/* kG/RT (p_NO* - p_NO*,i) = J_NO + J_N2O3. */
static void NO_balances(void **state)
{
    (void)state;
    for (int i = 0; i < 500; i++) {
        struct contact o;
        draw_contact(&o);
        double NO, NO2, N2O3;
        interface_of(&o, &NO, &NO2, &N2O3);
        const double brought = o.k.kG[NXW_NO] / o.RT * (o.g.pool_Pa[NXW_NO] - NO - N2O3);
        const double scale =
            o.k.kG[NXW_NO] / o.RT * (o.g.pool_Pa[NXW_NO] + NO + N2O3) + o.J.NO_exchange;
        assert_near((brought - o.J.NO - o.J.N2O3) / scale, 0.0, 1e-9);
    }
}

/* kG/RT (p_NO2* - p_NO2*,i) = J_NO2 + J_N2O3, kG over the log mean of what does not move: 1e-5, the
 * rounding with which 1 - y is kept from zero. */
static void NO2_balances(void **state)
{
    (void)state;
    for (int i = 0; i < 500; i++) {
        struct contact o;
        draw_contact(&o);
        double NO, NO2, N2O3;
        interface_of(&o, &NO, &NO2, &N2O3);
        const double N2O4 = o.l.c.K_N2O4_1_Pa * NO2 * NO2;
        const double pool = NO2 + 2.0 * N2O4 + N2O3, bulk = o.g.pool_Pa[NXW_NO2];
        const double still_i = 1.0 - (NO2 + N2O4 + N2O3) / 101325.0;
        const double still = 1.0 - (o.g.NO2_Pa + o.g.N2O4_Pa + o.g.N2O3_Pa) / 101325.0;
        const double d = still_i - still;
        const double theta = fabs(d) < 1e-6 ? 1.0 / still : log(still_i / still) / d;
        const double kG = o.k.kG[NXW_NO2] / o.RT * theta;
        const double taken = o.J.NO2_hydrolysis + o.J.NO2_pool + o.J.N2O3;
        assert_near((kG * (bulk - pool) - taken) / (kG * (bulk + pool)), 0.0, 1e-5);
    }
}

/* J = (c - c_e) q - kL (C - C_e) k_p/q with q2 = k_f2 + k_p2, k_p = kL (1 + 2 K (c + c_e)),
 * k_f2 = 4 f2 k2 (D1 (c + 2 c_e)/3 + K D4 (c + c_e)2); (c - c_e) k_f2/q of it has reacted. */
static void NO2_law(void **state)
{
    (void)state;
    for (int i = 0; i < 500; i++) {
        struct contact o;
        draw_contact(&o);
        double NO, NO2, N2O3;
        interface_of(&o, &NO, &NO2, &N2O3);
        const struct nxw_liquid *l = &o.l;
        const double c = l->c.H_NO2 * NO2, e = l->NO2_equilibrium, K = l->c.K_dimer_m3_mol;
        const double f = l->acid_factor, kL = o.k.kL_NO2;
        const double kf2 = 4.0 * f * f * l->c.k2_m3_mol_s *
                           (l->c.D_NO2 * (c + 2.0 * e) / 3.0 + K * l->c.D_N2O4 * pow(c + e, 2.0));
        const double kp = kL * (1.0 + 2.0 * K * (c + e)), q = sqrt(kf2 + kp * kp);
        const double excess = kL * (l->NO2_pool - e - 2.0 * K * e * e) * kp / q;
        const double scale = (c + e) * q + fabs(excess);
        assert_near((o.J.NO2_hydrolysis - (c - e) * kf2 / q) / scale, 0.0, 1e-6);
        assert_near((o.J.NO2_hydrolysis + o.J.NO2_pool - (c - e) * q + excess) / scale, 0.0, 1e-6);
    }
}

/* Films in series for HNO2, the gas film for HNO3 and water; shares are shares. */
static void the_others(void **state)
{
    (void)state;
    for (int i = 0; i < 500; i++) {
        struct contact o;
        draw_contact(&o);
        const double HNO2_i = o.g.pool_Pa[NXW_HNO2] - o.J.HNO2 * o.RT / o.k.kG[NXW_HNO2];
        const double taken = o.k.kL_HNO2 * (o.l.c.H_HNO2 * HNO2_i - o.l.HNO2);
        const double scale = o.k.kL_HNO2 * (o.l.c.H_HNO2 * o.g.pool_Pa[NXW_HNO2] + o.l.HNO2);
        assert_near((taken - o.J.HNO2) / scale, 0.0, 1e-12);
        assert_relative(o.J.HNO3, o.k.kG[NXW_HNO3] / o.RT * (o.g.pool_Pa[NXW_HNO3] - o.l.HNO3_e_Pa),
                        1e-12);
        assert_relative(o.J.H2O, o.k.kG[NXW_H2O] / o.RT * (o.g.pool_Pa[NXW_H2O] - o.l.H2O_e_Pa),
                        1e-12);
        assert_true(o.J.liquid_share >= -1e-3 && o.J.liquid_share <= 1.0);
        /* given back less taken is the flux, however the corner between them is rounded */
        const double back = nxw_film_NO_given_back(&o.J), J = o.J.NO + o.J.N2O3;
        assert_true(back >= 0.0 && back + J >= 0.0);
        assert_true(back <= fmax(-J, 0.0) + 1e-3 * o.J.NO_exchange + 1e-29);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(NO_balances),
        cmocka_unit_test(NO2_balances),
        cmocka_unit_test(NO2_law),
        cmocka_unit_test(the_others),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
