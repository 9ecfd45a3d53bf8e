/* What every JSON document of the program begins and ends with. */
#ifndef NXW_JSON_DOCUMENT_H
#define NXW_JSON_DOCUMENT_H

#include "base/json_out.h"
#include "words/cautions.h"

/* An object with its schema, the program's version and commit, and the constants' version and hash:
 * under "program" and "constants". */
json_t *nxw_document(struct nxw_json *j, const char *schema);

/* The cautions, last; about as in cautions.h. */
void nxw_document_cautions(struct nxw_json *j, json_t *root, const struct nxw_caution_for *about);

#endif
