#include <math.h>
#include <stdarg.h>
#include <string.h>

#include "after/strength_report.h"
#include "base/text_layout.h"
#include "noxwash.h"
#include "words/cautions.h"

const char *const nxw_strength_basis_texts[4] = {
    "a printed table",
    "a remembered table; a published fit agrees to 65 wt%, one printed value at 68 wt%",
    "remembered data only: confirm it in print, or titrate",
    "remembered data only, and too flat to read a strength from"};
const char *const nxw_strength_basis_names[4] = {"printed", "remembered_and_confirmed",
                                                 "remembered", "too_flat"};

enum { COLUMN = 27 };

#if defined(__GNUC__)
__attribute__((format(printf, 3, 4)))
#endif
static void
line(FILE *out, const char *name, const char *format, ...)
{
    char text[320];
    va_list arguments;
    va_start(arguments, format);
    (void)vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    char lead[64];
    (void)snprintf(lead, sizeof lead, "  %-*s", COLUMN - 2, name);
    nxw_wrap(out, lead, COLUMN, text);
}

static double celsius(double K) { return K - 273.15 + 0.0; }

/* Decimals of a wt% figure: no finer than its error. */
static int decimals(double error_mass_fraction)
{
    return error_mass_fraction * NXW_OF_100_95 >= 0.00095 ? 1 : 2;
}

static void print_scale(char out[48], const struct nxw_gravity *g)
{
    const double to_F = 1.8;
    if (fabs(g->liquid_K - (273.15 + 140.0 / 9.0)) < 1e-6)
        (void)snprintf(out, 48, "%.0f/%.0f F", celsius(g->liquid_K) * to_F + 32.0,
                       celsius(g->water_K) * to_F + 32.0);
    else
        (void)snprintf(out, 48, "%.4g/%.4g degC", celsius(g->liquid_K), celsius(g->water_K));
}

static void print_shown(FILE *out, const struct nxw_gravity *g)
{
    char scale[48];
    print_scale(scale, g);
    const double water = 1e-3 * nxw_pure_water_density_kg_m3(g->water_K);
    switch (g->kind) {
    case NXW_GRAVITY_DENSITY:
        line(out, "shown",
             g->glass ? "%.4f g/cm3, by a hydrometer made for %.1f degC"
                      : "%.4f g/cm3, taken as the true density",
             1e-3 * g->shown, celsius(g->reference_K));
        return;
    case NXW_GRAVITY_SPECIFIC:
        line(out, "shown", "specific gravity %.4f, scale %s", g->shown, scale);
        break;
    case NXW_GRAVITY_BAUME:
        line(out, "shown", "%.2f degrees Baume, modulus %.5g", g->shown, g->modulus);
        line(out, "as specific gravity", "%.4f, scale %s", g->specific, scale);
        break;
    }
    line(out, "as density", "%.4f g/cm3 (water at %.1f degC has %.4f g/cm3)",
         1e-3 * g->reading_kg_m3, celsius(g->water_K), water);
}

static void print_reading(FILE *out, const struct nxw_strength_report *r)
{
    const struct nxw_gravity *g = &r->gravity;
    const double T = g->reading.temperature_K, away_K = T - g->reference_K;
    (void)fputs("\nReading\n", out);
    print_shown(out, g);
    line(out, "liquid's temperature", "%.1f degC", celsius(T));
    if (g->glass && fabs(away_K) >= 0.05)
        line(out, "glass", "%+.4f g/cm3: %s than at %.1f degC, the hydrometer is %s",
             1e-3 * (g->reading.density_kg_m3 - g->reading_kg_m3),
             away_K > 0.0 ? "warmer" : "colder", celsius(g->reference_K),
             away_K > 0.0 ? "bigger" : "smaller");
    line(out, "density", "%.4f g/cm3 at %.1f degC", 1e-3 * g->reading.density_kg_m3, celsius(T));
    line(out, "the same liquid", "%.4f g/cm3 at 20.0 degC", 1e-3 * r->strength.density_20_kg_m3);
    const double plain =
        isnan(r->plain.mass_fraction) ? r->strength.mass_fraction : r->plain.mass_fraction;
    const int digits = decimals(r->strength.standard_error);
    const double wrong = r->look_up_mass_fraction - plain;
    if (fabs(away_K) >= 0.05 && isfinite(wrong))
        line(out, "heat correction",
             "%+.2f wt%%: the number as shown, looked up for %.1f degC, would have given "
             "%.*f wt%% in place of %.*f wt%%%s: %s",
             -100.0 * wrong, celsius(g->reference_K), digits, 100.0 * r->look_up_mass_fraction,
             digits, 100.0 * plain,
             plain > r->strength.mass_fraction ? " (before anything is taken off)" : "",
             wrong < 0.0 ? "too weak" : "too strong");
    else if (fabs(away_K) >= 0.05)
        line(out, "heat correction",
             "the number as shown, looked up for %.1f degC, would have "
             "given no strength at all",
             celsius(g->reference_K));
}

static void print_solutes(FILE *out, const struct nxw_strength_report *r)
{
    if (!r->corrected)
        return;
    const struct nxw_density_reading *d = &r->gravity.reading;
    (void)fprintf(out, "\nTaken off%s\n",
                  r->solutes_from_titration ? ", as the permanganate found it" : "");
    if (d->NO2_mass_fraction > 0.0)
        line(out, "dissolved NO2",
             "%.2f wt%%, by 0.0048 +- 0.001 g/cm3 for 1 wt%%: a figure from fuming acid, the only "
             "one published; %s",
             100.0 * d->NO2_mass_fraction,
             r->strength.mass_fraction < 0.5
                 ? "acid as weak as this turns NO2 into nitrous acid: use --nitrous-acid"
                 : "it was not measured at this strength");
    if (d->HNO2_mass_fraction > 0.0)
        line(out, "nitrous acid",
             "%.2f wt%%, taken to weigh as nitric acid does, +-50 %% (no figure is published)",
             100.0 * d->HNO2_mass_fraction);
    if (d->H2O2_mass_fraction > 0.0)
        line(out, "peroxide", "%.2f wt%%, by the density of peroxide solutions, +-10 %%",
             100.0 * d->H2O2_mass_fraction);
    if (isfinite(r->plain.mass_fraction))
        line(out, "without that", "%.*f wt%% would have been read",
             decimals(r->plain.standard_error), 100.0 * r->plain.mass_fraction);
}

static void print_litre(FILE *out, double mol_m3, double kg_m3, double temperature_K)
{
    char mol[NXW_AMOUNT_LENGTH], g[NXW_AMOUNT_LENGTH];
    nxw_number_text(1e-3 * mol_m3, 3, mol);
    nxw_number_text(kg_m3, 3, g);
    line(out, "in a litre", "%s mol, %s g, at %.1f degC", mol, g, celsius(temperature_K));
}

static void print_strength(FILE *out, const struct nxw_strength_report *r)
{
    const struct nxw_strength *s = &r->strength;
    const int n = decimals(s->standard_error);
    const double T = r->gravity.reading.temperature_K;
    (void)fputs("Strength by density\n", out);
    line(out, "nitric acid", "%.*f wt%% HNO3", n, 100.0 * s->mass_fraction);
    line(out, "95 times of 100", "between %.*f and %.*f wt%%%s", n, 100.0 * s->low, n,
         100.0 * s->high, s->high_is_open ? ", or more: the curve ends there" : "");
    print_litre(out, s->mol_m3, s->kg_m3, T);
    if (s->low == 0.0)
        line(out, "", "the density cannot tell this liquid from one without nitric acid");
}

static void print_errors(FILE *out, const struct nxw_strength_report *r)
{
    const struct nxw_strength *s = &r->strength;
    const struct nxw_gravity *g = &r->gravity;
    (void)fputs("\nWhere its error comes from (95 times of 100)\n", out);
    static const char *const unit[] = {" g/cm3", "", " degrees"};
    const double shown = g->kind == NXW_GRAVITY_DENSITY ? 1e-3 * g->shown_error : g->shown_error;
    const double w = 100.0 * NXW_OF_100_95;
    line(out, "the reading", "+-%.2f wt%%, from +-%.3g%s%s", w * s->reading_error, shown,
         unit[g->kind], g->shown_error_assumed ? " (assumed; --reading-error)" : "");
    line(out, "the temperature", "+-%.2f wt%%, from +-%.3g K%s", w * s->temperature_error,
         NXW_OF_100_95 * g->reading.temperature_error_K,
         g->temperature_error_assumed ? " (assumed; --temperature-error)" : "");
    line(out, "the density curve", "+-%.2f wt%%; here it is %s", w * s->table_error,
         nxw_strength_basis_texts[s->basis]);
    if (r->corrected)
        line(out, "what was taken off", "+-%.2f wt%%", w * s->other_error);
    line(out, "together", "+-%.2f wt%%", w * s->standard_error);
}

static void print_titration(FILE *out, const struct nxw_strength_report *r)
{
    const struct nxw_titrated *t = &r->titrated;
    const struct nxw_titration *in = &r->titration;
    (void)fprintf(out, "%sStrength by titration\n", r->from_density ? "\n" : "");
    line(out, "all acid, by alkali", "%.3g mol/L", 1e-3 * t->acid_mol_m3);
    if (in->permanganate_m3 > 0.0)
        line(out, in->permanganate_finds_peroxide ? "peroxide" : "of it nitrous acid",
             "%.3g mol/L, %.2f wt%%, by permanganate", 1e-3 * (t->H2O2_mol_m3 + t->HNO2_mol_m3),
             100.0 * (t->H2O2_mass_fraction + t->HNO2_mass_fraction));
    const int n = decimals(t->HNO3_mass_error);
    line(out, "nitric acid", "%.*f wt%% HNO3, +-%.2f wt%% 95 times of 100 (each titre +-%.2g %%%s)",
         n, 100.0 * t->HNO3_mass_fraction, 100.0 * NXW_OF_100_95 * t->HNO3_mass_error,
         100.0 * NXW_OF_100_95 * in->relative_error,
         r->titration_error_assumed ? ", assumed; --titration-error" : "");
    print_litre(out, t->HNO3_mol_m3, t->HNO3_mol_m3 * NXW_MOLAR_MASS_HNO3_KG_MOL,
                in->temperature_K);
    if (in->permanganate_m3 == 0.0)
        line(out, "",
             "alkali counts nitrous acid as acid too: if the liquid is blue or green, or "
             "held no peroxide during the run, titrate a second sample with permanganate");
}

static void print_comparison(FILE *out, const struct nxw_strength_report *r)
{
    (void)fputs("\nDensity against titration\n", out);
    line(out, "difference",
         "%+.2f wt%% (density less titration); the two errors allow "
         "+-%.2f wt%% 95 times of 100",
         100.0 * r->difference, 100.0 * NXW_OF_100_95 * r->difference_error);
    if (r->agree) {
        line(out, "",
             "they agree; the titration is the better of the two where its error is "
             "smaller");
        return;
    }
    line(out, "",
         r->difference > 0.0
             ? "they do not agree: the density reads more acid than the titration found. "
               "Believe the titration. Dissolved NO2, left-over peroxide or dissolved "
               "metal salts make the liquid heavier; bubbles lift the hydrometer; or the "
               "liquid was colder than the thermometer said"
             : "they do not agree: the density reads less acid than the titration found. "
               "Look at the scale of the hydrometer, at the strength of the alkali, and "
               "whether the liquid was warmer than the thermometer said");
}

/* What a density cannot tell apart, with its size at this strength. */
static void print_warnings(FILE *out, const struct nxw_strength_report *r)
{
    const struct nxw_strength *s = &r->strength;
    const double T = r->gravity.reading.temperature_K, w = s->mass_fraction, step = 1e-3;
    const double slope = (nxw_acid_density_kg_m3(w + step, T) - nxw_acid_density_kg_m3(w, T)) /
                         step; /* kg/m3 per mass fraction */
    const double peroxide =
        (nxw_liquid_density_kg_m3(w, 0.01, T) - nxw_acid_density_kg_m3(w, T)) / slope;
    (void)fputs("\nWhat a density cannot tell\n", out);
    nxw_wrapf(out, "  ! ", 4,
              "Orange or brown: dissolved NO2 reads as acid. In fuming acid 1 wt%% of it adds "
              "0.0048 g/cm3, which here would read as %.1f wt%% of acid (--dissolved-NO2).%s",
              100.0 * 4.8 / slope,
              w < 0.5 ? " Acid as weak as this turns it into nitrous acid." : "");
    nxw_wrap(out, "  ! ", 4,
             "Blue or green: nitrous acid reads as acid, about weight for weight (no figure is "
             "published; --nitrous-acid). It gives off gas while it stands.");
    nxw_wrapf(out, "  ! ", 4,
              "Left-over peroxide reads as acid: 1 wt%% of it as %.1f wt%% here "
              "(--left-over-peroxide).",
              100.0 * peroxide);
    nxw_wrap(out, "  ! ", 4,
             "Bubbles that cling to the hydrometer lift it: the reading comes out too strong. Let "
             "the liquid become still, open to the hood.");
    if (!r->from_titration)
        nxw_wrap(
            out, "  * ", 4,
            "Titration is the better way: all acid with alkali, nitrous acid or peroxide with "
            "permanganate (run the liquid into the permanganate, cold, or nitrous acid escapes: "
            "common practice). Give --sample, --alkali, --alkali-strength here.");
}

void nxw_strength_print(FILE *out, const struct nxw_strength_report *r)
{
    if (r->from_density) {
        print_strength(out, r);
        print_reading(out, r);
        print_solutes(out, r);
        print_errors(out, r);
    }
    if (r->from_titration)
        print_titration(out, r);
    if (r->from_density && r->from_titration)
        print_comparison(out, r);
    if (r->from_density)
        print_warnings(out, r);
    const double w = r->from_titration ? r->titrated.HNO3_mass_fraction : r->strength.mass_fraction;
    nxw_regulated_print(out, w);
    (void)fputs("\n", out);
    nxw_cautions_print(out, NULL);
}
