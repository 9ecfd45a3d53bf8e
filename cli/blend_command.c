#include "blend_command.h"

#include <errno.h>
#include <stdio.h>

#include "blend_report.h"
#include "json_document.h"

#define SCHEMA "noxwash-blend-1"

enum nxw_exit nxw_blend_fault(const char *option, const char *message)
{
    (void)fprintf(stderr, "noxwash: %s: %s\n", option, message);
    return NXW_EXIT_USAGE;
}

enum nxw_exit nxw_blend_outside(const char *message)
{
    (void)fprintf(stderr, "noxwash: %s\n", message);
    return NXW_EXIT_RANGE;
}

json_t *nxw_blend_head(struct nxw_json *j, const char *task)
{
    json_t *root = nxw_document(j, SCHEMA);
    nxw_json_text(j, root, "task", task);
    return root;
}

enum nxw_exit nxw_blend_finish(struct nxw_json *j, json_t *root)
{
    nxw_document_cautions(j, root, NULL);
    errno = 0;
    if (nxw_json_print(j, stdout, root))
        return NXW_EXIT_DONE;
    return errno == ENOMEM ? NXW_EXIT_INTERNAL : NXW_EXIT_IO;
}

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
