/* Heat through the wall. Check values hand-worked. Layer (b). */
#include "../assert_near.h"
#include "properties/heat.h"

static const struct nxw_liquid_state WATER = {997.05, 8.90e-4, 0.07197};
static const double U_G = 8.48826e-3; /* 1 L/min in 50 mm */

static void inside_film(void **state)
{
    (void)state;
    assert_relative(nxw_inside_film_W_m2K(&WATER, U_G), 2779.8, 1e-3);
    /* 50 mm, 0.01, 0.1, 0.3, 3 L/min: 879, 1563, 2057, 3658 */
    assert_near(nxw_inside_film_W_m2K(&WATER, 0.01 * U_G), 879.0, 1.0);
    assert_near(nxw_inside_film_W_m2K(&WATER, 0.1 * U_G), 1563.0, 1.0);
    assert_near(nxw_inside_film_W_m2K(&WATER, 3.0 * U_G), 3658.0, 1.0);
    assert_near(nxw_inside_film_W_m2K(&WATER, 0.0), 0.0, 1e-12);
    assert_near(nxw_inside_film_W_m2K(&WATER, -1.0), 0.0, 1e-12);
}

static struct nxw_stage bottle(enum nxw_bath_kind bath, bool stirred)
{
    struct nxw_case c;
    nxw_case_init(&c);
    struct nxw_stage s = c.stages[0];
    s.inner_diameter_m = 0.060;
    s.wall_thickness_m = 0.0025;
    s.bath = bath;
    s.bath_stirred = stirred;
    s.UA_W_K = NAN;
    return s;
}

static double UA(const struct nxw_stage *s, double height_m, double u_G)
{
    struct nxw_parameters p;
    nxw_parameters_default(&p);
    return nxw_heat_UA_W_K(s, &p, 298.15, 283.15, height_m, u_G, &WATER);
}

/* 250 mL, 60 mm, wall 2.5 mm of k 1.14, wetted 100 mm, 1 L/min: U 10.9, 195, 292 W/(m2 K) on the
 * side of a round bottle; taken as a flat wall 8 % less outside. In a liquid with the base. */
static void worked_bottles(void **state)
{
    (void)state;
    const double pi = 3.14159265358979, side = pi * 0.06 * 0.1, base = 0.25 * pi * 0.06 * 0.06;
    const double u = 1.0 / 60000.0 / base;
    const struct nxw_stage air = bottle(NXW_BATH_AIR, false);
    const struct nxw_stage still = bottle(NXW_BATH_ICE_WATER, false);
    const struct nxw_stage stirred = bottle(NXW_BATH_ICE_WATER, true);
    assert_relative(UA(&air, 0.1, u) / side, 10.9, 0.085);
    assert_relative(UA(&air, 0.1, u) / side, 1.0 / (1.0 / 2538.0 + 0.0025 / 1.14 + 1.0 / 10.3),
                    2e-3);
    assert_relative(UA(&still, 0.1, u) / (side + base), 195.0, 0.065);
    assert_relative(UA(&still, 0.1, u) / (side + base),
                    1.0 / (1.0 / 2538.0 + 0.0025 / 1.14 + 1.0 / 350.0), 2e-3);
    assert_relative(UA(&stirred, 0.1, u) / (side + base), 292.0, 0.05);
    struct nxw_stage given = air;
    given.UA_W_K = 1.25;
    assert_near(UA(&given, 0.1, u), 1.25, 1e-15);
}

/* Inside, a liquid at rest gives the least film; where the bubbles' own film is as strong, the two
 * make 2^(1/8) of it; where it is ten times that, the bubbles' alone is left. */
static void two_films_inside(void **state)
{
    (void)state;
    struct nxw_parameters p;
    nxw_parameters_default(&p);
    const double pi = 3.14159265358979, area = pi * 0.06 * 0.1 + 0.25 * pi * 0.06 * 0.06;
    const struct nxw_stage s = bottle(NXW_BATH_ICE_WATER, true);
    const double u = 0.1 * U_G, bubbles = nxw_inside_film_W_m2K(&WATER, u);
    static const double share[] = {1e6, 1.0, 0.1};
    const double inside[] = {1e6 * bubbles, pow(2.0, 0.125) * bubbles, bubbles};
    for (int i = 0; i < 3; i++) {
        p.value[NXW_P_h_inside_least] = share[i] * bubbles;
        const double outside = p.value[NXW_P_h_bath_stirred];
        assert_relative(
            nxw_heat_UA_W_K(&s, &p, 298.15, 283.15, 0.1, u, &WATER) / area,
            1.0 / (1.0 / inside[i] + 0.0025 / p.value[NXW_P_glass_conductivity] + 1.0 / outside),
            1e-6);
    }
}

static void limits(void **state)
{
    (void)state;
    for (int bath = 0; bath < 3; bath++) {
        const struct nxw_stage s = bottle((enum nxw_bath_kind)bath, false);
        assert_true(UA(&s, 0.1, 0.0) > 0.0); /* without gas some heat still passes */
        assert_relative(UA(&s, 0.1, 1e-9), UA(&s, 0.1, 0.0), 1e-3);
        double before = 0.0;
        for (double u = 0.0; u < 0.5; u += 1e-4) {
            const double v = UA(&s, 0.1, u);
            assert_true(isfinite(v) && v >= before);
            before = v;
        }
        for (double h = 0.0; h < 0.5; h += 1e-3)
            assert_true(UA(&s, h + 1e-3, 1e-3) > UA(&s, h, 1e-3));
        assert_true(isfinite(UA(&s, -1.0, 0.0)) && UA(&s, -1.0, 0.0) >= 0.0);
        /* no kink where the gas begins: the slope grows from nothing */
        assert_true((UA(&s, 0.1, 1e-9) - UA(&s, 0.1, 0.0)) / 1e-9 <
                    0.2 * (UA(&s, 0.1, 1e-7) - UA(&s, 0.1, 0.0)) / 1e-7);
    }
}

/* The user's factor is one of the whole way: half of it lets half through. */
static void factor(void **state)
{
    (void)state;
    struct nxw_parameters p;
    nxw_parameters_default(&p);
    const struct nxw_stage s = bottle(NXW_BATH_AIR, false);
    p.value[NXW_P_factor_UA] *= 0.5;
    assert_relative(nxw_heat_UA_W_K(&s, &p, 298.15, 283.15, 0.1, U_G, &WATER),
                    0.5 * UA(&s, 0.1, U_G), 1e-12);
}

static void glass(void **state)
{
    (void)state;
    struct nxw_parameters p;
    nxw_parameters_default(&p);
    struct nxw_stage s = bottle(NXW_BATH_AIR, false);
    s.volume_m3 = 250e-6;
    assert_relative(nxw_glass_heat_J_K(&s, &p), p.value[NXW_P_glass_heat_250mL], 1e-12);
    s.volume_m3 = 2000e-6;
    assert_relative(nxw_glass_heat_J_K(&s, &p), 4.0 * p.value[NXW_P_glass_heat_250mL], 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(inside_film),      cmocka_unit_test(worked_bottles),
        cmocka_unit_test(two_films_inside), cmocka_unit_test(limits),
        cmocka_unit_test(factor),           cmocka_unit_test(glass),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
