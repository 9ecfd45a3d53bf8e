/*
 * Layer (a): each request for memory through the library's hook refused, once and for ever: the
 * status says so, nothing of a result is given and every block comes back.
 */
#include "../assert_near.h"

#include <stdlib.h>

#include "../rich_feed.h"

struct poor { /* an allocator that refuses the nth request; for ever: all from the nth on */
    long asked, refuse, held;
    bool forever;
};

static void *allocate(size_t bytes, void *user)
{
    struct poor *p = user;
    p->asked++;
    if (p->refuse > 0 && (p->forever ? p->asked >= p->refuse : p->asked == p->refuse))
        return NULL;
    void *memory = malloc(bytes);
    p->held += memory != NULL;
    return memory;
}

static void release(void *memory, void *user)
{
    struct poor *p = user;
    p->held--;
    free(memory);
}

static enum nxw_status estimate(const struct nxw_case *c, struct poor *p, struct nxw_result *r)
{
    const struct nxw_allocator allocator = {allocate, release, p};
    nxw_set_allocator(&allocator);
    const enum nxw_status status = nxw_estimate(c, NULL, NULL, r);
    nxw_set_allocator(NULL);
    return status;
}

static void refuse_all_in_turn(const struct nxw_case *c, bool forever)
{
    struct poor enough = {0};
    struct nxw_result r;
    assert_true(estimate(c, &enough, &r) >= 0);
    assert_int_equal(enough.held, 0);
    assert_true(enough.asked > 10);
    for (long n = 1; n <= enough.asked; n++) {
        struct poor p = {.refuse = n, .forever = forever};
        const enum nxw_status status = estimate(c, &p, &r);
        if (status != NXW_ERROR_MEMORY)
            print_message("request %ld of %ld: %s\n", n, enough.asked, nxw_status_text(status));
        assert_int_equal(status, NXW_ERROR_MEMORY);
        assert_int_equal(r.status, NXW_ERROR_MEMORY);
        assert_int_equal(p.held, 0);
        assert_true(p.asked >= n);
        assert_true(isnan(r.fed_mol) && isnan(r.kept_mol) && isnan(r.stages[0].temperature_K));
    }
    print_message("%zu stages: %ld requests\n", c->n_stages, enough.asked);
}

static void test_one_bottle(void **unused)
{
    (void)unused;
    struct nxw_case c = rich_feed();
    refuse_all_in_turn(&c, false);
    refuse_all_in_turn(&c, true);
}

static void test_train(void **unused)
{
    (void)unused;
    struct nxw_case c = rich_feed();
    c.n_stages = 3;
    c.stages[1] = c.stages[2] = c.stages[0];
    c.stages[1].kind = NXW_STAGE_EMPTY;
    refuse_all_in_turn(&c, false);
    refuse_all_in_turn(&c, true);
}

/* A run that was refused leaves nothing that changes the next. */
static void test_next_run_is_the_same(void **unused)
{
    (void)unused;
    const struct nxw_case c = rich_feed();
    struct nxw_result before, after;
    assert_int_equal(nxw_estimate(&c, NULL, NULL, &before), NXW_OK);
    struct poor p = {.refuse = 9};
    assert_int_equal(estimate(&c, &p, &after), NXW_ERROR_MEMORY);
    assert_int_equal(nxw_estimate(&c, NULL, NULL, &after), NXW_OK);
    assert_true(before.kept_mol > 0.0 && after.kept_mol == before.kept_mol);
    assert_true(after.escaped_mol == before.escaped_mol);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_one_bottle),
                                       cmocka_unit_test(test_train),
                                       cmocka_unit_test(test_next_run_is_the_same)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
