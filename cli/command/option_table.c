#include "command/option_table.h"

#include <string.h>

#include "noxwash.h"
#include "words/cautions.h"

/* Text for roff: a hyphen that can be copied, no escapes, no requests. */
static void roff(FILE *out, const char *text)
{
    if (text[0] == '.' || text[0] == '\'')
        (void)fputs("\\&", out);
    for (; *text != '\0'; text++) {
        if (*text == '-')
            (void)fputs("\\-", out);
        else if (*text == '\\')
            (void)fputs("\\e", out);
        else if (*text == '\'')
            (void)fputs("\\(aq", out);
        else
            (void)fputc(*text, out);
    }
}

static void roff_line(FILE *out, const char *request, const char *text)
{
    (void)fputs(request, out);
    roff(out, text);
    (void)fputc('\n', out);
}

static void man_option(FILE *out, const struct nxw_option *o)
{
    (void)fputs(".TP\n\\fB", out);
    roff(out, o->name);
    (void)fputs("\\fR", out);
    if (o->argument != NULL) {
        (void)fputs(" \\fI", out);
        roff(out, o->argument);
        (void)fputs("\\fR", out);
    }
    (void)fputc('\n', out);
    roff_line(out, "", o->text);
}

static void man_command(FILE *out, const struct nxw_option_table *table, size_t i)
{
    const struct nxw_command *command = &table->commands[i];
    (void)fprintf(out, ".SS noxwash %s ", command->name);
    roff_line(out, "", command->operands);
    roff_line(out, "", command->text);
    for (size_t k = 0; k < table->n_options; k++)
        if ((table->options[k].commands & 1u << i) != 0)
            man_option(out, &table->options[k]);
}

void nxw_man_print(FILE *out, const struct nxw_option_table *table)
{
    (void)fprintf(out, ".TH NOXWASH 1 \"\" \"noxwash %s\" \"User commands\"\n", nxw_version());
    (void)fputs(".SH NAME\nnoxwash \\- what a gas\\-washing bottle makes of brown nitrogen\\-oxide "
                "gas\n.SH SYNOPSIS\n.B noxwash\n.I COMMAND\n[\\fIOPTIONS\\fR] ...\n"
                ".SH DESCRIPTION\nEstimates how much of the gas is caught as nitric acid, what "
                "escapes, how warm the bottle gets, and whether peroxide, ice or a second bottle "
                "pay. A case file says what the gas and the bottles are; \\fBnoxwash new "
                "acid\\-vapour\\fR prints one to begin with.\n.SH COMMANDS\n",
                out);
    for (size_t i = 0; i < table->n_commands; i++)
        man_command(out, table, i);
    (void)fputs(".SH EXIT STATUS\n", out);
    roff_line(out, "", table->exit_codes);
    (void)fputs(".SH CAUTIONS\n", out);
    struct nxw_cautions cautions;
    nxw_cautions_make(NULL, &cautions);
    for (size_t i = 0; i < cautions.n; i++) {
        (void)fputs(".IP \\(bu 2\n", out);
        roff_line(out, "", cautions.text[i]);
    }
}

/* ------------------------------------------------------------------------- completion */

static bool names_a_file(const char *word)
{
    static const char *const files[] = {"FILE", "CASE", "OTHER", "RUN", "OUT"};
    for (size_t i = 0; word != NULL && i < sizeof files / sizeof files[0]; i++)
        if (strncmp(word, files[i], strlen(files[i])) == 0)
            return true;
    return false;
}

/* "--out|--series" of one command: options followed by a file, or by another word. */
static bool print_taking(FILE *out, const struct nxw_option_table *table, size_t command, bool file)
{
    bool any = false;
    for (size_t k = 0; k < table->n_options; k++) {
        const struct nxw_option *o = &table->options[k];
        if ((o->commands & 1u << command) == 0 || o->argument == NULL ||
            names_a_file(o->argument) != file)
            continue;
        (void)fprintf(out, "%s%s", any ? "|" : "            ", o->name);
        any = true;
    }
    if (any)
        (void)fputs(file ? ") mapfile -t COMPREPLY < <(compgen -f -- \"$word\"); return;;\n"
                         : ") return;;\n",
                    out);
    return any;
}

static void complete_command(FILE *out, const struct nxw_option_table *table, size_t i)
{
    const struct nxw_command *command = &table->commands[i];
    (void)fprintf(out, "    %s)\n        case $before in\n", command->name);
    (void)print_taking(out, table, i, true);
    (void)print_taking(out, table, i, false);
    (void)fputs("        esac\n        words='", out);
    bool first = true;
    for (size_t k = 0; k < table->n_options; k++) {
        if ((table->options[k].commands & 1u << i) == 0)
            continue;
        (void)fprintf(out, "%s%s", first ? "" : " ", table->options[k].name);
        first = false;
    }
    (void)fprintf(out, "'\n        files=%s;;\n", names_a_file(command->operands) ? "yes" : "no");
}

void nxw_completion_print(FILE *out, const struct nxw_option_table *table)
{
    (void)fputs("# bash completion for noxwash\n_noxwash()\n{\n"
                "    local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]}\n"
                "    local words= files=no\n    COMPREPLY=()\n"
                "    if [ \"$COMP_CWORD\" -eq 1 ]; then\n        COMPREPLY=($(compgen -W '",
                out);
    for (size_t i = 0; i < table->n_commands; i++)
        (void)fprintf(out, "%s ", table->commands[i].name);
    (void)fputs("--help --version' -- \"$word\"))\n        return\n    fi\n"
                "    case ${COMP_WORDS[1]} in\n",
                out);
    for (size_t i = 0; i < table->n_commands; i++)
        complete_command(out, table, i);
    (void)fputs("    esac\n    case $word in\n"
                "    -*) COMPREPLY=($(compgen -W \"$words\" -- \"$word\"));;\n"
                "    *) [ $files = no ] || mapfile -t COMPREPLY < <(compgen -f -- \"$word\");;\n"
                "    esac\n}\ncomplete -o filenames -F _noxwash noxwash\n",
                out);
}
