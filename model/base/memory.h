/* The one allocator of the library. */
#ifndef NXW_MEMORY_H
#define NXW_MEMORY_H

#include <stddef.h>

void *nxw_allocate(size_t bytes); /* zeroed; NULL when short */
void nxw_release(void *memory);   /* NULL is fine */

#endif
