#include "cost.h"

#include <math.h>

#include "report_words.h"

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

const char *nxw_currency(const char *label)
{
    return label[0] != '\0' ? label : "(currency not given)";
}
