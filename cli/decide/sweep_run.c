/* sched_getaffinity: a batch engine may grant fewer processors than there are */
#define _GNU_SOURCE // NOLINT(*reserved-identifier,cert-dcl*): the C library's own switch
#include "decide/sweep_run.h"

#include <math.h>
#include <pthread.h>
#include <sched.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/characters.h"
#include "base/progress.h"

enum { WINDOW = 256, THREADS_MAX = 256, BATCH_ROWS = 500 };
#define BATCH_S 0.25
#define LOOK_S 0.1

/*
 * The writer hands out numbers in order into a ring of slots, workers fill them in any order, the
 * writer takes them out in order: a slow case holds up at most a window of others.
 */
enum slot_state { SLOT_FREE, SLOT_GIVEN, SLOT_DONE, SLOT_GIVEN_UP };
struct slot {
    enum slot_state state;
    struct nxw_sweep_row row;
};

struct pool {
    const struct nxw_sweep_job *job;
    const struct nxw_sweep_sink *sink;
    pthread_mutex_t lock;
    pthread_cond_t given, done;
    atomic_bool stop;
    bool closed; /* no more numbers will be given */
    atomic_bool out_of_memory;
    uint64_t tail, taken, head; /* slots written, taken by workers, given; slot = count % WINDOW */
    uint64_t next;              /* number to give next; 0: none */
    struct slot slots[WINDOW];
    /* the writer's own */
    size_t batch_rows;
    double started_s, batch_s, shown_s;
    struct nxw_sweep_outcome *outcome;
};

struct worker {
    struct pool *pool;
    struct nxw_node *tree;
    struct nxw_case in;
    struct nxw_case_notes notes;
    struct nxw_result result;
};

static double now_s(void)
{
    struct timespec t;
    (void)clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* -------------------------------------------------------------------------------- one case */

static bool go_on(const struct nxw_series_row *row, void *user)
{
    const struct pool *p = user;
    (void)row;
    return !atomic_load(&p->stop) && *p->job->interrupted == 0;
}

static void join_faults(const struct nxw_fault_list *faults, char *out, size_t size)
{
    size_t used = 0;
    out[0] = '\0';
    for (size_t i = 0; i < faults->n && used < size; i++) {
        const int n =
            snprintf(out + used, size - used, "%s%s", i > 0 ? "; " : "", faults->faults[i].text);
        used += n > 0 ? (size_t)n : 0;
    }
    nxw_make_printable(out); /* the end of a long text may be half a character */
}

/* The reason is the caller's to fill in. */
static void no_result(struct nxw_sweep_row *row, enum nxw_status status)
{
    row->status = status;
    row->warnings[0] = '\0';
    for (size_t i = 0; i < NXW_HEADLINE_COUNT; i++)
        row->figures[i] = (double)NAN;
}

/* false: memory ran out, which says nothing about the case. */
static bool read_row_case(struct worker *w, struct nxw_sweep_row *row)
{
    const struct nxw_sweep_job *job = w->pool->job;
    struct nxw_fault_list faults = {0}, set_aside = {0};
    bool good = nxw_plan_apply(job->plan, row->number, w->tree, &faults);
    if (!good && faults.n == 0)
        faults.out_of_memory = true;
    if (good)
        good = nxw_plan_read_case(job->plan, w->tree, job->path, &w->in, &w->notes, &faults,
                                  &set_aside) == NXW_READ_OK;
    row->status = NXW_OK;
    join_faults(&set_aside, row->set_aside, sizeof row->set_aside);
    if (!good) {
        no_result(row, NXW_ERROR_CASE);
        join_faults(&faults, row->reason, sizeof row->reason);
    }
    const bool memory = !faults.out_of_memory && !set_aside.out_of_memory;
    nxw_fault_list_free(&faults);
    nxw_fault_list_free(&set_aside);
    return memory;
}

static void take_result(const struct nxw_case *in, const struct nxw_result *r,
                        enum nxw_status status, struct nxw_sweep_row *row)
{
    const struct nxw_diagnosis *d = &r->diagnosis;
    if (status < 0) {
        no_result(row, status);
        (void)snprintf(row->reason, sizeof row->reason, "%s%s%s", d->path,
                       d->path[0] != '\0' ? ": " : "",
                       d->text[0] != '\0' ? d->text : nxw_status_text(status));
    } else {
        row->status = status;
        nxw_warning_names(r->warnings, row->warnings, sizeof row->warnings);
        nxw_headline_values(in, r, row->figures);
        (void)snprintf(row->reason, sizeof row->reason, "%s", status != NXW_OK ? d->text : "");
    }
}

static enum slot_state compute(struct worker *w, struct nxw_sweep_row *row)
{
    bool memory = read_row_case(w, row);
    if (memory && row->status == NXW_OK) {
        const enum nxw_status status = nxw_estimate(&w->in, go_on, w->pool, &w->result);
        if (status == NXW_ERROR_CANCELLED)
            return SLOT_GIVEN_UP;
        memory = status != NXW_ERROR_MEMORY;
        take_result(&w->in, &w->result, status, row);
    }
    if (memory)
        return SLOT_DONE;
    atomic_store(&w->pool->out_of_memory, true);
    atomic_store(&w->pool->stop, true);
    return SLOT_GIVEN_UP;
}

static void *work(void *user)
{
    struct worker *w = user;
    struct pool *p = w->pool;
    (void)pthread_mutex_lock(&p->lock);
    for (;;) {
        while (p->taken == p->head && !p->closed && !atomic_load(&p->stop))
            (void)pthread_cond_wait(&p->given, &p->lock);
        if (p->taken == p->head || atomic_load(&p->stop))
            break;
        struct slot *slot = &p->slots[p->taken++ % WINDOW];
        (void)pthread_mutex_unlock(&p->lock);
        const enum slot_state state = compute(w, &slot->row);
        (void)pthread_mutex_lock(&p->lock);
        slot->state = state;
        (void)pthread_cond_signal(&p->done);
    }
    (void)pthread_mutex_unlock(&p->lock);
    return NULL;
}

/* --------------------------------------------------------------------------------- writer */

static void show_progress(struct pool *p, double at_s)
{
    const struct nxw_sweep_outcome *o = p->outcome;
    const uint64_t all = nxw_plan_count(p->job->plan);
    const uint64_t there = p->job->present + o->written;
    const double rate = (double)o->written / (at_s - p->started_s);
    p->shown_s = at_s;
    nxw_progress_show(there, all, "cases", rate);
}

/* Give numbers out as far as the ring has room. false: the sink failed. */
static bool give(struct pool *p)
{
    while (p->next != 0 && p->head - p->tail < WINDOW && *p->job->interrupted == 0) {
        bool has;
        if (!p->sink->has(p->sink->self, p->next, &has))
            return false;
        if (!has) {
            struct slot *slot = &p->slots[p->head++ % WINDOW];
            slot->row.number = p->next;
            slot->state = SLOT_GIVEN;
            (void)pthread_cond_signal(&p->given);
        }
        p->next = nxw_plan_next(p->job->plan, p->next);
    }
    if (p->next == 0 && !p->closed) {
        p->closed = true;
        (void)pthread_cond_broadcast(&p->given);
    }
    return true;
}

static bool flush(struct pool *p, double at_s)
{
    p->batch_rows = 0;
    p->batch_s = at_s;
    return p->sink->flush(p->sink->self);
}

static bool write_slot(struct pool *p, struct slot *slot)
{
    if (!p->sink->row(p->sink->self, &slot->row))
        return false;
    p->outcome->written++;
    p->outcome->without_result += slot->row.status < 0;
    const double at_s = now_s();
    if (++p->batch_rows >= BATCH_ROWS || at_s - p->batch_s >= BATCH_S)
        return flush(p, at_s);
    return true;
}

/* Wait for the slot at the tail; returns now and then to look about. The lock is held. */
static void wait_for_tail(struct pool *p)
{
    struct timespec until;
    (void)clock_gettime(CLOCK_MONOTONIC, &until);
    until.tv_nsec += (long)(LOOK_S * 1e9);
    if (until.tv_nsec >= 1000000000) {
        until.tv_nsec -= 1000000000;
        until.tv_sec++;
    }
    (void)pthread_cond_timedwait(&p->done, &p->lock, &until);
}

static bool write_rows(struct pool *p)
{
    bool good = true;
    (void)pthread_mutex_lock(&p->lock);
    while (good && *p->job->interrupted == 0 && !atomic_load(&p->stop)) {
        good = give(p);
        if (!good || (p->closed && p->tail == p->head))
            break;
        struct slot *slot = &p->slots[p->tail % WINDOW];
        if (slot->state != SLOT_DONE)
            wait_for_tail(p);
        const bool done = slot->state == SLOT_DONE;
        (void)pthread_mutex_unlock(&p->lock); /* writing holds up no worker */
        const double at_s = now_s();
        if (done)
            good = write_slot(p, slot);
        else if (p->batch_rows > 0 && at_s - p->batch_s >= BATCH_S)
            good = flush(p, at_s);
        if (p->job->progress && at_s - p->shown_s >= 0.5)
            show_progress(p, at_s);
        (void)pthread_mutex_lock(&p->lock);
        if (done) {
            slot->state = SLOT_FREE;
            p->tail++;
        }
    }
    atomic_store(&p->stop, true); /* all is done, or nothing more is wanted */
    (void)pthread_cond_broadcast(&p->given);
    (void)pthread_mutex_unlock(&p->lock);
    return good;
}

/* ---------------------------------------------------------------------------------- start */

static size_t processors(void)
{
    cpu_set_t set;
    if (sched_getaffinity(0, sizeof set, &set) != 0)
        return 1;
    const int n = CPU_COUNT(&set);
    return n < 1 ? 1 : n > THREADS_MAX ? THREADS_MAX : (size_t)n;
}

static struct worker *worker_new(struct pool *p)
{
    struct worker *w = calloc(1, sizeof *w);
    struct nxw_fault_list faults = {0};
    if (w == NULL)
        return NULL;
    w->pool = p;
    (void)nxw_tree_read_text(p->job->text, p->job->length, p->job->json, &w->tree, &faults);
    nxw_fault_list_free(&faults);
    if (w->tree == NULL) { /* it was read before: only memory can fail */
        free(w);
        return NULL;
    }
    return w;
}

/* Rows that were done out of turn when the run was interrupted. */
static bool write_rest(struct pool *p)
{
    bool good = true;
    for (; p->tail < p->head && good; p->tail++)
        if (p->slots[p->tail % WINDOW].state == SLOT_DONE)
            good = write_slot(p, &p->slots[p->tail % WINDOW]);
    return good;
}

static enum nxw_exit run_pool(struct pool *p, size_t threads)
{
    pthread_t handles[THREADS_MAX];
    struct worker *workers[THREADS_MAX] = {NULL};
    size_t n = 0;
    for (; n < threads; n++) {
        workers[n] = worker_new(p);
        if (workers[n] == NULL || pthread_create(&handles[n], NULL, work, workers[n]) != 0)
            break;
    }
    bool good = true;
    if (n == 0)
        atomic_store(&p->out_of_memory, true);
    else
        good = write_rows(p);
    for (size_t i = 0; i < n; i++)
        (void)pthread_join(handles[i], NULL);
    for (size_t i = 0; i < threads; i++) {
        if (workers[i] != NULL)
            nxw_tree_free(workers[i]->tree);
        free(workers[i]);
    }
    p->outcome->threads = n;
    good = good && write_rest(p) && flush(p, now_s());
    if (!good)
        return NXW_EXIT_IO;
    if (atomic_load(&p->out_of_memory)) {
        (void)fputs("noxwash: out of memory\n", stderr);
        return NXW_EXIT_INTERNAL;
    }
    return p->closed && p->outcome->written == p->head ? NXW_EXIT_DONE : NXW_EXIT_INTERRUPTED;
}

enum nxw_exit nxw_sweep_run(const struct nxw_sweep_job *job, const struct nxw_sweep_sink *sink,
                            struct nxw_sweep_outcome *outcome)
{
    *outcome = (struct nxw_sweep_outcome){0};
    struct pool *p = calloc(1, sizeof *p);
    if (p == NULL) {
        (void)fputs("noxwash: out of memory\n", stderr);
        return NXW_EXIT_INTERNAL;
    }
    pthread_condattr_t monotonic;
    (void)pthread_condattr_init(&monotonic);
    (void)pthread_condattr_setclock(&monotonic, CLOCK_MONOTONIC);
    (void)pthread_mutex_init(&p->lock, NULL);
    (void)pthread_cond_init(&p->given, NULL);
    (void)pthread_cond_init(&p->done, &monotonic);
    (void)pthread_condattr_destroy(&monotonic);
    p->job = job;
    p->sink = sink;
    p->outcome = outcome;
    p->next = nxw_plan_first(job->plan);
    p->started_s = p->batch_s = p->shown_s = now_s();
    const size_t threads = job->threads == 0            ? processors()
                           : job->threads > THREADS_MAX ? THREADS_MAX
                                                        : job->threads;
    const enum nxw_exit code = run_pool(p, threads);
    if (job->progress)
        (void)fputs("\r\033[K", stderr);
    outcome->seconds = now_s() - p->started_s;
    (void)pthread_cond_destroy(&p->given);
    (void)pthread_cond_destroy(&p->done);
    (void)pthread_mutex_destroy(&p->lock);
    free(p);
    return code;
}
