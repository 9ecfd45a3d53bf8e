/* Layer (a): what is said of a run against the run's own course: events in order, each once and
 * where its curve first passes its limit, peaks the largest of all that was seen. */
#include "../assert_near.h"

#include "../rich_feed.h"

enum { ROWS_MAX = 20000, KINDS = 4 };

/* The course of the first stage. */
static struct {
    size_t n;
    struct nxw_series_row row[ROWS_MAX];
} course;

static bool keep(const struct nxw_series_row *row, void *user)
{
    (void)user;
    if (row->stage == 0 && course.n < ROWS_MAX)
        course.row[course.n++] = *row;
    return true;
}

static struct nxw_case watched_case(int which)
{
    struct nxw_case c = rich_feed();
    struct nxw_stage *s = &c.stages[0];
    switch (which) {
    case 1:
        s->peroxide_mass_fraction = 0.01;
        break;
    case 2:
        s->bath = NXW_BATH_ICE_WATER;
        s->ice_kg = 0.05;
        s->UA_W_K = 4.0;
        break;
    case 3:
        s->volume_m3 = 264e-6;
        c.source.flow_mol_s *= 2.0;
        c.carrier.gas = NXW_GAS_AIR;
        c.carrier.flow_mol_s = 1e-4;
        c.carrier.until_s = 3000.0;
        break;
    default:
        break;
    }
    return c;
}

/* In order of time, the end last, each kind once a stage, none before the start or after the end.
 */
static void in_order(void **state)
{
    (void)state;
    for (int which = 0; which < 5; which++) {
        struct nxw_case c = watched_case(which);
        c.n_stages = which == 4 ? 3 : 1;
        c.stages[1] = c.stages[2] = c.stages[0];
        struct nxw_result r;
        assert_int_equal(nxw_estimate(&c, NULL, NULL, &r), NXW_OK);
        assert_true(r.n_events >= 6);
        bool seen[NXW_EVENT_COUNT][NXW_STAGES_MAX] = {{false}};
        for (size_t i = 0; i < r.n_events; i++) {
            const struct nxw_event *e = &r.events[i];
            assert_true(e->time_s >= (i == 0 ? 0.0 : r.events[i - 1].time_s));
            assert_true(e->time_s <= r.end_s && e->stage < c.n_stages);
            assert_true(isfinite(e->value));
            assert_false(seen[e->kind][e->stage]);
            seen[e->kind][e->stage] = true;
        }
        assert_int_equal(r.events[0].kind, NXW_EVENT_SOURCE_STARTS);
        assert_int_equal(r.events[r.n_events - 1].kind, NXW_EVENT_END);
        for (size_t i = 0; i < c.n_stages; i++)
            assert_true(seen[NXW_EVENT_PEAK_TEMPERATURE][i]);
    }
}

/* The latest row of each stage. */
static bool keep_latest(const struct nxw_series_row *row, void *user)
{
    ((struct nxw_series_row *)user)[row->stage] = *row;
    return true;
}

/* The last row of each stage is the state that the run ends with. */
static void ends_as_told(void **state)
{
    (void)state;
    static struct nxw_result r;
    struct nxw_series_row row[3];
    struct nxw_case c = watched_case(2);
    c.n_stages = 3;
    c.stages[1] = c.stages[2] = c.stages[0];
    c.stages[1].kind = NXW_STAGE_EMPTY;
    c.stages[2].ice_kg = 1.0;
    c.stages[2].acid_mass_fraction = 0.05;
    c.stages[2].peroxide_mass_fraction = 0.01;
    assert_int_equal(nxw_estimate(&c, keep_latest, row, &r), NXW_OK);
    for (size_t i = 0; i < 3; i++) {
        const struct nxw_stage_result *s = &r.stages[i];
        assert_near(row[i].time_s, r.end_s, 0.0);
        assert_near(row[i].kept_mol, s->nitrate_mol - s->nitrate_start_mol, 1e-15);
        assert_near(row[i].nitrous_acid_mol, s->nitrous_acid_mol, 0.0);
        assert_near(row[i].HOONO_mol, s->HOONO_mol, 0.0);
        assert_near(row[i].NO_aq_mol, s->NO_aq_mol, 0.0);
        assert_near(row[i].NO2_aq_mol, s->NO2_aq_mol, 0.0);
        assert_near(row[i].peroxide_mol, s->peroxide_mol, 0.0);
        assert_near(row[i].temperature_K, s->temperature_K, 0.0);
        assert_near(row[i].ice_kg, s->ice_left_kg, 0.0);
    }
    assert_true(row[0].kept_mol > 0.1 && row[2].kept_mol > 1e-4 && row[2].ice_kg > row[0].ice_kg);
}

/* Of a run shorter than a quarter of an hour all that left the last stage is in the mean over one.
 */
static void a_short_run(void **state)
{
    (void)state;
    static struct nxw_result r;
    struct nxw_case c = rich_feed();
    c.n_stages = 2;
    c.stages[1] = c.stages[0];
    c.source.duration_s = 400.0;
    c.standing_s = 300.0;
    assert_int_equal(nxw_estimate(&c, NULL, NULL, &r), NXW_OK);
    assert_true(r.escaped_NO_mol > 1e-9 && r.escaped_NO2_mol > 1e-9);
    assert_relative(r.vent_mean15_NO_kg_s * 900.0, r.escaped_NO_mol * 0.030006, 1e-4);
    assert_relative(r.vent_mean15_NO2_kg_s * 900.0, r.escaped_NO2_mol * 0.046005, 1e-4);
}

/* Is the row past the limit of the event? Limits as in params/: NO2 0.1 %, peroxide 1 %. */
static bool past(const struct nxw_series_row *row, enum nxw_event_kind kind,
                 const struct nxw_case *c, const struct nxw_result *r)
{
    switch (kind) {
    case NXW_EVENT_BROWN_HEADSPACE:
        return row->headspace_NO2_fraction > 1e-3;
    case NXW_EVENT_PEROXIDE_SPENT:
        return r->stages[0].peroxide_start_mol > 0.0 &&
               row->peroxide_mol < 0.01 * r->stages[0].peroxide_start_mol;
    case NXW_EVENT_ICE_GONE:
        return c->stages[0].bath == NXW_BATH_ICE_WATER && row->ice_kg <= 0.0;
    default:
        return row->liquid_m3 > c->stages[0].volume_m3;
    }
}

/* The first row past the limit, give or take one: rows show the last iterate of a step, the watch
 * the step itself. */
static void where_its_curve_passes(void **state)
{
    (void)state;
    static const enum nxw_event_kind kind[KINDS] = {NXW_EVENT_BROWN_HEADSPACE,
                                                    NXW_EVENT_PEROXIDE_SPENT, NXW_EVENT_ICE_GONE,
                                                    NXW_EVENT_OVERFULL};
    int met[KINDS] = {0};
    for (int which = 0; which < 4; which++) {
        const struct nxw_case c = watched_case(which);
        struct nxw_result r;
        course.n = 0;
        assert_int_equal(nxw_estimate(&c, keep, NULL, &r), NXW_OK);
        for (int k = 0; k < KINDS; k++) {
            size_t first = 0;
            while (first < course.n && !past(&course.row[first], kind[k], &c, &r))
                first++;
            double at_s = NAN;
            for (size_t i = 0; i < r.n_events; i++)
                if (r.events[i].kind == kind[k])
                    at_s = r.events[i].time_s;
            assert_int_equal(first < course.n, !isnan(at_s));
            if (first == course.n)
                continue;
            met[k]++;
            assert_true(at_s >= course.row[first == 0 ? 0 : first - 1].time_s);
            assert_true(at_s <= course.row[first + 1 < course.n ? first + 1 : first].time_s);
        }
    }
    for (int k = 0; k < KINDS; k++)
        assert_true(met[k] > 0);
}

/* The peak is at the hottest row or, by a little, higher between its neighbours; the vent's peaks
 * are the largest rows and no mean over a quarter of an hour is above them, nor below what left
 * divided by the whole run. */
static void peaks(void **state)
{
    (void)state;
    for (int which = 0; which < 4; which++) {
        const struct nxw_case c = watched_case(which);
        struct nxw_result r;
        course.n = 0;
        assert_int_equal(nxw_estimate(&c, keep, NULL, &r), NXW_OK);
        double NO = 0.0, NO2 = 0.0;
        size_t hottest = 0;
        for (size_t i = 0; i < course.n; i++) {
            const struct nxw_series_row *row = &course.row[i];
            if (row->temperature_K > course.row[hottest].temperature_K)
                hottest = i;
            NO = fmax(NO, row->vent_NO_mol_s);
            NO2 = fmax(NO2, row->vent_NO2_mol_s);
        }
        const struct nxw_series_row *peak = &course.row[hottest];
        const double over_K = r.stages[0].peak_temperature_K - peak->temperature_K;
        assert_true(over_K >= 0.0);
        if (over_K > 0.0) { /* three points that are five times as far apart: 25/24 of that */
            assert_true(hottest > 0 && hottest + 1 < course.n);
            assert_true(over_K < 25.0 / 24.0 *
                                     (peak->temperature_K -
                                      fmin(peak[-1].temperature_K, peak[1].temperature_K)));
            assert_true(r.stages[0].peak_at_s > peak[-1].time_s);
            assert_true(r.stages[0].peak_at_s < peak[1].time_s);
        } else {
            assert_near(r.stages[0].peak_at_s, peak->time_s, 0.0);
        }
        assert_relative(r.vent_peak_NO_kg_s, NO * 0.030006, 1e-12);
        assert_relative(r.vent_peak_NO2_kg_s, NO2 * 0.046005, 1e-12);
        assert_true(r.vent_mean15_NO2_kg_s <= r.vent_peak_NO2_kg_s);
        assert_true(r.vent_mean15_NO2_kg_s >= 0.99 * r.escaped_NO2_mol * 0.046005 / r.end_s);
        assert_true(r.vent_time_above_s >= 0.0 && r.vent_time_above_s <= r.end_s);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(in_order),    cmocka_unit_test(where_its_curve_passes),
        cmocka_unit_test(peaks),       cmocka_unit_test(ends_as_told),
        cmocka_unit_test(a_short_run),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
