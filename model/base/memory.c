#include "base/memory.h"

#include <stdlib.h>
#include <string.h>

#include "noxwash.h"

static void *plain_allocate(size_t bytes, void *user)
{
    (void)user;
    return malloc(bytes);
}

static void plain_release(void *memory, void *user)
{
    (void)user;
    free(memory);
}

static struct nxw_allocator hook = {plain_allocate, plain_release, NULL};

void nxw_set_allocator(const struct nxw_allocator *allocator)
{
    hook = allocator != NULL ? *allocator
                             : (struct nxw_allocator){plain_allocate, plain_release, NULL};
}

void *nxw_allocate(size_t bytes)
{
    void *memory = hook.allocate(bytes, hook.user);
    if (memory != NULL)
        memset(memory, 0, bytes);
    return memory;
}

void nxw_release(void *memory)
{
    if (memory != NULL)
        hook.release(memory, hook.user);
}
