#include "words/interval_json.h"

#include "words/interval_text.h"

static void put(struct nxw_json *j, json_t *result, int answer, const char *which, double value)
{
    char key[64];
    (void)snprintf(key, sizeof key, "%s_%s", nxw_answer_names[answer].key, which);
    nxw_json_number(j, result, key, value);
}

static void put_reason(struct nxw_json *j, json_t *result, int answer, const char *which,
                       const char *why)
{
    char key[64];
    if (why == NULL)
        return;
    (void)snprintf(key, sizeof key, "%s_%s", nxw_answer_names[answer].key, which);
    nxw_json_text(j, result, key, why);
}

void nxw_intervals_json(struct nxw_json *j, json_t *result, const struct nxw_uncertainty *u)
{
    for (int a = 0; a < NXW_ANSWERS; a++) {
        put(j, result, a, "low", u->low[a]);
        put(j, result, a, "high", u->high[a]);
        put_reason(j, result, a, "not_given", u->not_given[a]);
        if (u->n_draws == 0)
            continue;
        put(j, result, a, "drawn_low", u->drawn_low[a]);
        put(j, result, a, "drawn_high", u->drawn_high[a]);
        put_reason(j, result, a, "drawn_not_given", u->drawn_not_given[a]);
    }
    if (u->n_draws > 0) {
        nxw_json_integer(j, result, "draws", (long)u->n_draws);
        nxw_json_integer(j, result, "draws_without_result", (long)u->n_draws_failed);
    }
}

json_t *nxw_sensitivity_json(struct nxw_json *j, const struct nxw_uncertainty *u)
{
    json_t *all = nxw_json_array(j);
    for (size_t i = 0; i < u->n_factors; i++) {
        const struct nxw_factor *f = &u->factors[i];
        json_t *o = nxw_json_object(j);
        nxw_json_text(j, o, "factor", f->name);
        nxw_json_flag(j, o, "followed_to_the_end", f->ran);
        nxw_json_number(j, o, "standard_error_logarithm", f->standard);
        for (int a = 0; a < NXW_ANSWERS; a++) {
            nxw_json_number(j, o, nxw_answer_names[a].per_percent_key, f->elasticity[a]);
            nxw_json_number(j, o, nxw_answer_names[a].per_error_key, f->change[a]);
        }
        nxw_json_add(j, all, o);
    }
    return all;
}
