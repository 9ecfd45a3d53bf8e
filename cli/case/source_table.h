/* The CSV table of a source, or of its shape, beside the case file. */
#ifndef NXW_SOURCE_TABLE_H
#define NXW_SOURCE_TABLE_H

#include "base/tree.h"
#include "noxwash.h"

/*
 * Given:    case_path  the table is looked for in the same folder
 *           place      node with the table's name; faults are booked there
 *           shape      true: columns time_s,strength; false: time_s and the seven flows
 * Returned: source     rows, n_rows
 */
bool nxw_source_table_read(const char *case_path, const struct nxw_node *place, bool shape,
                           struct nxw_source *source, struct nxw_fault_list *faults);

#endif
