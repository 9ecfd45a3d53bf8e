#include <math.h>

#include "after/strength_report.h"
#include "command/json_document.h"
#include "noxwash.h"

#define SCHEMA "noxwash-strength-1"

static bool finish(struct nxw_json *j, json_t *root, FILE *out)
{
    nxw_document_cautions(j, root, NULL);
    return nxw_json_print(j, out, root);
}

static json_t *reading(struct nxw_json *j, const struct nxw_strength_report *r)
{
    static const char *const shown[] = {"shown_kg_m3", "shown_specific_gravity",
                                        "shown_degrees_baume"};
    const struct nxw_gravity *g = &r->gravity;
    json_t *o = nxw_json_object(j);
    nxw_json_number(j, o, shown[g->kind], g->shown);
    if (g->kind == NXW_GRAVITY_BAUME)
        nxw_json_number(j, o, "modulus", g->modulus);
    if (g->kind != NXW_GRAVITY_DENSITY) {
        nxw_json_number(j, o, "scale_liquid_K", g->liquid_K);
        nxw_json_number(j, o, "scale_water_K", g->water_K);
    }
    nxw_json_number(j, o, "hydrometer_reference_K", g->glass ? g->reference_K : (double)NAN);
    nxw_json_number(j, o, "glass_expansion_1_K", g->expansion_1_K);
    nxw_json_number(j, o, "density_kg_m3", g->reading.density_kg_m3);
    nxw_json_number(j, o, "density_standard_error_kg_m3", g->reading.density_error_kg_m3);
    nxw_json_flag(j, o, "density_error_assumed", g->shown_error_assumed);
    nxw_json_number(j, o, "temperature_K", g->reading.temperature_K);
    nxw_json_number(j, o, "temperature_standard_error_K", g->reading.temperature_error_K);
    nxw_json_flag(j, o, "temperature_error_assumed", g->temperature_error_assumed);
    nxw_json_number(j, o, "NO2_wt_pct", 100.0 * g->reading.NO2_mass_fraction);
    nxw_json_number(j, o, "HNO2_wt_pct", 100.0 * g->reading.HNO2_mass_fraction);
    nxw_json_number(j, o, "H2O2_wt_pct", 100.0 * g->reading.H2O2_mass_fraction);
    return o;
}

static json_t *strength(struct nxw_json *j, const struct nxw_strength_report *r)
{
    const struct nxw_strength *s = &r->strength;
    json_t *o = nxw_json_object(j);
    nxw_json_number(j, o, "HNO3_wt_pct", 100.0 * s->mass_fraction);
    nxw_json_number(j, o, "HNO3_wt_pct_low", 100.0 * s->low);
    nxw_json_number(j, o, "HNO3_wt_pct_high", 100.0 * s->high);
    nxw_json_flag(j, o, "high_is_open", s->high_is_open);
    nxw_json_number(j, o, "HNO3_wt_pct_standard_error", 100.0 * s->standard_error);
    nxw_json_number(j, o, "standard_error_of_reading_wt_pct", 100.0 * s->reading_error);
    nxw_json_number(j, o, "standard_error_of_temperature_wt_pct", 100.0 * s->temperature_error);
    nxw_json_number(j, o, "standard_error_of_curve_wt_pct", 100.0 * s->table_error);
    nxw_json_number(j, o, "standard_error_of_corrections_wt_pct", 100.0 * s->other_error);
    nxw_json_number(j, o, "HNO3_mol_L", 1e-3 * s->mol_m3);
    nxw_json_number(j, o, "HNO3_g_L", s->kg_m3);
    nxw_json_number(j, o, "density_20C_kg_m3", s->density_20_kg_m3);
    nxw_json_number(j, o, "without_corrections_HNO3_wt_pct", 100.0 * r->plain.mass_fraction);
    nxw_json_number(j, o, "without_heat_correction_HNO3_wt_pct", 100.0 * r->look_up_mass_fraction);
    nxw_json_text(j, o, "curve_basis", nxw_strength_basis_names[s->basis]);
    return o;
}

static json_t *titration(struct nxw_json *j, const struct nxw_strength_report *r)
{
    const struct nxw_titrated *t = &r->titrated;
    json_t *o = nxw_json_object(j);
    nxw_json_number(j, o, "acid_mol_L", 1e-3 * t->acid_mol_m3);
    nxw_json_number(j, o, "HNO3_mol_L", 1e-3 * t->HNO3_mol_m3);
    nxw_json_number(j, o, "HNO2_mol_L", 1e-3 * t->HNO2_mol_m3);
    nxw_json_number(j, o, "H2O2_mol_L", 1e-3 * t->H2O2_mol_m3);
    nxw_json_number(j, o, "HNO3_g_L", t->HNO3_mol_m3 * NXW_MOLAR_MASS_HNO3_KG_MOL);
    nxw_json_number(j, o, "HNO3_wt_pct", 100.0 * t->HNO3_mass_fraction);
    nxw_json_number(j, o, "HNO3_wt_pct_standard_error", 100.0 * t->HNO3_mass_error);
    nxw_json_number(j, o, "titre_standard_error_pct", 100.0 * r->titration.relative_error);
    nxw_json_number(j, o, "temperature_K", r->titration.temperature_K);
    return o;
}

bool nxw_strength_json(FILE *out, const struct nxw_strength_report *r)
{
    struct nxw_json j = {0};
    json_t *root = nxw_document(&j, SCHEMA);
    if (r->from_density) {
        nxw_json_put(&j, root, "reading", reading(&j, r));
        nxw_json_put(&j, root, "result", strength(&j, r));
    }
    if (r->from_titration)
        nxw_json_put(&j, root, "titration", titration(&j, r));
    if (r->from_density && r->from_titration) {
        json_t *o = nxw_json_object(&j);
        nxw_json_number(&j, o, "density_less_titration_wt_pct", 100.0 * r->difference);
        nxw_json_number(&j, o, "standard_error_wt_pct", 100.0 * r->difference_error);
        nxw_json_flag(&j, o, "agree", r->agree);
        nxw_json_put(&j, root, "comparison", o);
    }
    json_t *warnings = nxw_json_array(&j);
    if (r->from_density) {
        static const char *const reads_as_acid[] = {"dissolved_NO2_reads_as_acid",
                                                    "nitrous_acid_reads_as_acid",
                                                    "left_over_peroxide_reads_as_acid"};
        for (int i = 0; i < 3; i++)
            nxw_json_add(&j, warnings, json_string(reads_as_acid[i]));
        if (r->strength.basis != NXW_STRENGTH_PRINTED)
            nxw_json_add(&j, warnings, json_string("curve_from_memory"));
    }
    const double w = r->from_titration ? r->titrated.HNO3_mass_fraction : r->strength.mass_fraction;
    if (w > NXW_ACID_REGULATED)
        nxw_json_add(&j, warnings, json_string("legal_strength"));
    nxw_json_put(&j, root, "warnings", warnings);
    return finish(&j, root, out);
}

/* One strength at one temperature, with what the instruments show. */
static json_t *back(struct nxw_json *j, double w, double T_K, bool instruments_too)
{
    const double rho = nxw_acid_density_kg_m3(w, T_K);
    json_t *o = nxw_json_object(j);
    nxw_json_number(j, o, "HNO3_wt_pct", 100.0 * w);
    nxw_json_number(j, o, "temperature_K", T_K);
    nxw_json_number(j, o, "density_kg_m3", rho);
    nxw_json_number(j, o, "density_standard_error_kg_m3", nxw_acid_density_error_kg_m3(w, T_K));
    nxw_json_number(j, o, "HNO3_mol_L", 1e-3 * w * rho / NXW_MOLAR_MASS_HNO3_KG_MOL);
    nxw_json_number(j, o, "HNO3_g_L", w * rho);
    nxw_json_text(j, o, "curve_basis", nxw_strength_basis_names[nxw_strength_basis(w)]);
    struct nxw_instrument instruments[NXW_INSTRUMENT_COUNT];
    nxw_instruments(instruments);
    for (int i = 0; instruments_too && i < NXW_INSTRUMENT_COUNT; i++) {
        const double shown = nxw_gravity_shown(&instruments[i].like, rho, T_K);
        nxw_json_number(j, o, instruments[i].name,
                        instruments[i].like.kind == NXW_GRAVITY_DENSITY ? 1e-3 * shown : shown);
    }
    return o;
}

bool nxw_strength_back_json(FILE *out, const struct nxw_strength_back *b)
{
    struct nxw_json j = {0};
    json_t *root = nxw_document(&j, SCHEMA);
    nxw_json_put(&j, root, "result", back(&j, b->mass_fraction, b->temperature_K, true));
    return finish(&j, root, out);
}

bool nxw_strength_chart_json(FILE *out)
{
    struct nxw_json j = {0};
    json_t *root = nxw_document(&j, SCHEMA), *rows = nxw_json_array(&j);
    for (int wt = 0; wt <= 70; wt += 2)
        for (int t = 10; t <= 40; t += 5)
            if (t != 35)
                nxw_json_add(&j, rows, back(&j, 0.01 * wt, t + 273.15, false));
    nxw_json_put(&j, root, "chart", rows);
    return finish(&j, root, out);
}
