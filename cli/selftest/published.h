/*
 * The published check values in tests/published/, compiled into the program, and their one judge:
 * the tests and the command selftest both run it.
 *
 * A record: quantity, inputs, value, unit, digits, tolerance, reason, known, source, known_miss.
 * inputs     "w = 10 wt%; T = 20 degC", all that nxw_quantity wants, in any order
 * digits     significant digits in print
 * tolerance  "0.0005", "2 %", "2 % + 0.0005", "factor 3" or "23 to 29", in the unit of the value;
 *            not finer than half a unit of the last digit in print
 * known      published, from memory, computed or common practice
 * known_miss empty, or why the program lies outside the tolerance
 */
#ifndef NXW_PUBLISHED_H
#define NXW_PUBLISHED_H

#include <stdbool.h>
#include <stddef.h>

enum nxw_check_verdict {
    NXW_CHECK_PASSED,
    NXW_CHECK_FAILED,
    NXW_CHECK_KNOWN_MISS,  /* outside, as the record says */
    NXW_CHECK_MISS_IS_MET, /* inside, though the record says otherwise: the record is stale */
    NXW_CHECK_UNREADABLE   /* the record is wrong; fault says how */
};

enum { NXW_CHECK_FIELD_LENGTH = 320 };

struct nxw_check {
    const char *file; /* such as published/heat.csv */
    size_t line;
    char quantity[64], inputs[160], unit[32], reason[NXW_CHECK_FIELD_LENGTH], known[32],
        source[NXW_CHECK_FIELD_LENGTH], known_miss[NXW_CHECK_FIELD_LENGTH];
    int digits;
    double published, low, high, ours; /* in the unit of the record */
    enum nxw_check_verdict verdict;
    char fault[200];
};

/*
 * Judge one record.
 *
 * Given:    record  one line of CSV, fields in double quotes where they hold commas
 * Returned: out     verdict NXW_CHECK_UNREADABLE with a fault, or the comparison
 */
void nxw_check_judge(const char *record, struct nxw_check *out);

/*
 * Judge every record that is compiled in, in order.
 *
 * Returned: number of records; 0 when none is there
 */
size_t nxw_check_all(void (*visit)(const struct nxw_check *check, void *user), void *user);

/* How a value is known, in the words of the records. */
enum { NXW_CHECK_KINDS = 4 };
extern const char *const nxw_check_kinds[NXW_CHECK_KINDS];
/* The kind of a record's word; NXW_CHECK_KINDS when it is none. */
size_t nxw_check_kind(const char *word);
/* known_miss: why a miss is on record; empty when none is. */
enum nxw_check_verdict nxw_check_verdict_of(bool inside, const char *known_miss);

#endif
