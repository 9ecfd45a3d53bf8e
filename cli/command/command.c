#include "command/command.h"

#include "base/progress.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static volatile sig_atomic_t interrupted;

static void on_interrupt(int number)
{
    (void)number;
    interrupted = 1;
}

void nxw_on_stop(void (*handler)(int number), int flags)
{
    const struct sigaction action = {.sa_handler = handler, .sa_flags = flags};
    struct sigaction now;
    (void)sigaction(SIGINT, &action, NULL);
    (void)sigaction(SIGTERM, &action, NULL);
    if (sigaction(SIGHUP, NULL, &now) == 0 && now.sa_handler != SIG_IGN)
        (void)sigaction(SIGHUP, &action, NULL);
}

enum nxw_exit nxw_with_work(size_t bytes,
                            enum nxw_exit (*run)(const struct nxw_options *options, void *work),
                            const struct nxw_options *options)
{
    void *work = calloc(1, bytes);
    if (work == NULL) {
        (void)fputs("noxwash: out of memory\n", stderr);
        return NXW_EXIT_INTERNAL;
    }
    /* a second one ends the program at once; what is being printed is printed to its end */
    nxw_on_stop(on_interrupt, (int)(SA_RESETHAND | SA_RESTART));
    nxw_progress_begin(!options->quiet && !options->json);
    const enum nxw_exit code = run(options, work);
    nxw_progress_end();
    free(work);
    return code;
}

bool nxw_interrupted(void) { return interrupted != 0; }

bool nxw_go_on(const struct nxw_series_row *row, void *user)
{
    (void)row;
    (void)user;
    return interrupted == 0;
}

unsigned nxw_processors(void)
{
    const long n = sysconf(_SC_NPROCESSORS_ONLN);
    return n < 1 ? 1u : n > 64 ? 64u : (unsigned)n;
}

enum nxw_exit nxw_read_case(const char *path, struct nxw_case *in, struct nxw_case_notes *notes)
{
    struct nxw_fault_list faults = {0};
    const int status = nxw_case_file_read(path, NXW_PATH_FROM_COMMAND_LINE, in, notes, &faults);
    nxw_faults_print(stderr, path, &faults);
    nxw_fault_list_free(&faults);
    return (enum nxw_exit)status;
}

enum nxw_exit nxw_marks_read(const char *path, struct nxw_node **tree)
{
    struct nxw_fault_list faults = {0};
    const enum nxw_read_status status =
        nxw_tree_read_file(path, NXW_PATH_FROM_COMMAND_LINE, tree, &faults);
    nxw_faults_print(stderr, path, &faults);
    nxw_fault_list_free(&faults);
    return (enum nxw_exit)status;
}

enum nxw_exit nxw_run_failed(const char *path, enum nxw_status status,
                             const struct nxw_diagnosis *diagnosis)
{
    if (status == NXW_ERROR_CANCELLED && nxw_interrupted()) {
        (void)fputs("noxwash: interrupted\n", stderr);
        return NXW_EXIT_INTERRUPTED;
    }
    const struct nxw_diagnosis none = {0};
    const struct nxw_diagnosis *d = diagnosis != NULL ? diagnosis : &none;
    (void)fprintf(stderr, "noxwash: %s: %s%s%s\n", path, d->path, d->path[0] != '\0' ? ": " : "",
                  d->text[0] != '\0' ? d->text : nxw_status_text(status));
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

bool nxw_read_whole(const char *option, const char *text, uint64_t least, uint64_t most,
                    uint64_t *out)
{
    if (text == NULL)
        return true;
    char *end = NULL;
    const bool digits = text[0] >= '0' && text[0] <= '9' && strlen(text) <= 18;
    const unsigned long long value = digits ? strtoull(text, &end, 10) : 0;
    if (!digits || *end != '\0' || value < least || value > most) {
        (void)fprintf(stderr, "noxwash: %s '%.40s': a whole number from %llu to %llu is wanted\n",
                      option, text, (unsigned long long)least, (unsigned long long)most);
        return false;
    }
    *out = value;
    return true;
}
