#include "after/blend_command.h"

#include <stdio.h>

#include "after/blend_report.h"

/* An option that the task cannot use; NULL: none given. */
static const char *stray(const struct nxw_blend_options *o)
{
    if (o->parts.n == 0 && o->make != NULL)
        return "--make";
    if (o->parts.n == 0 && o->water_temperature != NULL)
        return "--water-temperature";
    if (o->next == NULL && o->weak_acid != NULL)
        return "--weak-acid";
    if (o->next == NULL && o->stage != NULL)
        return "--stage";
    return o->peroxide != NULL && o->target != NULL ? "--target" : NULL;
}

enum nxw_exit nxw_blend_command(const struct nxw_options *options)
{
    const struct nxw_blend_options *o = &options->blend;
    const int tasks = (int)(o->parts.n > 0) + (int)(o->peroxide != NULL) + (int)(o->next != NULL);
    if (tasks != 1) {
        (void)fprintf(stderr,
                      "noxwash: %s: --part (mix and dilute), --peroxide (strengths of "
                      "peroxide) or --next-bottle CASE; see noxwash blend --help\n",
                      tasks == 0 ? "say what to do" : "one task at a time");
        return NXW_EXIT_USAGE;
    }
    if (stray(o) != NULL)
        return nxw_blend_fault(stray(o), "it does not go with this task; see noxwash blend --help");
    if (o->peroxide != NULL)
        return nxw_blend_peroxide(options);
    return o->next != NULL ? nxw_blend_next(options) : nxw_blend_mix(options);
}
