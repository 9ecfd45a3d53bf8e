/* The time series of a run as CSV, put in place only when it is whole. */
#ifndef NXW_SERIES_CSV_H
#define NXW_SERIES_CSV_H

#include <stddef.h>

#include "base/out_file.h"
#include "noxwash.h"

struct nxw_series_csv {
    struct nxw_out_file out;
    size_t rows;
};

/* As nxw_out_file_open. */
const char *nxw_series_csv_open(struct nxw_series_csv *series, const char *path);

/* Where a run begins, the heading first. false: writing failed. */
bool nxw_series_csv_row(struct nxw_series_csv *series, const struct nxw_series_row *row);

/* As nxw_out_file_close. */
const char *nxw_series_csv_close(struct nxw_series_csv *series, bool keep);

#endif
