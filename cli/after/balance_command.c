#include "after/balance_command.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "after/balance_report.h"
#include "base/progress.h"
#include "command/command.h"

/* Readings of one place further apart than 95 of 100 of their errors allow. */
static void find_disagreement(struct nxw_balance_report *report)
{
    const struct nxw_run *run = report->run;
    for (size_t i = 0; i < run->n_found; i++)
        for (size_t k = 0; k < i; k++) {
            const struct nxw_found *a = &run->found[i], *b = &run->found[k];
            if (a->place == b->place && fabs(a->nitrogen_mol - b->nitrogen_mol) >
                                            NXW_OF_100_95 * hypot(a->error_mol, b->error_mol))
                report->disagree[a->place] = true;
        }
}

/* The remedies for the case of a believed run. Returned: next  NULL where there is nothing to run
 */
static enum nxw_exit run_remedies(const struct nxw_options *options, const struct nxw_run *run,
                                  struct nxw_remedies **next)
{
    *next = NULL;
    if (options->quick || run->in.n_stages == 0)
        return NXW_EXIT_DONE;
    struct nxw_remedies *all = calloc(1, sizeof *all);
    if (all == NULL)
        return nxw_run_failed(options->operands[0], NXW_ERROR_MEMORY, NULL);
    const enum nxw_status status = nxw_remedies_run(&run->in, &run->notes, nxw_go_on, NULL, all);
    nxw_progress_end();
    if (status < 0) {
        const enum nxw_exit code =
            nxw_run_failed(options->operands[0], status, &all->base.diagnosis);
        free(all);
        return code;
    }
    *next = all;
    return NXW_EXIT_DONE;
}

static enum nxw_exit account(const struct nxw_options *options, const struct nxw_run *run,
                             const struct nxw_expectation *expectation)
{
    const char *path = options->operands[0];
    struct nxw_balance_in in = {.available_mol = run->available_mol,
                                .available_error_mol = run->available_error_mol,
                                .complete = run->complete,
                                .n_places = run->n_places,
                                .n_readings = run->n_found};
    for (size_t i = 0; i < run->n_found; i++)
        in.readings[i] = (struct nxw_balance_reading){
            run->found[i].place, run->found[i].nitrogen_mol, run->found[i].error_mol};
    struct nxw_balance_report report = {.path = path, .run = run, .expectation = expectation};
    if (nxw_balance(&in, &report.account) != NXW_OK) {
        (void)fprintf(stderr, "noxwash: %s: the account cannot be drawn up\n", path);
        return NXW_EXIT_INTERNAL;
    }
    find_disagreement(&report);
    report.believed = !report.account.impossible;
    struct nxw_remedies *next = NULL;
    enum nxw_exit code = NXW_EXIT_DONE;
    if (report.believed)
        code = run_remedies(options, run, &next);
    report.next = next;
    errno = 0;
    if (code == NXW_EXIT_DONE && !options->json)
        nxw_balance_print(stdout, &report);
    else if (code == NXW_EXIT_DONE && !nxw_balance_json(stdout, &report))
        code = errno == ENOMEM ? NXW_EXIT_INTERNAL : NXW_EXIT_IO;
    free(next);
    if (report.believed || code != NXW_EXIT_DONE)
        return code;
    (void)fprintf(stderr,
                  "noxwash: %s: more nitrogen was found than was available; no yield is "
                  "given\n",
                  path);
    return NXW_EXIT_CASE;
}

static enum nxw_exit read_and_account(const struct nxw_options *options, void *room)
{
    struct nxw_run *run = room;
    const char *path = options->operands[0];
    struct nxw_fault_list faults = {0};
    enum nxw_exit code = (enum nxw_exit)nxw_run_file_read(path, run, &faults);
    nxw_faults_print(stderr, path, &faults);
    nxw_fault_list_free(&faults);
    struct nxw_expectation *expectation = NULL;
    if (code == NXW_EXIT_DONE)
        code = nxw_balance_expect(path, run, &expectation);
    if (code == NXW_EXIT_DONE) {
        nxw_balance_take_prices(run);
        code = account(options, run, expectation);
    }
    nxw_expectation_free(expectation);
    return code;
}

enum nxw_exit nxw_balance_command(const struct nxw_options *options)
{
    return nxw_with_work(sizeof(struct nxw_run), read_and_account, options);
}
