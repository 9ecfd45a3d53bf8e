/*
 * Numbers that no bench gives, shared by the tests that ask every public function about them. None
 * may abort, crash or hang; each answers with a status below 0 and no figure, or with figures that
 * are finite.
 *
 * The lists at the end name the functions, MEMBERS the members of the structs that come in.
 * test_hostile_coverage.c holds both against noxwash.h.
 */
#ifndef NXW_HOSTILE_H
#define NXW_HOSTILE_H

#include "assert_near.h"

#include <float.h>
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

static inline void hangs(int signal_number)
{
    (void)signal_number;
    static const char text[] = "a call did not come back: ";
    (void)!write(STDERR_FILENO, text, sizeof text - 1);
    (void)!write(STDERR_FILENO, now, strlen(now));
    (void)!write(STDERR_FILENO, "\n", 1);
    _exit(1);
}

static inline void begin(const char *what, double value)
{
    (void)snprintf(now, sizeof now, "%s = %g", what, value);
    (void)alarm(SECONDS_MOST);
}

static inline void require_at(bool good, const char *text, const char *file, int line)
{
    if (good)
        return;
    print_error("with %s: %s\n", now, text);
    _fail(file, line);
}
#define require(condition) require_at((condition), #condition, __FILE__, __LINE__)

/* ------------------------------------------------------------------- structs that come in */

enum member_kind { NUMBER, SIZE, KIND, FLAG };
struct member {
    const char *name;
    size_t offset;
    enum member_kind kind;
};
/* clang-format off */
#define MEMBER_OF(type, member, kind) {#type "." #member, offsetof(struct type, member), kind}
/* clang-format on */
#define NUMBER_OF(type, member) MEMBER_OF(type, member, NUMBER)
#define SIZE_OF(type, member) MEMBER_OF(type, member, SIZE)
#define KIND_OF(type, member) MEMBER_OF(type, member, KIND)
#define FLAG_OF(type, member) MEMBER_OF(type, member, FLAG)

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
static inline void each_member(const char *type, void *object, size_t bytes, put *ask, void *user)
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
static inline void figures(enum nxw_status status, const double *figure, size_t n)
{
    for (size_t i = 0; i < n; i++)
        require(status >= 0 ? isfinite(figure[i]) : isnan(figure[i]));
}

/* A refusal says why; NULL in place of the diagnosis changes nothing. */
static inline void says_why(enum nxw_status status, const struct nxw_diagnosis *d)
{
    require(d->status == status);
    require((status < 0) == (d->text[0] != '\0'));
    require(memchr(d->text, '\0', sizeof d->text) != NULL);
}

/* NAN or what a liquid can weigh. */
static inline void weighs(double kg_m3)
{
    require(isnan(kg_m3) || (kg_m3 > 500.0 && kg_m3 < 2500.0));
}

/* Good values among the hostile ones, for the other inputs. */
static inline double mixed(size_t i, double good) { return i < COUNT(HOSTILE) ? HOSTILE[i] : good; }
enum { MIXED = (int)COUNT(HOSTILE) + 1 };

/* ------------------------------------------------------------------------------- functions */

#define HOSTILE_CASES(X)                                                                           \
    X(nxw_status_text)                                                                             \
    X(nxw_set_allocator)                                                                           \
    X(nxw_parameter_count)                                                                         \
    X(nxw_parameter_record)                                                                        \
    X(nxw_parameter_version)                                                                       \
    X(nxw_parameter_hash)                                                                          \
    X(nxw_parameter_find)                                                                          \
    X(nxw_parameters_default)                                                                      \
    X(nxw_case_init)                                                                               \
    X(nxw_first_bottle)                                                                            \
    X(nxw_fill_check)                                                                              \
    X(nxw_vessel_boils_water)                                                                      \
    X(nxw_at_bound)                                                                                \
    X(nxw_largest_fill_m3)                                                                         \
    X(nxw_case_check)                                                                              \
    X(nxw_estimate)                                                                                \
    X(nxw_version)                                                                                 \
    X(nxw_commit)

/* not in noxwash.h, but asked by name from outside */
#define HOSTILE_QUANTITIES(X) X(nxw_quantity_record) X(nxw_quantity)

#define HOSTILE_FIGURES(X)                                                                         \
    X(nxw_acid_density_kg_m3)                                                                      \
    X(nxw_peroxide_density_kg_m3)                                                                  \
    X(nxw_liquid_density_kg_m3)                                                                    \
    X(nxw_pure_water_density_kg_m3)                                                                \
    X(nxw_strength_basis)                                                                          \
    X(nxw_hydrometer_density_kg_m3)                                                                \
    X(nxw_hydrometer_reading_kg_m3)                                                                \
    X(nxw_acid_density_error_kg_m3)

#define HOSTILE_READINGS(X)                                                                        \
    X(nxw_strength_from_density)                                                                   \
    X(nxw_strength_from_concentration)                                                             \
    X(nxw_titration_result)                                                                        \
    X(nxw_blend)                                                                                   \
    X(nxw_balance)                                                                                 \
    X(nxw_chi_square_tail)

/* The tests of a list, each in a guard against hanging. */
#define HOSTILE_TEST(function)                                                                     \
    static void test_##function(void **state)                                                      \
    {                                                                                              \
        (void)state;                                                                               \
        begin(#function, 0.0);                                                                     \
        ask_##function();                                                                          \
        (void)alarm(0);                                                                            \
    }
#define HOSTILE_UNIT(function) cmocka_unit_test(test_##function),
#define HOSTILE_MAIN(LIST)                                                                         \
    LIST(HOSTILE_TEST)                                                                             \
    int main(void)                                                                                 \
    {                                                                                              \
        (void)signal(SIGALRM, hangs);                                                              \
        const struct CMUnitTest tests[] = {LIST(HOSTILE_UNIT)};                                    \
        return cmocka_run_group_tests(tests, NULL, NULL);                                          \
    }

#endif
