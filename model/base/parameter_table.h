/* The table that params/pack.c makes from params/constants.csv. */
#ifndef NXW_PARAMETER_TABLE_H
#define NXW_PARAMETER_TABLE_H

#include "noxwash.h"

extern const struct nxw_parameter_record nxw_parameter_table[NXW_PARAMETER_COUNT];
extern const char nxw_parameter_table_hash[];

#endif
