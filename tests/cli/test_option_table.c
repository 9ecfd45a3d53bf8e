/* Layer (a): what a manual page and a completion make of names and texts that they could mistake
 * for their own language: roff's requests and escapes (groff(7)), bash's cases. */
#include "../assert_near.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "command/option_table.h"

static const struct nxw_command COMMANDS[] = {
    {"mix", "CASE", ".so much", 1, 1, NULL},
    {"tell", "WORD", "'tis a path\\name", 0, 0, NULL},
    {"rest", "[OUT]", "nothing to say", 0, 1, NULL},
};
static const struct nxw_option OPTIONS[] = {
    {1u << 0, "--out", "FILE", 0, false, "to a file"},
    {1u << 0, "--series", "OUT.csv", 0, false, "to another"},
    {1u << 0 | 1u << 1, "--factor", "X", 0, false, "it's a number"},
    {1u << 1, "--plain", NULL, 0, false, "no more"},
};
static const struct nxw_option_table TABLE = {COMMANDS, 3, OPTIONS, 4, "0 done, -1 never"};

/* What a printer writes; freed by the caller. */
static char *printed(void (*print)(FILE *out, const struct nxw_option_table *table))
{
    char *text = NULL;
    size_t n = 0;
    FILE *out = open_memstream(&text, &n);
    assert_non_null(out);
    print(out, &TABLE);
    assert_int_equal(fclose(out), 0);
    return text;
}

static void has(const char *text, const char *part)
{
    if (strstr(text, part) == NULL)
        fail_msg("not there: %s\nin: %s", part, text);
}

static size_t count(const char *text, const char *part)
{
    size_t n = 0;
    for (const char *p = text; (p = strstr(p, part)) != NULL; p += strlen(part))
        n++;
    return n;
}

static void test_manual(void **unused)
{
    (void)unused;
    char *man = printed(nxw_man_print);
    has(man, ".SS noxwash mix CASE\n\\&.so much\n");                /* no request */
    has(man, ".SS noxwash tell WORD\n\\&\\(aqtis a path\\ename\n"); /* nor an escape */
    has(man, ".TP\n\\fB\\-\\-out\\fR \\fIFILE\\fR\nto a file\n");   /* hyphens to be copied */
    has(man, ".TP\n\\fB\\-\\-plain\\fR\nno more\n");                /* no argument */
    has(man, "it\\(aqs a number\n");
    has(man, ".SH EXIT STATUS\n0 done, \\-1 never\n");
    assert_int_equal(count(man, "\\-\\-factor"), 2); /* under both of its commands */
    assert_int_equal(count(man, "\\-\\-plain"), 1);
    has(man, ".SS noxwash rest [OUT]\nnothing to say\n.SH EXIT STATUS"); /* no options */
    free(man);
}

static void test_completion(void **unused)
{
    (void)unused;
    char *bash = printed(nxw_completion_print);
    has(bash, "-W 'mix tell rest --help --version'");
    /* after these a file, after the other a word of the user's own */
    has(bash, "    mix)\n        case $before in\n            --out|--series) mapfile");
    has(bash, "            --factor) return;;\n        esac\n"
              "        words='--out --series --factor'\n        files=yes;;\n");
    has(bash, "    tell)\n        case $before in\n            --factor) return;;\n        esac\n"
              "        words='--factor --plain'\n        files=no;;\n");
    has(bash, "    rest)\n        case $before in\n        esac\n        words=''\n");
    free(bash);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_manual),
        cmocka_unit_test(test_completion),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
