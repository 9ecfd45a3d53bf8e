/* Layer (a): pressures that the watch of the glass tells at one moment add up along the train. */
#include "../assert_near.h"

#include "../bench_feed.h"
#include "../lone_train.h"
#include "run/glass_watch.h"

static struct lone_train o;
static struct nxw_glass_watch w;

/* A bottle with an open tube, an empty vessel and a bottle with four holes, after t_s. */
static struct nxw_result moment(double t_s)
{
    struct nxw_case c = bench_feed();
    c.n_stages = 3;
    c.stages[1] = c.stages[2] = c.stages[0];
    c.stages[1].kind = NXW_STAGE_EMPTY;
    c.stages[2].tip = NXW_TIP_HOLES;
    c.stages[2].bore_m = 0.001;
    c.stages[2].holes = 4.0;
    lone_train_make(&o, &c, 0.1);
    assert_int_equal(lone_train_run(&o, t_s), NXW_OK);
    assert_true(lone_train_rates(&o, t_s));
    struct nxw_result r = {.bytes = sizeof r, .n_stages = c.n_stages};
    w = (struct nxw_glass_watch){.head_mol = {0.0}};
    nxw_glass_watch_step(&o.train, t_s, o.x, &w, &r);
    return r;
}

/* Ahead of each stage there is what is behind it, and its own head, wet tip and flow; ahead of the
 * last one the vent's; an empty vessel adds nothing; the source sees all. */
static void along_the_train(void **state)
{
    (void)state;
    static const double times_s[] = {60.0, 700.0, 1350.0};
    for (int k = 0; k < 3; k++) {
        const struct nxw_result r = moment(times_s[k]);
        double behind = r.glass.vent_loss_Pa;
        assert_true(behind > 0.0);
        for (size_t i = 3; i-- > 0;) {
            const struct nxw_stage_result *s = &r.stages[i];
            const double own = s->head_Pa + s->capillary_Pa + s->flow_loss_Pa;
            assert_relative(s->gauge_Pa, behind + own, 1e-12);
            if (i == 1)
                assert_near(own, 0.0, 0.0);
            else
                assert_true(s->head_Pa > 300.0 && s->capillary_Pa > 10.0 && s->flow_loss_Pa > 0.0);
            behind = s->gauge_Pa;
        }
        assert_near(r.glass.gauge_peak_Pa, behind, 0.0);
    }
}

/* The gas at a tip is what the stage before lets out, as it expands there: p V = n R T, 2 % for the
 * pairs of NO2 that part on the way. */
static void gas_at_the_tip(void **state)
{
    (void)state;
    const struct nxw_result r = moment(700.0);
    const double mol_s = o.train.views[1].out_mol_s;
    const double P = o.train.stages[2].pressure_Pa + r.stages[2].head_Pa;
    const double T = lone_tank(&o, 2)[NXW_T_TEMPERATURE];
    assert_true(mol_s > 1e-5);
    assert_relative(r.stages[2].tip_flow_m3_s, mol_s * 8.314462618 * T / P, 0.02);
}

/* The gas over each liquid fills the glass that the liquid leaves: p V = n R T, again 2 %. */
static void gas_in_the_heads(void **state)
{
    (void)state;
    (void)moment(700.0);
    for (size_t i = 0; i < 3; i++) {
        const struct nxw_stage *s = &o.c.stages[i];
        const struct nxw_stage_view *v = &o.train.views[i];
        const double liquid_m3 = s->kind == NXW_STAGE_EMPTY ? 0.0 : v->liquid.volume_m3;
        const double n = o.train.stages[i].pressure_Pa * (s->volume_m3 - liquid_m3) /
                         (8.314462618 * v->head_T_K);
        assert_relative(w.head_mol[i], n, 0.02);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(along_the_train),
                                       cmocka_unit_test(gas_at_the_tip),
                                       cmocka_unit_test(gas_in_the_heads)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
