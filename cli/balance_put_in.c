/* What was put into a place against what was found there after the run. */
#include <math.h>
#include <string.h>

#include "balance_read.h"
#include "balance_report.h"
#include "report_words.h"
#include "text_layout.h"

#define MOST_PEROXIDE 0.3 /* mass fraction that a density is corrected for */

/* Mass of the liquid of a reading; NAN: the reading tells none. */
static double reading_kg(const struct nxw_found *f)
{
    if (f->mass_kg > 0.0)
        return f->mass_kg;
    if (f->kind == NXW_FOUND_DENSITY)
        return f->volume_m3 * f->gravity.reading.density_kg_m3;
    if (f->kind != NXW_FOUND_TITRATION)
        return (double)NAN;
    const struct nxw_titrated *t = &f->titrated;
    return f->volume_m3 * nxw_liquid_density_kg_m3(t->HNO3_mass_fraction + t->HNO2_mass_fraction,
                                                   t->H2O2_mass_fraction, f->temperature_K);
}

/* Of its amount, and of the density where that makes a mass of a volume. */
static double reading_error_kg(const struct nxw_found *f)
{
    const double density_kg_m3 =
        f->kind == NXW_FOUND_DENSITY ? f->gravity.reading.density_error_kg_m3 : 0.0;
    return hypot(f->amount_error * reading_kg(f),
                 f->mass_kg > 0.0 ? 0.0 : f->volume_m3 * density_kg_m3);
}

static double peroxide_reads_as_mol(const struct nxw_found *f, double H2O2_mol)
{
    const double kg = reading_kg(f);
    struct nxw_density_reading with = f->gravity.reading;
    struct nxw_strength s;
    struct nxw_diagnosis diagnosis;
    with.H2O2_mass_fraction = fmin(H2O2_mol * NXW_MOLAR_MASS_H2O2_KG_MOL / kg, MOST_PEROXIDE);
    const double w =
        nxw_strength_from_density(&with, &s, &diagnosis) == NXW_OK ? s.mass_fraction : 0.0;
    return kg * (f->strength.mass_fraction - w) / NXW_MOLAR_MASS_HNO3_KG_MOL;
}

static void take_readings(const struct nxw_balance_report *r, struct nxw_put_in_place *p)
{
    const struct nxw_run *run = r->run;
    for (size_t i = 0; i < run->n_found; i++) {
        const struct nxw_found *f = &run->found[i];
        if (strcmp(run->places[f->place], p->name) != 0)
            continue;
        p->caught_mol = r->account.found_mol[f->place] - p->HNO3_mol;
        p->caught_error_mol = r->account.found_error_mol[f->place];
        if (!isnan(reading_kg(f)) && (isnan(p->found_kg) || f->kind == NXW_FOUND_DENSITY)) {
            p->found_kg = reading_kg(f);
            p->found_error_kg = reading_error_kg(f);
            p->weighed = i;
        }
        if (f->kind == NXW_FOUND_DENSITY)
            p->density = i;
        if (f->kind == NXW_FOUND_TITRATION && f->titrated.H2O2_mol_m3 > 0.0)
            p->left_H2O2_mol = f->titrated.H2O2_mol_m3 * f->volume_m3;
    }
    if (p->density < run->n_found && p->H2O2_mol > 0.0)
        p->reads_as_mol = peroxide_reads_as_mol(
            &run->found[p->density], isnan(p->left_H2O2_mol) ? p->H2O2_mol : p->left_H2O2_mol);
}

size_t nxw_put_in_places(const struct nxw_balance_report *r,
                         struct nxw_put_in_place out[NXW_PUT_IN_MAX])
{
    const struct nxw_run *run = r->run;
    size_t n = 0;
    for (size_t i = 0; i < run->n_put_in; i++) {
        const struct nxw_put_in *in = &run->put_in[i];
        size_t k = 0;
        while (k < n && strcmp(out[k].name, in->where) != 0)
            k++;
        if (k == n)
            out[n++] = (struct nxw_put_in_place){.name = in->where,
                                                 .found_kg = NAN,
                                                 .caught_mol = NAN,
                                                 .caught_error_mol = NAN,
                                                 .left_H2O2_mol = NAN,
                                                 .weighed = run->n_found,
                                                 .density = run->n_found};
        const double kg = in->part.part.mass_kg;
        out[k].put_in_kg += kg;
        out[k].put_in_error_kg =
            hypot(out[k].put_in_error_kg, kg * NXW_RUN_ASSUMED_ERROR / NXW_OF_100_95);
        out[k].HNO3_mol += nxw_put_in_HNO3_mol(in);
        out[k].H2O2_mol += nxw_put_in_H2O2_mol(in);
    }
    for (size_t k = 0; k < n; k++)
        take_readings(r, &out[k]);
    return n;
}

static void print_gain(FILE *out, const struct nxw_run *run, const struct nxw_put_in_place *p)
{
    const struct nxw_mass mass = nxw_balance_mass(run, p);
    const double gain_g = 1e3 * (p->found_kg - p->put_in_kg);
    char agree[80] = "";
    if (mass.verdict == NXW_MASS_AGREES && isinf(mass.most_kg))
        (void)snprintf(agree, sizeof agree,
                       " Water distils over with the acid: only too little "
                       "would be told.");
    else if (mass.verdict == NXW_MASS_AGREES)
        (void)snprintf(agree, sizeof agree, " They agree within the errors (%.1f g).",
                       1e3 * NXW_OF_100_95 * mass.error_kg);
    nxw_wrapf(out, "    ", 4,
              "found %.1f g, %.1f g %s than put in; the nitrogen captured would bring %.1f g as NO "
              "to %.1f g as HNO3.%s",
              1e3 * p->found_kg, fabs(gain_g), gain_g < 0.0 ? "less" : "more",
              1e3 * p->caught_mol * NXW_MOLAR_MASS_NO_KG_MOL,
              1e3 * p->caught_mol * NXW_MOLAR_MASS_HNO3_KG_MOL,
              mass.verdict == NXW_MASS_TOO_MUCH     ? " That is too much: see below."
              : mass.verdict == NXW_MASS_TOO_LITTLE ? " That is too little: see below."
                                                    : agree);
}

static void print_peroxide(FILE *out, const struct nxw_run *run, const struct nxw_put_in_place *p)
{
    if (!isnan(p->left_H2O2_mol))
        nxw_wrapf(out, "    ", 4,
                  "H2O2: %.4f mol put in, %.4f mol left by titration, %.4f mol used.", p->H2O2_mol,
                  p->left_H2O2_mol, p->H2O2_mol - p->left_H2O2_mol);
    else
        nxw_wrapf(out, "    ", 4,
                  "H2O2: %.4f mol put in; what is left was not titrated (permanganate would tell).",
                  p->H2O2_mol);
    if (p->density < run->n_found && p->reads_as_mol > 0.0)
        nxw_wrapf(out, "  ! ", 4,
                  "Reading %zu, a density, reads left-over peroxide as acid: up to %.4f mol of its "
                  "nitrogen is that, %s.",
                  p->density + 1, p->reads_as_mol,
                  isnan(p->left_H2O2_mol) ? "were all of it left" : "by what the titration left");
}

/* What a plan would have refused. */
static void print_together(FILE *out, const struct nxw_run *run, const struct nxw_put_in_place *p)
{
    double strongest = 0.0;
    for (size_t i = 0; i < run->n_put_in; i++)
        if (strcmp(run->put_in[i].where, p->name) == 0)
            strongest = fmax(strongest, run->put_in[i].part.part.peroxide_mass_fraction);
    if (p->HNO3_mol > 0.0 && strongest > NXW_PEROXIDE_MOST)
        nxw_wrapf(
            out, "  ! ", 4,
            "Acid and peroxide of %.3g wt%% went into '%s': never bring acid together with "
            "peroxide above %.3g wt%%, in any order. Next time dilute the peroxide with water "
            "first, by itself, to %.3g wt%% or less.",
            100.0 * strongest, p->name, 100.0 * NXW_PEROXIDE_MOST, 100.0 * NXW_PEROXIDE_MOST);
}

void nxw_balance_put_in_print(FILE *out, const struct nxw_balance_report *r)
{
    const struct nxw_run *run = r->run;
    struct nxw_put_in_place places[NXW_PUT_IN_MAX];
    const size_t n = nxw_put_in_places(r, places);
    if (n == 0)
        return;
    (void)fputs("\nPut in\n", out);
    for (size_t k = 0; k < n; k++) {
        for (size_t i = 0; i < run->n_put_in; i++) {
            char words[160];
            if (strcmp(run->put_in[i].where, places[k].name) != 0)
                continue;
            nxw_part_words(&run->put_in[i].part, words, sizeof words);
            nxw_wrapf(out, "  ", 4, "%s: %s", places[k].name, words);
        }
        if (isnan(places[k].found_kg))
            nxw_wrapf(out, "    ", 4, "%.1f g in all; not read after the run, or not as a liquid.",
                      1e3 * places[k].put_in_kg);
        else
            print_gain(out, run, &places[k]);
        if (places[k].H2O2_mol > 0.0)
            print_peroxide(out, run, &places[k]);
        print_together(out, run, &places[k]);
    }
}

json_t *nxw_balance_put_in_json(struct nxw_json *j, const struct nxw_balance_report *r)
{
    json_t *list = nxw_json_array(j);
    struct nxw_put_in_place places[NXW_PUT_IN_MAX];
    const size_t n = nxw_put_in_places(r, places);
    for (size_t k = 0; k < n; k++) {
        const struct nxw_put_in_place *p = &places[k];
        const struct nxw_mass mass = nxw_balance_mass(r->run, p);
        json_t *o = nxw_json_object(j);
        nxw_json_text(j, o, "where", p->name);
        nxw_json_number(j, o, "put_in_kg", p->put_in_kg);
        nxw_json_number(j, o, "put_in_HNO3_mol", p->HNO3_mol);
        nxw_json_number(j, o, "put_in_H2O2_mol", p->H2O2_mol);
        nxw_json_number(j, o, "found_kg", p->found_kg);
        nxw_json_text(j, o, "mass_verdict", nxw_mass_verdicts[mass.verdict]);
        nxw_json_number(j, o, "mass_least_kg", mass.least_kg);
        nxw_json_number(j, o, "mass_most_kg", mass.most_kg);
        nxw_json_number(j, o, "mass_standard_error_kg", mass.error_kg);
        nxw_json_number(j, o, "caught_mol", p->caught_mol);
        nxw_json_number(j, o, "left_H2O2_mol", p->left_H2O2_mol);
        nxw_json_number(j, o, "peroxide_reads_as_mol", p->reads_as_mol);
        nxw_json_add(j, list, o);
    }
    return list;
}
