/* Layer (c): every published check value in tests/published/, by the judge that selftest runs; and
 * the judge itself against records that are wrong. */
#include "../assert_near.h"

#include <stdio.h>
#include <string.h>

#include "base/units.h"
#include "noxwash.h"
#include "selftest/published.h"
#include "selftest/quantity.h"

struct count {
    size_t verdict[NXW_CHECK_UNREADABLE + 1];
};

static void tell(const struct nxw_check *c, void *user)
{
    struct count *n = user;
    n->verdict[c->verdict]++;
    if (c->verdict == NXW_CHECK_UNREADABLE)
        print_error("%s, line %zu: %s\n", c->file, c->line, c->fault);
    else if (c->verdict != NXW_CHECK_PASSED && c->verdict != NXW_CHECK_KNOWN_MISS)
        print_error("%s, line %zu: %s (%s): ours %.7g, allowed %.7g to %.7g %s%s\n", c->file,
                    c->line, c->quantity, c->inputs, c->ours, c->low, c->high, c->unit,
                    c->known_miss[0] != '\0' ? ", a known miss" : "");
}

/* None outside but what is on record; none on record that is inside. */
static void published_values_are_met(void **state)
{
    (void)state;
    struct count n = {{0}};
    const size_t all = nxw_check_all(tell, &n);
    assert_true(all > 1000);
    assert_int_equal(n.verdict[NXW_CHECK_FAILED], 0);
    assert_int_equal(n.verdict[NXW_CHECK_UNREADABLE], 0);
    assert_int_equal(n.verdict[NXW_CHECK_MISS_IS_MET], 0);
    assert_int_equal(n.verdict[NXW_CHECK_PASSED] + n.verdict[NXW_CHECK_KNOWN_MISS], all);
}

struct slips {
    size_t checks, missed_by_two;
};

static bool inside(const struct nxw_check *c, double value)
{
    return value >= c->low && value <= c->high;
}

static void slip(const struct nxw_check *c, void *user)
{
    struct slips *s = user;
    if (c->verdict != NXW_CHECK_PASSED)
        return;
    s->checks++;
    s->missed_by_two += inside(c, 2.0 * c->ours) || inside(c, 0.5 * c->ours);
    if (inside(c, 10.0 * c->ours) || inside(c, 0.1 * c->ours) || inside(c, -c->ours))
        fail_msg("%s, line %zu: a slip by ten or of the sign would pass", c->file, c->line);
}

/* No record is so wide that a figure ten times off, or of the other sign, would pass; and few are
 * so wide that one twice off would. */
static void every_record_can_fail(void **state)
{
    (void)state;
    struct slips s = {0};
    (void)nxw_check_all(slip, &s);
    assert_true(s.checks > 1000);
    assert_true(s.missed_by_two < s.checks / 40);
}

static enum nxw_check_verdict judge(const char *record)
{
    struct nxw_check c = {.file = "here", .line = 1};
    nxw_check_judge(record, &c);
    if (c.verdict == NXW_CHECK_UNREADABLE)
        assert_true(strlen(c.fault) > 0);
    return c.verdict;
}

/* Water at 25 degC: 0.997048 g/cm3 (CIPM, from memory). */
static void the_judge_judges(void **state)
{
    (void)state;
    static const struct {
        enum nxw_check_verdict want;
        const char *record;
    } rows[] = {
        {NXW_CHECK_PASSED, "water_density,T = 25 degC,0.997048,g/cm3,6,4e-6,r,published,s,"},
        {NXW_CHECK_PASSED, "water_density,T = 298.15 K,997.048,kg/m3,6,0.004,r,published,s,"},
        {NXW_CHECK_PASSED, "water_density,T = 25 degC,0.9970,g/cm3,4,1 %,r,computed,s,"},
        {NXW_CHECK_PASSED, "water_density,T = 25 degC,0.99,g/cm3,2,0.9 to 1.0,r,published,s,"},
        {NXW_CHECK_PASSED, "water_density,T = 25 degC,0.80,g/cm3,2,factor 1.25,r,published,s,"},
        {NXW_CHECK_PASSED,
         "water_density,T = 25 degC,0.98,g/cm3,2,1 % + 0.008,\"r, \"\"q\"\"\",from memory,s,"},
        {NXW_CHECK_FAILED, "water_density,T = 25 degC,0.997100,g/cm3,6,4e-6,r,published,s,"},
        {NXW_CHECK_FAILED, "water_density,T = 24 degC,0.997048,g/cm3,6,4e-6,r,published,s,"},
        {NXW_CHECK_FAILED, "water_density,T = 25 degC,0.79,g/cm3,2,factor 1.25,r,published,s,"},
        {NXW_CHECK_FAILED, "water_density,T = 25 degC,-0.997048,g/cm3,6,4e-6,r,published,s,"},
        {NXW_CHECK_KNOWN_MISS, "water_density,T = 25 degC,0.9,g/cm3,1,0.05,r,published,s,why"},
        {NXW_CHECK_MISS_IS_MET,
         "water_density,T = 25 degC,0.997048,g/cm3,6,4e-6,r,published,s,why"},
        /* no figure there: NAN never passes */
        {NXW_CHECK_FAILED, "acid_molarity,w = 200 wt%; T = 20 degC,9,mol/L,1,0.5,r,published,s,"},
        {NXW_CHECK_UNREADABLE, ""},
        {NXW_CHECK_UNREADABLE, "water_density,T = 25 degC,0.997048,g/cm3,6,4e-6,r,published,s"},
        {NXW_CHECK_UNREADABLE, "water_density,T = 25 degC,0.997048,g/cm3,6,4e-6,r,published,s,,"},
        {NXW_CHECK_UNREADABLE, "no_density,T = 25 degC,0.997048,g/cm3,6,4e-6,r,published,s,"},
        {NXW_CHECK_UNREADABLE, "water_density,,0.997048,g/cm3,6,4e-6,r,published,s,"},
        {NXW_CHECK_UNREADABLE, "water_density,t = 25 degC,0.997048,g/cm3,6,4e-6,r,published,s,"},
        {NXW_CHECK_UNREADABLE,
         "water_density,T = 25 degC; T = 25 degC,0.997048,g/cm3,6,4e-6,r,published,s,"},
        {NXW_CHECK_UNREADABLE, "water_density,T = 25 wt%,0.997048,g/cm3,6,4e-6,r,published,s,"},
        {NXW_CHECK_UNREADABLE, "water_density,T = hot degC,0.997048,g/cm3,6,4e-6,r,published,s,"},
        {NXW_CHECK_UNREADABLE, "water_density,T = 25 degC,nan,g/cm3,6,4e-6,r,published,s,"},
        {NXW_CHECK_UNREADABLE, "water_density,T = 25 degC,0.997048,mPa s,6,4e-6,r,published,s,"},
        {NXW_CHECK_UNREADABLE, "water_density,T = 25 degC,0.997048,g/cm3,5,4e-6,r,published,s,"},
        {NXW_CHECK_UNREADABLE, "water_density,T = 25 degC,0.997048,g/cm3,6,4e-8,r,published,s,"},
        {NXW_CHECK_UNREADABLE, "water_density,T = 25 degC,0.997048,g/cm3,6,,r,published,s,"},
        {NXW_CHECK_UNREADABLE, "water_density,T = 25 degC,0.997048,g/cm3,6,wide,r,published,s,"},
        {NXW_CHECK_UNREADABLE, "water_density,T = 25 degC,0.997048,g/cm3,6,-1,r,published,s,"},
        {NXW_CHECK_UNREADABLE, "water_density,T = 25 degC,0.997048,g/cm3,6,1 to 2,r,published,s,"},
        {NXW_CHECK_UNREADABLE, "water_density,T = 25 degC,0.997048,g/cm3,6,4e-6,,published,s,"},
        {NXW_CHECK_UNREADABLE, "water_density,T = 25 degC,0.997048,g/cm3,6,4e-6,r,guessed,s,"},
        {NXW_CHECK_UNREADABLE, "water_density,T = 25 degC,0.997048,g/cm3,6,4e-6,r,published,,"},
        {NXW_CHECK_UNREADABLE, "water_density,T = 25 degC,0.997048,g/cm3,6,4e-6,\"r,published,s,"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        if (judge(rows[i].record) != rows[i].want)
            fail_msg("row %zu was judged %d: %s", i, (int)judge(rows[i].record), rows[i].record);
}

static void quantities_by_name(void **state)
{
    (void)state;
    double value = 0.0;
    const double in[] = {0.1, 293.15}, bad[] = {NAN, 293.15};
    assert_int_equal(nxw_quantity("acid_density", 2, in, &value), NXW_OK);
    assert_near(value, nxw_acid_density_kg_m3(0.1, 293.15), 0.0);
    assert_int_equal(nxw_quantity("acid_density", 1, in, &value), NXW_ERROR_CASE);
    assert_true(isnan(value));
    assert_int_equal(nxw_quantity("acid_density", 2, bad, &value), NXW_ERROR_CASE);
    assert_int_equal(nxw_quantity("acid", 2, in, &value), NXW_ERROR_KEY);
    assert_int_equal(nxw_quantity("", 0, in, &value), NXW_ERROR_KEY);
    assert_null(nxw_quantity_record("acid"));
    assert_string_equal(nxw_quantity_record("acid_density")->unit, "kg/m3");
    const double too_strong[] = {2.0, 293.15};
    assert_int_equal(nxw_quantity("acid_molarity", 2, too_strong, &value), NXW_ERROR_RANGE);
    assert_true(isnan(value));
}

struct strengths {
    size_t n;
};

/* The label on a peroxide bottle as a case reads it, against the same printed rows. */
static void read_label(const struct nxw_check *c, void *user)
{
    struct strengths *s = user;
    double w = 0.0, from_label = 0.0;
    char label[64], message[NXW_MESSAGE_LENGTH];
    const bool molar = strcmp(c->quantity, "peroxide_molarity") == 0;
    const bool volumes = strcmp(c->quantity, "peroxide_volume_strength") == 0;
    const bool mass = strcmp(c->quantity, "peroxide_mass_per_volume") == 0;
    if (strcmp(c->file, "published/peroxide.csv") != 0 || (!molar && !volumes && !mass) ||
        strstr(c->inputs, "T = 20 degC") == NULL || strncmp(c->source, "Laliberte", 9) != 0)
        return;
    (void)snprintf(label, sizeof label, "%.10g %s", c->published,
                   molar     ? "mol/L"
                   : volumes ? "volumes"
                             : "w/v%");
    assert_int_equal(sscanf(c->inputs, "w = %lf wt%%", &w), 1);
    assert_true(nxw_peroxide_read(label, &from_label, message));
    /* as fine as the printed figure, and 2e-4 for 34.014 against 34.0147 g/mol and the density */
    const double fine = (c->high - c->published) / c->published + 2e-4;
    assert_relative(from_label, 0.01 * w, fine);
    s->n++;
}

static void peroxide_labels(void **state)
{
    (void)state;
    struct strengths s = {0};
    (void)nxw_check_all(read_label, &s);
    assert_int_equal(s.n, 54);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(published_values_are_met), cmocka_unit_test(every_record_can_fail),
        cmocka_unit_test(the_judge_judges),         cmocka_unit_test(quantities_by_name),
        cmocka_unit_test(peroxide_labels),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
