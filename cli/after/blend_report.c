#include "after/blend_report.h"

#include <errno.h>
#include <stdio.h>

#include "command/json_document.h"

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
