#include "decide/sweep_command.h"

#include <errno.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "command/command.h"
#include "decide/sweep_plot.h"
#include "decide/sweep_run.h"
#include "decide/sweep_store.h"
#include "decide/sweep_text.h"
#include "words/cautions.h"

static volatile sig_atomic_t interrupted, nothing_to_keep = 1;

/* Reading a case or judging a large database may take a while and leaves nothing behind. */
static void on_interrupt(int number)
{
    static const char told[] = "noxwash: interrupted\n";
    (void)number;
    if (nothing_to_keep != 0) {
        if (write(STDERR_FILENO, told, sizeof told - 1) < 0)
            _exit((int)NXW_EXIT_INTERNAL);
        _exit((int)NXW_EXIT_INTERRUPTED);
    }
    interrupted = 1;
}

static enum nxw_exit out_of_memory(void)
{
    (void)fputs("noxwash: out of memory\n", stderr);
    return NXW_EXIT_INTERNAL;
}

static enum nxw_exit usage(const char *text)
{
    (void)fprintf(stderr, "noxwash: %s\n", text);
    return NXW_EXIT_USAGE;
}

struct sweep {
    struct nxw_plan plan;
    struct nxw_sweep_identity identity;
    struct nxw_sweep_job job;
    struct nxw_sweep_sink sink;
    struct nxw_sweep_store *store;
    struct nxw_sweep_text text;
    struct nxw_sweep_outcome outcome;
    char *case_text;
    bool whole; /* every row is in the database */
    char out[256];
};

static enum nxw_exit read_options(const struct nxw_options *o, struct sweep *s)
{
    uint64_t sample = 0, seed = 1, threads = 0;
    char message[NXW_VARY_MESSAGE];
    if (!nxw_read_whole("--sample", o->sample, 1, NXW_SWEEP_CASES_MAX, &sample) ||
        !nxw_read_whole("--seed", o->seed, 0, 1000000000000000, &seed) ||
        !nxw_read_whole("--threads", o->threads, 1, 256, &threads))
        return NXW_EXIT_USAGE;
    if (o->seed != NULL && sample == 0)
        return usage("--seed goes with --sample");
    if (o->csv && o->json_lines)
        return usage("--csv and --json-lines exclude each other");
    if ((o->csv || o->json_lines) && o->out != NULL)
        return usage("--csv and --json-lines write to standard output; --out names a database");
    errno = 0;
    if (!nxw_plan_read(o->vary.n, o->vary.values, sample, seed, o->part, &s->plan, message))
        return errno == ENOMEM ? out_of_memory() : usage(message);
    const bool drawn = o->plot || o->svg != NULL;
    if (drawn && (o->csv || o->json_lines))
        return usage("--plot and --svg draw from the database; leave --csv and --json-lines out");
    if (drawn && !nxw_sweep_plot_fits(&s->plan, message))
        return usage(message);
    s->job.threads = (size_t)threads;
    return NXW_EXIT_DONE;
}

/* --------------------------------------------------------------------------------- case */

static enum nxw_exit check_base(struct nxw_node *tree, const char *path,
                                struct nxw_fault_list *faults, uint64_t *hash)
{
    struct nxw_case *in = calloc(1, sizeof *in);
    struct nxw_case_notes *notes = calloc(1, sizeof *notes);
    enum nxw_exit code = NXW_EXIT_INTERNAL;
    if (in == NULL || notes == NULL)
        (void)out_of_memory();
    else
        code = (enum nxw_exit)nxw_case_from_tree(tree, path, in, notes, faults);
    if (code == NXW_EXIT_DONE)
        *hash = nxw_hash(nxw_hash_tree(NXW_HASH_START, tree), in->source.rows,
                         in->source.n_rows * sizeof in->source.rows[0]);
    free(in);
    free(notes);
    return code;
}

/* Read and judge the case itself, then with the values it is to take. */
static enum nxw_exit read_case(const char *path, struct sweep *s)
{
    struct nxw_fault_list faults = {0};
    struct nxw_node *tree = NULL;
    enum nxw_read_status status;
    s->job.path = s->identity.case_path = path;
    s->job.json = nxw_is_json(path);
    s->case_text = nxw_file_read(path, NXW_PATH_FROM_COMMAND_LINE, NXW_TREE_BYTES_MAX,
                                 &s->job.length, &faults, &status);
    s->job.text = s->case_text;
    if (s->case_text != NULL)
        status = nxw_tree_read_text(s->case_text, s->job.length, s->job.json, &tree, &faults);
    enum nxw_exit code = (enum nxw_exit)status;
    if (code == NXW_EXIT_DONE)
        code = check_base(tree, path, &faults, &s->identity.case_hash);
    nxw_faults_print(stderr, path, &faults);
    if (code == NXW_EXIT_DONE)
        code = nxw_plan_check(&s->plan, tree, path, &s->identity.case_hash);
    nxw_tree_free(tree);
    nxw_fault_list_free(&faults);
    return code;
}

/* -------------------------------------------------------------------------------- output */

/* folder/still.yaml: still-sweep.sqlite here, or still-sweep-2of8.sqlite for a part. */
static bool name_database(const struct nxw_options *o, struct sweep *s)
{
    const char *slash = strrchr(o->operands[0], '/');
    const char *name = slash != NULL ? slash + 1 : o->operands[0];
    const char *dot = strrchr(name, '.');
    const int length = dot != NULL && dot != name ? (int)(dot - name) : (int)strlen(name);
    char part[48] = "";
    if (o->part != NULL)
        (void)snprintf(part, sizeof part, "-%lluof%llu", (unsigned long long)s->plan.part,
                       (unsigned long long)s->plan.parts);
    const int n = o->out != NULL
                      ? snprintf(s->out, sizeof s->out, "%s", o->out)
                      : snprintf(s->out, sizeof s->out, "%.*s-sweep%s.sqlite", length, name, part);
    return n > 0 && (size_t)n < sizeof s->out;
}

static enum nxw_exit stream_failed(void)
{
    if (ferror(stdout) == 0) /* a row could not be made */
        return out_of_memory();
    return NXW_EXIT_IO; /* main says so */
}

static enum nxw_exit open_sink(const struct nxw_options *o, struct sweep *s)
{
    s->identity.plan = &s->plan;
    s->text = (struct nxw_sweep_text){stdout, &s->plan};
    if (o->csv || o->json_lines) {
        const bool good = o->csv ? nxw_sweep_csv_open(&s->text, &s->sink)
                                 : nxw_sweep_json_open(&s->text, &s->identity, &s->sink);
        return good ? NXW_EXIT_DONE : stream_failed();
    }
    if (!name_database(o, s))
        return usage("the name of the database is too long");
    const enum nxw_exit code =
        nxw_sweep_store_open(s->out, &s->identity, &s->store, &s->sink, &s->job.present);
    if (code == NXW_EXIT_DONE && s->job.present > 0 && !o->quiet)
        (void)fprintf(stderr, "%s: %llu of %llu cases are there already\n", s->out,
                      (unsigned long long)s->job.present,
                      (unsigned long long)nxw_plan_count(&s->plan));
    return code;
}

static void tell_stream(const struct nxw_options *o, const struct sweep *s)
{
    if (s->outcome.without_result > 0)
        (void)fprintf(stderr, "noxwash: %llu cases without a result; 'reason' says why\n",
                      (unsigned long long)s->outcome.without_result);
    if (!o->quiet && o->csv) /* JSON lines carry them */
        nxw_cautions_print(stderr, NULL);
}

static bool tell_store(const struct sweep *s)
{
    struct nxw_sweep_tally tally;
    if (!nxw_sweep_store_tally(s->store, &tally))
        return false;
    (void)fprintf(
        stdout,
        "%s: %llu of %llu cases, %llu of them without a result%s\n"
        "one row per case in the table 'rows'; what they rest on in the table 'about'\n\n",
        s->out, (unsigned long long)tally.rows, (unsigned long long)nxw_plan_count(&s->plan),
        (unsigned long long)tally.without_result,
        tally.without_result > 0 ? " ('reason' says why)" : "");
    nxw_cautions_print(stdout, NULL);
    return true;
}

static enum nxw_exit draw(const struct nxw_options *o, struct sweep *s)
{
    enum nxw_exit code = NXW_EXIT_DONE;
    if (o->plot)
        code = nxw_sweep_plot(&s->plan, s->store, NULL);
    if (o->svg != NULL && code == NXW_EXIT_DONE)
        code = nxw_sweep_plot(&s->plan, s->store, o->svg);
    return code;
}

static enum nxw_exit run(const struct nxw_options *o, struct sweep *s)
{
    const bool stream = o->csv || o->json_lines;
    const bool mixed = stream && isatty(STDOUT_FILENO) != 0;
    s->job.plan = &s->plan;
    s->job.interrupted = &interrupted;
    s->job.progress = !o->quiet && !mixed && isatty(STDERR_FILENO) != 0;
    const enum nxw_exit code = nxw_sweep_run(&s->job, &s->sink, &s->outcome);
    if (code == NXW_EXIT_INTERRUPTED)
        (void)fprintf(stderr, "noxwash: interrupted; %llu of %llu cases are kept%s\n",
                      (unsigned long long)s->job.present + s->outcome.written,
                      (unsigned long long)nxw_plan_count(&s->plan),
                      stream ? "" : "; the same command goes on from there");
    if (code == NXW_EXIT_IO && stream) /* the database says so itself */
        return stream_failed();
    if (code != NXW_EXIT_DONE)
        return code;
    s->whole = true;
    if (!o->quiet && s->outcome.written > 0)
        (void)fprintf(stderr, "%llu cases in %.1f s on %zu threads: %.1f cases/s\n",
                      (unsigned long long)s->outcome.written, s->outcome.seconds,
                      s->outcome.threads, (double)s->outcome.written / s->outcome.seconds);
    if (stream)
        tell_stream(o, s);
    else if (!tell_store(s))
        return NXW_EXIT_IO;
    return draw(o, s);
}

enum nxw_exit nxw_sweep_command(const struct nxw_options *options)
{
    struct sweep *s = calloc(1, sizeof *s);
    if (s == NULL)
        return out_of_memory();
    /* a second Ctrl-C ends the program at once: the database stands that too */
    nxw_on_stop(on_interrupt, (int)SA_RESETHAND);
    enum nxw_exit code = read_options(options, s);
    if (code == NXW_EXIT_DONE)
        code = read_case(options->operands[0], s);
    if (code == NXW_EXIT_DONE && s->plan.sets_aside && !options->quiet)
        (void)fputs("noxwash: keys that a varied kind has no use for are left unread; 'set_aside' "
                    "names them\n",
                    stderr);
    if (code == NXW_EXIT_DONE)
        code = open_sink(options, s);
    nothing_to_keep = 0;
    if (code == NXW_EXIT_DONE)
        code = run(options, s);
    const enum nxw_exit fault = nxw_sweep_store_close(s->store, s->whole);
    if (fault != NXW_EXIT_DONE && (code == NXW_EXIT_DONE || code == NXW_EXIT_IO))
        code = fault; /* it knows better what went wrong */
    nxw_plan_free(&s->plan);
    free(s->case_text);
    free(s);
    return code;
}
