/* What a better arrangement could still have brought: the remedies, run on the case of the run. */
#include <math.h>

#include "balance_report.h"
#include "remedy_report.h"
#include "report_words.h"
#include "text_layout.h"

enum { SHOWN = 3 };

/* Nitrogen available that neither receiver nor scrubber holds as HNO3; NAN: not known. */
static double still_out_mol(const struct nxw_balance_report *r)
{
    const struct nxw_yields y = nxw_balance_yields(r);
    const double receiver_mol = isnan(y.receiver_mol) ? 0.0 : y.receiver_mol;
    return r->run->available_mol - r->run->acid_put_in_mol - receiver_mol - y.scrubber_mol;
}

void nxw_balance_next_print(FILE *out, const struct nxw_balance_report *r)
{
    const struct nxw_remedies *all = r->next;
    const double left_mol = still_out_mol(r);
    char advice[NXW_REMEDY_ADVICE];
    (void)fputs("\nNext time\n", out);
    if (!isnan(left_mol))
        nxw_wrapf(out, "  ", 2,
                  "%.2f g HNO3 at most could still be had: the nitrogen available that %s.",
                  1e3 * fmax(left_mol, 0.0) * NXW_MOLAR_MASS_HNO3_KG_MOL,
                  isnan(nxw_balance_yields(r).receiver_mol)
                      ? "the scrubber does not hold as HNO3 (the receiver was not read)"
                      : "receiver and scrubber do not hold as HNO3");
    nxw_wrap(out, "  ", 2,
             "What would bring some of it, by runs of the case with one thing changed; gains are "
             "against the estimate for the case, not against the readings.");
    for (size_t i = 0; i < SHOWN && all->alone[i].ran && all->alone[i].gain_mol > 0.0; i++)
        nxw_remedy_print(out, all, r->run->currency, &all->alone[i]);
    if (all->pair.n > 0)
        nxw_remedy_print(out, all, r->run->currency, &all->pair);
    nxw_remedies_advice(all, advice);
    nxw_wrapf(out, "  ", 2, "%s All remedies: 'noxwash remedies' with the case.", advice);
}

json_t *nxw_balance_next_json(struct nxw_json *j, const struct nxw_balance_report *r)
{
    json_t *o = nxw_json_object(j);
    const double left_mol = still_out_mol(r);
    nxw_json_number(j, o, "still_to_be_had_HNO3_g",
                    isnan(left_mol) ? (double)NAN
                                    : 1e3 * fmax(left_mol, 0.0) * NXW_MOLAR_MASS_HNO3_KG_MOL);
    nxw_remedies_json(j, o, r->next);
    return o;
}
