/* One case of a sweep as a row, and where rows go. Nothing in a row depends on time or threads. */
#ifndef NXW_SWEEP_ROW_H
#define NXW_SWEEP_ROW_H

#include "study/sweep_plan.h"
#include "words/headline.h"

#define NXW_SWEEP_SCHEMA "noxwash-sweep-1"

struct nxw_sweep_row {
    uint64_t number;
    enum nxw_status status;
    char reason[448];    /* why there is no result, or why it ended early; else empty */
    char set_aside[160]; /* keys of the case that the varied kinds have no use for */
    char warnings[256];
    double figures[NXW_HEADLINE_COUNT]; /* NAN: none */
};

/* What a table of rows rests on; a table of another one is refused. */
struct nxw_sweep_identity {
    const struct nxw_plan *plan;
    const char *case_path;
    uint64_t case_hash; /* of the case's keys and texts and of the tables it reads */
};

/* Columns of text ahead of and behind the varied keys; then come the figures. */
#define NXW_SWEEP_TEXTS(row)                                                                       \
    {                                                                                              \
        nxw_status_text((row)->status), (row)->reason, (row)->warnings, (row)->set_aside           \
    }
enum { NXW_SWEEP_TEXT_COUNT = 4 };
extern const char *const nxw_sweep_text_names[NXW_SWEEP_TEXT_COUNT];

/* Where rows go. Called from one thread, rows in rising order of their numbers. */
struct nxw_sweep_sink {
    void *self;
    bool (*has)(void *self, uint64_t number, bool *has); /* is the row there from before? */
    bool (*row)(void *self, const struct nxw_sweep_row *row);
    bool (*flush)(void *self); /* what was given is kept whatever comes */
};

#endif
