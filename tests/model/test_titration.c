/* Layer (b): titrations worked by hand, and ones that cannot be. */
#include "../assert_near.h"
#include "noxwash.h"

/* 20 mL of 0.5 mol/L alkali for 5 mL: 2.000 mol/L of acid; 10 mL of 0.02 mol/L permanganate for 5
 * mL: 2.5 x 0.02 x 10/5 = 0.100 mol/L of what it finds. Each titre good to 0.5 %. */
static struct nxw_titration both(void)
{
    return (struct nxw_titration){.temperature_K = 293.15,
                                  .sample_m3 = 5e-6,
                                  .alkali_m3 = 20e-6,
                                  .alkali_mol_m3 = 500.0,
                                  .permanganate_sample_m3 = 5e-6,
                                  .permanganate_m3 = 10e-6,
                                  .permanganate_mol_m3 = 20.0,
                                  .relative_error = 0.005};
}

static struct nxw_titrated good(const struct nxw_titration *in)
{
    struct nxw_titrated out;
    struct nxw_diagnosis d;
    assert_int_equal(nxw_titration_result(in, &out, &d), NXW_OK);
    assert_int_equal(out.bytes, sizeof out);
    return out;
}

/* 1.900 mol/L HNO3 and 0.100 mol/L HNO2, errors 10 and 0.5 mmol/L, together sqrt(100.25). 119.72
 * and 4.70 g in a litre of 11.7 wt%, 1.0642 g/cm3 between the printed 1.0602 and 1.0660 of 11 and
 * 12 wt%: 11.250 and 0.4418 wt%. */
static void nitrous_acid(void **state)
{
    (void)state;
    const struct nxw_titration in = both();
    const struct nxw_titrated t = good(&in);
    assert_near(t.acid_mol_m3, 2000.0, 1e-9);
    assert_near(t.HNO3_mol_m3, 1900.0, 1e-9);
    assert_near(t.HNO2_mol_m3, 100.0, 1e-9);
    assert_near(t.H2O2_mol_m3, 0.0, 0.0);
    assert_near(t.HNO3_error_mol_m3, sqrt(100.25), 1e-9);
    assert_near(t.other_error_mol_m3, 0.5, 1e-12);
    assert_near(t.HNO3_mass_fraction, 0.11250, 1e-5);
    assert_near(t.HNO2_mass_fraction, 0.004418, 1e-6);
    /* what was found fills a litre of the density of its own composition */
    const double rho = nxw_acid_density_kg_m3(t.HNO3_mass_fraction + t.HNO2_mass_fraction, 293.15);
    assert_relative(t.HNO3_mass_fraction * rho, 1900.0 * 0.063012, 1e-9);
}

/* The same permanganate over peroxide: all the acid is nitric, 0.100 mol/L H2O2, 3.40 g. */
static void peroxide(void **state)
{
    (void)state;
    struct nxw_titration in = both();
    in.permanganate_finds_peroxide = true;
    const struct nxw_titrated t = good(&in);
    assert_near(t.HNO3_mol_m3, 2000.0, 1e-9);
    assert_near(t.HNO2_mol_m3, 0.0, 0.0);
    assert_near(t.H2O2_mol_m3, 100.0, 1e-9);
    assert_near(t.HNO3_error_mol_m3, 10.0, 1e-9);
    const double rho = nxw_liquid_density_kg_m3(t.HNO3_mass_fraction, t.H2O2_mass_fraction, 293.15);
    assert_relative(t.H2O2_mass_fraction * rho, 100.0 * 0.034014, 1e-9);
}

/* The error as a mass fraction is what the strength moves by when the alkali does: 0.5 % of it. */
static void error_of_the_strength(void **state)
{
    (void)state;
    struct nxw_titration in = both();
    in.permanganate_m3 = 0.0;
    const struct nxw_titrated t = good(&in);
    in.alkali_m3 *= 1.0005; /* a tenth of the error */
    const struct nxw_titrated more = good(&in);
    assert_relative(10.0 * (more.HNO3_mass_fraction - t.HNO3_mass_fraction), t.HNO3_mass_error,
                    5e-3);
}

/* As much nitrous acid as acid leaves none of the other; 3 % more lies outside the errors, 0.7 %
 * each, and is refused; so is more than any liquid holds. */
static void limits(void **state)
{
    (void)state;
    struct nxw_titration in = both();
    struct nxw_titrated out;
    struct nxw_diagnosis d;
    in.permanganate_m3 = 200.5e-6;
    assert_near(good(&in).HNO3_mol_m3, 0.0, 0.0);
    in.permanganate_m3 = 206e-6;
    assert_int_equal(nxw_titration_result(&in, &out, &d), NXW_ERROR_RANGE);
    assert_true(isnan(out.HNO3_mol_m3) && isnan(out.acid_mol_m3));
    in = both();
    in.alkali_mol_m3 = 12000.0; /* 48 mol/L: twice the pure acid */
    assert_int_equal(nxw_titration_result(&in, &out, &d), NXW_ERROR_RANGE);
    assert_true(d.text[0] != '\0');
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nitrous_acid),
        cmocka_unit_test(peroxide),
        cmocka_unit_test(error_of_the_strength),
        cmocka_unit_test(limits),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
