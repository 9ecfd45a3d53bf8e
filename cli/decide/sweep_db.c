#include "decide/sweep_db.h"

#include <fcntl.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/characters.h"
#include "base/used_files.h"

/* "nxw1"; a database without it was made by another program, or by an early version of this one */
enum { APPLICATION_ID = 0x6e787731 };

const char nxw_about_sql[] = "CREATE TABLE about (key TEXT PRIMARY KEY, value TEXT)";

/* ------------------------------------------------------------------------------- faults */

enum nxw_exit nxw_sweep_db_code(const struct nxw_sweep_db *d)
{
    /* a statement that could not be written leaves the database without a fault */
    switch (d->db != NULL ? sqlite3_errcode(d->db) : SQLITE_NOMEM) {
    case SQLITE_NOMEM:
    case SQLITE_OK:
        return NXW_EXIT_INTERNAL;
    case SQLITE_INTERRUPT:
        return NXW_EXIT_INTERRUPTED;
    case SQLITE_NOTADB:
    case SQLITE_CORRUPT:
    case SQLITE_FORMAT:
    case SQLITE_TOOBIG:
        return NXW_EXIT_CASE;
    default:
        return NXW_EXIT_IO;
    }
}

bool nxw_sweep_db_failed(struct nxw_sweep_db *d, const char *doing)
{
    const enum nxw_exit code = nxw_sweep_db_code(d);
    if (d->fault == NXW_EXIT_DONE)
        d->fault = code;
    if (code == NXW_EXIT_INTERRUPTED) {
        (void)fputs("noxwash: interrupted\n", stderr);
        return false;
    }
    char why[200]; /* it may quote the file */
    (void)snprintf(why, sizeof why, "%s",
                   code == NXW_EXIT_INTERNAL ? "out of memory" : sqlite3_errmsg(d->db));
    nxw_make_printable(why);
    (void)fprintf(stderr, "noxwash: %s: %s: %s\n", d->path, doing, why);
    return false;
}

enum nxw_exit nxw_sweep_db_short(struct nxw_sweep_db *d)
{
    (void)fprintf(stderr, "noxwash: %s: out of memory\n", d->path);
    if (d->fault == NXW_EXIT_DONE)
        d->fault = NXW_EXIT_INTERNAL;
    return NXW_EXIT_INTERNAL;
}

enum nxw_exit nxw_sweep_db_refuse(struct nxw_sweep_db *d, const char *format, ...)
{
    char why[500]; /* it may quote the file */
    va_list arguments;
    if (d->db != NULL && sqlite3_errcode(d->db) == SQLITE_NOMEM)
        return nxw_sweep_db_short(d); /* a text could not be had, so that it looked like another */
    va_start(arguments, format);
    (void)vsnprintf(why, sizeof why, format, arguments);
    va_end(arguments);
    nxw_make_printable(why);
    (void)fprintf(stderr, "noxwash: %s %s; nothing was changed\n", d->path, why);
    return NXW_EXIT_CASE;
}

bool nxw_sweep_db_count(struct nxw_sweep_db *d, const char *sql, uint64_t *count)
{
    sqlite3_stmt *query = NULL;
    bool good = sqlite3_prepare_v2(d->db, sql, -1, &query, NULL) == SQLITE_OK;
    good = good && sqlite3_step(query) == SQLITE_ROW;
    if (good)
        *count = (uint64_t)sqlite3_column_int64(query, 0);
    (void)sqlite3_finalize(query);
    return good;
}

/* ------------------------------------------------------------------------------ opening */

/* Does a rollback journal name a journal of several files? SQLite would open and remove that file,
 * whatever it is; a sweep writes one file and never names another. */
static bool names_another(const char *journal)
{
    static const unsigned char end[8] = {0xd9, 0xd5, 0x05, 0xf9, 0x20, 0xa1, 0x63, 0xd7};
    unsigned char last[sizeof end];
    const int file = open(journal, O_RDONLY | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK);
    bool names = file >= 0 && lseek(file, -(off_t)sizeof last, SEEK_END) >= 0 &&
                 read(file, last, sizeof last) == (ssize_t)sizeof last &&
                 memcmp(last, end, sizeof end) == 0;
    if (file >= 0)
        (void)close(file);
    return names;
}

/* What SQLite would read, write over or mend beside the database. */
static enum nxw_exit check_beside(struct nxw_sweep_db *d, enum nxw_db_use use)
{
    static const char *const tails[] = {"-wal", "-journal", "-shm"};
    struct stat is;
    if (use == NXW_DB_WRITE && lstat(d->path, &is) == 0 && S_ISLNK(is.st_mode))
        return nxw_sweep_db_refuse(d, "is a link; name the file itself");
    if (stat(d->path, &is) == 0 && !S_ISREG(is.st_mode))
        return nxw_sweep_db_refuse(d, "is not an ordinary file");
    for (size_t i = 0; i < sizeof tails / sizeof tails[0]; i++) {
        char *name = sqlite3_mprintf("%s%s", d->path, tails[i]);
        enum nxw_exit code = NXW_EXIT_DONE;
        if (name == NULL)
            code = nxw_sweep_db_short(d);
        else if (lstat(name, &is) != 0)
            code = NXW_EXIT_DONE;
        else if (!S_ISREG(is.st_mode) || is.st_nlink > 1 || names_another(name))
            code = nxw_sweep_db_refuse(d, "has a file beside it that no sweep leaves there (%s)",
                                       name);
        else if (use == NXW_DB_READ)
            code = nxw_sweep_db_refuse(d,
                                       "is not finished (%s is beside it): run its sweep "
                                       "command once more, to the end",
                                       name);
        sqlite3_free(name);
        if (code != NXW_EXIT_DONE)
            return code;
    }
    return NXW_EXIT_DONE;
}

/* A name that SQLite takes as it is, not as one of its own such as ":memory:" or "file:x?mode=rw";
 * for reading a URI that says nobody changes the file, every byte of the name written in hex. */
static char *name_for_sqlite(const char *path, enum nxw_db_use use)
{
    const char *here = path[0] != '/' ? "./" : "";
    if (use == NXW_DB_WRITE)
        return sqlite3_mprintf("%s%s", here, path);
    sqlite3_str *uri = sqlite3_str_new(NULL);
    sqlite3_str_appendf(uri, "file:%s", here);
    for (const char *p = path; *p != '\0'; p++)
        sqlite3_str_appendf(uri, "%%%02x", (unsigned)(unsigned char)*p);
    sqlite3_str_appendall(uri, "?immutable=1");
    return sqlite3_str_finish(uri);
}

/* https://www.sqlite.org/security.html, "untrusted SQLite database files", and as little room for
 * statements of the file's own as ours need */
static bool restrict_powers(sqlite3 *db)
{
    static const struct {
        int what, on;
    } powers[] = {{SQLITE_DBCONFIG_DEFENSIVE, 1},
                  {SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0},
                  {SQLITE_DBCONFIG_ENABLE_TRIGGER, 0},
                  {SQLITE_DBCONFIG_ENABLE_VIEW, 0},
                  {SQLITE_DBCONFIG_ENABLE_LOAD_EXTENSION, 0},
                  {SQLITE_DBCONFIG_ENABLE_FTS3_TOKENIZER, 0},
                  {SQLITE_DBCONFIG_WRITABLE_SCHEMA, 0},
                  {SQLITE_DBCONFIG_DQS_DDL, 0},
                  {SQLITE_DBCONFIG_DQS_DML, 0}};
    static const struct {
        int what, most;
    } limits[] = {{SQLITE_LIMIT_ATTACHED, 0},       {SQLITE_LIMIT_LENGTH, 2 << 20},
                  {SQLITE_LIMIT_SQL_LENGTH, 65536}, {SQLITE_LIMIT_COLUMN, 200},
                  {SQLITE_LIMIT_EXPR_DEPTH, 20},    {SQLITE_LIMIT_COMPOUND_SELECT, 2},
                  {SQLITE_LIMIT_FUNCTION_ARG, 8},   {SQLITE_LIMIT_LIKE_PATTERN_LENGTH, 100},
                  {SQLITE_LIMIT_TRIGGER_DEPTH, 1},  {SQLITE_LIMIT_WORKER_THREADS, 0}};
    bool good = true;
    for (size_t i = 0; i < sizeof powers / sizeof powers[0]; i++) {
        int is = -1;
        good = good && sqlite3_db_config(db, powers[i].what, powers[i].on, &is) == SQLITE_OK &&
               is == powers[i].on;
    }
    for (size_t i = 0; i < sizeof limits / sizeof limits[0]; i++)
        (void)sqlite3_limit(db, limits[i].what, limits[i].most);
    return good;
}

static int asked_to_stop(void *user)
{
    const struct nxw_sweep_db *d = user;
    return d->stop() ? 1 : 0;
}

enum nxw_exit nxw_sweep_db_open(struct nxw_sweep_db *d, const char *path, enum nxw_db_use use,
                                bool (*stop)(void), bool *is_new)
{
    const int flags = use == NXW_DB_WRITE ? SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE
                                          : SQLITE_OPEN_READONLY | SQLITE_OPEN_URI;
    uint64_t tables = 0, id = 0;
    enum { EVERY = 1000 }; /* instructions of SQLite's: well below a millisecond */
    *d = (struct nxw_sweep_db){.path = path, .stop = stop};
    const enum nxw_exit beside = check_beside(d, use);
    if (beside != NXW_EXIT_DONE)
        return beside;
    char *name = name_for_sqlite(path, use);
    const bool opened = name != NULL && sqlite3_open_v2(name, &d->db, flags, NULL) == SQLITE_OK;
    if (opened && stop != NULL)
        sqlite3_progress_handler(d->db, EVERY, asked_to_stop, d);
    if (!opened || !restrict_powers(d->db) || sqlite3_busy_timeout(d->db, 10000) != SQLITE_OK ||
        sqlite3_exec(d->db, "PRAGMA cell_size_check = ON; PRAGMA synchronous = FULL", NULL, NULL,
                     NULL) != SQLITE_OK ||
        !nxw_sweep_db_count(d, "PRAGMA application_id", &id) ||
        !nxw_sweep_db_count(d, "SELECT count(*) FROM sqlite_master", &tables)) {
        (void)nxw_sweep_db_failed(d, "the database cannot be opened");
        sqlite3_free(name);
        return nxw_sweep_db_code(d);
    }
    sqlite3_free(name);
    struct stat is;
    if (stat(path, &is) == 0)
        nxw_used_file_add(&is);
    *is_new = tables == 0 && id == 0;
    if (!*is_new && id != APPLICATION_ID)
        return nxw_sweep_db_refuse(d, "is a database, but not of a sweep, or of one by an earlier "
                                      "version of the program");
    return NXW_EXIT_DONE;
}

void nxw_sweep_db_close(struct nxw_sweep_db *d)
{
    sqlite3_free(d->rows_sql);
    d->rows_sql = NULL;
    (void)sqlite3_close(d->db);
    d->db = NULL;
}

/* ------------------------------------------------------------------------------- tables */

size_t nxw_sweep_columns(size_t n_varies)
{
    return 2 + n_varies + NXW_SWEEP_TEXT_COUNT + NXW_HEADLINE_COUNT;
}

char *nxw_sweep_rows_sql(size_t n, const char *const *columns, const bool *is_number)
{
    sqlite3_str *sql = sqlite3_str_new(NULL);
    sqlite3_str_appendall(sql, "CREATE TABLE rows (\"case\" INTEGER PRIMARY KEY");
    for (size_t i = 0; i < n; i++)
        sqlite3_str_appendf(sql, ", \"%w\" %s", columns[i], is_number[i] ? "REAL" : "TEXT");
    sqlite3_str_appendall(sql, ", status INTEGER");
    for (size_t i = 0; i < NXW_SWEEP_TEXT_COUNT; i++)
        sqlite3_str_appendf(sql, ", %s TEXT", nxw_sweep_text_names[i]);
    for (size_t i = 0; i < NXW_HEADLINE_COUNT; i++)
        sqlite3_str_appendf(sql, ", \"%w\" REAL", nxw_headline_name(i));
    sqlite3_str_appendall(sql, ")");
    return sqlite3_str_finish(sql);
}

bool nxw_sweep_db_make(struct nxw_sweep_db *d, const char *rows_sql)
{
    char id[64];
    (void)snprintf(id, sizeof id, "PRAGMA application_id = %d", (int)APPLICATION_ID);
    return sqlite3_exec(d->db, id, NULL, NULL, NULL) == SQLITE_OK &&
           sqlite3_exec(d->db, nxw_about_sql, NULL, NULL, NULL) == SQLITE_OK &&
           sqlite3_exec(d->db, rows_sql, NULL, NULL, NULL) == SQLITE_OK;
}

bool nxw_sweep_db_about(struct nxw_sweep_db *d, const char *key, char value[NXW_ABOUT_VALUE])
{
    sqlite3_stmt *query = NULL;
    bool good = sqlite3_prepare_v2(d->db, "SELECT value FROM about WHERE key = ?1", -1, &query,
                                   NULL) == SQLITE_OK &&
                sqlite3_bind_text(query, 1, key, -1, SQLITE_STATIC) == SQLITE_OK &&
                sqlite3_step(query) == SQLITE_ROW;
    const char *got = good ? (const char *)sqlite3_column_text(query, 0) : NULL;
    good = got != NULL && strlen(got) < NXW_ABOUT_VALUE;
    if (good)
        memcpy(value, got, strlen(got) + 1);
    (void)sqlite3_finalize(query);
    return good;
}

bool nxw_sweep_db_put_about(struct nxw_sweep_db *d, const char *key, const char *value)
{
    sqlite3_stmt *insert = NULL;
    const bool good = sqlite3_prepare_v2(d->db, "INSERT INTO about VALUES (?1, ?2)", -1, &insert,
                                         NULL) == SQLITE_OK &&
                      sqlite3_bind_text(insert, 1, key, -1, SQLITE_STATIC) == SQLITE_OK &&
                      sqlite3_bind_text(insert, 2, value, -1, SQLITE_STATIC) == SQLITE_OK &&
                      sqlite3_step(insert) == SQLITE_DONE;
    (void)sqlite3_finalize(insert);
    return good;
}
