/*
 * Layer (b): every public function over numbers that no bench gives. None aborts, crashes or hangs;
 * each answers with a status below 0 and no figure, or with figures that are finite.
 *
 * COVERED names the functions, MEMBERS the members of the structs that come in. Both are held
 * against noxwash.h: a function or a member that is missing here fails the test.
 */
#include "../assert_near.h"

#include <ctype.h>
#include <float.h>
#include <glob.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "noxwash.h"

#define COUNT(array) (sizeof(array) / sizeof(array)[0])
#define DENORMAL 4.9406564584124654e-324

static const double HOSTILE[] = {(double)NAN, (double)INFINITY, -(double)INFINITY, -1.0,  0.0,
                                 -0.0,        DBL_MAX,          -DBL_MAX,          1e300, -1e300,
                                 DBL_MIN,     DENORMAL,         -DENORMAL,         1e-30, 1e15};
static const int HOSTILE_KINDS[] = {-1, 4, 99, 2147483647, -2147483647 - 1};
static const size_t HOSTILE_COUNTS[] = {0, 3, 1000, (size_t)-1, (size_t)-1 / 2};

/* No call takes longer than this; what hangs is named. */
enum { SECONDS_MOST = 60 };
static char now[160];

static void hangs(int signal_number)
{
    (void)signal_number;
    static const char text[] = "a call did not come back: ";
    (void)!write(STDERR_FILENO, text, sizeof text - 1);
    (void)!write(STDERR_FILENO, now, strlen(now));
    (void)!write(STDERR_FILENO, "\n", 1);
    _exit(1);
}

static void begin(const char *what, double value)
{
    (void)snprintf(now, sizeof now, "%s = %g", what, value);
    (void)alarm(SECONDS_MOST);
}

static void require_at(bool good, const char *text, int line)
{
    if (good)
        return;
    print_error("with %s: %s\n", now, text);
    _fail(__FILE__, line);
}
#define require(condition) require_at((condition), #condition, __LINE__)

/* ------------------------------------------------------------------- structs that come in */

enum member_kind { NUMBER, SIZE, KIND, FLAG };
struct member {
    const char *name;
    size_t offset;
    enum member_kind kind;
};
#define NUMBER_OF(type, member)                                                                    \
    {                                                                                              \
#type "." #member, offsetof(struct type, member), NUMBER                                   \
    }
#define SIZE_OF(type, member)                                                                      \
    {                                                                                              \
#type "." #member, offsetof(struct type, member), SIZE                                     \
    }
#define KIND_OF(type, member)                                                                      \
    {                                                                                              \
#type "." #member, offsetof(struct type, member), KIND                                     \
    }
#define FLAG_OF(type, member)                                                                      \
    {                                                                                              \
#type "." #member, offsetof(struct type, member), FLAG                                     \
    }

static const struct member MEMBERS[] = {
    KIND_OF(nxw_source, kind),
    KIND_OF(nxw_source, shape),
    NUMBER_OF(nxw_source, duration_s),
    NUMBER_OF(nxw_source, temperature_K),
    NUMBER_OF(nxw_source, acid_made_mol),
    NUMBER_OF(nxw_source, decomposed_fraction),
    NUMBER_OF(nxw_source, condenser_temperature_K),
    NUMBER_OF(nxw_source, condensate_mass_fraction),
    NUMBER_OF(nxw_source, metal_mol),
    NUMBER_OF(nxw_source, metal_valence),
    NUMBER_OF(nxw_source, NO2_route_fraction),
    NUMBER_OF(nxw_source, flow_mol_s),
    NUMBER_OF(nxw_source, NO2_fraction),
    NUMBER_OF(nxw_source, NO_fraction),
    NUMBER_OF(nxw_source, O2_fraction),
    SIZE_OF(nxw_source, n_rows),
    NUMBER_OF(nxw_source_row, time_s),
    NUMBER_OF(nxw_source_row, NO_mol_s),
    NUMBER_OF(nxw_source_row, NO2_mol_s),
    NUMBER_OF(nxw_source_row, HNO2_mol_s),
    NUMBER_OF(nxw_source_row, HNO3_mol_s),
    NUMBER_OF(nxw_source_row, O2_mol_s),
    NUMBER_OF(nxw_source_row, inert_mol_s),
    NUMBER_OF(nxw_source_row, H2O_mol_s),
    KIND_OF(nxw_carrier, gas),
    NUMBER_OF(nxw_carrier, flow_mol_s),
    NUMBER_OF(nxw_carrier, from_s),
    NUMBER_OF(nxw_carrier, until_s),
    KIND_OF(nxw_stage, kind),
    NUMBER_OF(nxw_stage, volume_m3),
    NUMBER_OF(nxw_stage, inner_diameter_m),
    NUMBER_OF(nxw_stage, wall_thickness_m),
    NUMBER_OF(nxw_stage, liquid_m3),
    NUMBER_OF(nxw_stage, acid_mass_fraction),
    NUMBER_OF(nxw_stage, peroxide_mass_fraction),
    NUMBER_OF(nxw_stage, strong_acid_mol_m3),
    NUMBER_OF(nxw_stage, liquid_temperature_K),
    KIND_OF(nxw_stage, tip),
    NUMBER_OF(nxw_stage, bore_m),
    NUMBER_OF(nxw_stage, holes),
    NUMBER_OF(nxw_stage, frit_diameter_m),
    NUMBER_OF(nxw_stage, bubble_diameter_m),
    NUMBER_OF(nxw_stage, tip_clearance_m),
    NUMBER_OF(nxw_stage, depth_m),
    FLAG_OF(nxw_stage, no_surface),
    KIND_OF(nxw_stage, bath),
    NUMBER_OF(nxw_stage, bath_temperature_K),
    NUMBER_OF(nxw_stage, ice_kg),
    NUMBER_OF(nxw_stage, bath_water_kg),
    FLAG_OF(nxw_stage, bath_stirred),
    NUMBER_OF(nxw_stage, UA_W_K),
    SIZE_OF(nxw_case, n_stages),
    NUMBER_OF(nxw_case, vent_bore_m),
    NUMBER_OF(nxw_case, vent_length_m),
    FLAG_OF(nxw_case, vent_closed),
    NUMBER_OF(nxw_case, hood_flow_m3_s),
    NUMBER_OF(nxw_case, standing_s),
    NUMBER_OF(nxw_case, surroundings_temperature_K),
    NUMBER_OF(nxw_case, surroundings_pressure_Pa),
    NUMBER_OF(nxw_case, vessel_volume_m3),
    NUMBER_OF(nxw_case, vessel_hot_K),
    NUMBER_OF(nxw_case, vessel_cool_K),
    NUMBER_OF(nxw_case, relative_tolerance),
    SIZE_OF(nxw_case, slices),
    FLAG_OF(nxw_case, isothermal),
    FLAG_OF(nxw_case, physical_absorption_only),
    NUMBER_OF(nxw_case, bubble_kG_m_s),
    NUMBER_OF(nxw_density_reading, density_kg_m3),
    NUMBER_OF(nxw_density_reading, density_error_kg_m3),
    NUMBER_OF(nxw_density_reading, temperature_K),
    NUMBER_OF(nxw_density_reading, temperature_error_K),
    NUMBER_OF(nxw_density_reading, NO2_mass_fraction),
    NUMBER_OF(nxw_density_reading, HNO2_mass_fraction),
    NUMBER_OF(nxw_density_reading, H2O2_mass_fraction),
    NUMBER_OF(nxw_titration, temperature_K),
    NUMBER_OF(nxw_titration, sample_m3),
    NUMBER_OF(nxw_titration, alkali_m3),
    NUMBER_OF(nxw_titration, alkali_mol_m3),
    NUMBER_OF(nxw_titration, permanganate_sample_m3),
    NUMBER_OF(nxw_titration, permanganate_m3),
    NUMBER_OF(nxw_titration, permanganate_mol_m3),
    FLAG_OF(nxw_titration, permanganate_finds_peroxide),
    NUMBER_OF(nxw_titration, relative_error),
    NUMBER_OF(nxw_blend_part, mass_kg),
    NUMBER_OF(nxw_blend_part, acid_mass_fraction),
    NUMBER_OF(nxw_blend_part, peroxide_mass_fraction),
    NUMBER_OF(nxw_blend_part, temperature_K),
    FLAG_OF(nxw_blend_part, ice),
    SIZE_OF(nxw_balance_reading, place),
    NUMBER_OF(nxw_balance_reading, nitrogen_mol),
    NUMBER_OF(nxw_balance_reading, error_mol),
    NUMBER_OF(nxw_balance_in, available_mol),
    NUMBER_OF(nxw_balance_in, available_error_mol),
    FLAG_OF(nxw_balance_in, complete),
    SIZE_OF(nxw_balance_in, n_places),
    SIZE_OF(nxw_balance_in, n_readings),
};
static const char *const STRUCTS[] = {"nxw_source",    "nxw_source_row", "nxw_carrier",
                                      "nxw_stage",     "nxw_case",       "nxw_density_reading",
                                      "nxw_titration", "nxw_blend_part", "nxw_balance_reading",
                                      "nxw_balance_in"};

typedef void put(void *object, void *user);
static enum member_kind trying;

/* Every hostile value in every member of one struct in turn; the rest stays good. */
static void each_member(const char *type, void *object, size_t bytes, put *ask, void *user)
{
    void *good = malloc(bytes);
    assert_non_null(good);
    memcpy(good, object, bytes);
    for (size_t m = 0; m < COUNT(MEMBERS); m++) {
        const struct member *member = &MEMBERS[m];
        if (strncmp(member->name, type, strlen(type)) != 0 || member->name[strlen(type)] != '.')
            continue;
        trying = member->kind;
        const size_t n = member->kind == NUMBER ? COUNT(HOSTILE)
                         : member->kind == KIND ? COUNT(HOSTILE_KINDS)
                         : member->kind == SIZE ? COUNT(HOSTILE_COUNTS)
                                                : 2;
        for (size_t i = 0; i < n; i++) {
            char *place = (char *)object + member->offset;
            const bool flag = i == 1;
            if (member->kind == NUMBER)
                memcpy(place, &HOSTILE[i], sizeof HOSTILE[i]);
            else if (member->kind == KIND)
                memcpy(place, &HOSTILE_KINDS[i], sizeof HOSTILE_KINDS[i]);
            else if (member->kind == SIZE)
                memcpy(place, &HOSTILE_COUNTS[i], sizeof HOSTILE_COUNTS[i]);
            else
                memcpy(place, &flag, sizeof flag);
            begin(member->name, member->kind == NUMBER ? HOSTILE[i]
                                : member->kind == KIND ? HOSTILE_KINDS[i]
                                : member->kind == SIZE ? (double)HOSTILE_COUNTS[i]
                                                       : (double)i);
            ask(object, user);
            memcpy(object, good, bytes);
        }
    }
    free(good);
}

/* All figures finite where the status is good, none a number where it is not. */
static void figures(enum nxw_status status, const double *figure, size_t n)
{
    for (size_t i = 0; i < n; i++)
        require(status >= 0 ? isfinite(figure[i]) : isnan(figure[i]));
}

/* A refusal says why; NULL in place of the diagnosis changes nothing. */
static void says_why(enum nxw_status status, const struct nxw_diagnosis *d)
{
    require(d->status == status);
    require((status < 0) == (d->text[0] != '\0'));
    require(memchr(d->text, '\0', sizeof d->text) != NULL);
}

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

/* ------------------------------------------------------------------------------ properties */

/* NAN or what a liquid can weigh. */
static void weighs(double kg_m3) { require(isnan(kg_m3) || (kg_m3 > 500.0 && kg_m3 < 2500.0)); }

/* Good values among the hostile ones, for the other inputs. */
static double mixed(size_t i, double good) { return i < COUNT(HOSTILE) ? HOSTILE[i] : good; }
enum { MIXED = (int)COUNT(HOSTILE) + 1 };

static void of_strength_and_temperature(double (*f)(double, double))
{
    for (size_t i = 0; i < MIXED; i++)
        for (size_t k = 0; k < MIXED; k++) {
            const double w = mixed(i, 0.3), T_K = mixed(k, 300.0), kg_m3 = f(w, T_K);
            begin("density", w);
            weighs(kg_m3);
            require(isnan(kg_m3) == !(w >= -1e-9 && w <= 1.0 && T_K >= 258.0 && T_K <= 374.0));
        }
}

static void ask_nxw_acid_density_kg_m3(void)
{
    of_strength_and_temperature(nxw_acid_density_kg_m3);
}
static void ask_nxw_peroxide_density_kg_m3(void)
{
    of_strength_and_temperature(nxw_peroxide_density_kg_m3);
}

static void ask_nxw_liquid_density_kg_m3(void)
{
    for (size_t i = 0; i < MIXED; i++)
        for (size_t j = 0; j < MIXED; j++)
            for (size_t k = 0; k < MIXED; k++) {
                begin("density of both", mixed(i, 0.3));
                weighs(nxw_liquid_density_kg_m3(mixed(i, 0.3), mixed(j, 0.2), mixed(k, 300.0)));
            }
    require(isnan(nxw_liquid_density_kg_m3(0.6, 0.6, 300.0)));
}

static void ask_nxw_pure_water_density_kg_m3(void)
{
    for (size_t i = 0; i < COUNT(HOSTILE); i++)
        require(isnan(nxw_pure_water_density_kg_m3(HOSTILE[i])));
}

static void ask_nxw_acid_density_error_kg_m3(void)
{
    for (size_t i = 0; i < MIXED; i++)
        for (size_t k = 0; k < MIXED; k++) {
            const double e = nxw_acid_density_error_kg_m3(mixed(i, 0.3), mixed(k, 300.0));
            require(isnan(e) || (e > 0.0 && e < 20.0));
        }
}

static void of_hydrometer(double (*f)(double, double, double, double))
{
    for (size_t i = 0; i < MIXED; i++)
        for (size_t j = 0; j < MIXED; j++)
            for (size_t k = 0; k < MIXED; k++)
                for (size_t l = 0; l < MIXED; l++) {
                    const double got =
                        f(mixed(i, 1100.0), mixed(j, 300.0), mixed(k, 293.15), mixed(l, 25e-6));
                    begin("hydrometer", mixed(i, 1100.0));
                    require(isnan(got) || (got > 0.0 && isfinite(got)));
                }
}

static void ask_nxw_hydrometer_density_kg_m3(void) { of_hydrometer(nxw_hydrometer_density_kg_m3); }
static void ask_nxw_hydrometer_reading_kg_m3(void) { of_hydrometer(nxw_hydrometer_reading_kg_m3); }

static void ask_nxw_strength_basis(void)
{
    for (size_t i = 0; i < COUNT(HOSTILE); i++) {
        const enum nxw_strength_basis basis = nxw_strength_basis(HOSTILE[i]);
        const bool is_share = HOSTILE[i] >= 0.0 && HOSTILE[i] <= 1.0;
        require(is_share || basis == NXW_STRENGTH_FLAT);
    }
}

/* -------------------------------------------------------------------------- figures by name */

/* The names stand in the tables of the model; each file that holds one is read. */
static size_t names_in(const char *path, char names[][64], size_t most)
{
    static char text[100000];
    FILE *file = fopen(path, "r");
    assert_non_null(file);
    text[fread(text, 1, sizeof text - 1, file)] = '\0';
    (void)fclose(file);
    size_t n = 0;
    for (const char *at = strstr(text, "{{\""); at != NULL; at = strstr(at + 1, "{{\"")) {
        const size_t length = strcspn(at + 3, "\"");
        require(n < most && length < 64);
        memcpy(names[n], at + 3, length);
        names[n++][length] = '\0';
    }
    return n;
}

static void hostile_inputs(const char *name)
{
    const struct nxw_quantity_record *q = nxw_quantity_record(name);
    if (q == NULL) /* an input, not a quantity */
        return;
    static const double others[] = {1.0, 0.0, -1.0, 300.0, 1e15};
    for (size_t o = 0; o < COUNT(others); o++)
        for (size_t at = 0; at <= q->n_inputs; at++)
            for (size_t i = 0; i < COUNT(HOSTILE); i++) {
                double inputs[NXW_QUANTITY_INPUTS_MAX], value = 0.0;
                for (size_t k = 0; k < q->n_inputs; k++)
                    inputs[k] = at == q->n_inputs || k == at ? HOSTILE[i] : others[o];
                begin(name, HOSTILE[i]);
                const enum nxw_status status = nxw_quantity(name, q->n_inputs, inputs, &value);
                figures(status, &value, 1);
                require(status == NXW_OK || status == NXW_ERROR_CASE || status == NXW_ERROR_RANGE);
                require(q->n_inputs == 0 || isfinite(HOSTILE[i]) || status == NXW_ERROR_CASE);
            }
}

static void ask_nxw_quantity(void)
{
    static char names[400][64];
    glob_t found;
    size_t asked = 0;
    assert_int_equal(glob(NXW_SOURCE_DIR "/model/quantity_*.c", 0, NULL, &found), 0);
    for (size_t f = 0; f < found.gl_pathc; f++) {
        const size_t n = names_in(found.gl_pathv[f], names, COUNT(names));
        for (size_t i = 0; i < n; i++) {
            asked += nxw_quantity_record(names[i]) != NULL ? 1 : 0;
            hostile_inputs(names[i]);
        }
    }
    globfree(&found);
    require(asked > 60);
    double value = 0.0;
    require(nxw_quantity("no such figure", 0, NULL, &value) == NXW_ERROR_KEY && isnan(value));
    for (size_t i = 0; i < COUNT(HOSTILE_COUNTS); i++)
        require(nxw_quantity("acid_density", HOSTILE_COUNTS[i], &value, &value) == NXW_ERROR_CASE);
}

static void ask_nxw_quantity_record(void)
{
    require(nxw_quantity_record("") == NULL && nxw_quantity_record("no such figure") == NULL);
}

/* ------------------------------------------------------------------------ bench: strength */

static void ask_strength(void *object, void *user)
{
    struct nxw_strength s;
    struct nxw_diagnosis d;
    (void)user;
    const enum nxw_status status = nxw_strength_from_density(object, &s, &d);
    const double figure[] = {
        s.mass_fraction,     s.low,         s.high,        s.standard_error, s.reading_error,
        s.temperature_error, s.table_error, s.other_error, s.mol_m3,         s.kg_m3,
        s.density_20_kg_m3};
    require(status == NXW_OK || status == NXW_ERROR_RANGE);
    figures(status, figure, COUNT(figure));
    says_why(status, &d);
    require(status < 0 || (s.low >= 0.0 && s.low <= s.mass_fraction && s.mass_fraction <= 1.0));
    require(nxw_strength_from_density(object, &s, NULL) == status);
}

static void ask_nxw_strength_from_density(void)
{
    struct nxw_density_reading r = {1100.0, 1.0, 300.0, 0.5, 0.001, 0.001, 0.01};
    ask_strength(&r, NULL);
    each_member("nxw_density_reading", &r, sizeof r, ask_strength, NULL);
    /* each share alone is possible, together they are not; and peroxide that leaves no room */
    r = (struct nxw_density_reading){1100.0, 1.0, 300.0, 0.5, 0.4, 0.4, 0.4};
    ask_strength(&r, NULL);
    for (int i = 0; i < 100; i++) {
        r = (struct nxw_density_reading){900.0 + 10.0 * i, 1000.0, 300.0, 100.0, 0.0, 0.0, 0.99};
        ask_strength(&r, NULL);
    }
}

static void ask_nxw_strength_from_concentration(void)
{
    for (size_t i = 0; i < MIXED; i++)
        for (size_t k = 0; k < MIXED; k++) {
            double w = 0.0;
            begin("concentration", mixed(i, 300.0));
            const enum nxw_status status =
                nxw_strength_from_concentration(mixed(i, 300.0), mixed(k, 300.0), &w);
            require(status == NXW_OK || status == NXW_ERROR_RANGE);
            figures(status, &w, 1);
        }
}

static void ask_titration(void *object, void *user)
{
    struct nxw_titrated t;
    struct nxw_diagnosis d;
    (void)user;
    const enum nxw_status status = nxw_titration_result(object, &t, &d);
    const double figure[] = {t.acid_mol_m3,        t.HNO3_mol_m3,       t.HNO2_mol_m3,
                             t.H2O2_mol_m3,        t.HNO3_error_mol_m3, t.other_error_mol_m3,
                             t.HNO3_mass_fraction, t.HNO3_mass_error,   t.HNO2_mass_fraction,
                             t.H2O2_mass_fraction};
    require(status == NXW_OK || status == NXW_ERROR_RANGE);
    figures(status, figure, COUNT(figure));
    says_why(status, &d);
    require(nxw_titration_result(object, &t, NULL) == status);
}

static void ask_nxw_titration_result(void)
{
    for (int peroxide = 0; peroxide < 2; peroxide++) {
        struct nxw_titration t = {300.0, 5e-6,  20e-6,         500.0, 5e-6,
                                  4e-6,  100.0, peroxide == 1, 0.01};
        ask_titration(&t, NULL);
        each_member("nxw_titration", &t, sizeof t, ask_titration, NULL);
    }
}

/* -------------------------------------------------------------------- bench: blend, balance */

struct mixture {
    struct nxw_blend_part parts[2];
};

static void ask_blend(void *object, void *user)
{
    const struct mixture *m = user;
    struct nxw_blend b;
    struct nxw_diagnosis d;
    (void)object;
    const enum nxw_status status = nxw_blend(m->parts, 2, &b, &d);
    const double figure[] = {
        b.mass_kg,       b.acid_kg, b.peroxide_kg,  b.acid_mass_fraction, b.peroxide_mass_fraction,
        b.temperature_K, b.heat_J,  b.volume_20_m3, b.parts_volume_20_m3, b.density_20_kg_m3,
        b.ice_left_kg};
    require(status == NXW_OK || status == NXW_ERROR_RANGE);
    figures(status, figure, COUNT(figure));
    says_why(status, &d);
    if (status == NXW_OK)
        weighs(b.density_20_kg_m3);
    require(nxw_blend(m->parts, 2, &b, NULL) == status);
}

static void ask_nxw_blend(void)
{
    struct mixture m = {{{.mass_kg = 0.1, .acid_mass_fraction = 0.3, .temperature_K = 300.0},
                         {.mass_kg = 0.1, .peroxide_mass_fraction = 0.1, .temperature_K = 300.0}}};
    struct nxw_blend b;
    for (size_t i = 0; i < 2; i++)
        each_member("nxw_blend_part", &m.parts[i], sizeof m.parts[i], ask_blend, &m);
    m.parts[1] = (struct nxw_blend_part){.mass_kg = 0.1, .temperature_K = 273.15, .ice = true};
    for (size_t i = 0; i < 2; i++)
        each_member("nxw_blend_part", &m.parts[i], sizeof m.parts[i], ask_blend, &m);
    m.parts[0].acid_mass_fraction = 1.2;
    begin("acid fraction", 1.2);
    require(nxw_blend(m.parts, 2, &b, NULL) == NXW_ERROR_RANGE && isnan(b.mass_kg));
    for (size_t i = 0; i < COUNT(HOSTILE_COUNTS); i++)
        if (HOSTILE_COUNTS[i] != 3) /* no array here is longer than the count that comes with it */
            require(nxw_blend(m.parts, HOSTILE_COUNTS[i], &b, NULL) == NXW_ERROR_RANGE);
}

static void ask_balance(void *object, void *user)
{
    struct nxw_balance b;
    (void)object;
    const struct nxw_balance_in *in = user;
    const enum nxw_status status = nxw_balance(in, &b);
    require(status == NXW_OK || status == NXW_ERROR_RANGE);
    const double figure[] = {b.available_closed_mol,  b.total_mol,
                             b.total_error_mol,       b.unexplained_mol,
                             b.unexplained_error_mol, b.chi_square};
    figures(status, figure, COUNT(figure));
    for (size_t i = 0; i < NXW_BALANCE_PLACES_MAX; i++) /* NAN where nothing was read */
        require(!isinf(b.found_mol[i]) && !isinf(b.closed_mol[i]));
    for (size_t i = 0; i < NXW_BALANCE_READINGS_MAX; i++)
        require(!isinf(b.standardised[i]));
    require(isnan(b.probability) || (b.probability >= 0.0 && b.probability <= 1.0 + 1e-12));
}

static void ask_nxw_balance(void)
{
    for (int complete = 0; complete < 2; complete++) {
        struct nxw_balance_in in = {.available_mol = 0.6,
                                    .available_error_mol = 0.006,
                                    .complete = complete == 1,
                                    .n_places = 2,
                                    .n_readings = 3,
                                    .readings = {{0, 0.3, 0.01}, {1, 0.2, 0.01}, {1, 0.21, 0.01}}};
        ask_balance(NULL, &in);
        each_member("nxw_balance_in", &in, sizeof in, ask_balance, &in);
        for (size_t i = 0; i < in.n_readings; i++)
            each_member("nxw_balance_reading", &in.readings[i], sizeof in.readings[i], ask_balance,
                        &in);
    }
}

static void ask_nxw_chi_square_tail(void)
{
    static const size_t degrees[] = {0, 1, 2, 33, 1000000, 1000001, (size_t)-1};
    for (size_t i = 0; i < MIXED; i++)
        for (size_t k = 0; k < COUNT(degrees); k++) {
            begin("chi-square", mixed(i, 30.0));
            const double tail = nxw_chi_square_tail(mixed(i, 30.0), degrees[k]);
            require(isnan(tail) || (tail >= 0.0 && tail <= 1.0 + 1e-9));
        }
}

/* ---------------------------------------------------------------------------- completeness */

#define COVERED(X)                                                                                 \
    X(nxw_status_text)                                                                             \
    X(nxw_set_allocator)                                                                           \
    X(nxw_parameter_count)                                                                         \
    X(nxw_parameter_record)                                                                        \
    X(nxw_parameter_version)                                                                       \
    X(nxw_parameter_hash)                                                                          \
    X(nxw_parameter_find)                                                                          \
    X(nxw_parameters_default)                                                                      \
    X(nxw_case_init)                                                                               \
    X(nxw_fill_check)                                                                              \
    X(nxw_vessel_boils_water)                                                                      \
    X(nxw_at_bound)                                                                                \
    X(nxw_largest_fill_m3)                                                                         \
    X(nxw_case_check)                                                                              \
    X(nxw_estimate)                                                                                \
    X(nxw_acid_density_kg_m3)                                                                      \
    X(nxw_peroxide_density_kg_m3)                                                                  \
    X(nxw_liquid_density_kg_m3)                                                                    \
    X(nxw_quantity_record)                                                                         \
    X(nxw_quantity)                                                                                \
    X(nxw_version)                                                                                 \
    X(nxw_commit)                                                                                  \
    X(nxw_pure_water_density_kg_m3)                                                                \
    X(nxw_strength_basis)                                                                          \
    X(nxw_hydrometer_density_kg_m3)                                                                \
    X(nxw_hydrometer_reading_kg_m3)                                                                \
    X(nxw_acid_density_error_kg_m3)                                                                \
    X(nxw_strength_from_density)                                                                   \
    X(nxw_strength_from_concentration)                                                             \
    X(nxw_titration_result)                                                                        \
    X(nxw_blend)                                                                                   \
    X(nxw_balance)                                                                                 \
    X(nxw_chi_square_tail)

static const char *const FUNCTIONS[] = {
#define NAME(function) #function,
    COVERED(NAME)
#undef NAME
};

/* The header without its comments. */
static char *header(void)
{
    static char text[200000];
    FILE *file = fopen(NXW_SOURCE_DIR "/model/noxwash.h", "r");
    assert_non_null(file);
    const size_t length = fread(text, 1, sizeof text - 1, file);
    (void)fclose(file);
    assert_true(length > 1000 && length < sizeof text - 1);
    text[length] = '\0';
    for (char *from = strstr(text, "/*"); from != NULL; from = strstr(from, "/*")) {
        char *end = strstr(from, "*/");
        assert_non_null(end);
        memset(from, ' ', (size_t)(end + 2 - from));
    }
    return text;
}

static bool is_covered(const char *name, size_t length)
{
    for (size_t i = 0; i < COUNT(FUNCTIONS); i++)
        if (strlen(FUNCTIONS[i]) == length && strncmp(FUNCTIONS[i], name, length) == 0)
            return true;
    return false;
}

static bool is_letter(char c) { return isalnum((unsigned char)c) || c == '_'; }

/* Every function that is declared is asked here, and nothing else is. */
static void every_function_is_asked(void **state)
{
    (void)state;
    const char *text = header();
    size_t declared = 0;
    bool good = true;
    for (const char *at = strstr(text, "nxw_"); at != NULL; at = strstr(at + 1, "nxw_")) {
        size_t length = 0;
        while (is_letter(at[length]))
            length++;
        const char *line = at;
        while (line > text && line[-1] != '\n')
            line--;
        if (is_letter(at[-1]) || at[length] != '(' || strncmp(line, "typedef", 7) == 0)
            continue;
        declared++;
        if (!is_covered(at, length))
            print_error("not asked here: %.*s\n", (int)length, at);
        good = good && is_covered(at, length);
    }
    assert_true(good);
    assert_int_equal(declared, COUNT(FUNCTIONS));
}

/* Every numeric member, kind and flag of the structs that come in stands in MEMBERS. */
static void every_member_is_tried(void **state)
{
    (void)state;
    const char *text = header();
    bool good = true;
    size_t seen = 0;
    for (size_t s = 0; s < COUNT(STRUCTS); s++) {
        char head[64], line[400];
        (void)snprintf(head, sizeof head, "struct %s {", STRUCTS[s]);
        const char *at = strstr(text, head);
        assert_non_null(at);
        at += strlen(head);
        for (const char *end = strstr(at, "};"); at < end; at += strcspn(at, ";") + 1) {
            (void)snprintf(line, sizeof line, "%.*s", (int)strcspn(at, ";"), at);
            char *word = line + strspn(line, " \n");
            if (strncmp(word, "double ", 7) != 0 && strncmp(word, "size_t ", 7) != 0 &&
                strncmp(word, "bool ", 5) != 0 && strncmp(word, "enum ", 5) != 0)
                continue; /* a name, a pointer or another struct of this list */
            word += strcspn(word, " ") + 1;
            if (strncmp(word, "nxw_", 4) == 0)
                word += strcspn(word, " ") + 1;
            for (word = strtok(word, ", \n"); word != NULL; word = strtok(NULL, ", \n")) {
                char name[128];
                bool found = false;
                (void)snprintf(name, sizeof name, "%s.%s", STRUCTS[s], word);
                for (size_t m = 0; m < COUNT(MEMBERS); m++)
                    found = found || strcmp(MEMBERS[m].name, name) == 0;
                if (!found)
                    print_error("not tried here: %s\n", name);
                good = good && found;
                seen++;
            }
        }
    }
    assert_true(good);
    assert_int_equal(seen, COUNT(MEMBERS));
}

#define TEST(function)                                                                             \
    static void test_##function(void **state)                                                      \
    {                                                                                              \
        (void)state;                                                                               \
        begin(#function, 0.0);                                                                     \
        ask_##function();                                                                          \
        (void)alarm(0);                                                                            \
    }
COVERED(TEST)
#undef TEST

int main(void)
{
    (void)signal(SIGALRM, hangs);
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_function_is_asked),
                                       cmocka_unit_test(every_member_is_tried),
#define UNIT(function) cmocka_unit_test(test_##function),
                                       COVERED(UNIT)
#undef UNIT
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
