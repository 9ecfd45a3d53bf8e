/* Layer (b): the flat surface under a headspace, where the liquid film alone resists: renewed at
 * the eddies' velocity it takes up with its square root, and in proportion to the factor of kL. */
#include "../assert_near.h"

#include "../bench_feed.h"
#include "../lone_train.h"

static struct lone_train o;

static const double PI = 3.14159265358979;

/* Uptake through the surface of a bottle that is bubbled, with a trace of each gas over it. */
static struct nxw_film_flux uptake(double velocity_factor, double kL_factor)
{
    struct nxw_case c = bench_feed();
    c.physical_absorption_only = true;
    c.parameters.value[NXW_P_factor_kG] = 1e6;
    c.parameters.value[NXW_P_surface_velocity] *= velocity_factor;
    c.parameters.value[NXW_P_factor_kL] *= kL_factor;
    lone_train_make(&o, &c, 0.1);
    lone_tank(&o, 0)[NXW_T_HEAD + NXW_NO] = 1e-9;
    lone_tank(&o, 0)[NXW_T_HEAD + NXW_NO2] = 1e-9;
    lone_tank(&o, 0)[NXW_T_HEAD + NXW_HNO2] = 1e-9;
    assert_true(lone_train_rates(&o, 60.0));
    return o.train.views[0].surface;
}

/* What stays of a quiet surface's slow uptake is a thousandth of it. */
static void square_root_of_the_velocity(void **state)
{
    (void)state;
    const struct nxw_film_flux one = uptake(1.0, 1.0), four = uptake(4.0, 1.0);
    assert_true(one.NO > 0.0 && one.NO2_pool > 0.0);
    /* Higbie's film, renewed as fast as eddies of this velocity pass the bottle's width */
    const struct nxw_stage_view *v = &o.train.views[0];
    const double *p = o.c.parameters.value, D = o.c.stages[0].inner_diameter_m;
    const double kL =
        p[NXW_P_factor_kL] * 2.0 * sqrt(v->liquid.c.D_NO * p[NXW_P_surface_velocity] / (PI * D));
    assert_relative(four.NO, kL * v->liquid.c.H_NO * v->head.NO_Pa * 0.25 * PI * D * D, 3e-3);
    assert_relative(four.NO, 2.0 * one.NO, 3e-3);
    assert_relative(four.NO2_pool, 2.0 * one.NO2_pool, 3e-3);
    assert_relative(four.HNO2, 2.0 * one.HNO2, 3e-3);
}

static void in_proportion_to_the_factor(void **state)
{
    (void)state;
    const struct nxw_film_flux one = uptake(1.0, 1.0), half = uptake(1.0, 0.5);
    assert_relative(half.NO, 0.5 * one.NO, 1e-3);
    assert_relative(half.NO2_pool, 0.5 * one.NO2_pool, 1e-3);
    assert_relative(half.HNO2, 0.5 * one.HNO2, 1e-3);
}

/* Nothing bubbles: kL_quiet alone, whatever the eddies; J = kL H p of each gas. */
static void quiet(void **state)
{
    (void)state;
    struct nxw_case c = quiet_case(NXW_STAGE_BOTTLE);
    struct nxw_parameters *p = &c.parameters;
    c.stages[0].no_surface = false;
    c.physical_absorption_only = true;
    p->value[NXW_P_factor_kG] = 1e9;
    p->value[NXW_P_wet_wall_share] = 0.0;
    lone_train_make(&o, &c, 0.1);
    double *head = lone_tank(&o, 0) + NXW_T_HEAD;
    head[NXW_NO] = head[NXW_NO2] = head[NXW_HNO2] = 1e-9;
    assert_true(lone_train_rates(&o, 60.0));
    const struct nxw_stage_view *v = &o.train.views[0];
    const struct nxw_chemistry *l = &v->liquid.c;
    const double kL_area =
        p->value[NXW_P_factor_kL] * p->value[NXW_P_kL_quiet] * o.train.stages[0].area_m2;
    assert_relative(v->surface.NO, kL_area * l->H_NO * v->head.NO_Pa, 1e-4);
    assert_relative(v->surface.NO2_pool, kL_area * l->H_NO2 * v->head.NO2_Pa, 1e-4);
    assert_relative(v->surface.HNO2, kL_area * l->H_HNO2 * v->head.pool_Pa[NXW_HNO2], 1e-4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(quiet),
                                       cmocka_unit_test(square_root_of_the_velocity),
                                       cmocka_unit_test(in_proportion_to_the_factor)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
