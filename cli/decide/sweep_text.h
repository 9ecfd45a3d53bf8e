/* Rows of a sweep on a stream: CSV (RFC 4180) or one JSON document per line. */
#ifndef NXW_SWEEP_TEXT_H
#define NXW_SWEEP_TEXT_H

#include "decide/sweep_row.h"

struct nxw_sweep_text {
    FILE *file;
    const struct nxw_plan *plan;
};

/* The head is written at once. JSON: the first line names the program and holds the cautions. */
bool nxw_sweep_csv_open(struct nxw_sweep_text *text, struct nxw_sweep_sink *sink);
bool nxw_sweep_json_open(struct nxw_sweep_text *text, const struct nxw_sweep_identity *identity,
                         struct nxw_sweep_sink *sink);

#endif
