#include "size_arrange.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "report_words.h"
#include "tree.h"
#include "what_if.h"

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

static void cool(const struct nxw_size_base *base, struct nxw_stage *b, double ice_kg)
{
    if (ice_kg > 0.0) {
        nxw_swap_bath(base->in, b, true);
        b->ice_kg = ice_kg;
    } else if (b->bath == NXW_BATH_ICE_WATER)
        nxw_swap_bath(base->in, b, false);
}

/* The first bottle as it is before anything is changed. */
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
    if (may[NXW_FREE_PEROXIDE]) {
        const double share = value[NXW_FREE_PEROXIDE] * (number == 0 ? 1.0 : OTHERS_PEROXIDE);
        b->peroxide_mass_fraction = 0.0;
        if (share > 0.0)
            (void)nxw_charge_peroxide(b, share * base->peroxide_kg);
    }
    if (may[NXW_FREE_ICE])
        cool(base, b, value[NXW_FREE_ICE]);
    return fits;
}

/* ------------------------------------------------------------------------------- the train */

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
    for (size_t i = 0; i < c->n_stages; i++)
        a->bottles += c->stages[i].kind == NXW_STAGE_BOTTLE;
}

bool nxw_arrange(const struct nxw_size_base *base, struct nxw_arrangement *a, struct nxw_case *out)
{
    const bool alike = base->free->may[NXW_FREE_BOTTLES];
    size_t n = 0, number = 0;
    bool fits = true;
    *out = *base->in;
    for (size_t i = 0; i < base->in->n_stages; i++) {
        const bool empty = base->in->stages[i].kind == NXW_STAGE_EMPTY;
        if (!empty && alike && i != base->first)
            continue;
        const size_t more = empty || !alike ? 1 : (size_t)a->value[NXW_FREE_BOTTLES];
        if (n + more > NXW_STAGES_MAX)
            return false;
        for (size_t k = 0; k < more; k++) {
            struct nxw_stage *s = &out->stages[n++];
            *s = empty ? base->in->stages[i] : plain(base, i);
            if (k > 0)
                s->bleed = (struct nxw_carrier){.gas = NXW_GAS_NONE};
            if (!empty)
                fits = change(base, a, number++, s) && fits;
        }
    }
    out->n_stages = n;
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
    for (int i = 0; i <= DOUBLINGS; i++)
        out[n++] = ends[lead][0] * pow(ends[lead][1] / ends[lead][0], (double)i / DOUBLINGS);
    return n;
}

/* Steps of a quantity that does not lead. */
static size_t steps(const struct nxw_free *free, int q)
{
    static const size_t n[NXW_FREE_COUNT] = {3, 3, 2, 2, 2, 2};
    return free->may[q] && (q != (int)free->lead || q == NXW_FREE_BOTTLES) ? n[q] : 1;
}

size_t nxw_kind_count(const struct nxw_free *free)
{
    size_t n = 1;
    for (int q = 0; q < NXW_FREE_COUNT; q++)
        n *= steps(free, q);
    return n;
}

bool nxw_kind(const struct nxw_size_base *base, size_t number, struct nxw_arrangement *out)
{
    const double liquid_m3 = plain(base, base->first).liquid_m3, deep = fullest_multiple(base);
    const double values[NXW_FREE_COUNT][3] = {
        [NXW_FREE_BOTTLES] = {1, 2, 3},
        [NXW_FREE_VOLUME] = {liquid_m3, 2.0 * liquid_m3, 4.0 * liquid_m3},
        [NXW_FREE_DEPTH] = {1.0, deep},
        [NXW_FREE_TIP] = {(double)NAN, NXW_CHANGE_BUBBLE_M},
        [NXW_FREE_PEROXIDE] = {0.0, 1.0},
        [NXW_FREE_ICE] = {0.0, ICE_KG}};
    *out = (struct nxw_arrangement){0};
    for (int q = NXW_FREE_COUNT - 1; q >= 0; q--) {
        const size_t n = steps(base->free, q);
        out->value[q] = values[q][number % n];
        number /= n;
    }
    const bool deeper = out->value[NXW_FREE_DEPTH] != 1.0;
    return !deeper || deep > 1.02; /* else it is full as it is */
}

double nxw_lead_shown(const struct nxw_free *free, const struct nxw_arrangement *a)
{
    const double shown[NXW_FREE_COUNT] = {(double)a->bottles,   a->liquid_m3 * 1e6,
                                          a->depth_m * 1e3,     a->bubble_m * 1e3,
                                          a->peroxide_kg * 1e3, a->ice_kg * 1e3};
    return shown[free->lead];
}
