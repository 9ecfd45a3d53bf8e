#include "base/used_files.h"

#include <pthread.h>
#include <stddef.h>

/* A run has a few: case, other case, run file, table, log, database, course, picture. More than
 * fit are those of a program that uses these functions, and the oldest make room. */
enum { USED_MAX = 32 };

static pthread_mutex_t lock = PTHREAD_MUTEX_INITIALIZER;
static size_t added;
static struct {
    dev_t device;
    ino_t number;
} used[USED_MAX];

static bool is_there(const struct stat *is)
{
    const size_t n = added < USED_MAX ? added : USED_MAX;
    for (size_t i = 0; i < n; i++)
        if (used[i].device == is->st_dev && used[i].number == is->st_ino)
            return true;
    return false;
}

void nxw_used_file_add(const struct stat *is)
{
    (void)pthread_mutex_lock(&lock);
    if (!is_there(is)) {
        used[added % USED_MAX].device = is->st_dev;
        used[added % USED_MAX].number = is->st_ino;
        added++;
    }
    (void)pthread_mutex_unlock(&lock);
}

bool nxw_is_used_file(const struct stat *is)
{
    (void)pthread_mutex_lock(&lock);
    const bool there = is_there(is);
    (void)pthread_mutex_unlock(&lock);
    return there;
}
