#include "selftest/published_units.h"

#include <stddef.h>
#include <string.h>

#define ATM 101325.0
#define MMHG 133.322387415
#define CAL 4.184
#define AVOGADRO 6.02214076e23

/* An SI unit stands for itself and needs no row. */
static const struct nxw_published_unit UNITS[] = {
    {"degC", "K", 1.0, 273.15},
    {"%", "1", 1e-2, 0.0},
    {"wt%", "1", 1e-2, 0.0},
    {"ppm", "1", 1e-6, 0.0},
    {"g/cm3", "kg/m3", 1e3, 0.0},
    {"g/(100 mL)", "kg/m3", 10.0, 0.0},
    {"mPa s", "Pa s", 1e-3, 0.0},
    {"mN/m", "N/m", 1e-3, 0.0},
    {"kJ/(kg K)", "J/(kg K)", 1e3, 0.0},
    {"mmHg", "Pa", MMHG, 0.0},
    {"kPa", "Pa", 1e3, 0.0},
    {"atm", "Pa", ATM, 0.0},
    {"natm", "Pa", 1e-9 * ATM, 0.0},
    {"1/atm", "1/Pa", 1.0 / ATM, 0.0},
    {"1/(atm2 s)", "1/(Pa2 s)", 1.0 / (ATM * ATM), 0.0},
    {"mol/L", "mol/m3", 1e3, 0.0},
    {"mmol/L", "mol/m3", 1.0, 0.0},
    {"L/mol", "m3/mol", 1e-3, 0.0},
    {"mol/(L s)", "mol/(m3 s)", 1e3, 0.0},
    {"mol/(L s atm2)", "mol/(m3 s Pa2)", 1e3 / (ATM * ATM), 0.0},
    {"mol/(L atm)", "mol/(m3 Pa)", 1e3 / ATM, 0.0},
    {"mol2/(kg2 atm)", "mol2/(kg2 Pa)", 1.0 / ATM, 0.0},
    {"L/(mol s)", "m3/(mol s)", 1e-3, 0.0},
    {"L2/(mol2 s)", "m6/(mol2 s)", 1e-6, 0.0},
    {"cm6/s", "m6/(mol2 s)", 1e-12 * AVOGADRO *AVOGADRO, 0.0}, /* per molecule squared */
    {"mol/(cm3 s atm3)", "mol/(m3 s Pa3)", 1e6 / (ATM * ATM * ATM), 0.0},
    {"kmol/(m2 s)", "mol/(m2 s)", 1e3, 0.0},
    {"kmol/(m2 s atm)", "mol/(m2 s Pa)", 1e3 / ATM, 0.0},
    {"cm2/s", "m2/s", 1e-4, 0.0},
    {"1e-9 m2/s", "m2/s", 1e-9, 0.0},
    {"mm", "m", 1e-3, 0.0},
    {"um", "m", 1e-6, 0.0},
    {"cm/s", "m/s", 1e-2, 0.0},
    {"cm2", "m2", 1e-4, 0.0},
    {"mL", "m3", 1e-6, 0.0},
    {"L/min", "m3/s", 1e-3 / 60.0, 0.0},
    {"h", "s", 3600.0, 0.0},
    {"g/mol", "kg/mol", 1e-3, 0.0},
    {"kJ/mol", "J/mol", 1e3, 0.0},
    {"kcal/mol", "J/mol", 1e3 * CAL, 0.0},
};

const struct nxw_published_unit *nxw_published_unit(const char *text, const char *SI)
{
    static const struct nxw_published_unit itself = {"", "", 1.0, 0.0};
    if (strcmp(text, SI) == 0)
        return &itself;
    for (size_t i = 0; i < sizeof UNITS / sizeof UNITS[0]; i++)
        if (strcmp(UNITS[i].text, text) == 0 && strcmp(UNITS[i].SI, SI) == 0)
            return &UNITS[i];
    return NULL;
}
