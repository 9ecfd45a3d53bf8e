/* What the acid of a run cost against bought acid, and what was kept out of the air. */
#include <math.h>
#include <string.h>

#include "after/balance_report.h"
#include "base/text_layout.h"
#include "case/exposure_limits.h"
#include "noxwash.h"
#include "study/cost.h"

#define ROOM_K 293.15
#define J_KWH 3.6e6
/* air at 20 degC and 1 atm */
#define AIR_M3_MOL (8.31446261815324 * ROOM_K / 101325.0)

/* ------------------------------------------------------------------------------- prices */

static void add(double price, double *sum, bool *any)
{
    if (isnan(price))
        return;
    *sum += price;
    *any = true;
}

/* Peroxide, water and ice of the case, energy and disposal of the run; what has no price is not
 * counted. NAN: nothing has one. */
static double spent(const struct nxw_run *run)
{
    const double counted[] = {run->notes.prices[NXW_PRICE_ENERGY].amount * run->energy_J / J_KWH,
                              run->notes.prices[NXW_PRICE_DISPOSAL].amount * 1e3 *
                                  run->disposed_m3};
    double sum = 0.0;
    bool any = false;
    for (size_t k = 0; k < sizeof counted / sizeof counted[0]; k++)
        add(counted[k], &sum, &any);
    for (size_t i = 0; i < run->in.n_stages; i++) {
        const struct nxw_stage *s = &run->in.stages[i];
        if (s->kind != NXW_STAGE_BOTTLE)
            continue;
        const double charge_kg =
            s->liquid_m3 *
            nxw_liquid_density_kg_m3(s->acid_mass_fraction, s->peroxide_mass_fraction, ROOM_K);
        const double peroxide_kg = charge_kg * s->peroxide_mass_fraction;
        const double parts[] = {
            peroxide_kg > 0.0 ? nxw_peroxide_cost(&run->notes, peroxide_kg) : (double)NAN,
            nxw_priced(&run->notes.prices[NXW_PRICE_WATER], nxw_water_kg(s),
                       nxw_pure_water_density_kg_m3(ROOM_K)),
            s->bath == NXW_BATH_ICE_WATER && s->ice_kg > 0.0 ? nxw_ice_cost(&run->notes, s->ice_kg)
                                                             : (double)NAN};
        for (size_t k = 0; k < sizeof parts / sizeof parts[0]; k++)
            add(parts[k], &sum, &any);
    }
    return any ? sum : (double)NAN;
}

void nxw_balance_take_prices(struct nxw_run *run)
{
    if (run->in.n_stages == 0)
        return;
    if (run->currency[0] == '\0')
        (void)snprintf(run->currency, sizeof run->currency, "%s", run->notes.currency);
    if (isnan(run->spent)) {
        run->spent = spent(run);
        run->priced = !isnan(run->spent);
    }
    const double acid_kg = nxw_bought_acid_cost_kg(&run->notes);
    if (!isnan(run->bought_price) || isnan(acid_kg))
        return;
    run->bought_priced = true;
    run->bought_m3 = 1e-3;
    run->bought_mass_fraction = NXW_BOUGHT_ACID;
    run->bought_price = acid_kg * NXW_BOUGHT_ACID * run->bought_m3 *
                        nxw_acid_density_kg_m3(NXW_BOUGHT_ACID, ROOM_K);
}

/* ------------------------------------------------------------------------------ figures */

struct cost {
    double HNO3_kg, scrubber_HNO3_kg; /* of receiver and scrubber as read */
    double strength_kg_m3;            /* of the bought acid, 20 degC; NAN: none is known */
    double own_kg, bought_kg;         /* per kg HNO3; NAN: not known */
    bool receiver_unread, scrubber_unread;
    double kept_out_mol; /* nitrogen found in the scrubber, less what was put in */
};

static double kept_out_mol(const struct nxw_balance_report *r)
{
    double mol = 0.0;
    bool read = false;
    for (size_t p = 0; p < r->run->n_places; p++)
        if (nxw_place_is_scrubber(r->run->places[p]) && !isnan(r->account.found_mol[p])) {
            mol += r->account.found_mol[p];
            read = true;
        }
    for (size_t i = 0; i < r->run->n_put_in; i++)
        if (nxw_place_is_scrubber(r->run->put_in[i].where))
            mol -= nxw_put_in_HNO3_mol(&r->run->put_in[i]);
    return read ? mol : (double)NAN;
}

static struct cost reckon(const struct nxw_balance_report *r)
{
    const struct nxw_run *run = r->run;
    const struct nxw_yields y = nxw_balance_yields(r);
    const double receiver_mol = isnan(y.receiver_mol) ? 0.0 : y.receiver_mol;
    const double scrubber_mol = isnan(y.scrubber_mol) ? 0.0 : y.scrubber_mol;
    struct cost c = {.HNO3_kg = (receiver_mol + scrubber_mol) * NXW_MOLAR_MASS_HNO3_KG_MOL,
                     .scrubber_HNO3_kg = scrubber_mol * NXW_MOLAR_MASS_HNO3_KG_MOL,
                     .strength_kg_m3 = NAN,
                     .receiver_unread = isnan(y.receiver_mol),
                     .scrubber_unread = isnan(y.scrubber_mol),
                     .own_kg = NAN,
                     .bought_kg = NAN,
                     .kept_out_mol = kept_out_mol(r)};
    if (c.HNO3_kg > 0.0)
        c.own_kg = run->spent / c.HNO3_kg;
    const double w = run->bought_mass_fraction;
    if (!isnan(run->bought_price)) {
        c.strength_kg_m3 = w * nxw_acid_density_kg_m3(w, ROOM_K);
        c.bought_kg = (run->bought_price + (isnan(run->delivery) ? 0.0 : run->delivery)) /
                      (run->bought_m3 * c.strength_kg_m3);
    }
    return c;
}

/* --------------------------------------------------------------------------------- text */

/* For a litre as strong as the bought acid, so that both are prices of the same thing. */
static void price_row(FILE *out, const char *name, double each_kg, const struct nxw_run *run,
                      double strength_kg_m3)
{
    const char *currency = nxw_currency(run->currency);
    if (isnan(each_kg))
        return;
    (void)fprintf(out, "  %-22s %8.2f %s per kg HNO3", name, each_kg, currency);
    if (strength_kg_m3 > 0.0)
        (void)fprintf(out, ", %.2f per L of %.3g wt%%", each_kg * 1e-3 * strength_kg_m3,
                      100.0 * run->bought_mass_fraction);
    (void)fputs("\n", out);
}

/* The cost is spread over what was read. */
static void print_unread(FILE *out, const struct cost *c)
{
    if (!isnan(c->own_kg) && c->receiver_unread != c->scrubber_unread)
        nxw_wrapf(
            out, "  ", 2,
            "The %s was not read: only the acid of the %s is counted, so a kg costs less than "
            "this if the other holds acid too.",
            c->receiver_unread ? "receiver" : "scrubber",
            c->receiver_unread ? "scrubber" : "receiver");
}

static void print_prices(FILE *out, const struct nxw_run *run, const struct cost *c)
{
    const char *currency = nxw_currency(run->currency);
    if (isnan(c->own_kg) && isnan(c->bought_kg))
        return;
    (void)fputs("\nCost\n", out);
    price_row(out, "this run", c->own_kg, run, c->strength_kg_m3);
    price_row(out,
              isnan(run->delivery)  ? "bought, not delivered"
              : run->delivery > 0.0 ? "bought, with delivery"
                                    : "bought, delivery free",
              c->bought_kg, run, c->strength_kg_m3);
    if (!isnan(c->bought_kg) && isnan(run->delivery))
        nxw_wrap(out, "  ", 2,
                 "The price of delivery was not given ('delivery') and is not counted.");
    print_unread(out, c);
    if (run->priced)
        nxw_wrap(out, "  ", 2,
                 "Spent: counted from the case's prices: peroxide as 30 wt% solution, water and "
                 "ice, the run's energy and disposal, as far as they have one.");
    if (run->bought_priced)
        nxw_wrap(out, "  ", 2, "Bought acid: the case's price, as 68 wt%.");
    if (!isnan(c->own_kg) && !isnan(c->bought_kg))
        nxw_wrapf(out, "  ", 2,
                  "The run's acid costs %.2g times the bought one, labour%s not counted.",
                  c->own_kg / c->bought_kg,
                  isnan(run->disposed_m3) ? ", glass and disposal" : " and glass");
    if (!isnan(c->bought_kg) && c->scrubber_HNO3_kg > 0.0)
        nxw_wrapf(out, "  ", 2, "The scrubber's %.2f g HNO3 would cost %.2f %s to buy.",
                  1e3 * c->scrubber_HNO3_kg, c->scrubber_HNO3_kg * c->bought_kg, currency);
}

/* The air that would hold so much NO2 at the first limit of the table. */
static void print_air(FILE *out, double mol)
{
    struct nxw_exposure_limit limits[NXW_EXPOSURE_LIMITS_MAX];
    const size_t n = nxw_exposure_limits(limits);
    for (size_t i = 0; i < n; i++)
        if (strcmp(limits[i].substance, "NO2") == 0) {
            char air[NXW_AMOUNT_LENGTH];
            nxw_number_text(mol * AIR_M3_MOL / (1e-6 * limits[i].ppm), 3, air);
            nxw_wrapf(out, "  ", 2,
                      "As NO2 it would bring %s m3 of air to %.3g ppm (%s, %s; source: %s).", air,
                      limits[i].ppm, limits[i].name, limits[i].averaging, limits[i].source);
            return;
        }
}

void nxw_balance_cost_print(FILE *out, const struct nxw_balance_report *r)
{
    const struct nxw_run *run = r->run;
    const struct cost c = reckon(r);
    print_prices(out, run, &c);
    if (!(c.kept_out_mol > 0.0))
        return;
    const double NO2_kg = c.kept_out_mol * NXW_MOLAR_MASS_NO2_KG_MOL;
    (void)fputs("\nKept out of the air\n", out);
    nxw_wrapf(out, "  ", 2,
              "%.2f g, counted as NO2: the nitrogen found in the scrubber, nitrous acid with it.",
              1e3 * NO2_kg);
    print_air(out, c.kept_out_mol);
    if (!isnan(run->NO2_price))
        nxw_wrapf(out, "  ", 2, "At %.2f %s per kg NO2 that is worth %.2f %s.", run->NO2_price,
                  nxw_currency(run->currency), run->NO2_price * NO2_kg,
                  nxw_currency(run->currency));
}

json_t *nxw_balance_cost_json(struct nxw_json *j, const struct nxw_balance_report *r)
{
    const struct cost c = reckon(r);
    const double NO2_kg = c.kept_out_mol * NXW_MOLAR_MASS_NO2_KG_MOL;
    json_t *o = nxw_json_object(j);
    nxw_json_text(j, o, "currency", r->run->currency);
    nxw_json_number(j, o, "spent_currency", r->run->spent);
    nxw_json_number(j, o, "delivery_currency", r->run->delivery);
    nxw_json_number(j, o, "counted_HNO3_g", 1e3 * c.HNO3_kg);
    nxw_json_number(j, o, "run_currency_per_kg_HNO3", c.own_kg);
    nxw_json_number(j, o, "bought_currency_per_kg_HNO3", c.bought_kg);
    nxw_json_number(j, o, "strength_g_L", c.strength_kg_m3); /* of the bought acid */
    nxw_json_number(j, o, "run_currency_per_L", c.own_kg * 1e-3 * c.strength_kg_m3);
    nxw_json_number(j, o, "bought_currency_per_L", c.bought_kg * 1e-3 * c.strength_kg_m3);
    nxw_json_number(j, o, "kept_out_of_the_air_NO2_g", 1e3 * NO2_kg);
    nxw_json_number(j, o, "kept_out_of_the_air_worth_currency", r->run->NO2_price * NO2_kg);
    return o;
}
