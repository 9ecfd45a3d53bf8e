#include "run/account.h"

#include <math.h>

#include "properties/acid.h"
#include "run/watch.h"

/* Atoms of O (element 0) and H (element 1) in pools and in the liquid's amounts. */
static double atoms_in_gas(const double *n, int element)
{
    static const double O[NXW_POOLS] = {1, 2, 2, 3, 2, 1, 0}, H[NXW_POOLS] = {0, 0, 1, 1, 0, 2, 0};
    double sum = 0.0;
    for (int j = 0; j < NXW_POOLS; j++)
        sum += n[j] * (element == 0 ? O[j] : H[j]);
    return sum;
}

static double atoms_in_liquid(const double *n, int element)
{
    static const double O[NXW_L_AMOUNTS] = {3, 2, 3, 1, 2, 2, 1};
    static const double H[NXW_L_AMOUNTS] = {1, 1, 1, 0, 0, 2, 2};
    double sum = 0.0;
    for (int j = 0; j < NXW_L_AMOUNTS; j++)
        sum += n[j] * (element == 0 ? O[j] : H[j]);
    return sum;
}

static double liquid_N(const double *n)
{
    return n[NXW_L_NITRATE] + n[NXW_L_N3] + n[NXW_L_HOONO] + n[NXW_L_NO_AQ] + n[NXW_L_NO2_AQ];
}

/*
 * Heat of one stage. The tank's ledger counts enthalpies of formation, in which a mole of nitrate
 * outweighs any warming; so what the liquid became is taken off at the temperature of the start;
 * what is left is warming alone:
 *
 *   stored = H(n, T) - H(n, T0) + C_glass (T - T0)
 *   booked = H(n, T0) - H(n0, T0) - what the gas brought
 */
static void heat_result(const struct nxw_stage_plan *plan, const double amount_mol[NXW_L_AMOUNTS],
                        const double *tank, const double *tank0, struct nxw_stage_result *s)
{
    const struct nxw_parameters *p = &plan->in->parameters;
    const double T_K = tank[NXW_T_TEMPERATURE], T0_K = tank0[NXW_T_TEMPERATURE];
    s->heat_lost_J = s->heat_stored_J = s->heat_booked_J = 0.0;
    if (plan->in->isothermal || plan->stage->kind != NXW_STAGE_BOTTLE)
        return; /* no heat is followed */
    double amount0_mol[NXW_L_AMOUNTS];
    nxw_stage_amounts(plan, tank0, amount0_mol);
    const double became_J = nxw_liquid_enthalpy_J(p, amount_mol, T0_K);
    s->heat_lost_J = tank[NXW_T_COUNT + NXW_E_HEAT_LOST];
    s->heat_stored_J =
        nxw_liquid_enthalpy_J(p, amount_mol, T_K) - became_J + plan->glass_J_K * (T_K - T0_K);
    s->heat_booked_J =
        became_J - nxw_liquid_enthalpy_J(p, amount0_mol, T0_K) - tank[NXW_T_COUNT + NXW_E_HEAT_IN];
}

static void stage_result(const struct nxw_train *train, size_t i, const double *x, const double *x0,
                         struct nxw_stage_result *s)
{
    const struct nxw_stage_plan *plan = &train->stages[i];
    const struct nxw_stage_view *v = &train->views[i];
    const double *tank = x + train->first[i] + plan->n_path, *e = tank + NXW_T_COUNT;
    const double *tank0 = x0 + train->first[i] + plan->n_path;
    s->entered_NO_mol = e[NXW_E_FED + NXW_NO];
    s->entered_NO2_mol = e[NXW_E_FED + NXW_NO2];
    s->entered_HNO2_mol = e[NXW_E_FED + NXW_HNO2];
    s->entered_HNO3_mol = e[NXW_E_FED + NXW_HNO3];
    s->left_NO_mol = e[NXW_E_OUT + NXW_NO];
    s->left_NO2_mol = e[NXW_E_OUT + NXW_NO2];
    s->left_HNO2_mol = e[NXW_E_OUT + NXW_HNO2];
    s->left_HNO3_mol = e[NXW_E_OUT + NXW_HNO3];
    s->nitrate_start_mol = plan->nitrate_start_mol;
    s->nitrate_mol = v->amount_mol[NXW_L_NITRATE];
    s->nitrous_acid_mol = tank[NXW_L_N3];
    s->HOONO_mol = tank[NXW_L_HOONO];
    s->NO_aq_mol = tank[NXW_L_NO_AQ];
    s->NO2_aq_mol = tank[NXW_L_NO2_AQ];
    s->in_flight_mol = nxw_gas_N(tank + NXW_T_HEAD);
    s->gas_m3 = v->head.volume_m3;
    s->peroxide_start_mol = tank0[NXW_L_H2O2];
    s->peroxide_mol = tank[NXW_L_H2O2];
    s->water_mol = tank[NXW_L_H2O];
    const struct nxw_liquid *l = &v->liquid;
    s->liquid_m3 = plan->stage->kind == NXW_STAGE_EMPTY ? 0.0 : l->volume_m3;
    s->density_kg_m3 = l->fluid.density_kg_m3;
    const double other = (l->mass_kg * (1.0 - l->peroxide_mass_fraction) -
                          tank[NXW_L_H2O] * NXW_MOLAR_MASS_H2O_KG_MOL) /
                         l->mass_kg;
    s->density_reference_kg_m3 =
        nxw_liquid_density_curve_kg_m3(other, l->peroxide_mass_fraction, 293.15);
    s->acid_mass_fraction = l->acid_mass_fraction;
    s->acid_mol_m3 = l->nitrate;
    s->temperature_K = tank[NXW_T_TEMPERATURE];
    s->ice_start_kg = plan->stage->ice_kg;
    s->ice_left_kg = nxw_bath_ice_kg(plan, tank[NXW_T_BATH_HEAT]);
    s->ice_melted_kg = fmax(0.0, s->ice_start_kg - s->ice_left_kg); /* a cold room freezes more */
    s->fizz_mol = e[NXW_E_FIZZ];
    s->drawn_back_mol = e[NXW_E_DRAWN_BACK];
    heat_result(plan, v->amount_mol, tank, tank0, s);
}

/* What was integrated beside the whole, no less than nothing and no more than that. */
static double part_of(double whole, double part) { return fmin(fmax(part, 0.0), fmax(whole, 0.0)); }

void nxw_account(const struct nxw_train *train, const double *x, const double *x0,
                 struct nxw_result *r)
{
    const struct nxw_stage_plan *first = &train->stages[0];
    const double *fed = x + train->first[0] + first->n_path + NXW_T_COUNT + NXW_E_FED;
    double O = 0.0, H = 0.0, N = 0.0, heat = 0.0, heat_scale = 1.0;
    for (size_t i = 0; i < train->n_stages; i++) {
        stage_result(train, i, x, x0, &r->stages[i]);
        const struct nxw_stage_result *s = &r->stages[i];
        const struct nxw_stage_plan *plan = &train->stages[i];
        const double *t = x + train->first[i] + plan->n_path;
        const double *t0 = x0 + train->first[i] + plan->n_path, *e = t + NXW_T_COUNT;
        r->kept_mol += t[NXW_L_NITRATE];
        r->held_mol += liquid_N(t) - liquid_N(t0);
        r->in_flight_mol += s->in_flight_mol;
        N += nxw_gas_N(e + NXW_E_FED) - nxw_gas_N(e + NXW_E_OUT) - nxw_gas_N(t + NXW_T_HEAD) +
             nxw_gas_N(t0 + NXW_T_HEAD) - liquid_N(t) + liquid_N(t0);
        O += atoms_in_gas(e + NXW_E_FED, 0) - atoms_in_gas(e + NXW_E_OUT, 0) -
             atoms_in_gas(t + NXW_T_HEAD, 0) + atoms_in_gas(t0 + NXW_T_HEAD, 0) -
             atoms_in_liquid(t, 0) + atoms_in_liquid(t0, 0);
        H += atoms_in_gas(e + NXW_E_FED, 1) - atoms_in_gas(e + NXW_E_OUT, 1) -
             atoms_in_gas(t + NXW_T_HEAD, 1) + atoms_in_gas(t0 + NXW_T_HEAD, 1) -
             atoms_in_liquid(t, 1) + atoms_in_liquid(t0, 1);
        heat += s->heat_booked_J + s->heat_stored_J + s->heat_lost_J;
        heat_scale += fabs(s->heat_booked_J) > 0.0 ? fabs(s->heat_lost_J) : 0.0;
        if (s->acid_mass_fraction > NXW_ACID_REGULATED)
            r->warnings |= NXW_WARN_LEGAL_STRENGTH;
        if (plan->stage->peroxide_mass_fraction > NXW_PEROXIDE_MOST)
            r->warnings |= NXW_WARN_PEROXIDE_STRONG;
        if (plan->stage->kind == NXW_STAGE_BOTTLE &&
            s->liquid_m3 > NXW_FULLEST * plan->stage->volume_m3)
            r->warnings |= NXW_WARN_HEADSPACE_SMALL;
        if (s->drawn_back_mol > NXW_DRAWN_BACK_MOL)
            r->warnings |= NXW_WARN_DRAWN_BACK;
        heat_scale += plan->glass_J_K * fabs(s->peak_temperature_K - t0[NXW_T_TEMPERATURE]) * 5.0;
    }
    r->fed_NO_mol = fed[NXW_NO];
    r->fed_NO2_mol = fed[NXW_NO2];
    r->fed_HNO2_mol = fed[NXW_HNO2];
    r->fed_HNO3_mol = fed[NXW_HNO3];
    r->fed_O2_mol = fed[NXW_O2];
    r->fed_mol = nxw_gas_N(fed);
    const struct nxw_stage_result *last = &r->stages[train->n_stages - 1];
    r->escaped_NO_mol = last->left_NO_mol;
    r->escaped_NO2_mol = last->left_NO2_mol;
    r->escaped_HNO2_mol = last->left_HNO2_mol;
    r->escaped_HNO3_mol = last->left_HNO3_mol;
    r->escaped_mol =
        r->escaped_NO_mol + r->escaped_NO2_mol + r->escaped_HNO2_mol + r->escaped_HNO3_mol;
    const double scale = r->fed_mol > 0.0 ? r->fed_mol : 1.0;
    r->nitrogen_closure = N / scale;
    r->oxygen_closure = O / scale;
    r->hydrogen_closure = H / scale;
    r->heat_closure = heat / heat_scale;

    /* why it escaped: the parts add up to what escaped */
    const struct nxw_stage_plan *plan = &train->stages[train->n_stages - 1];
    const double *e = x + train->first[train->n_stages - 1] + plan->n_path + NXW_T_COUNT;
    struct nxw_why *why = &r->why;
    const double back = part_of(r->escaped_NO_mol, e[NXW_E_OUT_RETURNED]);
    why->NO_given_back_peroxide_spent_mol = part_of(back, e[NXW_E_OUT_RETURNED_SPENT]);
    why->NO_given_back_mol = back - why->NO_given_back_peroxide_spent_mol;
    why->NO_never_oxidised_mol = r->escaped_NO_mol - back;
    why->NO2_reformed_swept_mol = part_of(r->escaped_NO2_mol, e[NXW_E_OUT_REFORMED]);
    const double passed = r->escaped_NO2_mol - why->NO2_reformed_swept_mol;
    size_t b = train->n_stages - 1; /* the last bottle that the gas bubbled through */
    while (b > 0 && train->stages[b].n_slices == 0)
        b--;
    const double *path = x + train->first[b] + train->stages[b].n_path + NXW_T_COUNT;
    const double liquid = path[NXW_E_THROUGH] > 0.0
                              ? part_of(1.0, path[NXW_E_THROUGH_LIQUID] / path[NXW_E_THROUGH])
                              : 0.0;
    why->NO2_too_dilute_mol = passed * liquid;
    why->NO2_path_too_short_mol = passed * (1.0 - liquid);
    why->acid_vapour_mol = r->escaped_HNO2_mol + r->escaped_HNO3_mol;

    if (train->in->vent_closed)
        r->warnings |= NXW_WARN_VENT_CLOSED;
    r->receiver_HNO3_mol = train->source.receiver_HNO3_mol;
    if (train->in->source.kind == NXW_SOURCE_ACID_VAPOUR)
        r->receiver_mass_fraction = train->in->source.condensate_mass_fraction;
}

bool nxw_account_is_believable(const struct nxw_train *train, const double *x,
                               const struct nxw_result *r)
{
    const double coarse = fmax(1e-3, 10.0 * train->in->relative_tolerance);
    const double slack = coarse * (r->fed_mol + 1e-6);
    bool good = fabs(r->nitrogen_closure) < 1e-4 || r->fed_mol < 1e-9;
    double most = r->fed_mol + slack;
    for (size_t i = 0; i < train->n_stages; i++)
        most += train->stages[i].nitrate_start_mol;
    for (size_t i = 0; i < train->n_stages; i++) {
        const double *amount = train->views[i].amount_mol;
        const double *head = x + train->first[i] + train->stages[i].n_path + NXW_T_HEAD;
        /* water of what was charged: a bottle that dries up passes nothing by a trace of it */
        const double water =
            1e-6 * train->stages[i].stage->liquid_m3 * 1e3 / NXW_MOLAR_MASS_H2O_KG_MOL;
        for (int j = 0; j < NXW_L_AMOUNTS; j++)
            good = good && amount[j] >= -(j == NXW_L_H2O ? fmax(slack, water) : slack);
        for (int j = NXW_L_NITRATE; j <= NXW_L_NO2_AQ; j++)
            good = good && amount[j] <= most;
        for (int j = 0; j < NXW_POOLS; j++)
            good = good && head[j] >= -slack;
    }
    return good && r->escaped_mol >= -slack && r->escaped_mol <= most;
}

bool nxw_account_is_clean(const struct nxw_train *train, const struct nxw_result *r)
{
    const double share = 1e-6;
    double moved = r->source_mol; /* a trace may be far less than the vapour of an acid */
    for (size_t i = 0; i < r->n_stages; i++) {
        const struct nxw_stage_result *s = &r->stages[i];
        moved += fabs(s->left_NO_mol) + fabs(s->left_NO2_mol) + fabs(s->left_HNO2_mol) +
                 fabs(s->left_HNO3_mol);
    }
    bool clean = true;
    for (size_t i = 0; i < r->n_stages; i++) {
        const struct nxw_stage_result *s = &r->stages[i];
        const double water_mol =
            train->stages[i].stage->liquid_m3 * 1e3 / NXW_MOLAR_MASS_H2O_KG_MOL;
        const double held[] = {s->nitrate_mol,  s->nitrous_acid_mol, s->NO_aq_mol,
                               s->NO2_aq_mol,   s->HOONO_mol,        s->in_flight_mol,
                               s->left_NO_mol,  s->left_NO2_mol,     s->left_HNO2_mol,
                               s->left_HNO3_mol};
        double least_N = held[0];
        for (size_t k = 1; k < sizeof held / sizeof held[0]; k++)
            least_N = fmin(least_N, held[k]);
        clean = clean && least_N >= -share * moved && s->water_mol >= -share * water_mol &&
                s->peroxide_mol >= -share * (moved + s->peroxide_start_mol);
    }
    return clean;
}
