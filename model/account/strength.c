#include <math.h>

#include "base/diagnosis.h"
#include "base/root.h"
#include "properties/acid.h"
#include "stage/liquid.h"

#define REFERENCE_K 293.15
#define OF_100_95 1.96    /* standard errors that hold 95 readings of 100 */
#define PRINTED_TO 0.40   /* CRC Handbook, 102nd ed. */
#define CONFIRMED_TO 0.70 /* 68 wt% is the last point confirmed in print */
#define FLAT_FROM 0.85    /* above: less than 3 kg/m3 for 1 wt% */
#define COLDEST_K 263.15  /* the points behind the fit: -10 to 95 degC */
#define HOTTEST_K 368.15
#define NO2_KG_M3 480.0 /* per mass fraction; see noxwash.h */
#define NO2_KG_M3_ERROR 50.0
#define HNO2_ERROR 0.25 /* of its own mass; judgement */
#define H2O2_ERROR 0.05 /* of what it adds to the density; judgement */
#define WIDTH 1e-13
#define LIGHTEST_KG_M3 500.0 /* nothing that is read lies outside, by far */
#define HEAVIEST_KG_M3 2500.0
#define DENSITY_ERROR_MOST_KG_M3 1000.0
#define TEMPERATURE_ERROR_MOST_K 100.0

enum nxw_strength_basis nxw_strength_basis(double mass_fraction)
{
    if (!(mass_fraction >= 0.0))
        return NXW_STRENGTH_FLAT;
    if (mass_fraction <= PRINTED_TO)
        return NXW_STRENGTH_PRINTED;
    if (mass_fraction <= CONFIRMED_TO)
        return NXW_STRENGTH_CONFIRMED;
    return mass_fraction <= FLAT_FROM ? NXW_STRENGTH_REMEMBERED : NXW_STRENGTH_FLAT;
}

static double between(double x, double x0, double x1, double y0, double y1)
{
    const double share = fmin(fmax((x - x0) / (x1 - x0), 0.0), 1.0);
    return y0 + share * (y1 - y0);
}

double nxw_acid_density_error_kg_m3(double mass_fraction, double temperature_K)
{
    if (isnan(nxw_acid_density_kg_m3(mass_fraction, temperature_K)))
        return (double)NAN;
    const double away_K = temperature_K - REFERENCE_K;
    const double row =
        between(mass_fraction, 0.40, 0.45, 0.5, 0.6) + between(mass_fraction, 0.65, 0.70, 0.0, 1.4);
    const double slope =
        (away_K < 0.0 ? -0.1 : 0.06) * between(mass_fraction, 0.65, 0.70, 1.0, 3.0);
    return 0.5 * (row + slope * away_K);
}

/* The acid to find, and what is known to be in the liquid beside it. */
struct sought {
    const struct nxw_density_reading *reading;
    double density_kg_m3, temperature_K;
};

/* Density of the liquid without its NO2, less what is wanted; s: HNO3 and HNO2 together. */
static double excess(double s, void *user)
{
    const struct sought *sought = user;
    const double H2O2 = sought->reading->H2O2_mass_fraction;
    const double rho = H2O2 > 0.0 ? nxw_liquid_density_curve_kg_m3(s, H2O2, sought->temperature_K)
                                  : nxw_acid_density_curve_kg_m3(s, sought->temperature_K);
    return rho - sought->density_kg_m3;
}

/* Density read, without the NO2 in it. */
static double without_NO2(const struct nxw_density_reading *r, double density_kg_m3)
{
    return density_kg_m3 - NO2_KG_M3 * r->NO2_mass_fraction;
}

/* HNO3 in the whole liquid from the solute found in the liquid without its NO2. */
static double whole(const struct nxw_density_reading *r, double s)
{
    return s * (1.0 - r->NO2_mass_fraction) - r->HNO2_mass_fraction;
}

/* HNO3 and HNO2 as a mass fraction of the liquid without NO2; NAN outside 0 to FLAT_FROM. */
static double solute(const struct nxw_density_reading *r, double density_kg_m3,
                     double temperature_K)
{
    struct sought sought = {r, without_NO2(r, density_kg_m3), temperature_K};
    double s;
    (void)nxw_root(excess, &sought, 0.0, FLAT_FROM, WIDTH, &s); /* NAN when it fails */
    return s;
}

static enum nxw_status refuse(struct nxw_diagnosis *d, const char *text)
{
    return nxw_refuse(d, NXW_ERROR_RANGE, "%s", text);
}

static enum nxw_status refuse_light(struct nxw_diagnosis *d, double found_kg_m3, double least_kg_m3,
                                    double temperature_K)
{
    return nxw_refuse(
        d, NXW_ERROR_RANGE,
        "%.4f g/cm3 is lighter than the liquid would be without any acid, %.4f g/cm3 at %.1f degC, "
        "and by more than the errors; look again at the scale of the hydrometer and at the "
        "temperature",
        1e-3 * found_kg_m3, 1e-3 * least_kg_m3, temperature_K - 273.15);
}

static enum nxw_status refuse_flat(struct nxw_diagnosis *d, double found_kg_m3, double flat_kg_m3,
                                   double temperature_K)
{
    return nxw_refuse(
        d, NXW_ERROR_RANGE,
        "%.4f g/cm3 is more than %.4f g/cm3, acid of %.0f wt%% at %.1f degC; above it the curve is "
        "too flat to read a strength from (1 wt%% changes the density by less than 0.003 g/cm3, "
        "and dissolved NO2 by more): titrate",
        1e-3 * found_kg_m3, 1e-3 * flat_kg_m3, 100.0 * FLAT_FROM, temperature_K - 273.15);
}

/* d(density)/d(solute) and d(density)/dT of the curve, by differences. */
static void slopes(const struct nxw_density_reading *r, double s, double *by_solute,
                   double *by_temperature)
{
    struct sought sought = {r, 0.0, r->temperature_K};
    const double step = 1e-4, low = fmax(s - step, 0.0);
    *by_solute = (excess(s + step, &sought) - excess(low, &sought)) / (s + step - low);
    sought.temperature_K = r->temperature_K + 0.1;
    const double warm = excess(s, &sought);
    sought.temperature_K = r->temperature_K - 0.1;
    *by_temperature = (warm - excess(s, &sought)) / 0.2;
}

/* Standard errors; returned: all of them together in kg/m3, where the interval is drawn. */
static double fill_errors(const struct nxw_density_reading *r, double s, struct nxw_strength *out)
{
    double by_solute, by_temperature;
    slopes(r, s, &by_solute, &by_temperature);
    struct sought plain = {r, 0.0, r->temperature_K};
    const double peroxide_kg_m3 =
        excess(s, &plain) - nxw_acid_density_curve_kg_m3(s, r->temperature_K);
    const double NO2_kg_m3 = NO2_KG_M3_ERROR * r->NO2_mass_fraction;
    const double HNO2_kg_m3 = HNO2_ERROR * r->HNO2_mass_fraction * by_solute;
    const double reading = r->density_error_kg_m3;
    const double temperature = fabs(by_temperature) * r->temperature_error_K;
    const double table = nxw_acid_density_error_kg_m3(s, r->temperature_K);
    const double other = hypot(hypot(NO2_kg_m3, HNO2_kg_m3), H2O2_ERROR * peroxide_kg_m3);
    const double all = hypot(hypot(reading, temperature), hypot(table, other));
    const double to_w = (1.0 - r->NO2_mass_fraction) / by_solute;
    out->reading_error = reading * to_w;
    out->temperature_error = temperature * to_w;
    out->table_error = table * to_w;
    out->other_error = other * to_w;
    out->standard_error = all * to_w;
    return all;
}

static void fill_interval(const struct nxw_density_reading *r, double s, double all_kg_m3,
                          struct nxw_strength *out)
{
    const double width = OF_100_95 * all_kg_m3;
    const double low = solute(r, r->density_kg_m3 - width, r->temperature_K);
    const double high = solute(r, r->density_kg_m3 + width, r->temperature_K);
    out->low = isnan(low) ? 0.0 : fmax(whole(r, low), 0.0);
    out->high_is_open = isnan(high);
    out->high = whole(r, isnan(high) ? FLAT_FROM : high);
    out->mass_fraction = whole(r, s);
}

static void fill_rest(const struct nxw_density_reading *r, double s, struct nxw_strength *out)
{
    out->basis = nxw_strength_basis(s);
    out->kg_m3 = out->mass_fraction * r->density_kg_m3;
    out->mol_m3 = out->kg_m3 / NXW_MOLAR_MASS_HNO3_KG_MOL;
    const struct sought here = {r, 0.0, r->temperature_K}, cool = {r, 0.0, REFERENCE_K};
    out->density_20_kg_m3 = r->density_kg_m3 + excess(s, (void *)&cool) - excess(s, (void *)&here);
}

static bool is_share(double x) { return x >= 0.0 && x < 1.0; }

/* What is no reading at all. */
static enum nxw_status check(const struct nxw_density_reading *r, struct nxw_diagnosis *d)
{
    if (!(r->temperature_K >= COLDEST_K && r->temperature_K <= HOTTEST_K))
        return refuse(d, "the density of nitric acid is known from -10 to 95 degC");
    if (!(r->density_kg_m3 >= LIGHTEST_KG_M3 && r->density_kg_m3 <= HEAVIEST_KG_M3))
        return refuse(d, "a density lies between 0.5 and 2.5 g/cm3 (500 and 2500 kg/m3)");
    if (!(r->density_error_kg_m3 >= 0.0 && r->density_error_kg_m3 <= DENSITY_ERROR_MOST_KG_M3))
        return refuse(d, "the error of a density lies between 0 and 1 g/cm3");
    if (!(r->temperature_error_K >= 0.0 && r->temperature_error_K <= TEMPERATURE_ERROR_MOST_K))
        return refuse(d, "the error of a temperature lies between 0 and 100 K");
    if (!(is_share(r->NO2_mass_fraction) && is_share(r->HNO2_mass_fraction) &&
          is_share(r->H2O2_mass_fraction) &&
          is_share(r->NO2_mass_fraction + r->HNO2_mass_fraction + r->H2O2_mass_fraction)))
        return refuse(d, "NO2, HNO2 and H2O2 are shares of the liquid, 0 or more and together less "
                         "than 1");
    return NXW_OK;
}

enum nxw_status nxw_strength_from_density(const struct nxw_density_reading *reading,
                                          struct nxw_strength *out, struct nxw_diagnosis *diagnosis)
{
    const struct nxw_density_reading *r = reading;
    *out = (struct nxw_strength){sizeof *out, NAN, NAN, NAN, false, NAN, NAN,
                                 NAN,         NAN, NAN, NAN, NAN,   NAN, NXW_STRENGTH_FLAT};
    nxw_diagnosis_clear(diagnosis);
    const enum nxw_status status = check(r, diagnosis);
    if (status != NXW_OK)
        return status;
    struct sought sought = {r, without_NO2(r, r->density_kg_m3), r->temperature_K};
    const double at_least = excess(0.0, &sought), at_most = excess(FLAT_FROM, &sought);
    if (at_most < 0.0)
        return refuse_flat(diagnosis, sought.density_kg_m3, sought.density_kg_m3 + at_most,
                           r->temperature_K);
    double s = at_least >= 0.0 ? 0.0 : solute(r, r->density_kg_m3, r->temperature_K);
    struct nxw_strength found = {.bytes = sizeof found};
    const double all_kg_m3 = fill_errors(r, s, &found);
    if (at_least > OF_100_95 * all_kg_m3)
        return refuse_light(diagnosis, sought.density_kg_m3, sought.density_kg_m3 + at_least,
                            r->temperature_K);
    fill_interval(r, s, all_kg_m3, &found);
    if (found.high < 0.0)
        return refuse(diagnosis, "the nitrous acid given is more than all the density can hold");
    if (!(s + r->H2O2_mass_fraction <= 1.0))
        return refuse(diagnosis, "with so much peroxide no acid makes up that density");
    found.mass_fraction = fmax(found.mass_fraction, 0.0); /* none: within the errors of it */
    fill_rest(r, s, &found);
    *out = found;
    return NXW_OK;
}

struct concentration {
    double kg_m3, temperature_K;
};

static double excess_concentration(double w, void *user)
{
    const struct concentration *c = user;
    return w * nxw_acid_density_curve_kg_m3(w, c->temperature_K) - c->kg_m3;
}

enum nxw_status nxw_strength_from_concentration(double kg_m3, double temperature_K,
                                                double *mass_fraction)
{
    struct concentration c = {kg_m3, temperature_K};
    *mass_fraction = NAN;
    if (isnan(nxw_acid_density_kg_m3(0.0, temperature_K)))
        return NXW_ERROR_RANGE;
    if (!nxw_root(excess_concentration, &c, 0.0, 1.0, WIDTH, mass_fraction))
        return NXW_ERROR_RANGE;
    return NXW_OK;
}
