/* Bubbles. Check values: hand-worked for water at 25 degC (rho 997.05, mu 8.90e-4, sigma 0.07197,
 * gas 1.184 kg/m3), recomputed independently. Layer (b). */
#include "../assert_near.h"
#include "../bubble_kL.h"
#include "stage/bubble.h"

static const struct nxw_liquid_state WATER = {997.05, 8.90e-4, 0.07197};
static const double NU = 8.90e-4 / 997.05;
static const double L_MIN = 1.0 / 60000.0;

static double size(double bore_m, double Q_m3_s)
{
    return nxw_orifice_diameter_m(bore_m, WATER.surface_tension_N_m, WATER.density_kg_m3, NU,
                                  Q_m3_s);
}

static void orifice_sizes(void **state)
{
    (void)state;
    /* no flow: Tate's law, with rho for drho: (drho/rho)^(1/3) = 0.99960 of 6.425557 mm */
    assert_relative(size(0.006, 0.0), 6.425557e-3 * cbrt(995.866 / 997.05), 1e-6);
    /* 1 L/min: d4 = 1.701983e-9 (with drho) + 3.911437e-11 + 9.748116e-9 m4 */
    assert_relative(size(0.006, L_MIN), 1.0353e-2, 1e-4);
    const double d = size(0.006, L_MIN), d0 = size(0.006, 0.0);
    assert_relative(d * d * d * d - d0 * d0 * d0 * d0, 3.911437e-11 + 9.748116e-9, 1e-6);
    /* much flow: V = 1.095 Q^1.2 g^-0.6, between 0.976 and 1.138 of the classic theories */
    const double Q = 1.0, D = size(0.006, Q);
    assert_near(3.14159265358979 / 6.0 * D * D * D / (pow(Q, 1.2) * pow(9.80665, -0.6)), 1.095,
                2e-3);
    /* table, mm: bores 1, 4, 6, 8 mm at 0.01 and 3 L/min; half a unit of the last digit */
    assert_near(size(0.001, 0.01 * L_MIN), 3.571e-3, 1e-6);
    assert_near(size(0.004, 0.01 * L_MIN), 5.620e-3, 1e-6);
    assert_near(size(0.008, 3.0 * L_MIN), 15.595e-3, 1e-6);
}

static void rise_velocities(void **state)
{
    (void)state;
    struct nxw_bubble_liquid l;
    nxw_bubble_liquid_prepare(&WATER, 1.184, &l);
    static const double mm[] = {1, 2, 4, 10};
    static const double m_s[] = {0.1161, 0.2137, 0.2360, 0.2518};
    for (int i = 0; i < 4; i++)
        assert_relative(nxw_rise_velocity_m_s(&l, 1e-3 * mm[i]), m_s[i], 1e-3);
    /* at the join (3 mm) the smooth minimum may be 3.4 % low, never high */
    const double u = nxw_rise_velocity_m_s(&l, 3e-3);
    assert_true(u < 0.2507 && u > 0.2506 * 0.965);
    /* Stokes: u = g drho d2/(18 mu) */
    assert_relative(nxw_rise_velocity_m_s(&l, 1e-6), 9.80665 * 995.866 * 1e-12 / (18.0 * 8.90e-4),
                    1e-3);
}

/* u = (u1^-20 + u2^-20)^(-1/20): u1 is what is left when u2, sqrt(b d) without tension, is far
 * above it. */
static void two_drags(void **state)
{
    (void)state;
    const double d = 2e-3;
    struct nxw_bubble_liquid l;
    nxw_bubble_liquid_prepare(&WATER, 1.184, &l);
    l.tension_m3_s2 = 0.0;
    l.buoyancy_m_s2 = 1e12;
    const double u1 = nxw_rise_velocity_m_s(&l, d);
    for (double ratio = 0.3; ratio < 4.0; ratio += 0.01) {
        const double u2 = ratio * u1;
        l.buoyancy_m_s2 = u2 * u2 / d;
        const double x = pow(fmin(ratio, 1.0 / ratio), 20.0);
        assert_relative(nxw_rise_velocity_m_s(&l, d), fmin(u1, u2) * pow(1.0 + x, -0.05), 3e-15);
    }
}

static void wall(void **state)
{
    (void)state;
    assert_near(nxw_wall_factor(0.0), 1.0, 1e-15);
    assert_near(nxw_wall_factor(0.1), 0.985, 5e-4);
    assert_near(nxw_wall_factor(0.2), 0.941, 5e-4);
    assert_near(nxw_wall_factor(0.3), 0.868, 5e-4);
    assert_near(nxw_wall_factor(0.6), 0.512, 1e-12); /* 0.64^1.5 */
    const double h = 1e-6;
    const double left = (nxw_wall_factor(0.6) - nxw_wall_factor(0.6 - h)) / h;
    const double right = (nxw_wall_factor(0.6 + h) - nxw_wall_factor(0.6)) / h;
    assert_near(left, right, 1e-4);
    for (double x = 0.0; x < 20.0; x += 0.01)
        assert_true(nxw_wall_factor(x) > nxw_wall_factor(x + 0.01) &&
                    nxw_wall_factor(x + 0.01) > 0.0);
}

static void liquid_side(void **state)
{
    (void)state;
    struct nxw_bubble_liquid l;
    nxw_bubble_liquid_prepare(&WATER, 1.184, &l);
    const double d = 0.004, u = 0.2360, D = 1.4e-9;
    /* a blend diameter far away leaves Higbie or Froessling alone */
    assert_relative(bubble_kL_m_s(&l, d, u, D, 1e-9), 3.243e-4, 1e-3);
    assert_relative(bubble_kL_m_s(&l, d, u, D, 1e3), 5.947e-5, 1e-3);
    static const double mm[] = {1, 2, 4, 6, 10};
    static const double m_s[] = {0.1161, 0.2137, 0.2360, 0.2312, 0.2518};
    static const double kL[] = {1.174e-4, 2.955e-4, 3.138e-4, 2.604e-4, 2.117e-4};
    for (int i = 0; i < 5; i++)
        assert_relative(bubble_kL_m_s(&l, 1e-3 * mm[i], m_s[i], D, 1.8e-3), kL[i], 1e-3);
}

static void frits(void **state)
{
    (void)state;
    const double cap = 1.0;
    /* 100 um, 25 mm disc, 1 L/min: 1.810 mm */
    assert_relative(nxw_frit_diameter_m(100e-6, 0.025, &WATER, L_MIN, cap), 1.810e-3, 2e-3);
    /* largest pore um, 25 mm disc, mm at 1 and 3 L/min; 2.5 units of the last digit */
    static const double um[] = {250, 160, 100, 40, 16};
    static const double one[] = {2.40, 2.09, 1.81, 1.38, 1.07};
    static const double three[] = {4.12, 3.96, 3.85, 3.75, 3.71};
    for (int i = 0; i < 5; i++) {
        assert_near(1e3 * nxw_frit_diameter_m(1e-6 * um[i], 0.025, &WATER, L_MIN, cap), one[i],
                    0.01);
        assert_near(1e3 * nxw_frit_diameter_m(1e-6 * um[i], 0.025, &WATER, 3.0 * L_MIN, cap),
                    three[i], 0.025);
    }
    /* no gas: Tate of the pore; crowded: d = 0.3487 (Q/A)2; capped: not above the cap */
    assert_relative(nxw_frit_diameter_m(100e-6, 0.025, &WATER, 0.0, cap), size(100e-6, 0.0), 1e-9);
    const double area = 0.25 * 3.14159265358979 * 0.025 * 0.025;
    assert_relative(nxw_frit_diameter_m(1e-6, 0.025, &WATER, 0.5 * area, 1e9), 0.3487 * 0.25, 2e-2);
    assert_true(nxw_frit_diameter_m(100e-6, 0.015, &WATER, 1e-3, 0.01) <= 0.01);
    /* a small disc with much gas: the bubbles of a bare tube of 6 mm; 1e-4: the rounded floor */
    struct nxw_parameters p;
    nxw_parameters_default(&p);
    const struct nxw_stage frit = {.tip = NXW_TIP_FRIT, .bore_m = 1e-4, .frit_diameter_m = 0.008};
    for (double Q = 2.0 * L_MIN; Q < 10.0 * L_MIN; Q *= 1.2)
        assert_relative(nxw_bubble_diameter_m(&frit, &p, &WATER, Q), size(0.006, Q), 1e-4);
}

static void plume(void **state)
{
    (void)state;
    assert_near(nxw_plume_velocity_m_s(0.6, 0.0, 0.1), 0.0, 1e-5);
    /* 0.6 (g Q/h)^(1/3) */
    assert_relative(nxw_plume_velocity_m_s(0.6, L_MIN, 0.1), 0.070676, 2e-3);
    assert_relative(nxw_plume_velocity_m_s(0.6, 0.1 * L_MIN, 0.1), 0.032805, 2e-3);
    double before = 0.0;
    for (double Q = 1e-12; Q < 1e-3; Q *= 1.1) {
        const double u = nxw_plume_velocity_m_s(0.6, Q, 0.1);
        assert_true(u > before);
        before = u;
    }
    assert_true(isfinite(nxw_plume_velocity_m_s(0.6, L_MIN, 0.0)));
    assert_true(isfinite(nxw_plume_velocity_m_s(0.6, L_MIN, -10.0)));
    assert_true(isfinite(nxw_plume_velocity_m_s(0.6, -L_MIN, 0.1)));
    assert_near(nxw_plume_velocity_m_s(0.0, L_MIN, 0.1), 0.0, 1e-15);
}

static void every_tip(void **state)
{
    (void)state;
    struct nxw_parameters p;
    nxw_parameters_default(&p);
    struct nxw_case c;
    nxw_case_init(&c);
    struct nxw_stage s = c.stages[0];
    s.tip = NXW_TIP_OPEN_TUBE;
    s.bore_m = 0.006;
    assert_relative(nxw_bubble_diameter_m(&s, &p, &WATER, L_MIN), 10.353e-3, 1e-4);
    s.tip = NXW_TIP_HOLES;
    s.bore_m = 0.001;
    s.holes = 8.0;
    assert_relative(nxw_bubble_diameter_m(&s, &p, &WATER, L_MIN), 4.754e-3, 2e-4);
    s.tip = NXW_TIP_FRIT;
    s.bore_m = 160e-6;
    s.frit_diameter_m = 0.025;
    assert_relative(nxw_bubble_diameter_m(&s, &p, &WATER, L_MIN), 2.088e-3, 5e-3);
    s.bore_m = 16e-6; /* the floor for water and nitric acid */
    assert_relative(nxw_bubble_diameter_m(&s, &p, &WATER, 0.0), 1.5e-3, 5e-3);
    s.bore_m = 76.42e-6; /* 1.5 mm by Tate: the corner is rounded by 0.05 mm */
    assert_relative(nxw_bubble_diameter_m(&s, &p, &WATER, 0.0), 1.55e-3, 1e-4);
    s.tip = NXW_TIP_BUBBLE_DIAMETER;
    s.bubble_diameter_m = 0.003;
    assert_relative(nxw_bubble_diameter_m(&s, &p, &WATER, L_MIN), 0.003, 1e-15);
    p.value[NXW_P_bubble_diameter_floor] = 4.0;
    assert_relative(nxw_bubble_diameter_m(&s, &p, &WATER, L_MIN), 0.004, 1e-15);
    p.value[NXW_P_bubble_diameter_floor] = 0.1;
    p.value[NXW_P_factor_bubble_diameter] = 1.3;
    assert_relative(nxw_bubble_diameter_m(&s, &p, &WATER, L_MIN), 0.0039, 1e-14);
}

/* Sizes rise with flow, without a jump or a kink, for every tip. */
static void sizes_are_smooth(void **state)
{
    (void)state;
    struct nxw_parameters p;
    nxw_parameters_default(&p);
    struct nxw_case c;
    nxw_case_init(&c);
    static const double bore[] = {0.006, 0.001, 40e-6};
    for (int tip = 0; tip < 3; tip++) {
        struct nxw_stage s = c.stages[0];
        s.tip = (enum nxw_tip_kind)tip;
        s.bore_m = bore[tip];
        s.holes = 8.0;
        s.frit_diameter_m = 0.015;
        double before = nxw_bubble_diameter_m(&s, &p, &WATER, 0.0), slope_before = 0.0;
        const double dQ = 5e-9;
        for (int i = 1; i <= 20000; i++) {
            const double d = nxw_bubble_diameter_m(&s, &p, &WATER, dQ * i);
            const double slope = (d - before) / dQ;
            assert_true(isfinite(d) && d >= before);
            /* within one step the slope moves by less than 4 % of its natural scale d/Q */
            if (i > 20)
                assert_true(fabs(slope - slope_before) < 0.04 * d / (dQ * i));
            before = d;
            slope_before = slope;
        }
        assert_true(nxw_bubble_diameter_m(&s, &p, &WATER, -1.0) > 0.0);
    }
}

static void velocity_and_kL_are_smooth(void **state)
{
    (void)state;
    struct nxw_bubble_liquid l;
    nxw_bubble_liquid_prepare(&WATER, 1.184, &l);
    double slope_before = 0.0, before = 0.0;
    for (int i = 1; i <= 50000; i++) {
        const double ln_d = log(1e-7) + i * (log(0.1) - log(1e-7)) / 50000.0, d = exp(ln_d);
        const double u = nxw_rise_velocity_m_s(&l, d), slope = log(u) - before;
        assert_true(isfinite(u) && u > 0.0);
        const double kL = bubble_kL_m_s(&l, d, u, 1.4e-9, 1.8e-3);
        assert_true(isfinite(kL) && kL > 0.0);
        if (i > 2)
            assert_true(fabs(slope - slope_before) < 1e-5);
        before = log(u);
        slope_before = slope;
    }
    assert_true(nxw_rise_velocity_m_s(&l, 0.0) > 0.0);
    assert_true(nxw_rise_velocity_m_s(&l, -1.0) > 0.0);
    assert_true(isfinite(nxw_rise_velocity_m_s(&l, 1e30)));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(orifice_sizes),
        cmocka_unit_test(rise_velocities),
        cmocka_unit_test(two_drags),
        cmocka_unit_test(wall),
        cmocka_unit_test(liquid_side),
        cmocka_unit_test(frits),
        cmocka_unit_test(plume),
        cmocka_unit_test(every_tip),
        cmocka_unit_test(sizes_are_smooth),
        cmocka_unit_test(velocity_and_kL_are_smooth),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
