/* A fit told to people. */
#include <math.h>
#include <string.h>

#include "base/text_layout.h"
#include "study/fit.h"
#include "words/cautions.h"

enum { TOP = 3, SENTENCE = 400 };

/* "35.2 %": a figure of an unknown with so many digits. */
static void figure(double value, const char *unit, char out[NXW_AMOUNT_LENGTH])
{
    char number[NXW_AMOUNT_LENGTH];
    nxw_number_text(value, 4, number);
    (void)snprintf(out, NXW_AMOUNT_LENGTH, "%.14s%s%.20s", number, unit[0] != '\0' ? " " : "",
                   unit);
}

static void print_unknowns(FILE *out, const struct nxw_fit *fit, const struct nxw_fit_result *r)
{
    for (size_t k = 0; k < r->n; k++) {
        const struct nxw_vary *u = &fit->unknowns[k];
        char value[NXW_AMOUNT_LENGTH], low[NXW_AMOUNT_LENGTH], high[NXW_AMOUNT_LENGTH];
        const double reach = NXW_OF_100_95 * r->error[k];
        figure(r->value[k], u->unit, value);
        figure(r->value[k] - reach, u->unit, low);
        figure(r->value[k] + reach, u->unit, high);
        (void)fprintf(out, "  %zu. %-30s %12s   ", k + 1, u->path, value);
        if (isnan(r->error[k]))
            (void)fputs("not fixed by the readings\n", out);
        else
            (void)fprintf(out, "%s to %s\n", low, high);
    }
}

static void print_correlation(FILE *out, const struct nxw_fit *fit, const struct nxw_fit_result *r)
{
    if (r->n < 2)
        return;
    (void)fputs("\nCorrelation (numbers as above)\n      ", out);
    for (size_t k = 0; k < r->n; k++)
        (void)fprintf(out, " %7zu", k + 1);
    (void)fputc('\n', out);
    for (size_t i = 0; i < fit->n_unknowns; i++) {
        (void)fprintf(out, "  %3zu.", i + 1);
        for (size_t k = 0; k <= i; k++)
            if (isnan(r->correlation[i][k]))
                (void)fprintf(out, " %7s", "-");
            else
                (void)fprintf(out, " %7.3f", r->correlation[i][k] + 0.0);
        (void)fputc('\n', out);
    }
}

/* What must be known before the limits are believed. */
static void print_warnings(FILE *out, const struct nxw_fit *fit, const struct nxw_fit_result *r)
{
    char names[SENTENCE] = "";
    size_t used = 0, n = 0;
    for (size_t k = 0; k < r->n; k++) {
        if (!r->together[k] || r->untold[k])
            continue;
        const int w = snprintf(names + used, sizeof names - used, "%s%s", n++ > 0 ? " and " : "",
                               fit->unknowns[k].path);
        used = w > 0 && used + (size_t)w < sizeof names ? used + (size_t)w : used;
    }
    if (n > 0)
        nxw_wrapf(out, "  ! ", 4,
                  "The readings cannot tell apart: %s. Many values of them explain the readings "
                  "equally well; the values above are one of these. Fix one, or read something "
                  "else (see --plan).",
                  names);
    for (size_t k = 0; k < r->n; k++) {
        if (r->untold[k])
            nxw_wrapf(out, "  ! ", 4,
                      "The readings say nothing about %s: they tell less than the range given.",
                      fit->unknowns[k].path);
        for (size_t i = 0; i < k; i++)
            if (fabs(r->correlation[k][i]) > NXW_FIT_CORRELATED)
                nxw_wrapf(out, "  ! ", 4,
                          "The readings can hardly tell apart: %s and %s (correlation %.3f). %s.",
                          fit->unknowns[i].path, fit->unknowns[k].path, r->correlation[k][i],
                          r->correlation[k][i] < 0.0
                              ? "More of one with less of the other fits almost as well"
                              : "More of both, or less, fits almost as well");
        if (r->at_end[k])
            nxw_wrapf(out, "  ! ", 4,
                      "%s lies at the end of its range: the readings ask for more than the range "
                      "allows, and the limits do not hold.",
                      fit->unknowns[k].path);
    }
    if (r->widened > 1.0)
        nxw_wrapf(out, "  ! ", 4,
                  "The model does not meet the readings within their errors (chance %.2g): a "
                  "reading is wrong, its error is larger, or the case or the model is not right. "
                  "The limits are widened %.2f times.",
                  r->probability, r->widened);
}

static void print_readings(FILE *out, const struct nxw_fit *fit, const struct nxw_fit_result *r)
{
    size_t n_log = 0;
    double square = 0.0, worst = 0.0, leverage = 0.0;
    bool assumed = false;
    (void)fprintf(out, "\n%-35s %13s %9s %8s %5s %4s\n", "Readings", "read", "95 of 100", "fitted",
                  "off", "pull");
    for (size_t j = 0; j < fit->n_readings; j++) {
        const struct nxw_fit_reading *m = &fit->readings[j];
        const struct nxw_fit_unit *u = &nxw_fit_units[m->kind];
        char read[NXW_AMOUNT_LENGTH], error[NXW_AMOUNT_LENGTH], fitted[NXW_AMOUNT_LENGTH],
            name[128];
        assumed |= m->error_assumed;
        if (m->kind == NXW_FIT_LOG) {
            n_log++;
            square += r->standardised[j] * r->standardised[j];
            worst = fmax(worst, fabs(r->predicted[j] - m->value));
            leverage += r->leverage[j];
            continue;
        }
        (void)snprintf(name, sizeof name, "%s%s", m->name, m->error_assumed ? " *" : "");
        figure(m->value * u->factor + u->offset, u->unit, read);
        nxw_number_text(NXW_OF_100_95 * m->error * u->factor, 2, error);
        nxw_number_text(r->predicted[j] * u->factor + u->offset, 4, fitted);
        (void)fprintf(out, "  %-33.33s %13s %9s %8s %5.1f %4.2f\n", name, read, error, fitted,
                      r->standardised[j] + 0.0, r->leverage[j]);
    }
    if (n_log > 0)
        nxw_wrapf(out, "  ", 4,
                  "log of temperatures, %zu rows: off by %.1f standard errors in the mean, by "
                  "%.1f K at most; pull %.2f",
                  n_log, sqrt(square / (double)n_log), worst, leverage);
    nxw_wrap(out, "  ", 2,
             "off: fitted less read, in standard errors; pull: how far the fit follows this "
             "reading alone, 0 not at all, 1 wholly");
    if (assumed)
        nxw_wrap(out, "  ", 2,
                 "*: its error, or that of its amount, was not given and is "
                 "assumed");
    for (size_t i = 0; i < fit->n_ignored; i++)
        nxw_wrapf(out, "  ", 2, "'%s' is no place of the model and is not used.", fit->ignored[i]);
}

/* For an unknown, the readings whose errors move it most; rows of the log count as one. */
static void print_pulls(FILE *out, const struct nxw_fit *fit, const struct nxw_fit_result *r)
{
    (void)fputs("\nWhat pulls hardest (move of the unknown with the reading's own 95 of 100)\n",
                out);
    for (size_t k = 0; k < r->n; k++) {
        double log_square = 0.0;
        char line[SENTENCE];
        size_t used = 0, taken[TOP] = {0};
        if (isnan(r->error[k]))
            continue;
        for (size_t j = 0; j < fit->n_readings; j++)
            if (fit->readings[j].kind == NXW_FIT_LOG)
                log_square += r->pull[j][k] * r->pull[j][k];
        (void)snprintf(line, sizeof line, "%s:", fit->unknowns[k].path);
        used = strlen(line);
        double greatest = 0.0;
        bool log_told = !(log_square > 0.0);
        for (size_t t = 0; t < TOP; t++) {
            double most = log_told ? 0.0 : sqrt(log_square);
            size_t which = fit->n_readings;
            for (size_t j = 0; j < fit->n_readings; j++) {
                bool told = fit->readings[j].kind == NXW_FIT_LOG;
                for (size_t i = 0; i < t; i++)
                    told |= taken[i] == j;
                if (!told && fabs(r->pull[j][k]) > most) {
                    most = fabs(r->pull[j][k]);
                    which = j;
                }
            }
            taken[t] = which;
            if (!(most > 0.0) || most < 0.01 * greatest)
                break;
            log_told |= which == fit->n_readings;
            char move[NXW_AMOUNT_LENGTH];
            figure(NXW_OF_100_95 * most, fit->unknowns[k].unit, move);
            const int w = snprintf(
                line + used, sizeof line - used, "%s %s %s", t > 0 ? ";" : "",
                which < fit->n_readings ? fit->readings[which].name : "log of temperatures", move);
            used = w > 0 && used + (size_t)w < sizeof line ? used + (size_t)w : used;
            greatest = fmax(greatest, most);
        }
        nxw_wrap(out, "  ", 4, line);
    }
}

void nxw_fit_print(FILE *out, const char *path, const struct nxw_fit *fit,
                   const struct nxw_fit_result *r)
{
    (void)fprintf(out, "Fit of %zu unknown%s to %zu reading%s: %s\n\n", r->n, r->n == 1 ? "" : "s",
                  fit->n_readings, fit->n_readings == 1 ? "" : "s", path);
    (void)fprintf(out, "  %-33s %12s   %s\n", "unknown", "value", "limits, 95 of 100");
    print_unknowns(out, fit, r);
    (void)fputc('\n', out);
    print_warnings(out, fit, r);
    if (r->degrees > 0)
        nxw_wrapf(out, "  ", 2,
                  "Chi-square %.2f with %zu reading%s more than unknowns: so bad a fit or worse "
                  "comes by chance in %.2g of 100 cases.",
                  r->chi_square, r->degrees, r->degrees == 1 ? "" : "s", 100.0 * r->probability);
    else
        nxw_wrap(out, "  ", 2,
                 "No more readings than unknowns: nothing checks whether the model fits.");
    nxw_wrap(out, "  ", 2,
             "The limits count the errors of the readings; the constants of the model and the rest "
             "of the case are taken as known.");
    print_correlation(out, fit, r);
    print_readings(out, fit, r);
    print_pulls(out, fit, r);
    (void)fputc('\n', out);
    nxw_cautions_print(out, NULL);
}

/* -------------------------------------------------------------------------------- plan */

void nxw_fit_plan_print(FILE *out, const char *path, const struct nxw_fit *fit, bool read,
                        const struct nxw_fit_plan *plan)
{
    (void)fprintf(out, "What a further reading would tell: %s\n\n", path);
    nxw_wrap(out, "  ", 2,
             plan->loose ? "Judged at one of the many values that explain the readings there are."
             : read      ? "Judged at the fit of the readings there are."
                         : "Judged at the middle of the ranges; nothing is read yet.");
    for (size_t k = 0; k < plan->n_unknowns; k++) {
        const struct nxw_vary *u = &fit->unknowns[k];
        char value[NXW_AMOUNT_LENGTH], before[NXW_AMOUNT_LENGTH];
        figure(plan->value[k], u->unit, value);
        figure(NXW_OF_100_95 * plan->before[k], u->unit, before);
        (void)fprintf(out, "\n%s = %s, now known to +-%s\n", u->path, value, before);
        bool told[NXW_FIT_CANDIDATES_MAX] = {false};
        size_t n = 0;
        for (; n < 5; n++) {
            size_t best = plan->n;
            for (size_t i = 0; i < plan->n; i++)
                if (!told[i] && (best == plan->n ||
                                 plan->candidates[i].after[k] < plan->candidates[best].after[k]))
                    best = i;
            /* a reading that narrows by less than a hundredth is none */
            if (best == plan->n || plan->candidates[best].after[k] > 0.99 * plan->before[k])
                break;
            told[best] = true;
            const struct nxw_fit_reading *m = &plan->candidates[best].reading;
            const struct nxw_fit_unit *unit = &nxw_fit_units[m->kind];
            char expected[NXW_AMOUNT_LENGTH], error[NXW_AMOUNT_LENGTH], after[NXW_AMOUNT_LENGTH];
            nxw_number_text(m->value * unit->factor + unit->offset, 3, expected);
            nxw_number_text(NXW_OF_100_95 * m->error * unit->factor, 2, error);
            figure(NXW_OF_100_95 * plan->candidates[best].after[k], u->unit, after);
            nxw_wrapf(out, "  - ", 4, "%s (about %s, read to +-%s %s): +-%s", m->name, expected,
                      error, unit->unit, after);
        }
        if (n == 0)
            nxw_wrap(out, "  ", 2, "None of the readings tried would narrow it.");
    }
    (void)fputc('\n', out);
    nxw_wrap(out, "  ", 2,
             "All limits are 95 of 100; the ranges given count as what is known beforehand. Errors "
             "of the readings tried are judgement.");
    (void)fputc('\n', out);
    nxw_cautions_print(out, NULL);
}
