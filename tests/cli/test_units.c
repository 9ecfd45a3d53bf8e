/* Numbers and units: hand-worked values, and everything that must be refused. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "../assert_near.h"
#include "base/units.h"
#include "noxwash.h"

static double read_good(const char *text, enum nxw_dimension dimension)
{
    char message[NXW_MESSAGE_LENGTH] = "";
    double value = (double)NAN;
    if (!nxw_quantity_read(text, dimension, &value, message))
        print_error("'%s': %s\n", text, message);
    return value;
}

static void reads_quantities(void **state)
{
    (void)state;
    assert_near(read_good("250 mL", NXW_DIM_VOLUME), 250e-6, 1e-18);
    assert_near(read_good("250mL", NXW_DIM_VOLUME), 250e-6, 1e-18);
    assert_near(read_good("  0.25 L ", NXW_DIM_VOLUME), 250e-6, 1e-18);
    assert_near(read_good("-5 degC", NXW_DIM_TEMPERATURE), 268.15, 1e-12);
    assert_near(read_good("20 \xc2\xb0"
                          "C",
                          NXW_DIM_TEMPERATURE),
                293.15, 1e-12);
    assert_near(read_good("35 %", NXW_DIM_SHARE), 0.35, 1e-16);
    assert_near(read_good("5 % by volume", NXW_DIM_VOLUME_FRACTION), 0.05, 1e-16);
    assert_near(read_good("1.5e2 min", NXW_DIM_TIME), 9000.0, 1e-9);
    assert_near(read_good(".5 h", NXW_DIM_TIME), 1800.0, 1e-9);
    assert_near(read_good("760 mmHg", NXW_DIM_PRESSURE), 101325.0, 0.02);
    /* a litre of gas at 20 degC and 1 atm: 1/24.055 mol (molar volume, half a last digit) */
    assert_near(read_good("1 L/min", NXW_DIM_GAS_FLOW) * 60.0 * 24.055, 1.0, 3e-5);
    /* 63.012 g HNO3 are a mole */
    assert_near(read_good("63.012 g", NXW_DIM_ACID_AMOUNT), 1.0, 1e-12);
}

static void refuses(void **state)
{
    (void)state;
    static const char *const texts[] = {
        "",        " ",      "mL",      "250",      "nan mL",     "NaN mL",  "inf mL",   "-inf mL",
        ".nan mL", "0x10 L", "1e400 L", "1e-400 L", "1,5 L",      "1.2.3 L", "1 2 L",    "1e L",
        "250 ML",  "250 ml", "250 g",   "250 mL x", "infinity L", "+ L",     "1_000 mL", "--1 L"};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        char message[NXW_MESSAGE_LENGTH] = "";
        double value = 7.0;
        if (nxw_quantity_read(texts[i], NXW_DIM_VOLUME, &value, message))
            fail_msg("'%s' was accepted as %g", texts[i], value);
        assert_true(message[0] != '\0');
        assert_near(value, 7.0, 0.0);
    }
}

static void message_names_the_units(void **state)
{
    (void)state;
    char message[NXW_MESSAGE_LENGTH];
    double value = 0.0;
    assert_false(nxw_quantity_read("250 g", NXW_DIM_VOLUME, &value, message));
    assert_string_equal(message, "the unit 'g' does not fit; accepted: mL, L, m3");
    assert_false(nxw_quantity_read("1,5 L", NXW_DIM_VOLUME, &value, message));
    assert_string_equal(message, "write decimals with a point, not a comma");
}

static void peroxide_strengths(void **state)
{
    (void)state;
    char message[NXW_MESSAGE_LENGTH];
    double w = (double)NAN;
    assert_true(nxw_peroxide_read("3 wt%", &w, message));
    assert_near(w, 0.03, 1e-16);
    /* the definitions, the other way round: mass per volume = w * density */
    assert_true(nxw_peroxide_read("30 w/v%", &w, message));
    assert_relative(w * nxw_peroxide_density_kg_m3(w, 293.15), 300.0, 1e-12);
    assert_true(nxw_peroxide_read("2 mol/L", &w, message));
    assert_relative(w * nxw_peroxide_density_kg_m3(w, 293.15), 2e3 * 0.0340147, 1e-12);
    /* 10 volumes are 30.35 g/L: 2 H2O2 -> 2 H2O + O2, 22.414 L a mole */
    assert_true(nxw_peroxide_read("10 volumes", &w, message));
    assert_relative(w * nxw_peroxide_density_kg_m3(w, 293.15), 30.35, 2e-4);
    assert_true(nxw_peroxide_read("0 mol/L", &w, message));
    assert_near(w, 0.0, 0.0);
    assert_false(nxw_peroxide_read("3 %", &w, message));
    assert_false(nxw_peroxide_read("90 mol/L", &w, message));
    assert_false(nxw_peroxide_read("-3 w/v%", &w, message));
}

static void written_quantities_read_back(void **state)
{
    (void)state;
    const double values[] = {1.0 / 3.0, 250e-6, 1e-9, 293.15, 0.1 + 0.2, 12345.678901234567};
    for (size_t i = 0; i < nxw_unit_count(); i++) {
        const struct nxw_unit *u = nxw_unit(i);
        for (size_t j = 0; j < sizeof values / sizeof values[0]; j++) {
            char text[80];
            nxw_quantity_write(values[j], u->text, u->dimension, text, sizeof text);
            const double tolerance = 1e-15 * fmax(values[j], u->offset);
            assert_near(read_good(text, u->dimension), values[j], tolerance);
        }
    }
}

/* The decimal point stays a point in a country of commas, if such a locale is installed. */
static void locale_changes_nothing(void **state)
{
    (void)state;
    if (setlocale(LC_NUMERIC, "de_DE.UTF-8") == NULL)
        print_message("no locale with a decimal comma installed: read in the present one\n");
    const double got = read_good("1.5 L", NXW_DIM_VOLUME);
    char text[80];
    nxw_quantity_write(1.5e-3, "L", NXW_DIM_VOLUME, text, sizeof text);
    (void)setlocale(LC_NUMERIC, "C");
    assert_near(got, 1.5e-3, 1e-18);
    assert_string_equal(text, "1.5 L");
}

static int list_units(void)
{
    for (size_t i = 0; i < nxw_unit_count(); i++) {
        const struct nxw_unit *u = nxw_unit(i);
        if (printf("%s\t%.17g\t%.17g\t%s\t%s\n", u->text, u->factor, u->offset, u->check,
                   u->check_SI) < 0)
            return 1;
    }
    return 0;
}

int main(int argc, char **argv)
{
    if (argc == 2 && strcmp(argv[1], "--list") == 0)
        return list_units();
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_quantities),
        cmocka_unit_test(refuses),
        cmocka_unit_test(message_names_the_units),
        cmocka_unit_test(peroxide_strengths),
        cmocka_unit_test(written_quantities_read_back),
        cmocka_unit_test(locale_changes_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
