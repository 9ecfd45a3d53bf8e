/* The figure lies inside its own interval, or no interval is given and the reason is, in cases that
 * are drawn to be awkward: strong acid that gives off more than is fed, hardly any gas, traps ahead
 * of iced bottles, bottles as full as they may be. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <string.h>

#include "random_case.h"
#include "study/uncertainty.h"
#include "words/interval_json.h"
#include "words/interval_text.h"

enum { CASES = 300 };

static struct nxw_case hostile_case(void)
{
    struct nxw_case c = random_train();
    c.n_stages = c.n_stages > 4 ? 1 : 2;
    const double less = uniform(0, 1) < 0.6 ? logarithmic(1e-4, 1.0) : 1.0;
    c.source.flow_mol_s *= less;
    c.source.metal_mol *= less;
    c.source.acid_made_mol *= less;
    c.standing_s = logarithmic(60.0, 3600.0);
    c.slices = 2; /* how well the bubbles are followed matters little here */
    c.relative_tolerance = 1e-4;
    for (size_t i = 0; i < c.n_stages; i++) {
        struct nxw_stage *s = &c.stages[i];
        if (uniform(0, 1) < 0.4)
            s->acid_mass_fraction = uniform(0.2, 0.6);
        if (s->acid_mass_fraction > 0.2 && uniform(0, 1) < 0.7)
            s->peroxide_mass_fraction = 0.0;
        if (uniform(0, 1) < 0.2)
            s->liquid_m3 = 0.95 * s->volume_m3;
        if (s->bath == NXW_BATH_WATER && uniform(0, 1) < 0.3)
            s->bath_temperature_K = 273.15 + uniform(40.0, 65.0);
    }
    return c;
}

/* What is said of a case as it is: the same figures, from the result itself. */
static void figures(const struct nxw_case *c, const struct nxw_result *r, double out[NXW_ANSWERS])
{
    double nitrous_mol = 0.0, hottest_K = (double)NAN;
    size_t first = c->n_stages;
    for (size_t i = c->n_stages; i-- > 0;) {
        nitrous_mol += r->stages[i].nitrous_acid_mol;
        if (c->stages[i].kind == NXW_STAGE_EMPTY)
            continue;
        hottest_K = fmax(hottest_K, r->stages[i].peak_temperature_K);
        first = i;
    }
    out[NXW_ANSWER_KEPT] = r->kept_mol / r->fed_mol;
    out[NXW_ANSWER_NITROUS_ACID] = nitrous_mol / r->fed_mol;
    out[NXW_ANSWER_ESCAPED] = r->escaped_mol / r->fed_mol;
    out[NXW_ANSWER_PEAK] = hottest_K - 273.15;
    out[NXW_ANSWER_VENT] = 6e7 * (r->vent_peak_NO_kg_s + r->vent_peak_NO2_kg_s);
    out[NXW_ANSWER_STRENGTH] =
        first < c->n_stages ? r->stages[first].acid_mass_fraction : (double)NAN;
}

/* Returns how many intervals of the case are not given though there is such a figure. */
static size_t judge(long number, const struct nxw_case *c, const struct nxw_result *r,
                    const struct nxw_uncertainty *u, size_t *wrong)
{
    double want[NXW_ANSWERS];
    size_t not_given = 0;
    figures(c, r, want);
    for (int a = 0; a < NXW_ANSWERS; a++) {
        const double rounding = 1e-14 * fabs(want[a]);
        const bool same =
            isnan(want[a]) ? isnan(u->value[a]) : fabs(u->value[a] - want[a]) <= rounding;
        const bool outside = a == NXW_ANSWER_KEPT      ? want[a] < -1e-4
                             : a <= NXW_ANSWER_ESCAPED ? want[a] > 1.0 + 1e-4
                                                       : false;
        bool good = same;
        if (u->not_given[a] != NULL) {
            not_given += isnan(want[a]) ? 0 : 1;
            good = good && isnan(u->low[a]) && isnan(u->high[a]) && u->not_given[a][0] != '\0';
        } else
            good = good && !isnan(want[a]) && !outside && u->low[a] <= want[a] + rounding &&
                   u->high[a] >= want[a] - rounding;
        if (good)
            continue;
        print_error("case %ld, %s: %.9g, said to be %.9g, %.9g to %.9g, %s\n", number,
                    nxw_answer_names[a].words, want[a], u->value[a], u->low[a], u->high[a],
                    u->not_given[a] != NULL ? u->not_given[a] : "given");
        ++*wrong;
    }
    return not_given;
}

/* Nothing is told of a figure that is not given; all else is told as numbers. */
static void told(const struct nxw_uncertainty *u)
{
    struct nxw_json j = {false};
    json_t *o = nxw_json_object(&j);
    nxw_intervals_json(&j, o, u);
    assert_false(j.failed);
    for (int a = 0; a < NXW_ANSWERS; a++) {
        static const char *const ends[] = {"low", "high", "not_given"};
        const json_t *member[3];
        for (int k = 0; k < 3; k++) {
            char key[64];
            (void)snprintf(key, sizeof key, "%s_%s", nxw_answer_names[a].key, ends[k]);
            member[k] = json_object_get(o, key);
        }
        for (int k = 0; k < 2; k++)
            assert_true(u->not_given[a] != NULL ? json_is_null(member[k])
                                                : json_is_number(member[k]));
        assert_true((u->not_given[a] != NULL) == (member[2] != NULL));
        size_t rank[NXW_FACTORS_MAX];
        if (u->not_given[a] != NULL)
            assert_int_equal(nxw_uncertainty_rank(u, (enum nxw_answer)a, rank), 0);
    }
    json_decref(o);
}

/* Of the factors those of the case itself: they are moved the furthest. */
static void inside_or_not_given(void **unused)
{
    (void)unused;
    static struct nxw_uncertainty u;
    static size_t fixed[NXW_PARAMETER_COUNT];
    static struct nxw_result r;
    size_t ran = 0, not_given = 0, wrong = 0, traps = 0;
    for (size_t i = 0; i < nxw_parameter_count(); i++)
        fixed[i] = i;
    for (long number = 0; number < CASES; number++) {
        const struct nxw_case c = hostile_case();
        const enum nxw_status status = nxw_estimate(&c, NULL, NULL, &r);
        if (status < 0)
            print_message("case %ld: %s, %s %s\n", number, nxw_status_text(status),
                          r.diagnosis.path, r.diagnosis.text);
        if (status < 0 || !(r.fed_mol > 0.0))
            continue;
        assert_int_equal(
            nxw_uncertainty_run(&c, &r, fixed, nxw_parameter_count(), false, 2, NULL, NULL, &u),
            NXW_OK);
        assert_true(u.ran);
        ran++;
        traps += c.stages[0].kind == NXW_STAGE_EMPTY && c.n_stages > 1;
        not_given += judge(number, &c, &r, &u, &wrong);
        told(&u);
    }
    print_message("%zu cases, %zu with a trap ahead; %zu intervals not given\n", ran, traps,
                  not_given);
    assert_int_equal(wrong, 0);
    assert_true(ran > CASES - 10 && traps > 20);
    /* else the cases are not awkward, or nothing is given at all */
    assert_true(not_given > 20 && not_given < CASES);
}

/* A curve's noise below 0 lies in its own band, which is no wider for it. */
static void bands_hold_their_curve(void **unused)
{
    (void)unused;
    static struct nxw_bands bands;
    static const struct nxw_result r = {.n_stages = 1};
    struct nxw_run_series base = {0}, moved = {0};
    for (int i = 0; i < 2; i++) {
        struct nxw_series_row row = {
            .time_s = 100.0 * i, .liquid_m3 = 1e-4, .temperature_K = 290.0};
        row.nitrous_acid_mol = -1e-9;
        assert_true(nxw_run_series_add(&base, &row));
        row.nitrous_acid_mol = -3e-9;
        assert_true(nxw_run_series_add(&moved, &row));
    }
    nxw_bands_begin(&bands, &base, &r, 100.0);
    nxw_bands_add(&bands, &moved, 1.0);
    const struct nxw_curve curve = {NXW_CURVE_NITROUS, 0, 0.0};
    for (size_t i = 0; i < NXW_BAND_POINTS; i++) {
        double time_s, low, high, value[NXW_BAND_POINTS];
        nxw_curve_at(&base, &curve, 100.0, NXW_BAND_POINTS, value);
        nxw_band_at(&bands, &curve, i, &time_s, &low, &high);
        assert_true(value[i] < 0.0 && low <= value[i] && high >= value[i]);
        assert_true(low >= value[i]);
    }
    nxw_run_series_free(&base);
    nxw_run_series_free(&moved);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(inside_or_not_given),
                                       cmocka_unit_test(bands_hold_their_curve)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
