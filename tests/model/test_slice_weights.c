/* Layer (d): what leaves one slice of the bubble path against its closed form, for each thing that
 * takes gas alone. What a bubble loses at known contents is the path's own; the weights say at what
 * contents it is lost. */
#include "../assert_near.h"

#include "../lone_train.h"

static const double TRACE = 1e-6, WET = 0.0226; /* the second: water over water */

static struct lone_train o;

/* One slice, 8 cm, of 4 mm bubbles in water of 20 degC, in which nothing reacts. */
static struct nxw_case one_slice(void)
{
    struct nxw_case c = quiet_case(NXW_STAGE_BOTTLE);
    struct nxw_stage *s = &c.stages[0];
    c.slices = 1;
    s->volume_m3 = 500e-6;
    s->liquid_m3 = 250e-6;
    s->inner_diameter_m = 0.065;
    s->depth_m = 0.08;
    s->tip = NXW_TIP_BUBBLE_DIAMETER;
    s->bubble_diameter_m = 4e-3;
    c.parameters.value[NXW_P_kL_blend_diameter] = 1e-3; /* a mobile surface, 1 part in 1e14 rigid */
    c.parameters.value[NXW_P_k2_NO2] = c.parameters.value[NXW_P_k_NO_oxidation] = 0.0;
    return c;
}

/* The same where only a reaction takes gas: no film in the gas, no way into the liquid. */
static struct nxw_case one_slice_of_reaction(void)
{
    struct nxw_case c = one_slice();
    c.parameters.value[NXW_P_Sh_bubble] = 1e4;
    c.parameters.value[NXW_P_factor_kL] = 1e-12;
    return c;
}

/* What a pool gains within a rise, when the gas y enters a slice that holds the same but for own of
 * that pool; times the constant by which the path settles faster. */
static double gain(const double y[NXW_POOLS], enum nxw_pool pool, double own)
{
    struct nxw_gas_stream in = {.flow_mol_s = 1e-4};
    struct nxw_stage_view *view = &o.train.views[0];
    struct nxw_weights weights = {.held = false};
    double state[NXW_PATH_POOLS], rate[NXW_PATH_POOLS], sums[1][NXW_S_COUNT];
    memcpy(in.y, y, sizeof in.y);
    in.y[NXW_INERT] = 1.0;
    for (int j = 0; j < NXW_INERT; j++)
        in.y[NXW_INERT] -= y[j];
    memcpy(state, y, sizeof state);
    state[pool] = own;
    nxw_stage_look(&o.train.stages[0], lone_tank(&o, 0), &in, view);
    nxw_stage_path(&o.train.stages[0], view, &in, state, &weights, rate, sums);
    return rate[pool] * view->residence_s;
}

/* That constant: a slice empty of oxygen gains within a rise what enters. */
static double constant(const struct nxw_case *c)
{
    const double oxygen[NXW_POOLS] = {[NXW_O2] = TRACE};
    lone_train_make(&o, c, 0.1);
    return gain(oxygen, NXW_O2, 0.0) / TRACE;
}

/* Transfer units where what enters is what is there, and how far a slice that holds what the closed
 * form leaves is from standing still, in parts of what is lost. */
struct slice {
    double units, drift;
};

/* Lost in proportion to what is beyond a content at rest, 0 but for water. */
static struct slice first_order(const struct nxw_case *c, const double y[NXW_POOLS],
                                enum nxw_pool pool)
{
    const double F = constant(c), n = y[pool];
    double half[NXW_POOLS];
    memcpy(half, y, sizeof half);
    half[pool] = 0.5 * n;
    const double loss = -gain(y, pool, n) / F, loss_half = -gain(half, pool, 0.5 * n) / F;
    const double N = (loss - loss_half) / (0.5 * n), rest = n - loss / N;
    const double left = rest + (n - rest) * exp(-N);
    return (struct slice){N, gain(y, pool, left) / F / (n - left)};
}

/* A trace that is lost in proportion leaves exactly e^-N of itself: vapours through the gas film,
 * NO and NO2 through both films, water to where it stands over the liquid. On its way up the bubble
 * swells by 0.13 % in diameter, and its rise is met roughly: 2e-4 N^2. */
static void a_trace_alone(void **state)
{
    (void)state;
    static const struct {
        enum nxw_pool pool;
        double Sh, H, kG_m_s, P_Pa;
    } at[] = {{NXW_HNO3, 0.01, 1.0, 0.0, 1e5},  {NXW_HNO3, 1.0, 1.0, 0.0, 1e5},
              {NXW_HNO3, 5.0, 1.0, 0.0, 1e5},   {NXW_HNO3, 5.0, 1.0, 5e-3, 1e5},
              {NXW_HNO2, 1.0, 1e4, 0.0, 1e5},   {NXW_HNO2, 5.0, 1e4, 0.0, 1e5},
              {NXW_HNO2, 5.0, 1e4, 5e-3, 1e5},  {NXW_NO, 10.0, 100.0, 0.0, 1e5},
              {NXW_NO, 2.0, 1e3, 0.0, 1e5},     {NXW_NO, 10.0, 1e3, 0.0, 1e5},
              {NXW_NO2, 10.0, 30.0, 0.0, 1e5},  {NXW_NO2, 2.0, 200.0, 0.0, 1e5},
              {NXW_NO2, 10.0, 200.0, 0.0, 1e5}, {NXW_H2O, 25.0, 1.0, 0.0, 1e7},
              {NXW_H2O, 200.0, 1.0, 0.0, 1e7}};
    for (size_t i = 0; i < sizeof at / sizeof at[0]; i++) {
        struct nxw_case c = one_slice();
        double y[NXW_POOLS] = {[NXW_O2] = TRACE};
        y[at[i].pool] = TRACE;
        c.parameters.value[NXW_P_Sh_bubble] = at[i].Sh;
        c.parameters.value[NXW_P_H_HNO2] *= at[i].H;
        c.parameters.value[NXW_P_H_NO] *= at[i].H;
        c.parameters.value[NXW_P_H_NO2] *= at[i].H;
        c.bubble_kG_m_s = at[i].kG_m_s;
        c.surroundings_pressure_Pa = at[i].P_Pa;
        const struct slice s = first_order(&c, y, at[i].pool);
        assert_true(s.units > 0.01 && s.units < 8.0);
        assert_near(s.drift, 0.0, 2e-4 * s.units * s.units);
    }
}

/* NO2 that reacts at the surface, -dn/dt = k n^1.5, leaves 1/(1 + N/2)^2 of itself; NO oxidised in
 * much air, -dn/dt = k n^2, leaves 1/(1 + N). The weights are those of a first order: exact for
 * small N, within 2 % of what is lost at two. */
static void higher_orders(void **state)
{
    (void)state;
    static const double faster[] = {1.0, 4.0}, tolerance[] = {1e-3, 0.02};
    for (int i = 0; i < 4; i++) {
        const enum nxw_pool gas = i < 2 ? NXW_NO2 : NXW_NO;
        const double n = 1e-4, order = i < 2 ? 1.5 : 2.0;
        double y[NXW_POOLS] = {[NXW_O2] = 0.2, [NXW_H2O] = WET};
        y[gas] = n;
        struct nxw_case c = one_slice_of_reaction();
        const double F = constant(&c);
        c.parameters.value[NXW_P_k2_NO2] = 7e9 * faster[i % 2] * faster[i % 2];
        c.parameters.value[NXW_P_k_NO_oxidation] = 2.6e7 * faster[i % 2];
        lone_train_make(&o, &c, 0.1);
        const double N = -gain(y, gas, n) / F / n;
        const double left = n * pow(1.0 + (order - 1.0) * N, -1.0 / (order - 1.0));
        assert_true(N > 0.5 * faster[i % 2] && N < 0.6 * faster[i % 2]);
        assert_near(gain(y, gas, left) / F, 0.0, tolerance[i % 2] * (n - left));
    }
}

/* The factor of all gas films is in the weights as it is in the films; and oxygen that is lost to
 * much NO is lost at the mean of what enters and leaves, which is right to N^2/12 of it. */
static void factors_and_oxygen(void **state)
{
    (void)state;
    struct nxw_case c = one_slice();
    double y[NXW_POOLS] = {[NXW_O2] = TRACE, [NXW_HNO3] = TRACE};
    c.parameters.value[NXW_P_factor_kG] = 3.0;
    assert_near(first_order(&c, y, NXW_HNO3).drift, 0.0, 2e-3);
    c = one_slice_of_reaction();
    y[NXW_HNO3] = 0.0;
    y[NXW_NO] = 0.3;
    c.parameters.value[NXW_P_k_NO_oxidation] = 4e3;
    const struct slice s = first_order(&c, y, NXW_O2);
    assert_true(s.units > 0.1 && s.units < 0.5);
    assert_near(s.drift, 0.0, s.units * s.units / 12.0);
}

/* A bubble of one gas that takes as long to rise whatever its size gives up in proportion to its
 * surface: n^(1/3) falls linearly, to 1 - N/3 of itself. The slice is exact for little; near the
 * end, where its content is a hundredth, within 1 % of what is lost. */
static void one_gas(void **state)
{
    (void)state;
    for (double kG = 0.07; kG < 0.75; kG *= 1.3) {
        struct nxw_case c = one_slice();
        c.parameters.value[NXW_P_plume_tube] = 1e3;
        c.surroundings_pressure_Pa = 1e6; /* the depth makes no difference */
        c.bubble_kG_m_s = kG;
        const double y[NXW_POOLS] = {[NXW_HNO3] = 1.0};
        const double F = constant(&c), N = -gain(y, NXW_HNO3, 1.0) / F;
        const double left = pow(1.0 - N / 3.0, 3.0);
        assert_true(N > 0.2 && N < 2.9);
        assert_near(gain(y, NXW_HNO3, left) / F, 0.0, left > 0.1 ? 1e-3 : 0.01);
    }
}

/* The drift of a slice whose weight is that of so many units where it loses by N of them. */
static double drift_by(double units, double N)
{
    const double w = 1.0 / units - 1.0 / expm1(units), q = exp(-N);
    return 1.0 - N * (w + (1.0 - w) * q) / (1.0 - q);
}

/* NO or NO2 taken by much of the other, as HNO2 in the gas or as N2O3 through the surface: the
 * weights lean to more units, never to fewer, and not to twice as many. */
static void with_a_partner(void **state)
{
    (void)state;
    for (int i = 0; i < 8; i++) {
        struct nxw_case c = one_slice_of_reaction();
        const enum nxw_pool gas = i % 2 == 0 ? NXW_NO : NXW_NO2;
        const double faster = i / 2 % 2 == 0 ? 1.0 : 4.0;
        double y[NXW_POOLS] = {
            [NXW_NO] = 1e-3, [NXW_NO2] = 1e-3, [NXW_O2] = TRACE, [NXW_H2O] = WET};
        y[gas] = TRACE;
        if (i < 4)
            c.parameters.value[NXW_P_k_HNO2_gas] = 2e3 * faster;
        else {
            c.parameters.value[NXW_P_K_N2O3] = 0.01;
            c.parameters.value[NXW_P_H_N2O3] *= 2e3 * faster;
        }
        const struct slice s = first_order(&c, y, gas);
        assert_true(s.units > 0.3 && s.units < 3.0);
        assert_true(s.drift > -2e-4 * s.units * s.units &&
                    s.drift < drift_by(2.0 * s.units, s.units));
    }
}

/* What a slice that holds so much of the pool takes of what comes, in parts of it. */
static double taken(const struct nxw_case *c, const double y[NXW_POOLS], enum nxw_pool pool,
                    double own)
{
    const double F = constant(c);
    lone_train_make(&o, c, 0.1);
    return (y[pool] - own - gain(y, pool, own) / F) / y[pool];
}

/* Small bubbles of rich gas that are taken up whole within a part of their way end there: all that
 * comes is taken, and no more. */
static void no_more_than_comes(void **state)
{
    (void)state;
    const double y[NXW_POOLS] = {[NXW_NO2] = 0.95, [NXW_H2O] = WET};
    for (double d = 0.3e-3; d < 2.5e-3; d *= 1.5) {
        struct nxw_case c = one_slice();
        c.parameters.value[NXW_P_k2_NO2] = 7e9;
        c.stages[0].bubble_diameter_m = d;
        const double share = taken(&c, y, NXW_NO2, 0.0);
        assert_true(share > 0.99 && share < 1.001);
    }
}

/* NO that much NO2 takes along as N2O3, too: twice to a thousand times faster than it comes. */
static void no_more_taken_along(void **state)
{
    (void)state;
    const double y[NXW_POOLS] = {
        [NXW_NO2] = 0.1, [NXW_NO] = 1e-2, [NXW_O2] = TRACE, [NXW_H2O] = WET};
    for (double faster = 1.0; faster < 300.0; faster *= 2.0) {
        struct nxw_case c = one_slice_of_reaction();
        c.parameters.value[NXW_P_K_N2O3] = 0.01;
        c.parameters.value[NXW_P_H_N2O3] *= 2e3 * faster;
        for (double own = 0.0; own < 1.1e-2; own += 5e-3) {
            const double share = taken(&c, y, NXW_NO, own);
            assert_true(share > 0.99 && share < 1.02);
        }
    }
}

/* Where oxygen, water vapour or the film of NO itself takes NO beside that, the weights foresee it:
 * what both take rises from all that comes to what the other would take alone, and is never more
 * than that and all. Two at once, each half as fast, take more than one of them alone and less than
 * the other. */
static void taken_along_beside_others(void **state)
{
    (void)state;
    const double y[NXW_POOLS] = {[NXW_NO2] = 0.1, [NXW_NO] = 1e-2, [NXW_O2] = 0.2, [NXW_H2O] = WET};
    static const bool AMONG[][3] = {/* oxygen, water, film */
                                    {true, false, false},
                                    {false, true, false},
                                    {false, false, true},
                                    {true, true, false},
                                    {true, false, true}};
    static const double NO2_GONE[] = {-1.0, 1.0, 0.0}; /* by one alone, with each NO */
    enum { STRENGTHS = 20 };
    double by_one[3][STRENGTHS];
    for (int i = 0; i < 5; i++) {
        double before = 0.99, faster = 0.01;
        for (int k = 0; k < STRENGTHS; k++, faster *= 1.5) {
            struct nxw_case c = one_slice_of_reaction();
            c.parameters.value[NXW_P_K_N2O3] = 0.01;
            const double each = i < 3 ? faster : 0.5 * faster;
            if (AMONG[i][0])
                c.parameters.value[NXW_P_k_NO_oxidation] = 2.6e5 * each;
            if (AMONG[i][1])
                c.parameters.value[NXW_P_k_HNO2_gas] = 50.0 * each;
            if (AMONG[i][2])
                c.parameters.value[NXW_P_H_NO] *= 1e14 * each;
            c.parameters.value[NXW_P_H_N2O3] = 0.0;
            const double alone = taken(&c, y, NXW_NO, y[NXW_NO]);
            if (i < 3)
                assert_near(taken(&c, y, NXW_NO2, y[NXW_NO2]) * y[NXW_NO2],
                            NO2_GONE[i] * alone * y[NXW_NO], 1e-6 * alone);
            c.parameters.value[NXW_P_H_N2O3] = 4e3;
            const double both = taken(&c, y, NXW_NO, y[NXW_NO]);
            assert_true(both > before && both < alone + 1.01);
            before = both - 1e-3;
            if (i < 3)
                by_one[i][k] = both;
            else /* water and film take more than oxygen */
                assert_true(both > by_one[0][k] - 1e-5 && both < by_one[i - 2][k] + 1e-5);
        }
    }
}

/* A bubble nearly all taken up that meets NO in the liquid: N2O3 taken in its last slice has no
 * leap over two decades of the NO that comes. No step of 0.1 % moves it by more than 0.5 % of how
 * far they all do; leaps of the weights were 2.3 %. */
static void no_leaps(void **state)
{
    (void)state;
    enum { STEPS = 4600 };
    struct nxw_case c = one_slice();
    struct nxw_stage *s = &c.stages[0];
    c.slices = 2;
    s->bubble_diameter_m = 0.8e-3;
    s->depth_m = 0.06;
    c.physical_absorption_only = false;
    struct nxw_case standard;
    nxw_case_init(&standard);
    c.parameters = standard.parameters;
    lone_train_make(&o, &c, 0.5);
    struct nxw_stage_view *view = &o.train.views[0];
    struct nxw_weights weights = {.held = false};
    double *tank = lone_tank(&o, 0);
    tank[NXW_L_NO_AQ] = 4e-4;
    tank[NXW_L_N3] = 0.1;
    struct nxw_gas_stream in = {.flow_mol_s = 1e-3, .y = {[NXW_NO] = 0.1, [NXW_NO2] = 0.9}};
    nxw_stage_look(&o.train.stages[0], tank, &in, view);
    double x[2 * NXW_PATH_POOLS] = {0.0,   3e-3,  4e-4,   7e-7, 0.0, 6e-5, /* both slices */
                                    0.157, 0.019, 2.5e-3, 5e-6, 0.0, 4e-4};
    double before = 0.0, most = 0.0, all = 0.0;
    for (int i = 0; i < STEPS; i++) {
        x[NXW_NO] = 1e-3 * exp(1e-3 * i);
        double rate[2 * NXW_PATH_POOLS], sums[2][NXW_S_COUNT];
        nxw_stage_path(&o.train.stages[0], view, &in, x, &weights, rate, sums);
        const double now = sums[1][NXW_S_N2O3];
        if (i > 0) {
            most = fmax(most, fabs(now - before));
            all += fabs(now - before);
        }
        before = now;
    }
    assert_true(all > 1e-6 && most < 0.005 * all);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_trace_alone),
        cmocka_unit_test(higher_orders),
        cmocka_unit_test(factors_and_oxygen),
        cmocka_unit_test(one_gas),
        cmocka_unit_test(with_a_partner),
        cmocka_unit_test(no_more_than_comes),
        cmocka_unit_test(no_more_taken_along),
        cmocka_unit_test(no_leaps),
        cmocka_unit_test(taken_along_beside_others),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
