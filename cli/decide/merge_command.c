#include "decide/merge_command.h"

#include "command/command.h"
#include "decide/sweep_store.h"
#include "words/cautions.h"

static enum nxw_exit merge(const struct nxw_options *options, void *room)
{
    struct nxw_sweep_tally *tally = room;
    const char *out = options->operands[0];
    const enum nxw_exit code = nxw_sweep_store_merge(out, options->n_operands - 1,
                                                     options->operands + 1, nxw_interrupted, tally);
    if (code != NXW_EXIT_DONE)
        return code;
    (void)fprintf(stdout, "%s: %llu of %llu cases, %llu of them without a result\n", out,
                  (unsigned long long)tally->rows, (unsigned long long)tally->cases,
                  (unsigned long long)tally->without_result);
    nxw_cautions_print(stdout, NULL);
    if (tally->rows == tally->cases)
        return NXW_EXIT_DONE;
    (void)fprintf(stderr,
                  "noxwash: %llu cases are missing; merge the parts that hold them, or run the "
                  "sweep without --part and with --out %s\n",
                  (unsigned long long)(tally->cases - tally->rows), out);
    return NXW_EXIT_NOT_MET;
}

enum nxw_exit nxw_merge_command(const struct nxw_options *options)
{
    return nxw_with_work(sizeof(struct nxw_sweep_tally), merge, options);
}
