/* Layer (b). A text's limit is the library's: what is judged and what is told turn at the same
 * number, and the number shown is that one. */
#include "../assert_near.h"

#include <stdio.h>
#include <string.h>

#include "words/cautions.h"
#include "words/run_words.h"
#include "words/warning_text.h"

static size_t index_of(enum nxw_warning bit)
{
    size_t i = 0;
    while (i < NXW_WARNING_COUNT && nxw_warning_words[i].bit != bit)
        i++;
    assert_true(i < NXW_WARNING_COUNT);
    return i;
}

/* A bottle that is nowhere beyond a limit. */
struct bottle {
    struct nxw_case in;
    struct nxw_result r;
};

static struct bottle within(void)
{
    struct bottle b;
    memset(&b, 0, sizeof b);
    nxw_case_init(&b.in);
    b.r.n_stages = b.in.n_stages;
    struct nxw_stage_result *s = &b.r.stages[0];
    s->peak_temperature_K = 300.0;
    s->liquid_m3 = 0.5 * b.in.stages[0].volume_m3;
    s->depth_m = 0.05;
    return b;
}

/* The sentence with figures; without any, that of the bare words: the bottle is not beyond. */
static bool told(const struct bottle *b, enum nxw_warning bit, char out[NXW_WARNING_TEXT_LENGTH])
{
    const size_t i = index_of(bit);
    nxw_warning_text(&b->in, &b->r, i, out);
    return strcmp(out, nxw_warning_words[i].word.text) != 0;
}

static void has(const char *text, double number, const char *unit)
{
    char want[64];
    (void)snprintf(want, sizeof want, " %g %s", number, unit);
    if (strstr(text, want) == NULL)
        fail_msg("'%s' does not say '%s'", text, want);
}

struct limit {
    enum nxw_warning bit;
    double limit, shown;
    const char *unit; /* NULL: the texts show no number */
    void (*set)(struct bottle *b, double value);
};

static void heat(struct bottle *b, double K) { b->r.stages[0].peak_temperature_K = K; }
static void nitrous(struct bottle *b, double mol_m3) { b->r.stages[0].peak_HNO2_mol_m3 = mol_m3; }
static void fill(struct bottle *b, double share)
{
    b->r.stages[0].liquid_m3 = share * b->in.stages[0].volume_m3;
}
static void charge(struct bottle *b, double share)
{
    b->in.stages[0].peroxide_mass_fraction = share;
}
static void lift(struct bottle *b, double minus_m) { b->r.stages[0].depth_m = -minus_m; }

static void warnings(void **state)
{
    (void)state;
    const struct limit limits[] = {
        {NXW_WARN_HOT, NXW_HOT_K, NXW_HOT_K - 273.15, "degC", heat},
        {NXW_WARN_HNO2_OUTSIDE_DATA, NXW_NITROUS_MOST_MOL_M3, 1e-3 * NXW_NITROUS_MOST_MOL_M3,
         "mol/L", nitrous},
        {NXW_WARN_HEADSPACE_SMALL, NXW_FULLEST, 100.0 * NXW_FULLEST, "%", fill},
        {NXW_WARN_PEROXIDE_STRONG, NXW_PEROXIDE_MOST, 100.0 * NXW_PEROXIDE_MOST, "wt%", charge},
        {NXW_WARN_SHALLOW, -NXW_UNDER_M, 0.0, NULL, lift}};
    char text[NXW_WARNING_TEXT_LENGTH];
    for (size_t i = 0; i < sizeof limits / sizeof limits[0]; i++) {
        const struct limit *l = &limits[i];
        struct bottle b = within();
        l->set(&b, l->limit - 1e-6 * fabs(l->limit));
        assert_false(told(&b, l->bit, text));
        if (l->unit != NULL)
            has(text, l->shown, l->unit);
        l->set(&b, l->limit + 1e-6 * fabs(l->limit));
        assert_true(told(&b, l->bit, text));
        if (l->unit != NULL)
            has(text, l->shown, l->unit);
    }
}

/* The numbers that were looked up: EU 2019/1148 (secondary transcription). */
static void regulated(void **state)
{
    (void)state;
    assert_near(NXW_ACID_REGULATED, 0.03, 0.0);
    assert_near(NXW_PEROXIDE_MOST, 0.12, 0.0);
    has(nxw_regulated_text, 100.0 * NXW_ACID_REGULATED, "wt% HNO3");
    size_t said = 0;
    char want[32];
    (void)snprintf(want, sizeof want, " %g wt%% or less", 100.0 * NXW_PEROXIDE_MOST);
    struct nxw_cautions cautions;
    nxw_cautions_make(NULL, &cautions);
    for (size_t i = 0; i < cautions.n; i++)
        said += strstr(cautions.text[i], want) != NULL;
    assert_int_equal(said, 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(warnings), cmocka_unit_test(regulated)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
