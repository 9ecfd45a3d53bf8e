#include "base/many_runs.h"

#include <pthread.h>
#include <stdatomic.h>
#include <stdlib.h>

#include "base/progress.h"

struct runs { /* shared by the threads */
    size_t n;
    bool (*stop)(void);
    enum nxw_status (*one)(void *user, size_t index, struct nxw_run_room *room);
    void *user;
    atomic_size_t next;
    atomic_int ended; /* enum nxw_status: why before the end, or NXW_OK */
};

static void *work(void *user)
{
    struct runs *w = user;
    struct nxw_run_room *room = malloc(sizeof *room);
    if (room == NULL)
        atomic_store(&w->ended, NXW_ERROR_MEMORY);
    while (atomic_load(&w->ended) == NXW_OK) {
        const size_t i = atomic_fetch_add(&w->next, 1);
        if (i >= w->n)
            break;
        if (w->stop != NULL && w->stop())
            atomic_store(&w->ended, NXW_ERROR_CANCELLED);
        else if (w->one(w->user, i, room) == NXW_ERROR_MEMORY)
            atomic_store(&w->ended, NXW_ERROR_MEMORY);
        nxw_progress_step();
    }
    free(room);
    return NULL;
}

enum nxw_status nxw_many_runs(size_t n, unsigned threads, bool (*stop)(void),
                              enum nxw_status (*one)(void *user, size_t index,
                                                     struct nxw_run_room *room),
                              void *user)
{
    enum { MOST = 64 };
    struct runs w = {.n = n, .stop = stop, .one = one, .user = user};
    pthread_t thread[MOST];
    unsigned started = 0;
    for (unsigned i = 1; i < threads && i < MOST && i < n; i++)
        if (pthread_create(&thread[started], NULL, work, &w) == 0)
            started++;
    (void)work(&w);
    for (unsigned i = 0; i < started; i++)
        (void)pthread_join(thread[i], NULL);
    return (enum nxw_status)atomic_load(&w.ended);
}
