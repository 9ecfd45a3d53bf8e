/* The train as a row of small pictures joined at their edges; they wrap on a narrow page. */
#include <math.h>
#include <string.h>

#include "base/html_out.h"
#include "base/text_layout.h"
#include "case/case_fields.h"
#include "report/report_page.h"

enum { AMOUNT = NXW_AMOUNT_LENGTH };

/* Every picture is 160 by 150; the gas line crosses its edges at a height of 20. */
static const char PIPE[] = "fill=\"none\" stroke=\"#111\" stroke-width=\"3\"";
static const char GLASS[] = "fill=\"none\" stroke=\"#111\" stroke-width=\"2.5\"";

void nxw_report_stage_name(const struct nxw_case *in, size_t stage, char out[32])
{
    const char *word = in->stages[stage].kind == NXW_STAGE_EMPTY ? "Empty trap" : "Bottle";
    if (in->n_stages > 1)
        (void)snprintf(out, 32, "%s %u", word, (unsigned)(stage + 1));
    else
        (void)snprintf(out, 32, "%s", word);
}

static void begin_picture(FILE *out, const char *title)
{
    (void)fputs("<figure><svg role=\"img\" viewBox=\"0 0 160 150\">", out);
    nxw_html_element(out, "title", title);
}

static void end_picture(FILE *out, const char *name)
{
    (void)fputs("</svg>\n<figcaption>", out);
    nxw_html_element(out, "b", name);
}

static void caption_line(FILE *out, const char *text)
{
    nxw_html_say(out, text);
    (void)fputs("<br>\n", out);
}

static void path(FILE *out, const char *look, const char *d)
{
    (void)fprintf(out, "<path %s d=\"%s\"/>", look, d);
}

static void arrow_right(FILE *out, int x, int y)
{
    (void)fprintf(out, "<path fill=\"#111\" d=\"M%d,%d l-10,-6 v12 z\"/>", x, y);
}

/* ------------------------------------------------------------------------------- pieces */

static void gas_line(FILE *out, const struct nxw_carrier *gas, const char *what)
{
    if (gas->gas == NXW_GAS_NONE)
        return;
    char text[240], flow[AMOUNT], from[AMOUNT], until[AMOUNT];
    nxw_number_text(gas->flow_mol_s * 24.055 * 60.0, 3, flow); /* L/mol at 20 degC and 1 atm */
    nxw_time_text(gas->from_s, from);
    nxw_time_text(gas->until_s, until);
    (void)snprintf(text, sizeof text, "%s: %s, %s L/min, from %s to %s", what,
                   nxw_words_gas[gas->gas], flow, from, isfinite(gas->until_s) ? until : "the end");
    caption_line(out, text);
}

static void draw_source(FILE *out, const struct nxw_report *report)
{
    const struct nxw_source *s = &report->in->source;
    char duration[AMOUNT], text[160], fed[AMOUNT];
    nxw_time_text(s->duration_s, duration);
    (void)snprintf(text, sizeof text, "Source: %s, over %s", nxw_words_source[s->kind], duration);
    begin_picture(out, text);
    if (s->kind == NXW_SOURCE_ACID_VAPOUR || s->kind == NXW_SOURCE_METAL) { /* a hot flask */
        path(out, GLASS, "M68,20 V58 A34,34 0 1 0 92,58 V20");
        path(out, "fill=\"#d9d9d9\" stroke=\"none\"", "M48,96 A34,34 0 0 0 112,96 Z");
        path(out, "fill=\"none\" stroke=\"#d55e00\" stroke-width=\"3\"",
             "M64,146 q-5,-7 0,-12 M80,146 q-5,-7 0,-12 M96,146 q-5,-7 0,-12");
        path(out, PIPE, "M80,46 V20 H160");
    } else { /* a cylinder with its valve */
        path(out, GLASS, "M56,144 V62 q0,-20 24,-20 q24,0 24,20 V144 Z");
        path(out, PIPE, "M80,42 V20 H160 M70,20 H90 M80,12 V28");
    }
    arrow_right(out, 150, 20);
    end_picture(out, "Source");
    caption_line(out, nxw_words_source[s->kind]);
    nxw_mol_text(report->result->fed_mol, 3, fed);
    (void)snprintf(text, sizeof text, "%s N in %s", fed, duration);
    caption_line(out, text);
    gas_line(out, &report->in->carrier, "carrier");
    (void)fputs("</figcaption></figure>\n", out);
}

/* Ice as squares on the water of the bath, water as a grey field, air as nothing. */
static void draw_bath(FILE *out, const struct nxw_stage *stage)
{
    if (stage->bath == NXW_BATH_AIR)
        return;
    (void)fputs("<path fill=\"#e8e8e8\" stroke=\"#777\" d=\"M22,80 V146 H138 V80\"/>", out);
    static const int at[][2] = {{26, 76}, {24, 98}, {120, 74}, {124, 96}, {122, 118}, {26, 120}};
    for (size_t i = 0; stage->bath == NXW_BATH_ICE_WATER && i < sizeof at / sizeof at[0]; i++)
        (void)fprintf(out,
                      "<rect x=\"%d\" y=\"%d\" width=\"12\" height=\"12\" fill=\"#fff\" "
                      "stroke=\"#111\"/>",
                      at[i][0], at[i][1]);
}

static void draw_bottle(FILE *out, const struct nxw_stage *stage)
{
    draw_bath(out, stage);
    (void)fputs("<rect x=\"45\" y=\"40\" width=\"70\" height=\"100\" fill=\"#fff\" "
                "stroke=\"none\"/>",
                out);
    const double fill = fmin(fmax(stage->liquid_m3 / stage->volume_m3, 0.0), 1.0);
    const double level = 138.0 - 92.0 * fill;
    if (stage->kind == NXW_STAGE_BOTTLE)
        (void)fprintf(out,
                      "<rect x=\"47\" y=\"%.1f\" width=\"66\" height=\"%.1f\" fill=\"#cfe3f2\"/>"
                      "<path stroke=\"#0072b2\" stroke-width=\"2\" d=\"M47,%.1f H113\"/>",
                      level, 138.0 - level, level);
    path(out, GLASS,
         "M60,28 H100 V36 q15,4 15,16 V134 q0,6 -6,6 H51 q-6,0 -6,-6 V52 "
         "q0,-12 15,-16 Z");
    if (stage->kind == NXW_STAGE_BOTTLE) {
        path(out, PIPE, "M0,20 H70 V130 M90,56 V20 H160");
        (void)fputs("<g fill=\"#fff\" stroke=\"#111\">", out);
        static const int bubbles[][3] = {{80, 126, 4}, {86, 112, 4}, {78, 101, 3}, {88, 90, 3}};
        for (size_t i = 0; i < sizeof bubbles / sizeof bubbles[0]; i++)
            if (bubbles[i][1] - 6 > level)
                (void)fprintf(out, "<circle cx=\"%d\" cy=\"%d\" r=\"%d\"/>", bubbles[i][0],
                              bubbles[i][1], bubbles[i][2]);
        (void)fputs("</g>", out);
    } else
        path(out, PIPE, "M0,20 H70 V70 M90,56 V20 H160");
    if (stage->bleed.gas != NXW_GAS_NONE) {
        path(out, PIPE, "M24,2 V20");
        (void)fputs("<path fill=\"#111\" d=\"M24,20 l-5,-9 h10 z\"/>", out);
    }
    arrow_right(out, 154, 20);
}

static void share_line(FILE *out, const struct nxw_result *r, const char *what, double amount_mol)
{
    char percent[AMOUNT], text[120];
    nxw_percent_text(r->fed_mol > 0.0 ? amount_mol / r->fed_mol : 0.0, 2, percent);
    (void)snprintf(text, sizeof text, "%s: %s of N fed", what, percent);
    caption_line(out, text);
}

static void draw_stage(FILE *out, const struct nxw_report *report, size_t i)
{
    const struct nxw_stage *stage = &report->in->stages[i];
    const struct nxw_stage_result *s = &report->result->stages[i];
    char name[32], volume[AMOUNT], liquid[AMOUNT], text[200];
    const bool empty = stage->kind == NXW_STAGE_EMPTY;
    nxw_report_stage_name(report->in, i, name);
    nxw_number_text(stage->volume_m3 * 1e6, 3, volume);
    nxw_number_text(stage->liquid_m3 * 1e6, 3, liquid);
    (void)snprintf(text, sizeof text, "%s of %s mL, %s%s; around it: %s", name, volume,
                   empty ? "no liquid" : liquid, empty ? "" : " mL liquid",
                   nxw_words_bath[stage->bath]);
    begin_picture(out, text);
    draw_bottle(out, stage);
    end_picture(out, name);
    (void)snprintf(text, sizeof text, empty ? "%s mL, %s" : "%s mL, with %s mL liquid", volume,
                   empty ? "empty" : liquid);
    caption_line(out, text);
    (void)snprintf(text, sizeof text, "around it: %s", nxw_words_bath[stage->bath]);
    caption_line(out, text);
    gas_line(out, &stage->bleed, "bleed");
    if (!empty) {
        share_line(out, report->result, "kept as nitric acid",
                   s->nitrate_mol - s->nitrate_start_mol);
        share_line(out, report->result, "left as nitrous acid", s->nitrous_acid_mol);
    }
    share_line(out, report->result, "in its gas space", s->in_flight_mol);
    (void)fputs("</figcaption></figure>\n", out);
}

static void draw_vent(FILE *out, const struct nxw_report *report)
{
    const struct nxw_result *r = report->result;
    begin_picture(out, "Vent into the hood");
    path(out, GLASS, "M30,146 V66 L80,44 L130,66 V146");
    path(out, PIPE, "M0,20 H18 V110 H80 V86");
    (void)fputs("<path fill=\"#111\" d=\"M80,74 l-7,13 h14 z\"/>", out);
    end_picture(out, report->in->vent_closed ? "Closed (a check, not a set-up)" : "Vent, hood");
    share_line(out, r, "escaped", r->escaped_mol);
    share_line(out, r, "of that as NO", r->escaped_NO_mol);
    share_line(out, r, "as NO2", r->escaped_NO2_mol);
    (void)fputs("</figcaption></figure>\n", out);
}

void nxw_report_train(FILE *out, const struct nxw_report *report)
{
    (void)fputs("<section>\n<h2>The train, and what is kept where</h2>\n<div class=\"train\">\n",
                out);
    draw_source(out, report);
    for (size_t i = 0; i < report->in->n_stages; i++)
        draw_stage(out, report, i);
    draw_vent(out, report);
    (void)fputs("</div>\n</section>\n", out);
}
