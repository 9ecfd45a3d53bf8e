/* What every command that runs a case does: read it, run it until interrupted, say why it failed.
 */
#ifndef NXW_COMMAND_H
#define NXW_COMMAND_H

#include <stddef.h>
#include <stdint.h>

#include "case/case_file.h"
#include "command/options.h"

/*
 * Run a command with zeroed room for its work, too large for the stack; an interrupt is caught from
 * here on.
 *
 * Returned: the command's exit code, or 70 when memory is short
 */
enum nxw_exit nxw_with_work(size_t bytes,
                            enum nxw_exit (*run)(const struct nxw_options *options, void *work),
                            const struct nxw_options *options);

/*
 * Have a handler called when the program is asked to stop: Ctrl-C, SIGTERM, and the terminal's end,
 * unless that is ignored as under nohup.
 *
 * Given:    flags  of sigaction
 */
void nxw_on_stop(void (*handler)(int number), int flags);

/* Has it been asked to stop? And the same as an observer of a run. */
bool nxw_interrupted(void);
bool nxw_go_on(const struct nxw_series_row *row, void *user);

/* Processors to use: 1 to 64. */
unsigned nxw_processors(void);

/* Read a case; all its faults go to stderr. */
enum nxw_exit nxw_read_case(const char *path, struct nxw_case *in, struct nxw_case_notes *notes);

/* A case that was read before, as a tree: what it gives itself. Freed by the caller. */
enum nxw_exit nxw_marks_read(const char *path, struct nxw_node **tree);

/* Say on stderr why a run has no result; the exit code of that. diagnosis: NULL for none. */
enum nxw_exit nxw_run_failed(const char *path, enum nxw_status status,
                             const struct nxw_diagnosis *diagnosis);

/* A whole number from least to most; untouched when the option is not given. false: told on stderr.
 */
bool nxw_read_whole(const char *option, const char *text, uint64_t least, uint64_t most,
                    uint64_t *out);

#endif
