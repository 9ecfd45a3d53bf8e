#include "study/what_if.h"

#include <math.h>

#include "base/progress.h"
#include "noxwash.h"

#define PEROXIDE_MARGIN 1.2
#define ICE_KG 0.4
#define GAIN_WORTH 0.2  /* judgement: a fifth less escape is worth a change */
#define GAIN_LEAST 0.01 /* judgement: of the nitrogen fed */
#define KEPT_WORTH 0.05 /* judgement: or a twentieth of the nitrogen more kept */
#define MORE_OF_ESCAPE 0.02
#define MORE_OF_FED 1e-3

bool nxw_ends_all(enum nxw_status status)
{
    return status == NXW_ERROR_CANCELLED || status == NXW_ERROR_MEMORY;
}

static enum nxw_status run(struct nxw_what_if *what, nxw_observer *observer, void *user)
{
    what->status = nxw_estimate(&what->in, observer, user, &what->result);
    nxw_progress_step();
    what->ran = what->status >= 0;
    return nxw_ends_all(what->status) ? what->status : NXW_OK;
}

bool nxw_more_escapes(double before_mol, double after_mol, double fed_mol)
{
    const double more_mol = after_mol - before_mol;
    return more_mol > MORE_OF_ESCAPE * before_mol && more_mol > MORE_OF_FED * fed_mol;
}

double nxw_hottest_K(const struct nxw_case *in, const struct nxw_result *r)
{
    double hottest = (double)NAN; /* fmax skips it */
    for (size_t i = 0; i < r->n_stages; i++)
        if (in->stages[i].kind == NXW_STAGE_BOTTLE)
            hottest = fmax(hottest, r->stages[i].peak_temperature_K);
    return hottest;
}

double nxw_case_peroxide_kg(const struct nxw_case *c)
{
    double sum = 0.0;
    for (size_t i = 0; i < c->n_stages; i++) {
        const struct nxw_stage *s = &c->stages[i];
        if (s->kind == NXW_STAGE_BOTTLE && s->peroxide_mass_fraction > 0.0)
            sum +=
                s->peroxide_mass_fraction * s->liquid_m3 *
                nxw_liquid_density_kg_m3(s->acid_mass_fraction, s->peroxide_mass_fraction, 293.15);
    }
    return sum;
}

double nxw_case_ice_kg(const struct nxw_case *c)
{
    double sum = 0.0;
    for (size_t i = 0; i < c->n_stages; i++)
        sum += c->stages[i].bath == NXW_BATH_ICE_WATER ? c->stages[i].ice_kg : 0.0;
    return sum;
}

static double taken_up_kg(const struct nxw_result *base)
{
    return NXW_MOLAR_MASS_H2O2_KG_MOL *
           (0.5 * base->fed_NO2_mol + 1.5 * base->fed_NO_mol + base->fed_HNO2_mol);
}

double nxw_peroxide_for_gas_kg(const struct nxw_result *base)
{
    return PEROXIDE_MARGIN * taken_up_kg(base);
}

void nxw_peroxide_range_kg(const struct nxw_case *in, const struct nxw_result *base, double *least,
                           double *most)
{
    const double loss = in->parameters.value[NXW_P_peroxide_side_loss];
    const struct nxw_parameter_record *record = nxw_parameter_record(NXW_P_peroxide_side_loss);
    *least = (1.0 + fmin(loss, record->low)) * taken_up_kg(base);
    *most = (1.0 + fmax(loss, record->high)) * taken_up_kg(base);
}

double nxw_charge_peroxide(struct nxw_stage *s, double peroxide_kg)
{
    double fraction = 0.0, density = 1000.0;
    for (int i = 0; i < 20; i++) {
        density = nxw_liquid_density_kg_m3(s->acid_mass_fraction, fraction, 293.15);
        if (!(density > 0.0))
            density = 1000.0;
        fraction = fmin(NXW_PEROXIDE_MOST, peroxide_kg / (density * s->liquid_m3));
    }
    s->peroxide_mass_fraction = fraction;
    return fraction * density * s->liquid_m3;
}

static void peroxide(const struct nxw_result *base, struct nxw_what_ifs *w)
{
    w->peroxide_needed_kg = nxw_peroxide_for_gas_kg(base);
    w->peroxide_charged_kg =
        nxw_charge_peroxide(&w->with_peroxide.in.stages[w->stage], w->peroxide_needed_kg);
}

void nxw_swap_bath(const struct nxw_case *in, struct nxw_stage *s, bool cool)
{
    s->bath = cool ? NXW_BATH_ICE_WATER : NXW_BATH_AIR;
    s->ice_kg = cool ? ICE_KG : 0.0;
    s->bath_temperature_K = cool ? 273.15 : in->surroundings_temperature_K;
    s->liquid_temperature_K = NAN;
}

bool nxw_is_worth_it(const struct nxw_result *base, double escaped_mol, double kept_mol)
{
    const double less_mol = base->escaped_mol - escaped_mol;
    return (less_mol > GAIN_WORTH * base->escaped_mol && less_mol > GAIN_LEAST * base->fed_mol) ||
           kept_mol - base->kept_mol > KEPT_WORTH * base->fed_mol;
}

double nxw_stage_gain_mol(const struct nxw_result *base, const struct nxw_stage_change *c)
{
    return base->escaped_mol - c->escaped_mol + c->kept_mol - base->kept_mol;
}

size_t nxw_stage_worth_changing(const struct nxw_result *base, const struct nxw_what_ifs *w)
{
    size_t best = base->n_stages;
    double best_mol = 0.0;
    for (size_t i = 0; i < base->n_stages; i++) {
        const struct nxw_stage_change *c = &w->changes[i];
        if (!c->ran || !nxw_is_worth_it(base, c->escaped_mol, c->kept_mol) ||
            !(nxw_stage_gain_mol(base, c) > best_mol))
            continue;
        best_mol = nxw_stage_gain_mol(base, c);
        best = i;
    }
    return best;
}

/* false: that change does not fit the stage. */
static bool apply_change(struct nxw_stage *s, enum nxw_stage_change_kind kind)
{
    const bool empty = s->kind == NXW_STAGE_EMPTY;
    switch (kind) {
    case NXW_CHANGED_PEROXIDE:
        if (empty || s->peroxide_mass_fraction > 0.5 * NXW_CHANGE_PEROXIDE)
            return false;
        s->peroxide_mass_fraction = NXW_CHANGE_PEROXIDE;
        return true;
    case NXW_CHANGED_BUBBLES:
        if (empty)
            return false;
        s->tip = NXW_TIP_BUBBLE_DIAMETER;
        s->bubble_diameter_m = NXW_CHANGE_BUBBLE_M;
        return true;
    case NXW_CHANGED_VOLUME:
        if (!empty)
            return false;
        s->volume_m3 *= 2.0;
        s->inner_diameter_m *= cbrt(2.0);
        return true;
    }
    return false;
}

/* Each stage of a train changed alone; of several changes of a stage the best is kept. */
static enum nxw_status change_each(const struct nxw_case *in, const struct nxw_result *base,
                                   nxw_observer *observer, void *user, struct nxw_what_ifs *out)
{
    static const enum nxw_stage_change_kind kinds[] = {NXW_CHANGED_PEROXIDE, NXW_CHANGED_BUBBLES,
                                                       NXW_CHANGED_VOLUME};
    for (size_t i = 0; i < in->n_stages && in->n_stages > 1; i++)
        for (size_t k = 0; k < sizeof kinds / sizeof kinds[0]; k++) {
            struct nxw_what_if trial = {.in = *in};
            if (!apply_change(&trial.in.stages[i], kinds[k]))
                continue;
            const enum nxw_status status = run(&trial, observer, user);
            if (status != NXW_OK)
                return status;
            const struct nxw_stage_change change = {true, kinds[k], trial.result.escaped_mol,
                                                    trial.result.kept_mol};
            struct nxw_stage_change *best = &out->changes[i];
            if (trial.ran &&
                (!best->ran || nxw_stage_gain_mol(base, &change) > nxw_stage_gain_mol(base, best)))
                *best = change;
        }
    return NXW_OK;
}

enum nxw_status nxw_what_ifs_run(const struct nxw_case *in, const struct nxw_result *base,
                                 nxw_observer *observer, void *user, struct nxw_what_ifs *out)
{
    enum nxw_status status = NXW_OK;
    out->stage = nxw_first_bottle(in);
    if (out->stage == in->n_stages || !(base->fed_mol > 0.0))
        return NXW_OK;
    out->with_peroxide.in = out->without_peroxide.in = out->cooled.in = out->uncooled.in =
        out->bigger.in = *in;
    const struct nxw_stage *s = &in->stages[out->stage];
    size_t bottles = 0;
    for (size_t i = 0; i < in->n_stages; i++)
        bottles += in->stages[i].kind == NXW_STAGE_BOTTLE;
    nxw_progress_expect(3 + (in->n_stages > 1 ? 2 * bottles : 0));

    peroxide(base, out);
    if (out->with_peroxide.in.stages[out->stage].peroxide_mass_fraction >
        1.05 * s->peroxide_mass_fraction)
        status = run(&out->with_peroxide, observer, user);
    if (status == NXW_OK && s->peroxide_mass_fraction > 0.0) {
        for (size_t i = 0; i < in->n_stages; i++)
            out->without_peroxide.in.stages[i].peroxide_mass_fraction = 0.0;
        status = run(&out->without_peroxide, observer, user);
    }
    const bool iced = s->bath == NXW_BATH_ICE_WATER;
    nxw_swap_bath(in, &(iced ? &out->uncooled : &out->cooled)->in.stages[out->stage], !iced);
    if (status == NXW_OK)
        status = run(iced ? &out->uncooled : &out->cooled, observer, user);

    struct nxw_stage *big = &out->bigger.in.stages[out->stage];
    big->volume_m3 *= 2.0;
    big->liquid_m3 *= 2.0;
    big->inner_diameter_m *= cbrt(2.0);
    big->depth_m *= cbrt(2.0); /* NAN stays: from the level */
    if (status == NXW_OK)
        status = run(&out->bigger, observer, user);
    return status == NXW_OK ? change_each(in, base, observer, user, out) : status;
}
