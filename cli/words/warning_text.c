#include "words/warning_text.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/text_layout.h"
#include "words/limit_digits.h"
#include "words/run_words.h"

enum { AMOUNT = NXW_AMOUNT_LENGTH };

struct sentence {
    const struct nxw_case *in;
    const struct nxw_result *r;
    char *out;
};

#if defined(__GNUC__)
__attribute__((format(printf, 2, 3)))
#endif
static void
add(const struct sentence *s, const char *format, ...)
{
    const size_t used = strlen(s->out);
    va_list arguments;
    va_start(arguments, format);
    if (used > 0 && used + 2 < NXW_WARNING_TEXT_LENGTH && s->out[used - 1] == '.')
        (void)snprintf(s->out + used, NXW_WARNING_TEXT_LENGTH - used, " ");
    const size_t from = strlen(s->out);
    (void)vsnprintf(s->out + from, NXW_WARNING_TEXT_LENGTH - from, format, arguments);
    va_end(arguments);
}

/* "bottle 2"; "the bottle" where there is only one. */
static const char *bottle(const struct sentence *s, size_t i, char out[AMOUNT])
{
    if (s->in->n_stages == 1)
        (void)snprintf(out, AMOUNT, "the bottle");
    else
        (void)snprintf(out, AMOUNT, "bottle %zu", i + 1);
    return out;
}

/* When something happened in a stage; NAN: it did not. */
static double event_s(const struct sentence *s, enum nxw_event_kind kind, size_t stage)
{
    for (size_t i = 0; i < s->r->n_events; i++)
        if (s->r->events[i].kind == kind && s->r->events[i].stage == stage)
            return s->r->events[i].time_s;
    return (double)NAN;
}

/* ------------------------------------------------------------------------- liquid and bath */

static void from_event(const struct sentence *s, enum nxw_event_kind kind, const char *format)
{
    for (size_t i = 0; i < s->r->n_stages; i++) {
        char name[AMOUNT], time[AMOUNT];
        const double at_s = event_s(s, kind, i);
        if (!isfinite(at_s))
            continue;
        nxw_time_text(at_s, time);
        const char *place = strstr(format, "@");
        add(s, "%.*s%s (at %s)%s", (int)(place - format), format, bottle(s, i, name), time,
            place + 1);
    }
}

static void hot(const struct sentence *s)
{
    for (size_t i = 0; i < s->r->n_stages; i++) {
        char name[AMOUNT], peak[AMOUNT];
        nxw_temperature_text(s->r->stages[i].peak_temperature_K, peak);
        if (s->in->stages[i].kind == NXW_STAGE_BOTTLE &&
            s->r->stages[i].peak_temperature_K > NXW_HOT_K)
            add(s,
                "The liquid of %s reached %s: above " NXW_HOT_DIGITS " degC is beyond the range of "
                "the constants.",
                bottle(s, i, name), peak);
    }
}

static void nitrous_acid(const struct sentence *s)
{
    for (size_t i = 0; i < s->r->n_stages; i++) {
        char name[AMOUNT], peak[AMOUNT];
        nxw_number_text(s->r->stages[i].peak_HNO2_mol_m3 * 1e-3, 2, peak);
        if (s->r->stages[i].peak_HNO2_mol_m3 > NXW_NITROUS_MOST_MOL_M3)
            add(s,
                "Up to %s mol/L nitrous acid gathered in %s: more than " NXW_NITROUS_MOST_DIGITS
                " mol/L is beyond the data behind the constants.",
                peak, bottle(s, i, name));
    }
}

static void headspace(const struct sentence *s)
{
    for (size_t i = 0; i < s->r->n_stages; i++) {
        char name[AMOUNT], full[AMOUNT];
        const double share = s->r->stages[i].liquid_m3 / s->in->stages[i].volume_m3;
        nxw_percent_text(share, 2, full);
        if (s->in->stages[i].kind == NXW_STAGE_BOTTLE && share > NXW_FULLEST)
            add(s,
                "At the end liquid fills %s of %s: above " NXW_FULLEST_DIGITS
                " %%, spray and foam can leave with the gas.",
                full, bottle(s, i, name));
    }
}

static void shallow(const struct sentence *s)
{
    for (size_t i = 0; i < s->r->n_stages; i++) {
        char name[AMOUNT];
        if (s->in->stages[i].kind == NXW_STAGE_BOTTLE && s->r->stages[i].depth_m < NXW_UNDER_M)
            add(s, "The tip of %s was not under the liquid: the gas only passed over it.",
                bottle(s, i, name));
    }
}

static void strong_peroxide(const struct sentence *s)
{
    for (size_t i = 0; i < s->r->n_stages; i++) {
        char name[AMOUNT], strength[AMOUNT];
        nxw_number_text(100.0 * s->in->stages[i].peroxide_mass_fraction, 3, strength);
        const struct nxw_stage *stage = &s->in->stages[i];
        if (stage->peroxide_mass_fraction > NXW_PEROXIDE_MOST)
            add(s,
                "Peroxide of %s wt%% was charged in %s: above " NXW_PEROXIDE_DIGITS
                " wt%% it can boil up by itself; use less.%s",
                strength, bottle(s, i, name),
                stage->acid_mass_fraction > 0.0 || stage->strong_acid_mol_m3 > 0.0
                    ? " Acid is in the same charge: never bring acid and peroxide of this strength "
                      "together; dilute the peroxide with water to " NXW_PEROXIDE_DIGITS
                      " wt% or less first, by itself."
                    : "");
    }
}

/* ------------------------------------------------------------------------ tips and pressure */

static void jetting(const struct sentence *s)
{
    for (size_t i = 0; i < s->r->n_stages; i++) {
        const struct nxw_stage_result *t = &s->r->stages[i];
        char name[AMOUNT], flow[AMOUNT], most[AMOUNT];
        if (!(t->tip_flow_m3_s > t->tip_jet_flow_m3_s))
            continue;
        nxw_flow_text(t->tip_flow_m3_s, flow);
        nxw_flow_text(t->tip_jet_flow_m3_s, most);
        if (s->in->stages[i].tip == NXW_TIP_FRIT)
            add(s,
                "The frit of %s has %s to pass at the peak, more than the %s up to which one of "
                "its size keeps its bubbles apart: bubble sizes are uncertain. A wider frit.",
                bottle(s, i, name), flow, most);
        else
            add(s,
                "The tip of %s has %s to pass at the peak, more than the %s up to which it "
                "bubbles: beyond, the gas comes as a jet, and bubble sizes are uncertain. More "
                "holes or a wider bore.",
                bottle(s, i, name), flow, most);
    }
}

static void weeping(const struct sentence *s)
{
    for (size_t i = 0; i < s->r->n_stages; i++) {
        const struct nxw_stage_result *t = &s->r->stages[i];
        const struct nxw_stage *c = &s->in->stages[i];
        char name[AMOUNT], flow[AMOUNT], all[AMOUNT];
        if (c->kind == NXW_STAGE_EMPTY || c->tip != NXW_TIP_HOLES || !(t->tip_flow_m3_s > 0.0) ||
            !(t->tip_holes_blowing < c->holes))
            continue;
        nxw_flow_text(t->tip_flow_m3_s, flow);
        nxw_flow_text(t->tip_jet_flow_m3_s, all);
        add(s,
            "The tip of %s has %s to pass at the peak; all its holes blow for sure only from %s "
            "on. Until then some stay wet: at worst one of them carries it all, in bigger bubbles. "
            "Fewer or finer holes.",
            bottle(s, i, name), flow, all);
    }
}

static void back_pressure(const struct sentence *s)
{
    char all[AMOUNT], joint[AMOUNT];
    nxw_pressure_text(s->r->glass.gauge_peak_Pa, all);
    nxw_pressure_text(s->r->glass.joint_bears_Pa, joint);
    add(s,
        "The source works against about %s, more than the %s or so that ground joints bear before "
        "they part: a coarser frit, less depth or a wider tube. Never fasten joints against "
        "pressure: glass that cannot part bursts.",
        all, joint);
}

/* ------------------------------------------------------------------------------ drawn back */

static void air_drawn(const struct sentence *s)
{
    const struct nxw_stage_result *last = &s->r->stages[s->r->n_stages - 1];
    char volume[AMOUNT], flow[AMOUNT];
    nxw_volume_text(last->drawn_back_mol * NXW_ROOM_M3_MOL, volume);
    nxw_flow_text(last->short_of_gas_mol_s * NXW_ROOM_M3_MOL, flow);
    add(s,
        "At times more gas is taken up than comes, and about %s of the room's air comes in at the "
        "vent. The glass bears that; keep the vent's end in clean air and out of any liquid.",
        volume);
    if (last->short_of_gas_mol_s > 0.0)
        add(s, "About %s of carrier gas would keep the air out.", flow);
}

/* The liquid drawn into a stage stays there: an empty vessel that is large enough. */
static bool is_held(const struct sentence *s, size_t i)
{
    const struct nxw_stage *c = &s->in->stages[i];
    return c->kind == NXW_STAGE_EMPTY && s->r->stages[i].liquid_drawn_m3 <= c->volume_m3;
}

static void liquid_drawn(const struct sentence *s)
{
    for (size_t i = 0; i + 1 < s->r->n_stages; i++) {
        const struct nxw_stage_result *t = &s->r->stages[i];
        const struct nxw_stage *c = &s->in->stages[i];
        const bool empty = c->kind == NXW_STAGE_EMPTY;
        char drawn[AMOUNT], flow[AMOUNT], need[AMOUNT], have[AMOUNT];
        if (!(t->liquid_drawn_m3 > 0.0) || is_held(s, i))
            continue;
        nxw_volume_text(t->liquid_drawn_m3, drawn);
        nxw_flow_text(t->short_of_gas_mol_s * NXW_ROOM_M3_MOL, flow);
        nxw_volume_text(t->between_needed_m3, need);
        nxw_volume_text(c->volume_m3, have);
        add(s,
            "Ahead of bottle %zu more gas is taken up than comes, and about %s of its liquid is "
            "drawn up its tube and over into stage %zu",
            i + 2, drawn, i + 1);
        if (empty)
            add(s, ", which holds only %s: at least %s would catch it", have, need);
        else
            add(s, ": an empty vessel of at least %s between the two would catch it", need);
        add(s, ", or about %s of carrier gas prevent it.", flow);
    }
}

static void peroxide_between(const struct sentence *s)
{
    for (size_t i = 0; i + 1 < s->r->n_stages; i++) {
        char mass[AMOUNT];
        nxw_mass_text(s->r->stages[i].peroxide_drawn_mol * NXW_MOLAR_MASS_H2O2_KG_MOL, 2, mass);
        if (!(s->r->stages[i].peroxide_drawn_mol > 0.0) || is_held(s, i))
            continue;
        add(s, "The liquid drawn over into stage %zu brings about %s H2O2 nearer to the source",
            i + 1, mass);
        add(s, s->in->stages[i].kind == NXW_STAGE_EMPTY
                   ? "."
                   : "; it reacts at once with the nitrous acid there, and heats it.");
    }
}

/* The carrier's part in the sentence on suck-back. */
static void carrier_advice(const struct sentence *s)
{
    const struct nxw_glass_result *g = &s->r->glass;
    const struct nxw_parameter_record *tau = nxw_parameter_record(NXW_P_vessel_cooling_time);
    const double used_s = s->in->parameters.value[NXW_P_vessel_cooling_time];
    const double need_m3_s = g->carrier_needed_mol_s * NXW_ROOM_M3_MOL;
    char need[AMOUNT], low[AMOUNT], high[AMOUNT], have[AMOUNT], time[AMOUNT], now[AMOUNT];
    nxw_flow_text(need_m3_s, need);
    nxw_flow_text(need_m3_s * used_s / fmax(tau->high, used_s), low);
    nxw_flow_text(need_m3_s * used_s / fmin(tau->low, used_s), high);
    nxw_flow_text(g->carrier_mol_s * NXW_ROOM_M3_MOL, have);
    nxw_time_text(g->carrier_needed_s, time);
    nxw_time_text(g->carrier_s, now);
    if (g->carrier_mol_s >= g->carrier_needed_mol_s)
        add(s,
            "Or leave the carrier gas on until the vessel is cool, about %s after the source "
            "instead of %s; its %s are enough (about %s are wanted; %s to %s, as it cools in hours "
            "or in minutes).",
            time, now, have, need, low, high);
    else
        add(s,
            "Or keep about %s of carrier gas on until the vessel is cool, about %s (%s to %s, as "
            "it "
            "cools in hours or in minutes).",
            need, time, low, high);
}

static void suck_back(const struct sentence *s)
{
    const struct nxw_glass_result *g = &s->r->glass;
    char risk[AMOUNT], need[AMOUNT], have[AMOUNT];
    nxw_volume_text(g->liquid_at_risk_m3, risk);
    nxw_volume_text(g->trap_needed_m3, need);
    nxw_volume_text(g->trap_m3, have);
    add(s, "When the hot vessel cools and no gas follows, about %s of liquid is drawn over to it.",
        risk);
    if (g->trap_m3 > 0.0)
        add(s,
            "The empty vessels ahead of the first bottle hold %s; to catch it with some to spare "
            "takes %s.",
            have, need);
    else
        add(s, "An empty vessel of %s ahead of the first bottle would catch it.", need);
    carrier_advice(s);
}

static void to_metal(const struct sentence *s)
{
    char risk[AMOUNT];
    nxw_volume_text(s->r->glass.liquid_at_risk_m3, risk);
    add(s,
        "What the cooling vessel draws over, about %s, meets hot metal and its salts: it spatters, "
        "and flashes to steam where they are hotter than it boils.",
        risk);
}

static void steam_burst(const struct sentence *s)
{
    char risk[AMOUNT], vessel[AMOUNT];
    nxw_volume_text(s->r->glass.liquid_at_risk_m3, risk);
    nxw_temperature_text(s->in->vessel_hot_K, vessel);
    add(s,
        "The hot vessel, at %s, is as hot as boiling water or hotter: the liquid that it draws "
        "over, about %s, flashes to steam there, spatters acid and can burst the glass.",
        vessel, risk);
}

static void peroxide_to_vessel(const struct sentence *s)
{
    char mass[AMOUNT];
    nxw_mass_text(s->r->glass.peroxide_at_risk_mol * NXW_MOLAR_MASS_H2O2_KG_MOL, 2, mass);
    add(s,
        "What the cooling vessel draws over brings about %s H2O2: on hot glass or metal salts "
        "peroxide boils up.",
        mass);
}

/* ------------------------------------------------------------------------------------------ */

/* An event's sentence, @ for the bottle. */
static const struct {
    enum nxw_warning bit;
    enum nxw_event_kind event;
    const char *format;
} FROM_EVENTS[] = {
    {NXW_WARN_OVERFULL, NXW_EVENT_OVERFULL,
     "The liquid outgrew @; the figures past that moment mean little."},
    {NXW_WARN_PEROXIDE_SPENT, NXW_EVENT_PEROXIDE_SPENT,
     "The peroxide ran out in @; from then on it worked as plain acid."},
    {NXW_WARN_ICE_GONE, NXW_EVENT_ICE_GONE,
     "The ice melted around @, before the end: have more at hand."},
    {NXW_WARN_FREEZING, NXW_EVENT_FREEZING,
     "The liquid came to its freezing point in @: ice can block the tip."},
    {NXW_WARN_WATER_NEARLY_GONE, NXW_EVENT_WATER_NEARLY_GONE,
     "The water was nearly used up in @; the run ended there."},
    {NXW_WARN_BOILING, NXW_EVENT_BOILING, "The liquid boiled in @; the run ended there."},
};

static const struct {
    enum nxw_warning bit;
    void (*write)(const struct sentence *s);
} WRITERS[] = {
    {NXW_WARN_HOT, hot},
    {NXW_WARN_HNO2_OUTSIDE_DATA, nitrous_acid},
    {NXW_WARN_HEADSPACE_SMALL, headspace},
    {NXW_WARN_SHALLOW, shallow},
    {NXW_WARN_PEROXIDE_STRONG, strong_peroxide},
    {NXW_WARN_JETTING, jetting},
    {NXW_WARN_WEEPING, weeping},
    {NXW_WARN_BACK_PRESSURE, back_pressure},
    {NXW_WARN_DRAWN_BACK, air_drawn},
    {NXW_WARN_LIQUID_DRAWN, liquid_drawn},
    {NXW_WARN_PEROXIDE_BETWEEN, peroxide_between},
    {NXW_WARN_SUCK_BACK, suck_back},
    {NXW_WARN_STEAM_BURST, steam_burst},
    {NXW_WARN_DRAWN_TO_METAL, to_metal},
    {NXW_WARN_PEROXIDE_DRAWN, peroxide_to_vessel},
};

void nxw_warning_text(const struct nxw_case *in, const struct nxw_result *result, size_t index,
                      char out[NXW_WARNING_TEXT_LENGTH])
{
    const struct sentence s = {in, result, out};
    out[0] = '\0';
    for (size_t i = 0; i < sizeof FROM_EVENTS / sizeof FROM_EVENTS[0]; i++)
        if (FROM_EVENTS[i].bit == nxw_warning_words[index].bit)
            from_event(&s, FROM_EVENTS[i].event, FROM_EVENTS[i].format);
    for (size_t i = 0; i < sizeof WRITERS / sizeof WRITERS[0]; i++)
        if (WRITERS[i].bit == nxw_warning_words[index].bit)
            WRITERS[i].write(&s);
    if (out[0] == '\0')
        (void)snprintf(out, NXW_WARNING_TEXT_LENGTH, "%s", nxw_warning_words[index].word.text);
}
