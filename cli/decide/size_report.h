/* What came of a search for a size, as text and as JSON. */
#ifndef NXW_SIZE_REPORT_H
#define NXW_SIZE_REPORT_H

#include <stdio.h>

#include "case/case_file.h"
#include "study/size_range.h"

struct nxw_size_work {
    struct nxw_case in;
    struct nxw_case_notes notes;
    struct nxw_targets targets;
    struct nxw_free free;
    struct nxw_size_result result;
    struct nxw_size_range range;
    struct nxw_diagnosis diagnosis;
};

void nxw_size_print_text(FILE *out, const char *path, const struct nxw_size_work *work);
bool nxw_size_print_json(FILE *out, const char *path, const struct nxw_size_work *work);

#endif
