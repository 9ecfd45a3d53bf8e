/*
 * A database of a sweep, opened so that nothing in it can act: no view, trigger, extension or other
 * file is reached, and only what a sweep itself would have written there is read. Internal to the
 * sweep_*.c files, which alone know SQLite.
 */
#ifndef NXW_SWEEP_DB_H
#define NXW_SWEEP_DB_H

#include <sqlite3.h>

#include "decide/sweep_row.h"

enum { NXW_ABOUT_VALUE = 400 };

struct nxw_sweep_db {
    sqlite3 *db;
    const char *path;
    bool (*stop)(void);
    enum nxw_exit fault; /* of the first failure */
    /* of the table rows, once judged */
    char *rows_sql; /* as this program makes it; sqlite3_free */
    size_t n_varies;
    bool is_number[NXW_REPEATS_MAX];
};

enum nxw_db_use {
    NXW_DB_WRITE, /* made where there is none */
    NXW_DB_READ   /* a finished part: never written, not even to mend it */
};

/*
 * Given:    stop    asked while statements run, to end them; or NULL
 * Returned: d       nxw_sweep_db_close, also on failure; it stays where it is until then
 *           is_new  no table yet, and no file that is another program's
 * Status:   0, 3 not a database of a sweep or an unfinished part, 6, 70, 130; the reason stands on
 *           stderr
 */
enum nxw_exit nxw_sweep_db_open(struct nxw_sweep_db *d, const char *path, enum nxw_db_use use,
                                bool (*stop)(void), bool *is_new);
void nxw_sweep_db_close(struct nxw_sweep_db *d);

/* After a failed call of SQLite: say so, once for all keep what it comes to. false. */
bool nxw_sweep_db_failed(struct nxw_sweep_db *d, const char *doing);
enum nxw_exit nxw_sweep_db_code(const struct nxw_sweep_db *d);

/* Memory is short: say so. 70. */
enum nxw_exit nxw_sweep_db_short(struct nxw_sweep_db *d);

/* The same when it holds what no sweep writes: 3. */
#if defined(__GNUC__)
__attribute__((format(printf, 2, 3)))
#endif
enum nxw_exit
nxw_sweep_db_refuse(struct nxw_sweep_db *d, const char *format, ...);

/* The first value of a query as a whole number. */
bool nxw_sweep_db_count(struct nxw_sweep_db *d, const char *sql, uint64_t *count);

/* ------------------------------------------------------------------------------- tables */

extern const char nxw_about_sql[]; /* how the table about is made */

/* Make both tables, in a transaction that stands open. rows_sql: of nxw_sweep_rows_sql. */
bool nxw_sweep_db_make(struct nxw_sweep_db *d, const char *rows_sql);

/* How the table rows is made; NULL: no memory. columns: the names of n varied keys. */
char *nxw_sweep_rows_sql(size_t n, const char *const *columns, const bool *is_number);

size_t nxw_sweep_columns(size_t n_varies);

/* Count what it holds; false: failed, said so. */
struct nxw_sweep_tally;
bool nxw_sweep_db_tally(struct nxw_sweep_db *d, struct nxw_sweep_tally *tally);

/* A value of the table about. false: no such key, or no text of this length. */
bool nxw_sweep_db_about(struct nxw_sweep_db *d, const char *key, char value[NXW_ABOUT_VALUE]);
bool nxw_sweep_db_put_about(struct nxw_sweep_db *d, const char *key, const char *value);

/* ------------------------------------------------------------------------------ judging */

/* Its tables are those this program makes, undamaged, and about holds plain text: 0, 3, 6, 70, 130.
 */
enum nxw_exit nxw_sweep_db_judge(struct nxw_sweep_db *d);

/* After that: each row is of a case of its part of the sweep, each cell of the kind it should be.
 */
enum nxw_exit nxw_sweep_db_judge_rows(struct nxw_sweep_db *d);

#endif
