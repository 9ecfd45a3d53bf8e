/* A fit as one JSON document. */
#include <math.h>
#include <string.h>

#include "command/json_document.h"
#include "study/fit.h"

const char *const nxw_fit_quantities[NXW_FIT_KINDS] = {
    "available_mol", "receiver_mol",       "held_mol",
    "escaped_mol",   "mass_fraction",      "volume_m3",
    "mass_kg",       "acid_mol_m3",        "HNO2_mol_m3",
    "H2O2_mol_m3",   "peak_temperature_K", "vent_peak_NO2_fraction",
    "brown_gas_s",   "temperature_K",
};

static json_t *document(struct nxw_json *j, const char *schema, const char *path)
{
    json_t *root = nxw_document(j, schema);
    nxw_json_text(j, root, "run_path", path);
    return root;
}

static bool finish(struct nxw_json *j, FILE *out, json_t *root)
{
    nxw_document_cautions(j, root, NULL);
    return nxw_json_print(j, out, root);
}

static json_t *number(double value) { return isfinite(value) ? json_real(value) : json_null(); }

static json_t *unknowns(struct nxw_json *j, const struct nxw_fit *fit,
                        const struct nxw_fit_result *r)
{
    json_t *list = nxw_json_array(j);
    for (size_t k = 0; k < r->n; k++) {
        json_t *o = nxw_json_object(j);
        const double reach = NXW_OF_100_95 * r->error[k];
        nxw_json_text(j, o, "path", fit->unknowns[k].path);
        nxw_json_text(j, o, "unit", fit->unknowns[k].unit);
        nxw_json_number(j, o, "value", r->value[k]);
        nxw_json_number(j, o, "standard_error", r->error[k]);
        nxw_json_number(j, o, "low", r->value[k] - reach);
        nxw_json_number(j, o, "high", r->value[k] + reach);
        nxw_json_flag(j, o, "at_end_of_range", r->at_end[k]);
        nxw_json_flag(j, o, "not_told", r->untold[k]);
        nxw_json_flag(j, o, "not_told_apart", r->together[k]);
        nxw_json_add(j, list, o);
    }
    return list;
}

static json_t *readings(struct nxw_json *j, const struct nxw_fit *fit,
                        const struct nxw_fit_result *r)
{
    json_t *list = nxw_json_array(j);
    for (size_t i = 0; i < fit->n_readings; i++) {
        const struct nxw_fit_reading *m = &fit->readings[i];
        json_t *o = nxw_json_object(j), *pull = nxw_json_array(j);
        nxw_json_text(j, o, "name", m->name);
        nxw_json_text(j, o, "quantity", nxw_fit_quantities[m->kind]);
        nxw_json_number(j, o, "read", m->value);
        nxw_json_number(j, o, "standard_error", m->error);
        nxw_json_flag(j, o, "error_assumed", m->error_assumed);
        nxw_json_number(j, o, "fitted", r->predicted[i]);
        nxw_json_number(j, o, "standardised_residual", r->standardised[i]);
        nxw_json_number(j, o, "leverage", r->leverage[i]);
        if (m->kind == NXW_FIT_LOG)
            nxw_json_number(j, o, "time_s", m->time_s);
        for (size_t k = 0; k < r->n; k++)
            nxw_json_add(j, pull, number(r->pull[i][k]));
        nxw_json_put(j, o, "pull_per_standard_error", pull);
        nxw_json_add(j, list, o);
    }
    return list;
}

/* Pairs above the limit, and the combination no reading fixes. */
static json_t *not_told_apart(struct nxw_json *j, const struct nxw_fit *fit,
                              const struct nxw_fit_result *r)
{
    json_t *list = nxw_json_array(j), *all = nxw_json_array(j);
    for (size_t k = 0; k < r->n; k++) {
        if (r->together[k] && !r->untold[k])
            nxw_json_add(j, all, json_string(fit->unknowns[k].path));
        for (size_t i = 0; i < k; i++) {
            if (!(fabs(r->correlation[k][i]) > NXW_FIT_CORRELATED))
                continue;
            json_t *pair = nxw_json_array(j);
            nxw_json_add(j, pair, json_string(fit->unknowns[i].path));
            nxw_json_add(j, pair, json_string(fit->unknowns[k].path));
            nxw_json_add(j, list, pair);
        }
    }
    if (json_array_size(all) > 0)
        nxw_json_add(j, list, all);
    else
        json_decref(all);
    return list;
}

bool nxw_fit_json(FILE *out, const char *path, const struct nxw_fit *fit,
                  const struct nxw_fit_result *r)
{
    struct nxw_json json = {false}, *j = &json;
    json_t *root = document(j, "noxwash-fit-1", path), *result = nxw_json_object(j);
    json_t *matrix = nxw_json_array(j);
    nxw_json_flag(j, result, "determined", r->determined);
    nxw_json_flag(j, result, "converged", r->converged);
    nxw_json_number(j, result, "chi_square", r->chi_square);
    nxw_json_integer(j, result, "degrees_of_freedom", (long)r->degrees);
    nxw_json_number(j, result, "probability", r->probability);
    nxw_json_number(j, result, "limits_widened_by", r->widened);
    nxw_json_number(j, result, "least_eigenvalue", r->weakest);
    nxw_json_integer(j, result, "runs", (long)fit->runs);
    nxw_json_put(j, root, "result", result);
    nxw_json_put(j, root, "unknowns", unknowns(j, fit, r));
    for (size_t i = 0; i < r->n; i++) {
        json_t *row = nxw_json_array(j);
        for (size_t k = 0; k < r->n; k++)
            nxw_json_add(j, row, number(r->correlation[i][k]));
        nxw_json_add(j, matrix, row);
    }
    nxw_json_put(j, root, "correlation", matrix);
    nxw_json_put(j, root, "not_told_apart", not_told_apart(j, fit, r));
    nxw_json_put(j, root, "readings", readings(j, fit, r));
    return finish(j, out, root);
}

bool nxw_fit_plan_json(FILE *out, const char *path, const struct nxw_fit *fit,
                       const struct nxw_fit_plan *plan)
{
    struct nxw_json json = {false}, *j = &json;
    json_t *root = document(j, "noxwash-fit-plan-1", path), *list = nxw_json_array(j);
    json_t *found = nxw_json_array(j);
    nxw_json_flag(j, root, "one_of_many_values", plan->loose);
    for (size_t k = 0; k < plan->n_unknowns; k++) {
        json_t *o = nxw_json_object(j);
        nxw_json_text(j, o, "path", fit->unknowns[k].path);
        nxw_json_text(j, o, "unit", fit->unknowns[k].unit);
        nxw_json_number(j, o, "value", plan->value[k]);
        nxw_json_number(j, o, "standard_error", plan->before[k]);
        if (plan->best[k] < plan->n)
            nxw_json_text(j, o, "narrowed_most_by", plan->candidates[plan->best[k]].reading.name);
        nxw_json_add(j, found, o);
    }
    for (size_t i = 0; i < plan->n; i++) {
        const struct nxw_fit_candidate *c = &plan->candidates[i];
        json_t *o = nxw_json_object(j), *after = nxw_json_array(j);
        nxw_json_text(j, o, "name", c->reading.name);
        nxw_json_text(j, o, "quantity", nxw_fit_quantities[c->reading.kind]);
        nxw_json_number(j, o, "expected", c->reading.value);
        nxw_json_number(j, o, "standard_error", c->reading.error);
        for (size_t k = 0; k < plan->n_unknowns; k++)
            nxw_json_add(j, after, number(c->after[k]));
        nxw_json_put(j, o, "standard_errors_with_it", after);
        nxw_json_add(j, list, o);
    }
    nxw_json_put(j, root, "unknowns", found);
    nxw_json_put(j, root, "readings", list);
    return finish(j, out, root);
}
