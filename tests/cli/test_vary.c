/* Expressions of --vary by value, the numbering of grids, and the slots of a latin hypercube. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "../assert_near.h"
#include "study/sweep_plan.h"

static void read_good(const char *text, bool sampled, struct nxw_vary *v)
{
    char message[NXW_VARY_MESSAGE] = "";
    if (!nxw_vary_read(text, sampled, v, message))
        fail_msg("%s: %s", text, message);
}

static void same_nth(const struct nxw_vary *v, uint64_t index, const char *text, double number)
{
    struct nxw_vary_value value;
    nxw_vary_nth(v, index, &value);
    assert_string_equal(value.text, text);
    if (isnan(number))
        assert_true(isnan(value.number));
    else
        assert_true(value.number == number);
}

static void ranges(void **state)
{
    (void)state;
    struct nxw_vary v;
    read_good("train[1].liquid=100:500:50 mL", false, &v);
    assert_string_equal(v.path, "train[1].liquid");
    assert_string_equal(v.column, "train[1].liquid (mL)");
    assert_int_equal(v.n, 9);
    same_nth(&v, 0, "100 mL", 100.0);
    same_nth(&v, 8, "500 mL", 500.0);
    nxw_vary_free(&v);

    /* 0.1 three times is 0.30000000000000004; the end must count and read 0.3 */
    read_good(" source.duration = 0.1 : 0.3 : 0.1 h", false, &v);
    assert_string_equal(v.path, "source.duration");
    assert_int_equal(v.n, 3);
    same_nth(&v, 2, "0.3 h", 0.3);
    nxw_vary_free(&v);

    read_good("a.b=5:1:-2 degC", false, &v); /* falling; 5, 3, 1 */
    assert_int_equal(v.n, 3);
    same_nth(&v, 2, "1 degC", 1.0);
    nxw_vary_free(&v);

    read_good("a.b=-5:12:10 degC", false, &v); /* the end is not met: -5, 5 */
    assert_int_equal(v.n, 2);
    nxw_vary_free(&v);

    read_good("constants.k=1e-3:2e-3:1e-3", false, &v); /* no unit */
    assert_string_equal(v.column, "constants.k");
    same_nth(&v, 1, "0.002", 0.002);
    nxw_vary_free(&v);
}

static void lists(void **state)
{
    (void)state;
    struct nxw_vary v;
    read_good("train[1].bath.kind=air, ice water", false, &v);
    assert_int_equal(v.n, 2);
    assert_false(v.is_number);
    same_nth(&v, 1, "ice water", (double)NAN);
    nxw_vary_free(&v);

    read_good("source.decomposed=10,20,30 %", false, &v); /* the last unit stands for all */
    assert_true(v.is_number);
    same_nth(&v, 0, "10 %", 10.0);
    nxw_vary_free(&v);

    read_good("train[1].liquid=100 mL,0.2 L", false, &v); /* two units: texts */
    assert_false(v.is_number);
    same_nth(&v, 1, "0.2 L", (double)NAN);
    nxw_vary_free(&v);

    read_good("vent={bore: 4 mm, length: 2 cm},closed", false,
              &v); /* the comma within counts not */
    assert_int_equal(v.n, 2);
    same_nth(&v, 0, "{bore: 4 mm, length: 2 cm}", (double)NAN);
    nxw_vary_free(&v);
}

/* The last key changes fastest, and every combination comes once. */
static void grid(void **state)
{
    (void)state;
    static const char *const given[] = {"a.b=1:3:1", "c.d=x,y"};
    struct nxw_plan plan;
    char message[NXW_VARY_MESSAGE];
    assert_true(nxw_plan_read(2, given, 0, 0, NULL, &plan, message));
    assert_int_equal(plan.n_cases, 6);
    static const char *const wanted[6][2] = {{"1", "x"}, {"1", "y"}, {"2", "x"},
                                             {"2", "y"}, {"3", "x"}, {"3", "y"}};
    for (uint64_t i = 0; i < 6; i++)
        for (size_t k = 0; k < 2; k++) {
            struct nxw_vary_value value;
            nxw_plan_value(&plan, i + 1, k, &value);
            assert_string_equal(value.text, wanted[i][k]);
        }
    nxw_plan_free(&plan);
}

/* The parts of any number together hold every case once. */
static void parts(void **state)
{
    (void)state;
    static const char *const given[] = {"a.b=1:10:1"};
    int met[11] = {0};
    for (int part = 1; part <= 12; part++) { /* more parts than cases: some are empty */
        char text[16], message[NXW_VARY_MESSAGE];
        struct nxw_plan plan;
        (void)snprintf(text, sizeof text, "%d/12", part);
        assert_true(nxw_plan_read(1, given, 0, 0, text, &plan, message));
        uint64_t count = 0;
        for (uint64_t n = nxw_plan_first(&plan); n != 0; n = nxw_plan_next(&plan, n), count++)
            met[n]++;
        assert_int_equal(count, nxw_plan_count(&plan));
        nxw_plan_free(&plan);
    }
    for (int i = 1; i <= 10; i++)
        assert_int_equal(met[i], 1);
}

/* Each of the n slots of each key is met once; a list's values come equally often. */
static void hypercube(void **state)
{
    (void)state;
    enum { N = 1000 };
    static const char *const given[] = {"a.b=0:1000 mL", "c.d=-1:1", "e.f=p,q,r,s"};
    static const uint64_t seeds[] = {1, 2, 99};
    double first_of_seed[3];
    for (size_t s = 0; s < 3; s++) {
        struct nxw_plan plan;
        char message[NXW_VARY_MESSAGE];
        int slots[2][N] = {{0}}, items[4] = {0};
        double product = 0.0;
        assert_true(nxw_plan_read(3, given, N, seeds[s], NULL, &plan, message));
        for (uint64_t n = 1; n <= N; n++) {
            struct nxw_vary_value a, b, c;
            nxw_plan_value(&plan, n, 0, &a);
            nxw_plan_value(&plan, n, 1, &b);
            nxw_plan_value(&plan, n, 2, &c);
            assert_true(a.number >= 0.0 && a.number < 1000.0 && b.number >= -1.0 && b.number < 1.0);
            slots[0][(int)(a.number / 1000.0 * N)]++;
            slots[1][(int)((b.number + 1.0) / 2.0 * N)]++;
            items[c.text[0] - 'p']++;
            product += (a.number / 500.0 - 1.0) * b.number;
            if (n == 1)
                first_of_seed[s] = a.number;
        }
        for (int i = 0; i < N; i++) {
            assert_int_equal(slots[0][i], 1);
            assert_int_equal(slots[1][i], 1);
        }
        for (int i = 0; i < 4; i++)
            assert_int_equal(items[i], N / 4);
        /* two independent shuffles of U(-1,1): mean product 0, deviation 1/(3 sqrt(N)) = 0.0105;
         * four deviations */
        assert_near(product / N, 0.0, 0.042);
        nxw_plan_free(&plan);
    }
    assert_true(first_of_seed[0] != first_of_seed[1] && first_of_seed[1] != first_of_seed[2]);
}

/* A value put in a tree is what the reader reads, whatever stood there before. */
static void applied(void **state)
{
    (void)state;
    static const char text[] =
        "source: {kind: metered, flow: 0.2 L/min, NO2: 5 %, duration: 9 min}\n";
    static const char *const given[] = {"train[1].bath={kind: air},{kind: ice water, ice: 400 g}",
                                        "train[1].liquid=100,120 mL", "vent={bore: 4 mm},closed"};
    struct nxw_fault_list faults = {0}, set_aside = {0};
    struct nxw_node *tree = NULL;
    struct nxw_plan plan;
    char message[NXW_VARY_MESSAGE];
    struct nxw_case *in = calloc(1, sizeof *in);
    struct nxw_case_notes *notes = calloc(1, sizeof *notes);
    assert_non_null(in);
    assert_non_null(notes);
    assert_true(nxw_plan_read(3, given, 0, 0, NULL, &plan, message));
    assert_int_equal(nxw_tree_read_text(text, strlen(text), false, &tree, &faults), NXW_READ_OK);
    for (int round = 0; round < 2; round++)
        for (uint64_t n = 1; n <= 8; n++) {
            assert_true(nxw_plan_apply(&plan, n, tree, &faults));
            assert_int_equal(
                nxw_plan_read_case(&plan, tree, "x.yaml", in, notes, &faults, &set_aside), 0);
            assert_int_equal(in->stages[0].bath, n <= 4 ? NXW_BATH_AIR : NXW_BATH_ICE_WATER);
            assert_near(in->stages[0].liquid_m3, (n - 1) / 2 % 2 == 0 ? 100e-6 : 120e-6, 1e-18);
            assert_int_equal(in->vent_closed, n % 2 == 0);
        }
    nxw_tree_free(tree);
    nxw_plan_free(&plan);
    nxw_fault_list_free(&faults);
    free(in);
    free(notes);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ranges), cmocka_unit_test(lists),     cmocka_unit_test(grid),
        cmocka_unit_test(parts),  cmocka_unit_test(hypercube), cmocka_unit_test(applied),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
