/* Of a run file: what was available, what was put into the bottles, and money. */
#include <math.h>
#include <string.h>

#include "case/catalogue.h"
#include "case/run_read.h"
#include "noxwash.h"

#define COUNT(array) (sizeof(array) / sizeof(array)[0])
#define ROOM_K 293.15
#define WORTH "worth per kg NO2 kept out"

/* Materials whose nitrogen is known from their weight, kg for a mole of N; IUPAC atomic masses. */
static const struct {
    const char *name;
    double kg_mol;
} MATERIALS[] = {{"nitric acid", NXW_MOLAR_MASS_HNO3_KG_MOL},
                 {"potassium nitrate", 0.101103},
                 {"sodium nitrate", 0.084994}};

/* Acid by volume or mass, with its strength: the HNO3 in it. */
static bool read_acid(struct nxw_reading *r, const struct nxw_node *map, double *mol)
{
    const char *amount = nxw_read_text(r, map, "acid");
    const char *strength = nxw_read_text(r, map, "acid strength");
    char message[NXW_MESSAGE_LENGTH];
    double w = 0.0, kg;
    nxw_require(r, map, "acid", "a metal");
    nxw_require(r, map, "acid strength", "an acid");
    if (amount == NULL || strength == NULL)
        return false;
    if (!nxw_acid_strength_read(strength, ROOM_K, &w, message)) {
        nxw_run_fault(r, map, "acid strength", message);
        return false;
    }
    if (nxw_quantity_read(amount, NXW_DIM_VOLUME, &kg, message))
        kg *= nxw_acid_density_kg_m3(w, ROOM_K);
    else if (!nxw_quantity_read(amount, NXW_DIM_MASS, &kg, message)) {
        nxw_run_fault(r, map, "acid", "an amount is a volume or a mass, such as '60 mL' or '80 g'");
        return false;
    }
    *mol = kg * w / NXW_MOLAR_MASS_HNO3_KG_MOL;
    if (!(*mol > 0.0))
        nxw_run_fault(r, map, "acid", "there is no HNO3 in it");
    return *mol > 0.0;
}

/* The nitrogen of acid that a metal was dissolved in, less what the metal binds as nitrate. */
static void read_metal(struct nxw_reading *r, const struct nxw_node *map, struct nxw_run *run)
{
    struct nxw_metal metals[NXW_CATALOGUE_MAX];
    const char *names[NXW_CATALOGUE_MAX];
    const size_t n = nxw_metal_list(metals);
    for (size_t i = 0; i < n; i++)
        names[i] = metals[i].name;
    size_t index;
    double acid_mol, metal_kg;
    const bool acid = read_acid(r, map, &acid_mol);
    nxw_require(r, map, "metal mass", "a metal");
    if (!nxw_read_word(r, map, "metal", names, n, &index) ||
        !nxw_run_quantity(r, map, "metal mass", NXW_DIM_MASS, 0.0, &metal_kg) || !acid)
        return;
    const double metal_mol = metal_kg / metals[index].molar_mass_kg_mol;
    const double z = metals[index].valence;
    /* M + 4/3 z HNO3 -> M(NO3)z + z/3 NO + 2/3 z H2O: no way takes less acid */
    const double least_mol = 4.0 / 3.0 * z * metal_mol;
    if (acid_mol < least_mol) {
        char message[NXW_MESSAGE_LENGTH];
        (void)snprintf(message, sizeof message,
                       "so much %s takes %.3g mol HNO3 at least, and the acid holds %.3g mol: give "
                       "the metal that was dissolved",
                       metals[index].name, least_mol, acid_mol);
        nxw_run_fault(r, map, "metal mass", message);
        return;
    }
    (void)snprintf(run->metal, sizeof run->metal, "%s", metals[index].name);
    run->metal_bound_mol = z * metal_mol;
    run->available_mol = acid_mol - run->metal_bound_mol;
}

static void read_material(struct nxw_reading *r, const struct nxw_node *map, struct nxw_run *run)
{
    const char *names[COUNT(MATERIALS)];
    for (size_t i = 0; i < COUNT(MATERIALS); i++)
        names[i] = MATERIALS[i].name;
    size_t index;
    double mass_kg;
    nxw_require(r, map, "mass", "a material");
    if (nxw_read_word(r, map, "material", names, COUNT(MATERIALS), &index) &&
        nxw_run_quantity(r, map, "mass", NXW_DIM_MASS, 0.0, &mass_kg))
        run->available_mol = mass_kg / MATERIALS[index].kg_mol;
}

void nxw_run_read_charge(struct nxw_reading *r, struct nxw_node *top, bool account,
                         struct nxw_run *run)
{
    static const char *const keys[] = {"nitrogen",      "material", "mass",       "acid",
                                       "acid strength", "metal",    "metal mass", "error"};
    struct nxw_node *map = nxw_read_map(r, top, "charge");
    if (map == NULL) {
        if (account && nxw_tree_get(top, "charge") == NULL && !(run->available_mol > 0.0))
            nxw_fault_add(r->faults, top->line, top->column,
                          "'charge' is missing: the nitrogen that was available, such as 'charge: "
                          "{nitrogen: 0.60 mol, error: 1 %%}'");
        run->available_error_mol = run->available_mol * NXW_RUN_ASSUMED_ERROR / NXW_OF_100_95;
        run->available_error_assumed = true;
        return;
    }
    nxw_check_keys(r, map, NULL, keys, COUNT(keys));
    const bool direct = nxw_tree_get(map, "nitrogen") != NULL;
    const bool material = nxw_tree_get(map, "material") != NULL;
    const bool acid = nxw_tree_get(map, "acid") != NULL || nxw_tree_get(map, "metal") != NULL;
    if ((int)direct + (int)material + (int)acid != 1)
        nxw_fault_add(r->faults, map->line, map->column,
                      "a charge is 'nitrogen', or 'material' with 'mass', or 'acid' with 'acid "
                      "strength' (and 'metal' with 'metal mass'); one of the three");
    else if (direct)
        (void)nxw_run_quantity(r, map, "nitrogen", NXW_DIM_AMOUNT, 0.0, &run->available_mol);
    else if (material)
        read_material(r, map, run);
    else if (nxw_tree_get(map, "metal") != NULL)
        read_metal(r, map, run);
    else
        (void)read_acid(r, map, &run->available_mol);
    /* of the whole charge: what the metal binds errs with the acid */
    run->available_error_mol = (run->available_mol + run->metal_bound_mol) *
                               nxw_run_share_error(r, map, "error", &run->available_error_assumed);
}

static void read_part(struct nxw_reading *r, const struct nxw_node *map, struct nxw_run *run)
{
    static const char *const keys[] = {"where", "liquid"};
    struct nxw_put_in *p = &run->put_in[run->n_put_in];
    char message[NXW_PART_MESSAGE_LENGTH];
    if (map->kind != NXW_NODE_MAP) {
        nxw_fault_add(r->faults, map->line, map->column,
                      "an entry of 'put in' holds 'where' and 'liquid', such as '140 mL, water'");
        return;
    }
    nxw_check_keys(r, map, NULL, keys, COUNT(keys));
    nxw_require(r, map, "where", "what was put in");
    nxw_require(r, map, "liquid", "what was put in");
    const char *liquid = nxw_read_text(r, map, "liquid");
    if (!nxw_read_label(r, map, "where", p->where, sizeof p->where) || liquid == NULL)
        return;
    if (!nxw_part_read(liquid, &p->part, message)) {
        nxw_run_fault(r, map, "liquid", message);
        return;
    }
    run->n_put_in++;
}

void nxw_run_read_put_in(struct nxw_reading *r, struct nxw_node *top, struct nxw_run *run)
{
    const struct nxw_node *list = nxw_tree_get(top, "put in");
    if (list == NULL)
        return;
    if (list->kind != NXW_NODE_LIST || list->n > NXW_PUT_IN_MAX) {
        nxw_fault_add(r->faults, list->line, list->column,
                      "'put in' is a list of at most %d liquids, each with 'where' and 'liquid'",
                      (int)NXW_PUT_IN_MAX);
        return;
    }
    for (size_t i = 0; i < list->n; i++)
        read_part(r, list->children[i], run);
    for (size_t i = 0; i < run->n_put_in; i++)
        run->acid_put_in_mol += nxw_put_in_HNO3_mol(&run->put_in[i]);
    run->available_mol += run->acid_put_in_mol;
    run->available_error_mol = hypot(run->available_error_mol,
                                     run->acid_put_in_mol * NXW_RUN_ASSUMED_ERROR / NXW_OF_100_95);
}

double nxw_put_in_HNO3_mol(const struct nxw_put_in *p)
{
    return p->part.part.mass_kg * p->part.part.acid_mass_fraction / NXW_MOLAR_MASS_HNO3_KG_MOL;
}

double nxw_put_in_H2O2_mol(const struct nxw_put_in *p)
{
    return p->part.part.mass_kg * p->part.part.peroxide_mass_fraction / NXW_MOLAR_MASS_H2O2_KG_MOL;
}

/* What only the run can tell, and only the case has a price for. */
static void read_counted(struct nxw_reading *r, struct nxw_node *map, const struct nxw_run *run,
                         const char *key, enum nxw_dimension dimension, size_t price, double *out)
{
    const bool counted = run->notes.prices[price].given && isnan(run->spent);
    if (nxw_run_quantity(r, map, key, dimension, -1e-300, out) && !counted)
        nxw_run_fault(r, map, key,
                      "it is counted at a price of the case ('prices: {energy: 0.30 per kWh, "
                      "disposal: 2 per L}'), and only where 'spent' is not given");
}

void nxw_run_read_cost(struct nxw_reading *r, struct nxw_node *top, struct nxw_run *run)
{
    static const char *const keys[] = {"currency",      "spent",           "energy",
                                       "disposed",      "bought price",    "delivery",
                                       "bought volume", "bought strength", WORTH};
    struct nxw_node *map = nxw_read_map(r, top, "cost");
    if (map == NULL)
        return;
    nxw_check_keys(r, map, NULL, keys, COUNT(keys));
    (void)nxw_read_label(r, map, "currency", run->currency, sizeof run->currency);
    (void)nxw_run_quantity(r, map, "spent", NXW_DIM_NUMBER, -1e-300, &run->spent);
    read_counted(r, map, run, "energy", NXW_DIM_ENERGY, NXW_PRICE_ENERGY, &run->energy_J);
    read_counted(r, map, run, "disposed", NXW_DIM_VOLUME, NXW_PRICE_DISPOSAL, &run->disposed_m3);
    (void)nxw_run_quantity(r, map, "bought price", NXW_DIM_NUMBER, 0.0, &run->bought_price);
    (void)nxw_run_quantity(r, map, "delivery", NXW_DIM_NUMBER, -1e-300, &run->delivery);
    (void)nxw_run_quantity(r, map, "bought volume", NXW_DIM_VOLUME, 0.0, &run->bought_m3);
    (void)nxw_run_quantity(r, map, "bought strength", NXW_DIM_MASS_FRACTION, 0.0,
                           &run->bought_mass_fraction);
    (void)nxw_run_quantity(r, map, WORTH, NXW_DIM_NUMBER, -1e-300, &run->NO2_price);
    if (run->in.n_stages == 0) /* else the case's prices tell */
        nxw_require(r, map, "spent", "a cost");
    if (!isnan(run->bought_price)) {
        nxw_require(r, map, "bought volume", "a bought bottle");
        nxw_require(r, map, "bought strength", "a bought bottle");
    }
}
