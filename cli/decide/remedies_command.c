#include "decide/remedies_command.h"

#include <errno.h>
#include <stdlib.h>

#include "base/progress.h"
#include "base/text_layout.h"
#include "command/command.h"
#include "command/json_document.h"
#include "report/remedy_report.h"
#include "words/cautions.h"
#include "words/headline.h"
#include "words/run_words.h"

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

static void print_those(FILE *out, const struct work *w, bool ranked, const char *heading)
{
    for (size_t i = 0; i < NXW_REMEDY_COUNT; i++) {
        const struct nxw_remedy_run *r = &w->all.alone[i];
        if (!r->ran || nxw_remedy_is_ranked(r) != ranked)
            continue;
        (void)fputs(heading, out);
        heading = "";
        nxw_remedy_print(out, &w->all, w->notes.currency, r);
    }
}

static void print_together(FILE *out, const struct work *w)
{
    const struct nxw_remedies *all = &w->all;
    (void)fputs("\nBest together, of the first five that help\n", out);
    if (all->pair.n > 0)
        nxw_remedy_print(out, all, w->notes.currency, &all->pair);
    else
        (void)fputs(all->n_helpful < 2 ? "  fewer than two help\n"
                                       : "  no two of them can be advised\n",
                    out);
    if (all->triple.n > 0)
        nxw_remedy_print(out, all, w->notes.currency, &all->triple);
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
    for (size_t i = 0; i < NXW_WARNING_COUNT; i++)
        if ((all->base.warnings & ((unsigned)NXW_WARN_OUTSIDE | NXW_REMEDY_DANGERS) &
             (unsigned)nxw_warning_words[i].bit) != 0)
            nxw_wrapf(out, "  ! ", 4, "%s", nxw_warning_words[i].word.text);
    (void)fprintf(out, "\nEach alone, %s\n", nxw_remedies_heading(all->aim));
    nxw_wrapf(out, "  ", 2,
              all->aim == NXW_AIM_ACID
                  ? "Shares are of the nitrogen fed. Gains closer than %.0f %% of what is kept "
                    "count as equal: what escapes decides. What is left as nitrous acid still "
                    "gives off NO while it stands."
                  : "Shares are of the nitrogen fed. Escapes that differ by less than %.0f %% of "
                    "it count "
                    "as equal, or by less than %.1f %% where one is less than half the other: then "
                    "the acid decides. What is left as nitrous acid still gives off NO while it "
                    "stands.",
              100.0 * (all->aim == NXW_AIM_ACID ? NXW_REMEDY_LITTLE_GAIN : NXW_REMEDY_LITTLE_DROP),
              100.0 * NXW_REMEDY_SAME);
    print_those(out, w, true, "");
    print_together(out, w);
    print_those(out, w, false, "\nOutside the range of the model, not ranked\n");
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
