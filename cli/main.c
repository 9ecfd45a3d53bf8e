/* noxwash, the command: reads the command line, hands over, and looks whether all was written. */
#include <stdio.h>
#include <string.h>

#include "constants_command.h"
#include "estimate_command.h"
#include "new_case.h"
#include "noxwash.h"
#include "options.h"
#include "selftest_command.h"
#include "tree.h"

static enum nxw_exit new_command(const struct nxw_options *options);
static enum nxw_exit help_command(const struct nxw_options *options);

static const struct command {
    const char *name, *operands, *text;
    size_t least, most; /* operands */
    enum nxw_exit (*run)(const struct nxw_options *options);
} COMMANDS[] = {
    {"estimate", "CASE", "run a case: what is kept, what escapes, and what to change", 1, 1,
     nxw_estimate_command},
    {"new", "KIND", "print a starter case: acid vapour, metal, metered or table", 1, 2,
     new_command},
    {"constants", "[KEY]", "print the constants in use and what they rest on", 0, 1,
     nxw_constants_command},
    {"selftest", "", "compare the program with published values, on this machine", 0, 0,
     nxw_selftest_command},
    {"help", "[COMMAND]", "print this", 0, 1, help_command},
};
enum { N_COMMANDS = sizeof COMMANDS / sizeof COMMANDS[0] };

enum { ESTIMATE = 1 << 0, NEW = 1 << 1, CONSTANTS = 1 << 2, SELFTEST = 1 << 3, HELP = 1 << 4 };

/* The one table of options: parsing and help both read it. */
static const struct option {
    unsigned commands; /* bits in the order of COMMANDS */
    const char *name, *argument;
    size_t offset; /* in struct nxw_options: bool, or const char * with an argument */
    const char *text;
} OPTIONS[] = {
#define FLAG(member) NULL, offsetof(struct nxw_options, member)
#define TEXT(member, argument) argument, offsetof(struct nxw_options, member)
    {ESTIMATE | CONSTANTS | SELFTEST, "--json", FLAG(json), "print one JSON document"},
    {ESTIMATE, "--series", TEXT(series, "FILE"), "write the time series to FILE as CSV"},
    {ESTIMATE, "--why", FLAG(why), "all the ways it escaped, and what helps"},
    {ESTIMATE, "--worst-case", FLAG(worst_case), "also with every constant at its bad end (slow)"},
    {ESTIMATE, "--against", TEXT(against, "OTHER"), "differences to another case"},
    {ESTIMATE, "--check", FLAG(check), "read and judge the case, run nothing"},
    {ESTIMATE, "--resolved", FLAG(resolved), "print the case with every default, run nothing"},
    {ESTIMATE, "--quick", FLAG(quick), "leave out the runs with peroxide, ice, a bigger bottle"},
    {ESTIMATE, "--strict", FLAG(strict), "exit 4 when the case leaves the valid range"},
    {ESTIMATE, "--quiet", FLAG(quiet), "no progress on the terminal"},
    {NEW, "--table", FLAG(table), "print the CSV table that the kind 'table' names instead"},
    {ESTIMATE | NEW | CONSTANTS | SELFTEST | HELP, "--help", FLAG(help), "print help"},
#undef FLAG
#undef TEXT
};
enum { N_OPTIONS = sizeof OPTIONS / sizeof OPTIONS[0] };

static const struct command *find_command(const char *word)
{
    for (size_t i = 0; i < N_COMMANDS; i++)
        if (strcmp(COMMANDS[i].name, word) == 0)
            return &COMMANDS[i];
    return NULL;
}

static void print_general_help(FILE *out)
{
    (void)fputs("noxwash: what a gas-washing bottle makes of brown nitrogen-oxide gas\n\n"
                "usage: noxwash COMMAND [OPTIONS] ...\n\n",
                out);
    for (size_t i = 0; i < N_COMMANDS; i++)
        (void)fprintf(out, "  %-10s %-10s %s\n", COMMANDS[i].name, COMMANDS[i].operands,
                      COMMANDS[i].text);
    (void)fputs("\n  noxwash COMMAND --help   the options of a command\n"
                "  noxwash --version        version\n\n"
                "A first run:\n"
                "  noxwash new acid-vapour > still.yaml\n"
                "  noxwash estimate still.yaml\n\n"
                "exit codes: 0 done, 1 a check failed, 2 usage, 3 bad case, 4 outside the valid\n"
                "  range with --strict, 5 solver, 6 read or write, 70 internal fault,\n"
                "  130 interrupted\n",
                out);
}

static void print_command_help(FILE *out, const struct command *command)
{
    (void)fprintf(out, "usage: noxwash %s [OPTIONS] %s\n\n%s\n\n", command->name, command->operands,
                  command->text);
    const unsigned bit = 1u << (unsigned)(command - COMMANDS);
    for (size_t i = 0; i < N_OPTIONS; i++) {
        if ((OPTIONS[i].commands & bit) == 0)
            continue;
        char words[32];
        (void)snprintf(words, sizeof words, "%s%s%s", OPTIONS[i].name,
                       OPTIONS[i].argument != NULL ? " " : "",
                       OPTIONS[i].argument != NULL ? OPTIONS[i].argument : "");
        (void)fprintf(out, "  %-18s %s\n", words, OPTIONS[i].text);
    }
}

static enum nxw_exit unknown_word(const char *what, const char *word, const char *const *candidates,
                                  size_t n)
{
    const char *near = nxw_nearest_word(word, candidates, n);
    (void)fprintf(stderr, "noxwash: unknown %s '%s'%s%s%s\n", what, word,
                  near != NULL ? "; did you mean '" : "", near != NULL ? near : "",
                  near != NULL ? "'?" : "; see noxwash --help");
    return NXW_EXIT_USAGE;
}

static enum nxw_exit unknown_command(const char *word)
{
    const char *words[N_COMMANDS];
    for (size_t i = 0; i < N_COMMANDS; i++)
        words[i] = COMMANDS[i].name;
    return unknown_word("command", word, words, N_COMMANDS);
}

static enum nxw_exit help_command(const struct nxw_options *options)
{
    if (options->n_operands == 0) {
        print_general_help(stdout);
        return NXW_EXIT_DONE;
    }
    const struct command *command = find_command(options->operands[0]);
    if (command == NULL)
        return unknown_command(options->operands[0]);
    print_command_help(stdout, command);
    return NXW_EXIT_DONE;
}

static enum nxw_exit new_command(const struct nxw_options *options)
{
    static const char *const kinds[] = {"acid vapour", "metal", "metered", "table"};
    char word[64];
    enum nxw_source_kind kind;
    (void)snprintf(word, sizeof word, "%s%s%s", options->operands[0],
                   options->n_operands > 1 ? " " : "",
                   options->n_operands > 1 ? options->operands[1] : "");
    if (!nxw_new_case_kind(word, &kind))
        return unknown_word("kind", word, kinds, sizeof kinds / sizeof kinds[0]);
    if (options->table && kind != NXW_SOURCE_TABLE) {
        (void)fputs("noxwash: --table goes with the kind 'table' only\n", stderr);
        return NXW_EXIT_USAGE;
    }
    (void)fputs(options->table ? nxw_new_case_table_text() : nxw_new_case_text(kind), stdout);
    if (kind == NXW_SOURCE_TABLE && !options->table)
        (void)fprintf(stderr, "the table it names: noxwash new table --table > %s\n",
                      nxw_new_case_table_name);
    return NXW_EXIT_DONE;
}

/* One option of the command line; 0 good, else the exit code. */
static enum nxw_exit take_option(const struct command *command, int argc, char **argv, int *at,
                                 struct nxw_options *options)
{
    const unsigned bit = 1u << (unsigned)(command - COMMANDS);
    const char *word = argv[*at];
    const char *equals = strchr(word, '=');
    const size_t length = equals != NULL ? (size_t)(equals - word) : strlen(word);
    const char *words[N_OPTIONS];
    size_t n = 0;
    for (size_t i = 0; i < N_OPTIONS; i++) {
        const struct option *o = &OPTIONS[i];
        if ((o->commands & bit) == 0)
            continue;
        words[n++] = o->name;
        if (strlen(o->name) != length || strncmp(o->name, word, length) != 0)
            continue;
        void *place = (char *)options + o->offset;
        if (o->argument == NULL && equals != NULL) {
            (void)fprintf(stderr, "noxwash: %s takes no value\n", o->name);
            return NXW_EXIT_USAGE;
        }
        if (o->argument == NULL) {
            *(bool *)place = true;
            return NXW_EXIT_DONE;
        }
        const char *value = equals != NULL ? equals + 1 : *at + 1 < argc ? argv[++*at] : "";
        if (value[0] == '\0') {
            (void)fprintf(stderr, "noxwash: %s needs a %s\n", o->name, o->argument);
            return NXW_EXIT_USAGE;
        }
        *(const char **)place = value;
        return NXW_EXIT_DONE;
    }
    return unknown_word("option", word, words, n);
}

static enum nxw_exit parse_and_run(const struct command *command, int argc, char **argv)
{
    struct nxw_options options = {0};
    bool only_operands = false;
    for (int i = 2; i < argc; i++) {
        if (!only_operands && strcmp(argv[i], "--") == 0) {
            only_operands = true;
        } else if (!only_operands && argv[i][0] == '-' && argv[i][1] != '\0') {
            const enum nxw_exit code = take_option(command, argc, argv, &i, &options);
            if (code != NXW_EXIT_DONE)
                return code;
        } else if (options.n_operands == command->most) {
            (void)fprintf(stderr, "noxwash: '%s' is one too many for %s\n", argv[i], command->name);
            return NXW_EXIT_USAGE;
        } else
            options.operands[options.n_operands++] = argv[i];
    }
    if (options.help) {
        print_command_help(stdout, command);
        return NXW_EXIT_DONE;
    }
    if (options.n_operands < command->least) {
        (void)fprintf(stderr, "noxwash: %s needs %s; see noxwash %s --help\n", command->name,
                      command->operands, command->name);
        return NXW_EXIT_USAGE;
    }
    return command->run(&options);
}

static enum nxw_exit run(int argc, char **argv)
{
    if (argc < 2) {
        print_general_help(stderr);
        return NXW_EXIT_USAGE;
    }
    if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "-h") == 0) {
        print_general_help(stdout);
        return NXW_EXIT_DONE;
    }
    if (strcmp(argv[1], "--version") == 0) {
        (void)fprintf(stdout, "noxwash %s (%s), constants %s\n", nxw_version(), nxw_commit(),
                      nxw_parameter_version());
        return NXW_EXIT_DONE;
    }
    const struct command *command = find_command(argv[1]);
    return command != NULL ? parse_and_run(command, argc, argv) : unknown_command(argv[1]);
}

int main(int argc, char **argv)
{
    enum nxw_exit code = run(argc, argv);
    if ((fflush(stdout) != 0 || ferror(stdout) != 0) && code == NXW_EXIT_DONE) {
        (void)fputs("noxwash: standard output could not be written\n", stderr);
        code = NXW_EXIT_IO;
    }
    return (int)code;
}
