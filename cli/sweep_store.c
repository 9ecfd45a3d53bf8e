#include "sweep_store.h"

#include <math.h>
#include <sqlite3.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "cautions.h"

struct nxw_sweep_store {
    sqlite3 *db;
    sqlite3_stmt *insert, *find;
    const char *path;
    const struct nxw_plan *plan;
    bool open_batch;
    enum nxw_exit fault; /* of the first failure */
};

/* ------------------------------------------------------------------------------- faults */

static enum nxw_exit code_of(const struct nxw_sweep_store *s)
{
    /* a statement that could not be written leaves the database without a fault */
    const int code = s->db != NULL ? sqlite3_errcode(s->db) : SQLITE_NOMEM;
    if (code == SQLITE_NOMEM || code == SQLITE_OK)
        return NXW_EXIT_INTERNAL;
    return sqlite3_errcode(s->db) == SQLITE_NOTADB ? NXW_EXIT_CASE : NXW_EXIT_IO;
}

static bool failed(struct nxw_sweep_store *s, const char *doing)
{
    const enum nxw_exit code = code_of(s);
    if (s->fault == NXW_EXIT_DONE)
        s->fault = code;
    (void)fprintf(stderr, "noxwash: %s: %s: %s\n", s->path, doing,
                  code == NXW_EXIT_INTERNAL ? "out of memory" : sqlite3_errmsg(s->db));
    return false;
}

static bool run_sql(struct nxw_sweep_store *s, const char *sql)
{
    return sqlite3_exec(s->db, sql, NULL, NULL, NULL) == SQLITE_OK ||
           failed(s, "the database cannot be used");
}

/* The first value of a query as a whole number. */
static bool query_count(struct nxw_sweep_store *s, const char *sql, uint64_t *count)
{
    sqlite3_stmt *query = NULL;
    bool good = sqlite3_prepare_v2(s->db, sql, -1, &query, NULL) == SQLITE_OK;
    good = good && sqlite3_step(query) == SQLITE_ROW;
    if (good)
        *count = (uint64_t)sqlite3_column_int64(query, 0);
    (void)sqlite3_finalize(query);
    return good;
}

/* ------------------------------------------------------------------------------- about */

enum { ABOUT_MAX = 12 + NXW_REPEATS_MAX, ABOUT_VALUE = 400 };

/* One line of the table about. told: what differs, when it differs from what is wanted. */
struct about {
    char key[32];
    char value[ABOUT_VALUE];
    const char *told;
};

static void about_line(struct about *a, size_t *n, const char *key, const char *told,
                       const char *value)
{
    (void)snprintf(a[*n].key, sizeof a[*n].key, "%s", key);
    (void)snprintf(a[*n].value, sizeof a[*n].value, "%s", value);
    a[(*n)++].told = told;
}

/* A text too long for a line is held by its start and its fingerprint. */
static void about_vary(struct about *a, size_t *n, const char *key, const char *told,
                       const char *given)
{
    char text[ABOUT_VALUE];
    const size_t length = strlen(given);
    if (length < ABOUT_VALUE)
        (void)snprintf(text, sizeof text, "%s", given);
    else
        (void)snprintf(text, sizeof text, "%.360s ... %016llx", given,
                       (unsigned long long)nxw_hash(NXW_HASH_START, given, length));
    about_line(a, n, key, told, text);
}

/* What the rows rest on, in the order in which differences are told. */
static size_t about_lines(const struct nxw_sweep_identity *identity, struct about a[ABOUT_MAX])
{
    static const char *const version = "was made by another version of the program";
    static const char *const constants = "rests on another set of constants";
    static const char *const other = "holds another sweep";
    const struct nxw_plan *plan = identity->plan;
    size_t n = 0;
    char text[64];
    about_line(a, &n, "schema", version, NXW_SWEEP_SCHEMA);
    about_line(a, &n, "program_version", version, nxw_version());
    about_line(a, &n, "program_commit", version, nxw_commit());
    about_line(a, &n, "constants_version", constants, nxw_parameter_version());
    about_line(a, &n, "constants_hash", constants, nxw_parameter_hash());
    (void)snprintf(text, sizeof text, "%016llx", (unsigned long long)identity->case_hash);
    about_line(a, &n, "case_hash", "is of another case, or of the case before a change,", text);
    for (size_t i = 0; i < NXW_REPEATS_MAX; i++) {
        char key[32];
        (void)snprintf(key, sizeof key, "vary_%zu", i + 1);
        about_vary(a, &n, key, other, i < plan->n_varies ? plan->varies[i].given : "");
    }
    (void)snprintf(text, sizeof text, "%llu", (unsigned long long)plan->n_cases);
    about_line(a, &n, "cases", other, text);
    if (plan->sampled)
        (void)snprintf(text, sizeof text, "%llu", (unsigned long long)plan->seed);
    about_line(a, &n, "sample_seed", other, plan->sampled ? text : "");
    (void)snprintf(text, sizeof text, "%llu/%llu", (unsigned long long)plan->part,
                   (unsigned long long)plan->parts);
    about_line(a, &n, "part", "holds another part of the sweep", text);
    return n;
}

/* The value of a key of a database ("main" or one attached); false: no such table or key. */
static bool read_about(sqlite3 *db, const char *schema, const char *key, char value[ABOUT_VALUE])
{
    char sql[96];
    sqlite3_stmt *query = NULL;
    (void)snprintf(sql, sizeof sql, "SELECT value FROM %s.about WHERE key = ?1", schema);
    bool good = sqlite3_prepare_v2(db, sql, -1, &query, NULL) == SQLITE_OK &&
                sqlite3_bind_text(query, 1, key, -1, SQLITE_STATIC) == SQLITE_OK &&
                sqlite3_step(query) == SQLITE_ROW;
    const char *got = good ? (const char *)sqlite3_column_text(query, 0) : NULL;
    good = got != NULL && strlen(got) < ABOUT_VALUE;
    if (good)
        memcpy(value, got, strlen(got) + 1);
    (void)sqlite3_finalize(query);
    return good;
}

static enum nxw_exit refuse_foreign(const char *path, const char *told, const char *there,
                                    const char *wanted)
{
    (void)fprintf(stderr,
                  "noxwash: %s %s (%s there, %s here); nothing was changed; give another "
                  "--out, or remove it\n",
                  path, told, there[0] != '\0' ? there : "none",
                  wanted[0] != '\0' ? wanted : "none");
    return NXW_EXIT_CASE;
}

static enum nxw_exit check_about(struct nxw_sweep_store *s,
                                 const struct nxw_sweep_identity *identity)
{
    struct about wanted[ABOUT_MAX];
    const size_t n = about_lines(identity, wanted);
    for (size_t i = 0; i < n; i++) {
        char there[ABOUT_VALUE];
        if (!read_about(s->db, "main", wanted[i].key, there)) {
            (void)fprintf(stderr,
                          "noxwash: %s is a database, but not of a sweep; nothing was "
                          "changed; give another --out\n",
                          s->path);
            return NXW_EXIT_CASE;
        }
        if (strcmp(there, wanted[i].value) != 0)
            return refuse_foreign(s->path, wanted[i].told, there, wanted[i].value);
    }
    return NXW_EXIT_DONE;
}

static bool put_about(struct nxw_sweep_store *s, const char *key, const char *value)
{
    sqlite3_stmt *insert = NULL;
    const bool good = sqlite3_prepare_v2(s->db, "INSERT INTO about VALUES (?1, ?2)", -1, &insert,
                                         NULL) == SQLITE_OK &&
                      sqlite3_bind_text(insert, 1, key, -1, SQLITE_STATIC) == SQLITE_OK &&
                      sqlite3_bind_text(insert, 2, value, -1, SQLITE_STATIC) == SQLITE_OK &&
                      sqlite3_step(insert) == SQLITE_DONE;
    (void)sqlite3_finalize(insert);
    return good;
}

/* ------------------------------------------------------------------------------- making */

static char *create_rows(const struct nxw_plan *plan)
{
    sqlite3_str *sql = sqlite3_str_new(NULL);
    sqlite3_str_appendall(sql, "CREATE TABLE rows (\"case\" INTEGER PRIMARY KEY");
    for (size_t i = 0; i < plan->n_varies; i++)
        sqlite3_str_appendf(sql, ", \"%w\" %s", plan->varies[i].column,
                            plan->varies[i].is_number ? "REAL" : "TEXT");
    sqlite3_str_appendall(sql, ", status INTEGER");
    for (size_t i = 0; i < NXW_SWEEP_TEXT_COUNT; i++)
        sqlite3_str_appendf(sql, ", %s TEXT", nxw_sweep_text_names[i]);
    for (size_t i = 0; i < NXW_HEADLINE_COUNT; i++)
        sqlite3_str_appendf(sql, ", \"%w\" REAL", nxw_headline_name(i));
    sqlite3_str_appendall(sql, ")");
    return sqlite3_str_finish(sql);
}

static bool put_about_all(struct nxw_sweep_store *s, const struct nxw_sweep_identity *identity)
{
    struct about lines[ABOUT_MAX];
    const size_t n = about_lines(identity, lines);
    bool good = true;
    for (size_t i = 0; i < n && good; i++)
        good = put_about(s, lines[i].key, lines[i].value);
    good = good && put_about(s, "case_path", identity->case_path);
    struct nxw_cautions cautions;
    nxw_cautions_make(NULL, &cautions);
    for (size_t i = 0; i < cautions.n && good; i++) {
        char key[32];
        (void)snprintf(key, sizeof key, "caution_%zu", i + 1);
        good = put_about(s, key, cautions.text[i]);
    }
    return good;
}

/* Both tables and what the rows rest on, or nothing of it; another sweep may have just made them.
 */
static enum nxw_exit make_tables(struct nxw_sweep_store *s,
                                 const struct nxw_sweep_identity *identity)
{
    char *rows = create_rows(identity->plan);
    uint64_t tables = 0;
    bool good = rows != NULL &&
                sqlite3_exec(s->db, "BEGIN IMMEDIATE", NULL, NULL, NULL) == SQLITE_OK &&
                query_count(s, "SELECT count(*) FROM sqlite_master", &tables);
    if (good && tables == 0)
        good = sqlite3_exec(s->db, "CREATE TABLE about (key TEXT PRIMARY KEY, value TEXT)", NULL,
                            NULL, NULL) == SQLITE_OK &&
               put_about_all(s, identity) &&
               sqlite3_exec(s->db, rows, NULL, NULL, NULL) == SQLITE_OK;
    good = good && sqlite3_exec(s->db, "COMMIT", NULL, NULL, NULL) == SQLITE_OK;
    if (!good)
        (void)failed(s, "the database cannot be made");
    sqlite3_free(rows);
    return !good ? s->fault : tables > 0 ? check_about(s, identity) : NXW_EXIT_DONE;
}

/* Here SQLite does not wait by itself for another sweep at the same database. */
static bool set_journal(struct nxw_sweep_store *s, const char *sql)
{
    enum { TRIES = 500 };
    const struct timespec wait = {0, 20000000};
    int code = SQLITE_BUSY;
    for (int i = 0; i < TRIES && code == SQLITE_BUSY; i++) {
        code = sqlite3_exec(s->db, sql, NULL, NULL, NULL);
        if (code == SQLITE_BUSY)
            (void)nanosleep(&wait, NULL);
    }
    return code == SQLITE_OK || failed(s, "the database cannot be used");
}

static bool prepare(struct nxw_sweep_store *s)
{
    const size_t columns = 2 + s->plan->n_varies + NXW_SWEEP_TEXT_COUNT + NXW_HEADLINE_COUNT;
    sqlite3_str *sql = sqlite3_str_new(NULL);
    sqlite3_str_appendall(sql, "INSERT OR IGNORE INTO rows VALUES (?1");
    for (size_t i = 1; i < columns; i++)
        sqlite3_str_appendf(sql, ", ?%d", (int)i + 1);
    sqlite3_str_appendall(sql, ")");
    char *text = sqlite3_str_finish(sql);
    const bool good =
        text != NULL && sqlite3_prepare_v2(s->db, text, -1, &s->insert, NULL) == SQLITE_OK &&
        sqlite3_prepare_v2(s->db, "SELECT 1 FROM rows WHERE \"case\" = ?1", -1, &s->find, NULL) ==
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
        good = sqlite3_exec(s->db, "BEGIN IMMEDIATE", NULL, NULL, NULL) == SQLITE_OK;
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
    return sqlite3_exec(s->db, "COMMIT", NULL, NULL, NULL) == SQLITE_OK ||
           failed(s, "rows cannot be written");
}

/* --------------------------------------------------------------------- opening, closing */

static void release(struct nxw_sweep_store *s)
{
    (void)sqlite3_finalize(s->insert);
    (void)sqlite3_finalize(s->find);
    (void)sqlite3_close(s->db);
    free(s);
}

/* A database that is not ours is left as it was: nothing is written before it has been judged. */
static enum nxw_exit open_checked(struct nxw_sweep_store *s,
                                  const struct nxw_sweep_identity *identity)
{
    uint64_t tables = 0;
    if (sqlite3_open_v2(s->path, &s->db, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, NULL) !=
            SQLITE_OK ||
        sqlite3_busy_timeout(s->db, 10000) != SQLITE_OK ||
        !query_count(s, "SELECT count(*) FROM sqlite_master", &tables)) {
        (void)failed(s, "the database cannot be opened");
        return code_of(s);
    }
    const enum nxw_exit code = tables > 0 ? check_about(s, identity) : NXW_EXIT_DONE;
    if (code != NXW_EXIT_DONE)
        return code;
    if (!run_sql(s, "PRAGMA synchronous = FULL"))
        return code_of(s);
    return tables > 0 ? NXW_EXIT_DONE : make_tables(s, identity);
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
    s->path = path;
    s->plan = identity->plan;
    enum nxw_exit code = open_checked(s, identity);
    if (code == NXW_EXIT_DONE && !query_count(s, "SELECT count(*) FROM rows", present)) {
        (void)failed(s, "rows cannot be counted");
        code = code_of(s);
    }
    /* a whole table stays one plain file */
    if (code == NXW_EXIT_DONE && *present < nxw_plan_count(identity->plan) &&
        !set_journal(s, "PRAGMA journal_mode = WAL"))
        code = code_of(s);
    if (code == NXW_EXIT_DONE && !prepare(s))
        code = code_of(s);
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
        (void)sqlite3_exec(s->db, "ROLLBACK", NULL, NULL, NULL);
    (void)sqlite3_finalize(s->insert);
    (void)sqlite3_finalize(s->find);
    s->insert = s->find = NULL;
    /* where another sweep holds it, that one does it */
    if (whole &&
        sqlite3_exec(s->db, "PRAGMA journal_mode = DELETE", NULL, NULL, NULL) != SQLITE_OK &&
        sqlite3_errcode(s->db) != SQLITE_BUSY)
        (void)failed(s, "the database cannot be used");
    const enum nxw_exit fault = s->fault;
    release(s);
    return fault;
}

bool nxw_sweep_store_tally(struct nxw_sweep_store *s, struct nxw_sweep_tally *tally)
{
    char cases[ABOUT_VALUE];
    *tally = (struct nxw_sweep_tally){0};
    if (!query_count(s, "SELECT count(*) FROM rows", &tally->rows) ||
        !query_count(s, "SELECT count(*) FROM rows WHERE status < 0", &tally->without_result) ||
        !read_about(s->db, "main", "cases", cases))
        return failed(s, "rows cannot be counted");
    tally->cases = strtoull(cases, NULL, 10);
    return true;
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
    bool good = sql != NULL && sqlite3_prepare_v2(s->db, sql, -1, &query, NULL) == SQLITE_OK &&
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

/* -------------------------------------------------------------------------------- merge */

/* All but the part itself must agree; the outcome is the whole: part 1/1. */
static enum nxw_exit check_same(struct nxw_sweep_store *s, const char *part)
{
    static const struct nxw_plan none = {.parts = 1};
    const struct nxw_sweep_identity identity = {.plan = &none};
    struct about lines[ABOUT_MAX];
    const size_t n = about_lines(&identity, lines); /* for the keys and what is told */
    for (size_t i = 0; i < n; i++) {
        char here[ABOUT_VALUE] = "", there[ABOUT_VALUE] = "";
        const bool is_part = strcmp(lines[i].key, "part") == 0;
        if (is_part && read_about(s->db, "main", "part", here) && strcmp(here, "1/1") == 0)
            continue;
        if (is_part) {
            (void)fprintf(stderr,
                          "noxwash: %s is itself part %s; name the outcome first, then "
                          "the parts\n",
                          s->path, here);
            return NXW_EXIT_CASE;
        }
        if (!read_about(s->db, "part", lines[i].key, there)) {
            (void)fprintf(stderr, "noxwash: %s is not a part of a sweep\n", part);
            return NXW_EXIT_CASE;
        }
        if (!read_about(s->db, "main", lines[i].key, here) || strcmp(here, there) != 0) {
            (void)fprintf(stderr, "noxwash: %s %s than %s (%s there, %s here)\n", part,
                          lines[i].told, s->path, there, here);
            return NXW_EXIT_CASE;
        }
    }
    return NXW_EXIT_DONE;
}

/* Tables like those of the first part, as the part 1/1. */
static bool copy_tables(struct nxw_sweep_store *s)
{
    sqlite3_stmt *query = NULL;
    bool good = sqlite3_prepare_v2(s->db,
                                   "SELECT sql FROM part.sqlite_master WHERE type = 'table' AND "
                                   "name IN ('about', 'rows') ORDER BY name",
                                   -1, &query, NULL) == SQLITE_OK &&
                sqlite3_exec(s->db, "BEGIN IMMEDIATE", NULL, NULL, NULL) == SQLITE_OK;
    int tables = 0;
    while (good && sqlite3_step(query) == SQLITE_ROW) {
        const char *sql = (const char *)sqlite3_column_text(query, 0);
        good = sql != NULL && sqlite3_exec(s->db, sql, NULL, NULL, NULL) == SQLITE_OK;
        tables++;
    }
    (void)sqlite3_finalize(query);
    good = good && tables == 2 &&
           sqlite3_exec(s->db,
                        "INSERT INTO main.about SELECT * FROM part.about ORDER BY rowid;"
                        "UPDATE main.about SET value = '1/1' WHERE key = 'part'; COMMIT",
                        NULL, NULL, NULL) == SQLITE_OK;
    return good || failed(s, "the tables of the parts cannot be made");
}

static enum nxw_exit copy_rows(struct nxw_sweep_store *s, const char *part)
{
    uint64_t differing = 0;
    if (query_count(s,
                    "SELECT \"case\" FROM (SELECT * FROM part.rows WHERE \"case\" IN (SELECT "
                    "\"case\" FROM main.rows) EXCEPT SELECT * FROM main.rows) LIMIT 1",
                    &differing)) {
        (void)fprintf(stderr, "noxwash: case %llu of %s differs from what %s holds\n",
                      (unsigned long long)differing, part, s->path);
        return NXW_EXIT_CASE;
    }
    if (sqlite3_exec(s->db,
                     "INSERT OR IGNORE INTO main.rows SELECT * FROM part.rows ORDER BY \"case\"",
                     NULL, NULL, NULL) == SQLITE_OK)
        return NXW_EXIT_DONE;
    (void)failed(s, "rows cannot be written");
    return code_of(s);
}

static enum nxw_exit merge_part(struct nxw_sweep_store *s, const char *part)
{
    char *attach = sqlite3_mprintf("ATTACH %Q AS part", part);
    uint64_t tables = 0;
    /* ATTACH would make a missing file */
    if (access(part, R_OK) != 0 || attach == NULL ||
        sqlite3_exec(s->db, attach, NULL, NULL, NULL) != SQLITE_OK) {
        (void)fprintf(stderr, "noxwash: %s: cannot be opened\n", part);
        sqlite3_free(attach);
        return NXW_EXIT_IO;
    }
    sqlite3_free(attach);
    enum nxw_exit code = NXW_EXIT_DONE;
    char key[ABOUT_VALUE];
    if (!read_about(s->db, "part", "schema", key)) {
        (void)fprintf(stderr, "noxwash: %s is not a part of a sweep\n", part);
        code = NXW_EXIT_CASE;
    } else if (!query_count(s, "SELECT count(*) FROM main.sqlite_master", &tables) ||
               (tables == 0 && !copy_tables(s)))
        code = code_of(s);
    if (code == NXW_EXIT_DONE)
        code = check_same(s, part);
    if (code == NXW_EXIT_DONE)
        code = copy_rows(s, part);
    (void)sqlite3_exec(s->db, "DETACH part", NULL, NULL, NULL);
    return code;
}

enum nxw_exit nxw_sweep_store_merge(const char *path, size_t n, const char *const *parts,
                                    struct nxw_sweep_tally *tally)
{
    struct nxw_sweep_store *s = calloc(1, sizeof *s);
    if (s == NULL) {
        (void)fputs("noxwash: out of memory\n", stderr);
        return NXW_EXIT_INTERNAL;
    }
    s->path = path;
    const bool made = access(path, F_OK) != 0; /* here, if at all */
    enum nxw_exit code = NXW_EXIT_DONE;
    if (sqlite3_open_v2(path, &s->db, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, NULL) !=
        SQLITE_OK) {
        (void)failed(s, "the database cannot be opened");
        code = code_of(s);
    }
    for (size_t i = 0; i < n && code == NXW_EXIT_DONE; i++)
        code = merge_part(s, parts[i]);
    if (code == NXW_EXIT_DONE && !nxw_sweep_store_tally(s, tally))
        code = code_of(s);
    release(s);
    if (made && code != NXW_EXIT_DONE)
        (void)unlink(path); /* all parts or nothing */
    return code;
}
