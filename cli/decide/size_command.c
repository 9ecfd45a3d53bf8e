#include "decide/size_command.h"

#include <errno.h>

#include "base/progress.h"
#include "command/command.h"
#include "decide/size_report.h"

static bool read_options(const struct nxw_options *o, struct nxw_size_work *w)
{
    const char *const texts[NXW_TARGET_COUNT] = {o->capture, o->vent, o->least_strength,
                                                 o->peak_temperature};
    return nxw_targets_read(texts, &w->targets) && nxw_free_read(o->free, &w->free);
}

static enum nxw_exit run(const struct nxw_options *options, void *room)
{
    struct nxw_size_work *w = room;
    const char *path = options->operands[0];
    if (!read_options(options, w))
        return NXW_EXIT_USAGE;
    const enum nxw_exit read = nxw_read_case(path, &w->in, &w->notes);
    if (read != NXW_EXIT_DONE)
        return read;
    if (w->targets.vent.in_hood && !(w->in.hood_flow_m3_s > 0.0)) {
        (void)fprintf(stderr,
                      "noxwash: --vent '%.40s' counts in the hood's air, and %s does not say how "
                      "much that is: give hood.flow, such as hood: {flow: 10 m3/min}\n",
                      options->vent, path);
        return NXW_EXIT_USAGE;
    }
    nxw_free_keep(&w->free, &w->in);
    enum nxw_status status =
        nxw_size_search(&w->in, &w->targets, &w->free, nxw_go_on, NULL, &w->diagnosis, &w->result);
    if (status >= 0 && w->result.found && !options->quick)
        status = nxw_size_range_run(&w->in, &w->targets, &w->free, &w->result, w->notes.overrides,
                                    w->notes.n_overrides, nxw_processors(), nxw_go_on, NULL,
                                    nxw_interrupted, &w->range);
    nxw_progress_end();
    if (status < 0)
        return nxw_run_failed(path, status, &w->diagnosis);
    errno = 0;
    if (!options->json)
        nxw_size_print_text(stdout, path, w);
    else if (!nxw_size_print_json(stdout, path, w))
        return errno == ENOMEM ? NXW_EXIT_INTERNAL : NXW_EXIT_IO;
    return w->result.found ? NXW_EXIT_DONE : NXW_EXIT_NOT_MET;
}

enum nxw_exit nxw_size_command(const struct nxw_options *options)
{
    return nxw_with_work(sizeof(struct nxw_size_work), run, options);
}
