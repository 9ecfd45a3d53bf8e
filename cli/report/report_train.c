#include "report/report_train.h"

#include <math.h>

#include "base/text_layout.h"

enum { AMOUNT = NXW_AMOUNT_LENGTH, COLUMNS = 5 };

static void share_text(double part, double whole, char out[AMOUNT])
{
    const double share = whole > 0.0 ? part / whole : 0.0;
    char number[AMOUNT];
    nxw_number_text(fmax(share, 0.0) * 100.0, 2, number);
    if (share < 5e-4)
        (void)snprintf(out, AMOUNT, share > 0.0 ? "<0.1 %%" : "0 %%");
    else
        (void)snprintf(out, AMOUNT, "%.8s %%", number);
}

static void of_fed(const struct nxw_report *report, double amount_mol, char out[AMOUNT])
{
    share_text(amount_mol, report->result->fed_mol, out);
}

static double came_mol(const struct nxw_stage_result *s)
{
    return s->entered_NO_mol + s->entered_NO2_mol + s->entered_HNO2_mol + s->entered_HNO3_mol;
}

static void came(const struct nxw_report *report, size_t i, char out[AMOUNT])
{
    of_fed(report, came_mol(&report->result->stages[i]), out);
}

static void came_NO(const struct nxw_report *report, size_t i, char out[AMOUNT])
{
    of_fed(report, report->result->stages[i].entered_NO_mol, out);
}

static void kept(const struct nxw_report *report, size_t i, char out[AMOUNT])
{
    const struct nxw_stage_result *s = &report->result->stages[i];
    of_fed(report, s->nitrate_mol - s->nitrate_start_mol, out);
}

static void nitrous(const struct nxw_report *report, size_t i, char out[AMOUNT])
{
    of_fed(report, report->result->stages[i].nitrous_acid_mol, out);
}

static void passed(const struct nxw_report *report, size_t i, char out[AMOUNT])
{
    const struct nxw_stage_result *s = &report->result->stages[i];
    of_fed(report, s->left_NO_mol + s->left_NO2_mol + s->left_HNO2_mol + s->left_HNO3_mol, out);
}

static void passed_NO(const struct nxw_report *report, size_t i, char out[AMOUNT])
{
    of_fed(report, report->result->stages[i].left_NO_mol, out);
}

static void passed_NO2(const struct nxw_report *report, size_t i, char out[AMOUNT])
{
    of_fed(report, report->result->stages[i].left_NO2_mol, out);
}

static void held_of_came(const struct nxw_report *report, size_t i, char out[AMOUNT])
{
    const struct nxw_stage_result *s = &report->result->stages[i];
    const double held_mol = s->nitrate_mol - s->nitrate_start_mol + s->nitrous_acid_mol +
                            s->HOONO_mol + s->NO_aq_mol + s->NO2_aq_mol;
    share_text(held_mol, came_mol(s), out);
}

static void peroxide_left(const struct nxw_report *report, size_t i, char out[AMOUNT])
{
    const struct nxw_stage_result *s = &report->result->stages[i];
    if (s->peroxide_start_mol > 0.0)
        share_text(s->peroxide_mol, s->peroxide_start_mol, out);
    else
        (void)snprintf(out, AMOUNT, "-");
}

static void hottest(const struct nxw_report *report, size_t i, char out[AMOUNT])
{
    nxw_temperature_text(report->result->stages[i].peak_temperature_K, out);
}

static void kind(const struct nxw_report *report, size_t i, char out[AMOUNT])
{
    (void)snprintf(out, AMOUNT, "%s",
                   report->in->stages[i].kind == NXW_STAGE_EMPTY ? "(empty)" : "(bottle)");
}

static void number(const struct nxw_report *report, size_t i, char out[AMOUNT])
{
    (void)report;
    (void)snprintf(out, AMOUNT, "stage %zu", i + 1);
}

void nxw_train_print(FILE *out, const struct nxw_report *report)
{
    static const struct {
        const char *what;
        void (*cell)(const struct nxw_report *report, size_t stage, char out[AMOUNT]);
    } rows[] = {{"", number},
                {"", kind},
                {"nitrogen that came", came},
                {"  of that as NO", came_NO},
                {"kept as nitric acid", kept},
                {"left as nitrous acid", nitrous},
                {"passed on", passed},
                {"  of that as NO", passed_NO},
                {"  of that as NO2", passed_NO2},
                {"held of what came", held_of_came},
                {"peroxide left", peroxide_left},
                {"hottest", hottest}};
    const size_t n = report->result->n_stages;
    if (n < 2)
        return;
    nxw_wrap(out, "\n", 0, "Stage by stage (shares of the nitrogen fed, unless said)");
    for (size_t first = 0; first < n; first += COLUMNS) {
        if (first > 0)
            (void)fputc('\n', out);
        for (size_t k = 0; k < sizeof rows / sizeof rows[0]; k++) {
            (void)fprintf(out, "  %-21s", rows[k].what);
            for (size_t i = first; i < n && i < first + COLUMNS; i++) {
                char cell[AMOUNT];
                rows[k].cell(report, i, cell);
                (void)fprintf(out, "%11s", cell);
            }
            (void)fputc('\n', out);
        }
    }
}
