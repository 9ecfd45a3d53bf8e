#include "study/size_arrange.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/tree.h"
#include "noxwash.h"
#include "study/what_if.h"

#define FILL 0.6            /* liquid in the glass, as the default bottle */
#define OTHERS_PEROXIDE 0.1 /* in each further bottle, of what the first one is charged with */
#define LEAST_M3 25e-6      /* doubled six times: 1600 mL */
#define LEAST_DEPTH 0.25    /* of the depth as it is */
#define COARSEST_BUBBLE_M 8e-3
#define FINEST_BUBBLE_M 1e-3
#define MOST_PEROXIDE 1.25 /* of enough for the gas: its side loss may pass the margin */
#define LEAST_ICE_KG 25e-3 /* doubled six times: 1.6 kg */
#define ICE_KG 0.4

enum { DOUBLINGS = 6 };

const char *const nxw_free_words[NXW_FREE_COUNT] = {"bottles", "volume",   "depth",
                                                    "tip",     "peroxide", "ice"};

/* --------------------------------------------------------------------------- what is free */

static bool read_word(const char *word, struct nxw_free *out)
{
    for (int q = 0; q < NXW_FREE_COUNT; q++) {
        if (strcmp(word, nxw_free_words[q]) != 0)
            continue;
        if (out->may[q])
            (void)fprintf(stderr, "noxwash: --free: '%s' stands twice\n", word);
        else if (out->lead == NXW_FREE_BOTTLES)
            out->lead = (enum nxw_free_quantity)q;
        const bool once = !out->may[q];
        out->may[q] = true;
        return once;
    }
    const char *near = nxw_nearest_word(word, nxw_free_words, NXW_FREE_COUNT);
    (void)fprintf(stderr,
                  "noxwash: --free: '%.40s' is nothing that can be free%s%s%s; there are volume, "
                  "depth, tip, bottles, peroxide and ice\n",
                  word, near != NULL ? "; did you mean '" : "", near != NULL ? near : "",
                  near != NULL ? "'?" : "");
    return false;
}

bool nxw_free_read(const char *text, struct nxw_free *out)
{
    char copy[128], *rest = copy;
    *out = (struct nxw_free){.chosen = text != NULL, .lead = NXW_FREE_BOTTLES};
    if (text != NULL && strlen(text) >= sizeof copy) {
        (void)fputs("noxwash: --free: too long\n", stderr);
        return false;
    }
    (void)snprintf(copy, sizeof copy, "%s", text != NULL ? text : "volume,bottles,peroxide,ice");
    while (rest != NULL) {
        char *word = rest + strspn(rest, " "), *comma = strchr(word, ',');
        rest = comma != NULL ? comma + 1 : NULL;
        if (comma != NULL)
            *comma = '\0';
        for (size_t n = strlen(word); n > 0 && word[n - 1] == ' '; n--)
            word[n - 1] = '\0';
        if (!read_word(word, out))
            return false;
    }
    return true;
}

void nxw_free_keep(struct nxw_free *free, const struct nxw_case *in)
{
    if (free->chosen)
        return;
    free->may[NXW_FREE_PEROXIDE] = !(nxw_case_peroxide_kg(in) > 0.0);
    free->may[NXW_FREE_ICE] = !(nxw_case_ice_kg(in) > 0.0);
}

/* ------------------------------------------------------------------------------ one bottle */

static double area_m2(const struct nxw_stage *s)
{
    return 0.25 * 3.14159265358979 * s->inner_diameter_m * s->inner_diameter_m;
}

static double depth_m(const struct nxw_stage *s)
{
    return isnan(s->depth_m) ? fmax(s->liquid_m3 / area_m2(s) - s->tip_clearance_m, 0.0)
                             : s->depth_m;
}

double nxw_below_tip_m3(const struct nxw_stage *s)
{
    return s->liquid_m3 - area_m2(s) * fmin(depth_m(s), s->liquid_m3 / area_m2(s));
}

static void grow(struct nxw_stage *b, double ratio)
{
    const double scale = cbrt(ratio);
    b->volume_m3 *= ratio;
    b->liquid_m3 *= ratio;
    b->inner_diameter_m *= scale;
    b->depth_m *= scale; /* NAN stays: from the level */
}

/* A tip whose depth is given keeps its height above the bottom. false: too full. */
static bool deepen(struct nxw_stage *b, double multiple)
{
    const double more_m = (multiple - 1.0) * depth_m(b);
    b->liquid_m3 += area_m2(b) * more_m;
    b->depth_m += more_m; /* NAN stays */
    return b->liquid_m3 <= NXW_FULLEST * b->volume_m3 * (1.0 + 1e-9);
}

static double peroxide_kg(const struct nxw_stage *b)
{
    return b->peroxide_mass_fraction * b->liquid_m3 *
           nxw_liquid_density_kg_m3(b->acid_mass_fraction, b->peroxide_mass_fraction, 293.15);
}

/* What a bottle that had so much is charged with at a value. */
static double charged(bool case_has, double had, double value, double full)
{
    if (!case_has)
        return value * full;
    return value <= 1.0 ? value * had : fmax(had, (value - 1.0) * full);
}

static void charge(const struct nxw_size_base *base, struct nxw_stage *b, double value,
                   size_t number)
{
    const double had = b->peroxide_mass_fraction, had_kg = peroxide_kg(b);
    const double full_kg = base->peroxide_kg * (number == 0 ? 1.0 : OTHERS_PEROXIDE);
    const double now_kg = charged(base->has[NXW_FREE_PEROXIDE], had_kg, value, full_kg);
    if (now_kg == had_kg)
        return;
    b->peroxide_mass_fraction = 0.0;
    if (now_kg > 0.0)
        (void)nxw_charge_peroxide(b, now_kg);
    if (now_kg > had_kg) /* NXW_PEROXIDE_MOST, but not less than it had */
        b->peroxide_mass_fraction = fmax(b->peroxide_mass_fraction, had);
}

static void cool(const struct nxw_size_base *base, struct nxw_stage *b, double value)
{
    const bool iced = b->bath == NXW_BATH_ICE_WATER;
    if (base->has[NXW_FREE_ICE] && value == 1.0)
        return; /* as it is, be it a bath whose ice has melted */
    const double now_kg = charged(base->has[NXW_FREE_ICE], iced ? b->ice_kg : 0.0, value, 1.0);
    if (iced != (now_kg > 0.0))
        nxw_swap_bath(base->in, b, !iced);
    b->ice_kg = now_kg;
}

/* A bottle as it is before anything is changed. */
static struct nxw_stage plain(const struct nxw_size_base *base, size_t stage)
{
    struct nxw_stage b = base->in->stages[stage];
    if (!base->free->chosen)
        b.liquid_m3 = FILL * b.volume_m3;
    return b;
}

/* number: of the bottle, from 0. */
static bool change(const struct nxw_size_base *base, const struct nxw_arrangement *a, size_t number,
                   struct nxw_stage *b)
{
    const bool *may = base->free->may;
    const double *value = a->value;
    bool fits = true;
    if (may[NXW_FREE_VOLUME])
        grow(b, value[NXW_FREE_VOLUME] / plain(base, base->first).liquid_m3);
    if (may[NXW_FREE_DEPTH] && value[NXW_FREE_DEPTH] != 1.0)
        fits = deepen(b, value[NXW_FREE_DEPTH]);
    if (may[NXW_FREE_TIP] && !isnan(value[NXW_FREE_TIP])) {
        b->tip = NXW_TIP_BUBBLE_DIAMETER;
        b->bubble_diameter_m = value[NXW_FREE_TIP];
    }
    const bool further = number >= base->own; /* brings no peroxide or ice of the first with it */
    if (may[NXW_FREE_PEROXIDE]) {
        b->peroxide_mass_fraction = further ? 0.0 : b->peroxide_mass_fraction;
        charge(base, b, value[NXW_FREE_PEROXIDE], number);
    }
    if (may[NXW_FREE_ICE]) {
        if (further && b->bath == NXW_BATH_ICE_WATER)
            nxw_swap_bath(base->in, b, false);
        cool(base, b, value[NXW_FREE_ICE]);
    }
    return fits;
}

/* ------------------------------------------------------------------------------- the train */

static bool has_the_size_of(const struct nxw_stage *s, const struct nxw_stage *first)
{
    return fabs(s->volume_m3 / first->volume_m3 - 1.0) < 1e-9 &&
           fabs(s->liquid_m3 / first->liquid_m3 - 1.0) < 1e-9 &&
           fabs(depth_m(s) - depth_m(first)) < 1e-9;
}

static void sum_up(const struct nxw_case *c, struct nxw_arrangement *a)
{
    const struct nxw_stage *first = &c->stages[nxw_first_bottle(c)];
    a->liquid_m3 = first->liquid_m3;
    a->bottle_m3 = first->volume_m3;
    a->depth_m = depth_m(first);
    a->bubble_m = first->tip == NXW_TIP_BUBBLE_DIAMETER ? first->bubble_diameter_m : (double)NAN;
    a->peroxide_mass_fraction = first->peroxide_mass_fraction;
    a->peroxide_kg = nxw_case_peroxide_kg(c);
    a->ice_kg = nxw_case_ice_kg(c);
    a->bottles = 0;
    a->alike = true;
    for (size_t i = 0; i < c->n_stages; i++)
        if (c->stages[i].kind == NXW_STAGE_BOTTLE) {
            a->bottles++;
            a->alike = a->alike && has_the_size_of(&c->stages[i], first);
        }
}

struct nxw_size_base nxw_size_base_of(const struct nxw_case *in, const struct nxw_free *free,
                                      double peroxide_kg)
{
    struct nxw_size_base base = {
        .in = in, .free = free, .first = nxw_first_bottle(in), .peroxide_kg = peroxide_kg};
    for (size_t i = 0; i < in->n_stages; i++)
        base.own += in->stages[i].kind == NXW_STAGE_BOTTLE;
    base.has[NXW_FREE_PEROXIDE] = nxw_case_peroxide_kg(in) > 0.0;
    base.has[NXW_FREE_ICE] = nxw_case_ice_kg(in) > 0.0;
    return base;
}

/* One more stage with a bottle's changes; false: no room for it, or for its liquid. */
static bool put(const struct nxw_size_base *base, const struct nxw_arrangement *a, size_t from,
                size_t number, struct nxw_case *out)
{
    if (out->n_stages == NXW_STAGES_MAX)
        return false;
    struct nxw_stage *s = &out->stages[out->n_stages++];
    *s = plain(base, from);
    if (number >= base->own)
        s->bleed = (struct nxw_carrier){.gas = NXW_GAS_NONE};
    return change(base, a, number, s);
}

bool nxw_arrange(const struct nxw_size_base *base, struct nxw_arrangement *a, struct nxw_case *out)
{
    const struct nxw_case *in = base->in;
    const size_t wanted = !a->as_it_is && base->free->may[NXW_FREE_BOTTLES]
                              ? (size_t)a->value[NXW_FREE_BOTTLES]
                              : base->own;
    size_t number = 0;
    bool fits = true;
    *out = *in;
    out->n_stages = a->as_it_is ? in->n_stages : 0;
    for (size_t i = 0; i < in->n_stages && !a->as_it_is; i++) {
        if (in->stages[i].kind == NXW_STAGE_EMPTY) {
            if (out->n_stages == NXW_STAGES_MAX)
                return false;
            out->stages[out->n_stages++] = in->stages[i];
            continue;
        }
        if (number < wanted)
            fits = put(base, a, i, number, out) && fits;
        number++;
        for (; number >= base->own && number < wanted; number++)
            fits = put(base, a, base->first, number, out) && fits;
    }
    sum_up(out, a);
    return fits;
}

/* ------------------------------------------------------------------------------ the ladder */

/* Multiple of the first bottle's depth that fills it as far as it may be. */
static double fullest_multiple(const struct nxw_size_base *base)
{
    const struct nxw_stage b = plain(base, base->first);
    return 1.0 + (NXW_FULLEST * b.volume_m3 - b.liquid_m3) / area_m2(&b) / depth_m(&b);
}

size_t nxw_lead_points(const struct nxw_size_base *base, const struct nxw_arrangement *kind,
                       double out[NXW_LEAD_POINTS_MAX])
{
    const enum nxw_free_quantity lead = base->free->lead;
    const double fullest = fullest_multiple(base);
    const double ends[NXW_FREE_COUNT][2] = {
        [NXW_FREE_VOLUME] = {LEAST_M3, LEAST_M3 * (1u << DOUBLINGS)},
        [NXW_FREE_DEPTH] = {LEAST_DEPTH, fmax(fullest, LEAST_DEPTH)},
        [NXW_FREE_TIP] = {COARSEST_BUBBLE_M, FINEST_BUBBLE_M},
        [NXW_FREE_PEROXIDE] = {1.0 / (1u << DOUBLINGS), MOST_PEROXIDE},
        [NXW_FREE_ICE] = {LEAST_ICE_KG, LEAST_ICE_KG * (1u << DOUBLINGS)}};
    size_t n = 0;
    if (lead == NXW_FREE_BOTTLES) {
        out[n++] = kind->value[NXW_FREE_BOTTLES];
        return n;
    }
    if (lead == NXW_FREE_PEROXIDE || lead == NXW_FREE_ICE)
        out[n++] = 0.0;
    for (int i = DOUBLINGS; base->has[lead] && i >= 0; i--)
        out[n++] = 1.0 / (double)(1u << i); /* of what the case has */
    for (int i = 0; i <= DOUBLINGS; i++)
        out[n++] = (base->has[lead] ? 1.0 : 0.0) +
                   ends[lead][0] * pow(ends[lead][1] / ends[lead][0], (double)i / DOUBLINGS);
    return n;
}

enum { STEPS = 3 };

/* Steps of a quantity that does not lead; of peroxide and ice what the case has is one. */
static size_t steps(const struct nxw_size_base *base, int q, double out[STEPS])
{
    const double liquid_m3 = plain(base, base->first).liquid_m3, deep = fullest_multiple(base);
    const double values[NXW_FREE_COUNT][STEPS] = {
        [NXW_FREE_BOTTLES] = {1, 2, 3},
        [NXW_FREE_VOLUME] = {liquid_m3, 2.0 * liquid_m3, 4.0 * liquid_m3},
        [NXW_FREE_DEPTH] = {1.0, deep},
        [NXW_FREE_TIP] = {(double)NAN, NXW_CHANGE_BUBBLE_M},
        [NXW_FREE_PEROXIDE] = {0.0, 1.0},
        [NXW_FREE_ICE] = {0.0, ICE_KG}};
    static const size_t n[NXW_FREE_COUNT] = {3, 3, 2, 2, 2, 2};
    const struct nxw_free *free = base->free;
    memcpy(out, values[q], sizeof values[q]);
    if (!free->may[q] || (q == (int)free->lead && q != NXW_FREE_BOTTLES))
        return 1;
    if (!base->has[q])
        return n[q];
    out[2] = 1.0 + out[1];
    out[1] = 1.0; /* as it is */
    return 3;
}

size_t nxw_kind_count(const struct nxw_size_base *base)
{
    double values[STEPS];
    size_t n = 1;
    for (int q = 0; q < NXW_FREE_COUNT; q++)
        n *= steps(base, q, values);
    return n;
}

bool nxw_kind(const struct nxw_size_base *base, size_t number, struct nxw_arrangement *out)
{
    *out = (struct nxw_arrangement){0};
    for (int q = NXW_FREE_COUNT - 1; q >= 0; q--) {
        double values[STEPS];
        const size_t n = steps(base, q, values);
        out->value[q] = values[number % n];
        number /= n;
    }
    const bool deeper = out->value[NXW_FREE_DEPTH] != 1.0;
    return !deeper || fullest_multiple(base) > 1.02; /* else it is full as it is */
}

double nxw_lead_shown(const struct nxw_free *free, const struct nxw_arrangement *a)
{
    const double shown[NXW_FREE_COUNT] = {(double)a->bottles,   a->liquid_m3 * 1e6,
                                          a->depth_m * 1e3,     a->bubble_m * 1e3,
                                          a->peroxide_kg * 1e3, a->ice_kg * 1e3};
    return shown[free->lead];
}
