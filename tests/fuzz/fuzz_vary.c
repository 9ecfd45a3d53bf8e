/* Expressions of --vary; the first byte tells whether a range may go without a step. */
#include <math.h>
#include <string.h>

#include "base/tree.h"
#include "fuzz.h"
#include "study/vary.h"

static void take(const struct nxw_vary *vary, uint64_t index)
{
    struct nxw_vary_value value = {.text = NULL};
    nxw_vary_nth(vary, index, &value);
    MUST(value.text != NULL && value.text[0] != '\0');
    MUST(!vary->is_number || isfinite(value.number));
}

/* The value put at the path of a little case. */
static void put(const struct nxw_vary *vary)
{
    static const char text[] = "{source: {kind: metered}, train: [{liquid: 1 mL}, {kind: empty}]}";
    struct nxw_fault_list faults = {0};
    struct nxw_node *tree = NULL;
    struct nxw_vary_value value = {.text = NULL};
    MUST(nxw_tree_read_text(text, strlen(text), false, &tree, &faults) == NXW_READ_OK);
    nxw_vary_at(vary, 0.5, &value);
    if (nxw_tree_set(tree, vary->path, value.text)) {
        const struct nxw_node *found = nxw_tree_find(tree, vary->path, false);
        MUST(found != NULL && strcmp(found->text, value.text) == 0);
    }
    nxw_tree_free(tree);
    nxw_fault_list_free(&faults);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size == 0)
        return 0;
    char *text = nxw_fuzz_text(data + 1, size - 1), message[NXW_VARY_MESSAGE] = "";
    struct nxw_vary vary;
    const bool sampled = data[0] % 2 != 0;
    if (nxw_vary_read(text, sampled, &vary, message)) {
        MUST(vary.n > 0 || (sampled && vary.is_range));
        for (uint64_t i = 0; i < vary.n && i < 20; i++)
            take(&vary, i);
        if (vary.n > 0)
            take(&vary, vary.n - 1);
        put(&vary);
    } else
        MUST(message[0] != '\0');
    nxw_vary_free(&vary);
    free(text);
    return 0;
}
