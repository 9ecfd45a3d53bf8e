#include "case/new_case.h"

#include <string.h>

#include "case/case_fields.h"

const char *const nxw_new_case_table_name = "source.csv";

#define TRAIN                                                                                      \
    "# air, nitrogen or oxygen that goes through with the gas; let it outlast the source\n"        \
    "# carrier: {gas: air, flow: 0.3 L/min, until: 60 min}\n"                                      \
    "\n"                                                                                           \
    "# the bottles in the order the gas meets them\n"                                              \
    "train:\n"                                                                                     \
    "  - glass: washing bottle 250 mL   # or 'volume' and 'inner diameter'\n"                      \
    "    liquid: 150 mL\n"                                                                         \
    "    # acid: 5 wt%                  # nitric acid already in it\n"                             \
    "    # peroxide: 3 wt%              # or w/v%, mol/L, volumes\n"                               \
    "    tip: {kind: open tube, bore: 6 mm}   # or: holes, frit\n"                                 \
    "    bath: {kind: air, temperature: 20 degC}   # or: {kind: ice water, ice: 400 g}\n"          \
    "\n"                                                                                           \
    "# hood: {flow: 10 m3/min}          # for the strength of the gas in the hood's air\n"         \
    "after: {standing: 30 min}          # how long the bottle stands open to its vent\n"           \
    "# aim: acid                        # what remedies rank by; left out: clean air\n"            \
    "# prices: {currency: EUR, peroxide: 4 per L, ice: 0.20 per kg, bought acid: 12 per kg}\n"

static const char *const STARTERS[NXW_NEW_CASE_KINDS] = {
    [NXW_SOURCE_ACID_VAPOUR] =
        "# Nitric acid vapour, part of which the heat splits into brown gas and oxygen.\n"
        "source:\n"
        "  kind: acid vapour\n"
        "  acid made: 0.60 mol     # or g: all the nitric acid the run makes\n"
        "  decomposed: 35 %        # share of it lost as brown gas\n"
        "  duration: 40 min\n"
        "  shape: rise and fall    # or: steady; file (with 'file: NAME.csv')\n"
        "  condenser temperature: 15 degC\n"
        "\n"
        "# the gas space of the hot vessel: tells what it draws over when it cools\n"
        "# vessel: {volume: 500 mL, hot: 120 degC}\n"
        "\n" TRAIN,
    [NXW_SOURCE_METAL] =
        "# A metal that dissolves in nitric acid.\n"
        "source:\n"
        "  kind: metal\n"
        "  metal: copper           # such as silver, nickel, zinc, iron\n"
        "  mass: 10 g\n"
        "  NO2 share: 50 %         # near 100 % in strong acid, less in weak acid\n"
        "  duration: 30 min\n"
        "  shape: rise and fall    # or: steady; file (with 'file: NAME.csv')\n"
        "\n"
        "# the gas space of the hot vessel: tells what it draws over when it cools\n"
        "# vessel: {volume: 500 mL, hot: 120 degC}\n"
        "\n" TRAIN,
    [NXW_SOURCE_METERED] = "# Gas from a cylinder through a flow meter.\n"
                           "source:\n"
                           "  kind: metered\n"
                           "  flow: 0.2 L/min         # counted at 20 degC and 1 atm\n"
                           "  NO2: 5 % by volume      # or ppm\n"
                           "  NO: 0 % by volume\n"
                           "  O2: 19.9 % by volume    # the rest is inert\n"
                           "  duration: 30 min\n"
                           "  # steps:                # instead of one flow\n"
                           "  #   - {from: 0 min, flow: 0.1 L/min, NO2: 5 %, O2: 19.9 %}\n"
                           "  #   - {from: 10 min, flow: 0.2 L/min, NO2: 5 %, O2: 19.9 %}\n"
                           "\n" TRAIN,
    [NXW_SOURCE_TABLE] =
        "# Gas flows from a table beside this file, such as a reading every few minutes.\n"
        "# Its first line: time_s,NO_mol_s,NO2_mol_s,HNO2_mol_s,HNO3_mol_s,O2_mol_s,"
        "inert_mol_s,H2O_mol_s\n"
        "source:\n"
        "  kind: table\n"
        "  file: source.csv\n"
        "\n" TRAIN,
};

bool nxw_new_case_kind(const char *word, enum nxw_source_kind *kind)
{
    if (strcmp(word, "acid-vapour") == 0)
        word = nxw_words_source[NXW_SOURCE_ACID_VAPOUR];
    for (size_t i = 0; i < NXW_NEW_CASE_KINDS; i++)
        if (strcmp(word, nxw_words_source[i]) == 0) {
            *kind = (enum nxw_source_kind)i;
            return true;
        }
    return false;
}

const char *nxw_new_case_text(enum nxw_source_kind kind) { return STARTERS[kind]; }

const char *nxw_new_case_table_text(void)
{
    return "# made-up flows, to be replaced\n"
           "time_s,NO_mol_s,NO2_mol_s,HNO2_mol_s,HNO3_mol_s,O2_mol_s,inert_mol_s,H2O_mol_s\n"
           "0,0,0,0,0,0,0,0\n"
           "600,1e-5,1e-4,0,0,2.5e-5,2e-4,0\n"
           "1800,1e-5,1e-4,0,0,2.5e-5,2e-4,0\n"
           "2400,0,0,0,0,0,0,0\n";
}
