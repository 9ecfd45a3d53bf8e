/* A case printed in full: every default filled in, as a commented case file. */
#ifndef NXW_RESOLVED_H
#define NXW_RESOLVED_H

#include <stdio.h>

#include "case/case_file.h"

/*
 * Print a case as a case file that reads back to the same case.
 *
 * Given:    in, notes  of a case that was read without faults
 *           given      the tree it was read from: what it does not name is marked "default";
 *                      NULL: no marks
 * Returned: false when writing failed
 */
bool nxw_resolved_print(FILE *out, const struct nxw_case *in, const struct nxw_case_notes *notes,
                        struct nxw_node *given);

#endif
