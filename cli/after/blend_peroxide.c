/* Strengths of peroxide: wt%, w/v%, mol/L, volumes, and what a bare "30 %" may mean. */
#include <stdio.h>

#include "after/blend_report.h"
#include "base/text_layout.h"
#include "noxwash.h"
#include "words/cautions.h"
#include "words/limit_digits.h"

#define OXYGEN_L_PER_MOL 11.207 /* half of 22.414 L, at 0 degC and 1 atm */
#define ROOM_K 293.15

static double kg_m3(double w) { return w * nxw_peroxide_density_kg_m3(w, ROOM_K); }
static double mol_L(double w) { return 1e-3 * kg_m3(w) / NXW_MOLAR_MASS_H2O2_KG_MOL; }

static void row(const char *meaning, double w)
{
    (void)printf("  %-26s %6.2f %6.2f %7.3f %7.1f %8.1f %10.4f\n", meaning, 100.0 * w,
                 0.1 * kg_m3(w), mol_L(w), kg_m3(w), OXYGEN_L_PER_MOL * mol_L(w),
                 1e-3 * nxw_peroxide_density_kg_m3(w, ROOM_K));
}

static void head(const char *text)
{
    (void)printf("Peroxide of %.40s, at 20 degC\n\n"
                 "  %-26s %6s %6s %7s %7s %8s %10s\n",
                 text, "if the label means", "wt%", "w/v%", "mol/L", "g/L", "volumes", "g/cm3");
}

static json_t *json_row(struct nxw_json *j, const char *meaning, double w)
{
    json_t *o = nxw_json_object(j);
    nxw_json_text(j, o, "meaning", meaning);
    nxw_json_number(j, o, "H2O2_wt_pct", 100.0 * w);
    nxw_json_number(j, o, "H2O2_wv_pct", 0.1 * kg_m3(w));
    nxw_json_number(j, o, "H2O2_mol_L", mol_L(w));
    nxw_json_number(j, o, "H2O2_g_L", kg_m3(w));
    nxw_json_number(j, o, "volumes", OXYGEN_L_PER_MOL * mol_L(w));
    nxw_json_number(j, o, "density_20C_kg_m3", nxw_peroxide_density_kg_m3(w, ROOM_K));
    return o;
}

enum nxw_exit nxw_blend_peroxide(const struct nxw_options *options)
{
    const char *text = options->blend.peroxide;
    char message[NXW_PART_MESSAGE_LENGTH];
    double w, as_wv = 0.0;
    const bool two = nxw_peroxide_ambiguous(text, &w, &as_wv);
    if (!two && !nxw_peroxide_read_told(text, &w, message))
        return nxw_blend_fault("--peroxide", message);
    if (options->json) {
        struct nxw_json j = {0};
        json_t *root = nxw_blend_head(&j, "peroxide"), *rows = nxw_json_array(&j);
        nxw_json_add(&j, rows, json_row(&j, two ? "wt%" : text, w));
        if (two)
            nxw_json_add(&j, rows, json_row(&j, "w/v%", as_wv));
        nxw_json_put(&j, root, "meanings", rows);
        return nxw_blend_finish(&j, root);
    }
    head(text);
    row(two ? "grams in 100 g (wt%)" : text, w);
    if (two) {
        row("grams in 100 mL (w/v%)", as_wv);
        if (w > 0.0)
            nxw_wrapf(
                stdout, "\n  ", 2,
                "The same number, two strengths: the second holds %.0f %% less peroxide. Look "
                "at the label (w/w or wt: the first; w/v: the second) or at the density; "
                "write wt%% or w/v%% everywhere else.",
                100.0 * (1.0 - kg_m3(as_wv) / kg_m3(w)));
    }
    (void)fputs("\n", stdout);
    nxw_wrap(stdout, "  ", 2,
             "Volumes: litres of oxygen, at 0 degC and 1 atm, that one litre gives off when all of "
             "it decomposes. Old bottles have lost strength: titrate with permanganate.");
    if (w > NXW_PEROXIDE_MOST)
        nxw_wrap(stdout, "  ! ", 4,
                 "Above " NXW_PEROXIDE_DIGITS " wt% peroxide is regulated in many places, and the "
                 "bottle must not be filled with it: dilute first.");
    (void)fputs("\n", stdout);
    nxw_cautions_print(stdout, NULL);
    return NXW_EXIT_DONE;
}
