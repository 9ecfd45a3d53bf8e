/* Starter cases to be filled in. */
#ifndef NXW_NEW_CASE_H
#define NXW_NEW_CASE_H

#include "noxwash.h"

/* The kinds, in the order of enum nxw_source_kind: "acid vapour", "metal", "metered", "table". */
enum { NXW_NEW_CASE_KINDS = 4 };

/* Kind of a word ("acid-vapour" is taken too); false: none of that name. */
bool nxw_new_case_kind(const char *word, enum nxw_source_kind *kind);

/* A commented case file of that kind that reads without faults; static text. */
const char *nxw_new_case_text(enum nxw_source_kind kind);

/* The table that the starter of the kind "table" names, to be put beside it; and its name. */
const char *nxw_new_case_table_text(void);
extern const char *const nxw_new_case_table_name;

#endif
