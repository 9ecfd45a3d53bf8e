/*
 * Whole runs held against what is known of bottles and vessels: tests/whole_bottle/, compiled into
 * the program. The tests and the command selftest both run them.
 *
 * A record: fact, case, with, against, figure, low, high, known, source, known_miss.
 * fact       what is expected, in words
 * case       a file of tests/whole_bottle/ or params/cases/
 * with       changes of it, "key = value; key = value", or empty
 * against    empty: the figure itself is judged. Else the quotient of the figure by that of the run
 *            with these changes ("as it is": none)
 * figure     a name of the table in whole_bottle.c
 * low, high  what is accepted; a quotient below 1: it falls
 * known      published, from memory, computed or common practice
 * known_miss empty, or why the program lies outside
 */
#ifndef NXW_WHOLE_BOTTLE_H
#define NXW_WHOLE_BOTTLE_H

#include <stdbool.h>

#include "selftest/published.h"

struct nxw_bottle_check {
    const char *file;
    size_t line;
    char fact[200], case_name[48], with[200], against[200], figure[32], known[32],
        source[NXW_CHECK_FIELD_LENGTH], known_miss[NXW_CHECK_FIELD_LENGTH];
    const char *unit; /* of the figure, or "quotient" */
    double low, high, ours;
    enum nxw_check_verdict verdict;
    char fault[200];
    bool out_of_memory; /* the verdict is UNREADABLE then */
};

/* Judge one record, one line of CSV; file and line are kept. */
void nxw_bottle_check_judge(const char *record, struct nxw_bottle_check *out);

/* Judge every record that is compiled in, in order, up to one for which memory is short; returns
 * how many there are. */
size_t nxw_bottle_check_all(void (*visit)(const struct nxw_bottle_check *check, void *user),
                            void *user);

#endif
