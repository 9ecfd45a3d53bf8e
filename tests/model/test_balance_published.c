/* Layer (c): chances of chi-square as any statistics book prints them. */
#include "../assert_near.h"
#include "../random_draw.h"
#include "noxwash.h"

/* Upper 5 % points of chi-square: 3.841, 5.991, 7.815, 9.488, 11.070 (any statistics book). */
static void chi_square_table(void **state)
{
    (void)state;
    static const double points[] = {3.841, 5.991, 7.815, 9.488, 11.070};
    for (size_t k = 1; k <= 5; k++)
        assert_near(nxw_chi_square_tail(points[k - 1], k), 0.05, 2e-5);
    assert_near(nxw_chi_square_tail(0.0, 3), 1.0, 1e-12);
    assert_true(isnan(nxw_chi_square_tail(1.0, 0)));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(chi_square_table),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
