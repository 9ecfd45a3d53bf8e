#include "command/json_document.h"

#include "noxwash.h"

json_t *nxw_document(struct nxw_json *j, const char *schema)
{
    json_t *root = nxw_json_object(j), *program = nxw_json_object(j);
    json_t *constants = nxw_json_object(j);
    nxw_json_text(j, root, "schema", schema);
    nxw_json_text(j, program, "version", nxw_version());
    nxw_json_text(j, program, "commit", nxw_commit());
    nxw_json_put(j, root, "program", program);
    nxw_json_text(j, constants, "version", nxw_parameter_version());
    nxw_json_text(j, constants, "hash", nxw_parameter_hash());
    nxw_json_put(j, root, "constants", constants);
    return root;
}

void nxw_document_cautions(struct nxw_json *j, json_t *root, const struct nxw_caution_for *about)
{
    json_t *cautions = nxw_json_array(j);
    struct nxw_cautions all;
    nxw_cautions_make(about, &all);
    for (size_t i = 0; i < all.n; i++)
        nxw_json_add(j, cautions, json_string(all.text[i]));
    nxw_json_put(j, root, "cautions", cautions);
}
