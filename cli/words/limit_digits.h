/* The library's limits as texts show them: made of the very numbers that runs are judged by. */
#ifndef NXW_LIMIT_DIGITS_H
#define NXW_LIMIT_DIGITS_H

#include "noxwash.h"

#define NXW_DIGITS_OF(number) #number
#define NXW_DIGITS(limit) NXW_DIGITS_OF(limit)

#define NXW_HOT_DIGITS NXW_DIGITS(NXW_HOT_DEGC)                    /* degC */
#define NXW_NITROUS_MOST_DIGITS NXW_DIGITS(NXW_NITROUS_MOST_MOL_L) /* mol/L */
#define NXW_FULLEST_DIGITS NXW_DIGITS(NXW_FULLEST_PCT)             /* % */
#define NXW_PEROXIDE_DIGITS NXW_DIGITS(NXW_PEROXIDE_MOST_WT_PCT)   /* wt% */
#define NXW_REGULATED_DIGITS NXW_DIGITS(NXW_ACID_REGULATED_WT_PCT) /* wt% */

#endif
