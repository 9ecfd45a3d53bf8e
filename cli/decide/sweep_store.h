/*
 * Rows of a sweep in an SQLite database. Whatever was there before is judged before it is used
 * (sweep_judge.c).
 *
 * Table about: what the rows rest on. Table rows: one row per case, "case" its number. A batch is
 * one transaction: a process killed, or a full disk, at any moment leaves every earlier batch.
 */
#ifndef NXW_SWEEP_STORE_H
#define NXW_SWEEP_STORE_H

#include "decide/sweep_row.h"

struct nxw_sweep_store;

/*
 * Open a database, or make it.
 *
 * Given:    path      of the database
 *           identity  what it must rest on when it is there already
 * Returned: store     nxw_sweep_store_close; NULL on failure
 *           sink      to give rows to
 *           present   cases of this run that are there already
 * Status:   0, 3 it holds something else, 6 read/write, 70; the reason stands on stderr
 */
enum nxw_exit nxw_sweep_store_open(const char *path, const struct nxw_sweep_identity *identity,
                                   struct nxw_sweep_store **store, struct nxw_sweep_sink *sink,
                                   uint64_t *present);

/*
 * whole: every row is there; the database then becomes one plain file.
 *
 * Returned: 0, or what the first failure of the store came to (6 read/write, 70 memory), said
 * before
 */
enum nxw_exit nxw_sweep_store_close(struct nxw_sweep_store *store, bool whole);

struct nxw_sweep_tally {
    uint64_t cases, rows, without_result;
};

/* Count what a database holds. */
bool nxw_sweep_store_tally(struct nxw_sweep_store *store, struct nxw_sweep_tally *tally);

/*
 * The rows with a result as points: the number of the first key, the parts of the nitrogen fed
 * that are kept and that escape; by rising number. curve: with two keys, only rows with value
 * number curve of the second. false: failed, said so.
 */
bool nxw_sweep_store_points(struct nxw_sweep_store *store, bool two_keys, uint64_t curve,
                            bool (*point)(void *user, double x, double kept, double escaped),
                            void *user);

/*
 * Bring the rows of parts together.
 *
 * Given:    path, n, parts  the database to make or to add to, and the parts
 *           stop            asked now and then; true: nothing of it is done
 * Returned: tally           of the outcome
 * Status:   0, 3 parts that do not belong together, differ in a row or hold what no sweep writes;
 * 6, 70, 130 stopped
 */
enum nxw_exit nxw_sweep_store_merge(const char *path, size_t n, const char *const *parts,
                                    bool (*stop)(void), struct nxw_sweep_tally *tally);

#endif
