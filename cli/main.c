/* noxwash: the command. Result on stdout, everything else on stderr. */
#include <stdio.h>
#include <string.h>

#include "case_file.h"
#include "new_case.h"
#include "noxwash.h"
#include "report.h"
#include "resolved.h"

enum { EXIT_DONE = 0, EXIT_USAGE = 2, EXIT_CASE = 3, EXIT_SOLVER = 5, EXIT_WRITE = 6 };

static const char USAGE[] =
    "usage: noxwash estimate CASE [--json] [--why] [--quick] [--check] [--resolved]\n"
    "       noxwash new 'acid vapour' | metal | metered | table\n"
    "       noxwash constants [KEY]\n"
    "       noxwash --version\n"
    "\n"
    "estimate   what the washing bottle of a case file keeps and what escapes\n"
    "  --json      the result as one JSON document\n"
    "  --why       where the escaped grams come from\n"
    "  --quick     without the what-if runs\n"
    "  --check     read and judge the case, do not run it\n"
    "  --resolved  print the case with every default\n"
    "new        a commented starter case of that kind\n"
    "constants  constants in use: value, unit, range, how known, source\n";

static int constants(const char *key)
{
    static const char *const known[] = {"published", "from memory", "computed", "judgement"};
    size_t shown = 0;
    printf("constants version %s, hash %s\n", nxw_parameter_version(), nxw_parameter_hash());
    for (size_t i = 0; i < nxw_parameter_count(); i++) {
        const struct nxw_parameter_record *r = nxw_parameter_record(i);
        if (key != NULL && strcmp(key, r->key) != 0)
            continue;
        printf("%-24s %12.6g %-18s  %.4g to %.4g  %s: %s%s%s\n", r->key, r->value, r->unit, r->low,
               r->high, known[r->known], r->source, r->note[0] != '\0' ? "; " : "", r->note);
        shown++;
    }
    if (shown == 0) {
        fprintf(stderr, "noxwash: no constant '%s'; 'noxwash constants' lists them\n", key);
        return EXIT_USAGE;
    }
    return EXIT_DONE;
}

static int estimate(int argc, char **argv)
{
    const char *path = NULL;
    bool json = false, why = false, quick = false, check = false, resolved = false;
    for (int i = 0; i < argc; i++) {
        if (strcmp(argv[i], "--json") == 0)
            json = true;
        else if (strcmp(argv[i], "--why") == 0)
            why = true;
        else if (strcmp(argv[i], "--quick") == 0)
            quick = true;
        else if (strcmp(argv[i], "--check") == 0)
            check = true;
        else if (strcmp(argv[i], "--resolved") == 0)
            resolved = true;
        else if (argv[i][0] == '-' || path != NULL) {
            fprintf(stderr, "noxwash: '%s' is not understood here\n%s", argv[i], USAGE);
            return EXIT_USAGE;
        } else
            path = argv[i];
    }
    if (path == NULL) {
        fprintf(stderr, "noxwash: estimate needs a case file\n%s", USAGE);
        return EXIT_USAGE;
    }
    static struct nxw_case c;
    static struct nxw_case_notes notes;
    static struct nxw_result r;
    struct nxw_fault_list faults = {0};
    const int status = nxw_case_file_read(path, &c, &notes, &faults);
    if (status != 0) {
        nxw_faults_print(stderr, path, &faults);
        nxw_fault_list_free(&faults);
        return status;
    }
    nxw_fault_list_free(&faults);
    if (check)
        return EXIT_DONE;
    if (resolved)
        return nxw_resolved_print(stdout, &c, &notes, NULL) ? EXIT_DONE : EXIT_WRITE;
    const enum nxw_status run = nxw_estimate(&c, NULL, NULL, &r);
    if (run < 0) {
        fprintf(stderr, "noxwash: %s: %s %s\n", nxw_status_text(run), r.diagnosis.path,
                r.diagnosis.text);
        return run == NXW_ERROR_CASE ? EXIT_CASE : EXIT_SOLVER;
    }
    if (json)
        return nxw_report_json(stdout, &c, &notes, &r) ? EXIT_DONE : EXIT_WRITE;
    nxw_report_text(stdout, &c, &notes, &r, why);
    if (!quick)
        nxw_report_verdict(stdout, &c, &r);
    nxw_report_cautions(stdout);
    return EXIT_DONE;
}

static int command(int argc, char **argv)
{
    if (argc < 2) {
        fputs(USAGE, stderr);
        return EXIT_USAGE;
    }
    if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "help") == 0) {
        fputs(USAGE, stdout);
        return EXIT_DONE;
    }
    if (strcmp(argv[1], "--version") == 0) {
        printf("noxwash %s, commit %s, constants %s (%s)\n", nxw_version(), nxw_commit(),
               nxw_parameter_version(), nxw_parameter_hash());
        return EXIT_DONE;
    }
    if (strcmp(argv[1], "estimate") == 0)
        return estimate(argc - 2, argv + 2);
    if (strcmp(argv[1], "constants") == 0 && argc <= 3)
        return constants(argc == 3 ? argv[2] : NULL);
    enum nxw_source_kind kind;
    if (strcmp(argv[1], "new") == 0 && argc == 3 && nxw_new_case_kind(argv[2], &kind)) {
        fputs(nxw_new_case_text(kind), stdout);
        return EXIT_DONE;
    }
    fprintf(stderr, "noxwash: '%s' is not understood\n%s", argv[1], USAGE);
    return EXIT_USAGE;
}

int main(int argc, char **argv)
{
    const int code = command(argc, argv);
    if (fflush(stdout) != 0 || ferror(stdout)) {
        fputs("noxwash: the output could not be written\n", stderr);
        return EXIT_WRITE;
    }
    return code;
}
