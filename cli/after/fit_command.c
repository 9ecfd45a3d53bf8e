#include "after/fit_command.h"

#include <errno.h>

#include "base/progress.h"
#include "command/command.h"
#include "study/fit.h"

struct work {
    struct nxw_fit fit;
    struct nxw_fit_result result;
    struct nxw_fit_plan plan;
};

static enum nxw_exit failed(const char *path, enum nxw_exit code)
{
    if (code == NXW_EXIT_INTERRUPTED)
        (void)fputs("noxwash: interrupted\n", stderr);
    else if (code == NXW_EXIT_SOLVER)
        (void)fprintf(stderr,
                      "noxwash: %s: the model gives no result at the values tried; narrow the "
                      "ranges\n",
                      path);
    else
        (void)fputs("noxwash: out of memory\n", stderr);
    return code;
}

static enum nxw_exit tell(bool good)
{
    return good ? NXW_EXIT_DONE : errno == ENOMEM ? NXW_EXIT_INTERNAL : NXW_EXIT_IO;
}

static enum nxw_exit plan(const char *path, bool json, struct work *w)
{
    const bool read = w->fit.n_readings > 0;
    const enum nxw_exit code = nxw_fit_plan_run(&w->fit, &w->plan);
    nxw_progress_end();
    if (code != NXW_EXIT_DONE)
        return failed(path, code);
    errno = 0;
    if (json)
        return tell(nxw_fit_plan_json(stdout, path, &w->fit, &w->plan));
    nxw_fit_plan_print(stdout, path, &w->fit, read, &w->plan);
    return NXW_EXIT_DONE;
}

static enum nxw_exit fit(const char *path, bool json, struct work *w)
{
    if (w->fit.n_readings == 0) {
        (void)fprintf(stderr,
                      "noxwash: %s: no reading that the model knows; give 'found', 'seen' or "
                      "'log', or ask with --plan what to read\n",
                      path);
        return NXW_EXIT_CASE;
    }
    enum nxw_exit code = nxw_fit_run(&w->fit, &w->result);
    nxw_progress_end();
    if (code != NXW_EXIT_DONE)
        return failed(path, code);
    errno = 0;
    if (json) {
        code = tell(nxw_fit_json(stdout, path, &w->fit, &w->result));
        if (code != NXW_EXIT_DONE)
            return code;
    } else
        nxw_fit_print(stdout, path, &w->fit, &w->result);
    if (!w->result.converged) {
        (void)fprintf(stderr, "noxwash: %s: the search did not come to an end\n", path);
        return NXW_EXIT_SOLVER;
    }
    return w->result.determined ? NXW_EXIT_DONE : NXW_EXIT_NOT_MET;
}

static enum nxw_exit run(const struct nxw_options *o, void *room)
{
    struct work *w = room;
    const char *path = o->operands[0];
    w->fit.threads = nxw_processors();
    w->fit.stop = nxw_interrupted;
    enum nxw_exit code = nxw_fit_read_run(path, true, &w->fit);
    if (code == NXW_EXIT_DONE)
        code = nxw_fit_read_unknowns(&o->unknown, &w->fit);
    if (code == NXW_EXIT_DONE)
        code = o->plan ? plan(path, o->json, w) : fit(path, o->json, w);
    nxw_fit_free(&w->fit);
    return code;
}

enum nxw_exit nxw_fit_command(const struct nxw_options *options)
{
    return nxw_with_work(sizeof(struct work), run, options);
}
