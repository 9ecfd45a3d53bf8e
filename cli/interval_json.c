#include "interval_json.h"

#include "interval_text.h"

void nxw_intervals_json(struct nxw_json *j, json_t *result, const struct nxw_uncertainty *u)
{
    for (int a = 0; a < NXW_ANSWERS; a++) {
        char key[64];
        (void)snprintf(key, sizeof key, "%s_low", nxw_answer_keys[a]);
        nxw_json_number(j, result, key, u->low[a]);
        (void)snprintf(key, sizeof key, "%s_high", nxw_answer_keys[a]);
        nxw_json_number(j, result, key, u->high[a]);
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
            char key[96];
            (void)snprintf(key, sizeof key, "%s_percent_per_percent", nxw_answer_keys[a]);
            nxw_json_number(j, o, a == NXW_ANSWER_PEAK ? "peak_temperature_K_per_percent" : key,
                            f->elasticity[a]);
            (void)snprintf(key, sizeof key, "%s_logit_per_standard_error", nxw_answer_keys[a]);
            nxw_json_number(j, o,
                            a == NXW_ANSWER_PEAK ? "peak_temperature_K_per_standard_error" : key,
                            f->change[a]);
        }
        nxw_json_add(j, all, o);
    }
    return all;
}
