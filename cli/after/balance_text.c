#include <math.h>
#include <string.h>

#include "after/balance_report.h"
#include "base/text_layout.h"
#include "noxwash.h"
#include "words/cautions.h"

#define MASS NXW_MOLAR_MASS_HNO3_KG_MOL

static void row(FILE *out, const char *name, double mol, double error_mol, double available_mol)
{
    (void)fprintf(out, "  %-24.24s %9.4f  +-%7.4f %9.1f %%\n", name, mol + 0.0,
                  NXW_OF_100_95 * error_mol, 100.0 * mol / available_mol + 0.0);
}

static void print_account(FILE *out, const struct nxw_balance_report *r)
{
    const struct nxw_run *run = r->run;
    const struct nxw_balance *a = &r->account;
    (void)fprintf(out, "Account of nitrogen: %s\n\n  %-24s %9s  %9s  %10s\n",
                  run->name[0] != '\0' ? run->name : r->path, "", "mol N", "95 of 100", "share");
    row(out, run->available_error_assumed ? "available, error assumed" : "available",
        run->available_mol, run->available_error_mol, run->available_mol);
    if (run->acid_put_in_mol > 0.0)
        (void)fprintf(out, "  %-24s %9.4f\n", "  of it acid put in", run->acid_put_in_mol);
    for (size_t p = 0; p < run->n_places; p++)
        row(out, run->places[p], a->found_mol[p], a->found_error_mol[p], run->available_mol);
    row(out, "found together", a->total_mol, a->total_error_mol, run->available_mol);
    row(out, "unexplained", a->unexplained_mol, a->unexplained_error_mol, run->available_mol);
    if (run->metal[0] != '\0')
        nxw_wrapf(
            out, "  ", 2,
            "Available is what the acid brought less %.4f mol N that the %s binds as nitrate: "
            "that stays in the vessel, and so does acid in excess, unless it was read.",
            run->metal_bound_mol, run->metal);
}

/* One reading in the words of the bench. */
static void reading_words(const struct nxw_found *f, char *out, size_t size)
{
    static const char *const unit[] = {" g/cm3", "", " degrees Baume"};
    const struct nxw_gravity *g = &f->gravity;
    switch (f->kind) {
    case NXW_FOUND_NITROGEN:
        (void)snprintf(out, size, "given as nitrogen");
        break;
    case NXW_FOUND_TITRATION:
        (void)snprintf(out, size, "by titration, %.3g mol/L", 1e-3 * f->titrated.acid_mol_m3);
        break;
    case NXW_FOUND_DENSITY:
        (void)snprintf(out, size, "by %s%.5g%s at %.1f degC, %.1f wt%%",
                       g->kind == NXW_GRAVITY_SPECIFIC ? "specific gravity " : "",
                       g->kind == NXW_GRAVITY_DENSITY ? 1e-3 * g->shown : g->shown, unit[g->kind],
                       g->reading.temperature_K - 273.15, 100.0 * f->strength.mass_fraction);
        break;
    }
}

static void print_readings(FILE *out, const struct nxw_balance_report *r)
{
    const struct nxw_run *run = r->run;
    bool assumed = false;
    (void)fputs("\nReadings\n", out);
    for (size_t i = 0; i < run->n_found; i++) {
        const struct nxw_found *f = &run->found[i];
        char words[120];
        reading_words(f, words, sizeof words);
        assumed |= f->error_assumed;
        nxw_wrapf(out, "  ", 4, "%zu. %s, %s: %.4f mol N, +-%.4f mol%s", i + 1,
                  run->places[f->place], words, f->nitrogen_mol, NXW_OF_100_95 * f->error_mol,
                  f->error_assumed ? " (*)" : "");
    }
    if (assumed)
        (void)fputs("  (*) error of its amount not given: 1 % is assumed\n", out);
}

/* What a density would have to show for the reading to hold so much nitrogen. */
static void needed(const struct nxw_found *f, double nitrogen_mol, char *out, size_t size)
{
    static const char *const unit[] = {" g/cm3", "", " degrees Baume"};
    const struct nxw_gravity *g = &f->gravity;
    const double T = g->reading.temperature_K;
    double w = NAN;
    out[0] = '\0';
    if (f->kind != NXW_FOUND_DENSITY || nitrogen_mol < 0.0)
        return;
    if (f->mass_kg > 0.0)
        w = nitrogen_mol * MASS / f->mass_kg;
    else
        (void)nxw_strength_from_concentration(nitrogen_mol * MASS / f->volume_m3, T, &w);
    if (isnan(w))
        return;
    const double shown = nxw_gravity_shown(g, nxw_acid_density_kg_m3(w, T), T);
    const double less = nitrogen_mol / f->nitrogen_mol;
    (void)snprintf(out, size,
                   "; that is %.1f wt%%, the instrument at %.5g%s, or else %.4g %s of liquid",
                   100.0 * w, g->kind == NXW_GRAVITY_DENSITY ? 1e-3 * shown : shown, unit[g->kind],
                   less * (f->mass_kg > 0.0 ? 1e3 * f->mass_kg : 1e6 * f->volume_m3),
                   f->mass_kg > 0.0 ? "g" : "mL");
}

/* The refusal: what cannot all be true, and what each would have to be. */
static void print_refusal(FILE *out, const struct nxw_balance_report *r)
{
    const struct nxw_run *run = r->run;
    const struct nxw_balance *a = &r->account;
    const double over_mol = -a->unexplained_mol;
    (void)fputs("\nNot believed\n", out);
    nxw_wrapf(out, "  ! ", 4,
              "%.4f mol N were found, but only %.4f mol N were available: %.4f mol N too much, and "
              "the errors allow %.4f mol. Nitrogen does not come from nothing; these readings "
              "cannot all be true. One of them would have to be otherwise:",
              a->total_mol, run->available_mol, over_mol, NXW_OF_100_95 * a->unexplained_error_mol);
    nxw_wrapf(out, "  - ", 4, "available: at least %.4f mol N, instead of %.4f mol N", a->total_mol,
              run->available_mol);
    for (size_t i = 0; i < run->n_found; i++) {
        const struct nxw_found *f = &run->found[i];
        const double most_mol = a->found_mol[f->place] - over_mol;
        char words[160];
        if (most_mol < 0.0) {
            nxw_wrapf(out, "  - ", 4,
                      "%s (reading %zu): even none at all would not mend it, by itself",
                      run->places[f->place], i + 1);
            continue;
        }
        needed(f, most_mol, words, sizeof words);
        nxw_wrapf(out, "  - ", 4, "%s (reading %zu): at most %.4f mol N, instead of %.4f mol N%s",
                  run->places[f->place], i + 1, most_mol, f->nitrogen_mol, words);
    }
    nxw_wrap(
        out, "  ", 2,
        "Look for: liquid counted twice, a volume in the wrong unit, acid already in the "
        "bottle before the run, a hot reading without its temperature, NO2 or peroxide read as "
        "acid. No yield and no cost is given.");
}

/* Two readings of one place that cannot both be true, and what each would have to be. */
static void print_disagreement(FILE *out, const struct nxw_balance_report *r)
{
    const struct nxw_run *run = r->run;
    for (size_t i = 0; i < run->n_found; i++)
        for (size_t k = i + 1; k < run->n_found; k++) {
            const struct nxw_found *a = &run->found[i], *b = &run->found[k];
            const double apart = fabs(a->nitrogen_mol - b->nitrogen_mol);
            const double allowed = NXW_OF_100_95 * hypot(a->error_mol, b->error_mol);
            char a_words[160], b_words[160];
            if (a->place != b->place || apart <= allowed)
                continue;
            needed(a, b->nitrogen_mol, a_words, sizeof a_words);
            needed(b, a->nitrogen_mol, b_words, sizeof b_words);
            nxw_wrapf(
                out, "  ! ", 4,
                "Readings %zu and %zu, both of '%s', cannot both be true: they are %.4f mol N "
                "apart, and their errors allow %.4f mol. Reading %zu would have to hold "
                "%.4f mol N%s; or reading %zu %.4f mol N%s.",
                i + 1, k + 1, run->places[a->place], apart, allowed, i + 1, b->nitrogen_mol,
                a_words, k + 1, a->nitrogen_mol, b_words);
        }
}

static void print_suspect(FILE *out, const struct nxw_balance_report *r)
{
    const struct nxw_run *run = r->run;
    const struct nxw_balance *a = &r->account;
    if (!a->has_suspect)
        return;
    if (a->degrees == 1) {
        nxw_wrap(out, "  ! ", 4,
                 "With one reading to spare it can be told that something is wrong, "
                 "but not what; a third reading would.");
        return;
    }
    if (a->suspect < run->n_found)
        nxw_wrapf(out, "  ! ", 4,
                  "Most likely wrong: reading %zu, %s (%.1f standard errors from what the others "
                  "say).",
                  a->suspect + 1, run->places[run->found[a->suspect].place],
                  fabs(a->standardised[a->suspect]));
    else
        nxw_wrapf(out, "  ! ", 4,
                  "Most likely wrong: what was available (%.1f standard errors from what the "
                  "readings say).",
                  fabs(a->standardised_available));
}

static void print_checks(FILE *out, const struct nxw_balance_report *r)
{
    const struct nxw_run *run = r->run;
    const struct nxw_balance *a = &r->account;
    size_t wrong;
    const size_t judged = nxw_masses_judged(r, &wrong);
    const bool clash = wrong > 0 || !r->believed;
    (void)fputs("\nDo the readings check each other?\n", out);
    if (a->degrees == 0) {
        nxw_wrapf(out, "  ", 2,
                  "%s there is no reading more than is needed, so none%s can be shown wrong%s. A "
                  "second reading of a bottle (titrate it), or reading every place and saying "
                  "'complete: yes', would check %s.",
                  judged == 0 && clash ? "Only against what was available, and they cannot all be "
                                         "right. Among them"
                  : judged == 0        ? "No:"
                  : clash              ? "Yes, and they cannot all be right. Of the nitrogen"
                                       : "In part. Of the nitrogen",
                  judged == 0 && !clash ? "" : " of these",
                  judged > 0 ? " by another; the masses do check"
                  : clash    ? " by another"
                             : "",
                  judged == 0 ? "the account" : "the nitrogen");
        nxw_balance_mass_print(out, r);
        return;
    }
    char share[NXW_AMOUNT_LENGTH];
    nxw_percent_text(fmax(a->probability, 1e-5), 2, share);
    nxw_wrapf(out, "  ", 2,
              "Chi-square %.2f with %zu to spare: honest errors give so much or more in %s of "
              "runs.%s",
              a->chi_square, a->degrees, share,
              a->probability < 0.05 ? " That is hard to believe."
              : wrong > 0           ? " The nitrogen readings agree; the masses do not."
                                    : " They agree.");
    print_suspect(out, r);
    print_disagreement(out, r);
    nxw_balance_mass_print(out, r);
    if (!run->complete)
        return;
    (void)fputs(wrong > 0 ? "  The nitrogen closed by least squares, as if the masses were right:\n"
                          : "  Closed by least squares:\n",
                out);
    const double c = run->available_error_mol, all = a->unexplained_error_mol;
    row(out, "available", a->available_closed_mol, c * sqrt(fmax(1.0 - c * c / (all * all), 0.0)),
        run->available_mol);
    for (size_t p = 0; p < run->n_places; p++)
        row(out, run->places[p], a->closed_mol[p], a->closed_error_mol[p], run->available_mol);
}

static void print_unexplained(FILE *out, const struct nxw_balance_report *r)
{
    const struct nxw_balance *a = &r->account;
    const double error = NXW_OF_100_95 * a->unexplained_error_mol;
    if (r->run->complete)
        return;
    (void)fputs("\n", out);
    size_t wrong;
    (void)nxw_masses_judged(r, &wrong);
    if (fabs(a->unexplained_mol) <= error && wrong > 0)
        nxw_wrap(
            out, "  ", 2,
            "What nitrogen is unexplained lies within the errors, but the mass of a bottle does "
            "not agree (see below): the account does not close.");
    else if (fabs(a->unexplained_mol) <= error)
        nxw_wrap(out, "  ", 2,
                 "What is unexplained lies within the errors: the account closes as far as the "
                 "readings can tell.");
    else
        nxw_wrapf(out, "  ", 2,
                  "Between %.4f and %.4f mol N are in places that were not read: the vent, the "
                  "vessel, tubes, gas in the bottles, nitrous acid that a density does not tell.",
                  fmax(a->unexplained_mol - error, 0.0), a->unexplained_mol + error);
}

static void yield_row(FILE *out, const char *name, double mol, double available_mol)
{
    if (isnan(mol))
        (void)fprintf(out, "  %-24s not read\n", name);
    else
        (void)fprintf(out, "  %-24s %8.2f g HNO3 %8.1f %% of what was available\n", name,
                      1e3 * mol * MASS, 100.0 * mol / available_mol);
}

/* "receiver, vent" of the places for which that holds; returns how many. */
static size_t list_places(const struct nxw_run *run, bool product, bool by_nitrogen, char *out,
                          size_t size)
{
    size_t n = 0;
    out[0] = '\0';
    for (size_t p = 0; p < run->n_places; p++) {
        const size_t used = strlen(out);
        if (nxw_place_is_product(run->places[p]) != product ||
            (by_nitrogen && !nxw_place_is_by_nitrogen(run, p)))
            continue;
        (void)snprintf(out + used, size - used, "%s'%s'", n == 0 ? "" : ", ", run->places[p]);
        n++;
    }
    return n;
}

/* Which places are product, and what their nitrogen is taken for. */
static void print_counted(FILE *out, const struct nxw_run *run)
{
    char names[NXW_BALANCE_PLACES_MAX * 52];
    if (list_places(run, true, true, names, sizeof names) > 0)
        nxw_wrapf(out, "  ", 2,
                  "Given as nitrogen, and all of it counted as nitric acid: %s. Nitrous acid among "
                  "it would make the yield smaller, and its cost higher; a titration tells.",
                  names);
    if (list_places(run, false, false, names, sizeof names) > 0)
        nxw_wrapf(out, "  ", 2,
                  "Not counted as yield: %s. Product are the places whose name begins with "
                  "'receiver', 'scrubber' or 'bottle'.",
                  names);
}

static void print_yields(FILE *out, const struct nxw_balance_report *r)
{
    const struct nxw_yields y = nxw_balance_yields(r);
    const double charge_mol = r->run->available_mol - r->run->acid_put_in_mol;
    (void)fputs(r->run->acid_put_in_mol > 0.0 ? "\nYield, acid put in taken off\n" : "\nYield\n",
                out);
    yield_row(out, "receiver", y.receiver_mol, charge_mol);
    yield_row(out, "scrubber", y.scrubber_mol, charge_mol);
    yield_row(out, "both", y.both_mol, charge_mol);
    size_t wrong;
    (void)nxw_masses_judged(r, &wrong);
    if (wrong > 0)
        nxw_wrap(out, "  ! ", 4,
                 "Yield and cost rest on amounts that cannot all be right: see the mass above.");
    if (isfinite(y.both_mol) && y.receiver_mol > 0.0)
        nxw_wrapf(out, "  ", 2,
                  "Extra yield owed to the scrubber: %.2f g HNO3, %.1f %% of what the receiver "
                  "holds.",
                  1e3 * y.scrubber_mol * MASS, 100.0 * y.scrubber_mol / y.receiver_mol);
    print_counted(out, r->run);
}

void nxw_balance_print(FILE *out, const struct nxw_balance_report *r)
{
    print_account(out, r);
    print_readings(out, r);
    nxw_balance_put_in_print(out, r);
    if (!r->believed)
        print_refusal(out, r);
    else
        print_unexplained(out, r);
    print_checks(out, r);
    if (r->believed) {
        print_yields(out, r);
        nxw_balance_cost_print(out, r);
    }
    if (r->expectation != NULL)
        nxw_expectation_print(out, r->expectation);
    else if (r->run->log_given)
        (void)fputs("\n  The log of times and temperatures is only used beside a case.\n", out);
    if (r->next != NULL)
        nxw_balance_next_print(out, r);
    (void)fputs("\n", out);
    nxw_cautions_print(out, &(struct nxw_caution_for){.metal = nxw_run_metal(r->run)});
}
