#include "after/strength_command.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "after/strength_report.h"
#include "noxwash.h"

/* A fault of a key, told as the option of that name. */
static enum nxw_exit option_fault(const char *key, const char *message)
{
    char option[64] = "";
    (void)snprintf(option, sizeof option, "%s", key);
    for (char *c = strchr(option, ' '); c != NULL; c = strchr(c, ' '))
        *c = '-';
    (void)fprintf(stderr, "noxwash: --%s: %s\n", option, message);
    return NXW_EXIT_USAGE;
}

static enum nxw_exit outside(const struct nxw_diagnosis *diagnosis)
{
    (void)fprintf(stderr, "noxwash: %s\n", diagnosis->text);
    return NXW_EXIT_RANGE;
}

/* A share of the liquid's mass, or mol/L of it; density_kg_m3: of the liquid. */
static bool read_solute(const char *text, double molar_mass_kg_mol, double density_kg_m3,
                        double *out, char *message)
{
    double got;
    if (nxw_quantity_read(text, NXW_DIM_CONCENTRATION, &got, message))
        got *= molar_mass_kg_mol / density_kg_m3;
    else if (!nxw_quantity_read(text, NXW_DIM_MASS_FRACTION, &got, message)) {
        if (strstr(message, "unit") != NULL)
            (void)snprintf(message, NXW_MESSAGE_LENGTH,
                           "the unit does not fit; accepted: wt%%, mol/L, mmol/L");
        return false;
    }
    if (!nxw_within(&got, 0.0, 0.3)) {
        (void)snprintf(message, NXW_MESSAGE_LENGTH, "it lies between 0 and 30 wt%%");
        return false;
    }
    *out = got;
    return true;
}

static bool read_peroxide(const char *text, double density_kg_m3, double *out, char *message)
{
    double got;
    const struct nxw_unit *unit;
    if (!nxw_quantity_read_unit(text, NXW_DIM_PEROXIDE, &got, &unit, message))
        return false;
    if (strcmp(unit->text, "wt%") != 0)
        got /= density_kg_m3; /* mass in a volume of this liquid */
    if (!nxw_within(&got, 0.0, 0.3)) {
        (void)snprintf(message, NXW_MESSAGE_LENGTH, "it lies between 0 and 30 wt%%");
        return false;
    }
    *out = got;
    return true;
}

static enum nxw_exit read_solutes(const struct nxw_strength_options *o,
                                  struct nxw_density_reading *r, bool *given)
{
    char message[NXW_MESSAGE_LENGTH];
    const double rho = r->density_kg_m3;
    *given = o->NO2 != NULL || o->HNO2 != NULL || o->peroxide != NULL;
    if (o->NO2 != NULL &&
        !read_solute(o->NO2, NXW_MOLAR_MASS_NO2_KG_MOL, rho, &r->NO2_mass_fraction, message))
        return option_fault("dissolved-NO2", message);
    if (o->HNO2 != NULL &&
        !read_solute(o->HNO2, NXW_MOLAR_MASS_HNO2_KG_MOL, rho, &r->HNO2_mass_fraction, message))
        return option_fault("nitrous-acid", message);
    if (o->peroxide != NULL && !read_peroxide(o->peroxide, rho, &r->H2O2_mass_fraction, message))
        return option_fault("left-over-peroxide", message);
    return NXW_EXIT_DONE;
}

static enum nxw_exit from_titration(const struct nxw_strength_options *o,
                                    struct nxw_strength_report *report)
{
    const char *key;
    char message[NXW_MESSAGE_LENGTH];
    struct nxw_diagnosis diagnosis;
    double temperature_K = 293.15;
    if (o->gravity.temperature != NULL &&
        !nxw_quantity_read(o->gravity.temperature, NXW_DIM_TEMPERATURE, &temperature_K, message))
        return option_fault("temperature", message);
    if (!(temperature_K >= 263.15 && temperature_K <= 368.15))
        return option_fault("temperature", "the density of nitric acid is known from -10 to "
                                           "95 degC");
    if (!nxw_titration_read(&o->titration, temperature_K, &report->titration,
                            &report->titration_error_assumed, &key, message))
        return option_fault(key, message);
    if (nxw_titration_result(&report->titration, &report->titrated, &diagnosis) != NXW_OK)
        return outside(&diagnosis);
    return NXW_EXIT_DONE;
}

/* What a reader finds who takes the number to a table for the hydrometer's own temperature. */
static double looked_up(const struct nxw_gravity *g)
{
    const struct nxw_density_reading r = {.density_kg_m3 = g->reading_kg_m3,
                                          .temperature_K = g->reference_K};
    struct nxw_strength s;
    struct nxw_diagnosis diagnosis;
    (void)nxw_strength_from_density(&r, &s, &diagnosis);
    return s.mass_fraction; /* NAN where there is none */
}

static enum nxw_exit from_density(const struct nxw_strength_options *o,
                                  struct nxw_strength_report *report)
{
    const char *key;
    char message[NXW_MESSAGE_LENGTH];
    struct nxw_diagnosis diagnosis;
    struct nxw_gravity *g = &report->gravity;
    if (!nxw_gravity_read(&o->gravity, g, &key, message))
        return option_fault(key, message);
    struct nxw_density_reading plain = g->reading;
    const enum nxw_exit code = read_solutes(o, &g->reading, &report->corrected);
    if (code != NXW_EXIT_DONE)
        return code;
    /* what the permanganate found is taken off, unless the user said otherwise */
    if (report->from_titration && report->titration.permanganate_m3 > 0.0 && !report->corrected) {
        g->reading.HNO2_mass_fraction = report->titrated.HNO2_mass_fraction;
        g->reading.H2O2_mass_fraction = report->titrated.H2O2_mass_fraction;
        report->corrected = report->solutes_from_titration = true;
    }
    (void)nxw_strength_from_density(&plain, &report->plain, &diagnosis); /* may have none */
    if (nxw_strength_from_density(&g->reading, &report->strength, &diagnosis) != NXW_OK)
        return outside(&diagnosis);
    report->look_up_mass_fraction = looked_up(g);
    return NXW_EXIT_DONE;
}

static void compare(struct nxw_strength_report *r)
{
    r->difference = r->strength.mass_fraction - r->titrated.HNO3_mass_fraction;
    r->difference_error = hypot(r->strength.standard_error, r->titrated.HNO3_mass_error);
    r->agree = fabs(r->difference) <= NXW_OF_100_95 * r->difference_error;
}

static enum nxw_exit finish_json(bool good)
{
    if (good)
        return NXW_EXIT_DONE;
    return errno == ENOMEM ? NXW_EXIT_INTERNAL : NXW_EXIT_IO;
}

static bool density_given(const struct nxw_gravity_text *g)
{
    return g->density != NULL || g->gravity != NULL || g->baume != NULL;
}

static enum nxw_exit back(const struct nxw_options *options)
{
    const struct nxw_strength_options *o = &options->strength;
    struct nxw_strength_back b = {.temperature_K = 293.15};
    char message[NXW_MESSAGE_LENGTH];
    if (o->gravity.temperature != NULL &&
        !nxw_quantity_read(o->gravity.temperature, NXW_DIM_TEMPERATURE, &b.temperature_K, message))
        return option_fault("temperature", message);
    if (!(b.temperature_K >= 263.15 && b.temperature_K <= 368.15))
        return option_fault("temperature", "the density of nitric acid is known from -10 to "
                                           "95 degC");
    if (!nxw_acid_strength_read(o->strength, b.temperature_K, &b.mass_fraction, message))
        return option_fault("strength", message);
    if (options->json)
        return finish_json(nxw_strength_back_json(stdout, &b));
    nxw_strength_back_print(stdout, &b);
    return NXW_EXIT_DONE;
}

static enum nxw_exit usage(const char *text)
{
    (void)fprintf(stderr, "noxwash: %s\n", text);
    return NXW_EXIT_USAGE;
}

/* An option that only a density reading can use; NULL: none given. */
static const char *stray(const struct nxw_gravity_text *g)
{
    return g->scale != NULL               ? "scale"
           : g->modulus != NULL           ? "modulus"
           : g->hydrometer != NULL        ? "hydrometer"
           : g->glass != NULL             ? "glass"
           : g->reading_error != NULL     ? "reading-error"
           : g->temperature_error != NULL ? "temperature-error"
                                          : NULL;
}

enum nxw_exit nxw_strength_command(const struct nxw_options *options)
{
    const struct nxw_strength_options *o = &options->strength;
    const struct nxw_gravity_text *g = &o->gravity;
    struct nxw_strength_report report = {0};
    report.from_density = density_given(g);
    report.from_titration = nxw_titration_given(&o->titration);
    const bool reads = report.from_density || report.from_titration;
    if ((int)o->chart + (int)(o->strength != NULL) + (int)reads > 1)
        return usage("--chart, --strength and a reading do not go together; one at a time");
    if (!report.from_density && stray(g) != NULL)
        return option_fault(stray(g), "it goes with a reading: --density, --gravity or --baume");
    if (o->chart && g->temperature != NULL)
        return option_fault("temperature", "the chart has columns for all of them");
    if (options->plot && (!o->chart || options->json))
        return usage("--plot draws the table of --chart on the terminal; it goes with that alone");
    if (o->chart && options->json)
        return finish_json(nxw_strength_chart_json(stdout));
    if (o->chart) {
        nxw_strength_chart_print(stdout);
        const char *why = options->plot ? nxw_strength_chart_plot() : NULL;
        if (why == NULL)
            return NXW_EXIT_DONE;
        (void)fprintf(stderr, "noxwash: no picture: %s\n", why);
        return NXW_EXIT_IO;
    }
    if (o->strength != NULL)
        return back(options);
    if (!reads)
        return usage("a reading is wanted: --density, --gravity with --scale, --baume with "
                     "--modulus, or --sample and --alkali; see noxwash strength --help");
    if (!report.from_density && (o->NO2 != NULL || o->HNO2 != NULL || o->peroxide != NULL))
        return usage("--dissolved-NO2, --nitrous-acid and --left-over-peroxide correct a density "
                     "reading; there is none");
    enum nxw_exit code = report.from_titration ? from_titration(o, &report) : NXW_EXIT_DONE;
    if (code == NXW_EXIT_DONE && report.from_density)
        code = from_density(o, &report);
    if (code != NXW_EXIT_DONE)
        return code;
    if (report.from_density && report.from_titration)
        compare(&report);
    if (options->json)
        return finish_json(nxw_strength_json(stdout, &report));
    nxw_strength_print(stdout, &report);
    return NXW_EXIT_DONE;
}
