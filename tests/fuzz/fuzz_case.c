/* Case files, as YAML and as JSON: what is read can be printed in full and read again. */
#define _POSIX_C_SOURCE 200809L
#include <string.h>

#include "case/case_file.h"
#include "case/resolved.h"
#include "fuzz.h"

/* No table of a source lies beside it. */
static const char PATH[] = "/nonexistent/case.yaml";

static void print_and_read_again(const struct nxw_case *in, const struct nxw_case_notes *notes)
{
    static struct nxw_case again;
    static struct nxw_case_notes again_notes;
    struct nxw_fault_list faults = {0};
    char *text = NULL;
    size_t size = 0;
    FILE *memory = open_memstream(&text, &size);
    MUST(memory != NULL);
    MUST(nxw_resolved_print(memory, in, notes, NULL));
    MUST(fclose(memory) == 0);
    const int status = nxw_case_text_read(text, size, false, PATH, &again, &again_notes, &faults);
    if (status != 0)
        nxw_faults_print(stderr, text, &faults);
    MUST(status == 0);
    MUST(again.n_stages == in->n_stages && strcmp(again.name, in->name) == 0);
    nxw_fault_list_free(&faults);
    free(text);
}

static void read_as(const char *text, size_t size, bool json)
{
    static struct nxw_case in;
    static struct nxw_case_notes notes;
    struct nxw_fault_list faults = {0};
    const int status = nxw_case_text_read(text, size, json, PATH, &in, &notes, &faults);
    MUST(status == 0 || status == 3);
    MUST((status == 0) == (faults.n == 0));
    for (size_t i = 0; i < faults.n; i++)
        MUST(faults.faults[i].text[0] != '\0');
    if (status == 0) {
        struct nxw_diagnosis diagnosis;
        MUST(nxw_case_check(&in, &diagnosis) == NXW_OK);
        print_and_read_again(&in, &notes);
    }
    nxw_fault_list_free(&faults);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = nxw_fuzz_text(data, size);
    read_as(text, size, false);
    if (memchr(text, '{', size) != NULL)
        read_as(text, size, true);
    free(text);
    return 0;
}
