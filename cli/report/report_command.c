#include "report/report_command.h"

#include <stdio.h>
#include <unistd.h>

#include "base/out_file.h"
#include "base/progress.h"
#include "command/command.h"
#include "report/figure.h"
#include "report/report_page.h"
#include "study/hood_air.h"

/* Everything the command holds: large, so on the heap. */
struct work {
    struct nxw_case in;
    struct nxw_case_notes notes;
    struct nxw_result result;
    struct nxw_what_ifs what_ifs;
    struct nxw_remedies remedies;
    struct nxw_uncertainty uncertainty;
    struct nxw_run_series series;
    struct nxw_bands bands;
    struct nxw_node *given;
    struct nxw_out_file out;
};

static bool watch_and_keep(const struct nxw_series_row *row, void *user)
{
    return nxw_run_series_add(user, row) && !nxw_interrupted();
}

static enum nxw_exit read_case(const char *path, struct work *work)
{
    const enum nxw_exit code = nxw_read_case(path, &work->in, &work->notes);
    return code == NXW_EXIT_DONE ? nxw_marks_read(path, &work->given) : code;
}

static enum nxw_exit run_case(const struct nxw_options *options, struct work *work)
{
    work->series.hood_mol_s = nxw_hood_mol_s(&work->in);
    enum nxw_status status = nxw_estimate(&work->in, watch_and_keep, &work->series, &work->result);
    if (work->series.failed)
        return nxw_run_failed(options->operands[0], NXW_ERROR_MEMORY, NULL);
    if (status < 0)
        return nxw_run_failed(options->operands[0], status, &work->result.diagnosis);
    nxw_bands_begin(&work->bands, &work->series, &work->result, nxw_shown_time_s(&work->result));
    if (!options->quick || options->sensitivity)
        status =
            nxw_uncertainty_run(&work->in, &work->result, work->notes.overrides,
                                work->notes.n_overrides, options->sensitivity, nxw_processors(),
                                nxw_interrupted, &work->bands, &work->uncertainty);
    if (status >= 0 && !options->quick)
        status = nxw_what_ifs_run(&work->in, &work->result, nxw_go_on, NULL, &work->what_ifs);
    if (!options->quick && status >= 0 && !nxw_interrupted())
        status = nxw_remedies_run(&work->in, &work->notes, nxw_go_on, NULL, &work->remedies);
    nxw_progress_end();
    if (nxw_interrupted())
        status = NXW_ERROR_CANCELLED;
    return status < 0 ? nxw_run_failed(options->operands[0], status, NULL) : NXW_EXIT_DONE;
}

/* -------------------------------------------------------------------------------- file */

static enum nxw_exit cannot_write(const char *path, const char *why)
{
    if (why == NULL)
        return NXW_EXIT_DONE;
    (void)fprintf(stderr, "noxwash: %s: cannot be written: %s\n", path, why);
    return NXW_EXIT_IO;
}

static enum nxw_exit print_page(FILE *out, const struct nxw_options *options,
                                const struct work *work)
{
    const struct nxw_report report = {
        .path = options->operands[0],
        .in = &work->in,
        .notes = &work->notes,
        .result = &work->result,
        .what_ifs = options->quick ? NULL : &work->what_ifs,
        .uncertainty = work->uncertainty.ran ? &work->uncertainty : NULL,
        .why = true,
    };
    const struct nxw_page page = {&report, &work->series,
                                  work->uncertainty.ran ? &work->bands : NULL, work->given,
                                  options->quick ? NULL : &work->remedies};
    const char *no_curves;
    if (!nxw_report_page(out, &page, &no_curves))
        return nxw_run_failed(options->operands[0], NXW_ERROR_MEMORY, NULL);
    if (no_curves != NULL)
        (void)fprintf(stderr, "noxwash: the report has no curves: %s\n", no_curves);
    return NXW_EXIT_DONE;
}

/* The file is begun before the runs, so that a folder that cannot be written is known at once. */
static enum nxw_exit write_page(const struct nxw_options *options, struct work *work)
{
    const char *path = options->out; /* NULL: standard output; main looks at it */
    enum nxw_exit code = NXW_EXIT_DONE;
    if (path != NULL)
        code = cannot_write(path, nxw_out_file_open(&work->out, path));
    if (code != NXW_EXIT_DONE)
        return code;
    code = run_case(options, work);
    if (code == NXW_EXIT_DONE)
        code = print_page(path != NULL ? work->out.file : stdout, options, work);
    if (code == NXW_EXIT_DONE && nxw_interrupted()) /* gnuplot may have heard it too */
        code = nxw_run_failed(options->operands[0], NXW_ERROR_CANCELLED, NULL);
    if (path == NULL)
        return code;
    const char *why = nxw_out_file_close(&work->out, code == NXW_EXIT_DONE);
    return why != NULL ? cannot_write(path, why) : code;
}

static enum nxw_exit report(const struct nxw_options *options, void *room)
{
    struct work *work = room;
    enum nxw_exit code = read_case(options->operands[0], work);
    if (code == NXW_EXIT_DONE)
        code = write_page(options, work);
    nxw_run_series_free(&work->series);
    nxw_tree_free(work->given);
    return code;
}

enum nxw_exit nxw_report_command(const struct nxw_options *options)
{
    if (options->out == NULL && isatty(STDOUT_FILENO) != 0) {
        (void)fputs("noxwash: a page of HTML is not for the terminal; give --out FILE.html\n",
                    stderr);
        return NXW_EXIT_USAGE;
    }
    return nxw_with_work(sizeof(struct work), report, options);
}
