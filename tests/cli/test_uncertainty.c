/* Layers (b) and (d): derivatives against plain differences, intervals against sampling. */
#include "../assert_near.h"

#include <stdlib.h>
#include <string.h>

#include "../random_draw.h"
#include "../rich_feed.h"
#include "study/uncertainty.h"

static struct nxw_uncertainty plain, derived;
static struct nxw_case in;
static struct nxw_result base;

static int run_base(void **unused)
{
    (void)unused;
    in = rich_feed();
    in.parameters.value[NXW_P_wet_wall_share] = 0.25; /* the table's */
    in.carrier.gas = NXW_GAS_AIR;
    in.carrier.flow_mol_s = 1e-4;
    in.carrier.until_s = 2700.0;
    if (nxw_estimate(&in, NULL, NULL, &base) != NXW_OK)
        return 1;
    nxw_uncertainty_run(&in, &base, NULL, 0, false, 2, NULL, NULL, &plain);
    nxw_uncertainty_run(&in, &base, NULL, 0, true, 2, NULL, NULL, &derived);
    return plain.ran && derived.ran ? 0 : 1;
}

static const struct nxw_factor *factor(const struct nxw_uncertainty *u, const char *name)
{
    for (size_t i = 0; i < u->n_factors; i++)
        if (strcmp(u->factors[i].name, name) == 0)
            return &u->factors[i];
    fail_msg("no factor %s", name);
    return NULL;
}

enum { LOOKED_AT = 4 }; /* kept, nitrous acid, escaped, the hottest */

/* By z of the mean of a standard error up and one down, either way alike; a range is four of them.
 */
static void move_evenly(const struct nxw_factor *f, double z, struct nxw_case *c)
{
    const struct nxw_parameter_record *r = nxw_parameter_record(f->constant);
    double *v = c->parameters.value, *value = &v[f->constant];
    const double old = *value;
    if (r->low > 0.0)
        *value *= exp(0.25 * z * log(r->high / r->low));
    else
        *value += 0.25 * z * (r->high - r->low);
    if (f->constant == NXW_P_H_NO2)
        v[NXW_P_k2_NO2] *= (old / *value) * (old / *value);
}

static void answers_moved(const struct nxw_factor *f, double z, double out[NXW_ANSWERS])
{
    struct nxw_case c = in;
    struct nxw_result r;
    c.relative_tolerance = 1e-9;
    if (f->constant < nxw_parameter_count() && !nxw_factor_reaches_one_side(f))
        move_evenly(f, z, &c);
    else
        nxw_factor_move(f, z, &c);
    assert_int_equal(nxw_estimate(&c, NULL, NULL, &r), NXW_OK);
    nxw_answers_scaled(&c, &r, out);
}

/* By differences of fourth order, central or to one side, by hand. */
static void derivatives_of(const struct nxw_factor *f, bool central, bool up,
                           double out[NXW_ANSWERS])
{
    const double h = up ? 0.03 : -0.03;
    const double at[2][4] = {{1.0, 2.0, 3.0, 4.0}, {-2.0, -1.0, 1.0, 2.0}};
    const double times[2][4] = {{4.0, -3.0, 4.0 / 3.0, -0.25},
                                {1.0 / 12.0, -2.0 / 3.0, 2.0 / 3.0, -1.0 / 12.0}};
    double base_at[NXW_ANSWERS];
    answers_moved(f, 0.0, base_at);
    for (int a = 0; a < NXW_ANSWERS; a++)
        out[a] = central ? 0.0 : -25.0 / 12.0 * base_at[a] / h;
    for (int k = 0; k < 4; k++) {
        double moved[NXW_ANSWERS];
        answers_moved(f, at[central][k] * h, moved);
        for (int a = 0; a < NXW_ANSWERS; a++)
            out[a] += times[central][k] * moved[a] / h;
    }
}

/* All derivatives that count for as much as a fiftieth of the greatest, to 1 %. The share of NO2
 * is all that oxygen leaves: it has a limit above; side losses of peroxide do nothing here. */
static void test_derivatives(void **unused)
{
    (void)unused;
    double greatest[LOOKED_AT] = {0.0};
    size_t counted = 0;
    for (size_t i = 0; i < derived.n_factors; i++)
        for (int a = 0; a < LOOKED_AT; a++)
            greatest[a] = fmax(greatest[a], fabs(derived.factors[i].change[a]));
    for (size_t i = 0; i < derived.n_factors; i++) {
        const struct nxw_factor *f = &derived.factors[i];
        double want[NXW_ANSWERS];
        bool counts = false;
        for (int a = 0; a < LOOKED_AT; a++)
            counts = counts || fabs(f->change[a]) > 0.02 * greatest[a];
        if (!counts)
            continue;
        const bool share = strcmp(f->name, "share of NO2 in it") == 0;
        derivatives_of(f, !share && !nxw_factor_reaches_one_side(f), !share, want);
        for (int a = 0; a < LOOKED_AT; a++, counted++)
            if (fabs(f->change[a]) > 0.02 * greatest[a])
                assert_near(f->change[a] / want[a], 1.0, 0.01);
    }
    assert_true(counted > 40);
}

static double escaped_with(enum nxw_parameter_id constant, double ratio)
{
    struct nxw_case c = in;
    struct nxw_result r;
    c.relative_tolerance = 1e-9;
    c.parameters.value[constant] *= ratio;
    assert_int_equal(nxw_estimate(&c, NULL, NULL, &r), NXW_OK);
    return r.escaped_mol / r.fed_mol;
}

/* Percent of the escape per percent of a constant, to 1 %. */
static void test_elasticity(void **unused)
{
    (void)unused;
    static const struct {
        const char *name;
        enum nxw_parameter_id id;
    } constants[] = {{"factor_kG", NXW_P_factor_kG},
                     {"D_NO2_water", NXW_P_D_NO2_water},
                     {"K3_HNO2", NXW_P_K3_HNO2}};
    for (size_t i = 0; i < 3; i++) {
        const double up = escaped_with(constants[i].id, 1.01);
        const double down = escaped_with(constants[i].id, 1.0 / 1.01);
        const double want = log(up / down) / (2.0 * log(1.01));
        assert_near(factor(&derived, constants[i].name)->elasticity[NXW_ANSWER_ESCAPED], want,
                    0.01 * fabs(want) + 5e-4);
    }
}

/* H of NO2 moves with H^2 k2 held. */
static void test_tied_pair(void **unused)
{
    (void)unused;
    const struct nxw_factor *H = factor(&derived, "H_NO2");
    struct nxw_case c = in;
    nxw_factor_move(H, 0.7, &c);
    const double *v = c.parameters.value, *v0 = in.parameters.value;
    assert_near(v[NXW_P_H_NO2] * v[NXW_P_H_NO2] * v[NXW_P_k2_NO2],
                v0[NXW_P_H_NO2] * v0[NXW_P_H_NO2] * v0[NXW_P_k2_NO2], 1e-12 * v0[NXW_P_k2_NO2]);
    assert_true(v[NXW_P_H_NO2] > v0[NXW_P_H_NO2]);
}

/* Where the case sets k2 it stays. */
static void test_tied_but_set(void **unused)
{
    (void)unused;
    static struct nxw_uncertainty u;
    const size_t fixed[] = {NXW_P_k2_NO2};
    struct nxw_case c = in;
    nxw_factors_of_constants(&in, fixed, 1, &u);
    nxw_factor_move(factor(&u, "H_NO2"), 1.0, &c);
    assert_near(c.parameters.value[NXW_P_k2_NO2], in.parameters.value[NXW_P_k2_NO2], 0.0);
    assert_true(c.parameters.value[NXW_P_H_NO2] > in.parameters.value[NXW_P_H_NO2]);
}

/* Two standard errors reach the end of the range; a range with one side goes there. */
static void test_reach(void **unused)
{
    (void)unused;
    struct nxw_case c = in;
    nxw_factor_move(factor(&derived, "factor_kL"), 2.0, &c);
    assert_near(c.parameters.value[NXW_P_factor_kL], 2.0, 1e-12);
    nxw_factor_move(factor(&derived, "k_HNO2_gas"), 2.0, &c);
    assert_near(c.parameters.value[NXW_P_k_HNO2_gas], 0.0, 1e-12);
    nxw_factor_move(factor(&derived, "peroxide_side_loss"), 2.0, &c);
    assert_near(c.parameters.value[NXW_P_peroxide_side_loss], 0.3, 1e-12);
}

static void test_threads_make_no_difference(void **unused)
{
    (void)unused;
    static struct nxw_uncertainty alone;
    nxw_uncertainty_run(&in, &base, NULL, 0, false, 1, NULL, NULL, &alone);
    assert_int_equal(alone.n_factors, plain.n_factors);
    assert_memory_equal(alone.low, plain.low, sizeof alone.low);
    assert_memory_equal(alone.high, plain.high, sizeof alone.high);
}

static bool keep_course(const struct nxw_series_row *row, void *user)
{
    return nxw_run_series_add(user, row);
}

/* At the end of the run, the bands are what moving each factor by hand does to the last values. */
static void test_bands(void **unused)
{
    (void)unused;
    static struct nxw_bands bands;
    static struct nxw_uncertainty u;
    struct nxw_run_series course = {0};
    static struct nxw_result r, moved;
    assert_int_equal(nxw_estimate(&in, keep_course, &course, &r), NXW_OK);
    nxw_bands_begin(&bands, &course, &r, r.end_s);
    nxw_uncertainty_run(&in, &r, NULL, 0, false, 2, NULL, &bands, &u);
    assert_int_equal(bands.n_runs, u.n_factors - u.n_failed);
    double square_K = 0.0, square_mol_L = 0.0;
    const double mol_L = 1e-3 * r.stages[0].nitrate_mol / r.stages[0].liquid_m3;
    for (size_t i = 0; i < u.n_factors; i++) {
        struct nxw_case c = in;
        nxw_factor_move(&u.factors[i], 1.0, &c);
        if (nxw_estimate(&c, NULL, NULL, &moved) < 0)
            continue;
        const struct nxw_stage_result *s = &moved.stages[0];
        square_K += pow(s->temperature_K - r.stages[0].temperature_K, 2.0);
        square_mol_L += pow(1e-3 * s->nitrate_mol / s->liquid_m3 - mol_L, 2.0);
    }
    const struct nxw_curve kinds[] = {{NXW_CURVE_TEMPERATURE, 0, 0.0}, {NXW_CURVE_ACID, 0, 0.0}};
    const double want[] = {1.96 * sqrt(square_K), 1.96 * sqrt(square_mol_L)};
    const double middle[] = {r.stages[0].temperature_K - 273.15, mol_L};
    for (size_t k = 0; k < 2; k++) {
        double time_s, low, high;
        nxw_band_at(&bands, &kinds[k], NXW_BAND_POINTS - 1, &time_s, &low, &high);
        assert_near(time_s, r.end_s, 1e-9);
        /* a run that ends a little later or earlier is read at this end: some thousandths */
        assert_near(high - middle[k], want[k], 0.02 * want[k]);
        assert_near(middle[k] - low, want[k], 0.02 * want[k]);
        nxw_band_at(&bands, &kinds[k], 0, &time_s, &low, &high);
        assert_near(time_s, 0.0, 0.0);
        assert_true(high >= low);
    }
    nxw_run_series_free(&course);
}

/* A constant the user has set is known. */
static void test_fixed(void **unused)
{
    (void)unused;
    static struct nxw_uncertainty u;
    const size_t fixed[] = {NXW_P_factor_kG};
    nxw_uncertainty_run(&in, &base, fixed, 1, false, 2, NULL, NULL, &u);
    assert_int_equal(u.n_factors, plain.n_factors - 1);
    assert_true(u.high[NXW_ANSWER_ESCAPED] < plain.high[NXW_ANSWER_ESCAPED]);
}

static int ascending(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* All factors drawn at once: the middle 90 of 100 of 150 draws against the interval's, within a
 * third of its width (150 draws give the width to some 15 %; the rest is that the sum of squares is
 * linear). */
static void test_against_sampling(void **unused)
{
    (void)unused;
    enum { DRAWS = 150 };
    static double escaped[DRAWS], kept[DRAWS];
    int n = 0, covered = 0;
    for (int d = 0; d < DRAWS; d++) {
        struct nxw_case c = in;
        struct nxw_result r;
        for (size_t i = 0; i < derived.n_factors; i++)
            nxw_factor_move(&derived.factors[i], fmax(-2.0, fmin(2.0, draw_normal())), &c);
        if (nxw_estimate(&c, NULL, NULL, &r) < 0)
            continue;
        escaped[n] = log(r.escaped_mol / (r.fed_mol - r.escaped_mol));
        const double share = r.escaped_mol / r.fed_mol;
        covered +=
            share >= plain.low[NXW_ANSWER_ESCAPED] && share <= plain.high[NXW_ANSWER_ESCAPED];
        kept[n++] = log(r.kept_mol / (r.fed_mol - r.kept_mol));
    }
    assert_true(n >= DRAWS - 3);
    /* each draw a possible truth: 95 of 100 within, to three standard errors of 150 draws */
    assert_true(covered >= n * 89 / 100);
    qsort(escaped, (size_t)n, sizeof *escaped, ascending);
    qsort(kept, (size_t)n, sizeof *kept, ascending);
    const double *sample[] = {escaped, kept};
    const enum nxw_answer answer[] = {NXW_ANSWER_ESCAPED, NXW_ANSWER_KEPT};
    for (int k = 0; k < 2; k++) {
        const double drawn = sample[k][n * 95 / 100] - sample[k][n * 5 / 100];
        const double low = derived.low[answer[k]], high = derived.high[answer[k]];
        const double summed = log(high / (1.0 - high)) - log(low / (1.0 - low));
        assert_near(drawn / (summed * 1.645 / 1.96), 1.0, 0.33);
    }
}

/* Each side is the root of the squares of what leads there, by 1.96: from runs made by hand, both
 * ways for all. Moved with half the slices at ten times the tolerance, and a factor that does
 * little only upwards: within a hundredth of the way to either end. */
static void test_two_sides(void **unused)
{
    (void)unused;
    double more = 0.0, less = 0.0;
    for (size_t i = 0; i < plain.n_factors; i++) {
        double moved[2];
        for (int side = 0; side < 2; side++) {
            struct nxw_case c = in;
            struct nxw_result r;
            nxw_factor_move(&plain.factors[i], side == 0 ? 1.0 : -1.0, &c);
            assert_true(nxw_estimate(&c, NULL, NULL, &r) >= 0);
            moved[side] = log(r.escaped_mol / (r.fed_mol - r.escaped_mol)) -
                          log(base.escaped_mol / (base.fed_mol - base.escaped_mol));
        }
        more += pow(fmax(fmax(moved[0], moved[1]), 0.0), 2.0);
        less += pow(fmin(fmin(moved[0], moved[1]), 0.0), 2.0);
    }
    const double share = base.escaped_mol / base.fed_mol, middle = log(share / (1.0 - share));
    const double low = 1.0 / (1.0 + exp(-(middle - 1.96 * sqrt(less))));
    const double high = 1.0 / (1.0 + exp(-(middle + 1.96 * sqrt(more))));
    assert_near(plain.value[NXW_ANSWER_ESCAPED], share, 1e-9);
    assert_near(plain.low[NXW_ANSWER_ESCAPED], low, 0.01 * (share - low));
    assert_near(plain.high[NXW_ANSWER_ESCAPED], high, 0.01 * (high - share));
    assert_true(high - share > 1.2 * (share - low)); /* here the two differ */
    assert_near(plain.value[NXW_ANSWER_VENT],
                6e7 * (base.vent_peak_NO_kg_s + base.vent_peak_NO2_kg_s), 1e-9);
    assert_near(plain.value[NXW_ANSWER_STRENGTH], base.stages[0].acid_mass_fraction, 1e-9);
}

/* A nearly linear case, where only the inputs are unsure and only a little: drawing and adding up
 * agree to the error of 400 draws. */
static void test_drawing_where_linear(void **unused)
{
    (void)unused;
    static struct nxw_uncertainty u, again;
    static size_t fixed[NXW_FACTORS_MAX];
    struct nxw_case c = in;
    struct nxw_result r;
    const enum nxw_parameter_id errors[] = {NXW_P_error_gas_amount,      NXW_P_error_gas_share,
                                            NXW_P_error_duration,        NXW_P_error_carrier,
                                            NXW_P_error_liquid,          NXW_P_error_depth,
                                            NXW_P_error_room_temperature};
    for (size_t i = 0; i < nxw_parameter_count(); i++)
        fixed[i] = i;
    for (size_t i = 0; i < 7; i++)
        c.parameters.value[errors[i]] *= 0.2;
    c.source.NO2_fraction *= 0.5; /* so that its share may rise too */
    c.relative_tolerance = 1e-8;
    assert_int_equal(nxw_estimate(&c, NULL, NULL, &r), NXW_OK);
    const size_t n = nxw_parameter_count();
    assert_int_equal(nxw_uncertainty_run(&c, &r, fixed, n, false, 2, NULL, NULL, &u), NXW_OK);
    assert_int_equal(u.n_factors, 7);
    assert_int_equal(nxw_uncertainty_draw(&c, 400, 1, 2, NULL, &u), NXW_OK);
    assert_int_equal(u.n_draws, 400);
    assert_int_equal(u.n_draws_failed, 0);
    for (int a = 0; a < NXW_ANSWERS; a++) {
        const double width = u.high[a] - u.low[a];
        assert_true(width > 0.0);
        assert_near(u.drawn_low[a], u.low[a], 0.08 * width);
        assert_near(u.drawn_high[a], u.high[a], 0.08 * width);
    }
    assert_int_equal(nxw_uncertainty_run(&c, &r, fixed, n, false, 1, NULL, NULL, &again), NXW_OK);
    assert_int_equal(nxw_uncertainty_draw(&c, 400, 1, 1, NULL, &again), NXW_OK);
    assert_memory_equal(u.drawn_low, again.drawn_low, sizeof u.drawn_low); /* any thread count */
    again.value[NXW_ANSWER_ESCAPED] = 0.999; /* outside what is drawn */
    again.value[NXW_ANSWER_PEAK] = u.low[NXW_ANSWER_PEAK] - 1.0;
    again.value[NXW_ANSWER_STRENGTH] = (double)NAN;
    assert_int_equal(nxw_uncertainty_draw(&c, 400, 1, 2, NULL, &again), NXW_OK);
    for (int a = 0; a < NXW_ANSWERS; a++) {
        const bool outside =
            a == NXW_ANSWER_ESCAPED || a == NXW_ANSWER_PEAK || a == NXW_ANSWER_STRENGTH;
        assert_int_equal(again.drawn_not_given[a] != NULL, outside);
        assert_int_equal(isnan(again.drawn_low[a]), outside);
        assert_int_equal(isnan(again.drawn_high[a]), outside);
    }
    assert_non_null(strstr(again.drawn_not_given[NXW_ANSWER_ESCAPED], "outside"));
    assert_non_null(strstr(again.drawn_not_given[NXW_ANSWER_STRENGTH], "no liquid"));
}

/* Where acid that was filled in takes a share beyond an end of 0 to 100 % it goes on the scale and
 * comes back; by less than 1e-5, or beyond another end, it is a run's noise: the end. */
static void test_scale_of_shares(void **unused)
{
    (void)unused;
    static const struct {
        double kept, escaped, kept_back, escaped_back;
    } rows[] = {{0.25, 0.75, 0.25, 0.75},
                {-2e-5, 1.0 + 2e-5, -2e-5, 1.0 + 2e-5},
                {-9e-6, 1.0 + 9e-6, 0.0, 1.0},
                {-0.3, 1.3, -0.3, 1.3},
                {1.01, -0.01, 1.0, 0.0}};
    struct nxw_case c;
    nxw_case_init(&c);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const struct nxw_result r = {
            .fed_mol = 2.0, .kept_mol = 2.0 * rows[i].kept, .escaped_mol = 2.0 * rows[i].escaped};
        double scaled[NXW_ANSWERS];
        nxw_answers_scaled(&c, &r, scaled);
        assert_near(nxw_answer_plain(NXW_ANSWER_KEPT, scaled[NXW_ANSWER_KEPT]), rows[i].kept_back,
                    2e-9);
        assert_near(nxw_answer_plain(NXW_ANSWER_ESCAPED, scaled[NXW_ANSWER_ESCAPED]),
                    rows[i].escaped_back, 2e-9);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_scale_of_shares),
        cmocka_unit_test(test_derivatives),
        cmocka_unit_test(test_elasticity),
        cmocka_unit_test(test_tied_pair),
        cmocka_unit_test(test_tied_but_set),
        cmocka_unit_test(test_reach),
        cmocka_unit_test(test_threads_make_no_difference),
        cmocka_unit_test(test_bands),
        cmocka_unit_test(test_fixed),
        cmocka_unit_test(test_two_sides),
        cmocka_unit_test(test_drawing_where_linear),
        cmocka_unit_test(test_against_sampling),
    };
    return cmocka_run_group_tests(tests, run_base, NULL);
}
