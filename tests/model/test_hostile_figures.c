/* Layer (b): properties, and figures by name, over numbers that no bench gives. */
#include <glob.h>

#include "../hostile.h"
#include "selftest/quantity.h"

/* ------------------------------------------------------------------------------ properties */

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
    assert_int_equal(glob(NXW_SOURCE_DIR "/cli/selftest/quantity_*.c", 0, NULL, &found), 0);
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

#define FIGURES(X) HOSTILE_FIGURES(X) HOSTILE_QUANTITIES(X)

HOSTILE_MAIN(FIGURES)
