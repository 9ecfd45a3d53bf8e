#include "decide/sweep_store.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "decide/sweep_about.h"

struct nxw_sweep_store {
    struct nxw_sweep_db d;
    sqlite3_stmt *insert, *find;
    const struct nxw_plan *plan;
    bool open_batch;
};

static bool failed(struct nxw_sweep_store *s, const char *doing)
{
    return nxw_sweep_db_failed(&s->d, doing);
}

/* ------------------------------------------------------------------------------- making */

static char *rows_sql(const struct nxw_plan *plan)
{
    const char *columns[NXW_REPEATS_MAX];
    bool is_number[NXW_REPEATS_MAX];
    for (size_t i = 0; i < plan->n_varies; i++) {
        columns[i] = plan->varies[i].column;
        is_number[i] = plan->varies[i].is_number;
    }
    return nxw_sweep_rows_sql(plan->n_varies, columns, is_number);
}

/* Both tables and what the rows rest on, or nothing of it. is_new: false when another sweep has
 * just made them. */
static enum nxw_exit make_tables(struct nxw_sweep_store *s,
                                 const struct nxw_sweep_identity *identity, bool *is_new)
{
    char *rows = rows_sql(identity->plan);
    uint64_t tables = 0;
    bool good = rows != NULL &&
                sqlite3_exec(s->d.db, "BEGIN IMMEDIATE", NULL, NULL, NULL) == SQLITE_OK &&
                nxw_sweep_db_count(&s->d, "SELECT count(*) FROM sqlite_master", &tables);
    *is_new = tables == 0;
    if (good && *is_new)
        good = nxw_sweep_db_make(&s->d, rows) && nxw_sweep_about_put(&s->d, identity);
    good = good && sqlite3_exec(s->d.db, "COMMIT", NULL, NULL, NULL) == SQLITE_OK;
    if (!good)
        (void)failed(s, "the database cannot be made");
    sqlite3_free(rows);
    return good ? NXW_EXIT_DONE : s->d.fault;
}

static enum nxw_exit judge(struct nxw_sweep_store *s, const struct nxw_sweep_identity *identity)
{
    enum nxw_exit code = nxw_sweep_db_judge(&s->d);
    if (code == NXW_EXIT_DONE)
        code = nxw_sweep_about_check(&s->d, identity);
    char *wanted = code == NXW_EXIT_DONE ? rows_sql(identity->plan) : NULL;
    if (code == NXW_EXIT_DONE && wanted == NULL)
        code = nxw_sweep_db_short(&s->d);
    else if (code == NXW_EXIT_DONE && strcmp(wanted, s->d.rows_sql) != 0)
        code = nxw_sweep_db_refuse(&s->d, "holds the columns of another sweep");
    sqlite3_free(wanted);
    return code == NXW_EXIT_DONE ? nxw_sweep_db_judge_rows(&s->d) : code;
}

/* Here SQLite does not wait by itself for another sweep at the same database. */
static bool set_journal(struct nxw_sweep_store *s, const char *sql)
{
    enum { TRIES = 500 };
    const struct timespec wait = {0, 20000000};
    int code = SQLITE_BUSY;
    for (int i = 0; i < TRIES && code == SQLITE_BUSY; i++) {
        code = sqlite3_exec(s->d.db, sql, NULL, NULL, NULL);
        if (code == SQLITE_BUSY)
            (void)nanosleep(&wait, NULL);
    }
    return code == SQLITE_OK || failed(s, "the database cannot be used");
}

static bool prepare(struct nxw_sweep_store *s)
{
    const size_t columns = nxw_sweep_columns(s->plan->n_varies);
    sqlite3_str *sql = sqlite3_str_new(NULL);
    sqlite3_str_appendall(sql, "INSERT OR IGNORE INTO rows VALUES (?1");
    for (size_t i = 1; i < columns; i++)
        sqlite3_str_appendf(sql, ", ?%d", (int)i + 1);
    sqlite3_str_appendall(sql, ")");
    char *text = sqlite3_str_finish(sql);
    const bool good =
        text != NULL && sqlite3_prepare_v2(s->d.db, text, -1, &s->insert, NULL) == SQLITE_OK &&
        sqlite3_prepare_v2(s->d.db, "SELECT 1 FROM rows WHERE \"case\" = ?1", -1, &s->find, NULL) ==
            SQLITE_OK;
    sqlite3_free(text);
    return good || failed(s, "the database cannot be used");
}

/* --------------------------------------------------------------------------------- rows */

static bool has_row(void *self, uint64_t number, bool *has)
{
    struct nxw_sweep_store *s = self;
    (void)sqlite3_bind_int64(s->find, 1, (sqlite3_int64)number);
    const int status = sqlite3_step(s->find);
    (void)sqlite3_reset(s->find);
    *has = status == SQLITE_ROW;
    return status == SQLITE_ROW || status == SQLITE_DONE || failed(s, "rows cannot be read");
}

static bool bind_row(struct nxw_sweep_store *s, const struct nxw_sweep_row *row)
{
    const char *const texts[] = NXW_SWEEP_TEXTS(row);
    int at = 1, wrong = sqlite3_bind_int64(s->insert, at++, (sqlite3_int64)row->number);
    for (size_t i = 0; i < s->plan->n_varies; i++) {
        struct nxw_vary_value value;
        nxw_plan_value(s->plan, row->number, i, &value);
        wrong |= s->plan->varies[i].is_number
                     ? sqlite3_bind_double(s->insert, at++, value.number)
                     : sqlite3_bind_text(s->insert, at++, value.text, -1, SQLITE_TRANSIENT);
    }
    wrong |= sqlite3_bind_int(s->insert, at++, (int)row->status);
    for (size_t i = 0; i < NXW_SWEEP_TEXT_COUNT; i++)
        wrong |= sqlite3_bind_text(s->insert, at++, texts[i], -1, SQLITE_TRANSIENT);
    for (size_t i = 0; i < NXW_HEADLINE_COUNT; i++)
        wrong |= isfinite(row->figures[i]) ? sqlite3_bind_double(s->insert, at++, row->figures[i])
                                           : sqlite3_bind_null(s->insert, at++);
    return wrong == SQLITE_OK;
}

static bool put_row(void *self, const struct nxw_sweep_row *row)
{
    struct nxw_sweep_store *s = self;
    bool good = true;
    if (!s->open_batch) {
        good = sqlite3_exec(s->d.db, "BEGIN IMMEDIATE", NULL, NULL, NULL) == SQLITE_OK;
        s->open_batch = good;
    }
    good = good && bind_row(s, row) && sqlite3_step(s->insert) == SQLITE_DONE;
    if (!good)
        (void)failed(s, "rows cannot be written");
    (void)sqlite3_reset(s->insert);
    return good;
}

static bool flush(void *self)
{
    struct nxw_sweep_store *s = self;
    if (!s->open_batch)
        return true;
    s->open_batch = false;
    return sqlite3_exec(s->d.db, "COMMIT", NULL, NULL, NULL) == SQLITE_OK ||
           failed(s, "rows cannot be written");
}

/* --------------------------------------------------------------------- opening, closing */

static void release(struct nxw_sweep_store *s)
{
    (void)sqlite3_finalize(s->insert);
    (void)sqlite3_finalize(s->find);
    nxw_sweep_db_close(&s->d);
    free(s);
}

/* A database that is not ours is left as it was: nothing is written before it has been judged. */
static enum nxw_exit open_checked(struct nxw_sweep_store *s, const char *path,
                                  const struct nxw_sweep_identity *identity)
{
    bool is_new = false;
    enum nxw_exit code = nxw_sweep_db_open(&s->d, path, NXW_DB_WRITE, NULL, &is_new);
    if (code == NXW_EXIT_DONE && is_new)
        code = make_tables(s, identity, &is_new);
    return code == NXW_EXIT_DONE && !is_new ? judge(s, identity) : code;
}

enum nxw_exit nxw_sweep_store_open(const char *path, const struct nxw_sweep_identity *identity,
                                   struct nxw_sweep_store **store, struct nxw_sweep_sink *sink,
                                   uint64_t *present)
{
    struct nxw_sweep_store *s = calloc(1, sizeof *s);
    *store = NULL;
    if (s == NULL) {
        (void)fputs("noxwash: out of memory\n", stderr);
        return NXW_EXIT_INTERNAL;
    }
    s->plan = identity->plan;
    enum nxw_exit code = open_checked(s, path, identity);
    if (code == NXW_EXIT_DONE && !nxw_sweep_db_count(&s->d, "SELECT count(*) FROM rows", present)) {
        (void)failed(s, "rows cannot be counted");
        code = nxw_sweep_db_code(&s->d);
    }
    /* a whole table stays one plain file */
    if (code == NXW_EXIT_DONE && *present < nxw_plan_count(identity->plan) &&
        !set_journal(s, "PRAGMA journal_mode = WAL"))
        code = nxw_sweep_db_code(&s->d);
    if (code == NXW_EXIT_DONE && !prepare(s))
        code = nxw_sweep_db_code(&s->d);
    if (code != NXW_EXIT_DONE) {
        release(s);
        return code;
    }
    *sink = (struct nxw_sweep_sink){s, has_row, put_row, flush};
    *store = s;
    return NXW_EXIT_DONE;
}

enum nxw_exit nxw_sweep_store_close(struct nxw_sweep_store *s, bool whole)
{
    if (s == NULL)
        return NXW_EXIT_DONE;
    if (s->open_batch)
        (void)sqlite3_exec(s->d.db, "ROLLBACK", NULL, NULL, NULL);
    (void)sqlite3_finalize(s->insert);
    (void)sqlite3_finalize(s->find);
    s->insert = s->find = NULL;
    /* where another sweep holds it, that one does it */
    if (whole &&
        sqlite3_exec(s->d.db, "PRAGMA journal_mode = DELETE", NULL, NULL, NULL) != SQLITE_OK &&
        sqlite3_errcode(s->d.db) != SQLITE_BUSY)
        (void)failed(s, "the database cannot be used");
    const enum nxw_exit fault = s->d.fault;
    release(s);
    return fault;
}

bool nxw_sweep_db_tally(struct nxw_sweep_db *d, struct nxw_sweep_tally *tally)
{
    char cases[NXW_ABOUT_VALUE];
    *tally = (struct nxw_sweep_tally){0};
    if (!nxw_sweep_db_count(d, "SELECT count(*) FROM rows", &tally->rows) ||
        !nxw_sweep_db_count(d, "SELECT count(*) FROM rows WHERE status < 0",
                            &tally->without_result) ||
        !nxw_sweep_db_about(d, "cases", cases))
        return nxw_sweep_db_failed(d, "rows cannot be counted");
    tally->cases = strtoull(cases, NULL, 10);
    return true;
}

bool nxw_sweep_store_tally(struct nxw_sweep_store *s, struct nxw_sweep_tally *tally)
{
    return nxw_sweep_db_tally(&s->d, tally);
}

bool nxw_sweep_store_points(struct nxw_sweep_store *s, bool two_keys, uint64_t curve,
                            bool (*point)(void *user, double x, double kept, double escaped),
                            void *user)
{
    const struct nxw_plan *plan = s->plan;
    /* the last key changes fastest: its value goes by the number of the case */
    char *sql = sqlite3_mprintf("SELECT \"%w\", kept_fraction, escaped_fraction FROM rows WHERE "
                                "status >= 0 AND (?1 = 0 OR (\"case\" - 1) %% ?1 = ?2) "
                                "ORDER BY 1, \"case\"",
                                plan->varies[0].column);
    sqlite3_stmt *query = NULL;
    bool good = sql != NULL && sqlite3_prepare_v2(s->d.db, sql, -1, &query, NULL) == SQLITE_OK &&
                sqlite3_bind_int64(query, 1, two_keys ? (sqlite3_int64)plan->varies[1].n : 0) ==
                    SQLITE_OK &&
                sqlite3_bind_int64(query, 2, (sqlite3_int64)curve) == SQLITE_OK;
    int status = SQLITE_DONE;
    while (good && (status = sqlite3_step(query)) == SQLITE_ROW)
        good = point(user, sqlite3_column_double(query, 0), sqlite3_column_double(query, 1),
                     sqlite3_column_double(query, 2));
    good = good && status == SQLITE_DONE;
    (void)sqlite3_finalize(query);
    sqlite3_free(sql);
    return good || failed(s, "rows cannot be read");
}
