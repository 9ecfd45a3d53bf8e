/* Tables of checks that are compiled in: records of comma-separated fields under one head. */
#ifndef NXW_CHECK_TABLE_H
#define NXW_CHECK_TABLE_H

#include <stddef.h>

enum { NXW_CHECK_RECORD_LENGTH = 1600 };

/* Fields of a record in place; quotes are taken off. Returns how many, n + 1 when spoilt. */
size_t nxw_check_fields(char *record, char *field[], size_t n);

/*
 * Hand on every record of the embedded tables whose name begins with a prefix and ends in .csv.
 *
 * Given:    head    what the first line that is no comment must be
 *           judge   gets each record; NULL for a table without that head or a record too long
 * Returned: number of records
 */
size_t nxw_check_table(const char *prefix, const char *head,
                       void (*judge)(const char *file, size_t line, const char *record, void *user),
                       void *user);

#endif
