/* Tables of single figures that can be asked for by name. */
#ifndef NXW_QUANTITY_H
#define NXW_QUANTITY_H

#include "noxwash.h"

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
