/* The bounds of the reader's fields are those of the library: what one takes, the other takes. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <string.h>

#include "case/case_fields.h"
#include "noxwash.h"

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

enum part { SOURCE, CARRIER, STAGE, TIP, BATH, REST };

static const struct {
    const struct nxw_section *section;
    enum part part;
} SECTIONS[] = {{&nxw_fields_source, SOURCE}, {&nxw_fields_carrier, CARRIER},
                {&nxw_fields_stage, STAGE},   {&nxw_fields_tip, TIP},
                {&nxw_fields_bath, BATH},     {&nxw_fields_vent, REST},
                {&nxw_fields_hood, REST},     {&nxw_fields_after, REST},
                {&nxw_fields_vessel, REST},   {&nxw_fields_surroundings, REST}};

/* Times before the run are the library's to take, not the reader's. */
static bool takes_less(const struct nxw_field *field)
{
    return strcmp(field->key, "from") == 0 || strcmp(field->key, "until") == 0;
}

static enum nxw_status judge(const struct nxw_field *field, enum part part, double value)
{
    struct nxw_case c;
    struct nxw_stage *s = &c.stages[0];
    void *const objects[] = {&c.source, &c.carrier, s, s, s, &c};
    unsigned kind = 0;
    while (field->kinds >> kind != 0 && (field->kinds >> kind & 1u) == 0)
        kind++;
    nxw_case_init(&c);
    if (part == SOURCE)
        c.source.kind = (enum nxw_source_kind)kind;
    if (part == TIP)
        s->tip = (enum nxw_tip_kind)kind;
    if (part == BATH)
        s->bath = (enum nxw_bath_kind)kind;
    if (part == STAGE && field->offset == offsetof(struct nxw_stage, liquid_m3))
        s->volume_m3 = 0.02; /* that it fits is another rule */
    if (part == STAGE && field->offset == offsetof(struct nxw_stage, volume_m3))
        s->liquid_m3 = 1e-6;
    if (part == TIP && field->offset == offsetof(struct nxw_stage, frit_diameter_m))
        s->bore_m = 1e-4;
    *nxw_field_place(field, objects[part]) = value;
    return nxw_case_check(&c, NULL);
}

static size_t n_off; /* conversions that miss the bound */

static void agrees(const struct nxw_field *field, enum part part)
{
    const double step = 1e-6 * (field->high - field->low);
    const bool above = field->limit == NXW_ABOVE_LOW;
    const struct {
        double value;
        bool taken;
    } points[] = {{above ? field->low + step : field->low, true},
                  {0.5 * (field->low + field->high), true},
                  {field->high, true},
                  {field->low - step, false},
                  {field->high + step, false}};
    for (size_t i = 0; i < COUNT(points); i++) {
        if (points[i].value < field->low && takes_less(field))
            continue;
        const bool taken = judge(field, part, points[i].value) == NXW_OK;
        if (taken != points[i].taken)
            print_error("%s: the library %s %.12g\n", field->key, taken ? "takes" : "refuses",
                        points[i].value);
        assert_true(taken == points[i].taken);
    }
}

/* A caller's own conversion, 5 * 1e-6 for 5 mL, is judged as the bound it stands for. */
static void takes_conversions(const struct nxw_field *field, enum part part)
{
    const double bounds[] = {field->low, field->high};
    for (size_t n = 0; n < nxw_unit_count(); n++) {
        const struct nxw_unit *u = nxw_unit(n);
        for (size_t i = 0; i < COUNT(bounds) && u->dimension == field->dimension; i++) {
            if (i == 0 && field->limit == NXW_ABOVE_LOW)
                continue;
            char text[64], message[NXW_MESSAGE_LENGTH];
            double converted;
            nxw_quantity_write(bounds[i], u->text, field->dimension, text, sizeof text);
            assert_true(nxw_quantity_read(text, field->dimension, &converted, message));
            if (judge(field, part, converted) != NXW_OK)
                fail_msg("%s: the library refuses %s, %.17g of %.17g", field->key, text, converted,
                         bounds[i]);
            n_off += converted != bounds[i] ? 1 : 0;
        }
    }
}

static void reader_and_library_agree(void **state)
{
    (void)state;
    size_t n = 0;
    for (size_t i = 0; i < COUNT(SECTIONS); i++)
        for (size_t k = 0; k < SECTIONS[i].section->n; k++, n++) {
            agrees(&SECTIONS[i].section->fields[k], SECTIONS[i].part);
            takes_conversions(&SECTIONS[i].section->fields[k], SECTIONS[i].part);
        }
    assert_true(n > 30); /* empty tables would agree */
    print_message("%zu conversions miss their bound by what they round off\n", n_off);
    assert_true(n_off > 5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(reader_and_library_agree)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
