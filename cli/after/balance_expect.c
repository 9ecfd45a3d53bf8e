/* What the estimate expects where a run was read. */
#include <math.h>
#include <stdlib.h>

#include "after/balance_report.h"
#include "base/text_layout.h"
#include "command/command.h"

enum nxw_exit nxw_balance_expect(const char *path, const struct nxw_run *run,
                                 struct nxw_expectation **out)
{
    static const double nowhere[1][NXW_FIT_UNKNOWNS_MAX];
    *out = NULL;
    if (run->in.n_stages == 0) /* no case */
        return NXW_EXIT_DONE;
    struct nxw_expectation *e = calloc(1, sizeof *e);
    if (e == NULL)
        return nxw_run_failed(path, NXW_ERROR_MEMORY, NULL);
    e->fit.threads = 1;
    enum nxw_exit code = nxw_fit_read_run(path, false, &e->fit);
    if (code == NXW_EXIT_DONE) {
        code = nxw_fit_predict(&e->fit, 1, nowhere, &e->expected);
        if (code != NXW_EXIT_DONE)
            (void)nxw_run_failed(path,
                                 code == NXW_EXIT_INTERRUPTED ? NXW_ERROR_CANCELLED
                                 : code == NXW_EXIT_SOLVER    ? NXW_ERROR_SOLVER
                                                              : NXW_ERROR_MEMORY,
                                 NULL);
    }
    if (code != NXW_EXIT_DONE) {
        nxw_expectation_free(e);
        return code;
    }
    *out = e;
    return NXW_EXIT_DONE;
}

void nxw_expectation_free(struct nxw_expectation *e)
{
    if (e != NULL)
        nxw_fit_free(&e->fit);
    free(e);
}

/* The log in one sentence: how far it lies from the estimate, and the two peaks. */
static void print_log(FILE *out, const struct nxw_expectation *e)
{
    size_t n = 0;
    double square = 0.0, peak_K = 0.0, expected_K = 0.0;
    for (size_t i = 0; i < e->fit.n_readings; i++) {
        const struct nxw_fit_reading *m = &e->fit.readings[i];
        if (m->kind != NXW_FIT_LOG)
            continue;
        n++;
        square += (e->expected[i] - m->value) * (e->expected[i] - m->value);
        peak_K = fmax(peak_K, m->value);
        expected_K = fmax(expected_K, e->expected[i]);
    }
    if (n > 0)
        nxw_wrapf(out, "  ", 2,
                  "Log of temperatures: %zu rows, %.1f K from the estimate in the mean (root of "
                  "squares); hottest row %.1f degC, the estimate's %.1f degC.",
                  n, sqrt(square / (double)n), peak_K - 273.15, expected_K - 273.15);
}

void nxw_expectation_print(FILE *out, const struct nxw_expectation *e)
{
    (void)fprintf(out, "\nWhat the estimate expects\n  %-33s %15s %9s %10s %5s\n", "", "read",
                  "95 of 100", "expected", "off");
    for (size_t i = 0; i < e->fit.n_readings; i++) {
        const struct nxw_fit_reading *m = &e->fit.readings[i];
        const struct nxw_fit_unit *u = &nxw_fit_units[m->kind];
        char read[NXW_AMOUNT_LENGTH], error[NXW_AMOUNT_LENGTH], expected[NXW_AMOUNT_LENGTH];
        if (m->kind == NXW_FIT_LOG || m->kind == NXW_FIT_AVAILABLE)
            continue;
        nxw_number_text(m->value * u->factor + u->offset, 4, read);
        nxw_number_text(NXW_OF_100_95 * m->error * u->factor, 2, error);
        nxw_number_text(e->expected[i] * u->factor + u->offset, 4, expected);
        (void)fprintf(out, "  %-33.33s %8.8s %-6s %9s %10s %5.1f\n", m->name, read, u->unit, error,
                      expected, (e->expected[i] - m->value) / m->error + 0.0);
    }
    print_log(out, e);
    nxw_wrap(out, "  ", 2,
             "off: expected less read, in standard errors of the reading; the estimate's own "
             "errors are not counted. 'noxwash fit' looks for what explains the difference.");
    for (size_t i = 0; i < e->fit.n_ignored; i++)
        nxw_wrapf(out, "  ", 2, "'%s' is no place that the estimate tells of by itself.",
                  e->fit.ignored[i]);
}

json_t *nxw_expectation_json(struct nxw_json *j, const struct nxw_expectation *e)
{
    json_t *list = nxw_json_array(j);
    for (size_t i = 0; i < e->fit.n_readings; i++) {
        const struct nxw_fit_reading *m = &e->fit.readings[i];
        json_t *o = nxw_json_object(j);
        nxw_json_text(j, o, "name", m->name);
        nxw_json_text(j, o, "quantity", nxw_fit_quantities[m->kind]);
        nxw_json_number(j, o, "read", m->value);
        nxw_json_number(j, o, "standard_error", m->error);
        nxw_json_number(j, o, "expected", e->expected[i]);
        if (m->kind == NXW_FIT_LOG)
            nxw_json_number(j, o, "time_s", m->time_s);
        nxw_json_add(j, list, o);
    }
    return list;
}
