/* Layer (b): texts, constants, cases and runs over numbers that no bench gives. */
#include "../hostile.h"

/* --------------------------------------------------------------------------- texts, tables */

static void ask_nxw_status_text(void)
{
    for (size_t i = 0; i < COUNT(HOSTILE_KINDS); i++)
        require(nxw_status_text((enum nxw_status)HOSTILE_KINDS[i]) != NULL);
}

static void ask_nxw_set_allocator(void) { nxw_set_allocator(NULL); }

static void ask_nxw_parameter_count(void) { require(nxw_parameter_count() == NXW_PARAMETER_COUNT); }

static void ask_nxw_parameter_record(void)
{
    require(nxw_parameter_record(0) != NULL);
    require(nxw_parameter_record(NXW_PARAMETER_COUNT) == NULL);
    require(nxw_parameter_record((size_t)-1) == NULL);
}

static void ask_nxw_parameter_version(void) { require(nxw_parameter_version()[0] != '\0'); }
static void ask_nxw_parameter_hash(void) { require(nxw_parameter_hash()[0] != '\0'); }
static void ask_nxw_version(void) { require(nxw_version()[0] != '\0'); }
static void ask_nxw_commit(void) { require(nxw_commit() != NULL); }

static void ask_nxw_parameter_find(void)
{
    size_t index = 7;
    require(nxw_parameter_find("", &index) == NXW_ERROR_KEY);
    require(nxw_parameter_find("no such constant", &index) == NXW_ERROR_KEY && index == 7);
}

static void ask_nxw_parameters_default(void)
{
    struct nxw_parameters p;
    nxw_parameters_default(&p);
    for (size_t i = 0; i < NXW_PARAMETER_COUNT; i++)
        require(isfinite(p.value[i]));
}

/* ----------------------------------------------------------------------------------- cases */

static void ask_nxw_case_init(void)
{
    static struct nxw_case c;
    nxw_case_init(&c);
    require(nxw_case_check(&c, NULL) == NXW_OK);
}

/* Short runs, so that many of them can be made: each kind of source, tip, bath and stage. */
static void make_case(int which, struct nxw_case *c)
{
    nxw_case_init(c);
    c->n_stages = 1;
    c->source.duration_s = 60.0;
    c->standing_s = 30.0;
    c->source.acid_made_mol = 0.02;
    c->source.decomposed_fraction = 0.5;
    c->stages[0].peroxide_mass_fraction = 0.01;
    c->vessel_volume_m3 = 1e-4;
    c->hood_flow_m3_s = 0.1;
    if (which == 1) {
        c->source.kind = NXW_SOURCE_METERED;
        c->source.shape = NXW_SHAPE_STEADY;
        c->source.flow_mol_s = 1e-4;
        c->source.NO2_fraction = c->source.NO_fraction = c->source.O2_fraction = 0.2;
        c->stages[0].tip = NXW_TIP_FRIT;
        c->stages[0].bore_m = 1e-4;
        c->stages[0].bath = NXW_BATH_ICE_WATER;
        c->stages[0].ice_kg = 0.2;
        c->stages[0].bleed = (struct nxw_carrier){NXW_GAS_AIR, 1e-4, 0.0, 50.0};
        c->carrier = (struct nxw_carrier){NXW_GAS_NITROGEN, 1e-4, 0.0, (double)INFINITY};
    } else if (which == 2) {
        c->source.kind = NXW_SOURCE_METAL;
        c->source.shape = NXW_SHAPE_TABLE;
        c->source.metal_mol = 0.005;
        c->source.n_rows = 3;
        for (size_t i = 0; i < 3; i++)
            c->source.rows[i] =
                (struct nxw_source_row){.time_s = 30.0 * (double)i, .inert_mol_s = 1.0};
        c->stages[0].tip = NXW_TIP_BUBBLE_DIAMETER;
        c->stages[0].bath = NXW_BATH_WATER;
    } else if (which == 3) {
        c->source.kind = NXW_SOURCE_TABLE;
        c->source.n_rows = 3;
        for (size_t i = 0; i < 3; i++)
            c->source.rows[i] =
                (struct nxw_source_row){30.0 * (double)i, 1e-5, 1e-5, 1e-6, 1e-6, 1e-5, 1e-4, 1e-6};
        c->n_stages = 2;
        c->stages[0].kind = NXW_STAGE_EMPTY;
        c->stages[1].tip = NXW_TIP_HOLES;
        c->stages[1].bore_m = 1e-3;
    }
}
enum { CASES = 4 };

struct run {
    struct nxw_case *in;
    struct nxw_result *out;
    size_t ran, refused;
};

/* The status is told twice, amounts are numbers and add up. */
static void judge(struct run *run)
{
    struct nxw_result *r = run->out;
    const struct nxw_case *in = run->in;
    const bool possible = nxw_case_check(in, NULL) == NXW_OK;
    const enum nxw_status status = nxw_estimate(in, NULL, NULL, r);
    require(r->status == status && r->n_stages <= NXW_STAGES_MAX);
    require(possible == (status != NXW_ERROR_CASE));
    const double amounts[] = {
        r->end_s,           r->fed_mol,          r->kept_mol,   r->held_mol,
        r->escaped_mol,     r->in_flight_mol,    r->source_mol, r->escaped_NO_mol,
        r->escaped_NO2_mol, r->receiver_HNO3_mol};
    figures(status, amounts, COUNT(amounts));
    if (status < 0) {
        run->refused++;
        require(r->diagnosis.text[0] != '\0' && r->n_events == 0);
        return;
    }
    run->ran++;
    const double scale = fmax(fmax(r->fed_mol, r->source_mol), 1e-6);
    require(r->fed_mol >= -1e-6 * scale && r->escaped_mol >= -1e-3 * scale);
    require(r->escaped_mol <= 1.001 * scale && r->held_mol <= 1.001 * scale);
    for (size_t i = 0; i < r->n_stages; i++) {
        require(r->stages[i].temperature_K > 200.0 && r->stages[i].temperature_K < 450.0);
        require(isfinite(r->stages[i].liquid_m3) && isfinite(r->stages[i].nitrate_mol));
    }
    for (size_t i = 0; i < r->n_events; i++)
        require(isfinite(r->events[i].time_s) && r->events[i].stage < r->n_stages);
}

static void judge_object(void *object, void *user)
{
    (void)object;
    judge(user);
}

static void check_object(void *object, void *user)
{
    const struct nxw_case *in = user;
    struct nxw_diagnosis d;
    (void)object;
    const enum nxw_status status = nxw_case_check(in, &d);
    require(status == NXW_OK || status == NXW_ERROR_CASE);
    require(trying != KIND || status == NXW_ERROR_CASE);
    says_why(status, &d);
    require(nxw_case_check(in, NULL) == status);
}

/* Hostile members of a case, of its source, a row, its carrier, each stage and its bleed. */
static void each_member_of_case(struct nxw_case *c, put *ask, void *user)
{
    each_member("nxw_case", c, sizeof *c, ask, user);
    each_member("nxw_source", &c->source, sizeof c->source, ask, user);
    if (c->source.n_rows > 1)
        each_member("nxw_source_row", &c->source.rows[1], sizeof c->source.rows[1], ask, user);
    each_member("nxw_carrier", &c->carrier, sizeof c->carrier, ask, user);
    const size_t n_stages = c->n_stages;
    for (size_t i = 0; i < n_stages; i++) {
        each_member("nxw_stage", &c->stages[i], sizeof c->stages[i], ask, user);
        each_member("nxw_carrier", &c->stages[i].bleed, sizeof c->stages[i].bleed, ask, user);
    }
}

static void ask_nxw_case_check(void)
{
    static struct nxw_case c;
    for (int which = 0; which < CASES; which++) {
        make_case(which, &c);
        require(nxw_case_check(&c, NULL) == NXW_OK);
        each_member_of_case(&c, check_object, &c);
    }
    for (size_t p = 0; p < NXW_PARAMETER_COUNT; p++)
        for (size_t i = 0; i < COUNT(HOSTILE); i++) {
            struct nxw_diagnosis d;
            make_case(0, &c);
            c.parameters.value[p] = HOSTILE[i];
            begin(nxw_parameter_record(p)->key, HOSTILE[i]);
            const bool is_tried = fabs(HOSTILE[i]) < 1e16 &&
                                  (HOSTILE[i] >= 0.0 || nxw_parameter_record(p)->low < 0.0);
            const enum nxw_status status = nxw_case_check(&c, &d);
            require(is_tried || status == NXW_ERROR_CASE);
            says_why(status, &d);
        }
}

/* The value or one of the bounds, whatever they are: it judges nothing by itself. */
static void ask_nxw_at_bound(void)
{
    for (size_t i = 0; i < COUNT(HOSTILE); i++)
        for (size_t j = 0; j < COUNT(HOSTILE); j++)
            for (size_t k = 0; k < COUNT(HOSTILE); k++) {
                const double value = HOSTILE[i], low = HOSTILE[j], high = HOSTILE[k];
                const double at = nxw_at_bound(value, low, high);
                require(at == value || at == low || at == high || (isnan(at) && isnan(value)));
            }
}

static void ask_nxw_largest_fill_m3(void)
{
    for (size_t i = 0; i < COUNT(HOSTILE); i++) {
        const bool good = HOSTILE[i] >= 0.0 && isfinite(HOSTILE[i]);
        require(good ? isfinite(nxw_largest_fill_m3(HOSTILE[i]))
                     : isnan(nxw_largest_fill_m3(HOSTILE[i])));
    }
}

static void check_fill(void *object, void *user)
{
    struct nxw_diagnosis d;
    (void)user;
    const enum nxw_status status = nxw_fill_check(object, &d);
    require(status == NXW_OK || status == NXW_ERROR_CASE);
    says_why(status, &d);
    require(strstr(d.text, "nan") == NULL && strstr(d.text, "inf") == NULL);
    require(nxw_fill_check(object, NULL) == status);
}

static void ask_nxw_fill_check(void)
{
    static struct nxw_case c;
    nxw_case_init(&c);
    check_fill(&c.stages[0], NULL);
    each_member("nxw_stage", &c.stages[0], sizeof c.stages[0], check_fill, NULL);
}

static void ask_nxw_first_bottle(void)
{
    static struct nxw_case c;
    nxw_case_init(&c);
    for (size_t i = 0; i < COUNT(HOSTILE_COUNTS); i++) {
        c.n_stages = HOSTILE_COUNTS[i];
        require(nxw_first_bottle(&c) == 0); /* none of none as well */
        c.stages[0].kind = NXW_STAGE_EMPTY;
        require(nxw_first_bottle(&c) == (c.n_stages > 1 ? 1 : c.n_stages));
        for (size_t k = 0; k < NXW_STAGES_MAX; k++)
            c.stages[k].kind = NXW_STAGE_EMPTY;
        require(nxw_first_bottle(&c) == c.n_stages);
        nxw_case_init(&c);
    }
}

/* Judged on finite numbers alone: a case with others is refused before anybody asks. */
static void ask_boils(void *object, void *user)
{
    const struct nxw_case *c = object;
    const bool hot = c->vessel_hot_K > 373.0 || c->surroundings_pressure_Pa < 9e4;
    (void)user;
    const bool boils = nxw_vessel_boils_water(c);
    require(!boils || hot || !isfinite(c->vessel_hot_K) || !isfinite(c->surroundings_pressure_Pa));
}

static void ask_nxw_vessel_boils_water(void)
{
    static struct nxw_case c;
    nxw_case_init(&c);
    each_member("nxw_case", &c, sizeof c, ask_boils, NULL);
}

static bool cancels(const struct nxw_series_row *row, void *user)
{
    (void)user;
    return row->time_s < 10.0;
}

static void ask_nxw_estimate(void)
{
    static struct nxw_case c;
    static struct nxw_result r;
    struct run run = {&c, &r, 0, 0};
    for (int which = 0; which < CASES; which++) {
        make_case(which, &c);
        begin("good case", which);
        judge(&run);
        require(r.status == NXW_OK);
        each_member_of_case(&c, judge_object, &run);
    }
    require(run.ran > 100 && run.refused > 1000);
    begin("cancelled", 0.0);
    require(nxw_estimate(&c, cancels, NULL, &r) == NXW_ERROR_CANCELLED && isnan(r.kept_mol));
    for (size_t p = 0; p < NXW_PARAMETER_COUNT; p++)
        for (size_t i = 0; i < COUNT(HOSTILE); i++) {
            make_case(1, &c);
            c.parameters.value[p] = HOSTILE[i];
            begin(nxw_parameter_record(p)->key, HOSTILE[i]);
            judge(&run);
        }
}

HOSTILE_MAIN(HOSTILE_CASES)
