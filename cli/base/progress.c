#include "base/progress.h"

#include <pthread.h>
#include <stdio.h>
#include <time.h>
#include <unistd.h>

enum { BAR = 20 };
static const double PATIENCE_S = 1.0, PAUSE_S = 0.2;

/* One command runs at a time; its threads count together. */
static struct {
    pthread_mutex_t lock;
    bool wanted, shown;
    size_t expected, done;
    double begun_s, shown_s;
} bar = {.lock = PTHREAD_MUTEX_INITIALIZER};

static double now_s(void)
{
    struct timespec t;
    (void)clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

void nxw_progress_begin(bool wanted)
{
    (void)pthread_mutex_lock(&bar.lock);
    bar.wanted = wanted && isatty(STDERR_FILENO) != 0;
    bar.shown = false;
    bar.expected = bar.done = 0;
    bar.begun_s = bar.shown_s = now_s();
    (void)pthread_mutex_unlock(&bar.lock);
}

void nxw_progress_expect(size_t runs)
{
    (void)pthread_mutex_lock(&bar.lock);
    bar.expected += runs;
    (void)pthread_mutex_unlock(&bar.lock);
}

void nxw_progress_show(uint64_t done, uint64_t all, const char *things, double rate_1_s)
{
    char drawn[BAR + 1] = "";
    const uint64_t filled = all > 0 && done < all ? done * BAR / all : BAR;
    for (uint64_t i = 0; i < BAR; i++)
        drawn[i] = i < filled ? '#' : '.';
    if (all > 0)
        (void)fprintf(stderr, "\r\033[K[%s] %llu of %llu %s, %.1f %s/s", drawn,
                      (unsigned long long)done, (unsigned long long)all, things, rate_1_s, things);
    else
        (void)fprintf(stderr, "\r\033[K%llu %s, %.1f %s/s", (unsigned long long)done, things,
                      rate_1_s, things);
    const double left_s = all > done && rate_1_s > 0.0 ? (double)(all - done) / rate_1_s : 0.0;
    if (left_s > 0.0)
        (void)fprintf(stderr, left_s < 120.0 ? ", %.0f s left" : ", %.0f min left",
                      left_s < 120.0 ? left_s : left_s / 60.0);
    (void)fflush(stderr);
}

void nxw_progress_step(void)
{
    (void)pthread_mutex_lock(&bar.lock);
    const double at_s = now_s();
    bar.done++;
    if (bar.wanted && at_s - bar.begun_s >= PATIENCE_S && at_s - bar.shown_s >= PAUSE_S) {
        bar.shown = true;
        bar.shown_s = at_s;
        nxw_progress_show(bar.done, bar.expected > bar.done ? bar.expected : 0, "runs",
                          (double)bar.done / (at_s - bar.begun_s));
    }
    (void)pthread_mutex_unlock(&bar.lock);
}

void nxw_progress_end(void)
{
    (void)pthread_mutex_lock(&bar.lock);
    if (bar.shown)
        (void)fputs("\r\033[K", stderr);
    bar.wanted = bar.shown = false;
    (void)pthread_mutex_unlock(&bar.lock);
}
