/* Layer (a): what a source sends adds up. Flows are integrated from breakpoint to breakpoint, where
 * they are smooth, and compared with the amounts of the case; atoms and electrons are counted. */
#include "../assert_near.h"

#include <string.h>

#include "../random_draw.h"
#include "stage/source.h"

/* Gauss's five points, exact to the ninth power; with 64 parts a half sine comes out to rounding.
 */
static void sent_mol(const struct nxw_source_plan *plan, double mol[NXW_POOLS])
{
    static const double at[] = {0.0, 0.5384693101056831, 0.9061798459386640};
    static const double weight[] = {128.0 / 225.0, 0.4786286704993665, 0.2369268850561891};
    enum { PARTS = 64 };
    memset(mol, 0, NXW_POOLS * sizeof *mol);
    for (size_t b = 0; b <= plan->n_breaks; b++) {
        const double from = b == 0 ? 0.0 : plan->breaks_s[b - 1];
        const double until = b < plan->n_breaks ? plan->breaks_s[b] : plan->end_s;
        const double half = 0.5 * (until - from) / PARTS;
        for (int i = 0; i < PARTS; i++)
            for (int k = -2; k <= 2; k++) {
                const double x = k < 0 ? -at[-k] : at[k];
                double flow[NXW_POOLS], y[NXW_POOLS];
                nxw_source_flow(plan, from + half * (2 * i + 1 + x), flow, y);
                for (int j = 0; j < NXW_POOLS; j++)
                    mol[j] += half * weight[k < 0 ? -k : k] * flow[j];
            }
    }
}

static const enum nxw_source_kind KINDS[] = {NXW_SOURCE_ACID_VAPOUR, NXW_SOURCE_METAL,
                                             NXW_SOURCE_METERED};
static const enum nxw_shape SHAPES[] = {NXW_SHAPE_STEADY, NXW_SHAPE_RISE_AND_FALL, NXW_SHAPE_TABLE};

/* Every kind that has amounts, filled in. */
static struct nxw_case source_case(enum nxw_source_kind kind, enum nxw_shape shape)
{
    struct nxw_case c;
    nxw_case_init(&c);
    struct nxw_source *s = &c.source;
    s->kind = kind;
    s->shape = shape;
    s->duration_s = 1234.5;
    s->acid_made_mol = 0.60;
    s->decomposed_fraction = 0.35;
    s->metal_mol = 0.2;
    s->metal_valence = 2.0;
    s->NO2_route_fraction = 0.3;
    s->flow_mol_s = 4e-4;
    s->NO2_fraction = 0.25;
    s->NO_fraction = 0.15;
    s->O2_fraction = 0.2;
    if (shape == NXW_SHAPE_TABLE) {
        static const double strength[][2] = {{0, 0}, {100, 3}, {100, 1}, {700, 2}, {1500, 0}};
        s->n_rows = 5;
        for (size_t i = 0; i < s->n_rows; i++) {
            s->rows[i].time_s = strength[i][0];
            s->rows[i].inert_mol_s = strength[i][1];
        }
    }
    return c;
}

/* A metered source with rows is a table of flows: tables_send_their_area. */
static bool has_totals(enum nxw_source_kind kind, enum nxw_shape shape)
{
    return !(kind == NXW_SOURCE_METERED && shape == NXW_SHAPE_TABLE);
}

/* Every kind in every shape, short sources too, sends its totals; to rounding. */
static void shapes_send_their_totals(void **state)
{
    (void)state;
    static const double durations_s[] = {0.1, 3.0, 1234.5, 86400.0};
    for (size_t k = 0; k < 3; k++)
        for (size_t shape = 0; shape < 3; shape++)
            for (size_t d = 0; d < 4 && has_totals(KINDS[k], SHAPES[shape]); d++) {
                struct nxw_case c = source_case(KINDS[k], SHAPES[shape]);
                c.source.duration_s = durations_s[d];
                struct nxw_source_plan plan;
                double mol[NXW_POOLS];
                nxw_source_plan_make(&c, &plan);
                sent_mol(&plan, mol);
                for (int j = 0; j < NXW_POOLS; j++)
                    assert_near(mol[j], plan.total_mol[j], 1e-12 * plan.total_mol[j]);
                assert_true(nxw_gas_N(mol) > 1e-6);
            }
}

/* A table of flows sends the area under its straight lines; jumps (two rows of one time) have
 * none. 50 random tables. */
static void tables_send_their_area(void **state)
{
    (void)state;
    for (int n = 0; n < 50; n++) {
        struct nxw_case c;
        nxw_case_init(&c);
        struct nxw_source *s = &c.source;
        s->kind = n % 2 == 0 ? NXW_SOURCE_TABLE : NXW_SOURCE_METERED;
        s->n_rows = 2 + (size_t)(8.0 * draw_uniform());
        double area[NXW_POOLS] = {0.0}, t_s = 0.0;
        for (size_t i = 0; i < s->n_rows; i++) {
            struct nxw_source_row *r = &s->rows[i];
            t_s += i % 3 == 2 ? 0.0 : 600.0 * draw_uniform();
            *r = (struct nxw_source_row){t_s,
                                         1e-4 * draw_uniform(),
                                         1e-4 * draw_uniform(),
                                         1e-6 * draw_uniform(),
                                         1e-5 * draw_uniform(),
                                         1e-4 * draw_uniform(),
                                         1e-3 * draw_uniform(),
                                         1e-5 * draw_uniform()};
            const struct nxw_source_row *q = i == 0 ? r : r - 1;
            const double half = 0.5 * (r->time_s - q->time_s);
            area[NXW_NO] += half * (r->NO_mol_s + q->NO_mol_s);
            area[NXW_NO2] += half * (r->NO2_mol_s + q->NO2_mol_s);
            area[NXW_HNO2] += half * (r->HNO2_mol_s + q->HNO2_mol_s);
            area[NXW_HNO3] += half * (r->HNO3_mol_s + q->HNO3_mol_s);
            area[NXW_O2] += half * (r->O2_mol_s + q->O2_mol_s);
            area[NXW_INERT] += half * (r->inert_mol_s + q->inert_mol_s);
            area[NXW_H2O] += half * (r->H2O_mol_s + q->H2O_mol_s);
        }
        struct nxw_source_plan plan;
        double mol[NXW_POOLS];
        nxw_source_plan_make(&c, &plan);
        sent_mol(&plan, mol);
        for (int j = 0; j < NXW_POOLS; j++)
            assert_near(mol[j], area[j], 1e-12 * area[j]);
    }
}

/* A carrier brings its flow times its time, ramps and all, whenever it starts and ends; of it the
 * oxygen of its gas. */
static void carriers_bring_their_flow(void **state)
{
    (void)state;
    static const struct {
        enum nxw_gas gas;
        double oxygen;
    } gases[] = {{NXW_GAS_AIR, 0.2095}, {NXW_GAS_NITROGEN, 0.0}, {NXW_GAS_OXYGEN, 1.0}};
    static const double spans_s[][2] = {{10, 500}, {0, 1300}, {400, 9000}, {2000, 2001.5}};
    for (int g = 0; g < 3; g++)
        for (int i = 0; i < 4; i++) {
            struct nxw_case c = source_case(NXW_SOURCE_METAL, NXW_SHAPE_STEADY);
            c.carrier = (struct nxw_carrier){gases[g].gas, 2e-3, spans_s[i][0], spans_s[i][1]};
            struct nxw_source_plan plan;
            double mol[NXW_POOLS];
            nxw_source_plan_make(&c, &plan);
            sent_mol(&plan, mol);
            const double all = 2e-3 * (spans_s[i][1] - spans_s[i][0]);
            assert_near(mol[NXW_O2], all * gases[g].oxygen, 1e-12 * all);
            assert_near(mol[NXW_INERT], all * (1.0 - gases[g].oxygen), 1e-12 * all);
        }
}

/* 4 HNO3 -> 4 NO2 + O2 + 2 H2O: nitrogen is that of the acid made; the oxygen released is a quarter
 * of the NO2. A metal gives as many electrons as NO2 (one each) and NO (three) have taken. */
static void atoms_and_electrons_add_up(void **state)
{
    (void)state;
    for (int i = 0; i <= 10; i++) {
        struct nxw_case c = source_case(NXW_SOURCE_ACID_VAPOUR, NXW_SHAPE_STEADY);
        c.source.decomposed_fraction = 0.1 * i;
        c.source.condenser_temperature_K = 263.15 + 8.0 * i;
        struct nxw_source_plan plan;
        nxw_source_plan_make(&c, &plan);
        assert_near(nxw_gas_N(plan.total_mol) + plan.receiver_HNO3_mol, 0.60, 1e-15);
        assert_near(4.0 * plan.total_mol[NXW_O2], plan.total_mol[NXW_NO2], 1e-15);
        assert_true(plan.receiver_HNO3_mol >= 0.0 && plan.total_mol[NXW_HNO3] >= 0.0);
        c = source_case(NXW_SOURCE_METAL, NXW_SHAPE_STEADY);
        c.source.NO2_route_fraction = 0.1 * i;
        nxw_source_plan_make(&c, &plan);
        assert_near(plan.total_mol[NXW_NO2] + 3.0 * plan.total_mol[NXW_NO], 0.2 * 2.0, 1e-15);
    }
}

static void composition_is_whole_at(const struct nxw_source_plan *plan, double t_s)
{
    double flow[NXW_POOLS], y[NXW_POOLS], sum = 0.0, all = 0.0;
    nxw_source_flow(plan, t_s, flow, y);
    for (int j = 0; j < NXW_POOLS; j++) {
        assert_true(flow[j] >= 0.0 && y[j] >= 0.0);
        sum += y[j];
        all += flow[j];
    }
    assert_near(sum, 1.0, 1e-14);
    /* where gas flows in earnest it is that gas: what keeps y defined is a millionth of the mean */
    for (int j = 0; j < NXW_POOLS && all > 1e-4; j++)
        assert_near(y[j], flow[j] / all, 1e-5);
}

/* No flow is negative and the composition adds up to one at every time: before, in, at the corners
 * and after; also of a source that sends nothing. */
static void composition_is_whole(void **state)
{
    (void)state;
    for (size_t k = 0; k < 3; k++)
        for (size_t shape = 0; shape < 3; shape++)
            for (int empty = 0; empty < 2; empty++) {
                struct nxw_case c = source_case(KINDS[k], SHAPES[shape]);
                if (empty)
                    c.source.acid_made_mol = c.source.metal_mol = c.source.flow_mol_s = 0.0;
                struct nxw_source_plan plan;
                nxw_source_plan_make(&c, &plan);
                for (int i = -10; i <= 400; i++)
                    composition_is_whole_at(&plan, plan.end_s * i / 390.0);
                for (size_t b = 0; b < plan.n_breaks; b++)
                    composition_is_whole_at(&plan, plan.breaks_s[b]);
            }
}

/* Breakpoints rise and lie inside the run, however source, carrier and bleeds overlap. */
static void breakpoints_are_in_order(void **state)
{
    (void)state;
    for (int n = 0; n < 200; n++) {
        struct nxw_case c = source_case(KINDS[n % 3], SHAPES[n / 3 % 3]);
        c.standing_s = 100.0 * draw_uniform();
        c.n_stages = NXW_STAGES_MAX;
        c.carrier = (struct nxw_carrier){NXW_GAS_AIR, 1e-3, 3000.0 * draw_uniform() - 500.0,
                                         2000.0 * draw_uniform()};
        for (size_t i = 0; i < c.n_stages; i++)
            c.stages[i].bleed = (struct nxw_carrier){NXW_GAS_OXYGEN, 1e-4, 100.0 * draw_uniform(),
                                                     n % 2 == 0 ? (double)INFINITY : 900.0};
        struct nxw_source_plan plan;
        nxw_source_plan_make(&c, &plan);
        assert_true(plan.n_breaks > 8);
        for (size_t b = 0; b < plan.n_breaks; b++) {
            assert_true(plan.breaks_s[b] > (b == 0 ? 0.0 : plan.breaks_s[b - 1]));
            assert_true(plan.breaks_s[b] < plan.end_s);
        }
        assert_true(plan.end_s >= plan.carrier_end_s && plan.carrier_end_s >= plan.source_end_s);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(shapes_send_their_totals),  cmocka_unit_test(tables_send_their_area),
        cmocka_unit_test(carriers_bring_their_flow), cmocka_unit_test(atoms_and_electrons_add_up),
        cmocka_unit_test(composition_is_whole),      cmocka_unit_test(breakpoints_are_in_order),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
