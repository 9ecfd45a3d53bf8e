/* Layer (a): the compiled table of constants against its own rules. */
#include <string.h>

#include "assert_near.h"
#include "noxwash.h"

static void every_record_is_whole(void **state)
{
    (void)state;
    assert_true(nxw_parameter_count() > 0);
    for (size_t i = 0; i < nxw_parameter_count(); i++) {
        const struct nxw_parameter_record *r = nxw_parameter_record(i);
        assert_non_null(r);
        if (r->key[0] == '\0' || r->unit[0] == '\0' || r->source[0] == '\0' || r->group == NULL ||
            r->note == NULL || r->known > NXW_KNOWN_JUDGEMENT)
            fail_msg("record %zu (%s) is not whole", i, r->key);
        if (!isfinite(r->low) || !isfinite(r->high) || !(r->low <= r->value && r->value <= r->high))
            fail_msg("%s lies outside its range", r->key);
    }
    assert_null(nxw_parameter_record(nxw_parameter_count()));
    assert_null(nxw_parameter_record((size_t)-1));
}

static void every_key_is_found_once(void **state)
{
    (void)state;
    for (size_t i = 0; i < nxw_parameter_count(); i++) {
        size_t index = nxw_parameter_count();
        assert_int_equal(nxw_parameter_find(nxw_parameter_record(i)->key, &index), NXW_OK);
        assert_int_equal(index, i);
    }
}

static void the_enum_names_the_record(void **state)
{
    (void)state;
    assert_int_equal(nxw_parameter_count(), NXW_PARAMETER_COUNT);
    assert_string_equal(nxw_parameter_record(NXW_P_k2_NO2)->key, "k2_NO2");
    assert_string_equal(nxw_parameter_record(NXW_P_H_NO2_B)->key, "H_NO2_B");
}

static void an_unknown_key_is_refused(void **state)
{
    (void)state;
    static const char *const UNKNOWN[] = {"", "k2_no2", "k2_NO2 ", "H_NO2_", "nothing"};
    for (size_t i = 0; i < sizeof UNKNOWN / sizeof UNKNOWN[0]; i++) {
        size_t index = 7;
        assert_int_equal(nxw_parameter_find(UNKNOWN[i], &index), NXW_ERROR_KEY);
        assert_int_equal(index, 7);
    }
}

static void defaults_are_the_table(void **state)
{
    (void)state;
    struct nxw_parameters p;
    memset(&p, 0xff, sizeof p);
    nxw_parameters_default(&p);
    for (size_t i = 0; i < nxw_parameter_count(); i++)
        assert_near(p.value[i], nxw_parameter_record(i)->value, 0.0);
}

/* A slope in temperature belongs to a constant at 298.15 K. */
static void every_slope_has_its_constant(void **state)
{
    (void)state;
    for (size_t i = 0; i < nxw_parameter_count(); i++) {
        const struct nxw_parameter_record *r = nxw_parameter_record(i);
        const size_t length = strlen(r->key);
        if (length < 3 || strcmp(r->key + length - 2, "_B") != 0)
            continue;
        char base[64];
        size_t index;
        assert_true(length - 2 < sizeof base);
        memcpy(base, r->key, length - 2);
        base[length - 2] = '\0';
        assert_int_equal(nxw_parameter_find(base, &index), NXW_OK);
        assert_string_equal(r->unit, "K");
    }
}

static void groups_hold_what_is_tied(void **state)
{
    (void)state;
    static const int CYCLE[] = {NXW_P_H_NO,   NXW_P_H_NO2,      NXW_P_H_HNO2,
                                NXW_P_K_N2O3, NXW_P_K_HNO2_gas, NXW_P_K3_HNO2};
    size_t members = 0;
    for (size_t i = 0; i < sizeof CYCLE / sizeof CYCLE[0]; i++)
        assert_string_equal(nxw_parameter_record((size_t)CYCLE[i])->group, "cycle");
    for (size_t i = 0; i < nxw_parameter_count(); i++)
        members += strcmp(nxw_parameter_record(i)->group, "cycle") == 0;
    assert_int_equal(members, sizeof CYCLE / sizeof CYCLE[0]);
    assert_string_equal(nxw_parameter_record(NXW_P_k2_NO2)->group, "NO2 pair");
}

static void the_table_is_identified(void **state)
{
    (void)state;
    assert_true(strlen(nxw_parameter_version()) > 0);
    assert_int_equal(strlen(nxw_parameter_hash()), 16);
    assert_int_equal(strspn(nxw_parameter_hash(), "0123456789abcdef"), 16);
}

static void statuses_have_texts(void **state)
{
    (void)state;
#define CHECK(name, value, text) assert_string_equal(nxw_status_text(name), text);
    NXW_STATUS_LIST(CHECK)
#undef CHECK
    assert_non_null(nxw_status_text((enum nxw_status)(-99)));
    assert_string_equal(nxw_version(), "0.1.0");
    assert_true(strlen(nxw_commit()) > 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_record_is_whole),     cmocka_unit_test(every_key_is_found_once),
        cmocka_unit_test(the_enum_names_the_record), cmocka_unit_test(an_unknown_key_is_refused),
        cmocka_unit_test(defaults_are_the_table),    cmocka_unit_test(every_slope_has_its_constant),
        cmocka_unit_test(groups_hold_what_is_tied),  cmocka_unit_test(the_table_is_identified),
        cmocka_unit_test(statuses_have_texts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
