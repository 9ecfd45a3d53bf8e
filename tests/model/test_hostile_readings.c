/* Layer (b): strength, titration, blend and balance over numbers that no bench gives. */
#include "../hostile.h"

/* ------------------------------------------------------------------------ bench: strength */

static void ask_strength(void *object, void *user)
{
    struct nxw_strength s;
    struct nxw_diagnosis d;
    (void)user;
    const enum nxw_status status = nxw_strength_from_density(object, &s, &d);
    const double figure[] = {
        s.mass_fraction,     s.low,         s.high,        s.standard_error, s.reading_error,
        s.temperature_error, s.table_error, s.other_error, s.mol_m3,         s.kg_m3,
        s.density_20_kg_m3};
    require(status == NXW_OK || status == NXW_ERROR_RANGE);
    figures(status, figure, COUNT(figure));
    says_why(status, &d);
    require(status < 0 || (s.low >= 0.0 && s.low <= s.mass_fraction && s.mass_fraction <= 1.0));
    require(nxw_strength_from_density(object, &s, NULL) == status);
}

static void ask_nxw_strength_from_density(void)
{
    struct nxw_density_reading r = {1100.0, 1.0, 300.0, 0.5, 0.001, 0.001, 0.01};
    ask_strength(&r, NULL);
    each_member("nxw_density_reading", &r, sizeof r, ask_strength, NULL);
    /* each share alone is possible, together they are not; and peroxide that leaves no room */
    r = (struct nxw_density_reading){1100.0, 1.0, 300.0, 0.5, 0.4, 0.4, 0.4};
    ask_strength(&r, NULL);
    for (int i = 0; i < 100; i++) {
        r = (struct nxw_density_reading){900.0 + 10.0 * i, 1000.0, 300.0, 100.0, 0.0, 0.0, 0.99};
        ask_strength(&r, NULL);
    }
}

static void ask_nxw_strength_from_concentration(void)
{
    for (size_t i = 0; i < MIXED; i++)
        for (size_t k = 0; k < MIXED; k++) {
            double w = 0.0;
            begin("concentration", mixed(i, 300.0));
            const enum nxw_status status =
                nxw_strength_from_concentration(mixed(i, 300.0), mixed(k, 300.0), &w);
            require(status == NXW_OK || status == NXW_ERROR_RANGE);
            figures(status, &w, 1);
        }
}

static void ask_titration(void *object, void *user)
{
    struct nxw_titrated t;
    struct nxw_diagnosis d;
    (void)user;
    const enum nxw_status status = nxw_titration_result(object, &t, &d);
    const double figure[] = {t.acid_mol_m3,        t.HNO3_mol_m3,       t.HNO2_mol_m3,
                             t.H2O2_mol_m3,        t.HNO3_error_mol_m3, t.other_error_mol_m3,
                             t.HNO3_mass_fraction, t.HNO3_mass_error,   t.HNO2_mass_fraction,
                             t.H2O2_mass_fraction};
    require(status == NXW_OK || status == NXW_ERROR_RANGE);
    figures(status, figure, COUNT(figure));
    says_why(status, &d);
    require(nxw_titration_result(object, &t, NULL) == status);
}

static void ask_nxw_titration_result(void)
{
    for (int peroxide = 0; peroxide < 2; peroxide++) {
        struct nxw_titration t = {300.0, 5e-6,  20e-6,         500.0, 5e-6,
                                  4e-6,  100.0, peroxide == 1, 0.01};
        ask_titration(&t, NULL);
        each_member("nxw_titration", &t, sizeof t, ask_titration, NULL);
    }
}

/* -------------------------------------------------------------------- bench: blend, balance */

struct mixture {
    struct nxw_blend_part parts[2];
};

static void ask_blend(void *object, void *user)
{
    const struct mixture *m = user;
    struct nxw_blend b;
    struct nxw_diagnosis d;
    (void)object;
    const enum nxw_status status = nxw_blend(m->parts, 2, &b, &d);
    const double figure[] = {
        b.mass_kg,       b.acid_kg, b.peroxide_kg,  b.acid_mass_fraction, b.peroxide_mass_fraction,
        b.temperature_K, b.heat_J,  b.volume_20_m3, b.parts_volume_20_m3, b.density_20_kg_m3,
        b.ice_left_kg};
    require(status == NXW_OK || status == NXW_ERROR_RANGE);
    figures(status, figure, COUNT(figure));
    says_why(status, &d);
    if (status == NXW_OK)
        weighs(b.density_20_kg_m3);
    require(nxw_blend(m->parts, 2, &b, NULL) == status);
}

static void ask_nxw_blend(void)
{
    struct mixture m = {{{.mass_kg = 0.1, .acid_mass_fraction = 0.3, .temperature_K = 300.0},
                         {.mass_kg = 0.1, .peroxide_mass_fraction = 0.1, .temperature_K = 300.0}}};
    struct nxw_blend b;
    for (size_t i = 0; i < 2; i++)
        each_member("nxw_blend_part", &m.parts[i], sizeof m.parts[i], ask_blend, &m);
    m.parts[1] = (struct nxw_blend_part){.mass_kg = 0.1, .temperature_K = 273.15, .ice = true};
    for (size_t i = 0; i < 2; i++)
        each_member("nxw_blend_part", &m.parts[i], sizeof m.parts[i], ask_blend, &m);
    m.parts[0].acid_mass_fraction = 1.2;
    begin("acid fraction", 1.2);
    require(nxw_blend(m.parts, 2, &b, NULL) == NXW_ERROR_RANGE && isnan(b.mass_kg));
    for (size_t i = 0; i < COUNT(HOSTILE_COUNTS); i++)
        if (HOSTILE_COUNTS[i] != 3) /* no array here is longer than the count that comes with it */
            require(nxw_blend(m.parts, HOSTILE_COUNTS[i], &b, NULL) == NXW_ERROR_RANGE);
}

static void ask_balance(void *object, void *user)
{
    struct nxw_balance b;
    (void)object;
    const struct nxw_balance_in *in = user;
    const enum nxw_status status = nxw_balance(in, &b);
    require(status == NXW_OK || status == NXW_ERROR_RANGE);
    const double figure[] = {b.available_closed_mol,  b.total_mol,
                             b.total_error_mol,       b.unexplained_mol,
                             b.unexplained_error_mol, b.chi_square};
    figures(status, figure, COUNT(figure));
    for (size_t i = 0; i < NXW_BALANCE_PLACES_MAX; i++) /* NAN where nothing was read */
        require(!isinf(b.found_mol[i]) && !isinf(b.closed_mol[i]));
    for (size_t i = 0; i < NXW_BALANCE_READINGS_MAX; i++)
        require(!isinf(b.standardised[i]));
    require(isnan(b.probability) || (b.probability >= 0.0 && b.probability <= 1.0 + 1e-12));
}

static void ask_nxw_balance(void)
{
    for (int complete = 0; complete < 2; complete++) {
        struct nxw_balance_in in = {.available_mol = 0.6,
                                    .available_error_mol = 0.006,
                                    .complete = complete == 1,
                                    .n_places = 2,
                                    .n_readings = 3,
                                    .readings = {{0, 0.3, 0.01}, {1, 0.2, 0.01}, {1, 0.21, 0.01}}};
        ask_balance(NULL, &in);
        each_member("nxw_balance_in", &in, sizeof in, ask_balance, &in);
        for (size_t i = 0; i < in.n_readings; i++)
            each_member("nxw_balance_reading", &in.readings[i], sizeof in.readings[i], ask_balance,
                        &in);
    }
}

static void ask_nxw_chi_square_tail(void)
{
    static const size_t degrees[] = {0, 1, 2, 33, 1000000, 1000001, (size_t)-1};
    for (size_t i = 0; i < MIXED; i++)
        for (size_t k = 0; k < COUNT(degrees); k++) {
            begin("chi-square", mixed(i, 30.0));
            const double tail = nxw_chi_square_tail(mixed(i, 30.0), degrees[k]);
            require(isnan(tail) || (tail >= 0.0 && tail <= 1.0 + 1e-9));
        }
}

HOSTILE_MAIN(HOSTILE_READINGS)
