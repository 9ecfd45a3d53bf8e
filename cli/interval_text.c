#include "interval_text.h"

#include <math.h>
#include <string.h>

#include "text_layout.h"

enum { AMOUNT = NXW_AMOUNT_LENGTH, SHOWN = 12 };

const char *const nxw_answer_words[NXW_ANSWERS] = {"kept as nitric acid", "left as nitrous acid",
                                                   "escaped", "hottest liquid"};
const char *const nxw_answer_keys[NXW_ANSWERS] = {"kept_fraction", "nitrous_acid_fraction",
                                                  "escaped_fraction", "peak_temperature_C"};

void nxw_answer_text(enum nxw_answer answer, double value, char out[NXW_AMOUNT_LENGTH])
{
    if (answer == NXW_ANSWER_PEAK)
        nxw_temperature_text(value + 273.15, out);
    else
        nxw_percent_text(value, 2, out);
}

/* The same, but never rounded up to all of it or down to nothing. */
static void interval_line(FILE *out, const struct nxw_uncertainty *u, enum nxw_answer answer)
{
    static const char less[] = "less than";
    char low[AMOUNT], high[AMOUNT], value[AMOUNT];
    nxw_answer_text(answer, u->low[answer], low);
    nxw_answer_text(answer, u->high[answer], high);
    nxw_answer_text(answer, u->value[answer], value);
    if (strcmp(low, high) == 0)
        (void)fprintf(out, "  %-23s %s\n", nxw_answer_words[answer], value);
    else if (strncmp(value, less, sizeof less - 1) == 0)
        (void)fprintf(out, "  %-23s up to %s   (%s)\n", nxw_answer_words[answer], high, value);
    else
        (void)fprintf(out, "  %-23s %s to %s   (about %s)\n", nxw_answer_words[answer], low, high,
                      value);
}

void nxw_intervals_print(FILE *out, const struct nxw_uncertainty *u)
{
    (void)fputs("\nHow sure is that: nineteen of twenty such bottles should lie within\n", out);
    for (int a = 0; a < NXW_ANSWERS; a++)
        interval_line(out, u, (enum nxw_answer)a);
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
}

double nxw_factor_step(const struct nxw_factor *f, enum nxw_answer answer, double value)
{
    const double change = f->change[answer];
    if (answer == NXW_ANSWER_PEAK)
        return change;
    return 100.0 * (1.0 / (1.0 + exp(-log(value / (1.0 - value)) - change)) - value);
}

static void factor_line(FILE *out, const struct nxw_factor *f, enum nxw_answer answer, double value)
{
    char elasticity[AMOUNT] = "-";
    if (isfinite(f->elasticity[answer]))
        nxw_number_text(f->elasticity[answer], 2, elasticity);
    const double change = nxw_factor_step(f, answer, value);
    (void)fprintf(out, "    %-28s %10s   %+9.2g %s\n", f->name, elasticity, change,
                  answer == NXW_ANSWER_PEAK ? "K" : "points");
}

void nxw_sensitivity_print(FILE *out, const struct nxw_uncertainty *u)
{
    (void)fputs("\nWhat moves the answers\n", out);
    nxw_wrapf(
        out, "  ", 2,
        "For each: percent of the answer per percent of the factor (for the temperature, K per "
        "percent), and what one standard error of the factor does. %s",
        u->both_ways ? "Central differences of runs at a tolerance of 1e-9."
                     : "One-sided differences.");
    for (int a = 0; a < NXW_ANSWERS; a++) {
        size_t rank[NXW_FACTORS_MAX];
        const size_t n = nxw_uncertainty_rank(u, (enum nxw_answer)a, rank);
        (void)fprintf(out, "  %s\n", nxw_answer_words[a]);
        for (size_t i = 0; i < n && i < SHOWN; i++)
            factor_line(out, &u->factors[rank[i]], (enum nxw_answer)a, u->value[a]);
    }
}
