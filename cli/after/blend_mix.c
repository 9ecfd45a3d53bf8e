/* Mixing any number of liquids, and diluting them to a target. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "after/blend_report.h"
#include "base/text_layout.h"
#include "noxwash.h"
#include "words/cautions.h"
#include "words/limit_digits.h"

#define ROOM_K 293.15
#define HOT_K 333.15 /* scalds and fumes: nothing to do with the range of the constants */
#define WARM_K 313.15

struct mix {
    size_t n; /* parts, with the water added */
    struct nxw_written_part parts[NXW_BLEND_PARTS_MAX];
    bool diluted;     /* the last part is the water added */
    bool of_peroxide; /* what the target means */
    double scale;     /* of the parts, to make the amount wanted; 1: as given */
    struct nxw_blend result;
};

static void sums(const struct mix *m, double *mass_kg, double *acid_kg, double *peroxide_kg)
{
    *mass_kg = *acid_kg = *peroxide_kg = 0.0;
    for (size_t i = 0; i < m->n; i++) {
        const struct nxw_blend_part *p = &m->parts[i].part;
        *mass_kg += p->mass_kg;
        *acid_kg += p->mass_kg * p->acid_mass_fraction;
        *peroxide_kg += p->mass_kg * p->peroxide_mass_fraction;
    }
}

/* "5 wt% acid", "3 wt% peroxide"; without the word where only one of them is there. */
static bool read_target(const char *text, bool acid_there, bool peroxide_there, double *target,
                        bool *of_peroxide, char *message)
{
    char number[64];
    const char *word = strrchr(text, ' ');
    const bool named =
        word != NULL && (strcmp(word + 1, "acid") == 0 || strcmp(word + 1, "peroxide") == 0);
    if (!named && acid_there == peroxide_there) {
        (void)snprintf(message, NXW_PART_MESSAGE_LENGTH,
                       "say of what: such as '5 wt%% acid' or '3 wt%% peroxide'");
        return false;
    }
    *of_peroxide = named ? word[1] == 'p' : peroxide_there;
    (void)snprintf(number, sizeof number, "%.*s", named ? (int)(word - text) : 60, text);
    if (*of_peroxide)
        return nxw_peroxide_read_told(number, target, message);
    char why[NXW_MESSAGE_LENGTH];
    if (nxw_acid_strength_read(number, ROOM_K, target, why))
        return true;
    (void)snprintf(message, NXW_PART_MESSAGE_LENGTH, "%s", why);
    return false;
}

static enum nxw_exit add_water(const struct nxw_blend_options *o, struct mix *m)
{
    double mass_kg, acid_kg, peroxide_kg, target, water_K = ROOM_K;
    char message[NXW_PART_MESSAGE_LENGTH], why[NXW_MESSAGE_LENGTH];
    sums(m, &mass_kg, &acid_kg, &peroxide_kg);
    if (o->water_temperature != NULL &&
        !nxw_quantity_read(o->water_temperature, NXW_DIM_TEMPERATURE, &water_K, why))
        return nxw_blend_fault("--water-temperature", why);
    if (!nxw_within(&water_K, 273.15, 368.15))
        return nxw_blend_fault("--water-temperature", "it lies between 0 and 95 degC");
    if (!read_target(o->target, acid_kg > 0.0, peroxide_kg > 0.0, &target, &m->of_peroxide,
                     message))
        return nxw_blend_fault("--target", message);
    const double solute_kg = m->of_peroxide ? peroxide_kg : acid_kg;
    if (!(target > 0.0))
        return nxw_blend_fault("--target", "it must be more than 0");
    const double water_kg = solute_kg / target - mass_kg;
    if (water_kg < -1e-9 * mass_kg) {
        (void)snprintf(message, sizeof message,
                       "the parts together hold only %.3g wt%%; water makes that weaker, not "
                       "stronger",
                       100.0 * solute_kg / mass_kg);
        return nxw_blend_fault("--target", message);
    }
    if (water_kg <= 1e-9 * mass_kg)
        return NXW_EXIT_DONE; /* already there */
    struct nxw_written_part *w = &m->parts[m->n++];
    *w = (struct nxw_written_part){
        .part = {.mass_kg = water_kg, .temperature_K = water_K},
        .volume_m3 = water_kg / nxw_pure_water_density_kg_m3(water_K),
        .by_volume = true,
        .temperature_assumed = o->water_temperature == NULL,
    };
    m->diluted = true;
    return NXW_EXIT_DONE;
}

/* All parts in the same proportion, so that the whole is what was asked for. */
static enum nxw_exit scale(const struct nxw_blend_options *o, struct mix *m)
{
    double mass_kg, acid_kg, peroxide_kg, wanted_kg;
    char why[NXW_MESSAGE_LENGTH];
    sums(m, &mass_kg, &acid_kg, &peroxide_kg);
    if (nxw_quantity_read(o->make, NXW_DIM_VOLUME, &wanted_kg, why))
        wanted_kg *= nxw_liquid_density_kg_m3(acid_kg / mass_kg, peroxide_kg / mass_kg, ROOM_K);
    else if (!nxw_quantity_read(o->make, NXW_DIM_MASS, &wanted_kg, why))
        return nxw_blend_fault("--make", "an amount is a volume or a mass, in mL, L, m3, g, kg or "
                                         "mg");
    if (!(wanted_kg > 0.0))
        return nxw_blend_fault("--make", "it must be more than 0");
    m->scale = wanted_kg / mass_kg;
    for (size_t i = 0; i < m->n; i++) {
        m->parts[i].part.mass_kg *= m->scale;
        m->parts[i].volume_m3 *= m->scale;
    }
    return NXW_EXIT_DONE;
}

static void litres(char out[NXW_AMOUNT_LENGTH], double m3) { nxw_number_text(1e6 * m3, 4, out); }

static void print_parts(const struct mix *m)
{
    (void)puts("Take");
    for (size_t i = 0; i < m->n; i++) {
        char words[160];
        nxw_part_words(&m->parts[i], words, sizeof words);
        nxw_wrapf(stdout, "  ", 4, "%s%s", words, m->diluted && i + 1 == m->n ? ", to dilute" : "");
    }
}

static void print_result(const struct mix *m)
{
    const struct nxw_blend *b = &m->result;
    char volume[NXW_AMOUNT_LENGTH], parts[NXW_AMOUNT_LENGTH], mass[NXW_AMOUNT_LENGTH];
    litres(volume, b->volume_20_m3);
    litres(parts, b->parts_volume_20_m3);
    nxw_number_text(1e3 * b->mass_kg, 4, mass);
    (void)puts("\nThey make");
    if (b->acid_kg > 0.0)
        (void)printf("  acid                 %.2f wt%% HNO3, %.3f mol/L, %.1f g/L at 20 degC\n",
                     100.0 * b->acid_mass_fraction,
                     1e-3 * b->acid_mass_fraction * b->density_20_kg_m3 /
                         NXW_MOLAR_MASS_HNO3_KG_MOL,
                     b->acid_mass_fraction * b->density_20_kg_m3);
    if (b->peroxide_kg > 0.0)
        (void)printf("  peroxide             %.2f wt%% H2O2, %.3f mol/L at 20 degC\n",
                     100.0 * b->peroxide_mass_fraction,
                     1e-3 * b->peroxide_mass_fraction * b->density_20_kg_m3 /
                         NXW_MOLAR_MASS_H2O2_KG_MOL);
    (void)printf("  mass                 %s g\n", mass);
    const double less_m3 = b->parts_volume_20_m3 - b->volume_20_m3;
    char less[NXW_AMOUNT_LENGTH];
    nxw_number_text(1e6 * fabs(less_m3), 2, less);
    const bool same = fabs(less_m3) < 1e-4 * b->volume_20_m3 || b->ice_left_kg > 0.0;
    nxw_wrapf(stdout, "  volume               ", 23, "%s mL at 20 degC%s%s%s%s%s%s", volume,
              same ? "" : "; the parts by themselves are ", same ? "" : parts, same ? "" : " mL, ",
              same ? "" : less, same ? "" : " mL ",
              same            ? ""
              : less_m3 > 0.0 ? "more: volumes do not add"
                              : "less: volumes do not add");
    (void)printf("  density              %.4f g/cm3 at 20 degC\n", 1e-3 * b->density_20_kg_m3);
    if (b->ice_left_kg > 0.0)
        (void)printf("  ice left             %.3g g, not counted in the strength\n",
                     1e3 * b->ice_left_kg);
    char kJ[NXW_AMOUNT_LENGTH], heat[NXW_AMOUNT_LENGTH + 48] = "";
    nxw_number_text(1e-3 * b->heat_J, 2, kJ);
    if (b->heat_J >= 50.0)
        (void)snprintf(heat, sizeof heat, " (%s kJ set free by diluting the acid)", kJ);
    nxw_wrapf(stdout, "  temperature          ", 23,
              "%s%.1f degC right after mixing, before glass and air have %s any heat%s",
              b->boils ? "it would boil: " : "", b->temperature_K - 273.15,
              b->temperature_K > ROOM_K ? "taken" : "given", heat);
}

/* The weakest first: acid into water. */
static void print_order(const struct mix *m)
{
    size_t order[NXW_BLEND_PARTS_MAX], n_acid = 0;
    for (size_t i = 0; i < m->n; i++) {
        size_t at = i;
        while (at > 0 && m->parts[order[at - 1]].part.acid_mass_fraction >
                             m->parts[i].part.acid_mass_fraction) {
            order[at] = order[at - 1];
            at--;
        }
        order[at] = i;
        n_acid += m->parts[i].part.acid_mass_fraction > 0.0 ? 1 : 0;
    }
    if (m->n < 2 || n_acid == 0)
        return;
    const struct nxw_blend_part *first = &m->parts[order[0]].part;
    const struct nxw_blend_part *last = &m->parts[order[m->n - 1]].part;
    if (last->acid_mass_fraction - first->acid_mass_fraction < 1e-6)
        return;
    nxw_wrapf(stdout, "  ! ", 4,
              "Acid into water, never water into acid: begin with the weakest (%s), stir, and pour "
              "the strongest (%.3g wt%% HNO3) in last, slowly.",
              first->ice                         ? "the ice, with the water"
              : first->acid_mass_fraction == 0.0 ? "the one without acid"
                                                 : "the weakest acid",
              100.0 * last->acid_mass_fraction);
}

/* Strong acid heats up as it is diluted, and what NO2 it holds takes peroxide apart at once. */
static bool print_strong_acid(const struct mix *m)
{
    double strongest = 0.0;
    for (size_t i = 0; i < m->n; i++)
        strongest = fmax(strongest, m->parts[i].part.acid_mass_fraction);
    if (!(m->result.peroxide_kg > 0.0 && strongest > NXW_WEAK_ACID_MOST))
        return false;
    nxw_wrapf(stdout, "  ! ", 4,
              "Acid of %.3g wt%% HNO3 is to meet peroxide: dilute the acid first, into water, by "
              "itself, to %.3g wt%% or less, and let it cool. Strong acid heats up as it is "
              "diluted, and the brown gas dissolved in it takes peroxide apart at once: both "
              "together can boil over.",
              100.0 * strongest, 100.0 * NXW_WEAK_ACID_MOST);
    return true;
}

static void print_warnings(const struct mix *m)
{
    const struct nxw_blend *b = &m->result;
    bool strong_peroxide = false;
    for (size_t i = 0; i < m->n; i++)
        strong_peroxide |= m->parts[i].part.peroxide_mass_fraction > NXW_PEROXIDE_MOST;
    (void)puts("\nTake note");
    if (!print_strong_acid(m)) /* the order of parts that are not to meet would only mislead */
        print_order(m);
    if (b->boils)
        nxw_wrap(stdout, "  ! ", 4,
                 "Poured at once it would boil and spit. Begin colder, with ice in place of some "
                 "of the water, or go in several steps, cooling in between.");
    else if (b->temperature_K > HOT_K)
        nxw_wrap(stdout, "  ! ", 4,
                 "It becomes hot enough to scald and to fume. Pour in small portions in an ice "
                 "bath, or take ice for some of the water.");
    else if (b->temperature_K > WARM_K)
        nxw_wrap(stdout, "  ! ", 4,
                 "It becomes warm: pour in portions, and let it cool before "
                 "it is measured or bottled.");
    if (b->temperature_K < 268.15)
        nxw_wrap(stdout, "  ! ", 4,
                 "Ice in acid becomes far colder than ice: it hurts bare skin, and a density has "
                 "to wait until it is warm again.");
    if (b->peroxide_kg > 0.0)
        nxw_wrap(stdout, "  ! ", 4,
                 "A liquid with peroxide gives off oxygen: never close it. Mix it fresh, cold, and "
                 "keep it from organic matter and metal salts; acid that is blue or brown reacts "
                 "with it at once and warms up.");
    if (strong_peroxide)
        nxw_wrap(stdout, "  ! ", 4,
                 "Peroxide above " NXW_PEROXIDE_DIGITS " wt% is among the parts: dilute it with "
                 "water, by itself; acid meets it only afterwards, at " NXW_PEROXIDE_DIGITS
                 " wt% or less. It is regulated in many places.");
    nxw_regulated_print(stdout, b->acid_mass_fraction);
    nxw_wrap(stdout, "  * ", 4,
             "Check the strength afterwards: noxwash strength. Heat of dilution from Parker 1965; "
             "heat capacities from memory, 5 %; heat of diluting peroxide left out.");
}

static enum nxw_exit print_json(const struct mix *m)
{
    struct nxw_json j = {0};
    json_t *root = nxw_blend_head(&j, "mix"), *parts = nxw_json_array(&j);
    for (size_t i = 0; i < m->n; i++) {
        const struct nxw_written_part *w = &m->parts[i];
        json_t *o = nxw_json_object(&j);
        nxw_json_number(&j, o, "mass_g", 1e3 * w->part.mass_kg);
        nxw_json_number(&j, o, "volume_mL", 1e6 * w->volume_m3);
        nxw_json_number(&j, o, "HNO3_wt_pct", 100.0 * w->part.acid_mass_fraction);
        nxw_json_number(&j, o, "H2O2_wt_pct", 100.0 * w->part.peroxide_mass_fraction);
        nxw_json_number(&j, o, "temperature_K", w->part.temperature_K);
        nxw_json_flag(&j, o, "temperature_assumed", w->temperature_assumed);
        nxw_json_flag(&j, o, "ice", w->part.ice);
        nxw_json_flag(&j, o, "added_to_dilute", m->diluted && i + 1 == m->n);
        nxw_json_add(&j, parts, o);
    }
    const struct nxw_blend *b = &m->result;
    json_t *o = nxw_json_object(&j);
    nxw_json_number(&j, o, "mass_g", 1e3 * b->mass_kg);
    nxw_json_number(&j, o, "HNO3_wt_pct", 100.0 * b->acid_mass_fraction);
    nxw_json_number(&j, o, "HNO3_mol_L_20C",
                    1e-3 * b->acid_mass_fraction * b->density_20_kg_m3 /
                        NXW_MOLAR_MASS_HNO3_KG_MOL);
    nxw_json_number(&j, o, "H2O2_wt_pct", 100.0 * b->peroxide_mass_fraction);
    nxw_json_number(&j, o, "volume_20C_mL", 1e6 * b->volume_20_m3);
    nxw_json_number(&j, o, "parts_volume_20C_mL", 1e6 * b->parts_volume_20_m3);
    nxw_json_number(&j, o, "density_20C_kg_m3", b->density_20_kg_m3);
    nxw_json_number(&j, o, "temperature_K", b->temperature_K);
    nxw_json_number(&j, o, "heat_of_dilution_J", b->heat_J);
    nxw_json_number(&j, o, "ice_left_g", 1e3 * b->ice_left_kg);
    nxw_json_flag(&j, o, "would_boil", b->boils);
    nxw_json_put(&j, root, "parts", parts);
    nxw_json_put(&j, root, "result", o);
    return nxw_blend_finish(&j, root);
}

enum nxw_exit nxw_blend_mix(const struct nxw_options *options)
{
    const struct nxw_blend_options *o = &options->blend;
    struct mix m = {.n = o->parts.n, .scale = 1.0};
    for (size_t i = 0; i < m.n; i++) {
        char message[NXW_PART_MESSAGE_LENGTH], whole[NXW_PART_MESSAGE_LENGTH + 96];
        if (nxw_part_read(o->parts.values[i], &m.parts[i], message))
            continue;
        (void)snprintf(whole, sizeof whole, "part %zu: %s", i + 1, message);
        return nxw_blend_fault("--part", whole);
    }
    if (o->water_temperature != NULL && o->target == NULL)
        return nxw_blend_fault("--water-temperature", "no water is added without a --target");
    enum nxw_exit code = o->target != NULL ? add_water(o, &m) : NXW_EXIT_DONE;
    if (code == NXW_EXIT_DONE && o->make != NULL)
        code = scale(o, &m);
    if (code != NXW_EXIT_DONE)
        return code;
    struct nxw_blend_part parts[NXW_BLEND_PARTS_MAX];
    struct nxw_diagnosis diagnosis;
    for (size_t i = 0; i < m.n; i++)
        parts[i] = m.parts[i].part;
    if (nxw_blend(parts, m.n, &m.result, &diagnosis) != NXW_OK)
        return nxw_blend_outside(diagnosis.text);
    if (options->json)
        return print_json(&m);
    print_parts(&m);
    print_result(&m);
    print_warnings(&m);
    (void)fputs("\n", stdout);
    nxw_cautions_print(stdout, NULL);
    return NXW_EXIT_DONE;
}
