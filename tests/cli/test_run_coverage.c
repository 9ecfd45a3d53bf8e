/*
 * The intervals of an account hold as often as they say, through the run file: densities by mass
 * and by volume, thermometers, titres and amounts all err by what the file says they do, and the
 * density curve by what the program says it does.
 */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

#include "assert_near.h"
#include "case/run_file.h"
#include "random_draw.h"

enum { DRAWS = 4000 }; /* know a share of 95 % to 0.35 % (standard error) */

/* What is there, and what the readings err by, 95 of 100. */
static const double RECEIVER_KG = 36.5e-3, RECEIVER_W = 0.62, RECEIVER_T = 298.15;
static const double BOTTLE_M3 = 154e-6, BOTTLE_W = 0.079, BOTTLE_T = 301.15;
static const double NITROUS_SHARE = 0.12; /* of the scrubber's acid, as the titration sees it */
static const double AMOUNT = 0.01, TITRE = 0.01, READING = 1.0, KELVIN = 1.0, CHARGE = 0.01;

static double off(double error_95) { return error_95 / 1.96 * draw_normal(); }

/* A density as it is read: the curve, the hydrometer and the thermometer err. */
static double read_density(double w, double T, double *T_read)
{
    *T_read = T + off(KELVIN);
    return nxw_acid_density_kg_m3(w, T) + nxw_acid_density_error_kg_m3(w, T) * draw_normal() +
           off(READING);
}

static void draw_run(char *out, size_t size, double acid_mol_m3, double available_mol)
{
    static const char form[] =
        "charge: {nitrogen: %.12g mol, error: 1 %%}\ncomplete: yes\nfound:\n"
        "  - {where: receiver, mass: %.12g g, density: %.12g g/cm3, temperature: %.12g degC, "
        "glass: "
        "none, reading error: 0.001 g/cm3, temperature error: 1 K}\n"
        "  - {where: scrubber, volume: %.12g mL, density: %.12g g/cm3, temperature: %.12g degC, "
        "glass: none, reading error: 0.001 g/cm3, temperature error: 1 K}\n"
        "  - {where: scrubber, volume: %.12g mL, sample: 5 mL, alkali: %.12g mL, alkali strength: "
        "0.5 mol/L, permanganate: %.12g mL, permanganate strength: 0.02 mol/L, permanganate finds: "
        "nitrous acid, temperature: 28 degC}\n";
    double T_r, T_b;
    const double rho_r = read_density(RECEIVER_W, RECEIVER_T, &T_r);
    const double rho_b = read_density(BOTTLE_W, BOTTLE_T, &T_b);
    const int n =
        snprintf(out, size, form, available_mol * (1.0 + off(CHARGE)),
                 1e3 * RECEIVER_KG * (1.0 + off(AMOUNT)), 1e-3 * rho_r, T_r - 273.15,
                 1e6 * BOTTLE_M3 * (1.0 + off(AMOUNT)), 1e-3 * rho_b, T_b - 273.15,
                 1e6 * BOTTLE_M3 * (1.0 + off(AMOUNT)),
                 acid_mol_m3 * 5e-6 / 500.0 * 1e6 * (1.0 + off(TITRE)),
                 NITROUS_SHARE * acid_mol_m3 * 5e-6 / (2.5 * 20.0) * 1e6 * (1.0 + off(TITRE)));
    assert_true(n > 0 && (size_t)n < size);
}

static struct nxw_balance account(const char *text, size_t length, struct nxw_run *run)
{
    struct nxw_node *tree;
    struct nxw_fault_list faults = {0};
    assert_int_equal(nxw_tree_read_text(text, length, false, &tree, &faults), NXW_READ_OK);
    assert_int_equal(nxw_run_tree_read(tree, "", true, run, &faults), NXW_READ_OK);
    nxw_tree_free(tree);
    struct nxw_balance_in in = {run->available_mol, run->available_error_mol,
                                run->complete,      run->n_places,
                                run->n_found,       {{0}}};
    for (size_t i = 0; i < run->n_found; i++)
        in.readings[i] = (struct nxw_balance_reading){
            run->found[i].place, run->found[i].nitrogen_mol, run->found[i].error_mol};
    struct nxw_balance b;
    assert_int_equal(nxw_balance(&in, &b), NXW_OK);
    return b;
}

static bool holds(double found, double error, double truth)
{
    return fabs(found - truth) <= 1.96 * error;
}

static void test_every_interval_of_a_run(void **unused)
{
    (void)unused;
    static struct nxw_run run;
    const double receiver_mol = RECEIVER_KG * RECEIVER_W / 0.063012;
    /* the density's scrubber holds nitric acid alone, so that both readings tell one truth */
    const double acid_mol_m3 = BOTTLE_W * nxw_acid_density_kg_m3(BOTTLE_W, BOTTLE_T) / 0.063012;
    const double scrubber_mol = acid_mol_m3 * BOTTLE_M3;
    const double HNO3_mol_m3 = (1.0 - NITROUS_SHARE) * acid_mol_m3;
    int by_mass = 0, by_volume = 0, by_titre = 0, nitric = 0, open = 0, closed = 0, passed = 0;
    random_state = 20240229;
    for (int i = 0; i < DRAWS; i++) {
        char text[1400];
        draw_run(text, sizeof text, acid_mol_m3, receiver_mol + scrubber_mol);
        const struct nxw_balance b = account(text, strlen(text), &run);
        const struct nxw_found *f = run.found;
        by_mass += holds(f[0].nitrogen_mol, f[0].error_mol, receiver_mol);
        by_volume += holds(f[1].nitrogen_mol, f[1].error_mol, scrubber_mol);
        by_titre += holds(f[2].nitrogen_mol, f[2].error_mol, scrubber_mol);
        nitric += holds(f[2].titrated.HNO3_mol_m3, f[2].titrated.HNO3_error_mol_m3, HNO3_mol_m3);
        open += holds(b.unexplained_mol, b.unexplained_error_mol, 0.0);
        closed += holds(b.closed_mol[0], b.closed_error_mol[0], receiver_mol);
        passed += b.probability > 0.05;
    }
    const int counts[] = {by_mass, by_volume, by_titre, nitric, open, closed, passed};
    for (size_t k = 0; k < sizeof counts / sizeof counts[0]; k++)
        assert_near(100.0 * counts[k] / DRAWS, 95.0, 1.5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_every_interval_of_a_run)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
