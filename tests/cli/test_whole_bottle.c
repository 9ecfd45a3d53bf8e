/* Layer (c): whole runs against what is known of bottles and vessels, by the judge that selftest
 * runs; and the judge itself against records that are wrong. */
#include "../assert_near.h"

#include <stdio.h>
#include <string.h>

#include "selftest/whole_bottle.h"

struct count {
    size_t verdict[NXW_CHECK_UNREADABLE + 1], common_practice, against_one;
};

static void tell(const struct nxw_bottle_check *c, void *user)
{
    struct count *n = user;
    n->verdict[c->verdict]++;
    n->common_practice += strcmp(c->known, "common practice") == 0;
    if (c->verdict == NXW_CHECK_UNREADABLE)
        print_error("%s, line %zu: %s\n", c->file, c->line, c->fault);
    else if (c->verdict != NXW_CHECK_PASSED && c->verdict != NXW_CHECK_KNOWN_MISS)
        print_error("%s, line %zu: %s: ours %.4g, allowed %g to %g%s\n", c->file, c->line, c->fact,
                    c->ours, c->low, c->high, c->known_miss[0] != '\0' ? ", a known miss" : "");
    /* the change the other way round must not pass, but where none is expected */
    if (c->verdict == NXW_CHECK_PASSED && c->against[0] != '\0') {
        const double turned = 1.0 / c->ours;
        const bool none_expected = c->low < 1.0 && c->high > 1.0;
        n->against_one += none_expected;
        if (!none_expected && turned >= c->low && turned <= c->high)
            fail_msg("%s, line %zu: the other sign would pass", c->file, c->line);
    }
    if (strcmp(c->known, "common practice") == 0 &&
        strncmp(c->source, "common practice, no source", 26) != 0)
        fail_msg("%s, line %zu: says not that it has no source", c->file, c->line);
}

static void whole_bottles_do_what_is_known(void **state)
{
    (void)state;
    struct count n = {.common_practice = 0};
    const size_t all = nxw_bottle_check_all(tell, &n);
    assert_true(all > 40);
    assert_int_equal(n.verdict[NXW_CHECK_FAILED], 0);
    assert_int_equal(n.verdict[NXW_CHECK_UNREADABLE], 0);
    assert_int_equal(n.verdict[NXW_CHECK_MISS_IS_MET], 0);
    assert_int_equal(n.verdict[NXW_CHECK_PASSED] + n.verdict[NXW_CHECK_KNOWN_MISS], all);
    assert_true(n.common_practice > 10);
    assert_true(n.against_one <= 2);
}

static void the_judge_judges(void **state)
{
    (void)state;
    static const struct {
        enum nxw_check_verdict want;
        const char *record;
    } rows[] = {
        {NXW_CHECK_PASSED, "f,still.yaml,,,kept,0.7,0.9,published,s,"},
        {NXW_CHECK_FAILED, "f,still.yaml,,,kept,0.9,1,published,s,"},
        {NXW_CHECK_KNOWN_MISS, "f,still.yaml,,,kept,0.9,1,published,s,why"},
        {NXW_CHECK_MISS_IS_MET, "f,still.yaml,,,kept,0.7,0.9,published,s,why"},
        {NXW_CHECK_PASSED, "f,still.yaml,source.decomposed=20 %,as it is,kept,0.5,2,computed,s,"},
        {NXW_CHECK_PASSED,
         "f,still.yaml,,train[1].peroxide=6 wt%; train[1].liquid=200 mL,kept,0.5,0.9,computed,s,"},
        {NXW_CHECK_FAILED, "f,still.yaml,,as it is,escaped,0,0.99,computed,s,"},
        {NXW_CHECK_FAILED, "f,still.yaml,,,saturation,1,2,computed,s,"}, /* no share fed: none */
        {NXW_CHECK_UNREADABLE, ""},
        {NXW_CHECK_UNREADABLE, "f,still.yaml,,,kept,0.7,0.9,published,s"},
        {NXW_CHECK_UNREADABLE, ",still.yaml,,,kept,0.7,0.9,published,s,"},
        {NXW_CHECK_UNREADABLE, "f,no.yaml,,,kept,0.7,0.9,published,s,"},
        {NXW_CHECK_UNREADABLE, "f,still.yaml,,,saved,0.7,0.9,published,s,"},
        {NXW_CHECK_UNREADABLE, "f,still.yaml,,,kept,0.9,0.7,published,s,"},
        {NXW_CHECK_UNREADABLE, "f,still.yaml,,,kept,nan,0.7,published,s,"},
        {NXW_CHECK_UNREADABLE, "f,still.yaml,,,kept,0.7,0.9,guessed,s,"},
        {NXW_CHECK_UNREADABLE, "f,still.yaml,,,kept,0.7,0.9,published,,"},
        {NXW_CHECK_UNREADABLE, "f,still.yaml,no key,,kept,0.7,0.9,published,s,"},
        {NXW_CHECK_UNREADABLE, "f,still.yaml,train[1].liqid=1 mL,,kept,0.7,0.9,published,s,"},
        {NXW_CHECK_UNREADABLE, "f,still.yaml,train[1].liquid=150 g/mol,,kept,0.7,0.9,published,s,"},
        {NXW_CHECK_UNREADABLE,
         "f,still.yaml,train[1].liquid=100:200:50 mL,,kept,0.7,0.9,published,s,"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct nxw_bottle_check c = {.file = "here", .line = 1};
        nxw_bottle_check_judge(rows[i].record, &c);
        if (c.verdict != rows[i].want)
            fail_msg("row %zu was judged %d: %s (%s)", i, (int)c.verdict, rows[i].record, c.fault);
        assert_true((c.verdict == NXW_CHECK_UNREADABLE) == (c.fault[0] != '\0'));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(whole_bottles_do_what_is_known),
                                       cmocka_unit_test(the_judge_judges)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
