/* What each place yielded, by its best readings. */
#include <math.h>
#include <string.h>

#include "after/balance_report.h"

bool nxw_place_is_receiver(const char *name) { return strncmp(name, "receiver", 8) == 0; }

bool nxw_place_is_scrubber(const char *name)
{
    return strncmp(name, "scrubber", 8) == 0 || strncmp(name, "bottle", 6) == 0;
}

bool nxw_place_is_product(const char *name)
{
    return nxw_place_is_receiver(name) || nxw_place_is_scrubber(name);
}

/* A titration tells nitric acid from nitrous, a density reads both as nitric, an amount of nitrogen
 * says nothing of either: the best reading of a place counts. false: it has none. */
static bool best_kind(const struct nxw_run *run, size_t place, enum nxw_found_kind *best)
{
    static const int worth[] = {
        [NXW_FOUND_NITROGEN] = 0, [NXW_FOUND_DENSITY] = 1, [NXW_FOUND_TITRATION] = 2};
    bool any = false;
    for (size_t i = 0; i < run->n_found; i++) {
        const struct nxw_found *f = &run->found[i];
        if (f->place != place || (any && worth[f->kind] <= worth[*best]))
            continue;
        *best = f->kind;
        any = true;
    }
    return any;
}

bool nxw_place_is_by_nitrogen(const struct nxw_run *run, size_t place)
{
    enum nxw_found_kind best = NXW_FOUND_NITROGEN;
    return best_kind(run, place, &best) && best == NXW_FOUND_NITROGEN;
}

double nxw_place_HNO3_mol(const struct nxw_balance_report *report, size_t place)
{
    double weight = 0.0, sum = 0.0;
    enum nxw_found_kind best = NXW_FOUND_NITROGEN;
    if (!best_kind(report->run, place, &best))
        return (double)NAN;
    for (size_t i = 0; i < report->run->n_found; i++) {
        const struct nxw_found *f = &report->run->found[i];
        if (f->place != place || f->kind != best)
            continue;
        const double mol = best == NXW_FOUND_NITROGEN ? f->nitrogen_mol : f->HNO3_mol;
        weight += 1.0 / (f->error_mol * f->error_mol);
        sum += mol / (f->error_mol * f->error_mol);
    }
    return sum / weight;
}

/* Nitric acid put into a place before the run. */
static double put_in_mol(const struct nxw_run *run, const char *place)
{
    double mol = 0.0;
    for (size_t i = 0; i < run->n_put_in; i++)
        if (strcmp(run->put_in[i].where, place) == 0)
            mol += nxw_put_in_HNO3_mol(&run->put_in[i]);
    return mol;
}

struct nxw_yields nxw_balance_yields(const struct nxw_balance_report *report)
{
    struct nxw_yields y = {NAN, NAN, NAN};
    for (size_t p = 0; p < report->run->n_places; p++) {
        const char *name = report->run->places[p];
        const double mol = nxw_place_HNO3_mol(report, p) - put_in_mol(report->run, name);
        if (isnan(mol))
            continue;
        if (nxw_place_is_receiver(name))
            y.receiver_mol = mol + (isnan(y.receiver_mol) ? 0.0 : y.receiver_mol);
        else if (nxw_place_is_scrubber(name))
            y.scrubber_mol = mol + (isnan(y.scrubber_mol) ? 0.0 : y.scrubber_mol);
    }
    y.both_mol = y.receiver_mol + y.scrubber_mol;
    return y;
}
