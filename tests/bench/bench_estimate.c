/*
 * Orientation figures: the rich feed, iced, with peroxide, with half NO, swept with air. Prints
 * results, steps, right-hand sides, Jacobians and milliseconds; asserts nothing.
 */
#include <stdio.h>

#include "../rich_feed.h"

static void show(const char *name, const struct nxw_case *c)
{
    struct nxw_result r;
    if (nxw_estimate(c, NULL, NULL, &r) < 0) {
        printf("%-22s %s\n", name, r.diagnosis.text);
        return;
    }
    printf("%-22s kept %5.1f %%  HNO2 %5.1f %%  escaped %5.2f %%  peak %4.1f degC  closure N %8.1e "
           "heat %8.1e  steps %ld  rhs %ld  jacobians %ld  %.1f ms\n",
           name, 100.0 * r.kept_mol / r.fed_mol, 100.0 * r.stages[0].nitrous_acid_mol / r.fed_mol,
           100.0 * r.escaped_mol / r.fed_mol, r.stages[0].peak_temperature_K - 273.15,
           r.nitrogen_closure, r.heat_closure, r.statistics.steps, r.statistics.rhs,
           r.statistics.jacobians, r.statistics.processor_ms);
}

int main(void)
{
    const struct nxw_case c = rich_feed();
    show("water", &c);

    struct nxw_case d = c;
    d.stages[0].bath = NXW_BATH_ICE_WATER;
    d.stages[0].ice_kg = 2.0;
    d.stages[0].UA_W_K = 4.0;
    show("iced", &d);
    d = c;
    d.stages[0].peroxide_mass_fraction = 0.0404;
    show("0.3 mol peroxide", &d);
    d = c;
    d.source.flow_mol_s = 0.5 / 2700.0;
    d.source.NO2_fraction = d.source.NO_fraction = 0.5;
    d.source.O2_fraction = 0.0;
    d.carrier.gas = NXW_GAS_AIR;
    d.carrier.flow_mol_s = 1.5 / 60.0 / 24.055;
    d.carrier.until_s = 2700.0;
    show("half NO, 1.5 L/min air", &d);
    const double L_min[] = {0.14, 0.43, 1.44};
    for (int i = 0; i < 3; i++) {
        d = c;
        d.carrier.gas = NXW_GAS_AIR;
        d.carrier.flow_mol_s = L_min[i] / 60.0 / 24.055;
        d.carrier.until_s = 2700.0;
        char name[32];
        snprintf(name, sizeof name, "%.2f L/min air", L_min[i]);
        show(name, &d);
    }
    return 0;
}
