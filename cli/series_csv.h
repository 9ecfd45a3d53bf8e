/* The time series of a run as CSV, put in place only when it is whole. */
#ifndef NXW_SERIES_CSV_H
#define NXW_SERIES_CSV_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "noxwash.h"

struct nxw_series_csv {
    FILE *file;
    const char *path;
    char temporary[1024];
    size_t rows;
};

/* false: the temporary file beside path could not be made; errno says why. */
bool nxw_series_csv_open(struct nxw_series_csv *series, const char *path);

/* false: writing failed. */
bool nxw_series_csv_row(struct nxw_series_csv *series, const struct nxw_series_row *row);

/*
 * Close the file.
 *
 * Given:    keep   true: move it to its name; false: throw it away
 * Returned: false when writing or moving failed; the temporary file is gone then
 */
bool nxw_series_csv_close(struct nxw_series_csv *series, bool keep);

#endif
