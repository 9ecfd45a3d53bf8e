/* Layer (a): identities of the adjusted account, at random readings. */
#include "../assert_near.h"

#include "../random_draw.h"
#include "noxwash.h"

static struct nxw_balance_in random_account(int which)
{
    struct nxw_balance_in in = {.available_mol = 0.3 + draw_uniform(),
                                .available_error_mol = 1e-3 + 0.01 * draw_uniform(),
                                .complete = which % 2 == 0,
                                .n_places = 1 + (size_t)(5.0 * draw_uniform())};
    for (size_t k = 0; k < in.n_places; k++) /* each place once at least */
        for (size_t n = 1 + (size_t)(3.0 * draw_uniform()); n > 0; n--)
            in.readings[in.n_readings++] =
                (struct nxw_balance_reading){k, 0.3 * draw_uniform(), 1e-3 + 0.02 * draw_uniform()};
    return in;
}

static struct nxw_balance good(const struct nxw_balance_in *in)
{
    struct nxw_balance out;
    assert_int_equal(nxw_balance(in, &out), NXW_OK);
    return out;
}

/* Found and unexplained make what was available; a closed account has nothing unexplained left. */
static void sums(void **state)
{
    (void)state;
    for (int i = 0; i < 500; i++) {
        const struct nxw_balance_in in = random_account(i);
        const struct nxw_balance b = good(&in);
        double found = 0.0, closed = 0.0;
        for (size_t k = 0; k < in.n_places; k++) {
            found += b.found_mol[k];
            closed += b.closed_mol[k];
        }
        assert_near(b.total_mol, found, 1e-14);
        assert_near(b.total_mol + b.unexplained_mol, in.available_mol, 1e-14);
        if (in.complete)
            assert_near(closed, b.available_closed_mol, 1e-13);
        else
            assert_near(closed, found, 1e-14);
    }
}

static double squares(const struct nxw_balance_in *in, const struct nxw_balance *b,
                      const double by[NXW_BALANCE_PLACES_MAX])
{
    double available = 0.0, sum = 0.0;
    for (size_t k = 0; k < in->n_places; k++)
        available += b->closed_mol[k] + by[k];
    for (size_t i = 0; i < in->n_readings; i++) {
        const struct nxw_balance_reading *r = &in->readings[i];
        const double x = b->closed_mol[r->place] + by[r->place];
        sum += pow((r->nitrogen_mol - x) / r->error_mol, 2.0);
    }
    return sum + pow((in->available_mol - available) / in->available_error_mol, 2.0);
}

/* The closed account is the least of the weighted squares: its chi-square is that sum, and any step
 * away from it is larger. */
static void least_squares(void **state)
{
    (void)state;
    for (int i = 0; i < 200; i++) {
        const struct nxw_balance_in in = random_account(0);
        const struct nxw_balance b = good(&in);
        double by[NXW_BALANCE_PLACES_MAX] = {0.0};
        const double least = squares(&in, &b, by);
        assert_relative(b.chi_square, least, 1e-9);
        for (int k = 0; k < 20; k++) {
            for (size_t n = 0; n < in.n_places; n++)
                by[n] = 1e-3 * draw_normal();
            assert_true(squares(&in, &b, by) >= least * (1.0 - 1e-12));
        }
    }
}

/* Amounts and errors in other units give the same account in those units and the same chi-square;
 * the order of the readings does not matter. */
static void units_and_order(void **state)
{
    (void)state;
    for (int i = 0; i < 200; i++) {
        const struct nxw_balance_in in = random_account(i);
        struct nxw_balance_in other = in;
        other.available_mol *= 1e3;
        other.available_error_mol *= 1e3;
        for (size_t k = 0; k < in.n_readings; k++) {
            other.readings[k] = in.readings[in.n_readings - 1 - k];
            other.readings[k].nitrogen_mol *= 1e3;
            other.readings[k].error_mol *= 1e3;
        }
        const struct nxw_balance a = good(&in), b = good(&other);
        assert_relative(b.chi_square + 1.0, a.chi_square + 1.0, 1e-10);
        assert_near(b.unexplained_mol, 1e3 * a.unexplained_mol, 1e-10);
        assert_near(b.unexplained_error_mol, 1e3 * a.unexplained_error_mol, 1e-10);
        for (size_t k = 0; k < in.n_places; k++) {
            assert_near(b.closed_mol[k], 1e3 * a.closed_mol[k], 1e-9);
            assert_near(b.closed_error_mol[k], 1e3 * a.closed_error_mol[k], 1e-9);
            assert_true(a.closed_error_mol[k] <= a.found_error_mol[k]); /* knowing more, not less */
        }
        assert_int_equal(a.degrees, in.n_readings - in.n_places + (in.complete ? 1 : 0));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sums),
        cmocka_unit_test(least_squares),
        cmocka_unit_test(units_and_order),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
