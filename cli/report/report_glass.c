#include "report/report_glass.h"

#include <math.h>
#include <string.h>

#include "base/text_layout.h"
#include "case/exposure_limits.h"
#include "noxwash.h"

enum { AMOUNT = NXW_AMOUNT_LENGTH };

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
    nxw_pressure_text(g->gauge_peak_Pa, all);
    nxw_pressure_text(g->joint_bears_Pa, joint);
    nxw_pressure_text(head_Pa, head);
    nxw_pressure_text(wet_Pa, wet);
    nxw_pressure_text(loss_Pa, loss);
    nxw_wrapf(out, "  ", 4,
              "The source works against about %s at most (liquid's height %s, wet tips %s, flow "
              "%s); ground joints part at about %s%s.",
              all, head, wet, loss, joint,
              g->gauge_peak_Pa > g->joint_bears_Pa ? ": the train resists too much" : "");
}

/* A tip that jets or weeps has its own warning. */
static void print_tips(FILE *out, const struct nxw_report *report)
{
    const struct nxw_result *r = report->result;
    for (size_t i = 0; i < r->n_stages; i++) {
        const struct nxw_stage *c = &report->in->stages[i];
        const struct nxw_stage_result *s = &r->stages[i];
        if (c->kind == NXW_STAGE_EMPTY || !(s->tip_flow_m3_s > 0.0) ||
            !isfinite(s->tip_jet_flow_m3_s) || s->tip_flow_m3_s > s->tip_jet_flow_m3_s ||
            (c->tip == NXW_TIP_HOLES && s->tip_holes_blowing < c->holes))
            continue;
        char flow[AMOUNT], jet[AMOUNT], lead[AMOUNT];
        nxw_flow_text(s->tip_flow_m3_s, flow);
        nxw_flow_text(s->tip_jet_flow_m3_s, jet);
        (void)snprintf(lead, sizeof lead, "  Tip of bottle %zu: ", i + 1);
        nxw_wrapf(out, r->n_stages > 1 ? lead : "  Tip: ", 4, "%s at the peak; %s above %s.", flow,
                  c->tip == NXW_TIP_FRIT ? "its bubbles would merge" : "it would jet", jet);
    }
}

/* Liquid drawn into an empty vessel that holds it; otherwise it is a warning. */
static void print_drawn(FILE *out, const struct nxw_report *report)
{
    const struct nxw_result *r = report->result;
    bool any = false;
    for (size_t i = 0; i < r->n_stages; i++) {
        const struct nxw_stage *c = &report->in->stages[i];
        const struct nxw_stage_result *s = &r->stages[i];
        char volume[AMOUNT], flow[AMOUNT], have[AMOUNT], peroxide[AMOUNT], with[AMOUNT + 20] = "";
        if (!(s->liquid_drawn_m3 > 0.0))
            continue;
        any = true;
        if (c->kind == NXW_STAGE_BOTTLE || s->liquid_drawn_m3 > c->volume_m3)
            continue;
        nxw_flow_text(s->short_of_gas_mol_s * NXW_ROOM_M3_MOL, flow);
        nxw_volume_text(s->liquid_drawn_m3, volume);
        nxw_volume_text(c->volume_m3, have);
        nxw_mass_text(s->peroxide_drawn_mol * NXW_MOLAR_MASS_H2O2_KG_MOL, 2, peroxide);
        if (s->peroxide_drawn_mol > 0.0)
            (void)snprintf(with, sizeof with, " (with %s H2O2)", peroxide);
        nxw_wrapf(
            out, "  ", 4,
            "Ahead of bottle %zu more gas is taken up than comes, and about %s of its "
            "liquid%s is drawn up its tube and over. The empty vessel there, stage %zu, holds "
            "%s: that suffices. About %s of carrier gas would prevent it.",
            i + 2, volume, with, i + 1, have, flow);
    }
    if (any)
        nxw_wrap(out, "  ", 4,
                 "Liquid that is drawn from stage to stage is told, not moved: the amounts of this "
                 "estimate leave it where it was.");
}

static void print_no_vessel(FILE *out, const struct nxw_report *report)
{
    const bool hot = report->in->source.kind == NXW_SOURCE_ACID_VAPOUR ||
                     report->in->source.kind == NXW_SOURCE_METAL;
    if (nxw_first_bottle(report->in) == report->result->n_stages)
        return;
    nxw_wrap(
        out, "  ", 4,
        hot ? "Unless a purge or a trap holds it back, liquid is drawn over when the hot vessel "
              "cools, and flashes to steam in one hotter than about 100 degC. Give its gas "
              "space (vessel: {volume: 500 mL, hot: 120 degC}) to learn how much, and how "
              "fast the pressure rises should the first tip block."
            : "Give the gas space ahead of the train (vessel: {volume: 500 mL, hot: 20 degC}) "
              "to learn how fast the pressure rises should the first tip block.");
}

/* The vessel cools: what holds the liquid off. Where nothing does it is a warning. */
static void print_suck_back(FILE *out, const struct nxw_report *report)
{
    const struct nxw_result *r = report->result;
    const struct nxw_glass_result *g = &r->glass;
    char risk[AMOUNT], need[AMOUNT], have[AMOUNT], flow[AMOUNT], carrier[AMOUNT], time[AMOUNT];
    char tall[AMOUNT], crest[AMOUNT], lasts[AMOUNT], drawn[AMOUNT], fast[AMOUNT];
    const struct nxw_parameter_record *tau = nxw_parameter_record(NXW_P_vessel_cooling_time);
    const double tau_s = report->in->parameters.value[NXW_P_vessel_cooling_time];
    const double fast_mol_s = g->carrier_needed_mol_s * tau_s / fmin(tau->low, tau_s);
    if (!isfinite(g->suck_back_m3))
        return;
    nxw_volume_text(g->liquid_at_risk_m3, risk);
    nxw_volume_text(g->suck_back_m3, drawn);
    nxw_flow_text(fast_mol_s * NXW_ROOM_M3_MOL, fast);
    nxw_volume_text(g->trap_needed_m3, need);
    nxw_volume_text(g->trap_m3, have);
    nxw_flow_text(g->carrier_needed_mol_s * NXW_ROOM_M3_MOL, flow);
    nxw_flow_text(g->carrier_mol_s * NXW_ROOM_M3_MOL, carrier);
    nxw_time_text(g->carrier_needed_s, time);
    nxw_time_text(g->carrier_s, lasts);
    nxw_number_text(g->crest_needed_m * 100.0, 2, tall);
    nxw_number_text(g->crest_m * 100.0, 2, crest);
    if (!(g->liquid_at_risk_m3 > 0.0)) {
        if (g->crest_needed_m > g->crest_m)
            nxw_wrapf(out, "  ", 4,
                      "When the vessel cools and no gas follows, its gas shrinks by %s: the first "
                      "bottle's tube alone holds as much liquid, and none comes over.",
                      drawn);
        else
            nxw_wrapf(
                out, "  ", 4,
                "When the vessel cools and no gas follows, the liquid rises %s cm in the first "
                "bottle's tube; the tube's bend stands %s cm above it: that suffices.",
                tall, crest);
        return;
    }
    nxw_wrapf(out, "  ", 4,
              "When the vessel cools and no gas follows, the tube's bend, about %s cm above the "
              "liquid, does not hold it back: that would take %s cm.",
              crest, tall);
    if ((r->warnings & NXW_WARN_SUCK_BACK) != 0)
        return;
    if (g->trap_m3 >= g->trap_needed_m3)
        nxw_wrapf(out, "  ", 4,
                  "About %s of liquid comes over then. The empty vessels ahead of the first bottle "
                  "hold %s, and %s would do: that suffices.",
                  risk, have, need);
    else
        nxw_wrapf(out, "  ", 4,
                  "The carrier gas keeps it back: %s%s%s after the source; about %s for %s would "
                  "do, for a vessel that cools within minutes up to %s. %s; without it about %s of "
                  "liquid comes over%s.",
                  carrier, isfinite(g->carrier_s) ? " for " : "",
                  isfinite(g->carrier_s) ? lasts : "", flow, time, fast,
                  g->carrier_mol_s >= fast_mol_s
                      ? "That suffices as long as it runs"
                      : "That suffices as long as it runs, unless the vessel cools so fast",
                  risk, nxw_vessel_boils_water(report->in) ? " and flashes to steam" : "");
}

/* Rise of the pressure: each second where it is fast. */
static void rise_text(double rise_Pa_s, char out[AMOUNT])
{
    char number[AMOUNT];
    const bool fast = rise_Pa_s > 1000.0;
    nxw_pressure_text(rise_Pa_s * (fast ? 1.0 : 60.0), number);
    (void)snprintf(out, AMOUNT, "%.20s each %s", number, fast ? "s" : "min");
}

static void soon_text(double time_s, char out[AMOUNT])
{
    if (time_s < 1.0)
        (void)snprintf(out, AMOUNT, "less than 1 s");
    else
        nxw_time_text(time_s, out);
}

static void print_blockage(FILE *out, const struct nxw_report *report)
{
    const struct nxw_glass_result *g = &report->result->glass;
    const bool vessel = report->in->vessel_volume_m3 > 0.0;
    char rise[AMOUNT], time[AMOUNT], tip[AMOUNT], tip_time[AMOUNT], joint[AMOUNT];
    if (!isfinite(g->blocked_vent_Pa_s))
        return;
    rise_text(g->blocked_vent_Pa_s, rise);
    nxw_pressure_text(g->joint_bears_Pa, joint);
    soon_text(g->blocked_vent_s, time);
    nxw_wrapf(out, "  ", 4,
              "Should the vent block at the peak, the pressure rises by up to %s and "
              "passes the %s that joints bear within %s%s.",
              rise, joint, time,
              vessel ? "" : " (slower with the vessel's gas space, which is not given)");
    if (!isfinite(g->blocked_tip_Pa_s))
        return;
    rise_text(g->blocked_tip_Pa_s, tip);
    soon_text(g->blocked_tip_s, tip_time);
    nxw_wrapf(out, "  ", 4, "Should the first tip or its frit block: by up to %s, within %s.", tip,
              tip_time);
}

static void print_hood_stops(FILE *out, const struct nxw_report *report)
{
    const struct nxw_glass_result *g = &report->result->glass;
    char NO2[AMOUNT], NO[AMOUNT], volume[AMOUNT], limit[AMOUNT], time[AMOUNT], soon[160] = "";
    if (!(g->hood_stopped_NO2_1_s > 0.0))
        return;
    const double limit_ppm = nxw_short_limit_ppm("NO2");
    const double limit_s = limit_ppm * 1e-6 / g->hood_stopped_NO2_1_s;
    nxw_ppm_text(g->hood_stopped_NO2_1_s * 60.0, 2, NO2);
    nxw_ppm_text(fmax(g->hood_stopped_NO_1_s, 0.0) * 60.0, 2, NO);
    nxw_number_text(report->in->parameters.value[NXW_P_hood_volume], 2, volume);
    nxw_ppm_text(limit_ppm * 1e-6, 2, limit);
    nxw_time_text(limit_s, time);
    if (isfinite(limit_s) && limit_s < report->result->end_s)
        (void)snprintf(soon, sizeof soon, "; %s NO2, a limit for 15 min, is passed after %s", limit,
                       time);
    nxw_wrapf(
        out, "  ", 4,
        "Should the hood stop at the peak, its air (%s m3 of it) gains about %s NO2 and %s NO "
        "each min, and the room after it%s.",
        volume, NO2, NO, soon);
}

void nxw_glass_print(FILE *out, const struct nxw_report *report)
{
    (void)fputs("\nWhat the glass has to bear\n", out);
    print_pressure(out, report);
    print_tips(out, report);
    print_drawn(out, report);
    print_suck_back(out, report);
    if (!(report->in->vessel_volume_m3 > 0.0))
        print_no_vessel(out, report);
    print_blockage(out, report);
    print_hood_stops(out, report);
}
