#include <math.h>

#include "base/diagnosis.h"
#include "base/root.h"
#include "properties/acid.h"
#include "stage/liquid.h"

#define PER_PERMANGANATE 2.5
#define OF_100_95 1.96
#define SOLUTE_MAX 0.98
#define LEAST_M3 1e-12 /* of a sample, 1 nL; judgement */
#define MOST_M3 1e3
#define MOST_MOL_M3 1e5 /* no solution is stronger */
#define COLDEST_K 263.15
#define HOTTEST_K 368.15

static enum nxw_status refuse(struct nxw_diagnosis *d, struct nxw_titrated *out, const char *text)
{
    *out = (struct nxw_titrated){sizeof *out, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN};
    return nxw_refuse(d, NXW_ERROR_RANGE, "%s", text);
}

static bool is_up_to(double x, double most) { return x >= 0.0 && x <= most; }
static bool is_sample(double m3) { return m3 >= LEAST_M3 && m3 <= MOST_M3; }

/* What is no titration at all: why, or NULL. */
static const char *fault(const struct nxw_titration *in)
{
    if (!(in->temperature_K >= COLDEST_K && in->temperature_K <= HOTTEST_K))
        return "the temperature of the liquid lies between -10 and 95 degC";
    if (!is_sample(in->sample_m3) || !is_up_to(in->alkali_m3, MOST_M3) ||
        !is_up_to(in->permanganate_m3, MOST_M3) ||
        (in->permanganate_m3 > 0.0 && !is_sample(in->permanganate_sample_m3)))
        return "a sample is more than 0 (1 nL to 1000 m3), and a titre is 0 or more";
    if (!is_up_to(in->alkali_mol_m3, MOST_MOL_M3) ||
        (in->permanganate_m3 > 0.0 && !is_up_to(in->permanganate_mol_m3, MOST_MOL_M3)))
        return "a solution for titrating has 0 to 100 mol/L";
    if (!is_up_to(in->relative_error, 1.0))
        return "the error of a titre is a share of it, 0 to 1";
    return NULL;
}

struct masses {
    double acid_kg_m3, peroxide_kg_m3, temperature_K;
};

/* Density that the liquid would have from its own composition, less the trial density. */
static double excess_density(double density_kg_m3, void *user)
{
    const struct masses *m = user;
    return nxw_liquid_density_curve_kg_m3(m->acid_kg_m3 / density_kg_m3,
                                          m->peroxide_kg_m3 / density_kg_m3, m->temperature_K) -
           density_kg_m3;
}

/* Mass fractions from masses in a volume; HNO2 is taken to weigh as HNO3 does. */
static bool to_mass_fractions(const struct nxw_titration *in, struct nxw_titrated *out)
{
    const double HNO2_kg_m3 = out->HNO2_mol_m3 * NXW_MOLAR_MASS_HNO2_KG_MOL;
    struct masses m = {out->HNO3_mol_m3 * NXW_MOLAR_MASS_HNO3_KG_MOL + HNO2_kg_m3,
                       out->H2O2_mol_m3 * NXW_MOLAR_MASS_H2O2_KG_MOL, in->temperature_K};
    const double least = fmax((m.acid_kg_m3 + m.peroxide_kg_m3) / SOLUTE_MAX, 900.0);
    double density_kg_m3;
    if (least >= 1600.0 || !nxw_root(excess_density, &m, least, 1600.0, 1e-7, &density_kg_m3))
        return false;
    out->HNO3_mass_fraction = out->HNO3_mol_m3 * NXW_MOLAR_MASS_HNO3_KG_MOL / density_kg_m3;
    out->HNO2_mass_fraction = HNO2_kg_m3 / density_kg_m3;
    out->H2O2_mass_fraction = m.peroxide_kg_m3 / density_kg_m3;
    /* dw = dc M (1 - w rho'/rho ...) / rho: the acid's own mass is part of the density */
    const double step = 1e-4, w = out->HNO3_mass_fraction;
    const double slope = (nxw_acid_density_curve_kg_m3(w + step, in->temperature_K) -
                          nxw_acid_density_curve_kg_m3(w, in->temperature_K)) /
                         step;
    out->HNO3_mass_error =
        out->HNO3_error_mol_m3 * NXW_MOLAR_MASS_HNO3_KG_MOL / (density_kg_m3 + w * slope);
    return true;
}

enum nxw_status nxw_titration_result(const struct nxw_titration *in, struct nxw_titrated *out,
                                     struct nxw_diagnosis *diagnosis)
{
    nxw_diagnosis_clear(diagnosis);
    if (fault(in) != NULL)
        return refuse(diagnosis, out, fault(in));
    *out = (struct nxw_titrated){.bytes = sizeof *out};
    out->acid_mol_m3 = in->alkali_m3 * in->alkali_mol_m3 / in->sample_m3;
    double other_mol_m3 = 0.0;
    if (in->permanganate_m3 > 0.0)
        other_mol_m3 = PER_PERMANGANATE * in->permanganate_m3 * in->permanganate_mol_m3 /
                       in->permanganate_sample_m3;
    out->other_error_mol_m3 = in->relative_error * other_mol_m3;
    out->HNO3_error_mol_m3 = in->relative_error * out->acid_mol_m3;
    out->HNO3_mol_m3 = out->acid_mol_m3;
    if (in->permanganate_finds_peroxide)
        out->H2O2_mol_m3 = other_mol_m3;
    else {
        out->HNO2_mol_m3 = other_mol_m3;
        out->HNO3_mol_m3 -= other_mol_m3;
        out->HNO3_error_mol_m3 = hypot(out->HNO3_error_mol_m3, out->other_error_mol_m3);
    }
    if (out->HNO3_mol_m3 < -OF_100_95 * out->HNO3_error_mol_m3)
        return refuse(diagnosis, out,
                      "the permanganate found more nitrous acid than the alkali found acid; one of "
                      "the two titrations, or a strength, is wrong");
    out->HNO3_mol_m3 = fmax(out->HNO3_mol_m3, 0.0); /* none: within the errors of it */
    if (!to_mass_fractions(in, out))
        return refuse(diagnosis, out,
                      "no liquid holds that much in its volume; look again at the volumes and the "
                      "strengths");
    return NXW_OK;
}
