/* noxwash, the command: reads the command line, hands over, and looks whether all was written. */
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "after/balance_command.h"
#include "after/blend_command.h"
#include "after/fit_command.h"
#include "after/strength_command.h"
#include "base/characters.h"
#include "base/text_layout.h"
#include "base/tree.h"
#include "case/new_case.h"
#include "command/constants_command.h"
#include "command/option_table.h"
#include "command/options.h"
#include "decide/merge_command.h"
#include "decide/remedies_command.h"
#include "decide/size_command.h"
#include "decide/sweep_command.h"
#include "noxwash.h"
#include "report/estimate_command.h"
#include "report/report_command.h"
#include "selftest/selftest_command.h"

static enum nxw_exit new_command(const struct nxw_options *options);
static enum nxw_exit help_command(const struct nxw_options *options);

static const struct nxw_command COMMANDS[] = {
    {"estimate", "CASE", "what is kept, what escapes, what to change", 1, 1, nxw_estimate_command},
    {"new", "KIND", "starter case: acid vapour, metal, metered, table", 1, 2, new_command},
    {"constants", "[KEY]", "print the constants in use and what they rest on", 0, 1,
     nxw_constants_command},
    {"selftest", "", "compare the program with published values here", 0, 0, nxw_selftest_command},
    {"strength", "", "acid from density, gravity, Baume, titration; and back", 0, 0,
     nxw_strength_command},
    {"blend", "", "mix, dilute; next bottle from weak acid; peroxide", 0, 0, nxw_blend_command},
    {"balance", "RUN", "nitrogen after a run: found, unexplained, yield, cost", 1, 1,
     nxw_balance_command},
    {"sweep", "CASE", "keys varied: one row per case, into a database", 1, 1, nxw_sweep_command},
    {"merge", "OUT PART...", "bring the parts of a sweep together", 2, NXW_OPERANDS_MAX,
     nxw_merge_command},
    {"remedies", "CASE", "what helps, ranked: each alone, best two and three", 1, 1,
     nxw_remedies_command},
    {"size", "CASE", "smallest arrangement for targets; exit 1 if none", 1, 1, nxw_size_command},
    {"fit", "RUN", "unknowns that explain the readings, and their limits", 1, 1, nxw_fit_command},
    {"report", "CASE", "one HTML page: estimate, pictures, run sheet", 1, 1, nxw_report_command},
    {"help", "[COMMAND]", "print this", 0, 1, help_command},
};
enum { N_COMMANDS = sizeof COMMANDS / sizeof COMMANDS[0] };

enum {
    ESTIMATE = 1 << 0,
    NEW = 1 << 1,
    CONSTANTS = 1 << 2,
    SELFTEST = 1 << 3,
    STRENGTH = 1 << 4,
    BLEND = 1 << 5,
    BALANCE = 1 << 6,
    SWEEP = 1 << 7,
    MERGE = 1 << 8,
    REMEDIES = 1 << 9,
    SIZE = 1 << 10,
    FIT = 1 << 11,
    REPORT = 1 << 12,
    HELP = 1 << 13
};
_Static_assert(HELP == 1 << (N_COMMANDS - 1), "one bit for each command, in their order");

/* The one table of options: parsing and help both read it. */
static const struct nxw_option OPTIONS[] = {
#define FLAG(member) NULL, offsetof(struct nxw_options, member), false
#define TEXT(member, argument) argument, offsetof(struct nxw_options, member), false
#define LIST(member, argument) argument, offsetof(struct nxw_options, member), true
    {ESTIMATE | CONSTANTS | SELFTEST | STRENGTH | BLEND | BALANCE | REMEDIES | SIZE | FIT, "--json",
     FLAG(json), "print one JSON document"},
    {ESTIMATE, "--series", TEXT(series, "FILE"), "write the time series to FILE as CSV"},
    {ESTIMATE, "--why", FLAG(why), "all the ways it escaped, and what helps"},
    {ESTIMATE, "--worst-case", TEXT(worst_case, "ANSWER"),
     "constants at their bad ends for: escaped, kept, nitrous-acid, temperature, vent or "
     "strength"},
    {ESTIMATE | REPORT, "--sensitivity", FLAG(sensitivity), "rank what moves the answers (slower)"},
    {ESTIMATE, "--samples", TEXT(samples, "N"),
     "intervals also by N draws of all errors at once (slow)"},
    {ESTIMATE, "--against", TEXT(against, "OTHER"), "differences to another case"},
    {ESTIMATE, "--check", FLAG(check), "read and judge the case, run nothing"},
    {ESTIMATE, "--resolved", FLAG(resolved), "print the case with every default, run nothing"},
    {ESTIMATE | REPORT, "--quick", FLAG(quick), "leave out the intervals and the what-if runs"},
    {REMEDIES, "--quick", FLAG(quick), "leave out whether the first is surely the first"},
    {SIZE, "--quick", FLAG(quick), "leave out how far the answer may move"},
    {BALANCE, "--quick", FLAG(quick), "leave out the runs of what would bring more next time"},
    {ESTIMATE, "--stats", FLAG(stats), "what the integrator did: steps, orders, failures"},
    {ESTIMATE, "--strict", FLAG(strict), "exit 4 when the case leaves the valid range"},
    {SWEEP, "--vary", LIST(vary, "PATH=VALUES"),
     "train[1].liquid=100:500:50 mL, or a,b,c; repeat it"},
    {SWEEP, "--sample", TEXT(sample, "N"), "N cases drawn over the ranges (latin hypercube)"},
    {SWEEP, "--seed", TEXT(seed, "N"), "of the sample; 1 if not given"},
    {SWEEP, "--out", TEXT(out, "FILE"), "the SQLite database; an unfinished one is gone on with"},
    {REPORT, "--out", TEXT(out, "FILE.html"), "the page; standard output if not given"},
    {SWEEP, "--csv", FLAG(csv), "rows as CSV on standard output instead"},
    {SWEEP, "--json-lines", FLAG(json_lines), "rows as JSON, one per line, on standard output"},
    {ESTIMATE, "--plot", FLAG(plot), "draw the course of time on the terminal (gnuplot)"},
    {STRENGTH, "--plot", FLAG(plot), "draw the --chart on the terminal (gnuplot)"},
    {SWEEP, "--plot", FLAG(plot), "draw kept and escaped shares on the terminal (gnuplot)"},
    {ESTIMATE | SWEEP, "--svg", TEXT(svg, "FILE"), "draw them into FILE (gnuplot)"},
    {SWEEP, "--part", TEXT(part, "i/n"), "every n-th case only, from the i-th; see merge"},
    {SWEEP, "--threads", TEXT(threads, "N"), "all processors if not given"},
    {SIZE, "--capture", TEXT(capture, "SHARE"), "kept as HNO3, of the nitrogen fed: 95 %"},
    {SIZE, "--vent", TEXT(vent, "RATE"), "at most: 10 mg/min, 0.5 ppm, 0.5 x NO2 STEL"},
    {SIZE, "--strength", TEXT(least_strength, "STRENGTH"), "of the first bottle at least: 5 wt%"},
    {SIZE, "--peak-temperature", TEXT(peak_temperature, "T"), "of a liquid at most: 40 degC"},
    {SIZE, "--free", TEXT(free, "LIST"), "what may change, the first least: depth,ice"},
    {FIT, "--unknown", LIST(unknown, "PATH=RANGE"),
     "may be given several times: 'source.decomposed=10:60 %'"},
    {FIT, "--plan", FLAG(plan), "which further reading would narrow which unknown most"},
    {ESTIMATE | SWEEP | BLEND | BALANCE | REMEDIES | SIZE | FIT | REPORT, "--quiet", FLAG(quiet),
     "no progress on the terminal"},
    {NEW, "--table", FLAG(table), "print the CSV table that the kind 'table' names instead"},
    {STRENGTH, "--density", TEXT(strength.gravity.density, "DENSITY"),
     "what the hydrometer shows: '1.3010 g/cm3'"},
    {STRENGTH, "--gravity", TEXT(strength.gravity.gravity, "NUMBER"),
     "or a specific gravity: 1.303, with --scale"},
    {STRENGTH, "--scale", TEXT(strength.gravity.scale, "T1/T2"),
     "20/4, 20/20, 15/4 (degC) or '60/60 F'"},
    {STRENGTH, "--baume", TEXT(strength.gravity.baume, "DEGREES"),
     "or heavy degrees Baume: 36, with --modulus"},
    {STRENGTH, "--modulus", TEXT(strength.gravity.modulus, "NUMBER"),
     "145 (United States), 144.3 (Europe) ..."},
    {STRENGTH, "--temperature", TEXT(strength.gravity.temperature, "T"),
     "of the liquid while read: '35 degC'"},
    {STRENGTH, "--hydrometer", TEXT(strength.gravity.hydrometer, "T"),
     "temperature it was made for (20 degC)"},
    {STRENGTH, "--glass", TEXT(strength.gravity.glass, "EXPANSION"),
     "'25e-6 per K'; none: shows true density"},
    {STRENGTH, "--reading-error", TEXT(strength.gravity.reading_error, "ERROR"),
     "95 of 100 readings are within: '0.001 g/cm3'"},
    {STRENGTH, "--temperature-error", TEXT(strength.gravity.temperature_error, "ERROR"),
     "the same for the thermometer: '0.5 K'"},
    {STRENGTH, "--dissolved-NO2", TEXT(strength.NO2, "SHARE"),
     "orange acid: take so much NO2 off, '1 wt%'"},
    {STRENGTH, "--nitrous-acid", TEXT(strength.HNO2, "STRENGTH"),
     "blue or green acid: '0.2 mol/L' or '1 wt%'"},
    {STRENGTH, "--left-over-peroxide", TEXT(strength.peroxide, "STRENGTH"),
     "'1 wt%', '0.3 mol/L' or '2 volumes'"},
    {STRENGTH, "--sample", TEXT(strength.titration.sample, "VOLUME"),
     "titrated with alkali: '5 mL'"},
    {STRENGTH, "--alkali", TEXT(strength.titration.alkali, "VOLUME"), "used up: '22.4 mL'"},
    {STRENGTH, "--alkali-strength", TEXT(strength.titration.alkali_strength, "STRENGTH"),
     "'0.5 mol/L'"},
    {STRENGTH, "--permanganate", TEXT(strength.titration.permanganate, "VOLUME"),
     "used up, for nitrous acid or peroxide"},
    {STRENGTH, "--permanganate-strength",
     TEXT(strength.titration.permanganate_strength, "STRENGTH"), "mol of KMnO4: '0.02 mol/L'"},
    {STRENGTH, "--permanganate-sample", TEXT(strength.titration.permanganate_sample, "VOLUME"),
     "titrated with it (as --sample)"},
    {STRENGTH, "--permanganate-finds", TEXT(strength.titration.permanganate_finds, "WHAT"),
     "'nitrous acid' or peroxide"},
    {STRENGTH, "--titration-error", TEXT(strength.titration.error, "SHARE"),
     "95 of 100 titres are within: '1 %'"},
    {STRENGTH, "--strength", TEXT(strength.strength, "STRENGTH"),
     "the way back, from wt%, mol/L or g/L"},
    {STRENGTH, "--chart", FLAG(strength.chart), "a table to pin up"},
    {BLEND, "--part", LIST(blend.parts, "PART"), "'250 mL, 10 wt% acid, 20 degC'; repeat it"},
    {BLEND, "--target", TEXT(blend.target, "STRENGTH"),
     "dilute to '5 wt% acid' or '3 wt% peroxide'"},
    {BLEND, "--make", TEXT(blend.make, "AMOUNT"), "so much of it: '500 mL' or '500 g'"},
    {BLEND, "--water-temperature", TEXT(blend.water_temperature, "T"), "of that water (20 degC)"},
    {BLEND, "--peroxide", TEXT(blend.peroxide, "STRENGTH"),
     "what '30 %' means: wt%, w/v%, mol/L, volumes"},
    {BLEND, "--next-bottle", TEXT(blend.next, "CASE"),
     "start the bottle of this case from weak acid"},
    {BLEND, "--weak-acid", TEXT(blend.weak_acid, "STRENGTH"), "the weak acid at hand: '6.7 wt%'"},
    {BLEND, "--stage", TEXT(blend.stage, "NUMBER"), "which bottle of the train (the first)"},
    {HELP, "--man", FLAG(man), "print the manual page"},
    {HELP, "--completion", FLAG(completion), "print the completion for bash"},
    {ESTIMATE | NEW | CONSTANTS | SELFTEST | STRENGTH | BLEND | BALANCE | SWEEP | MERGE | REMEDIES |
         SIZE | FIT | REPORT | HELP,
     "--help", FLAG(help), "print help"},
#undef FLAG
#undef TEXT
#undef LIST
};
enum { N_OPTIONS = sizeof OPTIONS / sizeof OPTIONS[0] };

static const char EXIT_CODES[] =
    "0 done, 1 target not met or a check failed, 2 usage, 3 bad case,\n"
    "  4 outside the valid range with --strict, 5 solver, 6 read or write,\n"
    "  70 internal fault, 130 interrupted";

static const struct nxw_option_table TABLE = {COMMANDS, N_COMMANDS, OPTIONS, N_OPTIONS, EXIT_CODES};

static const struct nxw_command *find_command(const char *word)
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
        (void)fprintf(out, "  %-10s %-11s %s\n", COMMANDS[i].name, COMMANDS[i].operands,
                      COMMANDS[i].text);
    (void)fputs("\n  noxwash COMMAND --help   the options of a command\n"
                "  noxwash --version        version\n\n"
                "A first run:\n"
                "  noxwash new acid-vapour > still.yaml\n"
                "  noxwash estimate still.yaml\n\n",
                out);
    (void)fprintf(out, "exit codes: %s\n", EXIT_CODES);
}

static void print_command_help(FILE *out, const struct nxw_command *command)
{
    (void)fprintf(out, "usage: noxwash %s [OPTIONS]%s%s\n\n%s\n\n", command->name,
                  command->operands[0] != '\0' ? " " : "", command->operands, command->text);
    const unsigned bit = 1u << (unsigned)(command - COMMANDS);
    int width = 18;
    for (size_t i = 0; i < N_OPTIONS; i++) {
        const struct nxw_option *o = &OPTIONS[i];
        const size_t length = strlen(o->name) + (o->argument != NULL ? 1 + strlen(o->argument) : 0);
        if ((o->commands & bit) != 0 && (int)length > width)
            width = (int)length;
    }
    for (size_t i = 0; i < N_OPTIONS; i++) {
        if ((OPTIONS[i].commands & bit) == 0)
            continue;
        char words[48];
        (void)snprintf(words, sizeof words, "%s%s%s", OPTIONS[i].name,
                       OPTIONS[i].argument != NULL ? " " : "",
                       OPTIONS[i].argument != NULL ? OPTIONS[i].argument : "");
        char lead[80];
        (void)snprintf(lead, sizeof lead, "  %-*s ", width, words);
        nxw_wrap(out, lead, width + 3, OPTIONS[i].text);
    }
}

/* dashes: before each candidate; they make no word alike. */
static enum nxw_exit unknown_word(const char *what, const char *dashes, const char *word,
                                  const char *const *candidates, size_t n)
{
    const char *near = nxw_nearest_word(word + strspn(word, dashes), candidates, n);
    (void)fprintf(stderr, "noxwash: unknown %s '%s'%s%s%s%s\n", what, word,
                  near != NULL ? "; did you mean '" : "", near != NULL ? dashes : "",
                  near != NULL ? near : "", near != NULL ? "'?" : "; see noxwash --help");
    return NXW_EXIT_USAGE;
}

static enum nxw_exit unknown_command(const char *word)
{
    const char *words[N_COMMANDS];
    for (size_t i = 0; i < N_COMMANDS; i++)
        words[i] = COMMANDS[i].name;
    return unknown_word("command", "", word, words, N_COMMANDS);
}

static enum nxw_exit help_command(const struct nxw_options *options)
{
    if (options->man)
        nxw_man_print(stdout, &TABLE);
    if (options->completion)
        nxw_completion_print(stdout, &TABLE);
    if (options->man || options->completion)
        return NXW_EXIT_DONE;
    if (options->n_operands == 0) {
        print_general_help(stdout);
        return NXW_EXIT_DONE;
    }
    const struct nxw_command *command = find_command(options->operands[0]);
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
        return unknown_word("kind", "", word, kinds, sizeof kinds / sizeof kinds[0]);
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
static enum nxw_exit take_option(const struct nxw_command *command, int argc, char **argv, int *at,
                                 struct nxw_options *options)
{
    const unsigned bit = 1u << (unsigned)(command - COMMANDS);
    const char *word = argv[*at];
    const char *equals = strchr(word, '=');
    const size_t length = equals != NULL ? (size_t)(equals - word) : strlen(word);
    const char *words[N_OPTIONS];
    size_t n = 0;
    for (size_t i = 0; i < N_OPTIONS; i++) {
        const struct nxw_option *o = &OPTIONS[i];
        if ((o->commands & bit) == 0)
            continue;
        words[n++] = o->name + 2; /* without its dashes */
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
            (void)fprintf(stderr, "noxwash: %s needs %s %s\n", o->name,
                          strchr("AEIOU", o->argument[0]) != NULL ? "an" : "a", o->argument);
            return NXW_EXIT_USAGE;
        }
        struct nxw_option_list *list = place;
        if (!o->repeats)
            *(const char **)place = value;
        else if (list->n < NXW_REPEATS_MAX)
            list->values[list->n++] = value;
        else {
            (void)fprintf(stderr, "noxwash: %s may be given %d times at most\n", o->name,
                          (int)NXW_REPEATS_MAX);
            return NXW_EXIT_USAGE;
        }
        return NXW_EXIT_DONE;
    }
    return unknown_word("option", "--", word, words, n);
}

static enum nxw_exit parse_and_run(const struct nxw_command *command, int argc, char **argv)
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

/* Words of the command line come back in messages, rows and pages; a file may bear any name. */
static bool words_are_plain(int argc, char **argv)
{
    for (int i = 1; i < argc; i++) {
        const char *what;
        const unsigned char *at = nxw_find_hidden(argv[i], &what);
        if (at == NULL)
            continue;
        (void)fprintf(
            stderr,
            "noxwash: word %d of the command line holds %s (U+%04X) at byte %zu; leave it "
            "out, or give the file another name\n",
            i, what, nxw_code_point(at, nxw_character_length(at, strlen((const char *)at))),
            (size_t)(at - (const unsigned char *)argv[i]) + 1);
        return false;
    }
    return true;
}

static enum nxw_exit run(int argc, char **argv)
{
    if (argc < 2) {
        print_general_help(stderr);
        return NXW_EXIT_USAGE;
    }
    if (!words_are_plain(argc, argv))
        return NXW_EXIT_USAGE;
    if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "-h") == 0) {
        print_general_help(stdout);
        return NXW_EXIT_DONE;
    }
    if (strcmp(argv[1], "--version") == 0) {
        (void)fprintf(stdout, "noxwash %s (%s), constants %s\n", nxw_version(), nxw_commit(),
                      nxw_parameter_version());
        return NXW_EXIT_DONE;
    }
    const struct nxw_command *command = find_command(argv[1]);
    return command != NULL ? parse_and_run(command, argc, argv) : unknown_command(argv[1]);
}

/* Where whoever starts the program has closed one of the three, the next file opened would be it,
 * and messages would go into that file. What is written to such an output is still seen to fail. */
static bool hold_standard_files(void)
{
    bool good = true;
    for (int i = STDIN_FILENO; i <= STDERR_FILENO && good; i++)
        if (fcntl(i, F_GETFD) < 0)
            good = open("/dev/null", O_RDONLY) == i; /* the lowest that is free */
    return good;
}

int main(int argc, char **argv)
{
    if (!hold_standard_files())
        return (int)NXW_EXIT_IO;
    const struct sigaction ignore = {.sa_handler = SIG_IGN};
    (void)sigaction(SIGXFSZ, &ignore, NULL); /* a full disk is told, not died of */
    enum nxw_exit code = run(argc, argv);
    const bool has_result = code == NXW_EXIT_DONE || code == NXW_EXIT_NOT_MET ||
                            code == NXW_EXIT_RANGE || code == NXW_EXIT_IO;
    if ((fflush(stdout) != 0 || ferror(stdout) != 0) && has_result) {
        (void)fputs("noxwash: standard output could not be written\n", stderr);
        code = NXW_EXIT_IO;
    }
    return (int)code;
}
