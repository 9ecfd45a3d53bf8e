/* Layer (d): the bubble path against closed forms and against one bubble integrated finely. Nitric
 * acid vapour is the gas: only its gas film holds it up, kG = Sh D/d. */
#include "../assert_near.h"

#include "properties/acid.h"
#include "properties/chemistry.h"
#include "properties/water.h"
#include "stage/bubble.h"

static const double GRAVITY = 9.80665;
static const double T_K = 278.15;
static const double HOURS_S = 3600.0;

/* A feed of acid vapour, nitrogen and water vapour into 250 mL of cold water; no surface, no plume,
 * so that the path alone takes up. */
static struct nxw_case vapour_feed(double d_m, double HNO3, double H2O, double flow_mol_s,
                                   double span_s)
{
    struct nxw_case c;
    nxw_case_init(&c);
    c.source.kind = NXW_SOURCE_TABLE;
    c.source.n_rows = 2;
    for (size_t i = 0; i < 2; i++) {
        struct nxw_source_row *row = &c.source.rows[i];
        row->time_s = (double)i * span_s;
        row->HNO3_mol_s = HNO3 * flow_mol_s;
        row->H2O_mol_s = H2O * flow_mol_s;
        row->inert_mol_s = (1.0 - HNO3 - H2O) * flow_mol_s;
    }
    c.source.duration_s = span_s;
    c.source.temperature_K = T_K;
    c.surroundings_temperature_K = T_K;
    c.isothermal = true;
    c.standing_s = 0.0;
    c.parameters.value[NXW_P_plume_tube] = 0.0;
    struct nxw_stage *s = &c.stages[0];
    s->volume_m3 = 500e-6;
    s->liquid_m3 = 250e-6;
    s->inner_diameter_m = 0.065;
    s->liquid_temperature_K = T_K;
    s->tip = NXW_TIP_BUBBLE_DIAMETER;
    s->bubble_diameter_m = d_m;
    s->depth_m = 0.08;
    s->no_surface = true;
    return c;
}

/* One bubble from the tip to the surface, 4th-order steps in height; contents per fresh bubble. */
struct bubble {
    double HNO3, H2O, inert;
};
struct column {
    const struct nxw_case *c;
    struct nxw_chemistry k;
    struct nxw_bubble_liquid fluid;
    double rho, sigma, fresh_mol, P_capillary_Pa;
};

static double pressure_Pa(const struct column *o, double z_m)
{
    return o->c->surroundings_pressure_Pa + o->rho * GRAVITY * (o->c->stages[0].depth_m - z_m) +
           o->P_capillary_Pa;
}

static double diameter_m(const struct column *o, const struct bubble *b, double z_m)
{
    const double sum = b->HNO3 + b->H2O + b->inert;
    return cbrt(6.0 / 3.14159265358979 * o->fresh_mol * sum * o->k.RT_J_mol / pressure_Pa(o, z_m));
}

static struct bubble slope(const struct column *o, const struct bubble *b, double z_m)
{
    const double P = pressure_Pa(o, z_m), d = diameter_m(o, b, z_m);
    const double sum = b->HNO3 + b->H2O + b->inert;
    const double u =
        nxw_rise_velocity_m_s(&o->fluid, d) * nxw_wall_factor(d / o->c->stages[0].inner_diameter_m);
    const double Sh = o->c->parameters.value[NXW_P_Sh_bubble];
    const double per_m = 3.14159265358979 * d * d / (o->fresh_mol * u) / o->k.RT_J_mol;
    double kG[2] = {o->c->bubble_kG_m_s, o->c->bubble_kG_m_s};
    if (kG[0] == 0.0) {
        kG[0] = Sh / d * (NXW_ATMOSPHERE_PA / P) * o->k.D_air_m2_s[NXW_HNO3];
        kG[1] = Sh / d * (NXW_ATMOSPHERE_PA / P) * o->k.D_air_m2_s[NXW_H2O];
    }
    return (struct bubble){-per_m * kG[0] * P * b->HNO3 / sum,
                           -per_m * kG[1] * (P * b->H2O / sum - o->k.water_vapour_Pa), 0.0};
}

static struct bubble moved(const struct bubble *b, const struct bubble *by, double dz)
{
    return (struct bubble){b->HNO3 + dz * by->HNO3, b->H2O + dz * by->H2O, b->inert};
}

static struct column column(const struct nxw_case *c)
{
    struct column o = {.c = c};
    nxw_chemistry_gas(&c->parameters, T_K, &o.k);
    const struct nxw_liquid_state water = {nxw_water_density_kg_m3(T_K),
                                           nxw_water_viscosity_Pa_s(T_K),
                                           nxw_water_surface_tension_N_m(T_K)};
    nxw_bubble_liquid_prepare(&water, 1.2, &o.fluid);
    o.rho = water.density_kg_m3;
    o.sigma = water.surface_tension_N_m;
    const double d = c->stages[0].bubble_diameter_m;
    o.P_capillary_Pa = 4.0 * o.sigma / d;
    o.fresh_mol = 3.14159265358979 / 6.0 * d * d * d * pressure_Pa(&o, 0.0) / o.k.RT_J_mol;
    return o;
}

static struct bubble at_height(const struct column *o, double HNO3, double H2O, double z_m)
{
    enum { STEPS = 2000 };
    const double dz = z_m / STEPS;
    struct bubble b = {HNO3, H2O, 1.0 - HNO3 - H2O};
    for (int i = 0; i < STEPS; i++) {
        const double z = dz * i;
        const struct bubble k1 = slope(o, &b, z), b2 = moved(&b, &k1, 0.5 * dz);
        const struct bubble k2 = slope(o, &b2, z + 0.5 * dz), b3 = moved(&b, &k2, 0.5 * dz);
        const struct bubble k3 = slope(o, &b3, z + 0.5 * dz), b4 = moved(&b, &k3, dz);
        const struct bubble k4 = slope(o, &b4, z + dz);
        b.HNO3 += dz / 6.0 * (k1.HNO3 + 2.0 * k2.HNO3 + 2.0 * k3.HNO3 + k4.HNO3);
        b.H2O += dz / 6.0 * (k1.H2O + 2.0 * k2.H2O + 2.0 * k3.H2O + k4.H2O);
    }
    return b;
}

static struct bubble at_surface(const struct column *o, double HNO3, double H2O)
{
    return at_height(o, HNO3, H2O, o->c->stages[0].depth_m);
}

/* What passed the path, as a share of the acid vapour fed. */
static double slip(const struct nxw_case *c)
{
    struct nxw_result r;
    assert_int_equal(nxw_estimate(c, NULL, NULL, &r), NXW_OK);
    assert_near(r.nitrogen_closure, 0.0, 1e-6);
    return (r.escaped_HNO3_mol + r.in_flight_mol) / r.fed_HNO3_mol;
}

/* A trace that dissolves with a constant coefficient leaves e^-N of itself: 4.64 % at 3.07 transfer
 * units. The slices are exact for that; 0.3 % is left to water vapour and the head, which change
 * the bubble a little on its way. */
static void first_order_slip(void **state)
{
    (void)state;
    static const double units[] = {0.5, 1.0, 3.07, 6.0};
    const double wet = nxw_water_vapour_pressure_Pa(T_K) / 102e3;
    for (int i = 0; i < 4; i++) {
        struct nxw_case c = vapour_feed(4e-3, 1e-6, wet, 5e-4, 8.0 * HOURS_S);
        c.parameters.value[NXW_P_Sh_bubble] = 1.0;
        const struct column o = column(&c);
        const double per_Sh = -log(at_surface(&o, 1e-6, wet).HNO3 / 1e-6);
        c.parameters.value[NXW_P_Sh_bubble] = units[i] / per_Sh;
        const double want = exp(-units[i]);
        assert_relative(slip(&c), want, 3e-3);
    }
    assert_near(100.0 * exp(-3.07), 4.64, 0.005); /* the figure as it is quoted */
}

/* The bubble integrated here, against its closed forms: all soluble and constant pressure,
 * d2 = d0^2 - 4 Sh D t; all taken up, d = d0 y_inert^(1/3): 2.9472 mm of 4 mm at 0.4; 1e-4. */
static void the_fine_bubble_itself(void **state)
{
    (void)state;
    struct nxw_case c = vapour_feed(4e-3, 0.6, 0.0, 1e-4, 60.0);
    c.parameters.value[NXW_P_Sh_bubble] = 200.0;
    struct column o = column(&c);
    o.k.water_vapour_Pa = 0.0;
    o.rho = 0.0;
    o.fresh_mol *=
        pressure_Pa(&o, 0.0) /
        (pressure_Pa(&o, 0.0) + nxw_water_density_kg_m3(T_K) * GRAVITY * c.stages[0].depth_m);
    const struct bubble b = at_surface(&o, 0.6, 0.0);
    assert_relative(diameter_m(&o, &b, 0.08), 2.9472e-3, 1e-4);
    /* a slow one of one gas: time from the height it has come */
    c.parameters.value[NXW_P_Sh_bubble] = 0.5;
    const double D = o.k.D_air_m2_s[NXW_HNO3] * NXW_ATMOSPHERE_PA / pressure_Pa(&o, 0.0);
    const struct bubble e = at_surface(&o, 1.0, 0.0);
    double t_s = 0.0, d2 = 16e-6, z_m = 0.0;
    for (int i = 0; i < 20000 && d2 > 0.0; i++) { /* z of the closed form, midpoint steps */
        const double dt = 1e-4, mid = sqrt(d2 - 4.0 * 0.5 * D * 0.5 * dt);
        const double u = nxw_rise_velocity_m_s(&o.fluid, mid) * nxw_wall_factor(mid / 0.065);
        if (z_m + u * dt > 0.08) {
            t_s += (0.08 - z_m) / u;
            break;
        }
        z_m += u * dt;
        t_s += dt;
        d2 = 16e-6 - 4.0 * 0.5 * D * t_s;
    }
    assert_relative(diameter_m(&o, &e, 0.08), sqrt(16e-6 - 2.0 * D * t_s), 1e-4);
}

/* Bubbles that shrink while they dissolve: what is left within 3 % of it at the default slices (of
 * what is below 1 %, within 0.2 point), and four times the slices come at least four times nearer
 * (1e-4: a path that is empty for the first 0.36 s of the hour). */
static void shrinking_bubbles(void **state)
{
    (void)state;
    static const struct {
        double HNO3, Sh;
    } feed[] = {{0.3, 1.5}, {0.6, 1.5}, {0.9, 1.0}, {0.6, 2.5}, {0.999, 0.5}, {0.999, 0.8}};
    for (size_t i = 0; i < sizeof feed / sizeof feed[0]; i++) {
        struct nxw_case c = vapour_feed(4e-3, feed[i].HNO3, 0.0, 1e-6, HOURS_S);
        c.parameters.value[NXW_P_Sh_bubble] = feed[i].Sh;
        const struct column o = column(&c);
        const double want = at_surface(&o, feed[i].HNO3, 0.0).HNO3 / feed[i].HNO3;
        assert_near(slip(&c), want, want > 0.01 ? 0.03 * want : 2e-3);
        c.slices = 6;
        const double coarse = fabs(slip(&c) - want);
        c.slices = 24;
        assert_near(slip(&c), want, 0.25 * coarse + 1e-4);
    }
}

/* What the last slice of the default path, or of a fine one, sees at a steady flow. */
static bool last_size(const struct nxw_series_row *row, void *user)
{
    if (row->time_s < 0.9 * HOURS_S)
        *(double *)user = row->bubble_out_diameter_m;
    return true;
}

static double size_at_surface_m(struct nxw_case *c)
{
    struct nxw_result r;
    double d_m = NAN;
    assert_int_equal(nxw_estimate(c, last_size, &d_m, &r), NXW_OK);
    return d_m;
}

/* Nitrogen through a millimetre of water, 0.4 mm: a bubble leaves as it came but for the vapour it
 * takes up, V by P/(P - p_water), and the floor of sizes; the pressure of its skin, 0.7 % of all,
 * is the same at both ends. */
static void inert_bubble(void **state)
{
    (void)state;
    struct nxw_case c = vapour_feed(0.4e-3, 0.0, 0.0, 1e-5, HOURS_S);
    c.stages[0].depth_m = 1e-3;
    c.parameters.value[NXW_P_Sh_bubble] = 200.0;
    const struct column o = column(&c);
    const double P = NXW_ATMOSPHERE_PA + o.P_capillary_Pa;
    const double floor_mm = c.parameters.value[NXW_P_bubble_diameter_floor];
    const double want_mm =
        cbrt(0.4 * 0.4 * 0.4 * P / (P - o.k.water_vapour_Pa) + floor_mm * floor_mm * floor_mm);
    assert_relative(size_at_surface_m(&c), 1e-3 * want_mm, 5e-5);
}

/* All that dissolves is gone: d = d0 (y_inert P_tip/(P_top - p_water))^(1/3), 2.9472 mm of 4 mm at
 * 0.4. */
static void complete_uptake(void **state)
{
    (void)state;
    struct nxw_case c = vapour_feed(4e-3, 0.6, 0.0, 1e-6, HOURS_S);
    c.parameters.value[NXW_P_Sh_bubble] = 200.0;
    c.slices = 32;
    const struct column o = column(&c);
    const double P = pressure_Pa(&o, c.stages[0].depth_m) - o.k.water_vapour_Pa;
    const double want = 4e-3 * cbrt(0.4 * pressure_Pa(&o, 0.0) / P);
    assert_relative(4e-3 * cbrt(0.4), 2.9472e-3, 1e-4);
    assert_relative(size_at_surface_m(&c), want, 1e-4);
}

/* One soluble gas and a coefficient of 2e-3 m/s: the diameter falls by 2 k a second, to 2.3051 mm
 * of 4 mm in 0.1 m at 0.236 m/s. The fine bubble meets that where water and pressure do not matter,
 * and the path meets the fine bubble, each rising as it does. */
static void fixed_coefficient(void **state)
{
    (void)state;
    const double k = 2e-3, d0 = 4e-3;
    assert_relative(d0 - 2.0 * k * 0.1 / 0.236, 2.3051e-3, 1e-4);
    struct nxw_case c = vapour_feed(d0, 1.0, 0.0, 1e-6, HOURS_S);
    c.bubble_kG_m_s = k;
    struct column o = column(&c);
    const double wet_Pa = o.k.water_vapour_Pa, rho = o.rho, fresh_mol = o.fresh_mol;
    o.k.water_vapour_Pa = o.rho = 0.0;
    o.fresh_mol *= pressure_Pa(&o, 0.0) / (pressure_Pa(&o, 0.0) + rho * GRAVITY * 0.08);
    const struct bubble dry = at_surface(&o, 1.0, 0.0);
    double z_m = 0.0, d = d0;
    for (const double step = 1e-8; z_m < 0.08; d -= step)
        z_m += step / (2.0 * k) * nxw_rise_velocity_m_s(&o.fluid, d) * nxw_wall_factor(d / 0.065);
    assert_relative(diameter_m(&o, &dry, 0.08), d, 1e-4);

    o.k.water_vapour_Pa = wet_Pa;
    o.rho = rho;
    o.fresh_mol = fresh_mol;
    c.slices = 60;
    /* the last slice is met at its middle; a slow plume lends nothing */
    const double u = nxw_rise_velocity_m_s(&o.fluid, d0) * nxw_wall_factor(d0 / 0.065);
    const double rich = 1e-3 / (1e-3 + 0.1); /* no NO, no NO2: rounded */
    const double ratio = 1.5 + 1e-4 * 0.08 / u / (d0 * d0) * rich, growth = pow(ratio, 1.0 / 60.0);
    const double z = (1.0 - 0.5 * (1.0 - 1.0 / growth) * ratio / (ratio - 1.0)) * 0.08;
    const struct bubble wet = at_height(&o, 1.0, 0.0, z);
    assert_relative(size_at_surface_m(&c), diameter_m(&o, &wet, z), 1e-4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(first_order_slip),  cmocka_unit_test(the_fine_bubble_itself),
        cmocka_unit_test(shrinking_bubbles), cmocka_unit_test(inert_bubble),
        cmocka_unit_test(complete_uptake),   cmocka_unit_test(fixed_coefficient),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
