#include "words/headline.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text_layout.h"
#include "words/run_words.h"

/* Where a figure comes from. */
enum origin {
    OF_RESULT,   /* offset in struct nxw_result */
    OF_WHY,      /* offset in struct nxw_why */
    OF_BOTTLE,   /* offset in struct nxw_stage_result of the first bottle */
    OF_SUM,      /* the same, summed over the stages */
    OF_HOOD,     /* of the result, when the case has a hood */
    OF_RECEIVER, /* of the result, when the source has a receiver */
    OF_PART,     /* of the result, as a part of what was fed */
    OF_EXTRA     /* of the result, as a part of what the receiver holds */
};

static const struct figure {
    const char *name;
    enum origin origin;
    size_t offset;
    double factor;
} FIGURES[] = {
#define RESULT(member)                                                                             \
    {                                                                                              \
#member, OF_RESULT, offsetof(struct nxw_result, member), 1.0                               \
    }
#define NAMED(name, origin, member, factor)                                                        \
    {                                                                                              \
        name, origin, offsetof(struct nxw_result, member), factor                                  \
    }
#define STAGE(name, origin, member, factor)                                                        \
    {                                                                                              \
        name, origin, offsetof(struct nxw_stage_result, member), factor                            \
    }
#define WHY(member)                                                                                \
    {                                                                                              \
        "why_" #member, OF_WHY, offsetof(struct nxw_why, member), 1.0                              \
    }
    RESULT(end_s),
    RESULT(fed_mol),
    RESULT(fed_NO_mol),
    RESULT(fed_NO2_mol),
    RESULT(fed_HNO2_mol),
    RESULT(fed_HNO3_mol),
    RESULT(fed_O2_mol),
    RESULT(kept_mol),
    NAMED("kept_HNO3_g", OF_RESULT, kept_mol, NXW_MOLAR_MASS_HNO3_KG_MOL * 1e3),
    NAMED("kept_fraction", OF_PART, kept_mol, 1.0),
    RESULT(held_mol),
    STAGE("nitrous_acid_mol", OF_SUM, nitrous_acid_mol, 1.0),
    RESULT(escaped_mol),
    NAMED("escaped_fraction", OF_PART, escaped_mol, 1.0),
    RESULT(escaped_NO_mol),
    RESULT(escaped_NO2_mol),
    RESULT(escaped_HNO2_mol),
    RESULT(escaped_HNO3_mol),
    RESULT(in_flight_mol),
    RESULT(nitrogen_closure),
    RESULT(oxygen_closure),
    RESULT(hydrogen_closure),
    RESULT(heat_closure),
    STAGE("strength_wt_pct", OF_BOTTLE, acid_mass_fraction, 100.0),
    STAGE("strength_mol_L", OF_BOTTLE, acid_mol_m3, 1e-3),
    STAGE("density_kg_m3", OF_BOTTLE, density_kg_m3, 1.0),
    STAGE("density_reference_kg_m3", OF_BOTTLE, density_reference_kg_m3, 1.0),
    STAGE("liquid_m3", OF_BOTTLE, liquid_m3, 1.0),
    STAGE("peak_temperature_K", OF_BOTTLE, peak_temperature_K, 1.0),
    STAGE("peroxide_start_mol", OF_SUM, peroxide_start_mol, 1.0),
    STAGE("peroxide_left_mol", OF_SUM, peroxide_mol, 1.0),
    STAGE("ice_melted_kg", OF_SUM, ice_melted_kg, 1.0),
    RESULT(receiver_HNO3_mol),
    NAMED("receiver_mass_fraction", OF_RECEIVER, receiver_mass_fraction, 1.0),
    NAMED("extra_yield_fraction", OF_EXTRA, kept_mol, 1.0),
    NAMED("vent_peak_NO_mg_min", OF_RESULT, vent_peak_NO_kg_s, NXW_MG_MIN),
    NAMED("vent_peak_NO2_mg_min", OF_RESULT, vent_peak_NO2_kg_s, NXW_MG_MIN),
    NAMED("vent_mean15_NO_mg_min", OF_RESULT, vent_mean15_NO_kg_s, NXW_MG_MIN),
    NAMED("vent_mean15_NO2_mg_min", OF_RESULT, vent_mean15_NO2_kg_s, NXW_MG_MIN),
    NAMED("vent_peak_NO_ppm", OF_RESULT, vent_peak_NO_fraction, 1e6),
    NAMED("vent_peak_NO2_ppm", OF_RESULT, vent_peak_NO2_fraction, 1e6),
    RESULT(vent_time_above_s),
    NAMED("hood_peak_NO_ppm", OF_HOOD, hood_peak_NO_fraction, 1e6),
    NAMED("hood_peak_NO2_ppm", OF_HOOD, hood_peak_NO2_fraction, 1e6),
    NAMED("hood_mean15_NO_ppm", OF_HOOD, hood_mean15_NO_fraction, 1e6),
    NAMED("hood_mean15_NO2_ppm", OF_HOOD, hood_mean15_NO2_fraction, 1e6),
    WHY(NO_never_oxidised_mol),
    WHY(NO_given_back_mol),
    WHY(NO_given_back_peroxide_spent_mol),
    WHY(NO2_too_dilute_mol),
    WHY(NO2_path_too_short_mol),
    WHY(NO2_reformed_swept_mol),
    WHY(acid_vapour_mol),
    STAGE("peak_HNO2_mol_m3", OF_BOTTLE, peak_HNO2_mol_m3, 1.0),
#undef RESULT
#undef NAMED
#undef STAGE
#undef WHY
};
_Static_assert(sizeof FIGURES / sizeof FIGURES[0] == NXW_HEADLINE_COUNT, "count the figures");

const char *nxw_headline_name(size_t index) { return FIGURES[index].name; }

static double member(const void *object, size_t offset)
{
    return *(const double *)(const void *)((const char *)object + offset);
}

static double figure(const struct figure *f, const struct nxw_case *in, const struct nxw_result *r)
{
    const size_t bottle = nxw_first_bottle(in);
    double sum = 0.0;
    switch (f->origin) {
    case OF_WHY:
        return member(&r->why, f->offset) * f->factor;
    case OF_BOTTLE:
        return bottle < r->n_stages ? member(&r->stages[bottle], f->offset) * f->factor
                                    : (double)NAN;
    case OF_SUM:
        for (size_t i = 0; i < r->n_stages; i++)
            sum += member(&r->stages[i], f->offset);
        return sum * f->factor;
    case OF_HOOD:
        return in->hood_flow_m3_s > 0.0 ? member(r, f->offset) * f->factor : (double)NAN;
    case OF_RECEIVER:
        return r->receiver_HNO3_mol > 0.0 ? member(r, f->offset) * f->factor : (double)NAN;
    case OF_EXTRA:
        return r->receiver_HNO3_mol > 0.0 ? member(r, f->offset) / r->receiver_HNO3_mol * f->factor
                                          : (double)NAN;
    case OF_PART:
        return member(r, f->offset) / r->fed_mol * f->factor;
    case OF_RESULT:
        break;
    }
    return member(r, f->offset) * f->factor;
}

void nxw_headline_values(const struct nxw_case *in, const struct nxw_result *r,
                         double values[NXW_HEADLINE_COUNT])
{
    for (size_t i = 0; i < NXW_HEADLINE_COUNT; i++)
        values[i] = figure(&FIGURES[i], in, r);
}

void nxw_warning_names(unsigned warnings, char *out, size_t size)
{
    size_t used = 0;
    out[0] = '\0';
    for (size_t i = 0; i < NXW_WARNING_COUNT; i++) {
        if ((warnings & (unsigned)nxw_warning_words[i].bit) == 0 || used >= size)
            continue;
        const int n = snprintf(out + used, size - used, "%s%s", used > 0 ? " " : "",
                               nxw_warning_words[i].word.name);
        used += n > 0 ? (size_t)n : 0;
    }
}
