/* The places that something was put into, and what their readings say. */
#include <math.h>
#include <string.h>

#include "after/balance_report.h"
#include "case/run_read.h"

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
