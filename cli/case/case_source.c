/* The source of a case: kinds, steps, tables; and carriers. */
#include <math.h>
#include <string.h>

#include "case/case_read.h"
#include "case/catalogue.h"
#include "case/source_table.h"

#define MOLAR_MASS_HNO3_KG_MOL 0.063012
#define METAL_MOST_MOL 1000.0 /* of nxw_case_check */
#define COUNT(array) (sizeof(array) / sizeof(array)[0])

static const char *const OTHER_KEYS[] = {"kind",  "metal", "mass", "NO2 share",
                                         "steps", "file",  "shape"};
static const char *const KIND_OF[] = {
    "a source of the kind 'acid vapour'", "a source of the kind 'metal'",
    "a source of the kind 'metered'", "a source of the kind 'table'"};

/* Of a kind that is misspelt, so that the other faults of the source are told too. */
static bool nearest_kind(const char *text, size_t *kind)
{
    const char *near =
        text != NULL ? nxw_nearest_word(text, nxw_words_source, COUNT(nxw_words_source)) : NULL;
    for (size_t i = 0; near != NULL && i < COUNT(nxw_words_source); i++)
        if (near == nxw_words_source[i]) {
            *kind = i;
            return true;
        }
    return false;
}

static void read_metal(struct nxw_reading *r, struct nxw_node *map)
{
    struct nxw_source *source = &r->out->source;
    struct nxw_field mass = {"mass",
                             NXW_DIM_MASS,
                             offsetof(struct nxw_case_notes, metal_kg),
                             NXW_ABOVE_LOW,
                             0.0,
                             100.0,
                             "g",
                             0,
                             ""};
    static const struct nxw_field shares[] = {
        {"NO2 share", NXW_DIM_SHARE, offsetof(struct nxw_source, NO2_route_fraction), NXW_FROM_LOW,
         0.0, 1.0, "%", 0, ""},
    };
    static const struct nxw_section of_source = {shares, 1};
    source->NO2_route_fraction = 0.5;
    nxw_require(r, map, "metal", KIND_OF[NXW_SOURCE_METAL]);
    nxw_require(r, map, "mass", KIND_OF[NXW_SOURCE_METAL]);
    nxw_read_fields(r, map, &of_source, 0, "", source);

    struct nxw_metal metals[NXW_CATALOGUE_MAX];
    const char *words[NXW_CATALOGUE_MAX];
    const size_t n = nxw_metal_list(metals);
    for (size_t i = 0; i < n; i++)
        words[i] = metals[i].name;
    size_t index = n;
    if (nxw_read_word(r, map, "metal", words, n, &index))
        mass.high = METAL_MOST_MOL * metals[index].molar_mass_kg_mol;
    const struct nxw_section of_notes = {&mass, 1};
    nxw_read_fields(r, map, &of_notes, 0, "", r->notes);
    if (index == n)
        return;
    memcpy(r->notes->metal, metals[index].name, sizeof r->notes->metal);
    r->notes->metal_molar_mass_kg_mol = metals[index].molar_mass_kg_mol;
    source->metal_mol = r->notes->metal_kg / metals[index].molar_mass_kg_mol;
    source->metal_valence = metals[index].valence;
}

/* Between steps the flow goes over within this time; a steady source starts the same way. */
#define STEP_RAMP_S 1.0

static void add_row(struct nxw_source *to, double time_s, const struct nxw_source *step)
{
    const double rest = 1.0 - step->NO2_fraction - step->NO_fraction - step->O2_fraction;
    to->rows[to->n_rows++] = (struct nxw_source_row){
        .time_s = time_s,
        .NO_mol_s = step->flow_mol_s * step->NO_fraction,
        .NO2_mol_s = step->flow_mol_s * step->NO2_fraction,
        .O2_mol_s = step->flow_mol_s * step->O2_fraction,
        .inert_mol_s = step->flow_mol_s * fmax(rest, 0.0),
    };
}

static void check_fractions(struct nxw_reading *r, const struct nxw_node *map,
                            const struct nxw_source *s)
{
    if (s->NO2_fraction + s->NO_fraction + s->O2_fraction > 1.0 + 1e-12)
        nxw_fault_add(r->faults, map->line, map->column,
                      "NO2, NO and O2 together are more than 100 %% of the gas");
}

/* More than what their units' conversions round off. */
static bool is_before(double time_s, double other_s)
{
    return nxw_at_bound(time_s, other_s, other_s) < other_s;
}

static void read_steps(struct nxw_reading *r, struct nxw_node *steps)
{
    static const char *const keys[] = {"from", "flow", "NO2", "NO", "O2"};
    static const struct nxw_field fields[] = {
        {"from", NXW_DIM_TIME, offsetof(struct nxw_source, duration_s), NXW_FROM_LOW, 0.0, 3.1536e7,
         "min", 0, ""},
        {"flow", NXW_DIM_GAS_FLOW, offsetof(struct nxw_source, flow_mol_s), NXW_FROM_LOW, 0.0, 10.0,
         "L/min", 0, ""},
        {"NO2", NXW_DIM_VOLUME_FRACTION, offsetof(struct nxw_source, NO2_fraction), NXW_FROM_LOW,
         0.0, 1.0, "% by volume", 0, ""},
        {"NO", NXW_DIM_VOLUME_FRACTION, offsetof(struct nxw_source, NO_fraction), NXW_FROM_LOW, 0.0,
         1.0, "% by volume", 0, ""},
        {"O2", NXW_DIM_VOLUME_FRACTION, offsetof(struct nxw_source, O2_fraction), NXW_FROM_LOW, 0.0,
         1.0, "% by volume", 0, ""},
    };
    static const struct nxw_section section = {fields, COUNT(fields)};
    struct nxw_source *source = &r->out->source;
    if (steps->kind != NXW_NODE_LIST || steps->n == 0 || steps->n > NXW_SOURCE_ROWS_MAX / 2 - 1) {
        nxw_fault_add(r->faults, steps->line, steps->column,
                      "'steps' must be a list of 1 to 255 entries");
        return;
    }
    struct nxw_source step = {0}, last = {0};
    double last_from = -STEP_RAMP_S;
    for (size_t i = 0; i < steps->n; i++) {
        const struct nxw_node *map = steps->children[i];
        if (map->kind != NXW_NODE_MAP) {
            nxw_fault_add(r->faults, map->line, map->column,
                          "a step must hold 'key: value' entries");
            continue;
        }
        step = (struct nxw_source){0};
        nxw_check_keys(r, map, NULL, keys, COUNT(keys));
        nxw_require(r, map, "from", "a step");
        nxw_require(r, map, "flow", "a step");
        nxw_read_fields(r, map, &section, 0, "", &step);
        check_fractions(r, map, &step);
        if (is_before(step.duration_s, last_from + STEP_RAMP_S) ||
            (i > 0 && step.duration_s <= last_from))
            nxw_fault_add(r->faults, map->line, map->column,
                          "steps must follow each other by at least 1 s");
        last_from = step.duration_s;
        add_row(source, step.duration_s, &last);
        add_row(source, step.duration_s + STEP_RAMP_S, &step);
        last = step;
    }
    if (is_before(source->duration_s, last_from + STEP_RAMP_S))
        nxw_fault_add(r->faults, steps->line, steps->column,
                      "the last step must start before the duration ends");
    add_row(source, source->duration_s, &last);
    add_row(source, source->duration_s + STEP_RAMP_S, &(struct nxw_source){0});
    /* a step that starts as the ramp before it ends leaves a row of the same time: drop it */
    size_t kept = 0;
    for (size_t i = 0; i < source->n_rows; i++)
        if (kept == 0 || source->rows[i].time_s > source->rows[kept - 1].time_s)
            source->rows[kept++] = source->rows[i];
    source->n_rows = kept;
}

static void read_file(struct nxw_reading *r, struct nxw_node *map, bool shape)
{
    const char *name = nxw_read_text(r, map, "file");
    if (name == NULL)
        return;
    const struct nxw_node *node = nxw_tree_get(map, "file");
    if (strlen(name) >= sizeof r->notes->source_file) {
        nxw_fault_add(r->faults, node->line, node->column, "the file name is too long");
        return;
    }
    memcpy(r->notes->source_file, name, strlen(name) + 1);
    (void)nxw_source_table_read(r->path, node, shape, &r->out->source, r->faults);
}

static void read_shape(struct nxw_reading *r, struct nxw_node *map)
{
    struct nxw_source *source = &r->out->source;
    const char *of = KIND_OF[source->kind];
    size_t index;
    source->shape = source->kind == NXW_SOURCE_TABLE     ? NXW_SHAPE_TABLE
                    : source->kind == NXW_SOURCE_METERED ? NXW_SHAPE_STEADY
                                                         : NXW_SHAPE_RISE_AND_FALL;
    if (source->kind == NXW_SOURCE_TABLE) {
        nxw_refuse_key(r, map, "shape", of);
        nxw_require(r, map, "file", of);
        read_file(r, map, false);
        if (source->n_rows > 0)
            source->duration_s = source->rows[source->n_rows - 1].time_s;
        return;
    }
    if (nxw_read_word(r, map, "shape", nxw_words_shape, COUNT(nxw_words_shape), &index))
        source->shape = (enum nxw_shape)index;
    if (source->shape != NXW_SHAPE_TABLE) {
        nxw_refuse_key(r, map, "file", "a source whose shape is not 'file'");
        return;
    }
    if (source->kind == NXW_SOURCE_METERED) {
        const struct nxw_node *node = nxw_tree_get(map, "shape");
        nxw_fault_add(r->faults, node->line, node->column,
                      "a metered source has no shape from a file; use 'steps'");
        return;
    }
    nxw_require(r, map, "file", "the shape 'file'");
    read_file(r, map, true);
}

void nxw_read_source(struct nxw_reading *r, struct nxw_node *top)
{
    struct nxw_source *source = &r->out->source;
    if (nxw_tree_get(top, "source") == NULL) {
        nxw_fault_add(r->faults, top->line, top->column,
                      "'source' is missing; it says where the gas comes from");
        return;
    }
    struct nxw_node *map = nxw_read_map(r, top, "source");
    if (map == NULL)
        return;
    nxw_check_keys(r, map, &nxw_fields_source, OTHER_KEYS, COUNT(OTHER_KEYS));
    size_t kind;
    nxw_require(r, map, "kind", "a source");
    if (!nxw_read_word(r, map, "kind", nxw_words_source, COUNT(nxw_words_source), &kind) &&
        !nearest_kind(nxw_read_text(r, map, "kind"), &kind))
        return;
    source->kind = (enum nxw_source_kind)kind;
    source->condenser_temperature_K = 288.15;
    source->condensate_mass_fraction = 0.68;
    const char *of = KIND_OF[kind];
    nxw_read_fields(r, map, &nxw_fields_source, 1u << kind, of, source);
    if (source->kind != NXW_SOURCE_TABLE)
        nxw_require(r, map, "duration", of);
    if (source->kind == NXW_SOURCE_METAL)
        read_metal(r, map);
    else {
        nxw_refuse_key(r, map, "metal", of);
        nxw_refuse_key(r, map, "mass", of);
        nxw_refuse_key(r, map, "NO2 share", of);
    }
    if (source->kind == NXW_SOURCE_ACID_VAPOUR) {
        nxw_require(r, map, "acid made", of);
        nxw_require(r, map, "decomposed", of);
        r->notes->acid_made_kg = source->acid_made_mol * MOLAR_MASS_HNO3_KG_MOL;
    }
    read_shape(r, map);
    struct nxw_node *steps = nxw_tree_get(map, "steps");
    if (source->kind != NXW_SOURCE_METERED)
        nxw_refuse_key(r, map, "steps", of);
    else if (steps != NULL) {
        static const char *const single[] = {"flow", "NO2", "NO", "O2", "shape"};
        for (size_t i = 0; i < COUNT(single); i++)
            nxw_refuse_key(r, map, single[i], "a source with 'steps'");
        read_steps(r, steps);
    } else {
        nxw_require(r, map, "flow", of);
        check_fractions(r, map, source);
    }
}

void nxw_read_gas(struct nxw_reading *r, struct nxw_node *map, struct nxw_carrier *carrier)
{
    static const char *const others[] = {"gas"};
    if (map == NULL)
        return;
    size_t gas = NXW_GAS_NONE;
    nxw_check_keys(r, map, &nxw_fields_carrier, others, 1);
    nxw_require(r, map, "gas", map->key);
    if (!nxw_read_word(r, map, "gas", nxw_words_gas, COUNT(nxw_words_gas), &gas))
        return;
    carrier->gas = (enum nxw_gas)gas;
    if (carrier->gas == NXW_GAS_NONE) {
        for (size_t i = 0; i < nxw_fields_carrier.n; i++)
            nxw_refuse_key(r, map, nxw_fields_carrier.fields[i].key, "the gas 'none'");
        return;
    }
    nxw_require(r, map, "flow", map->key);
    carrier->from_s = 0.0;
    carrier->until_s = (double)INFINITY;
    const struct nxw_node *until = nxw_tree_get(map, "until");
    struct nxw_section section = nxw_fields_carrier;
    if (until != NULL && until->kind == NXW_NODE_SCALAR && strcmp(until->text, "end") == 0)
        section.n = 2; /* flow and from; 'until: end' is the default */
    nxw_read_fields(r, map, &section, 0, "", carrier);
    if (carrier->until_s <= carrier->from_s)
        nxw_fault_add(r->faults, map->line, map->column, "'until' must come after 'from'");
}
