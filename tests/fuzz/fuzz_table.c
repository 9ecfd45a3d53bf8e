/* CSV tables of a source: flows, and the shape of another kind. */
#include <math.h>
#include <string.h>
#include <unistd.h>

#include "case/source_table.h"
#include "fuzz.h"

#define FOLDER "/tmp/"

static void read_as(const char *name, bool shape)
{
    static struct nxw_source source;
    struct nxw_fault_list faults = {0};
    const struct nxw_node place = {
        .kind = NXW_NODE_SCALAR, .line = 1, .column = 1, .text = (char *)(uintptr_t)name};
    const bool good = nxw_source_table_read(FOLDER "case.yaml", &place, shape, &source, &faults);
    MUST(good == (faults.n == 0));
    MUST(source.n_rows <= NXW_SOURCE_ROWS_MAX && (!good || source.n_rows >= 2));
    for (size_t i = 0; i < source.n_rows; i++) {
        MUST(isfinite(source.rows[i].time_s) && source.rows[i].inert_mol_s >= 0.0);
        MUST(i == 0 || source.rows[i].time_s > source.rows[i - 1].time_s);
    }
    nxw_fault_list_free(&faults);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char path[] = FOLDER "noxwash-table-XXXXXX";
    const char *name = path + strlen(FOLDER);
    const int file = mkstemp(path);
    MUST(file >= 0);
    MUST(write(file, data, size) == (ssize_t)size);
    (void)close(file);
    read_as(name, false);
    read_as(name, true);
    (void)unlink(path);
    return 0;
}
