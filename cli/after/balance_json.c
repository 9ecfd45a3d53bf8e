#include <math.h>

#include "after/balance_report.h"
#include "command/json_document.h"
#include "noxwash.h"

#define SCHEMA "noxwash-balance-1"

static json_t *places(struct nxw_json *j, const struct nxw_balance_report *r)
{
    json_t *list = nxw_json_array(j);
    for (size_t p = 0; p < r->run->n_places; p++) {
        json_t *o = nxw_json_object(j);
        nxw_json_text(j, o, "where", r->run->places[p]);
        nxw_json_number(j, o, "found_mol", r->account.found_mol[p]);
        nxw_json_number(j, o, "found_standard_error_mol", r->account.found_error_mol[p]);
        nxw_json_number(j, o, "closed_mol", r->account.closed_mol[p]);
        nxw_json_number(j, o, "closed_standard_error_mol", r->account.closed_error_mol[p]);
        nxw_json_flag(j, o, "readings_disagree", r->disagree[p]);
        nxw_json_flag(j, o, "product", nxw_place_is_product(r->run->places[p]));
        nxw_json_flag(j, o, "by_nitrogen_alone", nxw_place_is_by_nitrogen(r->run, p));
        nxw_json_add(j, list, o);
    }
    return list;
}

static json_t *readings(struct nxw_json *j, const struct nxw_balance_report *r)
{
    static const char *const kinds[] = {"nitrogen", "density", "titration"};
    json_t *list = nxw_json_array(j);
    for (size_t i = 0; i < r->run->n_found; i++) {
        const struct nxw_found *f = &r->run->found[i];
        json_t *o = nxw_json_object(j);
        nxw_json_text(j, o, "where", r->run->places[f->place]);
        nxw_json_text(j, o, "kind", kinds[f->kind]);
        nxw_json_number(j, o, "nitrogen_mol", f->nitrogen_mol);
        nxw_json_number(j, o, "standard_error_mol", f->error_mol);
        nxw_json_flag(j, o, "amount_error_assumed", f->error_assumed);
        nxw_json_number(j, o, "HNO3_mol", f->HNO3_mol);
        nxw_json_number(j, o, "standardised_residual", r->account.standardised[i]);
        nxw_json_add(j, list, o);
    }
    return list;
}

static json_t *result(struct nxw_json *j, const struct nxw_balance_report *r)
{
    const struct nxw_balance *a = &r->account;
    const struct nxw_run *run = r->run;
    const struct nxw_yields y =
        r->believed ? nxw_balance_yields(r) : (struct nxw_yields){NAN, NAN, NAN};
    json_t *o = nxw_json_object(j);
    size_t wrong;
    const size_t judged = nxw_masses_judged(r, &wrong);
    nxw_json_flag(j, o, "believed", r->believed);
    nxw_json_integer(j, o, "masses_judged", (long)judged);
    nxw_json_integer(j, o, "masses_that_cannot_be_right", (long)wrong);
    nxw_json_flag(j, o, "complete", run->complete);
    nxw_json_number(j, o, "available_mol", run->available_mol);
    nxw_json_number(j, o, "available_standard_error_mol", run->available_error_mol);
    nxw_json_number(j, o, "acid_put_in_mol", run->acid_put_in_mol);
    nxw_json_number(j, o, "bound_by_metal_mol", run->metal_bound_mol);
    nxw_json_number(j, o, "available_closed_mol", a->available_closed_mol);
    nxw_json_number(j, o, "found_mol", a->total_mol);
    nxw_json_number(j, o, "found_standard_error_mol", a->total_error_mol);
    nxw_json_number(j, o, "unexplained_mol", a->unexplained_mol);
    nxw_json_number(j, o, "unexplained_standard_error_mol", a->unexplained_error_mol);
    nxw_json_number(j, o, "chi_square", a->degrees > 0 ? a->chi_square : (double)NAN);
    nxw_json_integer(j, o, "degrees_of_freedom", (long)a->degrees);
    nxw_json_number(j, o, "probability", a->probability);
    if (a->has_suspect) /* counted from 1; 0: what was available */
        nxw_json_integer(j, o, "most_likely_wrong_reading",
                         a->suspect < run->n_found ? (long)a->suspect + 1 : 0);
    nxw_json_number(j, o, "receiver_HNO3_mol", y.receiver_mol);
    nxw_json_number(j, o, "scrubber_HNO3_mol", y.scrubber_mol);
    nxw_json_number(j, o, "both_HNO3_mol", y.both_mol);
    nxw_json_number(j, o, "extra_yield_of_scrubber_g",
                    1e3 * y.scrubber_mol * NXW_MOLAR_MASS_HNO3_KG_MOL);
    return o;
}

bool nxw_balance_json(FILE *out, const struct nxw_balance_report *r)
{
    struct nxw_json j = {0};
    json_t *root = nxw_document(&j, SCHEMA);
    nxw_json_put(&j, root, "result", result(&j, r));
    nxw_json_put(&j, root, "places", places(&j, r));
    nxw_json_put(&j, root, "readings", readings(&j, r));
    nxw_json_put(&j, root, "put_in", nxw_balance_put_in_json(&j, r));
    if (r->believed)
        nxw_json_put(&j, root, "cost", nxw_balance_cost_json(&j, r));
    if (r->expectation != NULL)
        nxw_json_put(&j, root, "expected", nxw_expectation_json(&j, r->expectation));
    if (r->next != NULL)
        nxw_json_put(&j, root, "next_time", nxw_balance_next_json(&j, r));
    nxw_document_cautions(&j, root, &(struct nxw_caution_for){.metal = nxw_run_metal(r->run)});
    return nxw_json_print(&j, out, root);
}
