/* Layer (b): each bound that noxwash.h tells of a bench's numbers is where it is told: the bound is
 * taken, and what is 1 % beyond is refused for that reason. */
#include <string.h>

#include "../assert_near.h"
#include "noxwash.h"

#define DAY_K 293.15

struct bound {
    size_t offset;
    double low, high;
    const char *reason;
};

/* Was the object refused for the reason? */
typedef bool refused(const void *object, const char *reason);

static void each(const struct bound *b, size_t n, const void *good, size_t size, refused *is)
{
    unsigned char object[4096];
    for (; n > 0; n--, b++)
        for (int side = 0; side < 2; side++) {
            const double at = side == 0 ? b->low : b->high;
            const double out = side == 0 ? -0.01 : 0.01; /* 1 %, or 0.01 of what begins at 0 */
            const double values[2] = {at, at + out * (at != 0.0 ? fabs(at) : 1.0)};
            for (int beyond = 0; beyond < 2; beyond++) {
                memcpy(object, good, size);
                memcpy(object + b->offset, &values[beyond], sizeof values[beyond]);
                if (is(object, b->reason) != (beyond == 1))
                    fail_msg("%.9g %s: %s", values[beyond], beyond ? "passes" : "does not pass",
                             b->reason);
            }
        }
}
#define EACH(bounds, good, is)                                                                     \
    each((bounds), sizeof(bounds) / sizeof(bounds)[0], &(good), sizeof(good), (is))

static bool said(enum nxw_status status, const struct nxw_diagnosis *d, const char *reason)
{
    return status == NXW_ERROR_RANGE && strstr(d->text, reason) != NULL;
}

static bool reading_refused(const void *object, const char *reason)
{
    struct nxw_density_reading r;
    struct nxw_strength out;
    struct nxw_diagnosis d;
    memcpy(&r, object, sizeof r);
    return said(nxw_strength_from_density(&r, &out, &d), &d, reason);
}

static void density_reading(void **state)
{
    (void)state;
    const struct nxw_density_reading good = {.density_kg_m3 = 1200.0, .temperature_K = DAY_K};
#define OF(member) offsetof(struct nxw_density_reading, member)
    const struct bound bounds[] = {{OF(density_kg_m3), 500.0, 2500.0, "a density lies"},
                                   {OF(density_error_kg_m3), 0.0, 1000.0, "error of a density"},
                                   {OF(temperature_K), 263.15, 368.15, "from -10 to 95 degC"},
                                   {OF(temperature_error_K), 0.0, 100.0, "error of a temp"}};
#undef OF
    EACH(bounds, good, reading_refused);
}

static bool titration_refused(const void *object, const char *reason)
{
    struct nxw_titration t;
    struct nxw_titrated out;
    struct nxw_diagnosis d;
    memcpy(&t, object, sizeof t);
    return said(nxw_titration_result(&t, &out, &d), &d, reason);
}

static void titration(void **state)
{
    (void)state;
    const struct nxw_titration good = {.temperature_K = DAY_K,
                                       .sample_m3 = 1e-5,
                                       .alkali_m3 = 1e-9,
                                       .alkali_mol_m3 = 100.0,
                                       .permanganate_sample_m3 = 1e-5,
                                       .permanganate_m3 = 1e-12,
                                       .permanganate_mol_m3 = 20.0,
                                       .permanganate_finds_peroxide = true};
#define OF(member) offsetof(struct nxw_titration, member)
    const struct bound bounds[] = {{OF(temperature_K), 263.15, 368.15, "-10 and 95 degC"},
                                   {OF(sample_m3), 1e-12, 1e3, "a sample is more"},
                                   {OF(alkali_m3), 0.0, 1e3, "a titre is 0"},
                                   {OF(alkali_mol_m3), 0.0, 1e5, "0 to 100 mol/L"},
                                   {OF(permanganate_sample_m3), 1e-12, 1e3, "a sample is more"},
                                   {OF(permanganate_m3), 0.0, 1e3, "a titre is 0"},
                                   {OF(permanganate_mol_m3), 0.0, 1e5, "0 to 100 mol/L"},
                                   {OF(relative_error), 0.0, 1.0, "a share of it"}};
#undef OF
    EACH(bounds, good, titration_refused);
}

static bool part_refused(const void *object, const char *reason)
{
    struct nxw_blend_part p;
    struct nxw_blend out;
    struct nxw_diagnosis d;
    memcpy(&p, object, sizeof p);
    return said(nxw_blend(&p, 1, &out, &d), &d, reason);
}

static void part(void **state)
{
    (void)state;
    const struct nxw_blend_part good = {.mass_kg = 1.0, .temperature_K = DAY_K};
#define OF(member) offsetof(struct nxw_blend_part, member)
    const struct bound bounds[] = {{OF(mass_kg), 1e-9, 1e6, "part 1: a mass"},
                                   {OF(acid_mass_fraction), 0.0, 1.0, "part 1: acid and perox"},
                                   {OF(peroxide_mass_fraction), 0.0, 1.0, "part 1: acid and perox"},
                                   {OF(temperature_K), 223.15, 373.15, "part 1: a temperature"}};
#undef OF
    EACH(bounds, good, part_refused);
}

static bool balance_refused(const void *object, const char *reason)
{
    struct nxw_balance_in in;
    struct nxw_balance out;
    (void)reason; /* it has no diagnosis */
    memcpy(&in, object, sizeof in);
    return nxw_balance(&in, &out) == NXW_ERROR_RANGE;
}

static void balance(void **state)
{
    (void)state;
    const struct nxw_balance_in good = {.available_mol = 1.0,
                                        .available_error_mol = 0.1,
                                        .n_places = 1,
                                        .n_readings = 1,
                                        .readings = {{.nitrogen_mol = 1.0, .error_mol = 0.1}}};
#define OF(member) offsetof(struct nxw_balance_in, member)
    const struct bound bounds[] = {
        {OF(available_error_mol), 1e-18, 1e12, "error of what there was"},
        {OF(readings[0].nitrogen_mol), -1e12, 1e12, "a reading"},
        {OF(readings[0].error_mol), 1e-18, 1e12, "error of a reading"}};
#undef OF
    EACH(bounds, good, balance_refused);
    static const struct {
        double available_mol;
        bool refused;
    } rows[] = {{0.0, true}, {1e-300, false}, {1e12, false}, {1.01e12, true}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        struct nxw_balance_in in = good;
        in.available_mol = rows[i].available_mol;
        assert_int_equal(balance_refused(&in, ""), rows[i].refused);
    }
}

static double mixture_kg_m3(double w, double T_K)
{
    return nxw_liquid_density_kg_m3(0.5 * w, 0.5 * w, T_K);
}
static double water_kg_m3(double w, double T_K)
{
    (void)w;
    return nxw_pure_water_density_kg_m3(T_K);
}

static void densities(void **state)
{
    (void)state;
    double (*const f[])(double, double) = {nxw_acid_density_kg_m3, nxw_peroxide_density_kg_m3,
                                           mixture_kg_m3, water_kg_m3};
    for (size_t i = 0; i < sizeof f / sizeof f[0]; i++) {
        const double coldest_K = f[i] == water_kg_m3 ? 273.15 : 258.15;
        assert_true(isfinite(f[i](0.3, coldest_K)) && isfinite(f[i](0.3, 373.15)));
        assert_true(isnan(f[i](0.3, coldest_K - 0.1)) && isnan(f[i](0.3, 373.25)));
        if (f[i] == water_kg_m3)
            continue;
        assert_true(isfinite(f[i](0.0, DAY_K)) && isfinite(f[i](1.0, DAY_K)));
        assert_true(isnan(f[i](-0.01, DAY_K)) && isnan(f[i](1.01, DAY_K)));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(density_reading),
                                       cmocka_unit_test(titration), cmocka_unit_test(part),
                                       cmocka_unit_test(balance), cmocka_unit_test(densities)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
