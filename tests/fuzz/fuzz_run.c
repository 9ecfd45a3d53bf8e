/* Run files: what was put in and what was found. */
#include <math.h>
#include <string.h>

#include "balance_file.h"
#include "fuzz.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static struct nxw_run run;
    struct nxw_fault_list faults = {0};
    struct nxw_node *tree = NULL;
    char *text = nxw_fuzz_text(data, size);
    const enum nxw_read_status read =
        nxw_tree_read_text(text, size, size > 0 && text[0] == '{', &tree, &faults);
    MUST((tree != NULL) == (read == NXW_READ_OK));
    if (tree != NULL) {
        const int status = nxw_run_tree_read(tree, "/nonexistent/run.yaml", true, &run, &faults);
        MUST(status == 0 || status == 3);
        MUST((status == 0) == (faults.n == 0));
        for (size_t i = 0; status == 0 && i < run.n_found; i++) {
            MUST(run.found[i].place < run.n_places);
            MUST(run.found[i].error_mol > 0.0 && isfinite(run.found[i].nitrogen_mol));
        }
    }
    nxw_tree_free(tree);
    nxw_fault_list_free(&faults);
    free(text);
    return 0;
}
