#include "case/run_read.h"

bool nxw_run_quantity(struct nxw_reading *r, const struct nxw_node *map, const char *key,
                      enum nxw_dimension dimension, double low, double *out)
{
    const char *text = nxw_read_text(r, map, key);
    if (text == NULL)
        return false;
    const struct nxw_node *node = nxw_tree_get(map, key);
    char message[NXW_MESSAGE_LENGTH];
    double value;
    if (!nxw_quantity_read(text, dimension, &value, message))
        nxw_fault_add(r->faults, node->line, node->column, "'%s: %.40s': %s", key, text, message);
    else if (!(value > low))
        nxw_fault_add(r->faults, node->line, node->column, "'%s: %.40s' must be more than 0", key,
                      text);
    else {
        *out = value;
        return true;
    }
    return false;
}

void nxw_run_fault(struct nxw_reading *r, const struct nxw_node *map, const char *key,
                   const char *message)
{
    const struct nxw_node *node = nxw_tree_get(map, key);
    node = node != NULL ? node : map;
    nxw_fault_add(r->faults, node->line, node->column, "'%s': %s", key, message);
}

double nxw_run_share_error(struct nxw_reading *r, const struct nxw_node *map, const char *key,
                           bool *assumed)
{
    double share = NXW_RUN_ASSUMED_ERROR;
    *assumed = nxw_tree_get(map, key) == NULL;
    (void)nxw_run_quantity(r, map, key, NXW_DIM_SHARE, 0.0, &share);
    return share / NXW_OF_100_95;
}
