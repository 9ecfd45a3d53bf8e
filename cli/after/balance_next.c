/* What a better arrangement could still have brought: the remedies, run on the case of the run. */
#include <math.h>

#include "after/balance_report.h"
#include "base/text_layout.h"
#include "noxwash.h"
#include "report/remedy_report.h"

enum { SHOWN = 3, NAMES = 120 };

/* Nitrogen available that neither receiver nor scrubber holds as HNO3; NAN: not known. */
static double still_out_mol(const struct nxw_balance_report *r)
{
    const struct nxw_yields y = nxw_balance_yields(r);
    const double receiver_mol = isnan(y.receiver_mol) ? 0.0 : y.receiver_mol;
    return r->run->available_mol - r->run->acid_put_in_mol - receiver_mol - y.scrubber_mol;
}

/* Nitrogen fed that the estimate for the case does not have as HNO3. */
static double out_by_estimate_mol(const struct nxw_remedies *all)
{
    return all->base.fed_mol - all->base.kept_mol;
}

static double grams(double mol) { return 1e3 * mol * NXW_MOLAR_MASS_HNO3_KG_MOL; }

#define SHOWN_G 0.005 /* half of the last digit that is printed */

/* A gain against the estimate that the readings have no nitrogen for; NAN: nothing is known. */
static bool is_beyond(const struct nxw_remedy_run *run, double left_mol)
{
    return run->n > 0 && nxw_remedy_is_ranked(run) && !isnan(left_mol) &&
           grams(run->gain_mol - fmax(left_mol, 0.0)) > SHOWN_G;
}

static bool any_beyond(const struct nxw_remedies *all, double left_mol)
{
    bool any = is_beyond(&all->pair, left_mol) || is_beyond(&all->triple, left_mol);
    for (size_t i = 0; i < NXW_REMEDY_COUNT; i++)
        any = any || is_beyond(&all->alone[i], left_mol);
    return any;
}

static void print_left(FILE *out, const struct nxw_balance_report *r, double left_mol)
{
    const bool unread = isnan(nxw_balance_yields(r).receiver_mol);
    if (left_mol > 0.0)
        nxw_wrapf(out, "  ", 2,
                  "By the readings %.2f g HNO3 at most could still be had: the nitrogen available "
                  "that %s.",
                  grams(left_mol),
                  unread
                      ? "the scrubber does not hold as HNO3; the receiver was not read, and what "
                        "it holds is still in this figure"
                      : "receiver and scrubber do not hold as HNO3");
    else
        nxw_wrapf(out, "  ", 2,
                  "By the readings nothing could still be had: %s as HNO3 all the nitrogen that "
                  "was available, and %.2f g HNO3 more than that.",
                  unread ? "the scrubber holds" : "receiver and scrubber hold", grams(-left_mol));
}

/* Why a gain can be more than what is left: the estimate, against which it stands, has more out. */
static void print_estimate(FILE *out, const struct nxw_balance_report *r, double left_mol)
{
    const struct nxw_remedies *all = r->next;
    if (any_beyond(all, left_mol))
        nxw_wrapf(out, "  ", 2,
                  "The estimate for the case has more left, %.2f g: %.2f g as nitrous acid in the "
                  "bottles, %.2f g escaped. It has %.2f g HNO3 in the bottles, where %.2f g were "
                  "read. Gains are against the estimate, so they can be more than the readings "
                  "leave.",
                  grams(out_by_estimate_mol(all)), grams(all->base_nitrous_acid_mol),
                  grams(all->base.escaped_mol), grams(all->base.kept_mol),
                  grams(nxw_balance_yields(r).scrubber_mol));
    nxw_wrapf(out, "  ", 2,
              "What would help, by runs of the case with one thing changed, %s; figures are "
              "against the estimate for the case, not against the readings.",
              nxw_remedies_heading(all->aim));
}

static void print_run(FILE *out, const struct nxw_balance_report *r, double left_mol,
                      const struct nxw_remedy_run *run)
{
    nxw_remedy_print(out, r->next, r->run->currency, run);
    if (is_beyond(run, left_mol))
        nxw_wrapf(out, "      ! ", 8,
                  "The estimate puts it at +%.2f g HNO3, the readings leave at most %.2f g.",
                  grams(run->gain_mol), grams(fmax(left_mol, 0.0)));
}

void nxw_balance_next_print(FILE *out, const struct nxw_balance_report *r)
{
    const struct nxw_remedies *all = r->next;
    const double left_mol = still_out_mol(r);
    char advice[NXW_REMEDY_ADVICE], least[80] = "";
    (void)fputs("\nNext time\n", out);
    if (!isnan(left_mol))
        print_left(out, r, left_mol);
    print_estimate(out, r, left_mol);
    for (size_t i = 0; i < SHOWN; i++)
        if (nxw_remedy_is_ranked(&all->alone[i]) && nxw_remedy_helps(all, &all->alone[i]))
            print_run(out, r, left_mol, &all->alone[i]);
    if (all->pair.n > 0)
        print_run(out, r, left_mol, &all->pair);
    nxw_remedies_advice(all, advice);
    if (any_beyond(all, left_mol))
        (void)snprintf(least, sizeof least, " Of any gain the readings leave at most %.2f g.",
                       grams(fmax(left_mol, 0.0)));
    nxw_wrapf(out, "  ", 2, "%s%s All remedies: 'noxwash remedies' with the case.", advice, least);
}

static void add_if_beyond(struct nxw_json *j, json_t *list, const struct nxw_remedy_run *run,
                          double left_mol)
{
    char names[NAMES];
    if (!is_beyond(run, left_mol))
        return;
    nxw_remedy_names(run, names, sizeof names);
    nxw_json_add(j, list, json_string(names));
}

json_t *nxw_balance_next_json(struct nxw_json *j, const struct nxw_balance_report *r)
{
    const struct nxw_remedies *all = r->next;
    json_t *o = nxw_json_object(j), *beyond = nxw_json_array(j);
    const double left_mol = still_out_mol(r);
    nxw_json_number(j, o, "still_to_be_had_HNO3_g",
                    isnan(left_mol) ? (double)NAN : grams(fmax(left_mol, 0.0)));
    nxw_json_number(j, o, "still_out_by_estimate_HNO3_g", grams(out_by_estimate_mol(all)));
    for (size_t i = 0; i < NXW_REMEDY_COUNT; i++)
        add_if_beyond(j, beyond, &all->alone[i], left_mol);
    add_if_beyond(j, beyond, &all->pair, left_mol);
    add_if_beyond(j, beyond, &all->triple, left_mol);
    nxw_json_put(j, o, "gains_beyond_the_readings", beyond);
    nxw_remedies_json(j, o, all);
    return o;
}
