/* A file that an input file names: it lies beside that file, in a folder below, or in the folder
 * that NOXWASH_READ_FROM (an absolute path) allows. */
#ifndef NXW_NAMED_FILE_H
#define NXW_NAMED_FILE_H

#include "base/tree.h"

enum { NXW_PATH_LENGTH = 4096 };

/*
 * Its path; nothing is opened.
 *
 * Given:    beside  the file that names it
 *           place   node with the name; a fault is booked there
 * Returned: path; false: the name leads out of the folder, by itself or by a link, or is too long
 */
bool nxw_named_file(const char *beside, const struct nxw_node *place, char path[NXW_PATH_LENGTH],
                    struct nxw_fault_list *faults);

#endif
