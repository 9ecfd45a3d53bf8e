#include "report/estimate_command.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>

#include "base/progress.h"
#include "case/resolved.h"
#include "command/command.h"
#include "report/figure.h"
#include "report/report_json.h"
#include "report/report_text.h"
#include "report/series_csv.h"
#include "study/hood_air.h"
#include "words/interval_text.h"
#include "words/run_words.h"

enum { DRAWS_MOST = 100000 };

/* Everything a command holds: large, so on the heap. */
struct work {
    struct nxw_case in, other_in;
    struct nxw_case_notes notes, other_notes;
    struct nxw_result result, other;
    struct nxw_what_ifs what_ifs;
    struct nxw_worst_case worst;
    struct nxw_uncertainty uncertainty;
    struct nxw_series_csv series;
    struct nxw_run_series course; /* for --plot */
    bool keeps_course;
    uint64_t n_draws;         /* --samples */
    enum nxw_answer worst_of; /* --worst-case */
    bool series_failed;
};

static bool watch(const struct nxw_series_row *row, void *user)
{
    struct work *work = user;
    if (work->keeps_course && !nxw_run_series_add(&work->course, row))
        return false;
    if (work->series.out.file != NULL && !nxw_series_csv_row(&work->series, row)) {
        work->series_failed = true;
        return false;
    }
    return !nxw_interrupted();
}

static enum nxw_exit print_resolved(const char *path, const struct nxw_case *in,
                                    const struct nxw_case_notes *notes)
{
    struct nxw_node *tree = NULL;
    enum nxw_exit code = nxw_marks_read(path, &tree);
    if (code == NXW_EXIT_DONE && !nxw_resolved_print(stdout, in, notes, tree))
        code = NXW_EXIT_IO;
    nxw_tree_free(tree);
    return code;
}

static enum nxw_exit series_failed(const char *path, const char *why)
{
    (void)fprintf(stderr, "noxwash: %s: cannot be written: %s\n", path, why);
    return NXW_EXIT_IO;
}

static enum nxw_exit run_base(const struct nxw_options *options, struct work *work)
{
    const char *path = options->operands[0], *series = options->series, *why = NULL;
    if (series != NULL)
        why = nxw_series_csv_open(&work->series, series);
    if (why != NULL)
        return series_failed(series, why);
    work->keeps_course = options->plot || options->svg != NULL;
    work->course.hood_mol_s = nxw_hood_mol_s(&work->in);
    const enum nxw_status status = nxw_estimate(&work->in, watch, work, &work->result);
    if (series != NULL)
        why = nxw_series_csv_close(&work->series, status >= 0 || work->series_failed);
    if (why != NULL)
        return series_failed(series, why);
    if (work->course.failed)
        return nxw_run_failed(path, NXW_ERROR_MEMORY, NULL);
    if (status < 0)
        return nxw_run_failed(path, status, &work->result.diagnosis);
    return NXW_EXIT_DONE;
}

static enum nxw_exit run_others(const struct nxw_options *options, struct work *work)
{
    enum nxw_status status = NXW_OK;
    if (options->against != NULL) {
        status = nxw_estimate(&work->other_in, nxw_go_on, NULL, &work->other);
        if (status < 0)
            return nxw_run_failed(options->against, status, &work->other.diagnosis);
    }
    if (!options->quick || options->sensitivity) {
        status = nxw_uncertainty_run(&work->in, &work->result, work->notes.overrides,
                                     work->notes.n_overrides, options->sensitivity,
                                     nxw_processors(), nxw_interrupted, NULL, &work->uncertainty);
    }
    if (status >= 0 && work->n_draws > 0)
        status = nxw_uncertainty_draw(&work->in, work->n_draws, 1, nxw_processors(),
                                      nxw_interrupted, &work->uncertainty);
    if (status >= 0 && !options->quick)
        status = nxw_what_ifs_run(&work->in, &work->result, nxw_go_on, NULL, &work->what_ifs);
    if (status >= 0 && options->worst_case != NULL)
        status = nxw_worst_case_run(&work->in, &work->result, work->worst_of, work->notes.overrides,
                                    work->notes.n_overrides, nxw_processors(), nxw_interrupted,
                                    &work->worst);
    nxw_progress_end();
    return status < 0 ? nxw_run_failed(options->operands[0], status, NULL) : NXW_EXIT_DONE;
}

static const char *draw_file(const char *path, const struct nxw_report *report,
                             const struct nxw_run_series *course)
{
    struct nxw_out_file out;
    const char *why = nxw_out_file_open(&out, path);
    if (why != NULL)
        return why;
    why = nxw_figures_svg(report, course, out.file);
    const char *not_there = nxw_out_file_close(&out, why == NULL);
    return why != NULL ? why : not_there;
}

/* The pictures that were asked for. */
static enum nxw_exit draw(const struct nxw_options *options, const struct nxw_report *report,
                          const struct nxw_run_series *course)
{
    const char *why = NULL;
    if (options->plot) {
        (void)fputs("\nIn the course of time\n", stdout);
        why = nxw_figures_text(report, course);
    }
    if (why == NULL && options->svg != NULL)
        why = draw_file(options->svg, report, course);
    if (why == NULL)
        return NXW_EXIT_DONE;
    (void)fprintf(stderr, "noxwash: no picture: %s\n", why);
    return NXW_EXIT_IO;
}

static enum nxw_exit print_report(const struct nxw_options *options, const struct work *work)
{
    const struct nxw_report report = {
        .path = options->operands[0],
        .in = &work->in,
        .notes = &work->notes,
        .result = &work->result,
        .what_ifs = options->quick ? NULL : &work->what_ifs,
        .worst = options->worst_case != NULL ? &work->worst : NULL,
        .uncertainty = work->uncertainty.ran ? &work->uncertainty : NULL,
        .other_path = options->against,
        .other_in = &work->other_in,
        .other = options->against != NULL ? &work->other : NULL,
        .why = options->why,
        .stats = options->stats,
    };
    if (!options->json) {
        nxw_estimate_print(stdout, &report);
        return draw(options, &report, &work->course); /* main looks at stdout */
    }
    errno = 0;
    if (nxw_estimate_json(stdout, &report))
        return draw(options, &report, &work->course);
    return errno == ENOMEM ? NXW_EXIT_INTERNAL : NXW_EXIT_IO;
}

/* --strict: nothing outside the range of the constants passes without a word to the caller. */
static enum nxw_exit judge_strictly(const struct nxw_result *r)
{
    enum nxw_exit code = r->status == NXW_ENDED_EARLY ? NXW_EXIT_RANGE : NXW_EXIT_DONE;
    for (size_t i = 0; i < NXW_WARNING_COUNT; i++) {
        const struct nxw_warning_word *w = &nxw_warning_words[i];
        if ((r->warnings & NXW_WARN_OUTSIDE & (unsigned)w->bit) == 0)
            continue;
        (void)fprintf(stderr, "noxwash: outside the valid range: %s\n", w->word.text);
        code = NXW_EXIT_RANGE;
    }
    return code;
}

static enum nxw_exit run_all(const struct nxw_options *options, void *room)
{
    struct work *work = room;
    const char *path = options->operands[0];
    enum nxw_exit code = nxw_read_case(path, &work->in, &work->notes);
    if (options->against != NULL) {
        const enum nxw_exit other =
            nxw_read_case(options->against, &work->other_in, &work->other_notes);
        code = code == NXW_EXIT_DONE ? other : code;
    }
    if (code != NXW_EXIT_DONE)
        return code;
    if (options->plot && options->json) {
        (void)fputs("noxwash: --plot draws on the terminal; leave --json out\n", stderr);
        return NXW_EXIT_USAGE;
    }
    if (!nxw_read_whole("--samples", options->samples, NXW_DRAWS_LEAST, DRAWS_MOST, &work->n_draws))
        return NXW_EXIT_USAGE;
    if (work->n_draws > 0 && options->quick) {
        (void)fputs("noxwash: --samples is for the intervals; leave --quick out\n", stderr);
        return NXW_EXIT_USAGE;
    }
    if (options->worst_case != NULL && !nxw_answer_read(options->worst_case, &work->worst_of))
        return NXW_EXIT_USAGE;
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
    nxw_run_series_free(&work->course);
    if (code == NXW_EXIT_DONE && options->strict)
        code = judge_strictly(&work->result);
    return code;
}

enum nxw_exit nxw_estimate_command(const struct nxw_options *options)
{
    return nxw_with_work(sizeof(struct work), run_all, options);
}
