/* What peroxide and bought acid cost, at the prices of a case. */
#ifndef NXW_COST_H
#define NXW_COST_H

#include "case/case_file.h"

/* Strength of acid as bought, mass fraction: its price is counted at it; common, no source. */
#define NXW_BOUGHT_ACID 0.68

/* Price of so much of a liquid; NAN: not given, or by the kWh. */
double nxw_priced(const struct nxw_price *price, double mass_kg, double density_kg_m3);
double nxw_ice_cost(const struct nxw_case_notes *notes, double ice_kg);

/* Price of so much H2O2 (100 %), bought as solution; NAN: not given. */
double nxw_peroxide_cost(const struct nxw_case_notes *notes, double peroxide_kg);

/* Price of a kg HNO3 (100 %) in bought acid; NAN: not given. */
double nxw_bought_acid_cost_kg(const struct nxw_case_notes *notes);

/*
 * Price of what the bottles of one case are charged with, and of the ice around them, over that of
 * another: peroxide, water, ice.
 *
 * Returned: NAN: nothing priced is used, or peroxide or ice that has no price. Glass, gas and acid
 *           have none: what acid is filled in is there afterwards
 */
double nxw_charge_cost(const struct nxw_case_notes *notes, const struct nxw_case *from,
                       const struct nxw_case *to);

/* Water that is filled in beside the peroxide as bought, kg. */
double nxw_water_kg(const struct nxw_stage *bottle);

/* The case's currency, or a word that none was given. */
const char *nxw_currency(const char *label);

#endif
