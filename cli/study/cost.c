#include "study/cost.h"

#include <math.h>

#include "case/case_file.h"
#include "study/what_if.h"

#define ROOM_K 293.15

double nxw_priced(const struct nxw_price *price, double mass_kg, double density_kg_m3)
{
    if (!price->given || price->basis == NXW_PER_KWH)
        return (double)NAN;
    return price->amount *
           (price->basis == NXW_PER_LITRE ? 1e3 * mass_kg / density_kg_m3 : mass_kg);
}

double nxw_ice_cost(const struct nxw_case_notes *notes, double ice_kg)
{
    const struct nxw_price *ice = &notes->prices[NXW_PRICE_ICE]; /* by the kg alone */
    return ice->given ? ice->amount * ice_kg : (double)NAN;
}

double nxw_peroxide_cost(const struct nxw_case_notes *notes, double peroxide_kg)
{
    return nxw_priced(&notes->prices[NXW_PRICE_PEROXIDE], peroxide_kg / NXW_PEROXIDE_BOUGHT,
                      nxw_peroxide_density_kg_m3(NXW_PEROXIDE_BOUGHT, ROOM_K));
}

double nxw_bought_acid_cost_kg(const struct nxw_case_notes *notes)
{
    return nxw_priced(&notes->prices[NXW_PRICE_BOUGHT_ACID], 1.0 / NXW_BOUGHT_ACID,
                      nxw_acid_density_kg_m3(NXW_BOUGHT_ACID, ROOM_K));
}

double nxw_water_kg(const struct nxw_stage *s)
{
    const double charge_kg =
        s->liquid_m3 *
        nxw_liquid_density_kg_m3(s->acid_mass_fraction, s->peroxide_mass_fraction, ROOM_K);
    return fmax(charge_kg *
                    (1.0 - s->acid_mass_fraction - s->peroxide_mass_fraction / NXW_PEROXIDE_BOUGHT),
                0.0);
}

static double water_kg(const struct nxw_case *c)
{
    double sum = 0.0;
    for (size_t i = 0; i < c->n_stages; i++)
        sum += c->stages[i].kind == NXW_STAGE_BOTTLE ? nxw_water_kg(&c->stages[i]) : 0.0;
    return sum;
}

double nxw_charge_cost(const struct nxw_case_notes *notes, const struct nxw_case *from,
                       const struct nxw_case *to)
{
    const double peroxide_kg = nxw_case_peroxide_kg(to) - nxw_case_peroxide_kg(from);
    const double ice_kg = nxw_case_ice_kg(to) - nxw_case_ice_kg(from);
    const double water = nxw_priced(&notes->prices[NXW_PRICE_WATER], water_kg(to) - water_kg(from),
                                    nxw_pure_water_density_kg_m3(ROOM_K));
    double cost = 0.0;
    if (peroxide_kg > 0.0)
        cost += nxw_peroxide_cost(notes, peroxide_kg);
    if (ice_kg > 0.0)
        cost += nxw_ice_cost(notes, ice_kg);
    if (water > 0.0)
        cost += water;
    return cost > 0.0 ? cost : (double)NAN;
}

const char *nxw_currency(const char *label)
{
    return label[0] != '\0' ? label : "(currency not given)";
}
