#include "selftest/selftest_command.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text_layout.h"
#include "command/json_document.h"
#include "noxwash.h"
#include "selftest/published.h"
#include "selftest/whole_bottle.h"

static const char *const VERDICTS[] = {
    [NXW_CHECK_PASSED] = "passed",         [NXW_CHECK_FAILED] = "failed",
    [NXW_CHECK_KNOWN_MISS] = "known miss", [NXW_CHECK_MISS_IS_MET] = "known miss is met",
    [NXW_CHECK_UNREADABLE] = "unreadable",
};
enum { VERDICT_COUNT = sizeof VERDICTS / sizeof VERDICTS[0] };

/* What a value of each kind can prove. */
static const char *const PROVES[NXW_CHECK_KINDS] = {
    "printed in the open literature",
    "worked out from constants and formulas in print or recalled, which proves the arithmetic",
    "recalled and not looked up",
    "as it is done, without a source",
};

struct tally {
    size_t count[VERDICT_COUNT];
    size_t kind[NXW_CHECK_KINDS];
    size_t shown;
    enum nxw_check_verdict wanted; /* what print_one prints */
    const char *file;
    struct nxw_json *json;
    json_t *list;
    bool out_of_memory;
};

static void count(struct tally *t, enum nxw_check_verdict verdict, const char *known)
{
    t->count[verdict]++;
    const size_t kind = nxw_check_kind(known);
    if (kind < NXW_CHECK_KINDS)
        t->kind[kind]++;
}

static void print_line(const struct nxw_check *c)
{
    char ours[NXW_AMOUNT_LENGTH], published[NXW_AMOUNT_LENGTH], difference[NXW_AMOUNT_LENGTH];
    char low[NXW_AMOUNT_LENGTH], high[NXW_AMOUNT_LENGTH];
    const double up = c->high - c->published, down = c->published - c->low;
    nxw_number_text(c->ours, c->digits + 1, ours);
    nxw_number_text(c->published, c->digits, published);
    nxw_number_text(c->ours - c->published, 2, difference);
    nxw_number_text(down, 2, low);
    nxw_number_text(up, 2, high);
    const bool even = fabs(up - down) <= 1e-6 * (up + down);
    (void)fprintf(stdout, "  %-30s %-40s ours %-10s published %-10s %s, difference %s, allowed ",
                  c->quantity, c->inputs[0] != '\0' ? c->inputs : "-", ours, published,
                  strcmp(c->unit, "1") == 0 ? "(a number)" : c->unit, difference);
    (void)fprintf(stdout, even ? "%s%s\n" : "-%s to +%s\n", even ? "" : low, high);
}

static void print_one(const struct nxw_check *c, void *user)
{
    struct tally *t = user;
    count(t, c->verdict, c->known);
    if (c->verdict != t->wanted)
        return;
    if (t->shown++ == 0 && t->wanted != NXW_CHECK_PASSED)
        (void)fprintf(stdout, "\n%s\n",
                      t->wanted == NXW_CHECK_FAILED       ? "Failed"
                      : t->wanted == NXW_CHECK_KNOWN_MISS ? "Known misses"
                      : t->wanted == NXW_CHECK_MISS_IS_MET
                          ? "Known misses that are met (the record is out of date)"
                          : "Records that cannot be read");
    if (t->wanted == NXW_CHECK_PASSED && c->file != t->file)
        (void)fprintf(stdout, "%s%s\n", t->file != NULL ? "\n" : "", c->file);
    t->file = c->file;
    if (c->verdict == NXW_CHECK_UNREADABLE) {
        (void)fprintf(stdout, "  %s, line %zu: %s\n", c->file, c->line, c->fault);
        return;
    }
    print_line(c);
    if (c->verdict == NXW_CHECK_PASSED)
        return;
    if (c->known_miss[0] != '\0')
        nxw_wrapf(stdout, "    known: ", 4, "%s", c->known_miss);
    nxw_wrapf(stdout, "    source: ", 4, "%s (%s)", c->source, c->known);
    nxw_wrapf(stdout, "    allowed because: ", 4, "%s", c->reason);
}

static void add_one(const struct nxw_check *c, void *user)
{
    struct tally *t = user;
    struct nxw_json *j = t->json;
    count(t, c->verdict, c->known);
    json_t *o = nxw_json_object(j);
    nxw_json_text(j, o, "file", c->file);
    nxw_json_integer(j, o, "line", (long)c->line);
    nxw_json_text(j, o, "verdict", VERDICTS[c->verdict]);
    if (c->verdict == NXW_CHECK_UNREADABLE)
        nxw_json_text(j, o, "fault", c->fault);
    else {
        nxw_json_text(j, o, "quantity", c->quantity);
        nxw_json_text(j, o, "inputs", c->inputs);
        nxw_json_text(j, o, "unit", c->unit);
        nxw_json_number(j, o, "ours", c->ours);
        nxw_json_number(j, o, "published", c->published);
        nxw_json_number(j, o, "difference", c->ours - c->published);
        nxw_json_number(j, o, "allowed_low", c->low);
        nxw_json_number(j, o, "allowed_high", c->high);
        nxw_json_integer(j, o, "digits", c->digits);
        nxw_json_text(j, o, "reason", c->reason);
        nxw_json_text(j, o, "known", c->known);
        nxw_json_text(j, o, "source", c->source);
        nxw_json_text(j, o, "known_miss", c->known_miss);
    }
    nxw_json_add(j, t->list, o);
}

static void print_bottle(const struct nxw_bottle_check *c, void *user)
{
    struct tally *t = user;
    char ours[NXW_AMOUNT_LENGTH], low[NXW_AMOUNT_LENGTH], high[NXW_AMOUNT_LENGTH];
    count(t, c->verdict, c->known);
    t->out_of_memory = t->out_of_memory || c->out_of_memory;
    if (c->verdict == NXW_CHECK_UNREADABLE) {
        (void)fprintf(stdout, "  %s, line %zu: %s\n", c->file, c->line, c->fault);
        return;
    }
    nxw_number_text(c->ours, 3, ours);
    nxw_number_text(c->low, 3, low);
    nxw_number_text(c->high, 3, high);
    nxw_wrapf(stdout, "  ", 4, "%s: %s", VERDICTS[c->verdict], c->fact);
    nxw_wrapf(stdout, "    ", 6, "%s%s%s%s%s: %s %s (%s), accepted %s to %s", c->case_name,
              c->with[0] != '\0' ? " with " : "", c->with, c->against[0] != '\0' ? " against " : "",
              c->against, c->figure, ours, c->unit, low, high);
    if (c->known_miss[0] != '\0')
        nxw_wrapf(stdout, "    known: ", 6, "%s", c->known_miss);
    nxw_wrapf(stdout, "    source: ", 6, "%s (%s)", c->source, c->known);
}

static void add_bottle(const struct nxw_bottle_check *c, void *user)
{
    struct tally *t = user;
    struct nxw_json *j = t->json;
    count(t, c->verdict, c->known);
    t->out_of_memory = t->out_of_memory || c->out_of_memory;
    json_t *o = nxw_json_object(j);
    nxw_json_text(j, o, "file", c->file);
    nxw_json_integer(j, o, "line", (long)c->line);
    nxw_json_text(j, o, "verdict", VERDICTS[c->verdict]);
    if (c->verdict == NXW_CHECK_UNREADABLE)
        nxw_json_text(j, o, "fault", c->fault);
    nxw_json_text(j, o, "fact", c->fact);
    nxw_json_text(j, o, "case", c->case_name);
    nxw_json_text(j, o, "with", c->with);
    nxw_json_text(j, o, "against", c->against);
    nxw_json_text(j, o, "figure", c->figure);
    nxw_json_text(j, o, "unit", c->unit);
    nxw_json_number(j, o, "ours", c->ours);
    nxw_json_number(j, o, "allowed_low", c->low);
    nxw_json_number(j, o, "allowed_high", c->high);
    nxw_json_text(j, o, "known", c->known);
    nxw_json_text(j, o, "source", c->source);
    nxw_json_text(j, o, "known_miss", c->known_miss);
    nxw_json_add(j, t->list, o);
}

/* Everything but a pass and a miss that is on record is a failure. */
static enum nxw_exit outcome(const struct tally *t, size_t checks)
{
    const bool good = checks > 0 && t->count[NXW_CHECK_FAILED] == 0 &&
                      t->count[NXW_CHECK_MISS_IS_MET] == 0 && t->count[NXW_CHECK_UNREADABLE] == 0;
    return good ? NXW_EXIT_DONE : NXW_EXIT_NOT_MET;
}

static void add_tally(struct nxw_json *j, json_t *o, const struct tally *t, size_t checks)
{
    nxw_json_integer(j, o, "checks", (long)checks);
    nxw_json_integer(j, o, "passed", (long)t->count[NXW_CHECK_PASSED]);
    nxw_json_integer(j, o, "failed", (long)t->count[NXW_CHECK_FAILED]);
    nxw_json_integer(j, o, "known_misses", (long)t->count[NXW_CHECK_KNOWN_MISS]);
    nxw_json_integer(j, o, "known_misses_met", (long)t->count[NXW_CHECK_MISS_IS_MET]);
    nxw_json_integer(j, o, "unreadable", (long)t->count[NXW_CHECK_UNREADABLE]);
    json_t *known = nxw_json_object(j);
    for (size_t i = 0; i < NXW_CHECK_KINDS; i++)
        nxw_json_integer(j, known, nxw_check_kinds[i], (long)t->kind[i]);
    nxw_json_put(j, o, "known", known);
    nxw_json_put(j, o, "results", t->list);
}

static enum nxw_exit worse(enum nxw_exit a, enum nxw_exit b) { return a > b ? a : b; }

static enum nxw_exit print_json(void)
{
    struct nxw_json json = {false}, *j = &json;
    struct tally t = {.json = j, .list = nxw_json_array(j)};
    struct tally bottles = {.json = j, .list = nxw_json_array(j)};
    const size_t n = nxw_check_all(add_one, &t), m = nxw_bottle_check_all(add_bottle, &bottles);
    const enum nxw_exit code = worse(outcome(&t, n), outcome(&bottles, m));
    json_t *root = nxw_document(j, "noxwash-selftest-1"), *whole = nxw_json_object(j);
    nxw_json_flag(j, root, "good", code == NXW_EXIT_DONE);
    add_tally(j, root, &t, n);
    add_tally(j, whole, &bottles, m);
    nxw_json_put(j, root, "whole_bottles", whole);
    json.failed = json.failed || bottles.out_of_memory;
    errno = bottles.out_of_memory ? ENOMEM : 0;
    if (nxw_json_print(j, stdout, root))
        return code;
    return errno == ENOMEM ? NXW_EXIT_INTERNAL : NXW_EXIT_IO;
}

static void print_tally(const struct tally *t, size_t checks, const char *what)
{
    (void)fprintf(stdout,
                  "%zu %s: %zu passed, %zu failed, %zu known misses, %zu known misses met, "
                  "%zu unreadable\n",
                  checks, what, t->count[NXW_CHECK_PASSED], t->count[NXW_CHECK_FAILED],
                  t->count[NXW_CHECK_KNOWN_MISS], t->count[NXW_CHECK_MISS_IS_MET],
                  t->count[NXW_CHECK_UNREADABLE]);
}

/* How the values are known, the whole bottles among them. */
static void print_kinds(const struct tally *figures, const struct tally *bottles, size_t all)
{
    (void)fprintf(stdout, "how the %zu are known:\n", all);
    for (size_t i = 0; i < NXW_CHECK_KINDS; i++)
        (void)fprintf(stdout, "  %5zu %s: %s\n", figures->kind[i] + bottles->kind[i],
                      nxw_check_kinds[i], PROVES[i]);
}

enum nxw_exit nxw_selftest_command(const struct nxw_options *options)
{
    static const enum nxw_check_verdict SECTIONS[] = {NXW_CHECK_PASSED, NXW_CHECK_KNOWN_MISS,
                                                      NXW_CHECK_MISS_IS_MET, NXW_CHECK_FAILED,
                                                      NXW_CHECK_UNREADABLE};
    if (options->json)
        return print_json();
    struct tally t = {0}, bottles = {0};
    size_t n = 0;
    for (size_t i = 0; i < sizeof SECTIONS / sizeof SECTIONS[0]; i++) {
        t = (struct tally){.wanted = SECTIONS[i]};
        n = nxw_check_all(print_one, &t);
    }
    (void)fputs("\nWhole bottles\n", stdout);
    const size_t m = nxw_bottle_check_all(print_bottle, &bottles);
    if (bottles.out_of_memory) {
        (void)fputs("noxwash: out of memory\n", stderr);
        return NXW_EXIT_INTERNAL;
    }
    (void)fputs("\n", stdout);
    print_tally(&bottles, m, "whole-bottle checks");
    print_tally(&t, n, "checks");
    print_kinds(&t, &bottles, n + m);
    return worse(outcome(&t, n), outcome(&bottles, m));
}
