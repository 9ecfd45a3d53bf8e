/* What was put into a place against what was found there after the run. */
#include <math.h>
#include <string.h>

#include "after/balance_report.h"
#include "base/text_layout.h"
#include "case/run_read.h"
#include "noxwash.h"

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
