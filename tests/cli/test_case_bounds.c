/* Every bound of every key of a case, in every unit of its kind: at the bound it is read, a
 * millionth beyond it is refused. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <float.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "case/blend_part.h"
#include "case/case_fields.h"
#include "case/case_file.h"
#include "case/catalogue.h"
#include "case/gravity.h"
#include "study/size_target.h"
#include "study/vary.h"

#define COUNT(array) (sizeof(array) / sizeof(array)[0])
#define JUST 1e-6

/* A case around the one map that is looked at; what the map needs besides the key, "key: value" */
struct place {
    const char *name;
    const struct nxw_section *section;
    unsigned kind;         /* bit of the keys' kinds; 0: every key */
    const char *case_text; /* %s: the map */
    const char *others[6];
};

#define BARE "source: {kind: metered, flow: 0.1 L/min, NO2: 1 %%, duration: 10 min}\n"
#define TRAIN BARE "train:\n  - volume: 250 mL\n    inner diameter: 60 mm\n    "
#define TIP(word, bit, ...)                                                                        \
    {                                                                                              \
        "tip, " word, &nxw_fields_tip, 1u << (bit), TRAIN "tip: %s\n", { __VA_ARGS__ }             \
    }
#define BATH(word, bit, ...)                                                                       \
    {                                                                                              \
        "bath, " word, &nxw_fields_bath, 1u << (bit), TRAIN "bath: %s\n", { __VA_ARGS__ }          \
    }

static const struct nxw_field METAL_FIELDS[] = {
    {"mass", NXW_DIM_MASS, 0, NXW_ABOVE_LOW, 0.0, 63.546, "g", 0, ""}, /* 1000 mol of copper */
    {"NO2 share", NXW_DIM_SHARE, 0, NXW_FROM_LOW, 0.0, 1.0, "%", 0, ""},
};
static const struct nxw_section METAL = {METAL_FIELDS, COUNT(METAL_FIELDS)};
static const struct nxw_field NUMBERS_FIELDS[] = {
    {"relative tolerance", NXW_DIM_NUMBER, 0, NXW_FROM_LOW, 1e-11, 1e-3, "", 0, ""},
    {"slices", NXW_DIM_NUMBER, 0, NXW_FROM_LOW, 0.0, NXW_SLICES_MAX, "", 0, ""},
};
static const struct nxw_section NUMBERS = {NUMBERS_FIELDS, COUNT(NUMBERS_FIELDS)};
static const struct nxw_field STEP_FIELDS[] = {
    {"flow", NXW_DIM_GAS_FLOW, 0, NXW_FROM_LOW, 0.0, 10.0, "L/min", 0, ""},
    {"NO2", NXW_DIM_VOLUME_FRACTION, 0, NXW_FROM_LOW, 0.0, 1.0, "%", 0, ""},
    {"NO", NXW_DIM_VOLUME_FRACTION, 0, NXW_FROM_LOW, 0.0, 1.0, "%", 0, ""},
    {"O2", NXW_DIM_VOLUME_FRACTION, 0, NXW_FROM_LOW, 0.0, 1.0, "%", 0, ""},
};
static const struct nxw_section STEP = {STEP_FIELDS, COUNT(STEP_FIELDS)};
static const struct nxw_field FRIT_FIELDS[] = {
    {"bore", NXW_DIM_LENGTH, 0, NXW_FROM_LOW, 1e-6, 1e-3, "mm", 0, ""},
};
static const struct nxw_section FRIT = {FRIT_FIELDS, COUNT(FRIT_FIELDS)};

static const struct place PLACES[] = {
    {"source, acid vapour",
     &nxw_fields_source,
     1u << NXW_SOURCE_ACID_VAPOUR,
     "source: %s\n",
     {"kind: acid vapour", "acid made: 1 mol", "decomposed: 10 %", "duration: 10 min"}},
    {"source, metal",
     &nxw_fields_source,
     1u << NXW_SOURCE_METAL,
     "source: %s\n",
     {"kind: metal", "metal: copper", "mass: 10 g", "duration: 10 min"}},
    {"source, metal's own",
     &METAL,
     0,
     "source: %s\n",
     {"kind: metal", "metal: copper", "mass: 10 g", "duration: 10 min"}},
    {"source, metered",
     &nxw_fields_source,
     1u << NXW_SOURCE_METERED,
     "source: %s\n",
     {"kind: metered", "flow: 0.1 L/min", "duration: 10 min"}},
    {"step",
     &STEP,
     0,
     "source:\n  kind: metered\n  duration: 10 min\n  steps: [%s]\n",
     {"from: 0 min", "flow: 0.1 L/min"}},
    {"carrier", &nxw_fields_carrier, 0, BARE "carrier: %s\n", {"gas: air", "flow: 0.1 L/min"}},
    {"bleed", &nxw_fields_carrier, 0, TRAIN "bleed: %s\n", {"gas: air", "flow: 0.1 L/min"}},
    {"stage",
     &nxw_fields_stage,
     1u << NXW_STAGE_BOTTLE,
     BARE "train: [%s]\n",
     {"volume: 20 L", "inner diameter: 60 mm", "liquid: 1 mL"}},
    {"empty stage",
     &nxw_fields_stage,
     1u << NXW_STAGE_EMPTY,
     BARE "train: [%s]\n",
     {"kind: empty", "volume: 100 mL"}},
    TIP("open tube", NXW_TIP_OPEN_TUBE, "kind: open tube"),
    TIP("holes", NXW_TIP_HOLES, "kind: holes", "bore: 2 mm", "holes: 4"),
    {"tip, frit", &FRIT, 0, TRAIN "tip: %s\n", {"kind: frit", "diameter: 25 mm", "bore: 0.1 mm"}},
    TIP("bubbles", NXW_TIP_BUBBLE_DIAMETER, "bubble diameter: 5 mm"),
    BATH("air", NXW_BATH_AIR, "kind: air"),
    BATH("ice water", NXW_BATH_ICE_WATER, "kind: ice water", "ice: 100 g"),
    {"vent", &nxw_fields_vent, 0, BARE "vent: %s\n", {NULL}},
    {"hood", &nxw_fields_hood, 0, BARE "hood: %s\n", {NULL}},
    {"after", &nxw_fields_after, 0, BARE "after: %s\n", {NULL}},
    {"surroundings", &nxw_fields_surroundings, 0, BARE "surroundings: %s\n", {NULL}},
    {"vessel", &nxw_fields_vessel, 0, BARE "vessel: %s\n", {"volume: 100 mL", "hot: 100 degC"}},
    {"numerics", &NUMBERS, 0, BARE "numerics: %s\n", {NULL}},
};

/* Is that entry of a place's others the key's own? */
static bool is_of_key(const char *entry, const char *key)
{
    const size_t n = strlen(key);
    return strncmp(entry, key, n) == 0 && entry[n] == ':';
}

static bool is_read(const char *text, char fault[240])
{
    static struct nxw_case c;
    static struct nxw_case_notes notes;
    struct nxw_fault_list faults = {0};
    const int status = nxw_case_text_read(text, strlen(text), false, "case", &c, &notes, &faults);
    fault[0] = '\0';
    if (faults.n > 0)
        (void)snprintf(fault, 240, "%.239s", faults.faults[0].text);
    nxw_fault_list_free(&faults);
    return status == NXW_READ_OK;
}

/* Does the reader take the key with that value in its place? */
static bool takes(const struct place *p, const char *key, const char *value, char fault[240])
{
    char map[400] = "{", text[800];
    size_t used = 1;
    for (size_t i = 0; i < COUNT(p->others) && p->others[i] != NULL; i++)
        if (!is_of_key(p->others[i], key))
            used += (size_t)snprintf(map + used, sizeof map - used, "%s, ", p->others[i]);
    (void)snprintf(map + used, sizeof map - used, "%s: %s}", key, value);
    (void)snprintf(text, sizeof text, p->case_text, map);
    return is_read(text, fault);
}

static size_t n_spellings, n_wrong;

static void expect(const struct place *p, const char *key, const char *value, bool taken)
{
    char fault[240];
    n_spellings++;
    if (takes(p, key, value, fault) == taken)
        return;
    print_error("%s: '%s: %s' is %s %s\n", p->name, key, value, taken ? "refused:" : "taken",
                fault);
    n_wrong++;
}

static bool is_whole(const char *key)
{
    return strcmp(key, "holes") == 0 || strcmp(key, "slices") == 0;
}

/* The bound, and what lies just beyond; a whole number's next is one further. */
static void at_bound(const struct place *p, const struct nxw_field *f, double bound, double outward,
                     bool taken, const char *unit)
{
    char at[64], beyond[64];
    const double scale = bound != 0.0 ? fabs(bound) : f->high - f->low;
    const double step = is_whole(f->key) ? 1.0 : JUST * scale;
    nxw_quantity_write(bound, unit, f->dimension, at, sizeof at);
    nxw_quantity_write(bound + outward * step, unit, f->dimension, beyond, sizeof beyond);
    expect(p, f->key, at, taken);
    expect(p, f->key, beyond, false);
}

/* What a refusal names is taken: "at least 5 mL, at most 2e+04 mL". */
static void names_what_it_takes(const struct place *p, const struct nxw_field *f)
{
    char far[64], fault[240], again[240];
    nxw_quantity_write(10.0 * f->high, f->unit, f->dimension, far, sizeof far);
    assert_false(takes(p, f->key, far, fault));
    if (strstr(fault, "is not possible") == NULL) /* the library's own, of more than one key */
        return;
    static const char *const words[] = {"at least ", "at most "};
    for (size_t i = 0; i < COUNT(words); i++) {
        const char *from = strstr(fault, words[i]);
        if (from == NULL) /* "above 0 mol" */
            continue;
        from += strlen(words[i]);
        char told[64];
        (void)snprintf(told, sizeof told, "%.*s", (int)strcspn(from, ","), from);
        if (!takes(p, f->key, told, again))
            fail_msg("%s, %s: '%s', but: %s", p->name, f->key, fault, again);
    }
}

/* The last value of a sweep that ends at a bound is that bound, and is run. */
static void sweep_ends_at(const struct place *p, const struct nxw_field *f, const char *unit)
{
    char low[64], high[64], text[240], message[NXW_VARY_MESSAGE], *rest;
    nxw_quantity_write(f->low, unit, f->dimension, low, sizeof low);
    nxw_quantity_write(f->high, unit, f->dimension, high, sizeof high);
    const double from = strtod(low, &rest), to = strtod(high, &rest);
    char short_to[32];
    (void)snprintf(short_to, sizeof short_to, "%.12g", to);
    if (is_whole(f->key) || strtod(short_to, NULL) != to)
        return; /* no range ends there that a person would write */
    struct nxw_vary v;
    (void)snprintf(text, sizeof text, "x=%.12g:%.12g:%.17g%s", from, to, (to - from) / 7.0, rest);
    if (!nxw_vary_read(text, false, &v, message))
        fail_msg("%s: %s", text, message);
    assert_int_equal(v.n, 8);
    struct nxw_vary_value last;
    nxw_vary_nth(&v, 7, &last);
    expect(p, f->key, last.text, true);
    nxw_vary_free(&v);
}

static void every_field(void **unused)
{
    (void)unused;
    size_t n_fields = 0;
    for (size_t i = 0; i < COUNT(PLACES); i++) {
        const struct place *p = &PLACES[i];
        for (size_t k = 0; k < p->section->n; k++) {
            const struct nxw_field *f = &p->section->fields[k];
            const bool above = f->limit == NXW_ABOVE_LOW;
            if (p->kind != 0 && f->kinds != 0 && (f->kinds & p->kind) == 0)
                continue;
            n_fields++;
            names_what_it_takes(p, f);
            const struct nxw_unit *u;
            for (size_t n = 0; (u = nxw_unit(n)) != NULL || n == nxw_unit_count(); n++) {
                const bool plain = f->dimension == NXW_DIM_NUMBER;
                if (u == NULL ? !plain : u->dimension != f->dimension)
                    continue;
                at_bound(p, f, f->low, -1.0, !above, plain ? "" : u->text);
                at_bound(p, f, f->high, 1.0, true, plain ? "" : u->text);
                sweep_ends_at(p, f, plain ? "" : u->text);
            }
        }
    }
    print_message("%zu keys in their places, %zu spellings\n", n_fields, n_spellings);
    assert_int_equal(n_wrong, 0);
    assert_true(n_fields > 60 && n_spellings > 600); /* empty tables would pass */
}

/* Peroxide has a reader of its own: 0 to 35 wt%, as mass in a volume at 20 degC, too. */
static void peroxide(void **unused)
{
    (void)unused;
    static const struct place p = {
        "stage", NULL, 0, BARE "train: [%s]\n", {"volume: 250 mL", "inner diameter: 60 mm"}};
    const double most = 0.35, kg_m3 = most * nxw_peroxide_density_kg_m3(most, 293.15);
    size_t units = 0;
    for (size_t n = 0; n < nxw_unit_count(); n++) {
        const struct nxw_unit *u = nxw_unit(n);
        if (u->dimension != NXW_DIM_PEROXIDE)
            continue;
        const double bound = strcmp(u->text, "wt%") == 0 ? most : kg_m3;
        char at[64], beyond[64], none[64];
        nxw_quantity_write(bound, u->text, NXW_DIM_PEROXIDE, at, sizeof at);
        nxw_quantity_write(bound * (1.0 + JUST), u->text, NXW_DIM_PEROXIDE, beyond, sizeof beyond);
        (void)snprintf(none, sizeof none, "0 %s", u->text);
        expect(&p, "peroxide", at, true);
        expect(&p, "peroxide", beyond, false);
        expect(&p, "peroxide", none, true);
        expect(&p, "peroxide", "-1e-6 wt%", false);
        units++;
    }
    assert_int_equal(units, 4);
    struct nxw_vary v;
    char message[NXW_VARY_MESSAGE];
    assert_true(nxw_vary_read("train[1].peroxide=0:35:5 wt%", false, &v, message));
    assert_int_equal(v.n, 8);
    for (uint64_t i = 0; i < v.n; i++) {
        struct nxw_vary_value value;
        nxw_vary_nth(&v, i, &value);
        expect(&p, "peroxide", value.text, true);
    }
    assert_int_equal(n_wrong, 0);
    nxw_vary_free(&v);
}

/* The number that stands before "mL:" in a refusal of too much liquid. */
static double told_mL(const char *fault)
{
    const char *to = strstr(fault, "takes 1 to ");
    assert_non_null(to);
    return strtod(to + strlen("takes 1 to "), NULL);
}

/* What a glass may be filled with: of every glass of the catalogue, and of odd sizes, what a
 * refusal names is taken, in every unit, and is the largest fill to four digits. */
static void fill(void **unused)
{
    (void)unused;
    static const double sizes_mL[] = {5.0, 7.77, 33.333, 123.456, 999.99, 15000.0};
    struct nxw_glass glass[NXW_CATALOGUE_MAX];
    const size_t n = nxw_glass_list(glass);
    size_t bottles = 0;
    for (size_t i = 0; i < n + COUNT(sizes_mL); i++) {
        char size[64], name[64], value[64], fault[240];
        const double mL = i < n ? 1e6 * glass[i].volume_m3 : sizes_mL[i - n];
        if (i < n && glass[i].empty)
            continue;
        bottles++;
        (void)snprintf(size, sizeof size, "volume: %.9g mL", mL);
        (void)snprintf(name, sizeof name, "glass: %.47s", i < n ? glass[i].name : "");
        const struct place p = {
            "glass", NULL, 0, BARE "train: [%s]\n", {i < n ? name : size, "inner diameter: 60 mm"}};
        (void)snprintf(value, sizeof value, "%.9g mL", mL); /* to the brim */
        assert_false(takes(&p, "liquid", value, fault));
        const double most_mL = told_mL(fault);
        assert_true(most_mL <= 0.95 * mL * (1.0 + 1e-12) && most_mL > 0.949 * mL);
        for (size_t u = 0; u < nxw_unit_count(); u++) {
            if (nxw_unit(u)->dimension != NXW_DIM_VOLUME)
                continue;
            nxw_quantity_write(1e-6 * most_mL, nxw_unit(u)->text, NXW_DIM_VOLUME, value,
                               sizeof value);
            expect(&p, "liquid", value, true);
            nxw_quantity_write(0.95e-6 * mL, nxw_unit(u)->text, NXW_DIM_VOLUME, value,
                               sizeof value);
            expect(&p, "liquid", value, true);
            nxw_quantity_write(0.95e-6 * mL * (1.0 + JUST), nxw_unit(u)->text, NXW_DIM_VOLUME,
                               value, sizeof value);
            expect(&p, "liquid", value, false);
        }
    }
    assert_int_equal(n_wrong, 0);
    assert_true(bottles > 10);
}

/* Steps that follow each other by one second, in different units; and by less. */
static void steps(void **unused)
{
    (void)unused;
    char text[400], fault[240];
    for (int k = 1; k < 100; k++) {
        for (int short_of = 0; short_of < 2; short_of++) {
            (void)snprintf(text, sizeof text,
                           "source:\n  kind: metered\n  duration: 10 min\n  steps: [{from: 0.%02d "
                           "min, flow: 1 L/min}, {from: %.10g s, flow: 0 L/min}]\n",
                           k, 0.6 * k + 1.0 - 1e-6 * short_of);
            if (is_read(text, fault) != (short_of == 0))
                fail_msg("%s%s", text, fault);
        }
    }
}

/* A hundred million steps end where they are said to. */
static void long_ranges(void **unused)
{
    (void)unused;
    struct nxw_vary v;
    char message[NXW_VARY_MESSAGE];
    assert_true(nxw_vary_read("x=0:86419.7523:0.0007 mL", false, &v, message));
    assert_int_equal(v.n, 123456790);
    nxw_vary_free(&v);
}

/* Options that are read with bounds, too. */
static void options(void **unused)
{
    (void)unused;
    static const struct {
        const char *texts[NXW_TARGET_COUNT];
        bool taken;
    } targets[] = {
        {{[NXW_TARGET_CAPTURE] = "100 %"}, true},
        {{[NXW_TARGET_CAPTURE] = "100.0001 %"}, false},
        {{[NXW_TARGET_CAPTURE] = "0 %"}, false},
        {{[NXW_TARGET_STRENGTH] = "100 wt%"}, true},
        {{[NXW_TARGET_PEAK_TEMPERATURE] = "100 degC"}, true},
        {{[NXW_TARGET_PEAK_TEMPERATURE] = "373.15 K"}, true},
        {{[NXW_TARGET_PEAK_TEMPERATURE] = "373.1503 K"}, false},
        {{[NXW_TARGET_PEAK_TEMPERATURE] = "0 degC"}, false},
    };
    for (size_t i = 0; i < COUNT(targets); i++) {
        struct nxw_targets t = {0};
        assert_true(nxw_targets_read(targets[i].texts, &t) == targets[i].taken);
    }
    static const struct {
        const char *text;
        bool taken;
    } parts[] = {{"1 L, water, 95 degC", true},       {"1 L, water, 368.15 K", true},
                 {"1 L, water, 95.0001 degC", false}, {"1 L, 5 wt% acid, -10 degC", true},
                 {"1 L, 5 wt% acid, 263.15 K", true}, {"1 L, 5 wt% acid, -10.0003 degC", false}};
    for (size_t i = 0; i < COUNT(parts); i++) {
        struct nxw_written_part part;
        char message[NXW_PART_MESSAGE_LENGTH];
        assert_true(nxw_part_read(parts[i].text, &part, message) == parts[i].taken);
    }
    double liquid_K, water_K;
    char message[NXW_MESSAGE_LENGTH];
    assert_true(nxw_gravity_scale_read("104/32 F", &liquid_K, &water_K, message));
    assert_true(nxw_gravity_scale_read("40/0", &liquid_K, &water_K, message));
    assert_false(nxw_gravity_scale_read("104.0002/32 F", &liquid_K, &water_K, message));
    assert_false(nxw_gravity_scale_read("40.0001/0", &liquid_K, &water_K, message));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_field), cmocka_unit_test(peroxide),    cmocka_unit_test(fill),
        cmocka_unit_test(steps),       cmocka_unit_test(long_ranges), cmocka_unit_test(options),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
