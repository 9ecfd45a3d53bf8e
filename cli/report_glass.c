#include "report_glass.h"

#include <math.h>

#include "text_layout.h"

enum { AMOUNT = NXW_AMOUNT_LENGTH };

#define GAS_MOL_M3 41.57 /* at 20 degC and 1 atm, as flows are counted in cases */
#define ROOM_M3_MOL 0.024055

static void flow_text(double flow_mol_s, char out[AMOUNT])
{
    char number[AMOUNT];
    nxw_number_text(flow_mol_s * ROOM_M3_MOL * 6e4, 2, number);
    (void)snprintf(out, AMOUNT, "%.20s L/min", number);
}

static void volume_text(double volume_m3, char out[AMOUNT])
{
    char number[AMOUNT];
    nxw_number_text(volume_m3 * 1e6, 2, number);
    (void)snprintf(out, AMOUNT, "%.20s mL", number);
}

static void pressure_text(double pressure_Pa, char out[AMOUNT])
{
    char number[AMOUNT];
    nxw_number_text(pressure_Pa * 1e-3, 2, number);
    (void)snprintf(out, AMOUNT, "%.20s kPa", number);
}

static void print_pressure(FILE *out, const struct nxw_report *report)
{
    const struct nxw_result *r = report->result;
    const struct nxw_glass_result *g = &r->glass;
    char all[AMOUNT], joint[AMOUNT], head[AMOUNT], wet[AMOUNT], loss[AMOUNT];
    double head_Pa = 0.0, wet_Pa = 0.0, loss_Pa = g->vent_loss_Pa;
    for (size_t i = 0; i < r->n_stages; i++) {
        head_Pa += r->stages[i].head_Pa;
        wet_Pa += r->stages[i].capillary_Pa;
        loss_Pa += r->stages[i].flow_loss_Pa;
    }
    pressure_text(g->gauge_peak_Pa, all);
    pressure_text(g->joint_bears_Pa, joint);
    pressure_text(head_Pa, head);
    pressure_text(wet_Pa, wet);
    pressure_text(loss_Pa, loss);
    nxw_wrapf(out, "  ", 4,
              "The source works against about %s at most (liquid's height %s, wet tips %s, flow "
              "%s); ground joints without clamps bear about %s%s.",
              all, head, wet, loss, joint,
              g->gauge_peak_Pa > g->joint_bears_Pa ? ": that is too much for them" : "");
}

static void print_tips(FILE *out, const struct nxw_report *report)
{
    const struct nxw_result *r = report->result;
    for (size_t i = 0; i < r->n_stages; i++) {
        const struct nxw_stage *c = &report->in->stages[i];
        const struct nxw_stage_result *s = &r->stages[i];
        if (c->kind == NXW_STAGE_EMPTY || !(s->tip_flow_m3_s > 0.0) ||
            !isfinite(s->tip_jet_flow_m3_s))
            continue;
        char flow[AMOUNT], jet[AMOUNT], holes[AMOUNT];
        flow_text(s->tip_flow_m3_s * GAS_MOL_M3, flow);
        flow_text(s->tip_jet_flow_m3_s * GAS_MOL_M3, jet);
        nxw_number_text(s->tip_holes_blowing, 2, holes);
        if (s->tip_flow_m3_s > s->tip_jet_flow_m3_s)
            nxw_wrapf(out, "  ", 4,
                      "Tip of bottle %zu: %s at the peak, more than the %s up to which %s.", i + 1,
                      flow, jet,
                      c->tip == NXW_TIP_FRIT ? "a frit of that size keeps its bubbles apart"
                                             : "it bubbles; beyond, it jets");
        else if (c->tip == NXW_TIP_HOLES && s->tip_holes_blowing < c->holes)
            nxw_wrapf(out, "  ", 4,
                      "Tip of bottle %zu: %s at the peak; all its holes blow for sure only from %s "
                      "on. Until then some stay wet: in the worst case one carries it all.",
                      i + 1, flow, jet);
    }
}

static void print_drawn(FILE *out, const struct nxw_report *report)
{
    const struct nxw_result *r = report->result;
    for (size_t i = 0; i < r->n_stages; i++) {
        const struct nxw_stage_result *s = &r->stages[i];
        char volume[AMOUNT], flow[AMOUNT];
        flow_text(s->short_of_gas_mol_s, flow);
        volume_text(s->liquid_drawn_m3, volume);
        if (s->liquid_drawn_m3 > 0.0)
            nxw_wrapf(
                out, "  ", 4,
                "Into stage %zu about %s of the next bottle's liquid is drawn while gas is "
                "taken up faster than it comes; about %s of carrier gas would prevent it. The "
                "figures of this estimate leave the liquid where it was.",
                i + 1, volume, flow);
    }
}

static void print_suck_back(FILE *out, const struct nxw_report *report)
{
    const struct nxw_case *in = report->in;
    const struct nxw_glass_result *g = &report->result->glass;
    if (!isfinite(g->suck_back_m3)) {
        if (in->source.kind == NXW_SOURCE_ACID_VAPOUR || in->source.kind == NXW_SOURCE_METAL)
            nxw_wrap(out, "  ", 4,
                     "Give the hot vessel's gas space (vessel: {volume: 500 mL, hot: 120 degC}) to "
                     "learn how much is drawn back when it cools.");
        return;
    }
    char drawn[AMOUNT], risk[AMOUNT], need[AMOUNT], have[AMOUNT], flow[AMOUNT], tall[AMOUNT];
    volume_text(g->suck_back_m3, drawn);
    volume_text(g->liquid_at_risk_m3, risk);
    volume_text(g->trap_needed_m3, need);
    volume_text(g->trap_m3, have);
    flow_text(g->carrier_needed_mol_s, flow);
    nxw_number_text(g->crest_needed_m * 100.0, 2, tall);
    if (!(g->liquid_at_risk_m3 > 0.0)) {
        nxw_wrap(out, "  ", 4,
                 "When the vessel cools, the liquid rises in the first bottle's tube and stays "
                 "below its bend.");
        return;
    }
    nxw_wrapf(out, "  ", 4,
              "When the vessel cools with no gas to follow, it draws at about %s of liquid, of "
              "which %s stands above the tip and would come over. A trap ahead of the bottle needs "
              "%s (there is %s); or about %s of carrier gas until it is cool. The tube's bend "
              "alone would have to stand %s cm above the liquid.",
              drawn, risk, need, g->trap_m3 > 0.0 ? have : "none", flow, tall);
}

static void print_blockage(FILE *out, const struct nxw_report *report)
{
    const struct nxw_glass_result *g = &report->result->glass;
    char rise[AMOUNT], time[AMOUNT], tip[AMOUNT], tip_time[AMOUNT];
    if (!isfinite(g->blocked_vent_Pa_s))
        return;
    pressure_text(g->blocked_vent_Pa_s * 60.0, rise);
    nxw_time_text(g->blocked_vent_s, time);
    nxw_wrapf(out, "  ", 4,
              "Should the vent block at the peak, the pressure rises by about %s each min and "
              "passes what joints bear within %s.",
              rise, time);
    if (!isfinite(g->blocked_tip_Pa_s))
        return;
    pressure_text(g->blocked_tip_Pa_s * 60.0, tip);
    nxw_time_text(g->blocked_tip_s, tip_time);
    nxw_wrapf(out, "  ", 4, "Should the first tip block: by about %s each min, within %s.", tip,
              tip_time);
}

static void print_hood_stops(FILE *out, const struct nxw_report *report)
{
    const struct nxw_glass_result *g = &report->result->glass;
    char NO2[AMOUNT], NO[AMOUNT], volume[AMOUNT];
    if (!(g->hood_stopped_NO2_1_s > 0.0))
        return;
    nxw_ppm_text(g->hood_stopped_NO2_1_s * 60.0, 2, NO2);
    nxw_ppm_text(fmax(g->hood_stopped_NO_1_s, 0.0) * 60.0, 2, NO);
    nxw_number_text(report->in->parameters.value[NXW_P_hood_volume], 2, volume);
    nxw_wrapf(
        out, "  ", 4,
        "Should the hood stop at the peak, its air (%s m3 of it) gains about %s NO2 and %s NO "
        "each min, and the room after it.",
        volume, NO2, NO);
}

void nxw_glass_print(FILE *out, const struct nxw_report *report)
{
    (void)fputs("\nWhat the glass has to bear\n", out);
    print_pressure(out, report);
    print_tips(out, report);
    print_drawn(out, report);
    print_suck_back(out, report);
    print_blockage(out, report);
    print_hood_stops(out, report);
}
