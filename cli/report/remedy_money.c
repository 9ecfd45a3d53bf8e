/* What the remedies cost and what their acid is worth, at the prices of the case. */
#include <math.h>

#include "base/text_layout.h"
#include "report/remedy_report.h"
#include "study/cost.h"

enum { AMOUNT = NXW_AMOUNT_LENGTH, NAMES = 120 };

void nxw_remedy_money(const struct nxw_remedy_run *run, const char *currency,
                      char out[NXW_REMEDY_MONEY])
{
    char cost[AMOUNT], worth[AMOUNT];
    const bool priced = isfinite(run->cost), valued = isfinite(run->worth);
    out[0] = '\0';
    nxw_number_text(run->cost, 2, cost);
    nxw_number_text(fabs(run->worth), 2, worth);
    if (priced && !valued)
        (void)snprintf(out, NXW_REMEDY_MONEY,
                       "costs about %s %s (peroxide as 30 wt%% solution, water, ice)", cost,
                       nxw_currency(currency));
    else if (valued)
        (void)snprintf(out, NXW_REMEDY_MONEY, "%s%s%s%s%sthe acid %s is worth %s %s%s",
                       priced ? "costs about " : "", priced ? cost : "", priced ? " " : "",
                       priced ? nxw_currency(currency) : "", priced ? "; " : "",
                       run->worth < 0.0 ? "lost" : "gained", worth, nxw_currency(currency),
                       priced && run->worth > run->cost ? ": it pays"
                       : priced                         ? ": for the acid alone it does not pay"
                                                        : "");
}

/* The one that earns most and may be advised; NULL: none earns anything. */
static const struct nxw_remedy_run *earns_most(const struct nxw_remedies *all)
{
    const struct nxw_remedy_run *best = NULL;
    for (size_t i = 0; i < NXW_REMEDY_COUNT; i++) {
        const struct nxw_remedy_run *r = &all->alone[i];
        if (nxw_remedy_may_be_advised(all, r) && nxw_remedy_net(r) > 0.0 &&
            (best == NULL || nxw_remedy_net(r) > nxw_remedy_net(best)))
            best = r;
    }
    return best;
}

static const char NO_PRICES[] =
    "prices: {currency: EUR, peroxide: 4 per L, ice: 0.20 per kg, bought acid: 12 per kg}";

void nxw_remedies_money(const struct nxw_remedies *all, const struct nxw_case_notes *notes,
                        char out[NXW_REMEDY_ADVICE])
{
    const bool acid = isfinite(nxw_bought_acid_cost_kg(notes));
    const bool peroxide = isfinite(nxw_peroxide_cost(notes, 1.0));
    const struct nxw_remedy_run *best = earns_most(all);
    char names[NAMES], net[AMOUNT];
    if (!acid) {
        (void)snprintf(out, NXW_REMEDY_ADVICE,
                       "%s: what the acid gained is worth is not told. Give them in the case: %s.",
                       peroxide ? "Bought acid has no price" : "The case has no prices", NO_PRICES);
        return;
    }
    if (best == NULL) {
        (void)snprintf(out, NXW_REMEDY_ADVICE,
                       "At the prices of the case none earns anything with its acid: what counts "
                       "is what does not go up the hood.");
        return;
    }
    nxw_remedy_names(best, names, sizeof names);
    nxw_number_text(nxw_remedy_net(best), 2, net);
    (void)snprintf(
        out, NXW_REMEDY_ADVICE,
        "At the prices of the case %s earns most of those that let no more escape: %s %s "
        "a run, glass, gas and work not counted%s.",
        names, net, nxw_currency(notes->currency), peroxide ? "" : "; peroxide has no price");
}
