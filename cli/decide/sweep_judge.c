/* Is a database what a sweep of this program would have written? Its makers may be strangers. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/characters.h"
#include "decide/sweep_db.h"

enum {
    ABOUT_KEY_MAX = 31,
    ABOUT_ROWS_MAX = 100,
    ABOUT_TEXT_MAX = 8192,             /* paths and cautions are the longest */
    CELL_TEXT_MAX = NXW_TREE_BYTES_MAX /* of a varied key: a map at most */
};

static enum nxw_exit cannot_be_read(struct nxw_sweep_db *d)
{
    (void)nxw_sweep_db_failed(d, "the database cannot be read");
    return nxw_sweep_db_code(d);
}

/* ------------------------------------------------------------------------------- schema */

static const char *text_of(sqlite3_stmt *query, int column)
{
    const char *text = (const char *)sqlite3_column_text(query, column);
    return text != NULL ? text : "";
}

/* Is this entry of the schema the one of that kind and name, made by that text? */
static bool is_entry(sqlite3_stmt *query, const char *kind, const char *name, const char *table,
                     const char *sql)
{
    return strcmp(text_of(query, 0), kind) == 0 && strcmp(text_of(query, 1), name) == 0 &&
           strcmp(text_of(query, 2), table) == 0 && strcmp(text_of(query, 3), sql) == 0;
}

/* Nothing but our two tables and the index that a text as primary key brings with it; rows_sql: the
 * text the table rows was made with, to be judged. */
static enum nxw_exit judge_entries(struct nxw_sweep_db *d, char **rows_sql)
{
    static const char begin[] = "CREATE TABLE rows (";
    sqlite3_stmt *query = NULL;
    enum nxw_exit code = NXW_EXIT_DONE;
    int found = 0,
        status = sqlite3_prepare_v2(d->db, "SELECT type, name, tbl_name, sql FROM sqlite_master",
                                    -1, &query, NULL);
    if (status == SQLITE_OK)
        status = SQLITE_ROW;
    while (code == NXW_EXIT_DONE && status == SQLITE_ROW &&
           (status = sqlite3_step(query)) == SQLITE_ROW) {
        const char *sql = text_of(query, 3);
        found++;
        if (*rows_sql == NULL && strncmp(sql, begin, sizeof begin - 1) == 0 &&
            is_entry(query, "table", "rows", "rows", sql)) {
            *rows_sql = sqlite3_mprintf("%s", sql);
            code = *rows_sql == NULL ? nxw_sweep_db_short(d) : code;
        } else if (!is_entry(query, "table", "about", "about", nxw_about_sql) &&
                   !is_entry(query, "index", "sqlite_autoindex_about_1", "about", ""))
            code = nxw_sweep_db_refuse(d, "holds what no sweep puts there: the %.20s '%.60s'",
                                       text_of(query, 0), text_of(query, 1));
    }
    if (code == NXW_EXIT_DONE && status != SQLITE_DONE)
        code = cannot_be_read(d);
    (void)sqlite3_finalize(query);
    if (code == NXW_EXIT_DONE && (found != 3 || *rows_sql == NULL))
        code = nxw_sweep_db_refuse(d, "lacks a table of a sweep");
    return code;
}

/* Make the text of the table rows anew from its columns; it must be the text that stands there. */
static enum nxw_exit judge_rows_table(struct nxw_sweep_db *d, const char *there)
{
    const char *columns[NXW_REPEATS_MAX], *what;
    sqlite3_stmt *query = NULL;
    if (sqlite3_prepare_v2(d->db, "SELECT * FROM rows", -1, &query, NULL) != SQLITE_OK)
        return cannot_be_read(d);
    const size_t n = (size_t)sqlite3_column_count(query), fixed = nxw_sweep_columns(0);
    bool good = n > fixed && n <= fixed + NXW_REPEATS_MAX;
    d->n_varies = good ? n - fixed : 0;
    for (size_t i = 0; i < d->n_varies && good; i++) {
        const char *type = sqlite3_column_decltype(query, (int)i + 1);
        columns[i] = sqlite3_column_name(query, (int)i + 1);
        d->is_number[i] = type != NULL && strcmp(type, "REAL") == 0;
        good = columns[i] != NULL && strlen(columns[i]) < sizeof((struct nxw_vary *)0)->column &&
               nxw_find_hidden(columns[i], &what) == NULL;
    }
    enum nxw_exit code = NXW_EXIT_DONE;
    if (good) {
        d->rows_sql = nxw_sweep_rows_sql(d->n_varies, columns, d->is_number);
        if (d->rows_sql == NULL)
            code = nxw_sweep_db_short(d);
        else
            good = there != NULL && strcmp(d->rows_sql, there) == 0;
    }
    (void)sqlite3_finalize(query);
    return good ? code
                : nxw_sweep_db_refuse(d, "holds a table 'rows' that is not made as this version of "
                                         "the program makes it");
}

/* ------------------------------------------------------------------- damage, table about */

static enum nxw_exit judge_damage(struct nxw_sweep_db *d)
{
    sqlite3_stmt *query = NULL;
    enum nxw_exit code = NXW_EXIT_DONE;
    if (sqlite3_prepare_v2(d->db, "PRAGMA integrity_check(1)", -1, &query, NULL) != SQLITE_OK ||
        sqlite3_step(query) != SQLITE_ROW)
        code = cannot_be_read(d);
    else if (strcmp(text_of(query, 0), "ok") != 0)
        code = nxw_sweep_db_refuse(d, "is damaged (%.120s)", text_of(query, 0));
    (void)sqlite3_finalize(query);
    return code;
}

static bool is_plain_text(sqlite3_stmt *query, int column, int most)
{
    const char *what;
    return sqlite3_column_type(query, column) == SQLITE_TEXT &&
           sqlite3_column_bytes(query, column) <= most &&
           (size_t)sqlite3_column_bytes(query, column) == strlen(text_of(query, column)) &&
           nxw_find_hidden(text_of(query, column), &what) == NULL;
}

/* Its values are told on the terminal and copied. */
static enum nxw_exit judge_about(struct nxw_sweep_db *d)
{
    sqlite3_stmt *query = NULL;
    int n = 0, status = sqlite3_prepare_v2(d->db, "SELECT key, value FROM about", -1, &query, NULL);
    if (status != SQLITE_OK)
        return cannot_be_read(d);
    bool good = true;
    while (good && (status = sqlite3_step(query)) == SQLITE_ROW)
        good = ++n <= ABOUT_ROWS_MAX && is_plain_text(query, 0, ABOUT_KEY_MAX) &&
               is_plain_text(query, 1, ABOUT_TEXT_MAX);
    const enum nxw_exit code =
        !good ? nxw_sweep_db_refuse(d, "holds in the table 'about' what no sweep writes there")
        : status != SQLITE_DONE ? cannot_be_read(d)
                                : NXW_EXIT_DONE;
    (void)sqlite3_finalize(query);
    return code;
}

enum nxw_exit nxw_sweep_db_judge(struct nxw_sweep_db *d)
{
    char *rows_sql = NULL;
    enum nxw_exit code = judge_entries(d, &rows_sql);
    if (code == NXW_EXIT_DONE)
        code = judge_rows_table(d, rows_sql);
    sqlite3_free(rows_sql);
    if (code == NXW_EXIT_DONE)
        code = judge_damage(d);
    return code == NXW_EXIT_DONE ? judge_about(d) : code;
}

/* ---------------------------------------------------------------------------- table rows */

/* Which cases a part may hold. */
struct numbers {
    uint64_t cases, part, parts;
};

static bool read_number(const char **text, char end, uint64_t *number)
{
    char *rest = NULL;
    if (**text < '1' || **text > '9')
        return false;
    *number = strtoull(*text, &rest, 10);
    const bool good = *rest == end && *number <= NXW_SWEEP_CASES_MAX;
    *text = rest + (end != '\0' ? 1 : 0);
    return good;
}

static bool read_numbers(struct nxw_sweep_db *d, struct numbers *n)
{
    char cases[NXW_ABOUT_VALUE], part[NXW_ABOUT_VALUE];
    const char *c = cases, *p = part;
    return nxw_sweep_db_about(d, "cases", cases) && nxw_sweep_db_about(d, "part", part) &&
           read_number(&c, '\0', &n->cases) && read_number(&p, '/', &n->part) &&
           read_number(&p, '\0', &n->parts) && n->part <= n->parts;
}

static bool is_finite_number(sqlite3_stmt *query, int column)
{
    return sqlite3_column_type(query, column) == SQLITE_FLOAT &&
           isfinite(sqlite3_column_double(query, column)) != 0;
}

/* The first column of a row that holds what its kind does not allow; -1: none. */
static int odd_column(const struct nxw_sweep_db *d, sqlite3_stmt *query)
{
    int at = 1;
    for (size_t i = 0; i < d->n_varies; i++, at++)
        if (!(d->is_number[i] ? is_finite_number(query, at)
                              : is_plain_text(query, at, CELL_TEXT_MAX)))
            return at;
    if (sqlite3_column_type(query, at) != SQLITE_INTEGER)
        return at;
    at++;
    for (size_t i = 0; i < NXW_SWEEP_TEXT_COUNT; i++, at++)
        if (!is_plain_text(query, at, (int)sizeof(struct nxw_sweep_row)))
            return at;
    for (size_t i = 0; i < NXW_HEADLINE_COUNT; i++, at++)
        if (sqlite3_column_type(query, at) != SQLITE_NULL && !is_finite_number(query, at))
            return at;
    return -1;
}

enum nxw_exit nxw_sweep_db_judge_rows(struct nxw_sweep_db *d)
{
    struct numbers n;
    sqlite3_stmt *query = NULL;
    sqlite3_int64 last = 0;
    if (!read_numbers(d, &n))
        return nxw_sweep_db_refuse(d, "does not tell which cases of a sweep it holds");
    int status =
        sqlite3_prepare_v2(d->db, "SELECT * FROM rows ORDER BY \"case\"", -1, &query, NULL);
    if (status != SQLITE_OK)
        return cannot_be_read(d);
    enum nxw_exit code = NXW_EXIT_DONE;
    while (code == NXW_EXIT_DONE && (status = sqlite3_step(query)) == SQLITE_ROW) {
        const sqlite3_int64 number = sqlite3_column_int64(query, 0);
        const int odd = odd_column(d, query);
        if (number <= last || number > (sqlite3_int64)n.cases ||
            ((uint64_t)number - 1) % n.parts != n.part - 1)
            code = nxw_sweep_db_refuse(
                d, "holds a case %lld, which is none of part %llu/%llu of %llu cases",
                (long long)number, (unsigned long long)n.part, (unsigned long long)n.parts,
                (unsigned long long)n.cases);
        else if (odd >= 0)
            code = nxw_sweep_db_refuse(d,
                                       "holds in case %lld what no sweep writes there, in the "
                                       "column '%.80s'",
                                       (long long)number, sqlite3_column_name(query, odd));
        last = number;
    }
    if (code == NXW_EXIT_DONE && status != SQLITE_DONE)
        code = cannot_be_read(d);
    (void)sqlite3_finalize(query);
    return code;
}
