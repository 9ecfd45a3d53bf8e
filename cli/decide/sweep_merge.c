/* Parts of a sweep brought together. They may come from strangers: each is judged before use, none
 * is attached, and rows go over cell by cell. */
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "decide/sweep_about.h"
#include "decide/sweep_store.h"

struct merge {
    struct nxw_sweep_db out;
    bool is_new; /* no tables yet */
    sqlite3_stmt *insert, *find;
};

static enum nxw_exit failed(struct nxw_sweep_db *d, const char *doing)
{
    (void)nxw_sweep_db_failed(d, doing);
    return nxw_sweep_db_code(d);
}

/* -------------------------------------------------------------------------------- rows */

static bool same_cell(sqlite3_stmt *a, sqlite3_stmt *b, int column)
{
    const int kind = sqlite3_column_type(a, column);
    if (kind != sqlite3_column_type(b, column))
        return false;
    if (kind == SQLITE_FLOAT)
        return sqlite3_column_double(a, column) == sqlite3_column_double(b, column);
    if (kind == SQLITE_INTEGER)
        return sqlite3_column_int64(a, column) == sqlite3_column_int64(b, column);
    const int bytes = sqlite3_column_bytes(a, column);
    return kind == SQLITE_NULL ||
           (bytes == sqlite3_column_bytes(b, column) &&
            (bytes == 0 || memcmp(sqlite3_column_blob(a, column), sqlite3_column_blob(b, column),
                                  (size_t)bytes) == 0));
}

/* A row that the outcome has from before must be the same. */
static enum nxw_exit compare_row(struct merge *m, sqlite3_stmt *row, const char *part)
{
    const sqlite3_int64 number = sqlite3_column_int64(row, 0);
    bool same = true;
    if (sqlite3_bind_int64(m->find, 1, number) != SQLITE_OK || sqlite3_step(m->find) != SQLITE_ROW)
        return failed(&m->out, "rows cannot be read");
    for (int i = 0; i < sqlite3_column_count(row) && same; i++)
        same = same_cell(row, m->find, i);
    (void)sqlite3_reset(m->find);
    if (same)
        return NXW_EXIT_DONE;
    (void)fprintf(stderr, "noxwash: case %lld of %s differs from what %s holds\n",
                  (long long)number, part, m->out.path);
    return NXW_EXIT_CASE;
}

static enum nxw_exit copy_row(struct merge *m, sqlite3_stmt *row, const char *part)
{
    bool good = true;
    for (int i = 0; i < sqlite3_column_count(row) && good; i++)
        good = sqlite3_bind_value(m->insert, i + 1, sqlite3_column_value(row, i)) == SQLITE_OK;
    good = good && sqlite3_step(m->insert) == SQLITE_DONE;
    const enum nxw_exit code = good ? NXW_EXIT_DONE : failed(&m->out, "rows cannot be written");
    (void)sqlite3_reset(m->insert);
    return good && sqlite3_changes(m->out.db) == 0 ? compare_row(m, row, part) : code;
}

static enum nxw_exit copy_rows(struct merge *m, struct nxw_sweep_db *part)
{
    sqlite3_stmt *rows = NULL;
    enum nxw_exit code = NXW_EXIT_DONE;
    int status =
        sqlite3_prepare_v2(part->db, "SELECT * FROM rows ORDER BY \"case\"", -1, &rows, NULL);
    if (status != SQLITE_OK)
        return failed(part, "rows cannot be read");
    while (code == NXW_EXIT_DONE && (status = sqlite3_step(rows)) == SQLITE_ROW)
        code = copy_row(m, rows, part->path);
    if (code == NXW_EXIT_DONE && status != SQLITE_DONE)
        code = failed(part, "rows cannot be read");
    (void)sqlite3_finalize(rows);
    return code;
}

/* ------------------------------------------------------------------------------ outcome */

static bool prepare(struct merge *m)
{
    sqlite3_str *sql = sqlite3_str_new(NULL);
    sqlite3_str_appendall(sql, "INSERT OR IGNORE INTO rows VALUES (?1");
    for (size_t i = 1; i < nxw_sweep_columns(m->out.n_varies); i++)
        sqlite3_str_appendf(sql, ", ?%d", (int)i + 1);
    sqlite3_str_appendall(sql, ")");
    char *text = sqlite3_str_finish(sql);
    const bool good = text != NULL &&
                      sqlite3_prepare_v2(m->out.db, text, -1, &m->insert, NULL) == SQLITE_OK &&
                      sqlite3_prepare_v2(m->out.db, "SELECT * FROM rows WHERE \"case\" = ?1", -1,
                                         &m->find, NULL) == SQLITE_OK;
    sqlite3_free(text);
    return good;
}

/* Tables like those of the first part, as the part 1/1. */
static enum nxw_exit make_outcome(struct merge *m, struct nxw_sweep_db *part)
{
    m->out.n_varies = part->n_varies;
    m->out.rows_sql = sqlite3_mprintf("%s", part->rows_sql);
    if (m->out.rows_sql == NULL || !nxw_sweep_db_make(&m->out, m->out.rows_sql) ||
        !nxw_sweep_about_copy(&m->out, part))
        return failed(&m->out, "the tables of the parts cannot be made");
    m->is_new = false;
    return NXW_EXIT_DONE;
}

static enum nxw_exit open_outcome(struct merge *m, const char *path, bool (*stop)(void))
{
    enum nxw_exit code = nxw_sweep_db_open(&m->out, path, NXW_DB_WRITE, stop, &m->is_new);
    if (code == NXW_EXIT_DONE && !m->is_new)
        code = nxw_sweep_db_judge(&m->out);
    if (code == NXW_EXIT_DONE && !m->is_new)
        code = nxw_sweep_db_judge_rows(&m->out);
    if (code == NXW_EXIT_DONE &&
        sqlite3_exec(m->out.db, "BEGIN IMMEDIATE", NULL, NULL, NULL) != SQLITE_OK)
        code = failed(&m->out, "the database cannot be used");
    return code;
}

/* -------------------------------------------------------------------------------- part */

static enum nxw_exit take_part(struct merge *m, struct nxw_sweep_db *part)
{
    enum nxw_exit code = nxw_sweep_db_judge(part);
    if (code == NXW_EXIT_DONE && m->is_new)
        code = make_outcome(m, part);
    if (code == NXW_EXIT_DONE)
        code = nxw_sweep_about_same(&m->out, part);
    if (code == NXW_EXIT_DONE && strcmp(m->out.rows_sql, part->rows_sql) != 0)
        code = nxw_sweep_db_refuse(part, "holds other columns than %.200s", m->out.path);
    if (code == NXW_EXIT_DONE)
        code = nxw_sweep_db_judge_rows(part);
    if (code == NXW_EXIT_DONE && m->insert == NULL && !prepare(m))
        code = failed(&m->out, "the database cannot be used");
    return code == NXW_EXIT_DONE ? copy_rows(m, part) : code;
}

static enum nxw_exit merge_part(struct merge *m, const char *path)
{
    struct nxw_sweep_db part;
    bool is_new = false;
    if (access(path, R_OK) != 0) {
        (void)fprintf(stderr, "noxwash: %s: cannot be opened\n", path);
        return NXW_EXIT_IO;
    }
    enum nxw_exit code = nxw_sweep_db_open(&part, path, NXW_DB_READ, m->out.stop, &is_new);
    if (code == NXW_EXIT_DONE && is_new)
        code = nxw_sweep_db_refuse(&part, "is not a part of a sweep");
    if (code == NXW_EXIT_DONE)
        code = take_part(m, &part);
    nxw_sweep_db_close(&part);
    return code;
}

enum nxw_exit nxw_sweep_store_merge(const char *path, size_t n, const char *const *parts,
                                    bool (*stop)(void), struct nxw_sweep_tally *tally)
{
    struct merge *m = calloc(1, sizeof *m);
    if (m == NULL) {
        (void)fputs("noxwash: out of memory\n", stderr);
        return NXW_EXIT_INTERNAL;
    }
    struct stat is;
    const bool made = lstat(path, &is) != 0; /* here, if at all */
    enum nxw_exit code = open_outcome(m, path, stop);
    for (size_t i = 0; i < n && code == NXW_EXIT_DONE; i++)
        code = merge_part(m, parts[i]);
    if (code == NXW_EXIT_DONE && sqlite3_exec(m->out.db, "COMMIT", NULL, NULL, NULL) != SQLITE_OK)
        code = failed(&m->out, "rows cannot be written");
    if (code == NXW_EXIT_DONE && !nxw_sweep_db_tally(&m->out, tally))
        code = nxw_sweep_db_code(&m->out);
    (void)sqlite3_finalize(m->insert);
    (void)sqlite3_finalize(m->find);
    nxw_sweep_db_close(&m->out); /* what is not committed is taken back */
    free(m);
    if (made && code != NXW_EXIT_DONE)
        (void)unlink(path);
    return code;
}
