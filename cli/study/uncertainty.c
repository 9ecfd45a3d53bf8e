#include "study/uncertainty.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/constant_kinds.h"
#include "base/latin_hypercube.h"
#include "base/many_runs.h"
#include "base/progress.h"
#include "base/text_layout.h"
#include "case/gravity.h"
#include "study/hood_air.h"
#include "study/what_if.h"

#define LEAST_MG_MIN 1e-9 /* less counts as this */

enum input {
    INPUT_AMOUNT,
    INPUT_SHARE,
    INPUT_DURATION,
    INPUT_CARRIER,
    INPUT_LIQUID,
    INPUT_DEPTH,
    INPUT_TEMPERATURE,
    INPUT_COUNT
};
static const struct {
    const char *name;
    enum nxw_parameter_id error;
} INPUTS[INPUT_COUNT] = {
    {"amount of gas", NXW_P_error_gas_amount},
    {"share of NO2 in it", NXW_P_error_gas_share},
    {"how long it comes", NXW_P_error_duration},
    {"flow of the carrier", NXW_P_error_carrier},
    {"liquid filled in", NXW_P_error_liquid},
    {"depth of the tip", NXW_P_error_depth},
    {"temperature of the room", NXW_P_error_room_temperature},
};

/* -------------------------------------------------------------------------- moving a factor */

static double limited(double x, double low, double high)
{
    return x < low ? low : x > high ? high : x;
}

/* The gas in all: the same course, more or less of it. */
static void move_amount(struct nxw_source *s, double factor)
{
    s->acid_made_mol *= factor;
    s->metal_mol *= factor;
    s->flow_mol_s *= factor;
    for (size_t i = 0; i < s->n_rows && s->kind == NXW_SOURCE_TABLE; i++) {
        struct nxw_source_row *r = &s->rows[i];
        double *flows[] = {&r->NO_mol_s, &r->NO2_mol_s,   &r->HNO2_mol_s, &r->HNO3_mol_s,
                           &r->O2_mol_s, &r->inert_mol_s, &r->H2O_mol_s};
        for (size_t k = 0; k < sizeof flows / sizeof flows[0]; k++)
            *flows[k] *= factor;
    }
}

static void move_share(struct nxw_source *s, double factor)
{
    switch (s->kind) {
    case NXW_SOURCE_ACID_VAPOUR:
        s->decomposed_fraction = limited(s->decomposed_fraction * factor, 0.0, 1.0);
        break;
    case NXW_SOURCE_METAL:
        s->NO2_route_fraction = limited(s->NO2_route_fraction * factor, 0.0, 1.0);
        break;
    case NXW_SOURCE_METERED:
        s->NO2_fraction =
            limited(s->NO2_fraction * factor, 0.0, 1.0 - s->NO_fraction - s->O2_fraction);
        break;
    case NXW_SOURCE_TABLE:
        break;
    }
}

static void move_duration(struct nxw_case *c, double factor)
{
    struct nxw_source *s = &c->source;
    s->duration_s *= factor;
    s->flow_mol_s /= factor; /* the amount stays */
    if (isfinite(c->carrier.until_s))
        c->carrier.until_s *= factor;
}

static void move_input(struct nxw_case *c, enum input input, double error)
{
    switch (input) {
    case INPUT_AMOUNT:
        move_amount(&c->source, 1.0 + error);
        break;
    case INPUT_SHARE:
        move_share(&c->source, 1.0 + error);
        break;
    case INPUT_DURATION:
        if (c->source.n_rows == 0)
            move_duration(c, 1.0 + error);
        break;
    case INPUT_CARRIER:
        c->carrier.flow_mol_s *= 1.0 + error;
        for (size_t i = 0; i < c->n_stages; i++)
            c->stages[i].bleed.flow_mol_s *= 1.0 + error;
        break;
    case INPUT_LIQUID:
        for (size_t i = 0; i < c->n_stages; i++) {
            struct nxw_stage *s = &c->stages[i];
            s->liquid_m3 = fmin(s->liquid_m3 * (1.0 + error), nxw_largest_fill_m3(s->volume_m3));
        }
        break;
    case INPUT_DEPTH:
        for (size_t i = 0; i < c->n_stages; i++) {
            struct nxw_stage *s = &c->stages[i];
            s->tip_clearance_m = fmax(0.0, s->tip_clearance_m + 1e-3 * error);
            if (s->depth_m > 0.0)
                s->depth_m = fmax(0.0, s->depth_m - 1e-3 * error);
        }
        break;
    case INPUT_TEMPERATURE:
        c->surroundings_temperature_K += error;
        for (size_t i = 0; i < c->n_stages; i++)
            if (c->stages[i].bath != NXW_BATH_ICE_WATER)
                c->stages[i].bath_temperature_K += error;
        break;
    case INPUT_COUNT:
        break;
    }
}

/* Constants count their ratio where low, value and high are above nothing. */
static bool is_ratio(const struct nxw_parameter_record *r)
{
    return r->low > 0.0 && r->value > 0.0;
}

/* A constant z standard errors up; its range spans two on either side. A range that ends at the
 * value reaches to one side only, and is followed there. */
static double moved_constant(const struct nxw_parameter_record *r, double value, double z)
{
    const double up = is_ratio(r) ? log(r->high / r->value) : r->high - r->value;
    const double down = is_ratio(r) ? log(r->value / r->low) : r->value - r->low;
    double step = z > 0.0 ? up : down;
    double direction = z;
    if (step == 0.0) {
        step = z > 0.0 ? down : up;
        direction = -z;
    }
    if (is_ratio(r))
        return value * exp(0.5 * direction * step);
    return limited(value + 0.5 * direction * step, r->low, r->high); /* a share stays a share */
}

/* Only H^2 k2 of NO2 is well known, so H moves with k2 held to it; and k2 alone for the product. */
static void move_constant(struct nxw_parameters *p, size_t index, bool alone, double z)
{
    const double old = p->value[index];
    p->value[index] = moved_constant(nxw_parameter_record(index), old, z);
    if (index == NXW_P_H_NO2 && !alone)
        p->value[NXW_P_k2_NO2] *= (old / p->value[index]) * (old / p->value[index]);
}

void nxw_factor_move(const struct nxw_factor *f, double z, struct nxw_case *c)
{
    if (f->constant < nxw_parameter_count())
        move_constant(&c->parameters, f->constant, f->alone, z);
    else
        move_input(c, (enum input)f->input, z * c->parameters.value[INPUTS[f->input].error]);
}

/* ------------------------------------------------------------------------------ the factors */

static bool is_fixed(size_t index, const size_t *fixed, size_t n_fixed)
{
    for (size_t i = 0; i < n_fixed; i++)
        if (fixed[i] == index)
            return true;
    return false;
}

static bool is_uncertain(size_t index, const size_t *fixed, size_t n_fixed)
{
    const struct nxw_parameter_record *r = nxw_parameter_record(index);
    return !is_fixed(index, fixed, n_fixed) && !nxw_constant_only_marks(r->key) && r->low < r->high;
}

bool nxw_factor_reaches_one_side(const struct nxw_factor *f)
{
    if (f->constant >= nxw_parameter_count())
        return false;
    const struct nxw_parameter_record *r = nxw_parameter_record(f->constant);
    return r->low == r->value || r->value == r->high;
}

void nxw_factors_of_constants(const struct nxw_case *in, const size_t *fixed, size_t n_fixed,
                              struct nxw_uncertainty *u)
{
    for (size_t i = 0; i < nxw_parameter_count() && u->n_factors < NXW_FACTORS_MAX; i++) {
        if (!is_uncertain(i, fixed, n_fixed))
            continue;
        const struct nxw_parameter_record *r = nxw_parameter_record(i);
        const double value = in->parameters.value[i];
        const double up = moved_constant(r, value, 1.0), down = moved_constant(r, value, -1.0);
        /* the mean of up and down; what reaches to one side only counts that */
        double standard = NAN;
        if (is_ratio(r))
            standard = up != down ? 0.5 * log(up / down) : log(up / value);
        u->factors[u->n_factors++] =
            (struct nxw_factor){.name = r->key,
                                .constant = i,
                                .alone = is_fixed(NXW_P_k2_NO2, fixed, n_fixed),
                                .standard = standard};
    }
}

static void add_inputs(const struct nxw_case *in, struct nxw_uncertainty *u)
{
    for (int i = 0; i < INPUT_COUNT && u->n_factors < NXW_FACTORS_MAX; i++)
        u->factors[u->n_factors++] =
            (struct nxw_factor){.name = INPUTS[i].name,
                                .constant = nxw_parameter_count(),
                                .input = i,
                                .standard = i == INPUT_DEPTH || i == INPUT_TEMPERATURE
                                                ? (double)NAN
                                                : log1p(in->parameters.value[INPUTS[i].error])};
}

/* --------------------------------------------------------------------------------- the runs */

#define LEAST_SHARE 1e-9 /* what is nearer to an end counts as this */
#define NOISE                                                                                      \
    1e-5 /* beyond an end by less is a run's noise: it bears 1e-6 of what moved below 0            \
          */

/* Shares below 0 or above 1, too, lie in their order, far beyond the ends of those between. */
static double logit(double share)
{
    const double s = limited(share, LEAST_SHARE, 1.0 - LEAST_SHARE);
    const double beyond = fmin(share + NOISE, 0.0) + fmax(share - 1.0 - NOISE, 0.0);
    return log(s / (1.0 - s)) + beyond / LEAST_SHARE;
}

static double logistic(double scaled) { return 1.0 / (1.0 + exp(-scaled)); }

/* Is it of a share that is none? */
static bool is_below(double scaled) { return scaled < logit(0.0) - 1.0; }

static bool is_above(double scaled) { return scaled > logit(1.0) + 1.0; }

enum scale { SCALE_SHARE, SCALE_RATIO, SCALE_PLAIN };
static const enum scale SCALES[NXW_ANSWERS] = {SCALE_SHARE, SCALE_SHARE, SCALE_SHARE,
                                               SCALE_PLAIN, SCALE_RATIO, SCALE_SHARE};

/* Where acid that was filled in takes a share: it may be lost, be turned, or leave. Beyond the
 * other ends nothing leads but a run's noise. */
static const struct {
    bool below, above;
    const char *why;
} LEAVES[NXW_ANSWERS] = {
    [NXW_ANSWER_KEPT] = {true, false,
                         "the share kept is below 0 %, or would be with one thing moved: the "
                         "liquid loses acid that was filled in"},
    [NXW_ANSWER_NITROUS_ACID] = {false, true,
                                 "the nitrous acid left is above 100 %, or would be with one thing "
                                 "moved: acid that was filled in turns to it"},
    [NXW_ANSWER_ESCAPED] = {false, true,
                            "the escape is above 100 %, or would be with one thing moved: acid "
                            "that was filled in leaves with the gas"},
};

static double on_scale(enum nxw_answer answer, double value)
{
    switch (SCALES[answer]) {
    case SCALE_SHARE:
        return logit(limited(value, LEAVES[answer].below ? -(double)INFINITY : 0.0,
                             LEAVES[answer].above ? (double)INFINITY : 1.0));
    case SCALE_RATIO:
        return log(fmax(value, LEAST_MG_MIN));
    case SCALE_PLAIN:
        break;
    }
    return value;
}

static void answers_plain(const struct nxw_case *in, const struct nxw_result *r,
                          double out[NXW_ANSWERS])
{
    const size_t bottle = nxw_first_bottle(in);
    double nitrous_mol = 0.0;
    for (size_t i = 0; i < r->n_stages; i++)
        nitrous_mol += r->stages[i].nitrous_acid_mol;
    out[NXW_ANSWER_KEPT] = r->kept_mol / r->fed_mol;
    out[NXW_ANSWER_NITROUS_ACID] = nitrous_mol / r->fed_mol;
    out[NXW_ANSWER_ESCAPED] = r->escaped_mol / r->fed_mol;
    out[NXW_ANSWER_PEAK] = nxw_hottest_K(in, r) - 273.15;
    out[NXW_ANSWER_VENT] = NXW_MG_MIN * (r->vent_peak_NO_kg_s + r->vent_peak_NO2_kg_s);
    out[NXW_ANSWER_STRENGTH] =
        bottle < in->n_stages ? r->stages[bottle].acid_mass_fraction : (double)NAN;
}

void nxw_answers_scaled(const struct nxw_case *in, const struct nxw_result *r,
                        double out[NXW_ANSWERS])
{
    answers_plain(in, r, out);
    for (int a = 0; a < NXW_ANSWERS; a++)
        out[a] = on_scale((enum nxw_answer)a, out[a]);
}

bool nxw_more_is_worse(enum nxw_answer answer)
{
    return answer != NXW_ANSWER_KEPT && answer != NXW_ANSWER_STRENGTH;
}

double nxw_answer_plain(enum nxw_answer answer, double scaled)
{
    switch (SCALES[answer]) {
    case SCALE_SHARE:
        if (is_below(scaled))
            return LEAST_SHARE * (scaled - logit(0.0)) - NOISE;
        return is_above(scaled) ? 1.0 + LEAST_SHARE * (scaled - logit(1.0)) + NOISE
                                : logistic(scaled);
    case SCALE_RATIO:
        return exp(scaled);
    case SCALE_PLAIN:
        break;
    }
    return scaled;
}

double nxw_answer_step(enum nxw_answer answer, double value, double change)
{
    switch (SCALES[answer]) {
    case SCALE_SHARE:
        return nxw_answer_plain(answer, on_scale(answer, value) + change) - value;
    case SCALE_RATIO:
        return value * expm1(change);
    case SCALE_PLAIN:
        break;
    }
    return change;
}

/* d ln answer of a change of one on its scale; a plain one counts its change per percent. */
static double logarithmic(enum nxw_answer answer, double scaled)
{
    switch (SCALES[answer]) {
    case SCALE_SHARE:
        return 1.0 - logistic(scaled);
    case SCALE_RATIO:
        return 1.0;
    case SCALE_PLAIN:
        break;
    }
    return 0.01;
}

static bool leaves_scale(int a, double scaled)
{
    return SCALES[a] == SCALE_SHARE && (is_below(scaled) || is_above(scaled));
}

struct work { /* shared by the threads */
    const struct nxw_case *in;
    struct nxw_uncertainty *u;
    bool (*stop)(void);
    unsigned threads;
    /* of moving factors */
    double base[NXW_ANSWERS];
    struct nxw_bands *bands; /* or NULL */
    const size_t *second;    /* the factors that are moved down, too */
    /* of drawing */
    size_t n_draws;
    uint64_t seed;
    double (*drawn)[NXW_ANSWERS];
};

static bool keep_course(const struct nxw_series_row *row, void *user)
{
    return nxw_run_series_add(user, row);
}

/* A run, its course added to the bands if there are any. */
static enum nxw_status run_moved(struct nxw_bands *bands, const struct nxw_case *c, double reach,
                                 struct nxw_result *r)
{
    if (bands == NULL)
        return nxw_estimate(c, NULL, NULL, r);
    struct nxw_run_series course = {.hood_mol_s = nxw_hood_mol_s(c)};
    const enum nxw_status status = nxw_estimate(c, keep_course, &course, r);
    const bool failed = course.failed;
    if (status >= 0)
        nxw_bands_add(bands, &course, reach);
    nxw_run_series_free(&course);
    return failed ? NXW_ERROR_MEMORY : status;
}

/* The answers with one factor moved, against those of the case as it is. */
static enum nxw_status moved_by(const struct work *w, size_t index, double z,
                                struct nxw_run_room *own, struct nxw_bands *bands,
                                double change[NXW_ANSWERS])
{
    own->c = *w->in;
    nxw_factor_move(&w->u->factors[index], z, &own->c);
    const enum nxw_status status = run_moved(bands, &own->c, z, &own->r);
    if (status < 0)
        return status;
    nxw_answers_scaled(&own->c, &own->r, change);
    struct nxw_factor *f = &w->u->factors[index];
    for (int a = 0; a < NXW_ANSWERS; a++) {
        f->leaves[a] = f->leaves[a] || leaves_scale(a, change[a]);
        change[a] -= w->base[a];
    }
    return status;
}

static void take_change(const struct work *w, struct nxw_factor *f, int a, double change)
{
    f->change[a] = change;
    f->elasticity[a] = change * logarithmic((enum nxw_answer)a, w->base[a]) / f->standard;
}

/* One standard error up. */
static enum nxw_status try_up(void *user, size_t index, struct nxw_run_room *own)
{
    const struct work *w = user;
    struct nxw_factor *f = &w->u->factors[index];
    const enum nxw_status status = moved_by(w, index, 1.0, own, w->bands, f->up);
    f->ran = status >= 0;
    return status;
}

/* One standard error down. */
static enum nxw_status try_down(void *user, size_t index, struct nxw_run_room *own)
{
    const struct work *w = user;
    const size_t factor = w->second[index];
    struct nxw_factor *f = &w->u->factors[factor];
    const enum nxw_status status = moved_by(w, factor, -1.0, own, NULL, f->down);
    f->ran = status >= 0;
    return status;
}

static enum nxw_status share_out(struct work *w, size_t n,
                                 enum nxw_status (*task)(void *user, size_t index,
                                                         struct nxw_run_room *own))
{
    nxw_progress_expect(n);
    return nxw_many_runs(n, w->threads, w->stop, task, w);
}

/* Does a factor that does little upward, beside all others, need its way down as well? What it
 * does downward is then taken for the opposite: a thirtieth of the spread, wrongly counted twice or
 * not at all, is a thousandth of the interval. Inputs may meet an end on one side: they always do.
 */
#define LITTLE 0.03

static bool needs_both(const struct nxw_factor *f, const double spread[NXW_ANSWERS])
{
    if (f->constant >= nxw_parameter_count())
        return true;
    for (int a = 0; a < NXW_ANSWERS; a++)
        if (isfinite(spread[a]) && !(fabs(f->up[a]) <= LITTLE * spread[a]))
            return true;
    return false;
}

/* The second moves of those that need one, and what both say. */
static enum nxw_status try_second_side(struct work *w)
{
    struct nxw_uncertainty *u = w->u;
    double spread[NXW_ANSWERS] = {0.0};
    size_t second[NXW_FACTORS_MAX];
    for (int a = 0; a < NXW_ANSWERS; a++) {
        for (size_t i = 0; i < u->n_factors; i++)
            spread[a] += u->factors[i].ran ? u->factors[i].up[a] * u->factors[i].up[a] : 0.0;
        spread[a] = sqrt(spread[a]);
    }
    w->second = second;
    size_t n = 0;
    for (size_t i = 0; i < u->n_factors; i++) {
        struct nxw_factor *f = &u->factors[i];
        const double mirror =
            nxw_factor_reaches_one_side(f) ? 1.0 : -1.0; /* the same move both times */
        if (!f->ran)
            continue;
        for (int a = 0; a < NXW_ANSWERS; a++)
            f->down[a] = mirror * f->up[a];
        if (!nxw_factor_reaches_one_side(f) && needs_both(f, spread))
            second[n++] = i;
    }
    const enum nxw_status status = share_out(w, n, try_down);
    for (size_t i = 0; i < u->n_factors; i++) {
        struct nxw_factor *f = &u->factors[i];
        for (int a = 0; f->ran && a < NXW_ANSWERS; a++)
            take_change(w, f, a,
                        nxw_factor_reaches_one_side(f) ? f->up[a] : 0.5 * (f->up[a] - f->down[a]));
    }
    return status;
}

static bool is_same_share(const struct nxw_source *a, const struct nxw_source *b)
{
    return a->decomposed_fraction == b->decomposed_fraction &&
           a->NO2_route_fraction == b->NO2_route_fraction && a->NO2_fraction == b->NO2_fraction;
}

static bool is_same_depth(const struct nxw_stage *a, const struct nxw_stage *b)
{
    return isfinite(a->depth_m) ? a->depth_m == b->depth_m
                                : a->tip_clearance_m == b->tip_clearance_m;
}

/* Does a factor go no further than by z, since what it moves, in one stage at least, is at a limit
 * there? */
static bool is_at_limit(const struct nxw_factor *f, double z, const struct nxw_case *in,
                        struct nxw_case room[2])
{
    const struct nxw_case *here = &room[0], *further = &room[1];
    room[0] = room[1] = *in;
    nxw_factor_move(f, z, &room[0]);
    nxw_factor_move(f, 1.001 * z, &room[1]);
    if (f->constant < nxw_parameter_count())
        return here->parameters.value[f->constant] == further->parameters.value[f->constant];
    if (f->input == INPUT_SHARE)
        return is_same_share(&here->source, &further->source);
    for (size_t i = 0; i < in->n_stages; i++) {
        const struct nxw_stage *a = &here->stages[i], *b = &further->stages[i];
        if (in->stages[i].kind == NXW_STAGE_BOTTLE &&
            ((f->input == INPUT_DEPTH && is_same_depth(a, b)) ||
             (f->input == INPUT_LIQUID && a->liquid_m3 == b->liquid_m3)))
            return true;
    }
    return false;
}

/* A standard error up beside one down, on the scale a constant is moved on. */
static double up_for_down(const struct nxw_factor *f)
{
    if (f->constant >= nxw_parameter_count() || nxw_factor_reaches_one_side(f))
        return 1.0;
    const struct nxw_parameter_record *r = nxw_parameter_record(f->constant);
    return is_ratio(r) ? log(r->high / r->value) / log(r->value / r->low)
                       : (r->high - r->value) / (r->value - r->low);
}

/* No figure is better than a wrong one. */
static void no_derivative(struct nxw_factor *f)
{
    for (int a = 0; a < NXW_ANSWERS; a++)
        f->change[a] = f->elasticity[a] = (double)NAN;
}

/* The derivative by a standard error, the mean of one up and one down; by a difference of second
 * order: central over a twentieth of it either way, or to one side, and near, where the other has a
 * limit or leads the same way. */
static enum nxw_status try_derivative(void *user, size_t index, struct nxw_run_room *own)
{
    const struct work *w = user;
    struct nxw_factor *f = &w->u->factors[index];
    const double reach = 0.05, close = 0.01;
    struct nxw_case *room = malloc(2 * sizeof *room);
    if (room == NULL)
        return NXW_ERROR_MEMORY;
    const bool no_up = is_at_limit(f, reach, w->in, room);
    const bool one_side =
        no_up || nxw_factor_reaches_one_side(f) || is_at_limit(f, -reach, w->in, room);
    free(room);
    const double near = one_side ? no_up ? -close : close : reach,
                 far = one_side ? 2.0 * near : -near;
    double at_near[NXW_ANSWERS], at_far[NXW_ANSWERS];
    enum nxw_status status = moved_by(w, index, near, own, NULL, at_near);
    if (status >= 0)
        status = moved_by(w, index, far, own, NULL, at_far);
    if (status < 0) {
        no_derivative(f);
        return status;
    }
    const double q = up_for_down(f);
    for (int a = 0; a < NXW_ANSWERS; a++)
        take_change(w, f, a,
                    one_side ? (4.0 * at_near[a] - at_far[a]) / (2.0 * near)
                             : (at_near[a] / q - at_far[a] * q) / (2.0 * near));
    return status;
}

void nxw_sides_add(struct nxw_sides *sides, double up, double down)
{
    const double most = fmax(fmax(up, down), 0.0), least = fmin(fmin(up, down), 0.0);
    sides->more += most * most;
    sides->less += least * least;
}

static const char NO_LIQUID[] = "there is no liquid";

/* Shares are added on a scale from 0 to 100 %: of what leaves it, it has nothing to say. */
static const char *why_not_given(const struct nxw_uncertainty *u, int a, double value,
                                 double unmoved)
{
    bool leaves = leaves_scale(a, on_scale((enum nxw_answer)a, value)) || leaves_scale(a, unmoved);
    for (size_t i = 0; i < u->n_factors; i++)
        leaves = leaves || u->factors[i].leaves[a];
    if (!isfinite(value))
        return NO_LIQUID;
    if (leaves)
        return LEAVES[a].why;
    return u->n_failed == u->n_factors
               ? "none of the runs with one thing moved could be followed to the end"
               : NULL;
}

static void give_none(struct nxw_uncertainty *u, int a)
{
    u->low[a] = u->high[a] = (double)NAN;
    for (size_t i = 0; i < u->n_factors; i++)
        u->factors[i].change[a] = u->factors[i].elasticity[a] = (double)NAN;
}

/* value: of the case as it is; unmoved: on the scale, of what the moved runs are held against. */
static void add_up(struct nxw_uncertainty *u, const double value[NXW_ANSWERS],
                   const double unmoved[NXW_ANSWERS])
{
    struct nxw_sides sides[NXW_ANSWERS] = {{0.0, 0.0}};
    for (size_t i = 0; i < u->n_factors; i++) {
        const struct nxw_factor *f = &u->factors[i];
        if (!f->ran) {
            u->n_failed++;
            continue;
        }
        for (int a = 0; a < NXW_ANSWERS; a++)
            nxw_sides_add(&sides[a], f->up[a], f->down[a]);
    }
    for (int a = 0; a < NXW_ANSWERS; a++) {
        u->value[a] = value[a];
        u->not_given[a] = why_not_given(u, a, value[a], unmoved[a]);
        if (u->not_given[a] != NULL) {
            give_none(u, a);
            continue;
        }
        const double middle = on_scale((enum nxw_answer)a, value[a]);
        const double ends[] = {middle - NXW_OF_100_95 * sqrt(sides[a].less),
                               middle + NXW_OF_100_95 * sqrt(sides[a].more)};
        double plain[2];
        for (int end = 0; end < 2; end++)
            plain[end] = SCALES[a] == SCALE_SHARE ? logistic(ends[end])
                                                  : nxw_answer_plain((enum nxw_answer)a, ends[end]);
        /* nothing leads there; or the scale rounds, or took less than its least for that */
        u->low[a] = sides[a].less > 0.0 ? fmin(plain[0], value[a]) : value[a];
        u->high[a] = sides[a].more > 0.0 ? fmax(plain[1], value[a]) : value[a];
    }
}

/* Derivatives are small differences: they want a base of their own at a tight tolerance. */
static enum nxw_status derive(const struct work *w)
{
    struct nxw_run_room *own = malloc(sizeof *own);
    if (own == NULL)
        return NXW_ERROR_MEMORY;
    struct nxw_case *tight = &own->c;
    *tight = *w->in;
    tight->relative_tolerance = 1e-9;
    enum nxw_status status = nxw_estimate(tight, NULL, NULL, &own->r);
    if (status >= 0) {
        struct work fine = {.in = tight, .u = w->u, .stop = w->stop, .threads = w->threads};
        nxw_answers_scaled(tight, &own->r, fine.base);
        status = share_out(&fine, w->u->n_factors, try_derivative);
    }
    free(own);
    return status;
}

/* Half the slices are enough for differences of a standard error, for the base they are held
 * against as well: the ends of an interval move by some hundredths of it. Its course, if asked for.
 */
static enum nxw_status begin_moving(const struct nxw_case *in, struct nxw_case *coarse,
                                    struct nxw_run_series *course, double base[NXW_ANSWERS])
{
    struct nxw_result *r = malloc(sizeof *r);
    if (r == NULL)
        return NXW_ERROR_MEMORY;
    nxw_observer *observer = course != NULL ? keep_course : NULL;
    *coarse = *in;
    coarse->slices = in->slices > 0 ? (in->slices + 1) / 2 : 2;
    enum nxw_status status = nxw_estimate(coarse, observer, course, r);
    if (status == NXW_ERROR_SOLVER) { /* it can be had as it is */
        *coarse = *in;
        status = nxw_estimate(coarse, observer, course, r);
    }
    if (status >= 0)
        nxw_answers_scaled(coarse, r, base);
    free(r);
    return course != NULL && course->failed ? NXW_ERROR_MEMORY : status < 0 ? status : NXW_OK;
}

enum nxw_status nxw_uncertainty_run(const struct nxw_case *in, const struct nxw_result *base,
                                    const size_t *fixed, size_t n_fixed, bool derivatives,
                                    unsigned threads, bool (*stop)(void), struct nxw_bands *bands,
                                    struct nxw_uncertainty *u)
{
    *u = (struct nxw_uncertainty){.derivatives = derivatives};
    if (!(base->fed_mol > 0.0))
        return NXW_OK;
    struct moving {
        struct nxw_case coarse;
        struct nxw_run_series unmoved; /* its course, for the bands */
    } *m = malloc(sizeof *m);
    if (m == NULL)
        return NXW_ERROR_MEMORY;
    struct nxw_case *coarse = &m->coarse;
    double answers[NXW_ANSWERS];
    struct work w = {.in = coarse, .u = u, .stop = stop, .threads = threads, .bands = bands};
    nxw_factors_of_constants(in, fixed, n_fixed, u);
    add_inputs(in, u);
    m->unmoved = (struct nxw_run_series){.hood_mol_s = nxw_hood_mol_s(in)};
    enum nxw_status status = begin_moving(in, coarse, bands != NULL ? &m->unmoved : NULL, w.base);
    if (bands != NULL)
        bands->unmoved = &m->unmoved;
    if (status == NXW_OK)
        status = share_out(&w, u->n_factors, try_up);
    if (status == NXW_OK)
        status = try_second_side(&w);
    if (bands != NULL)
        bands->unmoved = bands->base;
    nxw_run_series_free(&m->unmoved);
    w.in = in;
    if (status == NXW_OK && derivatives)
        status = derive(&w);
    free(m);
    if (status != NXW_OK)
        return status;
    answers_plain(in, base, answers);
    add_up(u, answers, w.base);
    u->ran = true;
    return NXW_OK;
}

/* -------------------------------------------------------------------------------- drawing */

/* The normal error, in standard errors, that a share of all lie below; 3 at most. */
static double normal_quantile(double share)
{
    double low = -3.0, high = 3.0;
    while (high - low > 1e-9) {
        const double middle = 0.5 * (low + high);
        if (0.5 * erfc(-middle * sqrt(0.5)) < share)
            low = middle;
        else
            high = middle;
    }
    return 0.5 * (low + high);
}

static enum nxw_status try_draw(void *user, size_t index, struct nxw_run_room *own)
{
    const struct work *w = user;
    own->c = *w->in;
    for (size_t i = 0; i < w->u->n_factors; i++)
        nxw_factor_move(&w->u->factors[i],
                        normal_quantile(nxw_latin_share(index, w->n_draws, w->seed, i)), &own->c);
    const enum nxw_status status = nxw_estimate(&own->c, NULL, NULL, &own->r);
    for (int a = 0; a < NXW_ANSWERS; a++)
        w->drawn[index][a] = (double)NAN;
    if (status >= 0)
        nxw_answers_scaled(&own->c, &own->r, w->drawn[index]);
    return status;
}

static int rising(const void *left, const void *right)
{
    const double a = *(const double *)left, b = *(const double *)right;
    return (a > b) - (a < b);
}

/* The value that a share of n sorted ones lie below, in a straight line between neighbours. */
static double quantile(const double *sorted, size_t n, double share)
{
    const double at = share * (double)n - 0.5;
    const size_t i = at > 0.0 ? (size_t)at : 0;
    if (i + 1 >= n)
        return sorted[n - 1];
    return sorted[i] + fmax(at - (double)i, 0.0) * (sorted[i + 1] - sorted[i]);
}

/* An interval beside a figure holds it, or is not told as the figure's. */
static const char *why_no_quantiles(double low, double value, double high)
{
    if (!isfinite(value))
        return NO_LIQUID;
    if (!(isfinite(low) && isfinite(high)))
        return "too few of the runs gave a result";
    return low <= value && value <= high
               ? NULL
               : "the figure itself lies outside what 95 of 100 draws give: the errors lead mostly "
                 "to one side of it";
}

static void take_quantiles(struct nxw_uncertainty *u, size_t n, double (*drawn)[NXW_ANSWERS],
                           double *room)
{
    for (int a = 0; a < NXW_ANSWERS; a++) {
        size_t good = 0;
        for (size_t i = 0; i < n; i++)
            if (isfinite(drawn[i][a]))
                room[good++] = drawn[i][a];
        double low = (double)NAN, high = (double)NAN;
        if (a == NXW_ANSWER_ESCAPED)
            u->n_draws_failed = n - good;
        if (good >= NXW_DRAWS_LEAST) {
            qsort(room, good, sizeof *room, rising);
            low = nxw_answer_plain((enum nxw_answer)a, quantile(room, good, 0.025));
            high = nxw_answer_plain((enum nxw_answer)a, quantile(room, good, 0.975));
        }
        u->drawn_not_given[a] = why_no_quantiles(low, u->value[a], high);
        u->drawn_low[a] = u->drawn_not_given[a] == NULL ? low : (double)NAN;
        u->drawn_high[a] = u->drawn_not_given[a] == NULL ? high : (double)NAN;
    }
}

enum nxw_status nxw_uncertainty_draw(const struct nxw_case *in, size_t n, uint64_t seed,
                                     unsigned threads, bool (*stop)(void),
                                     struct nxw_uncertainty *u)
{
    double(*drawn)[NXW_ANSWERS] = calloc(n, sizeof *drawn);
    double *room = calloc(n, sizeof *room);
    struct work w = {.in = in,
                     .u = u,
                     .stop = stop,
                     .threads = threads,
                     .n_draws = n,
                     .seed = seed,
                     .drawn = drawn};
    enum nxw_status status = NXW_ERROR_MEMORY;
    if (drawn != NULL && room != NULL)
        status = share_out(&w, n, try_draw);
    if (status == NXW_OK) {
        u->n_draws = n;
        take_quantiles(u, n, drawn, room);
    }
    free(drawn);
    free(room);
    return status;
}

/* ----------------------------------------------------------------------------- the order */

size_t nxw_uncertainty_rank(const struct nxw_uncertainty *u, enum nxw_answer answer,
                            size_t rank[NXW_FACTORS_MAX])
{
    size_t n = 0;
    for (size_t i = 0; i < u->n_factors; i++) {
        const double size = fabs(u->factors[i].change[answer]);
        if (!(size > 0.0))
            continue;
        size_t at = n++;
        for (; at > 0 && fabs(u->factors[rank[at - 1]].change[answer]) < size; at--)
            rank[at] = rank[at - 1];
        rank[at] = i;
    }
    return n;
}
