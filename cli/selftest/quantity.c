/* Single figures by name: finds the entry, checks the inputs, calls its function. */
#include "selftest/quantity.h"

#include <math.h>
#include <string.h>

static const struct nxw_quantity_entry *find(const char *name)
{
    static const struct nxw_quantity_entry *const TABLES[] = {
        nxw_constant_quantities, nxw_property_quantities, nxw_gas_quantities,
        nxw_liquid_quantities,   nxw_bubble_quantities,   nxw_glass_quantities};
    for (size_t i = 0; i < sizeof TABLES / sizeof TABLES[0]; i++)
        for (const struct nxw_quantity_entry *e = TABLES[i]; e->record.name != NULL; e++)
            if (strcmp(e->record.name, name) == 0)
                return e;
    return NULL;
}

const struct nxw_quantity_record *nxw_quantity_record(const char *name)
{
    const struct nxw_quantity_entry *e = find(name);
    return e != NULL ? &e->record : NULL;
}

enum nxw_status nxw_quantity(const char *name, size_t n_inputs, const double *inputs, double *value)
{
    *value = NAN;
    const struct nxw_quantity_entry *e = find(name);
    if (e == NULL)
        return NXW_ERROR_KEY;
    if (n_inputs != e->record.n_inputs)
        return NXW_ERROR_CASE;
    for (size_t i = 0; i < n_inputs; i++)
        if (!isfinite(inputs[i]))
            return NXW_ERROR_CASE;
    const double got = e->value(inputs);
    if (!isfinite(got))
        return NXW_ERROR_RANGE;
    *value = got;
    return NXW_OK;
}
