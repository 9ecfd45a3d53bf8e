#include "uncertainty.h"

#include <math.h>
#include <pthread.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>

#include "progress.h"
#include "report_words.h"

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
    s->decomposed_fraction = limited(s->decomposed_fraction * factor, 0.0, 1.0);
    s->NO2_route_fraction = limited(s->NO2_route_fraction * factor, 0.0, 1.0);
    s->NO2_fraction = limited(s->NO2_fraction * factor, 0.0, 1.0 - s->NO_fraction - s->O2_fraction);
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
        for (size_t i = 0; i < c->n_stages; i++)
            c->stages[i].liquid_m3 *= 1.0 + error;
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

/* Constants count their ratio where low, value and high are of one sign and not zero. */
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
static void move_constant(struct nxw_parameters *p, size_t index, double z)
{
    const double old = p->value[index];
    p->value[index] = moved_constant(nxw_parameter_record(index), old, z);
    if (index == NXW_P_H_NO2)
        p->value[NXW_P_k2_NO2] *= (old / p->value[index]) * (old / p->value[index]);
}

void nxw_factor_move(const struct nxw_factor *f, double z, struct nxw_case *c)
{
    if (f->constant < nxw_parameter_count())
        move_constant(&c->parameters, f->constant, z);
    else
        move_input(c, (enum input)f->input, z * c->parameters.value[INPUTS[f->input].error]);
}

/* ------------------------------------------------------------------------------ the factors */

static bool is_uncertain(size_t index, const size_t *fixed, size_t n_fixed)
{
    const struct nxw_parameter_record *r = nxw_parameter_record(index);
    for (size_t i = 0; i < n_fixed; i++)
        if (fixed[i] == index)
            return false;
    return !nxw_constant_only_marks(r->key) && r->low < r->high;
}

static void list_factors(const struct nxw_case *in, const size_t *fixed, size_t n_fixed,
                         struct nxw_uncertainty *u)
{
    for (size_t i = 0; i < nxw_parameter_count() && u->n_factors < NXW_FACTORS_MAX; i++) {
        if (!is_uncertain(i, fixed, n_fixed))
            continue;
        const struct nxw_parameter_record *r = nxw_parameter_record(i);
        const double value = in->parameters.value[i];
        const double up = moved_constant(r, value, 1.0), down = moved_constant(r, value, -1.0);
        /* both ways: the mean of up and down; what reaches to one side only counts that */
        double standard = NAN;
        if (is_ratio(r))
            standard = u->both_ways && up != down ? 0.5 * log(up / down) : log(up / value);
        u->factors[u->n_factors++] =
            (struct nxw_factor){.name = r->key, .constant = i, .standard = standard};
    }
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

static double logit(double share)
{
    const double s = limited(share, 1e-9, 1.0 - 1e-9);
    return log(s / (1.0 - s));
}

/* Answers on the scale they are added on. */
static void scaled_answers(const struct nxw_result *r, double out[NXW_ANSWERS])
{
    double nitrous_mol = 0.0, peak_K = 0.0;
    for (size_t i = 0; i < r->n_stages; i++) {
        nitrous_mol += r->stages[i].nitrous_acid_mol;
        peak_K = fmax(peak_K, r->stages[i].peak_temperature_K);
    }
    out[NXW_ANSWER_KEPT] = logit(r->kept_mol / r->fed_mol);
    out[NXW_ANSWER_NITROUS_ACID] = logit(nitrous_mol / r->fed_mol);
    out[NXW_ANSWER_ESCAPED] = logit(r->escaped_mol / r->fed_mol);
    out[NXW_ANSWER_PEAK] = peak_K - 273.15;
}

static double plain_answer(enum nxw_answer answer, double scaled)
{
    return answer == NXW_ANSWER_PEAK ? scaled : 1.0 / (1.0 + exp(-scaled));
}

struct work { /* shared by the threads */
    const struct nxw_case *in;
    struct nxw_uncertainty *u;
    double base[NXW_ANSWERS];
    bool (*stop)(void);
    struct nxw_bands *bands; /* or NULL */
    atomic_size_t next;
    atomic_int ended; /* enum nxw_status: why before the end, or NXW_OK */
};

static bool keep_course(const struct nxw_series_row *row, void *user)
{
    return nxw_run_series_add(user, row);
}

/* A run one way, its course added to the bands. */
static enum nxw_status run_moved(const struct work *w, const struct nxw_case *c, double reach,
                                 struct nxw_result *r)
{
    if (w->bands == NULL)
        return nxw_estimate(c, NULL, NULL, r);
    struct nxw_run_series course = {.hood_mol_s = nxw_hood_mol_s(c)};
    const enum nxw_status status = nxw_estimate(c, keep_course, &course, r);
    const bool failed = course.failed;
    if (status >= 0)
        nxw_bands_add(w->bands, &course, reach);
    nxw_run_series_free(&course);
    return failed ? NXW_ERROR_MEMORY : status;
}

/* Move one factor and see. Both ways: half the difference; else the difference. Returned: of a run
 * that failed. */
static enum nxw_status try_factor(const struct work *w, struct nxw_factor *f, struct nxw_case *c,
                                  struct nxw_result *r)
{
    double up[NXW_ANSWERS], down[NXW_ANSWERS];
    const double reach = w->u->both_ways ? 0.1 : 1.0; /* a derivative, or one standard error */
    *c = *w->in;
    nxw_factor_move(f, reach, c);
    enum nxw_status status = run_moved(w, c, reach, r);
    if (status < 0)
        return status;
    scaled_answers(r, up);
    memcpy(down, w->base, sizeof down);
    if (w->u->both_ways) {
        *c = *w->in;
        nxw_factor_move(f, -reach, c);
        status = nxw_estimate(c, NULL, NULL, r);
        if (status < 0)
            return status;
        scaled_answers(r, down);
    }
    for (int a = 0; a < NXW_ANSWERS; a++) {
        const double span = w->u->both_ways ? 2.0 * reach : reach;
        f->change[a] = (up[a] - down[a]) / span;
        /* d ln share = (1 - share) d logit share; a peak counts by its rise in K per percent */
        const double share = plain_answer((enum nxw_answer)a, w->base[a]);
        f->elasticity[a] = f->change[a] * (a == NXW_ANSWER_PEAK ? 0.01 : 1.0 - share) / f->standard;
    }
    f->ran = true;
    return NXW_OK;
}

static void *run_factors(void *user)
{
    struct work *w = user;
    struct {
        struct nxw_case c;
        struct nxw_result r;
    } *own = malloc(sizeof *own);
    if (own == NULL)
        atomic_store(&w->ended, NXW_ERROR_MEMORY);
    while (atomic_load(&w->ended) == NXW_OK) {
        const size_t i = atomic_fetch_add(&w->next, 1);
        if (i >= w->u->n_factors)
            break;
        if (w->stop != NULL && w->stop()) {
            atomic_store(&w->ended, NXW_ERROR_CANCELLED);
            break;
        }
        if (try_factor(w, &w->u->factors[i], &own->c, &own->r) == NXW_ERROR_MEMORY)
            atomic_store(&w->ended, NXW_ERROR_MEMORY);
        nxw_progress_step();
    }
    free(own);
    return NULL;
}

static void add_up(struct nxw_uncertainty *u, const double base[NXW_ANSWERS])
{
    double square[NXW_ANSWERS] = {0.0};
    for (size_t i = 0; i < u->n_factors; i++) {
        if (!u->factors[i].ran)
            u->n_failed++;
        for (int a = 0; a < NXW_ANSWERS; a++)
            square[a] += u->factors[i].change[a] * u->factors[i].change[a];
    }
    for (int a = 0; a < NXW_ANSWERS; a++) {
        const double reach = 1.96 * sqrt(square[a]);
        u->value[a] = plain_answer((enum nxw_answer)a, base[a]);
        u->low[a] = plain_answer((enum nxw_answer)a, base[a] - reach);
        u->high[a] = plain_answer((enum nxw_answer)a, base[a] + reach);
    }
}

enum nxw_status nxw_uncertainty_run(const struct nxw_case *in, const struct nxw_result *base,
                                    const size_t *fixed, size_t n_fixed, bool both_ways,
                                    unsigned threads, bool (*stop)(void), struct nxw_bands *bands,
                                    struct nxw_uncertainty *u)
{
    *u = (struct nxw_uncertainty){.both_ways = both_ways};
    if (!(base->fed_mol > 0.0))
        return NXW_OK;
    struct nxw_case tight = *in;
    if (both_ways)
        tight.relative_tolerance = 1e-9;
    struct work w = {.in = &tight, .u = u, .stop = stop, .bands = bands};
    scaled_answers(base, w.base);
    list_factors(in, fixed, n_fixed, u);
    nxw_progress_expect(u->n_factors);
    enum { MOST = 64 };
    pthread_t thread[MOST];
    unsigned started = 0;
    for (unsigned i = 1; i < threads && i < MOST; i++)
        if (pthread_create(&thread[started], NULL, run_factors, &w) == 0)
            started++;
    (void)run_factors(&w);
    for (unsigned i = 0; i < started; i++)
        (void)pthread_join(thread[i], NULL);
    const enum nxw_status status = (enum nxw_status)atomic_load(&w.ended);
    if (status != NXW_OK)
        return status;
    add_up(u, w.base);
    u->ran = true;
    return NXW_OK;
}

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
