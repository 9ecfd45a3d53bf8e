#include "report_command.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "out_path.h"
#include "report_page.h"

static volatile sig_atomic_t interrupted;

static void on_interrupt(int number)
{
    (void)number;
    interrupted = 1;
}

/* Everything the command holds: large, so on the heap. */
struct work {
    struct nxw_case in;
    struct nxw_case_notes notes;
    struct nxw_result result;
    struct nxw_what_ifs what_ifs;
    struct nxw_uncertainty uncertainty;
    struct nxw_run_series series;
    struct nxw_node *given;
    FILE *file; /* the page, under its temporary name; or stdout */
    char temporary[1024];
};

static bool watch(const struct nxw_series_row *row, void *user)
{
    (void)row;
    (void)user;
    return interrupted == 0;
}

static bool watch_and_keep(const struct nxw_series_row *row, void *user)
{
    return nxw_run_series_add(user, row) && interrupted == 0;
}

static bool stop_asked(void) { return interrupted != 0; }

static enum nxw_exit read_case(const char *path, struct work *work)
{
    struct nxw_fault_list faults = {0};
    const int status = nxw_case_file_read(path, &work->in, &work->notes, &faults);
    nxw_faults_print(stderr, path, &faults);
    nxw_fault_list_free(&faults);
    if (status == 0) {
        (void)nxw_tree_read_file(path, &work->given, &faults); /* for the marks only */
        nxw_fault_list_free(&faults);
    }
    return (enum nxw_exit)status;
}

static enum nxw_exit run_failed(const char *path, enum nxw_status status,
                                const struct nxw_diagnosis *diagnosis)
{
    if (status == NXW_ERROR_CANCELLED && interrupted != 0) {
        (void)fputs("noxwash: interrupted\n", stderr);
        return NXW_EXIT_INTERRUPTED;
    }
    const char *text = diagnosis->text[0] != '\0' ? diagnosis->text : nxw_status_text(status);
    (void)fprintf(stderr, "noxwash: %s: %s%s%s\n", path, diagnosis->path,
                  diagnosis->path[0] != '\0' ? ": " : "", text);
    return status == NXW_ERROR_CASE     ? NXW_EXIT_CASE
           : status == NXW_ERROR_RANGE  ? NXW_EXIT_RANGE
           : status == NXW_ERROR_SOLVER ? NXW_EXIT_SOLVER
                                        : NXW_EXIT_INTERNAL;
}

static enum nxw_exit run_case(const struct nxw_options *options, struct work *work)
{
    const long processors = sysconf(_SC_NPROCESSORS_ONLN);
    const unsigned threads = processors < 1 ? 1u : processors > 64 ? 64u : (unsigned)processors;
    const struct nxw_diagnosis none = {0};
    enum nxw_status status = nxw_estimate(&work->in, watch_and_keep, &work->series, &work->result);
    if (work->series.failed)
        return run_failed(options->operands[0], NXW_ERROR_MEMORY, &none);
    if (status < 0)
        return run_failed(options->operands[0], status, &work->result.diagnosis);
    if (!options->quick || options->sensitivity)
        nxw_uncertainty_run(&work->in, &work->result, work->notes.overrides,
                            work->notes.n_overrides, options->sensitivity, threads, stop_asked,
                            &work->uncertainty);
    if (!options->quick)
        status = nxw_what_ifs_run(&work->in, &work->result, watch, NULL, &work->what_ifs);
    if (interrupted != 0)
        status = NXW_ERROR_CANCELLED;
    return status < 0 ? run_failed(options->operands[0], status, &none) : NXW_EXIT_DONE;
}

/* -------------------------------------------------------------------------------- file */

static enum nxw_exit cannot_write(const char *path, int reason)
{
    (void)fprintf(stderr, "noxwash: %s: cannot be written: %s\n", path, strerror(reason));
    return NXW_EXIT_IO;
}

/* Under another name first: a page cut short never stands under its own. Opened before the runs,
 * so that a folder that cannot be written is known at once. */
static enum nxw_exit open_page(const char *path, struct work *work)
{
    if (path == NULL) {
        work->file = stdout;
        return NXW_EXIT_DONE;
    }
    const int n = snprintf(work->temporary, sizeof work->temporary, "%s.XXXXXX", path);
    if (n < 0 || (size_t)n >= sizeof work->temporary) {
        work->temporary[0] = '\0';
        return cannot_write(path, ENAMETOOLONG);
    }
    const int descriptor = mkstemp(work->temporary);
    if (descriptor < 0) {
        const int reason = errno;
        work->temporary[0] = '\0';
        return cannot_write(path, reason);
    }
    (void)fcntl(descriptor, F_SETFD, FD_CLOEXEC);
    const mode_t mask = umask(0);
    (void)umask(mask);
    work->file = fchmod(descriptor, 0666 & ~mask) == 0 ? fdopen(descriptor, "w") : NULL;
    if (work->file == NULL) {
        const int reason = errno;
        (void)close(descriptor);
        return cannot_write(path, reason);
    }
    return NXW_EXIT_DONE;
}

static enum nxw_exit close_page(const char *path, struct work *work, enum nxw_exit code)
{
    if (path == NULL)
        return code; /* main looks at stdout */
    if (work->file != NULL) {
        errno = 0;
        const bool written = fflush(work->file) == 0 && ferror(work->file) == 0;
        const int reason = errno != 0 ? errno : EIO;
        const bool closed = fclose(work->file) == 0;
        if (code == NXW_EXIT_DONE && !(written && closed))
            code = cannot_write(path, written ? errno : reason);
    }
    if (code == NXW_EXIT_DONE && rename(work->temporary, path) != 0)
        code = cannot_write(path, errno);
    if (code != NXW_EXIT_DONE && work->temporary[0] != '\0')
        (void)unlink(work->temporary);
    return code;
}

static void print_page(const struct nxw_options *options, const struct work *work)
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
    const struct nxw_page page = {&report, &work->series, work->given, options->sensitivity};
    const char *no_curves = nxw_report_page(work->file, &page);
    if (no_curves != NULL)
        (void)fprintf(stderr, "noxwash: the report has no curves: %s\n", no_curves);
}

static enum nxw_exit report(const struct nxw_options *options, struct work *work)
{
    enum nxw_exit code = read_case(options->operands[0], work);
    if (code == NXW_EXIT_DONE)
        code = options->out == NULL || nxw_out_path_check(options->out, options->operands[0])
                   ? open_page(options->out, work)
                   : NXW_EXIT_IO;
    if (code == NXW_EXIT_DONE)
        code = run_case(options, work);
    if (code == NXW_EXIT_DONE)
        print_page(options, work);
    return close_page(options->out, work, code);
}

enum nxw_exit nxw_report_command(const struct nxw_options *options)
{
    if (options->out == NULL && isatty(STDOUT_FILENO) != 0) {
        (void)fputs("noxwash: a page of HTML is not for the terminal; give --out FILE.html\n",
                    stderr);
        return NXW_EXIT_USAGE;
    }
    struct work *work = calloc(1, sizeof *work);
    if (work == NULL) {
        (void)fputs("noxwash: out of memory\n", stderr);
        return NXW_EXIT_INTERNAL;
    }
    const struct sigaction action = {.sa_handler = on_interrupt};
    (void)sigaction(SIGINT, &action, NULL);
    const enum nxw_exit code = report(options, work);
    nxw_run_series_free(&work->series);
    nxw_tree_free(work->given);
    free(work);
    return code;
}
