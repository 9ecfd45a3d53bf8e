#include "words/interval_text.h"

#include <math.h>
#include <string.h>

#include "base/text_layout.h"

enum { AMOUNT = NXW_AMOUNT_LENGTH, SHOWN = 12 };

#define PER_PERCENT "_percent_per_percent"
#define SHARE(word, words, key)                                                                    \
    {                                                                                              \
        word, words, key, key PER_PERCENT, key "_logit_per_standard_error", "points"               \
    }
const struct nxw_answer_name nxw_answer_names[NXW_ANSWERS] = {
    SHARE("kept", "kept as nitric acid", "kept_fraction"),
    SHARE("nitrous-acid", "left as nitrous acid", "nitrous_acid_fraction"),
    SHARE("escaped", "escaped", "escaped_fraction"),
    {"temperature", "hottest liquid", "peak_temperature_C", "peak_temperature_K_per_percent",
     "peak_temperature_K_per_standard_error", "K"},
    {"vent", "peak at vent, NO+NO2", "vent_peak_mg_min", "vent_peak_mg_min" PER_PERCENT,
     "vent_peak_mg_min_logarithm_per_standard_error", "mg/min"},
    SHARE("strength", "acid, first bottle", "strength_fraction"),
};

bool nxw_answer_read(const char *word, enum nxw_answer *out)
{
    for (int a = 0; a < NXW_ANSWERS; a++)
        if (strcmp(word, nxw_answer_names[a].word) == 0) {
            *out = (enum nxw_answer)a;
            return true;
        }
    (void)fprintf(stderr, "noxwash: no answer is called '%s'; there are", word);
    for (int a = 0; a < NXW_ANSWERS; a++)
        (void)fprintf(stderr, "%s %s", a > 0 ? "," : "", nxw_answer_names[a].word);
    (void)fputc('\n', stderr);
    return false;
}

void nxw_answer_text(enum nxw_answer answer, double value, char out[NXW_AMOUNT_LENGTH])
{
    if (answer == NXW_ANSWER_PEAK)
        nxw_temperature_text(value + 273.15, out);
    else if (answer == NXW_ANSWER_VENT)
        nxw_rate_text(value / NXW_MG_MIN, out);
    else if (answer == NXW_ANSWER_STRENGTH)
        nxw_strength_text(value, out);
    else
        nxw_percent_text(value, 2, out);
}

static void interval_line(FILE *out, const char *words, enum nxw_answer answer, double a, double b,
                          double middle)
{
    static const char less[] = "less than";
    char low[AMOUNT], high[AMOUNT], value[AMOUNT];
    nxw_answer_text(answer, a, low);
    nxw_answer_text(answer, b, high);
    nxw_answer_text(answer, middle, value);
    if (strcmp(low, high) == 0)
        (void)fprintf(out, "  %-23s %s\n", words, low);
    else if (strncmp(value, less, sizeof less - 1) == 0)
        (void)fprintf(out, "  %-23s up to %s   (%s)\n", words, high, value);
    else
        (void)fprintf(out, "  %-23s %s to %s   (about %s)\n", words, low, high, value);
}

static void not_given_line(FILE *out, const char *words, enum nxw_answer a, double figure,
                           const char *why)
{
    char value[AMOUNT];
    nxw_answer_text(a, figure, value);
    (void)fprintf(out, "  %-23s not given   (about %s)\n", words, value);
    nxw_wrapf(out, "      ", 6, "%s", why);
}

/* Moved one by one; and under it, where they were drawn all at once, what that gave. */
static void answer_lines(FILE *out, const struct nxw_uncertainty *u, enum nxw_answer a)
{
    if (!isfinite(u->value[a]))
        return;
    if (u->not_given[a] != NULL)
        not_given_line(out, nxw_answer_names[a].words, a, u->value[a], u->not_given[a]);
    else
        interval_line(out, nxw_answer_names[a].words, a, u->low[a], u->high[a], u->value[a]);
    if (u->n_draws == 0)
        return;
    if (u->drawn_not_given[a] != NULL)
        not_given_line(out, "  by drawing", a, u->value[a], u->drawn_not_given[a]);
    else
        interval_line(out, "  by drawing", a, u->drawn_low[a], u->drawn_high[a], u->value[a]);
}

void nxw_intervals_print(FILE *out, const struct nxw_uncertainty *u)
{
    (void)fputs("\nHow sure is that: nineteen of twenty such bottles should lie within\n", out);
    for (int a = 0; a < NXW_ANSWERS; a++)
        answer_lines(out, u, (enum nxw_answer)a);
    size_t rank[NXW_FACTORS_MAX];
    const size_t n = nxw_uncertainty_rank(u, NXW_ANSWER_ESCAPED, rank);
    if (n >= 3)
        nxw_wrapf(
            out, "  ", 2,
            "Most of what is unsure about the escape: %s, %s, %s. Every uncertain constant and "
            "input was moved by its own error (--sensitivity: all of them).",
            u->factors[rank[0]].name, u->factors[rank[1]].name, u->factors[rank[2]].name);
    if (u->n_failed > 0)
        nxw_wrapf(out, "  ", 2, "%zu of them could not be followed to the end and are left out.",
                  u->n_failed);
    if (u->n_draws > 0)
        nxw_wrapf(out, "  ", 2,
                  "By drawing: all of them wrong at once, %zu times (latin hypercube); %zu of the "
                  "runs gave no result. Where it is wider, trust it more.",
                  u->n_draws, u->n_draws_failed);
}

double nxw_answer_points(enum nxw_answer answer, double change)
{
    return answer == NXW_ANSWER_PEAK || answer == NXW_ANSWER_VENT ? change : 100.0 * change;
}

double nxw_factor_step(const struct nxw_factor *f, enum nxw_answer answer, double value)
{
    return nxw_answer_points(answer, nxw_answer_step(answer, value, f->change[answer]));
}

static void factor_line(FILE *out, const struct nxw_factor *f, enum nxw_answer answer, double value)
{
    char elasticity[AMOUNT] = "-";
    if (isfinite(f->elasticity[answer]))
        nxw_number_text(f->elasticity[answer], 2, elasticity);
    const double change = nxw_factor_step(f, answer, value);
    (void)fprintf(out, "    %-28s %10s   %+9.2g %s\n", f->name, elasticity, change,
                  nxw_answer_names[answer].step_unit);
}

void nxw_sensitivity_print(FILE *out, const struct nxw_uncertainty *u)
{
    (void)fputs("\nWhat moves the answers\n", out);
    nxw_wrap(out, "  ", 2,
             "For each: percent of the answer per percent of the factor (for the temperature, K "
             "per percent), and what one standard error of the factor does. Differences of runs at "
             "a tolerance of 1e-9, central but where a factor has a limit.");
    for (int a = 0; a < NXW_ANSWERS; a++) {
        size_t rank[NXW_FACTORS_MAX];
        const size_t n = nxw_uncertainty_rank(u, (enum nxw_answer)a, rank);
        if (!isfinite(u->value[a]))
            continue;
        (void)fprintf(out, "  %s%s\n", nxw_answer_names[a].words,
                      u->not_given[a] != NULL ? ": not given" : "");
        for (size_t i = 0; i < n && i < SHOWN; i++)
            factor_line(out, &u->factors[rank[i]], (enum nxw_answer)a, u->value[a]);
    }
}
