#include "study/remedy.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "case/case_fields.h"
#include "case/catalogue.h"
#include "noxwash.h"
#include "study/what_if.h"

/* What is done is a judgement of what a bench has at hand; every amount stands in the detail. */
#define FULL 0.70           /* of the bottle's volume: below the mark for spray and foam */
#define COLD_WATER_K 283.15 /* from the tap */
#define WEAK_ACID 0.05      /* mass fraction */
#define FRIT_M 0.025        /* across */
#define FRIT_GRADE 1
#define PURGE_L_MIN 0.3
#define PURGE_S 900.0
#define STANDING_S 7200.0
#define OXYGEN_OF_AIR 0.2095 /* mole fraction in dry air */
/* gas flows are counted at 20 degC and 1 atm */
#define MOL_PER_L_MIN (101325.0 / (8.31446261815324 * 293.15) * 1e-3 / 60.0)

#define SAY(...) (void)snprintf(detail, NXW_REMEDY_DETAIL, __VA_ARGS__)

static struct nxw_stage *first_bottle(struct nxw_case *c)
{
    const size_t i = nxw_first_bottle(c);
    return i < c->n_stages ? &c->stages[i] : NULL;
}

static bool no_bottle(char detail[NXW_REMEDY_DETAIL])
{
    SAY("no bottle in the train");
    return false;
}

#define REMEDY(name)                                                                               \
    static bool name(const struct nxw_case *in, const struct nxw_result *base, struct nxw_case *c, \
                     char detail[NXW_REMEDY_DETAIL])

REMEDY(deeper)
{
    struct nxw_stage *s = first_bottle(c);
    (void)in;
    (void)base;
    if (s == NULL)
        return no_bottle(detail);
    if (s->liquid_m3 > 0.95 * FULL * s->volume_m3 || !isnan(s->depth_m)) {
        SAY("the bottle is full enough, or its depth is fixed");
        return false;
    }
    s->liquid_m3 = FULL * s->volume_m3;
    SAY("%.0f mL of liquid in the same bottle", 1e6 * s->liquid_m3);
    return true;
}

REMEDY(finer)
{
    struct nxw_stage *s = first_bottle(c);
    (void)in;
    (void)base;
    if (s == NULL)
        return no_bottle(detail);
    if (s->tip == NXW_TIP_FRIT || s->tip == NXW_TIP_BUBBLE_DIAMETER) {
        SAY("the tip is a frit, or its bubbles are given");
        return false;
    }
    s->tip = NXW_TIP_FRIT;
    s->bore_m = nxw_frit_pore_m[FRIT_GRADE];
    s->holes = 1.0;
    s->frit_diameter_m = FRIT_M;
    SAY("a frit POR %d, %.0f mm across, as tip", FRIT_GRADE, 1e3 * FRIT_M);
    return true;
}

REMEDY(weak_acid)
{
    struct nxw_stage *s = first_bottle(c);
    (void)in;
    (void)base;
    if (s == NULL)
        return no_bottle(detail);
    if (s->acid_mass_fraction >= WEAK_ACID) {
        SAY("it starts from acid already");
        return false;
    }
    s->acid_mass_fraction = WEAK_ACID;
    SAY("%.0f wt%% HNO3 in place of water", 100.0 * WEAK_ACID);
    return true;
}

REMEDY(peroxide)
{
    struct nxw_stage *s = first_bottle(c);
    (void)in;
    if (s == NULL)
        return no_bottle(detail);
    const double needed_kg = nxw_peroxide_for_gas_kg(base);
    struct nxw_stage charged = *s;
    const double charged_kg = nxw_charge_peroxide(&charged, needed_kg);
    if (charged.peroxide_mass_fraction <= 1.05 * s->peroxide_mass_fraction) {
        SAY("what is charged covers the gas");
        return false;
    }
    *s = charged;
    SAY("%.3g g H2O2 (%.2g wt%%), %s", 1e3 * charged_kg, 100.0 * s->peroxide_mass_fraction,
        charged_kg < 0.99 * needed_kg ? "less than the gas can take up" : "enough for all the gas");
    return true;
}

REMEDY(ice)
{
    struct nxw_stage *s = first_bottle(c);
    (void)base;
    if (s == NULL)
        return no_bottle(detail);
    if (s->bath == NXW_BATH_ICE_WATER) {
        SAY("it stands in ice water already");
        return false;
    }
    nxw_swap_bath(in, s, true);
    SAY("%.0f g ice in water around the first bottle", 1e3 * s->ice_kg);
    return true;
}

REMEDY(cold_water)
{
    struct nxw_stage *s = first_bottle(c);
    (void)in;
    (void)base;
    if (s == NULL)
        return no_bottle(detail);
    if (s->bath == NXW_BATH_ICE_WATER ||
        (s->bath == NXW_BATH_WATER && s->bath_temperature_K <= COLD_WATER_K)) {
        SAY("it stands in something as cold already");
        return false;
    }
    s->bath = NXW_BATH_WATER;
    s->bath_temperature_K = COLD_WATER_K;
    s->liquid_temperature_K = (double)NAN;
    SAY("water of %.0f degC around the first bottle", COLD_WATER_K - 273.15);
    return true;
}

/* Bottles like the last one, charged like it, behind it. */
static bool more_bottles(struct nxw_case *c, size_t more, char detail[NXW_REMEDY_DETAIL])
{
    size_t last = c->n_stages;
    for (size_t i = 0; i < c->n_stages; i++)
        if (c->stages[i].kind == NXW_STAGE_BOTTLE)
            last = i;
    if (last == c->n_stages)
        return no_bottle(detail);
    if (c->n_stages + more > NXW_STAGES_MAX) {
        SAY("the train holds %d stages at most", (int)NXW_STAGES_MAX);
        return false;
    }
    for (size_t k = 0; k < more; k++) {
        c->stages[c->n_stages] = c->stages[last];
        c->stages[c->n_stages].bleed = (struct nxw_carrier){.gas = NXW_GAS_NONE};
        c->n_stages++;
    }
    SAY("like the last bottle, behind it and charged as it is: %.0f mL%s",
        1e6 * c->stages[last].liquid_m3, more > 1 ? " each" : "");
    return true;
}

REMEDY(one_more_bottle)
{
    (void)in;
    (void)base;
    return more_bottles(c, 1, detail);
}

REMEDY(two_more_bottles)
{
    (void)in;
    (void)base;
    return more_bottles(c, 2, detail);
}

REMEDY(oxidation_vessel)
{
    struct nxw_glass glass[NXW_CATALOGUE_MAX];
    const size_t n = nxw_glass_list(glass);
    (void)in;
    (void)base;
    for (size_t i = 0; i < n && c->n_stages < NXW_STAGES_MAX; i++) {
        if (strcmp(glass[i].name, "empty trap 500 mL") != 0)
            continue;
        memmove(&c->stages[1], &c->stages[0], c->n_stages * sizeof c->stages[0]);
        c->n_stages++;
        c->stages[1].bleed =
            (struct nxw_carrier){.gas = NXW_GAS_NONE}; /* now ahead of the vessel */
        struct nxw_stage *s = &c->stages[0];
        s->kind = NXW_STAGE_EMPTY;
        s->volume_m3 = glass[i].volume_m3;
        s->inner_diameter_m = glass[i].inner_diameter_m;
        s->wall_thickness_m = glass[i].wall_thickness_m;
        s->liquid_m3 = s->peroxide_mass_fraction = s->acid_mass_fraction = 0.0;
        s->bath = NXW_BATH_AIR;
        s->bath_temperature_K = c->surroundings_temperature_K;
        s->ice_kg = 0.0;
        SAY("an empty vessel of 500 mL ahead of the first bottle");
        return true;
    }
    SAY("the train is full");
    return false;
}

REMEDY(less_carrier)
{
    (void)in;
    (void)base;
    if (c->carrier.gas == NXW_GAS_NONE || !(c->carrier.flow_mol_s > 0.0)) {
        SAY("there is no carrier gas");
        return false;
    }
    c->carrier.flow_mol_s *= 0.5;
    SAY("half of it: %.2g L/min", c->carrier.flow_mol_s / MOL_PER_L_MIN);
    return true;
}

/* The same gas in twice the time; a gas led in that ends keeps its distance from the end. */
REMEDY(slower)
{
    struct nxw_source *s = &c->source;
    (void)in;
    (void)base;
    const bool flows = s->kind == NXW_SOURCE_METERED || s->kind == NXW_SOURCE_TABLE;
    for (size_t i = 0; i < s->n_rows; i++) {
        double *const row[] = {&s->rows[i].NO_mol_s,   &s->rows[i].NO2_mol_s,
                               &s->rows[i].HNO2_mol_s, &s->rows[i].HNO3_mol_s,
                               &s->rows[i].O2_mol_s,   &s->rows[i].inert_mol_s,
                               &s->rows[i].H2O_mol_s};
        s->rows[i].time_s *= 2.0;
        for (size_t k = 0; flows && k < sizeof row / sizeof row[0]; k++)
            *row[k] *= 0.5;
    }
    s->flow_mol_s *= 0.5;
    if (isfinite(c->carrier.until_s) && c->carrier.until_s > 0.0)
        c->carrier.until_s += s->duration_s;
    for (size_t i = 0; i < c->n_stages; i++)
        if (c->stages[i].bleed.gas != NXW_GAS_NONE)
            c->stages[i].bleed.until_s += s->duration_s; /* infinity stays */
    s->duration_s *= 2.0;
    SAY("the same gas over %.3g min instead of %.3g min", s->duration_s / 60.0,
        s->duration_s / 120.0);
    return true;
}

/* Twice the oxygen that the NO fed and the third of the NO2 that comes back as NO can take up. */
static bool bleed(const struct nxw_result *base, struct nxw_case *c, enum nxw_gas gas,
                  char detail[NXW_REMEDY_DETAIL])
{
    struct nxw_carrier *b = &c->stages[0].bleed;
    if (b->gas != NXW_GAS_NONE) {
        SAY("a gas is led in there already");
        return false;
    }
    const double oxygen_mol = base->fed_NO_mol + base->fed_NO2_mol / 3.0;
    *b = (struct nxw_carrier){.gas = gas, .until_s = c->source.duration_s};
    b->flow_mol_s = oxygen_mol / c->source.duration_s / (gas == NXW_GAS_AIR ? OXYGEN_OF_AIR : 1.0);
    SAY("%.2g L/min of %s ahead of the train while gas comes", b->flow_mol_s / MOL_PER_L_MIN,
        gas == NXW_GAS_AIR ? "air" : "oxygen");
    return b->flow_mol_s > 0.0;
}

REMEDY(air_bleed)
{
    (void)in;
    return bleed(base, c, NXW_GAS_AIR, detail);
}

REMEDY(oxygen_bleed)
{
    (void)in;
    return bleed(base, c, NXW_GAS_OXYGEN, detail);
}

bool nxw_purge_apply(struct nxw_case *c, double duration_s, char detail[NXW_REMEDY_DETAIL])
{
    struct nxw_carrier *g = &c->carrier;
    if (g->gas == NXW_GAS_NONE)
        *g = (struct nxw_carrier){.gas = NXW_GAS_AIR,
                                  .flow_mol_s = PURGE_L_MIN * MOL_PER_L_MIN,
                                  .from_s = c->source.duration_s,
                                  .until_s = c->source.duration_s};
    else if (!isfinite(g->until_s) || g->until_s >= c->source.duration_s + duration_s) {
        SAY("gas goes through long enough already");
        return false;
    }
    g->until_s = c->source.duration_s + duration_s;
    const char *gas = g->gas == NXW_GAS_AIR ? "air" : "the carrier gas";
    if (g->from_s >= c->source.duration_s)
        SAY("%.2g L/min of %s, only when the source has ended and for %.0f min",
            g->flow_mol_s / MOL_PER_L_MIN, gas, duration_s / 60.0);
    else
        SAY("%.2g L/min of %s kept on until %.0f min after the source has ended",
            g->flow_mol_s / MOL_PER_L_MIN, gas, duration_s / 60.0);
    return true;
}

REMEDY(purge)
{
    (void)in;
    (void)base;
    return nxw_purge_apply(c, PURGE_S, detail);
}

REMEDY(standing)
{
    (void)in;
    (void)base;
    c->standing_s += STANDING_S;
    SAY("%.0f h longer, open to the vent, under the hood", STANDING_S / 3600.0);
    return true;
}

enum { COOLING = 1, BOTTLES = 2, BLEEDING = 4 };

/* In the order in which they are put on one case: the charge before bottles are copied from it. */
const struct nxw_remedy nxw_remedies[NXW_REMEDY_COUNT] = {
    {"deeper liquid", 0, deeper},
    {"finer bubbles", 0, finer},
    {"weak acid to start", 0, weak_acid},
    {"peroxide", 0, peroxide},
    {"ice", COOLING, ice},
    {"cold water", COOLING, cold_water},
    {"one more bottle", BOTTLES, one_more_bottle},
    {"two more bottles", BOTTLES, two_more_bottles},
    {"empty oxidation vessel", 0, oxidation_vessel},
    {"less carrier gas", 0, less_carrier},
    {"slower release", 0, slower},
    {"air led in", BLEEDING, air_bleed},
    {"oxygen led in", BLEEDING, oxygen_bleed},
    {"purging with air", 0, purge},
    {"longer standing", 0, standing},
};

bool nxw_remedy_is_purge(const struct nxw_remedy_run *run)
{
    return run->n == 1 && nxw_remedies[run->index[0]].apply == purge;
}

bool nxw_remedy_is_peroxide(const struct nxw_remedy_run *run)
{
    return run->n == 1 && nxw_remedies[run->index[0]].apply == peroxide;
}
