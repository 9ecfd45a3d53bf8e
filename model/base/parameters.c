#include <string.h>

#include "base/parameter_table.h"

size_t nxw_parameter_count(void) { return NXW_PARAMETER_COUNT; }

const struct nxw_parameter_record *nxw_parameter_record(size_t index)
{
    return index < NXW_PARAMETER_COUNT ? &nxw_parameter_table[index] : NULL;
}

const char *nxw_parameter_version(void) { return "1"; }

const char *nxw_parameter_hash(void) { return nxw_parameter_table_hash; }

enum nxw_status nxw_parameter_find(const char *key, size_t *index)
{
    for (size_t i = 0; i < NXW_PARAMETER_COUNT; i++)
        if (strcmp(nxw_parameter_table[i].key, key) == 0) {
            *index = i;
            return NXW_OK;
        }
    return NXW_ERROR_KEY;
}

void nxw_parameters_default(struct nxw_parameters *parameters)
{
    for (size_t i = 0; i < NXW_PARAMETER_COUNT; i++)
        parameters->value[i] = nxw_parameter_table[i].value;
}
