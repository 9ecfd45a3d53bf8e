#include "remedies_command.h"

#include <errno.h>
#include <stdlib.h>

#include "cautions.h"
#include "command.h"
#include "headline.h"
#include "json_document.h"
#include "progress.h"
#include "remedy_report.h"
#include "report_words.h"
#include "text_layout.h"

enum { AMOUNT = NXW_AMOUNT_LENGTH };

struct work {
    struct nxw_case in;
    struct nxw_case_notes notes;
    struct nxw_remedies all;
};

static void print_advice(FILE *out, const struct work *w)
{
    char advice[NXW_REMEDY_ADVICE];
    (void)fputs("\nAdvice\n", out);
    nxw_remedies_advice(&w->all, advice);
    nxw_wrapf(out, "  ", 2, "%s", advice);
    nxw_remedies_lead(&w->all, advice);
    if (advice[0] != '\0')
        nxw_wrapf(out, "  ", 2, "%s", advice);
    nxw_remedies_money(&w->all, &w->notes, advice);
    nxw_wrapf(out, "  ", 2, "%s", advice);
}

static void print_text(FILE *out, const char *path, const struct work *w)
{
    const struct nxw_remedies *all = &w->all;
    char grams[AMOUNT], escape[AMOUNT], nitrous[AMOUNT], hottest[AMOUNT];
    nxw_number_text(all->base.kept_mol * NXW_MOLAR_MASS_HNO3_KG_MOL * 1e3, 3, grams);
    nxw_remedy_escape_text(all, 0.0, escape);
    nxw_percent_text(all->base_nitrous_acid_mol / all->base.fed_mol, 2, nitrous);
    nxw_temperature_text(all->base_peak_temperature_K, hottest);
    (void)fprintf(out, "Remedies for %s\n\n", path);
    nxw_wrapf(
        out, "  ", 2,
        "As it is: %s g HNO3 kept; %s of the nitrogen fed escapes, %s is left as nitrous acid; "
        "hottest %s.",
        grams, escape, nitrous, hottest);
    (void)fputs("\nEach alone, by what it gains (shares are of the nitrogen fed)\n", out);
    for (size_t i = 0; i < NXW_REMEDY_COUNT; i++)
        if (all->alone[i].ran)
            nxw_remedy_print(out, all, w->notes.currency, &all->alone[i]);
    (void)fputs("\nBest together, of the five that gain most\n", out);
    if (all->pair.n == 0)
        (void)fputs("  fewer than two gain anything\n", out);
    else
        nxw_remedy_print(out, all, w->notes.currency, &all->pair);
    if (all->triple.n > 0)
        nxw_remedy_print(out, all, w->notes.currency, &all->triple);
    (void)fputs("\nNot tried\n", out);
    size_t left = 0;
    for (size_t i = 0; i < NXW_REMEDY_COUNT; i++)
        if (!all->alone[i].ran) {
            nxw_remedy_print(out, all, w->notes.currency, &all->alone[i]);
            left++;
        }
    if (left == 0)
        (void)fputs("  nothing: all fit this case\n", out);
    print_advice(out, w);
    (void)fputc('\n', out);
    nxw_cautions_print(out, &(struct nxw_caution_for){.metal = w->notes.metal});
}

static bool print_json(FILE *out, const char *path, const struct work *w)
{
    const struct nxw_remedies *all = &w->all;
    struct nxw_json json = {false}, *j = &json;
    json_t *root = nxw_document(j, "noxwash-remedies-1"), *base = nxw_json_object(j);
    nxw_json_text(j, root, "case_path", path);
    nxw_json_text(j, root, "currency", w->notes.currency);
    nxw_json_number(j, base, "fed_mol", all->base.fed_mol);
    nxw_json_number(j, base, "kept_mol", all->base.kept_mol);
    nxw_json_number(j, base, "escaped_mol", all->base.escaped_mol);
    nxw_json_number(j, base, "nitrous_acid_mol", all->base_nitrous_acid_mol);
    nxw_json_number(j, base, "peak_temperature_K", all->base_peak_temperature_K);
    nxw_json_put(j, root, "as_it_is", base);
    nxw_remedies_json(j, root, all);
    nxw_json_integer(j, root, "runs", (long)all->runs);
    nxw_document_cautions(j, root, &(struct nxw_caution_for){.metal = w->notes.metal});
    return nxw_json_print(j, out, root);
}

static enum nxw_exit run(const struct nxw_options *options, void *room)
{
    struct work *w = room;
    const char *path = options->operands[0];
    const enum nxw_exit read = nxw_read_case(path, &w->in, &w->notes);
    if (read != NXW_EXIT_DONE)
        return read;
    enum nxw_status status = nxw_remedies_run(&w->in, &w->notes, nxw_go_on, NULL, &w->all);
    if (status >= 0 && !options->quick)
        status = nxw_remedies_compare(&w->in, w->notes.overrides, w->notes.n_overrides,
                                      nxw_processors(), nxw_interrupted, &w->all);
    nxw_progress_end();
    if (status < 0)
        return nxw_run_failed(path, status, &w->all.base.diagnosis);
    errno = 0;
    if (!options->json)
        print_text(stdout, path, w);
    else if (!print_json(stdout, path, w))
        return errno == ENOMEM ? NXW_EXIT_INTERNAL : NXW_EXIT_IO;
    return NXW_EXIT_DONE;
}

enum nxw_exit nxw_remedies_command(const struct nxw_options *options)
{
    return nxw_with_work(sizeof(struct work), run, options);
}
