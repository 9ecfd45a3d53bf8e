#include "case/run_file.h"

#include <math.h>
#include <string.h>

#include "base/named_file.h"
#include "case/run_read.h"
#include "noxwash.h"

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

static const char *text_of(struct nxw_reading *r, const struct nxw_node *map, const char *key)
{
    return nxw_read_text(r, map, key);
}

static void from_density(struct nxw_reading *r, const struct nxw_node *map, struct nxw_found *f)
{
    const struct nxw_gravity_text t = {
        text_of(r, map, "density"),       text_of(r, map, "gravity"),
        text_of(r, map, "scale"),         text_of(r, map, "baume"),
        text_of(r, map, "modulus"),       text_of(r, map, "hydrometer"),
        text_of(r, map, "glass"),         text_of(r, map, "temperature"),
        text_of(r, map, "reading error"), text_of(r, map, "temperature error")};
    const char *key;
    char message[NXW_MESSAGE_LENGTH];
    struct nxw_diagnosis diagnosis;
    f->kind = NXW_FOUND_DENSITY;
    if (!nxw_gravity_read(&t, &f->gravity, &key, message)) {
        nxw_run_fault(r, map, key, message);
        return;
    }
    if (nxw_strength_from_density(&f->gravity.reading, &f->strength, &diagnosis) != NXW_OK) {
        nxw_fault_add(r->faults, map->line, map->column, "%s", diagnosis.text);
        return;
    }
    const double rho = f->gravity.reading.density_kg_m3, w = f->strength.mass_fraction;
    const double kg = f->mass_kg > 0.0 ? f->mass_kg : f->volume_m3 * rho;
    /* by volume the density counts a second time: d(w rho) = rho dw (1 + w rho'/rho) */
    const double T = f->temperature_K = f->gravity.reading.temperature_K, step = 1e-4;
    const double slope =
        (nxw_acid_density_kg_m3(w + step, T) - nxw_acid_density_kg_m3(w, T)) / step;
    const double again = f->mass_kg > 0.0 ? 0.0 : w * slope / rho;
    f->nitrogen_mol = f->HNO3_mol = kg * w / NXW_MOLAR_MASS_HNO3_KG_MOL;
    f->error_mol =
        hypot(kg * f->strength.standard_error * (1.0 + again) / NXW_MOLAR_MASS_HNO3_KG_MOL,
              f->nitrogen_mol * f->amount_error);
}

static void from_titration(struct nxw_reading *r, const struct nxw_node *map, struct nxw_found *f)
{
    const struct nxw_titration_text t = {text_of(r, map, "sample"),
                                         text_of(r, map, "alkali"),
                                         text_of(r, map, "alkali strength"),
                                         text_of(r, map, "permanganate"),
                                         text_of(r, map, "permanganate strength"),
                                         text_of(r, map, "permanganate sample"),
                                         text_of(r, map, "permanganate finds"),
                                         text_of(r, map, "titration error")};
    const char *key;
    char message[NXW_MESSAGE_LENGTH];
    bool assumed;
    struct nxw_titration titration;
    struct nxw_diagnosis diagnosis;
    double T = 293.15;
    f->kind = NXW_FOUND_TITRATION;
    (void)nxw_run_quantity(r, map, "temperature", NXW_DIM_TEMPERATURE, 0.0, &T);
    if (!nxw_titration_read(&t, T, &titration, &assumed, &key, message)) {
        nxw_run_fault(r, map, key, message);
        return;
    }
    if (nxw_titration_result(&titration, &f->titrated, &diagnosis) != NXW_OK) {
        nxw_fault_add(r->faults, map->line, map->column, "%s", diagnosis.text);
        return;
    }
    if (!(f->volume_m3 > 0.0)) {
        nxw_run_fault(r, map, "mass", "a titration counts in a volume: give 'volume' instead");
        return;
    }
    f->temperature_K = T;
    f->nitrogen_mol = f->titrated.acid_mol_m3 * f->volume_m3; /* nitrous acid is nitrogen too */
    f->HNO3_mol = f->titrated.HNO3_mol_m3 * f->volume_m3;
    f->error_mol = f->nitrogen_mol * hypot(titration.relative_error, f->amount_error);
}

static void read_place(struct nxw_reading *r, const struct nxw_node *map, struct nxw_run *run,
                       struct nxw_found *f)
{
    const char *where = nxw_read_text(r, map, "where");
    nxw_require(r, map, "where", "what was found");
    if (where == NULL)
        return;
    for (f->place = 0; f->place < run->n_places; f->place++)
        if (strcmp(run->places[f->place], where) == 0)
            return;
    if (run->n_places == NXW_BALANCE_PLACES_MAX || strlen(where) >= sizeof run->places[0]) {
        nxw_run_fault(r, map, "where", "at most 16 places, with names of at most 47 letters");
        f->place = 0;
        return;
    }
    (void)snprintf(run->places[run->n_places++], sizeof run->places[0], "%s", where);
}

/* Nitrogen from any other account; its error as an amount or as a share. */
static void read_direct(struct nxw_reading *r, const struct nxw_node *map, struct nxw_found *f)
{
    char message[NXW_MESSAGE_LENGTH];
    double error;
    const struct nxw_node *node = nxw_tree_get(map, "error");
    if (!nxw_run_quantity(r, map, "nitrogen", NXW_DIM_AMOUNT, -1e-300, &f->nitrogen_mol))
        return;
    if (node != NULL && node->kind == NXW_NODE_SCALAR &&
        nxw_quantity_read(node->text, NXW_DIM_AMOUNT, &error, message))
        f->error_mol = error / NXW_OF_100_95;
    else
        f->error_mol = f->nitrogen_mol * nxw_run_share_error(r, map, "error", &f->error_assumed);
    if (!(f->error_mol > 0.0))
        nxw_fault_add(r->faults, map->line, map->column,
                      "a reading without any error cannot be weighed against others: give 'error' "
                      "as an amount, such as 2 mmol");
}

static void read_found(struct nxw_reading *r, const struct nxw_node *map, struct nxw_run *run)
{
    static const char *const keys[] = {"where",
                                       "nitrogen",
                                       "volume",
                                       "mass",
                                       "error",
                                       "amount error",
                                       "density",
                                       "gravity",
                                       "scale",
                                       "baume",
                                       "modulus",
                                       "hydrometer",
                                       "glass",
                                       "temperature",
                                       "reading error",
                                       "temperature error",
                                       "sample",
                                       "alkali",
                                       "alkali strength",
                                       "permanganate",
                                       "permanganate strength",
                                       "permanganate sample",
                                       "permanganate finds",
                                       "titration error"};
    struct nxw_found *f = &run->found[run->n_found];
    if (map->kind != NXW_NODE_MAP) {
        nxw_fault_add(r->faults, map->line, map->column,
                      "an entry of 'found' holds 'where' and what was read there");
        return;
    }
    *f = (struct nxw_found){0};
    nxw_check_keys(r, map, NULL, keys, COUNT(keys));
    read_place(r, map, run, f);
    const bool direct = nxw_tree_get(map, "nitrogen") != NULL;
    const bool density = nxw_tree_get(map, "density") != NULL ||
                         nxw_tree_get(map, "gravity") != NULL || nxw_tree_get(map, "baume") != NULL;
    const bool titration =
        nxw_tree_get(map, "sample") != NULL || nxw_tree_get(map, "alkali") != NULL;
    if ((int)direct + (int)density + (int)titration != 1) {
        nxw_fault_add(r->faults, map->line, map->column,
                      "one reading to an entry: 'nitrogen'; 'density', 'gravity' or 'baume'; or "
                      "'sample' with 'alkali' (two readings of one place are two entries)");
        return;
    }
    const size_t before = r->faults->n;
    if (direct) {
        f->HNO3_mol = NAN; /* not said */
        read_direct(r, map, f);
        if (r->faults->n == before)
            run->n_found++;
        return;
    }
    f->amount_error = nxw_run_share_error(r, map, "amount error", &f->error_assumed);
    const bool volume = nxw_run_quantity(r, map, "volume", NXW_DIM_VOLUME, 0.0, &f->volume_m3);
    const bool mass = nxw_run_quantity(r, map, "mass", NXW_DIM_MASS, 0.0, &f->mass_kg);
    if (volume == mass) {
        if (r->faults->n == before)
            nxw_fault_add(r->faults, map->line, map->column,
                          "how much liquid was it? give 'volume' or 'mass', one of the two");
        return;
    }
    if (density)
        from_density(r, map, f);
    else
        from_titration(r, map, f);
    if (r->faults->n == before && !(f->error_mol > 0.0))
        nxw_fault_add(r->faults, map->line, map->column,
                      "a reading without any error cannot be "
                      "weighed against others");
    if (r->faults->n == before)
        run->n_found++;
}

/* The case, by its path beside the run or in the run itself; only its charge is needed. */
static void read_case(struct nxw_reading *r, struct nxw_node *top, struct nxw_run *run)
{
    struct nxw_node *node = nxw_tree_get(top, "case");
    if (node == NULL)
        return;
    if (node->kind == NXW_NODE_MAP)
        (void)nxw_case_from_tree(node, r->path, &run->in, &run->notes, r->faults);
    else {
        const char *text = nxw_read_text(r, top, "case");
        char path[NXW_PATH_LENGTH];
        struct nxw_fault_list faults = {0};
        if (text == NULL || !nxw_named_file(r->path, node, path, r->faults))
            return;
        const int status =
            nxw_case_file_read(path, NXW_PATH_FROM_FILE, &run->in, &run->notes, &faults);
        if (status == NXW_READ_MEMORY)
            r->faults->out_of_memory = true;
        else if (status != NXW_READ_OK)
            nxw_fault_add(r->faults, node->line, node->column,
                          "the case '%.100s' cannot be used: %.120s", text,
                          faults.n > 0 ? faults.faults[0].text : "not read");
        nxw_fault_list_free(&faults);
    }
    if (run->in.source.kind == NXW_SOURCE_ACID_VAPOUR)
        run->available_mol = run->in.source.acid_made_mol;
    if (run->in.source.kind == NXW_SOURCE_METAL) { /* z NO2 or z/3 NO of an atom */
        const struct nxw_source *s = &run->in.source;
        run->available_mol = s->metal_mol * s->metal_valence *
                             (s->NO2_route_fraction + (1.0 - s->NO2_route_fraction) / 3.0);
    }
}

static void read_top(struct nxw_reading *r, struct nxw_node *top, bool account, struct nxw_run *run)
{
    static const char *const keys[] = {"name",     "case", "charge", "put in", "found",
                                       "complete", "cost", "log",    "seen"};
    nxw_check_keys(r, top, NULL, keys, COUNT(keys));
    (void)nxw_read_label(r, top, "name", run->name, sizeof run->name);
    read_case(r, top, run);
    nxw_run_read_charge(r, top, account, run);
    nxw_run_read_put_in(r, top, run);
    (void)nxw_read_yes_no(r, top, "complete", &run->complete);
    run->log_given = nxw_tree_get(top, "log") != NULL;
    nxw_run_read_cost(r, top, run);
    const struct nxw_node *found = nxw_tree_get(top, "found");
    if (found == NULL && !account)
        return;
    if (found == NULL || found->kind != NXW_NODE_LIST || found->n == 0) {
        const struct nxw_node *place = found != NULL ? found : top;
        nxw_fault_add(r->faults, place->line, place->column,
                      "'found' is missing: the list of what was found, each with 'where'");
        return;
    }
    if (found->n > NXW_BALANCE_READINGS_MAX) {
        nxw_fault_add(r->faults, found->line, found->column, "at most 32 readings");
        return;
    }
    for (size_t i = 0; i < found->n; i++)
        read_found(r, found->children[i], run);
}

const char *nxw_run_metal(const struct nxw_run *run)
{
    if (run->metal[0] != '\0')
        return run->metal;
    return run->notes.metal[0] != '\0' ? run->notes.metal : NULL;
}

int nxw_run_tree_read(struct nxw_node *tree, const char *path, bool account, struct nxw_run *out,
                      struct nxw_fault_list *faults)
{
    struct nxw_reading r = {.path = path, .out = &out->in, .notes = &out->notes, .faults = faults};
    memset(out, 0, sizeof *out);
    out->spent = out->bought_price = out->delivery = out->NO2_price = NAN;
    out->bought_m3 = out->bought_mass_fraction = NAN;
    out->energy_J = out->disposed_m3 = NAN;
    if (tree->kind == NXW_NODE_MAP)
        read_top(&r, tree, account, out);
    else
        nxw_fault_add(faults, tree->line, tree->column,
                      "a run holds 'key: value' entries: charge, found");
    nxw_fault_list_sort(faults);
    return (int)nxw_read_outcome(faults);
}

int nxw_run_file_read(const char *path, struct nxw_run *out, struct nxw_fault_list *faults)
{
    struct nxw_node *tree;
    int status = (int)nxw_tree_read_file(path, NXW_PATH_FROM_COMMAND_LINE, &tree, faults);
    if (tree == NULL)
        return status;
    status = nxw_run_tree_read(tree, path, true, out, faults);
    nxw_tree_free(tree);
    return status;
}
