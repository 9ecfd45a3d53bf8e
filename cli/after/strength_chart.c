#include <math.h>

#include "after/strength_report.h"
#include "base/gnuplot.h"
#include "base/json_out.h"
#include "base/text_layout.h"
#include "noxwash.h"
#include "words/cautions.h"

static const double COLUMNS_degC[] = {10, 15, 20, 25, 30, 40};
enum { N_COLUMNS = 6, FIRST_wt = 0, LAST_wt = 70, STEP_wt = 2 };

static double celsius(double K) { return K - 273.15 + 0.0; }

static struct nxw_gravity specific(enum nxw_gravity_kind kind, double liquid_degC,
                                   double water_degC, double modulus)
{
    return (struct nxw_gravity){.kind = kind,
                                .modulus = modulus,
                                .liquid_K = liquid_degC + 273.15,
                                .water_K = water_degC + 273.15,
                                .glass = true,
                                .reference_K = liquid_degC + 273.15,
                                .expansion_1_K = 25e-6};
}

void nxw_instruments(struct nxw_instrument out[NXW_INSTRUMENT_COUNT])
{
    const double F60 = 140.0 / 9.0;
    const struct nxw_gravity density = {
        .kind = NXW_GRAVITY_DENSITY, .glass = true, .reference_K = 293.15, .expansion_1_K = 25e-6};
    const struct nxw_instrument all[NXW_INSTRUMENT_COUNT] = {
        {"hydrometer_20C_g_cm3", "hydrometer in g/cm3, made for 20 degC", density},
        {"gravity_20_4", "specific gravity 20/4", specific(NXW_GRAVITY_SPECIFIC, 20, 4, 0)},
        {"gravity_20_20", "specific gravity 20/20", specific(NXW_GRAVITY_SPECIFIC, 20, 20, 0)},
        {"gravity_15_4", "specific gravity 15/4", specific(NXW_GRAVITY_SPECIFIC, 15, 4, 0)},
        {"gravity_60_60F", "specific gravity 60/60 F", specific(NXW_GRAVITY_SPECIFIC, F60, F60, 0)},
        {"baume_145", "degrees Baume, modulus 145 (60/60 F)",
         specific(NXW_GRAVITY_BAUME, F60, F60, 145)},
        {"baume_144_3", "degrees Baume, modulus 144.3 (15/15)",
         specific(NXW_GRAVITY_BAUME, 15, 15, 144.3)},
    };
    for (int i = 0; i < NXW_INSTRUMENT_COUNT; i++)
        out[i] = all[i];
}

void nxw_strength_back_print(FILE *out, const struct nxw_strength_back *b)
{
    const double w = b->mass_fraction, T = b->temperature_K;
    const double rho = nxw_acid_density_kg_m3(w, T);
    struct nxw_instrument instruments[NXW_INSTRUMENT_COUNT];
    nxw_instruments(instruments);
    (void)fprintf(out, "Nitric acid of %.2f wt%% HNO3 at %.1f degC\n", 100.0 * w, celsius(T));
    (void)fprintf(out, "  density                  %.4f g/cm3\n", 1e-3 * rho);
    char mol[NXW_AMOUNT_LENGTH], g[NXW_AMOUNT_LENGTH];
    nxw_number_text(1e-3 * w * rho / NXW_MOLAR_MASS_HNO3_KG_MOL, 4, mol);
    nxw_number_text(w * rho, 4, g);
    (void)fprintf(out, "  in a litre               %s mol, %s g\n", mol, g);
    nxw_wrapf(out, "  the density curve here   ", 27, "is %s; +-%.4f g/cm3, 95 times of 100",
              nxw_strength_basis_texts[nxw_strength_basis(w)],
              1e-3 * NXW_OF_100_95 * nxw_acid_density_error_kg_m3(w, T));
    (void)fputs("\nWhat the instruments show in it\n", out);
    for (int i = 0; i < NXW_INSTRUMENT_COUNT; i++) {
        const struct nxw_gravity *like = &instruments[i].like;
        const double shown = nxw_gravity_shown(like, rho, T);
        const int digits = like->kind == NXW_GRAVITY_BAUME ? 2 : 4;
        (void)fprintf(out, "  %-38s %.*f\n", instruments[i].text, digits,
                      like->kind == NXW_GRAVITY_DENSITY ? 1e-3 * shown : shown + 0.0);
    }
    nxw_regulated_print(out, w);
    (void)fputs("\n", out);
    nxw_cautions_print(out, NULL);
}

void nxw_strength_chart_print(FILE *out)
{
    (void)fputs("Nitric acid in water: density in g/cm3 at the liquid's own temperature\n\n"
                "  wt%  |  10 C   15 C   20 C   25 C   30 C   40 C  |  mol/L    g/L |   Be\n"
                "  HNO3 |                                           |  at 20 C      |  60 F\n"
                "  -----+-------------------------------------------+---------------+------\n",
                out);
    struct nxw_instrument instruments[NXW_INSTRUMENT_COUNT];
    nxw_instruments(instruments);
    const struct nxw_gravity *baume = &instruments[5].like;
    for (int wt = FIRST_wt; wt <= LAST_wt; wt += STEP_wt) {
        const double w = 0.01 * wt, rho = nxw_acid_density_kg_m3(w, 293.15);
        (void)fprintf(out, "  %3d%c |", wt,
                      nxw_strength_basis(w) == NXW_STRENGTH_PRINTED ? ' ' : '*');
        for (int i = 0; i < N_COLUMNS; i++)
            (void)fprintf(out, " %6.4f",
                          1e-3 * nxw_acid_density_kg_m3(w, COLUMNS_degC[i] + 273.15));
        const double shown = nxw_gravity_shown(baume, nxw_acid_density_kg_m3(w, baume->reference_K),
                                               baume->reference_K);
        (void)fprintf(out, "  | %6.3f %6.1f | %5.1f\n", 1e-3 * w * rho / NXW_MOLAR_MASS_HNO3_KG_MOL,
                      w * rho, fabs(shown) < 0.05 ? 0.0 : shown);
        if (wt % 10 == 0 && wt < LAST_wt && wt > 0)
            (void)fputs("       |                                           |               |\n",
                        out);
    }
    (void)fputs("\n", out);
    nxw_wrap(out, "  ", 2,
             "To 40 wt% at 20 C: CRC Handbook, 102nd ed.; other temperatures by a published fit "
             "(Laliberte 2009), good to 0.0015 g/cm3 between 10 and 30 C, to 0.002 g/cm3 at 40 C.");
    nxw_wrap(out, "  ", 2,
             "* from a remembered table: the fit agrees within 0.0006 g/cm3 to 65 wt%, one printed "
             "value at 68 wt%; allow 0.002 g/cm3 above 65 wt%.");
    nxw_wrap(out, "  ", 2,
             "Be: heavy degrees Baume, modulus 145, liquid and hydrometer at 60 F (15.6 C). "
             "Densities are true ones: a hydrometer made for 20 C reads up to 0.0007 g/cm3 high "
             "at 40 C.");
    nxw_wrap(out, "  ", 2,
             "Orange (NO2), blue (nitrous acid) and left-over peroxide read as acid: titrate.");
    (void)fputs("\n", out);
    nxw_cautions_print(out, NULL);
}

static bool write_chart(FILE *script, void *unused)
{
    static const int degC[] = {10, 20, 40};
    (void)unused;
    nxw_gnuplot_terminal(script);
    (void)fputs("set title 'Nitric acid: density in g/cm3 at 10, 20 and 40 C'\n"
                "set xlabel 'wt% HNO3'\nset key top left\n",
                script);
    for (size_t i = 0; i < sizeof degC / sizeof degC[0]; i++) {
        (void)fprintf(script, "$t%zu << EOD\n", i);
        for (int wt = FIRST_wt; wt <= LAST_wt; wt += STEP_wt)
            (void)fprintf(script, "%d %.5f\n", wt,
                          1e-3 * nxw_acid_density_kg_m3(0.01 * wt, degC[i] + 273.15));
        (void)fputs("EOD\n", script);
    }
    for (size_t i = 0; i < sizeof degC / sizeof degC[0]; i++)
        (void)fprintf(script, "%s$t%zu using 1:2 with lines title '%d C'", i == 0 ? "plot " : ", ",
                      i, degC[i]);
    return fputc('\n', script) != EOF;
}

const char *nxw_strength_chart_plot(void) { return nxw_gnuplot_text(write_chart, NULL); }
