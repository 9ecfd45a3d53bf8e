/* Layer (b): gases whose pressures are known: made from the answer, pure, dilute, without oxides.
 */
#include "../assert_near.h"

#include "properties/gas.h"
#include "reactions/hno2_formation_gas.h"

static struct nxw_parameters p;

/* Derivatives are taken over a thousandth of 1e-6: what Newton leaves must be small beside that. */
static const double SOLVED = 1e-10;
static struct nxw_chemistry c;

static void at(double T_K)
{
    nxw_parameters_default(&p);
    nxw_chemistry_gas(&p, T_K, &c);
}

/* Pressures chosen first, pools counted from them: NO + N2O3, NO2 + 2 N2O4 + N2O3 and the rest of
 * an atmosphere; the answer must come back, whatever the size of the vessel. */
static void made_from_the_answer(void **state)
{
    (void)state;
    static const double NO_Pa[] = {0.0, 1e-3, 100.0, 2e4}, NO2_Pa[] = {0.0, 1e-3, 100.0, 1e4};
    for (int i = 0; i < 4; i++)
        for (int k = 0; k < 4; k++)
            for (double T_K = 273.15; T_K < 360.0; T_K += 25.0) {
                at(T_K);
                const double N2O4 = c.K_N2O4_1_Pa * NO2_Pa[k] * NO2_Pa[k];
                const double N2O3 = c.K_N2O3_1_Pa * NO_Pa[i] * NO2_Pa[k];
                const double rest = 101325.0 - NO_Pa[i] - NO2_Pa[k] - N2O4 - N2O3;
                if (rest < 0.0)
                    continue;
                const double size = 1e-7 * (i + 1);
                const double n[NXW_POOLS] = {[NXW_NO] = size * (NO_Pa[i] + N2O3),
                                             [NXW_NO2] = size * (NO2_Pa[k] + 2.0 * N2O4 + N2O3),
                                             [NXW_O2] = size * 0.3 * rest,
                                             [NXW_INERT] = size * 0.7 * rest};
                struct nxw_gas_pressures g;
                nxw_gas_speciate(&c, n, 101325.0, &g);
                assert_relative(g.NO_Pa, NO_Pa[i], SOLVED);
                assert_relative(g.NO2_Pa, NO2_Pa[k], SOLVED);
                assert_relative(g.N2O4_Pa, N2O4, SOLVED);
                assert_relative(g.N2O3_Pa, N2O3, SOLVED);
                assert_relative(g.volume_m3, size * 8.314462618 * T_K, SOLVED);
            }
}

/* Pure NO2: p + K p2 = P. A trace stays single. Two moles of NO2 that pair all but fill the volume
 * of one. */
static void pure_and_dilute(void **state)
{
    (void)state;
    at(298.15);
    struct nxw_gas_pressures g;
    double n[NXW_POOLS] = {[NXW_NO2] = 2.0};
    nxw_gas_speciate(&c, n, 101325.0, &g);
    const double K = c.K_N2O4_1_Pa;
    assert_relative(g.NO2_Pa, (sqrt(1.0 + 4.0 * K * 101325.0) - 1.0) / (2.0 * K), SOLVED);
    n[NXW_INERT] = 2e9;
    nxw_gas_speciate(&c, n, 101325.0, &g);
    assert_relative(g.NO2_Pa, 101325.0e-9, 1e-6);
    c.K_N2O4_1_Pa = 1e6;
    n[NXW_INERT] = 0.0;
    nxw_gas_speciate(&c, n, 101325.0, &g);
    assert_relative(g.volume_m3, 8.314462618 * 298.15 / 101325.0, 1e-4);
}

/* A trace below nothing stays one: of the same size, its pairs below nothing too. */
static void below_nothing(void **state)
{
    (void)state;
    at(298.15);
    struct nxw_gas_pressures g;
    const double n[NXW_POOLS] = {[NXW_NO] = 0.1, [NXW_NO2] = -1e-12, [NXW_INERT] = 0.9};
    nxw_gas_speciate(&c, n, 101325.0, &g);
    assert_true(g.NO2_Pa < 0.0 && g.N2O4_Pa <= 0.0 && g.N2O3_Pa < 0.0);
    assert_relative(g.pool_Pa[NXW_NO2], -1e-12 * 101325.0, 1e-9);
}

/* Of 25 degC the enthalpy is that of formation; 10 K above it CP more: NO 299 J, O2 294 J a mole.
 */
static void heat(void **state)
{
    (void)state;
    at(298.15);
    assert_near(nxw_gas_molar_enthalpy(&p, NXW_O2, 298.15), 0.0, 0.0);
    assert_relative(nxw_gas_molar_enthalpy(&p, NXW_NO, 298.15), 1e3 * p.value[NXW_P_dHf_NO_gas],
                    1e-15);
    assert_near(nxw_gas_molar_enthalpy(&p, NXW_O2, 308.15), 294.0, 1e-9);
    assert_near(nxw_gas_molar_enthalpy(&p, NXW_NO, 308.15) -
                    nxw_gas_molar_enthalpy(&p, NXW_NO, 298.15),
                299.0, 1e-9);
}

/* NO + NO2 + H2O -> 2 HNO2 at 1 kPa, 2 kPa and 3 kPa with k = 8.8 kmol/(m3 s atm3): 8800 x 6e9 Pa3
 * over 101325^3 Pa3, 0.050757 mol/(m3 s). None in dry gas; back at the same pace as its square
 * where HNO2 alone is there; water below nothing is given back. */
static void nitrous_acid(void **state)
{
    (void)state;
    at(298.15);
    struct nxw_gas_pressures g = {.NO_Pa = 1e3, .NO2_Pa = 2e3};
    assert_near(nxw_HNO2_formation_mol_m3_s(&c, &g), 0.0, 0.0);
    g.pool_Pa[NXW_H2O] = 3e3;
    assert_relative(nxw_HNO2_formation_mol_m3_s(&c, &g), 0.050757, 1e-4);
    g.pool_Pa[NXW_H2O] = -3e3;
    assert_relative(nxw_HNO2_formation_mol_m3_s(&c, &g), -0.050757, 1e-4);
    struct nxw_gas_pressures alone = {.P_Pa = 101325.0};
    alone.pool_Pa[NXW_HNO2] = sqrt(6e9 * c.K_HNO2_1_Pa);
    assert_relative(nxw_HNO2_formation_mol_m3_s(&c, &alone), -0.050757, 1e-4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(made_from_the_answer), cmocka_unit_test(pure_and_dilute),
        cmocka_unit_test(below_nothing),        cmocka_unit_test(heat),
        cmocka_unit_test(nitrous_acid),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
