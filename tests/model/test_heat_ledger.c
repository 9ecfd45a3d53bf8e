/* Layer (a): heat booked + stored + lost = 0 all along a run, not at its end alone. The same feed,
 * cut off at one time after another, ends a run at each of them. */
#include "../assert_near.h"

#include "../rich_feed.h"

enum { ROWS = 19 };

/* The half sine of rich_feed as a table of rows. */
static struct nxw_case table_feed(double O2_share)
{
    struct nxw_case c = rich_feed();
    const double peak_mol_s = 0.5 * 3.14159265358979 * 0.5 / 2700.0;
    c.source.kind = NXW_SOURCE_TABLE;
    c.source.n_rows = ROWS;
    for (size_t i = 0; i < ROWS; i++) {
        struct nxw_source_row *row = &c.source.rows[i];
        row->time_s = 2700.0 * (double)i / (ROWS - 1);
        row->NO2_mol_s = peak_mol_s * sin(3.14159265358979 * row->time_s / 2700.0);
        row->O2_mol_s = O2_share * row->NO2_mol_s;
        row->inert_mol_s = 1e-6;
    }
    c.standing_s = 0.0;
    return c;
}

/* 0.1 % of the heat that NO2 gives, at the least 46 kJ/mol (3 NO2 + H2O -> 2 HNO3 + NO). */
static void ledger_holds(struct nxw_case *c)
{
    const bool iced = c->stages[0].bath == NXW_BATH_ICE_WATER;
    const double start_K = iced ? 273.15 : c->stages[0].bath_temperature_K;
    double last_fed = 0.0;
    for (size_t rows = 4; rows <= ROWS; rows += 3) {
        c->source.n_rows = rows;
        struct nxw_result r;
        assert_int_equal(nxw_estimate(c, NULL, NULL, &r), NXW_OK);
        assert_near(r.end_s, c->source.rows[rows - 1].time_s, 1e-3);
        assert_true(r.fed_mol > last_fed);
        last_fed = r.fed_mol;
        double sum = 0.0;
        for (size_t i = 0; i < c->n_stages; i++) {
            const struct nxw_stage_result *s = &r.stages[i];
            sum += s->heat_booked_J + s->heat_stored_J + s->heat_lost_J;
        }
        assert_near(sum, 0.0, 1e-3 * 46e3 * r.held_mol);
        assert_true(r.held_mol > 0.03); /* there is something to balance */
        assert_true(r.stages[0].peak_temperature_K > start_K + 0.5);
    }
}

static void in_water(void **state)
{
    (void)state;
    struct nxw_case c = table_feed(0.25);
    ledger_holds(&c);
}

static void over_ice(void **state)
{
    (void)state;
    struct nxw_case c = table_feed(0.25);
    c.stages[0].bath = NXW_BATH_ICE_WATER;
    c.stages[0].ice_kg = 0.05; /* it runs out on the way */
    c.stages[0].bath_water_kg = 0.2;
    c.stages[0].UA_W_K = 4.0;
    ledger_holds(&c);
}

static void into_peroxide(void **state)
{
    (void)state;
    struct nxw_case c = table_feed(0.0);
    c.stages[0].peroxide_mass_fraction = 0.02; /* it is spent on the way */
    ledger_holds(&c);
}

/* Swept with air, which dries the bottle, through two of them. */
static void swept_through_two(void **state)
{
    (void)state;
    struct nxw_case c = table_feed(0.0);
    c.carrier.gas = NXW_GAS_AIR;
    c.carrier.flow_mol_s = 5e-4;
    c.carrier.until_s = 60.0;
    c.n_stages = 2;
    c.stages[1] = c.stages[0];
    ledger_holds(&c);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(in_water),
        cmocka_unit_test(over_ice),
        cmocka_unit_test(into_peroxide),
        cmocka_unit_test(swept_through_two),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
