/* Mass in against mass out of each place: a reading more than the nitrogen needs. */
#include <math.h>

#include "after/balance_report.h"
#include "base/text_layout.h"
#include "noxwash.h"

#define STANDARD_ERRORS 3.0
#define H2O_KG_MOL 0.018015     /* IUPAC */
#define HALF_O2_KG_MOL 0.015999 /* IUPAC; lost for each H2O2 that decomposes */

const char *const nxw_mass_verdicts[4] = {"not judged", "agrees", "too much", "too little"};

/* Water that comes with the gas of a table, over all its rows; other sources bring none to speak of
 * (acid vapour: what stands over the condensate, some mg). */
static double water_of_gas_kg(const struct nxw_run *run)
{
    const struct nxw_source *s = &run->in.source;
    double mol = 0.0;
    if (run->in.n_stages == 0 || s->kind != NXW_SOURCE_TABLE)
        return 0.0;
    for (size_t i = 1; i < s->n_rows; i++)
        mol += 0.5 * (s->rows[i].H2O_mol_s + s->rows[i - 1].H2O_mol_s) *
               (s->rows[i].time_s - s->rows[i - 1].time_s);
    return mol * H2O_KG_MOL;
}

/* The most that a mole of nitrogen brings: HNO3; into a receiver with the water of the condensate.
 */
static double most_kg_mol(const struct nxw_run *run, const char *place)
{
    if (!nxw_place_is_receiver(place))
        return NXW_MOLAR_MASS_HNO3_KG_MOL;
    if (run->in.n_stages == 0 || run->in.source.kind != NXW_SOURCE_ACID_VAPOUR)
        return (double)INFINITY;
    return NXW_MOLAR_MASS_HNO3_KG_MOL / run->in.source.condensate_mass_fraction;
}

struct nxw_mass nxw_balance_mass(const struct nxw_run *run, const struct nxw_put_in_place *p)
{
    struct nxw_mass m = {NXW_MASS_NOT_JUDGED, NAN, NAN, 0.0, NAN, NAN};
    if (isnan(p->found_kg) || isnan(p->caught_mol))
        return m;
    const double most_kg_mol_N = most_kg_mol(run, p->name);
    const double left_mol = isnan(p->left_H2O2_mol) ? 0.0 : p->left_H2O2_mol;
    const double oxygen_kg = fmax(p->H2O2_mol - left_mol, 0.0) * HALF_O2_KG_MOL;
    const double as_NO_kg = p->caught_mol * NXW_MOLAR_MASS_NO_KG_MOL;
    const double as_HNO3_kg = p->caught_mol * NXW_MOLAR_MASS_HNO3_KG_MOL; /* less than no: lost */
    m.water_kg = water_of_gas_kg(run);
    m.least_kg = p->put_in_kg + fmin(as_NO_kg, as_HNO3_kg) - oxygen_kg;
    m.most_kg = p->put_in_kg + m.water_kg +
                (p->caught_mol > 0.0 ? p->caught_mol * most_kg_mol_N : fmax(as_NO_kg, as_HNO3_kg));
    m.error_kg = hypot(hypot(p->put_in_error_kg, p->found_error_kg),
                       p->caught_error_mol * NXW_MOLAR_MASS_HNO3_KG_MOL);
    m.gap_kg = fmax(fmax(p->found_kg - m.most_kg, m.least_kg - p->found_kg), 0.0);
    m.verdict = m.gap_kg <= STANDARD_ERRORS * m.error_kg ? NXW_MASS_AGREES
                : p->found_kg > m.most_kg                ? NXW_MASS_TOO_MUCH
                                                         : NXW_MASS_TOO_LITTLE;
    return m;
}

static bool is_wrong(enum nxw_mass_verdict verdict)
{
    return verdict == NXW_MASS_TOO_MUCH || verdict == NXW_MASS_TOO_LITTLE;
}

size_t nxw_masses_judged(const struct nxw_balance_report *r, size_t *wrong)
{
    struct nxw_put_in_place places[NXW_PUT_IN_MAX];
    const size_t n = nxw_put_in_places(r, places);
    size_t judged = 0;
    *wrong = 0;
    for (size_t k = 0; k < n; k++) {
        const enum nxw_mass_verdict verdict = nxw_balance_mass(r->run, &places[k]).verdict;
        judged += verdict != NXW_MASS_NOT_JUDGED ? 1 : 0;
        *wrong += is_wrong(verdict) ? 1 : 0;
    }
    return judged;
}

/*
 * What the liquid would have to weigh, B = put in + caught, were its amount alone wrong. With the
 * amount the nitrogen in it changes: of F found with N mol in it, M kg for a mole caught, A mol put
 * in,
 *
 *   B = base + (N - A) M,   s F = base + (s N - A) M,   so   s = (B - N M)/(F - N M)
 */
static double right_kg(const struct nxw_run *run, const struct nxw_put_in_place *p,
                       const struct nxw_mass *m)
{
    const bool much = m->verdict == NXW_MASS_TOO_MUCH;
    const double bound_kg = much ? m->most_kg : m->least_kg;
    const double kg_mol = much ? most_kg_mol(run, p->name) : NXW_MOLAR_MASS_NO_KG_MOL;
    const double nitrogen_kg = (p->caught_mol + p->HNO3_mol) * kg_mol;
    const double share = (bound_kg - nitrogen_kg) / (p->found_kg - nitrogen_kg);
    return p->caught_mol > 0.0 && share > 0.0 ? share * p->found_kg : bound_kg;
}

/* What one of them would have to be, and what else may have happened. */
static void print_candidates(FILE *out, const struct nxw_run *run, const struct nxw_put_in_place *p,
                             const struct nxw_mass *m)
{
    const bool much = m->verdict == NXW_MASS_TOO_MUCH;
    const struct nxw_found *f = &run->found[p->weighed];
    const double should_kg = right_kg(run, p, m);
    const double put_in_kg = p->put_in_kg + (much ? m->gap_kg : -m->gap_kg);
    if (put_in_kg > 0.0)
        nxw_wrapf(out, "  - ", 4, "what was put in: %s %.1f g, instead of %.1f g",
                  much ? "at least" : "at most", 1e3 * put_in_kg, 1e3 * p->put_in_kg);
    nxw_wrapf(out, "  - ", 4, "reading %zu: %s %.1f %s of liquid, instead of %.1f %s",
              p->weighed + 1, much ? "at most" : "at least",
              f->mass_kg > 0.0 ? 1e3 * should_kg : 1e6 * f->volume_m3 * should_kg / p->found_kg,
              f->mass_kg > 0.0 ? "g" : "mL",
              f->mass_kg > 0.0 ? 1e3 * p->found_kg : 1e6 * f->volume_m3,
              f->mass_kg > 0.0 ? "g" : "mL");
    nxw_wrap(
        out, "  - ", 4,
        much ? "or something came in that is not told: water with the gas, liquid drawn over "
               "from another bottle, water for rinsing (name it under 'put in')"
             : "or liquid went that is not told: evaporated, carried off with the gas, spilled, "
               "drawn over, taken for samples");
}

static void print_wrong(FILE *out, const struct nxw_run *run, const struct nxw_put_in_place *p)
{
    const struct nxw_mass m = nxw_balance_mass(run, p);
    const bool much = m.verdict == NXW_MASS_TOO_MUCH;
    char water[64] = "";
    if (m.water_kg > 0.0)
        (void)snprintf(water, sizeof water, ", with the %.1f g of water that the gas brings",
                       1e3 * m.water_kg);
    nxw_wrapf(out, "  ! ", 4,
              "Mass of '%s': %.1f g found, but what was put in and captured makes %.1f g at %s%s: "
              "%.1f g too %s, and three standard errors are %.1f g. What the run file tells cannot "
              "all be right. One of these would have to be otherwise:",
              p->name, 1e3 * p->found_kg, 1e3 * (much ? m.most_kg : m.least_kg),
              much ? "most" : "least", much ? water : "", 1e3 * m.gap_kg, much ? "much" : "little",
              1e3 * STANDARD_ERRORS * m.error_kg);
    print_candidates(out, run, p, &m);
}

void nxw_balance_mass_print(FILE *out, const struct nxw_balance_report *r)
{
    struct nxw_put_in_place places[NXW_PUT_IN_MAX];
    const size_t n = nxw_put_in_places(r, places);
    for (size_t k = 0; k < n; k++) {
        const enum nxw_mass_verdict verdict = nxw_balance_mass(r->run, &places[k]).verdict;
        if (is_wrong(verdict))
            print_wrong(out, r->run, &places[k]);
        else if (verdict == NXW_MASS_AGREES)
            nxw_wrapf(
                out, "  ", 2,
                "The mass of '%s' agrees with what was put in and captured: that checks how much "
                "liquid it is, not how strong.",
                places[k].name);
    }
}
