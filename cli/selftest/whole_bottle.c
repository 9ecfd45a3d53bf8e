#include "selftest/whole_bottle.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/check_table.h"
#include "base/units.h"
#include "case/catalogue.h"
#include "study/sweep_plan.h"
#include "study/what_if.h"

enum { FACT, CASE, WITH, AGAINST, FIGURE, LOW, HIGH, KNOWN, SOURCE, MISS, FIELDS };
static const char HEAD[] = "fact,case,with,against,figure,low,high,known,source,known_miss";

/* ------------------------------------------------------------------------------- figures */

static double of_fed(double mol, const struct nxw_result *r) { return mol / r->fed_mol; }

static double kept(const struct nxw_case *in, const struct nxw_result *r)
{
    (void)in;
    return of_fed(r->kept_mol, r);
}
static double nitrous(const struct nxw_case *in, const struct nxw_result *r)
{
    (void)in;
    return of_fed(r->stages[0].nitrous_acid_mol, r);
}
static double held(const struct nxw_case *in, const struct nxw_result *r)
{
    (void)in;
    return of_fed(r->held_mol, r);
}
static double escaped(const struct nxw_case *in, const struct nxw_result *r)
{
    (void)in;
    return of_fed(r->escaped_mol, r);
}
static double escaped_NO(const struct nxw_case *in, const struct nxw_result *r)
{
    (void)in;
    return of_fed(r->escaped_NO_mol, r);
}
static double escaped_NO2(const struct nxw_case *in, const struct nxw_result *r)
{
    (void)in;
    return of_fed(r->escaped_NO2_mol, r);
}
/* The bottle starts at the bath's temperature here. */
static double warming(const struct nxw_case *in, const struct nxw_result *r)
{
    return r->stages[0].peak_temperature_K - in->stages[0].bath_temperature_K;
}
static double hottest(const struct nxw_case *in, const struct nxw_result *r)
{
    return nxw_hottest_K(in, r) - 273.15;
}
static double brownest(const struct nxw_case *in, const struct nxw_result *r)
{
    (void)in;
    return r->stages[0].peak_NO2_headspace_fraction;
}
static double bluest(const struct nxw_case *in, const struct nxw_result *r)
{
    (void)in;
    return 1e-3 * r->stages[0].peak_HNO2_mol_m3;
}
static double fizz(const struct nxw_case *in, const struct nxw_result *r)
{
    (void)in;
    return of_fed(r->stages[0].fizz_mol, r);
}
static double gravity(const struct nxw_case *in, const struct nxw_result *r)
{
    (void)in;
    return r->stages[0].density_reference_kg_m3 / nxw_pure_water_density_kg_m3(293.15);
}
/* Gas left of what was put together: the headspace's air and a metered feed, at one temperature. */
static double gas_left(const struct nxw_case *in, const struct nxw_result *r)
{
    const struct nxw_stage *s = &in->stages[0];
    const double air = s->volume_m3 - (s->kind == NXW_STAGE_EMPTY ? 0.0 : s->liquid_m3);
    const double fed_mol = in->source.flow_mol_s * in->source.duration_s;
    const double gas_constant = 8.314462618; /* J/(mol K), exact (SI brochure) */
    return r->stages[0].gas_m3 / (air + fed_mol * gas_constant * in->surroundings_temperature_K /
                                            in->surroundings_pressure_Pa);
}
/* NO2 dissolved of what its pressure in the feed would hold, nothing reacting. */
static double saturation(const struct nxw_case *in, const struct nxw_result *r)
{
    const double *p = in->parameters.value;
    const double H = p[NXW_P_H_NO2] * exp(p[NXW_P_H_NO2_B] * (1.0 / in->surroundings_temperature_K -
                                                              1.0 / 298.15)); /* mol/(L atm) */
    return r->stages[0].NO2_aq_mol / (H * in->source.NO2_fraction * 1e3 * r->stages[0].liquid_m3);
}

static const struct figure {
    const char *name, *unit;
    double (*of)(const struct nxw_case *in, const struct nxw_result *r);
} FIGURES[] = {
    {"kept", "of N fed", kept},
    {"nitrous acid", "of N fed", nitrous},
    {"held", "of N fed", held},
    {"escaped", "of N fed", escaped},
    {"escaped NO", "of N fed", escaped_NO},
    {"escaped NO2", "of N fed", escaped_NO2},
    {"warming", "K", warming},
    {"hottest", "degC", hottest},
    {"brownest headspace", "mol/mol NO2", brownest},
    {"bluest liquid", "mol/L HNO2", bluest},
    {"fizz", "of N fed", fizz},
    {"gravity 20/20", "1", gravity},
    {"gas left", "of the gas", gas_left},
    {"saturation", "of H p", saturation},
};
enum { FIGURE_COUNT = sizeof FIGURES / sizeof FIGURES[0] };

/* ----------------------------------------------------------------------------------- run */

struct work {
    struct nxw_case in;
    struct nxw_case_notes notes;
    struct nxw_result result;
    struct nxw_plan plan;
};

static bool fault(struct nxw_bottle_check *c, const char *what, const char *text)
{
    (void)snprintf(c->fault, sizeof c->fault, "%s: %.150s", what, text);
    c->verdict = NXW_CHECK_UNREADABLE;
    return false;
}

enum { CHANGES_MAX = 8 };

/* "key = value; key = value" as the expressions of --vary; an empty plan for none. */
static bool plan_changes(struct nxw_bottle_check *c, char *changes, struct nxw_plan *plan)
{
    const char *expressions[CHANGES_MAX];
    size_t n = 0;
    char message[NXW_VARY_MESSAGE];
    for (char *p = changes; p != NULL && *p != '\0';) {
        if (n == CHANGES_MAX)
            return fault(c, "change", "there are too many");
        char *next = strchr(p, ';');
        if (next != NULL)
            *next++ = '\0';
        expressions[n++] = p + strspn(p, " ");
        p = next;
    }
    if (n == 0)
        return true;
    errno = 0;
    if (!nxw_plan_read(n, expressions, 0, 0, NULL, plan, message)) {
        c->out_of_memory = errno == ENOMEM;
        return fault(c, "change", message);
    }
    return plan->n_cases == 1 || fault(c, "change", "one value is wanted for a key");
}

static bool read_case(struct nxw_bottle_check *c, struct work *w, struct nxw_fault_list *faults)
{
    size_t length;
    const char *text = nxw_embedded_text(c->case_name, &length);
    struct nxw_node *tree = NULL;
    struct nxw_fault_list set_aside = {0};
    if (text == NULL)
        return fault(c, "there is no case", c->case_name);
    bool good = nxw_tree_read_text(text, length, false, &tree, faults) == NXW_READ_OK;
    if (good && !nxw_plan_apply(&w->plan, 1, tree, faults)) {
        good = false;
        faults->out_of_memory = faults->out_of_memory || faults->n == 0;
    }
    good = good && nxw_plan_read_case(&w->plan, tree, c->case_name, &w->in, &w->notes, faults,
                                      &set_aside) == NXW_READ_OK;
    nxw_tree_free(tree);
    c->out_of_memory = faults->out_of_memory || set_aside.out_of_memory;
    nxw_fault_list_free(&set_aside);
    return good || fault(c, c->case_name, faults->n > 0 ? faults->faults[0].text : "a change");
}

static bool figure_of(struct nxw_bottle_check *c, const struct figure *f, const char *changes,
                      double *value)
{
    char text[sizeof c->with];
    struct nxw_fault_list faults = {0};
    struct work *w = calloc(1, sizeof *w);
    if (w == NULL) {
        c->out_of_memory = true;
        return fault(c, c->case_name, "out of memory");
    }
    (void)snprintf(text, sizeof text, "%s", strcmp(changes, "as it is") == 0 ? "" : changes);
    bool good = plan_changes(c, text, &w->plan) && read_case(c, w, &faults);
    if (good) {
        const enum nxw_status status = nxw_estimate(&w->in, NULL, NULL, &w->result);
        c->out_of_memory = nxw_ends_all(status);
        good = status == NXW_OK || fault(c, c->case_name, nxw_status_text(status));
    }
    if (good)
        *value = f->of(&w->in, &w->result);
    nxw_plan_free(&w->plan);
    nxw_fault_list_free(&faults);
    free(w);
    return good;
}

/* --------------------------------------------------------------------------------- judge */

static bool keep(struct nxw_bottle_check *c, char *out, size_t size, const char *text,
                 const char *name, bool wanted)
{
    if (wanted && text[0] == '\0')
        return fault(c, name, "is missing");
    return snprintf(out, size, "%s", text) < (int)size || fault(c, name, "is too long");
}

static bool read_record(struct nxw_bottle_check *c, char *field[FIELDS], const struct figure **f)
{
    char message[NXW_MESSAGE_LENGTH];
    if (!keep(c, c->fact, sizeof c->fact, field[FACT], "fact", true) ||
        !keep(c, c->case_name, sizeof c->case_name, field[CASE], "case", true) ||
        !keep(c, c->with, sizeof c->with, field[WITH], "with", false) ||
        !keep(c, c->against, sizeof c->against, field[AGAINST], "against", false) ||
        !keep(c, c->figure, sizeof c->figure, field[FIGURE], "figure", true) ||
        !keep(c, c->known, sizeof c->known, field[KNOWN], "known", true) ||
        !keep(c, c->source, sizeof c->source, field[SOURCE], "source", true) ||
        !keep(c, c->known_miss, sizeof c->known_miss, field[MISS], "known_miss", false))
        return false;
    size_t i = 0;
    if (nxw_check_kind(c->known) == NXW_CHECK_KINDS)
        return fault(c, "known", "published, from memory, computed or common practice");
    while (i < FIGURE_COUNT && strcmp(c->figure, FIGURES[i].name) != 0)
        i++;
    if (i == FIGURE_COUNT)
        return fault(c, "there is no figure", c->figure);
    *f = &FIGURES[i];
    c->unit = c->against[0] != '\0' ? "quotient" : FIGURES[i].unit;
    if (!nxw_number_read(field[LOW], &c->low, message) ||
        !nxw_number_read(field[HIGH], &c->high, message))
        return fault(c, "low or high", message);
    return c->low < c->high || fault(c, "low", "is not below high");
}

void nxw_bottle_check_judge(const char *record, struct nxw_bottle_check *c)
{
    char text[NXW_CHECK_RECORD_LENGTH], *field[FIELDS];
    const struct figure *f = NULL;
    double other = 1.0;
    *c = (struct nxw_bottle_check){
        .file = c->file, .line = c->line, .unit = "", .ours = NAN, .verdict = NXW_CHECK_FAILED};
    if (snprintf(text, sizeof text, "%s", record) >= (int)sizeof text ||
        nxw_check_fields(text, field, FIELDS) != FIELDS) {
        (void)fault(c, "the record", "needs ten fields and is not too long");
        return;
    }
    if (!read_record(c, field, &f) || !figure_of(c, f, c->with, &c->ours) ||
        (c->against[0] != '\0' && !figure_of(c, f, c->against, &other)))
        return;
    c->ours /= other;
    const bool inside = c->ours >= c->low && c->ours <= c->high; /* false for NAN */
    c->verdict = nxw_check_verdict_of(inside, c->known_miss);
}

struct visitor {
    void (*visit)(const struct nxw_bottle_check *check, void *user);
    void *user;
    bool out_of_memory; /* nothing more is judged then */
};

static void judge_line(const char *file, size_t line, const char *record, void *user)
{
    struct visitor *v = user;
    if (v->out_of_memory)
        return;
    struct nxw_bottle_check c = {.file = file, .line = line, .unit = "", .ours = NAN};
    if (record == NULL)
        (void)fault(&c, "the first line must be", HEAD);
    else
        nxw_bottle_check_judge(record, &c);
    v->out_of_memory = c.out_of_memory;
    v->visit(&c, v->user);
}

size_t nxw_bottle_check_all(void (*visit)(const struct nxw_bottle_check *check, void *user),
                            void *user)
{
    struct visitor v = {visit, user, false};
    return nxw_check_table("whole_bottle/", HEAD, judge_line, &v);
}
