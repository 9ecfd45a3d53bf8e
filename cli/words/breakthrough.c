/*
 * People first; then, only where it can be done without breathing fumes, what stops the gas and
 * does not make things worse. What could make them worse:
 *
 *   purge  trap  heat stopped at once   so
 *   no     no    liquid is sucked back  break the suction first: lift the inlet tube, or open the
 *                and flashes to steam   vessel's vent into the hood; only then stop the heat.
 *                                       Where that cannot be reached, all stays as it is
 *   no     yes   the trap holds it      stop the heat
 *   yes    no    the purge holds it     stop the heat, leave the purge on until the vessel is cold;
 *                off while it runs      lift the tube if liquid climbs it all the same
 *   yes    yes   either holds it        stop the heat, leave the purge on
 *
 * A purge into a blocked tip or vent builds pressure up, and shut off it lets the vessel suck: then
 * nobody goes near, and only what can be shut off from outside the hood is. Gas from a valve comes
 * on until the valve is closed, and no steam waits behind it: there the valve comes first, then the
 * tube. A source known by a table alone may be hot.
 *
 * Common practice, no source.
 */
#include "words/breakthrough.h"

#include <math.h>
#include <stdio.h>

/* What must flow where no vessel is given: 0.16 L/min keeps half a litre of steam at 120 degC full
 * while it cools with a time constant of ten minutes (nxw_cooling_carrier_mol_s). Judgement. */
#define LEAST_MOL_S 1.1e-4

static bool has_hot_vessel(const struct nxw_case *in);

static bool purges(const struct nxw_case *in, const struct nxw_result *r)
{
    const struct nxw_glass_result *g = &r->glass;
    if (!(in->vessel_volume_m3 > 0.0) && has_hot_vessel(in) && in->carrier.flow_mol_s < LEAST_MOL_S)
        return false;
    if (in->carrier.gas == NXW_GAS_NONE || !(in->carrier.flow_mol_s > 0.0) ||
        in->carrier.from_s > 0.0 || !(g->carrier_s > 0.0))
        return false;
    /* too weak for the vessel that is given: it would suck all the same */
    return !(isfinite(g->carrier_needed_mol_s) && g->liquid_at_risk_m3 > 0.0 &&
             g->carrier_mol_s < g->carrier_needed_mol_s);
}

unsigned nxw_guards(const struct nxw_case *in, const struct nxw_result *r)
{
    double liquid_m3 = 0.0, trap_m3 = 0.0;
    for (size_t i = 0; i < in->n_stages; i++)
        if (in->stages[i].kind == NXW_STAGE_BOTTLE)
            liquid_m3 += fmax(in->stages[i].liquid_m3, r->stages[i].liquid_m3);
        else if (!(liquid_m3 > 0.0))
            trap_m3 += in->stages[i].volume_m3;
    if (!(liquid_m3 > 0.0))
        return NXW_GUARD_DRY | (purges(in, r) ? NXW_GUARD_PURGE : 0u);
    /* trap_needed_m3, with its margin, is NAN where no vessel is given */
    const bool traps = trap_m3 >= liquid_m3 && !(trap_m3 < r->glass.trap_needed_m3);
    return (traps ? NXW_GUARD_TRAP : 0u) | (purges(in, r) ? NXW_GUARD_PURGE : 0u);
}

/* May a vessel be so hot that it sucks as it cools? */
static bool has_hot_vessel(const struct nxw_case *in)
{
    if (in->source.kind == NXW_SOURCE_ACID_VAPOUR || in->source.kind == NXW_SOURCE_METAL)
        return true;
    if (in->vessel_volume_m3 > 0.0)
        return in->vessel_hot_K > in->vessel_cool_K + 10.0;
    return in->source.kind == NXW_SOURCE_TABLE;
}

/* "take the heat away" */
static const char *stop(const struct nxw_case *in)
{
    static const char *const words[] = {
        [NXW_SOURCE_ACID_VAPOUR] = "take the heat away",
        [NXW_SOURCE_METAL] = "take the heat away",
        [NXW_SOURCE_METERED] = "close the valve of the source",
        [NXW_SOURCE_TABLE] = "stop the source",
    };
    return words[in->source.kind];
}

/* With neither purge nor trap. */
static void unguarded(const struct nxw_case *in, char out[NXW_BREAKTHROUGH_LENGTH / 2])
{
    const bool valve = in->source.kind == NXW_SOURCE_METERED;
    if (!has_hot_vessel(in))
        (void)snprintf(out, NXW_BREAKTHROUGH_LENGTH / 2,
                       "%s, then lift the inlet tube out of the liquid, or liquid is sucked back "
                       "towards the source.",
                       stop(in));
    else
        (void)snprintf(
            out, NXW_BREAKTHROUGH_LENGTH / 2,
            "first break the suction: lift the inlet tube out of the liquid or open the "
            "hot vessel's vent to the hood; only then %s.%s",
            stop(in), valve ? "" : " If that cannot be reached, leave all as it is and stay away.");
}

static void purged(const struct nxw_case *in, unsigned guards,
                   char out[NXW_BREAKTHROUGH_LENGTH / 2])
{
    (void)snprintf(
        out, NXW_BREAKTHROUGH_LENGTH / 2,
        "%s and leave the purge gas on%s.%s Should a tip or the vent be blocked, keep "
        "away, since the glass can burst, and shut off only what can be shut off from "
        "outside the hood.",
        stop(in), has_hot_vessel(in) ? " until the hot vessel is cold" : "",
        guards == NXW_GUARD_PURGE
            ? " Should liquid climb the inlet tube all the same, lift the tube out of it."
            : "");
}

void nxw_breakthrough_text(const struct nxw_case *in, const struct nxw_result *result,
                           char out[NXW_BREAKTHROUGH_LENGTH])
{
    static const char people[] =
        "If fumes break through: everyone leaves first; nobody stays or goes back to save a run. "
        "Only where the hood draws and it can be done without breathing fumes: ";
    if (in == NULL) {
        (void)snprintf(out, NXW_BREAKTHROUGH_LENGTH,
                       "%sclose a cylinder's valve at once. Where a purge runs, take the heat away "
                       "and leave the purge on; where an empty vessel ahead of the first bottle "
                       "holds all the liquid, take the heat away; with neither, first lift the "
                       "inlet tube out of the liquid or open the hot vessel's vent to the hood. "
                       "Should a tip or the vent be blocked, keep away.",
                       people);
        return;
    }
    const unsigned guards = nxw_guards(in, result);
    char act[NXW_BREAKTHROUGH_LENGTH / 2];
    if (guards == NXW_GUARD_NONE)
        unguarded(in, act);
    else if ((guards & NXW_GUARD_PURGE) != 0)
        purged(in, guards, act);
    else
        (void)snprintf(
            act, sizeof act, "%s%s.", stop(in),
            guards == NXW_GUARD_TRAP
                ? "; the empty vessel ahead of the first bottle holds what is sucked back"
                : "");
    (void)snprintf(out, NXW_BREAKTHROUGH_LENGTH, "%s%s%s", people, act,
                   in->source.kind == NXW_SOURCE_METAL
                       ? " The metal goes on giving off gas until it is used up."
                       : "");
}

const char *nxw_ending_text(const struct nxw_case *in, const struct nxw_result *result)
{
    const unsigned guards = nxw_guards(in, result);
    const bool hot = has_hot_vessel(in);
    if ((guards & NXW_GUARD_DRY) != 0)
        return "";
    if ((guards & NXW_GUARD_PURGE) != 0)
        return hot ? "The purge gas stays on until the hot vessel is cold; nothing is sucked back."
                   : "The purge gas stays on after the source; nothing is sucked back.";
    if ((guards & NXW_GUARD_TRAP) != 0)
        return "What is sucked back stands in the empty vessel ahead of the first bottle.";
    return hot ? "Before the heat stops: the inlet tube is lifted out of the liquid, or the hot "
                 "vessel's vent is open to the hood, so that nothing is sucked back."
               : "The source is shut off and the inlet tube lifted out of the liquid at once, "
                 "before liquid is sucked back.";
}
