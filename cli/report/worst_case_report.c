#include "report/worst_case_report.h"

#include <math.h>
#include <string.h>

#include "words/interval_text.h"

enum { AMOUNT = NXW_AMOUNT_LENGTH };

static void answer_lines(FILE *out, const struct nxw_report *report)
{
    const struct nxw_worst_case *w = report->worst;
    double base[NXW_ANSWERS], worst[NXW_ANSWERS];
    nxw_answers_scaled(report->in, report->result, base);
    nxw_answers_scaled(&w->in, &w->result, worst);
    (void)fprintf(out, "  %-24s %-18s %s\n", "", "as estimated", "worst case");
    for (int a = 0; a < NXW_ANSWERS; a++) {
        const enum nxw_answer answer = (enum nxw_answer)a;
        char here[AMOUNT], there[AMOUNT];
        if (!isfinite(base[a]))
            continue;
        nxw_answer_text(answer, nxw_answer_plain(answer, base[a]), here);
        nxw_answer_text(answer, nxw_answer_plain(answer, worst[a]), there);
        (void)fprintf(out, "%s %-24s %-18s %s\n", answer == w->answer ? " *" : "  ",
                      nxw_answer_names[a].words, here, there);
    }
}

static void ppm_line(FILE *out, const char *words, double base, double worst)
{
    char here[AMOUNT], there[AMOUNT];
    nxw_ppm_text(base, 2, here);
    nxw_ppm_text(worst, 2, there);
    (void)fprintf(out, "   %-24s %-18s %s\n", words, here, there);
}

static void constant_line(FILE *out, const struct nxw_worst_case *w,
                          const struct nxw_worst_constant *one)
{
    const struct nxw_parameter_record *p = nxw_parameter_record(one->constant);
    char value[AMOUNT];
    nxw_number_text(one->value, 3, value);
    (void)fprintf(out, "    %-24s %s %s: %+.2g %s\n", p->key, value,
                  strcmp(p->unit, "1") == 0 ? "(pure number)" : p->unit,
                  nxw_answer_points(w->answer, one->step), nxw_answer_names[w->answer].step_unit);
}

static void early_line(FILE *out, const char *which, const struct nxw_result *r)
{
    char time[AMOUNT];
    if (r->status != NXW_ENDED_EARLY)
        return;
    nxw_time_text(r->end_s, time);
    (void)fprintf(out, "  ! The run %s ended early, at %s: its figures stop there.\n", which, time);
}

void nxw_worst_case_print(FILE *out, const struct nxw_report *report)
{
    const struct nxw_worst_case *w = report->worst;
    const struct nxw_result *r = report->result;
    (void)fprintf(out, "\nWorst case for '%s'\n", nxw_answer_names[w->answer].words);
    if (!w->ran) {
        (void)fprintf(out, "  There is none: %s.\n",
                      r->fed_mol > 0.0 ? "no bottle gives this answer" : "no nitrogen is fed");
        return;
    }
    nxw_wrapf(out, "  ", 2,
              "Each uncertain constant at the end of its range that %s it, as far as it then comes "
              "out worse:",
              nxw_more_is_worse(w->answer) ? "raises" : "lowers");
    answer_lines(out, report);
    ppm_line(out, "NO2 in vent gas, peak", r->vent_peak_NO2_fraction,
             w->result.vent_peak_NO2_fraction);
    if (report->in->hood_flow_m3_s > 0.0)
        ppm_line(out, "NO2 in hood air, peak", r->hood_peak_NO2_fraction,
                 w->result.hood_peak_NO2_fraction);
    early_line(out, "as estimated", r);
    early_line(out, "of the worst case", &w->result);
    if (w->n_top == 0)
        (void)fputs("  No constant makes it worse.\n", out);
    else
        (void)fputs("  The constants that matter most, each alone:\n", out);
    for (size_t i = 0; i < w->n_top; i++)
        constant_line(out, w, &w->top[i]);
    nxw_wrap(out, "  ", 2,
             "All bad ends at once are unlikely to meet: read this as the far end of what the "
             "ranges of the constants allow. Errors of the case itself (--sensitivity) come on "
             "top.");
    nxw_wrapf(out, "  ", 2,
              "%zu constants were tried, %zu moved. H_NO2 takes k2_NO2 along, and what follows "
              "from a thermodynamic cycle follows. What the case sets itself stays as it is.%s",
              w->n_tried, w->n_moved,
              w->n_failed > 0 ? " Some of the runs could not finish and were left out." : "");
}

static void put_answers(struct nxw_json *j, json_t *o, const char *key, const struct nxw_case *in,
                        const struct nxw_result *r)
{
    json_t *answers = nxw_json_object(j);
    double scaled[NXW_ANSWERS];
    nxw_answers_scaled(in, r, scaled);
    for (int a = 0; a < NXW_ANSWERS; a++)
        nxw_json_number(j, answers, nxw_answer_names[a].key,
                        nxw_answer_plain((enum nxw_answer)a, scaled[a]));
    nxw_json_put(j, o, key, answers);
}

void nxw_worst_case_json(struct nxw_json *j, json_t *o, const struct nxw_report *report)
{
    const struct nxw_worst_case *w = report->worst;
    json_t *list = nxw_json_array(j);
    nxw_json_text(j, o, "worst_of", nxw_answer_names[w->answer].key);
    nxw_json_flag(j, o, "ran", w->ran);
    for (size_t i = 0; i < w->n_top; i++) {
        json_t *one = nxw_json_object(j);
        nxw_json_text(j, one, "key", nxw_parameter_record(w->top[i].constant)->key);
        nxw_json_number(j, one, "value", w->top[i].value);
        nxw_json_number(j, one, "answer_change", w->top[i].step);
        nxw_json_add(j, list, one);
    }
    if (w->ran) {
        put_answers(j, o, "answers_as_estimated", report->in, report->result);
        put_answers(j, o, "answers", &w->in, &w->result);
    }
    nxw_json_integer(j, o, "constants_tried", (long)w->n_tried);
    nxw_json_integer(j, o, "constants_moved", (long)w->n_moved);
    nxw_json_put(j, o, "constants_that_matter_most", list);
}
