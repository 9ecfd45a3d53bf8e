#include "estimate_command.h"

#include <errno.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "out_path.h"
#include "report_json.h"
#include "report_text.h"
#include "report_words.h"
#include "resolved.h"
#include "series_csv.h"

static volatile sig_atomic_t interrupted;

static void on_interrupt(int number)
{
    (void)number;
    interrupted = 1;
}

/* Everything a command holds: large, so on the heap. */
struct work {
    struct nxw_case in, other_in;
    struct nxw_case_notes notes, other_notes;
    struct nxw_result result, other;
    struct nxw_what_ifs what_ifs;
    struct nxw_worst_case worst;
    struct nxw_uncertainty uncertainty;
    struct nxw_series_csv series;
    bool series_failed;
};

static bool watch(const struct nxw_series_row *row, void *user)
{
    (void)row;
    (void)user;
    return interrupted == 0;
}

static bool watch_and_write(const struct nxw_series_row *row, void *user)
{
    struct work *work = user;
    if (!nxw_series_csv_row(&work->series, row)) {
        work->series_failed = true;
        return false;
    }
    return interrupted == 0;
}

static enum nxw_exit read_case(const char *path, struct nxw_case *in, struct nxw_case_notes *notes)
{
    struct nxw_fault_list faults = {0};
    const int status = nxw_case_file_read(path, in, notes, &faults);
    nxw_faults_print(stderr, path, &faults);
    nxw_fault_list_free(&faults);
    return (enum nxw_exit)status;
}

static enum nxw_exit print_resolved(const char *path, const struct nxw_case *in,
                                    const struct nxw_case_notes *notes)
{
    struct nxw_fault_list faults = {0};
    struct nxw_node *tree = NULL;
    (void)nxw_tree_read_file(path, &tree, &faults); /* for the marks only; read before */
    const bool good = nxw_resolved_print(stdout, in, notes, tree);
    nxw_tree_free(tree);
    nxw_fault_list_free(&faults);
    return good ? NXW_EXIT_DONE : NXW_EXIT_IO;
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
    switch (status) {
    case NXW_ERROR_CASE:
        return NXW_EXIT_CASE;
    case NXW_ERROR_RANGE:
        return NXW_EXIT_RANGE;
    case NXW_ERROR_SOLVER:
        return NXW_EXIT_SOLVER;
    default:
        return NXW_EXIT_INTERNAL;
    }
}

static enum nxw_exit series_failed(const char *path)
{
    (void)fprintf(stderr, "noxwash: %s: cannot be written: %s\n", path, strerror(errno));
    return NXW_EXIT_IO;
}

static enum nxw_exit run_base(const struct nxw_options *options, struct work *work)
{
    const char *path = options->operands[0];
    if (options->series != NULL && !nxw_out_path_check(options->series, path))
        return NXW_EXIT_IO;
    if (options->series != NULL && !nxw_series_csv_open(&work->series, options->series))
        return series_failed(options->series);
    const enum nxw_status status = nxw_estimate(
        &work->in, options->series != NULL ? watch_and_write : watch, work, &work->result);
    if (options->series != NULL && !nxw_series_csv_close(&work->series, status >= 0))
        return series_failed(options->series);
    if (work->series_failed)
        return series_failed(options->series);
    if (status < 0)
        return run_failed(path, status, &work->result.diagnosis);
    return NXW_EXIT_DONE;
}

static bool stop_asked(void)
{
    return interrupted != 0;
}

static unsigned cores(void)
{
    const long n = sysconf(_SC_NPROCESSORS_ONLN);
    return n < 1 ? 1u : n > 64 ? 64u : (unsigned)n;
}

static void show_progress(size_t run, size_t runs)
{
    (void)fprintf(stderr, "\rworst case: constant %zu of %zu ", run + 1, runs);
    (void)fflush(stderr);
}

static enum nxw_exit run_others(const struct nxw_options *options, struct work *work)
{
    enum nxw_status status = NXW_OK;
    const struct nxw_diagnosis none = {0};
    if (options->against != NULL) {
        status = nxw_estimate(&work->other_in, watch, NULL, &work->other);
        if (status < 0)
            return run_failed(options->against, status, &work->other.diagnosis);
    }
    if (!options->quick || options->sensitivity) {
        nxw_uncertainty_run(&work->in, &work->result, work->notes.overrides,
                            work->notes.n_overrides, options->sensitivity, cores(), stop_asked,
                            &work->uncertainty);
        if (interrupted != 0)
            status = NXW_ERROR_CANCELLED;
    }
    if (status >= 0 && !options->quick)
        status = nxw_what_ifs_run(&work->in, &work->result, watch, NULL, &work->what_ifs);
    if (status >= 0 && options->worst_case) {
        const bool show = !options->quiet && !options->json && isatty(STDERR_FILENO) != 0;
        status = nxw_worst_case_run(&work->in, &work->result, work->notes.overrides,
                                    work->notes.n_overrides, watch, NULL,
                                    show ? show_progress : NULL, &work->worst);
        if (show)
            (void)fputs("\r\033[K", stderr);
    }
    return status < 0 ? run_failed(options->operands[0], status, &none) : NXW_EXIT_DONE;
}

static enum nxw_exit print_report(const struct nxw_options *options, const struct work *work)
{
    const struct nxw_report report = {
        .path = options->operands[0],
        .in = &work->in,
        .notes = &work->notes,
        .result = &work->result,
        .what_ifs = options->quick ? NULL : &work->what_ifs,
        .worst = options->worst_case ? &work->worst : NULL,
        .uncertainty = work->uncertainty.ran ? &work->uncertainty : NULL,
        .other_path = options->against,
        .other_in = &work->other_in,
        .other = options->against != NULL ? &work->other : NULL,
        .why = options->why,
    };
    if (!options->json) {
        nxw_estimate_print(stdout, &report);
        return NXW_EXIT_DONE; /* main looks at stdout */
    }
    errno = 0;
    if (nxw_estimate_json(stdout, &report))
        return NXW_EXIT_DONE;
    return errno == ENOMEM ? NXW_EXIT_INTERNAL : NXW_EXIT_IO;
}

/* --strict: nothing outside the range of the constants passes without a word to the caller. */
static enum nxw_exit judge_strictly(const struct nxw_result *r)
{
    enum nxw_exit code = r->status == NXW_ENDED_EARLY ? NXW_EXIT_RANGE : NXW_EXIT_DONE;
    for (size_t i = 0; i < NXW_WARNING_COUNT; i++) {
        const struct nxw_warning_word *w = &nxw_warning_words[i];
        if (!w->outside || (r->warnings & (unsigned)w->bit) == 0)
            continue;
        (void)fprintf(stderr, "noxwash: outside the valid range: %s\n", w->word.text);
        code = NXW_EXIT_RANGE;
    }
    return code;
}

static enum nxw_exit run_all(const struct nxw_options *options, struct work *work)
{
    const char *path = options->operands[0];
    enum nxw_exit code = read_case(path, &work->in, &work->notes);
    if (options->against != NULL) {
        const enum nxw_exit other =
            read_case(options->against, &work->other_in, &work->other_notes);
        code = code == NXW_EXIT_DONE ? other : code;
    }
    if (code != NXW_EXIT_DONE)
        return code;
    if (options->resolved)
        return print_resolved(path, &work->in, &work->notes);
    if (options->check) {
        (void)fprintf(stdout, "%s: no faults found\n", path);
        return NXW_EXIT_DONE;
    }
    code = run_base(options, work);
    if (code == NXW_EXIT_DONE)
        code = run_others(options, work);
    if (code == NXW_EXIT_DONE)
        code = print_report(options, work);
    if (code == NXW_EXIT_DONE && options->strict)
        code = judge_strictly(&work->result);
    return code;
}

enum nxw_exit nxw_estimate_command(const struct nxw_options *options)
{
    struct work *work = calloc(1, sizeof *work);
    if (work == NULL) {
        (void)fputs("noxwash: out of memory\n", stderr);
        return NXW_EXIT_INTERNAL;
    }
    const struct sigaction action = {.sa_handler = on_interrupt};
    (void)sigaction(SIGINT, &action, NULL);
    const enum nxw_exit code = run_all(options, work);
    free(work);
    return code;
}
