/* Tables of single figures that can be asked for by name. */
#ifndef NXW_QUANTITY_H
#define NXW_QUANTITY_H

#include "noxwash.h"

enum { NXW_QUANTITY_INPUTS_MAX = 8 };

struct nxw_quantity_record {
    const char *name; /* such as acid_density */
    const char *unit; /* SI; "1" for a number */
    size_t n_inputs;
    struct {
        const char *name, *unit;
    } inputs[NXW_QUANTITY_INPUTS_MAX];
};

/* What is known about a quantity; NULL: there is none of that name. */
const struct nxw_quantity_record *nxw_quantity_record(const char *name);

/*
 * One property, constant or single function of the model by its name, with default constants.
 *
 * Given:    name, and its inputs in the order and the units of its record
 * Returned: value  in the unit of the record; NAN on failure
 * Status:   NXW_ERROR_KEY: no such quantity; NXW_ERROR_CASE: another number of inputs, or one not
 *           finite; NXW_ERROR_RANGE: the function gives no finite value there. Beyond the range of
 *           its source a function may go on with its curve
 */
enum nxw_status nxw_quantity(const char *name, size_t n_inputs, const double *inputs,
                             double *value);

/* A figure and the function that gives it; inputs arrive in the order of the record. */
struct nxw_quantity_entry {
    struct nxw_quantity_record record;
    double (*value)(const double *input);
};

/* The end of each table is an entry without a name. */
extern const struct nxw_quantity_entry nxw_constant_quantities[];
extern const struct nxw_quantity_entry nxw_property_quantities[];
extern const struct nxw_quantity_entry nxw_gas_quantities[];
extern const struct nxw_quantity_entry nxw_liquid_quantities[];
extern const struct nxw_quantity_entry nxw_bubble_quantities[];
extern const struct nxw_quantity_entry nxw_glass_quantities[];

/* clang-format off */
#define NXW_INPUTS_0 0, {{NULL, NULL}}
#define NXW_INPUTS_1(a, ua) 1, {{a, ua}}
#define NXW_INPUTS_2(a, ua, b, ub) 2, {{a, ua}, {b, ub}}
#define NXW_INPUTS_3(a, ua, b, ub, c, uc) 3, {{a, ua}, {b, ub}, {c, uc}}
#define NXW_INPUTS_4(a, ua, b, ub, c, uc, d, ud) 4, {{a, ua}, {b, ub}, {c, uc}, {d, ud}}
#define NXW_INPUTS_5(a, ua, b, ub, c, uc, d, ud, e, ue) \
    5, {{a, ua}, {b, ub}, {c, uc}, {d, ud}, {e, ue}}
/* clang-format on */

#endif
