/* The values of an option that may be given several times. */
#ifndef NXW_OPTION_LIST_H
#define NXW_OPTION_LIST_H

#include <stddef.h>

enum { NXW_REPEATS_MAX = 16 };

struct nxw_option_list {
    size_t n;
    const char *values[NXW_REPEATS_MAX];
};

#endif
