#include "run/case_numbers.h"

#include <math.h>
#include <stdio.h>

#include "base/diagnosis.h"

#define YEAR_S 3.1536e7
#define ROUNDING 1e-9       /* of what converting a unit leaves */
#define ROW_MOST_MOL_S 10.0 /* 14400 L/min of each gas */
#define CONSTANT_MOST 1e9
#define STRENGTH_MOST 1e12 /* of a shape: only their ratios count */

static enum nxw_status refuse(struct nxw_diagnosis *d, const char *path, const char *text)
{
    if (d != NULL)
        (void)snprintf(d->path, sizeof d->path, "%s", path);
    return nxw_refuse(d, NXW_ERROR_CASE, "%s", text);
}

static bool is_up_to(double x, double most) { return x >= 0.0 && x <= most * (1.0 + ROUNDING); }

static bool is_time(double s) { return fabs(s) <= YEAR_S * (1.0 + ROUNDING); }

static bool is_one_of(int kind, int last) { return kind >= 0 && kind <= last; }

static bool is_good(const struct nxw_carrier *c)
{
    return is_one_of((int)c->gas, NXW_GAS_OXYGEN) && is_time(c->from_s) &&
           (is_time(c->until_s) || (isinf(c->until_s) && c->until_s > 0.0));
}

static enum nxw_status check_stage(const struct nxw_stage *s, size_t i, struct nxw_diagnosis *d)
{
    char path[64];
    (void)snprintf(path, sizeof path, "train[%zu]", i + 1);
    if (!is_one_of((int)s->kind, NXW_STAGE_EMPTY) ||
        !is_one_of((int)s->tip, NXW_TIP_BUBBLE_DIAMETER) ||
        !is_one_of((int)s->bath, NXW_BATH_ICE_WATER))
        return refuse(d, path, "the kind of the stage, its tip or its bath is none of its enum");
    if (!is_good(&s->bleed))
        return refuse(d, path,
                      "the bleed needs a gas of its enum, and times within a year (until may be "
                      "INFINITY)");
    if (s->kind == NXW_STAGE_EMPTY)
        return NXW_OK;
    if (!is_up_to(s->strong_acid_mol_m3, 2e4))
        return refuse(d, path, "other strong acid must lie between 0 and 20 mol/L");
    if (!is_up_to(s->tip_clearance_m, 1.0))
        return refuse(d, path, "the tip's clearance must lie between 0 and 1 m");
    if (!is_up_to(s->bath_water_kg, 1e4))
        return refuse(d, path, "the water of the bath must lie between 0 and 10 t");
    return NXW_OK;
}

static enum nxw_status check_rows(const struct nxw_source *s, struct nxw_diagnosis *d)
{
    double integral = 0.0;
    for (size_t i = 0; i < s->n_rows; i++) {
        const struct nxw_source_row *r = &s->rows[i];
        const double flows[] = {r->NO_mol_s,   r->NO2_mol_s, r->HNO2_mol_s,
                                r->HNO3_mol_s, r->O2_mol_s,  r->H2O_mol_s};
        bool good =
            is_time(r->time_s) && (i == 0 || r->time_s >= r[-1].time_s) &&
            is_up_to(r->inert_mol_s, s->shape == NXW_SHAPE_TABLE ? STRENGTH_MOST : ROW_MOST_MOL_S);
        for (size_t k = 0; k < sizeof flows / sizeof flows[0]; k++)
            good = good && is_up_to(flows[k], ROW_MOST_MOL_S);
        if (!good)
            return refuse(d, "source.file",
                          "rows need times that do not fall, within a year, and flows of 0 to 10 "
                          "mol/s");
        if (i > 0)
            integral += (r->inert_mol_s + r[-1].inert_mol_s) * (r->time_s - r[-1].time_s);
    }
    if (s->shape == NXW_SHAPE_TABLE && s->kind != NXW_SOURCE_TABLE && !(integral > 0.0))
        return refuse(d, "source.file", "the strengths must not all be 0");
    return NXW_OK;
}

/* A constant may be tried at any value of its sign, to none or a thousand million times what is
 * plausible: that turns a process off, or makes it as fast as a limit needs. */
static enum nxw_status check_constants(const struct nxw_parameters *p, struct nxw_diagnosis *d)
{
    for (size_t i = 0; i < NXW_PARAMETER_COUNT; i++) {
        const struct nxw_parameter_record *record = nxw_parameter_record(i);
        const double most = CONSTANT_MOST * fmax(fabs(record->low), fabs(record->high));
        const double least = record->low < 0.0 ? -most : 0.0;
        if (p->value[i] >= least && p->value[i] <= (record->high > 0.0 ? most : 0.0))
            continue;
        if (d != NULL)
            (void)snprintf(d->path, sizeof d->path, "constants");
        return nxw_refuse(d, NXW_ERROR_CASE,
                          "'%s' cannot be %.6g %s; plausible are %.6g to %.6g, and none of another "
                          "sign or more than a thousand million times that is tried",
                          record->key, p->value[i], record->unit, record->low, record->high);
    }
    return NXW_OK;
}

enum nxw_status nxw_case_numbers_check(const struct nxw_case *c, struct nxw_diagnosis *d)
{
    const struct nxw_source *s = &c->source;
    if (!is_one_of((int)s->kind, NXW_SOURCE_TABLE) || !is_one_of((int)s->shape, NXW_SHAPE_TABLE))
        return refuse(d, "source", "the kind of the source or its shape is none of its enum");
    if (!is_good(&c->carrier))
        return refuse(d, "carrier",
                      "a carrier needs a gas of its enum, and times within a year (until may be "
                      "INFINITY)");
    if (!is_up_to(c->hood_flow_m3_s, 1e3))
        return refuse(d, "hood.flow", "the hood must draw 0 to 1000 m3/s");
    if (!is_up_to(c->bubble_kG_m_s, 10.0))
        return refuse(d, "numerics", "kG of the bubbles must lie between 0 and 10 m/s");
    for (size_t i = 0; i < c->n_stages; i++) {
        const enum nxw_status status = check_stage(&c->stages[i], i, d);
        if (status != NXW_OK)
            return status;
    }
    const enum nxw_status status = check_constants(&c->parameters, d);
    return status != NXW_OK ? status : check_rows(s, d);
}
