/* Run files: what was put in and what was found, as balance and as fit read them. */
#include <math.h>
#include <string.h>

#include "case/run_file.h"
#include "fuzz.h"
#include "study/fit.h"

/* Neither a case nor a log lies beside it. */
static const char PATH[] = "/nonexistent/run.yaml";

static void read_as_fit(const char *text, size_t size, bool json, bool strict)
{
    static struct nxw_fit fit;
    struct nxw_fault_list faults = {0};
    memset(&fit, 0, sizeof fit);
    const enum nxw_exit code = nxw_fit_read_text(text, size, json, PATH, strict, &fit, &faults);
    MUST(code == NXW_EXIT_DONE || code == NXW_EXIT_CASE);
    MUST((code == NXW_EXIT_DONE) == (faults.n == 0));
    MUST(code != NXW_EXIT_DONE || (fit.owned != NULL && fit.tree != NULL));
    for (size_t i = 0; code == NXW_EXIT_DONE && i < fit.n_readings; i++)
        MUST(fit.readings[i].error > 0.0 && isfinite(fit.readings[i].value));
    nxw_fit_free(&fit);
    nxw_fault_list_free(&faults);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static struct nxw_run run;
    struct nxw_fault_list faults = {0};
    struct nxw_node *tree = NULL;
    char *text = nxw_fuzz_text(data, size);
    const bool json = size > 0 && text[0] == '{';
    const enum nxw_read_status read = nxw_tree_read_text(text, size, json, &tree, &faults);
    MUST(read == NXW_READ_OK || read == NXW_READ_FAULTS);
    MUST((read == NXW_READ_OK) == (faults.n == 0));
    MUST(read != NXW_READ_OK || tree != NULL);
    if (tree != NULL) {
        const int status = nxw_run_tree_read(tree, PATH, true, &run, &faults);
        MUST(status == 0 || status == 3);
        MUST((status == 0) == (faults.n == 0));
        for (size_t i = 0; status == 0 && i < run.n_found; i++) {
            MUST(run.found[i].place < run.n_places);
            MUST(run.found[i].error_mol > 0.0 && isfinite(run.found[i].nitrogen_mol));
        }
    }
    nxw_tree_free(tree);
    nxw_fault_list_free(&faults);
    read_as_fit(text, size, json, true);
    read_as_fit(text, size, json, false);
    free(text);
    return 0;
}
