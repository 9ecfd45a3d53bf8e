/* The train of a case: glass, charge, tip, bath, bleed of each stage. */
#include <math.h>
#include <string.h>

#include "case/case_read.h"
#include "case/catalogue.h"

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

static const char *const STAGE_KEYS[] = {"kind", "glass", "peroxide",  "tip",
                                         "bath", "bleed", "no surface"};

static bool is_empty(struct nxw_reading *r, const struct nxw_node *map)
{
    const char *kind = nxw_read_text(r, map, "kind");
    return kind != NULL && strcmp(kind, nxw_words_stage[NXW_STAGE_EMPTY]) == 0;
}

static void read_glass(struct nxw_reading *r, struct nxw_node *map, struct nxw_stage *stage,
                       size_t place)
{
    struct nxw_glass glass[NXW_CATALOGUE_MAX];
    const char *words[NXW_CATALOGUE_MAX];
    const size_t n = nxw_glass_list(glass);
    size_t index = n;
    for (size_t i = 0; i < n; i++)
        words[i] = glass[i].name;
    if (nxw_tree_get(map, "glass") == NULL) {
        const bool own =
            nxw_tree_get(map, "volume") != NULL || nxw_tree_get(map, "inner diameter") != NULL;
        if (own) {
            nxw_require(r, map, "volume", "a stage without 'glass'");
            if (!is_empty(r, map))
                nxw_require(r, map, "inner diameter", "a stage without 'glass'");
            return;
        }
        for (size_t i = 0; i < n; i++)
            if (strcmp(words[i], "washing bottle 250 mL") == 0)
                index = i;
        r->notes->usual_glass[place] = true;
    } else {
        const char *text = nxw_read_text(r, map, "glass");
        for (size_t i = 0; text != NULL && i < n; i++)
            if (strcmp(text, words[i]) == 0)
                index = i;
        if (text != NULL && index == n) {
            const struct nxw_node *node = nxw_tree_get(map, "glass");
            const char *near = nxw_nearest_word(text, words, n);
            nxw_fault_add(r->faults, node->line, node->column,
                          "'glass: %.40s' is not known; did you mean '%s'? Or give 'volume' and "
                          "'inner diameter'",
                          text, near != NULL ? near : "washing bottle 250 mL");
        }
    }
    if (index == n)
        return;
    stage->volume_m3 = glass[index].volume_m3;
    stage->inner_diameter_m = glass[index].inner_diameter_m;
    stage->wall_thickness_m = glass[index].wall_thickness_m;
    stage->kind = glass[index].empty ? NXW_STAGE_EMPTY : NXW_STAGE_BOTTLE;
    memcpy(r->notes->glass[place], glass[index].name, sizeof glass[index].name);
}

static void read_grade(struct nxw_reading *r, struct nxw_node *map, struct nxw_stage *stage)
{
    static const char *const words[] = {"POR 0", "POR 1", "POR 2", "POR 3", "POR 4",
                                        "0",     "1",     "2",     "3",     "4"};
    size_t index;
    if (nxw_tree_get(map, "bore") != NULL)
        nxw_refuse_key(r, map, "grade", "a tip whose 'bore' (largest pore) is given");
    else if (nxw_read_word(r, map, "grade", words, COUNT(words), &index))
        stage->bore_m = nxw_frit_pore_m[index % NXW_FRIT_GRADES];
    else
        nxw_require(r, map, "grade", "a frit");
}

static void read_tip(struct nxw_reading *r, struct nxw_node *map, struct nxw_stage *stage)
{
    static const char *const others[] = {"kind", "grade"};
    static const char *const of[] = {"a tip of the kind 'open tube'", "a tip of the kind 'holes'",
                                     "a tip of the kind 'frit'",
                                     "a tip whose bubble diameter is given"};
    stage->tip_clearance_m = 0.005;
    if (map == NULL)
        return;
    nxw_check_keys(r, map, &nxw_fields_tip, others, COUNT(others));
    size_t kind =
        nxw_tree_get(map, "bubble diameter") != NULL ? NXW_TIP_BUBBLE_DIAMETER : NXW_TIP_OPEN_TUBE;
    (void)nxw_read_word(r, map, "kind", nxw_words_tip, COUNT(nxw_words_tip), &kind);
    stage->tip = (enum nxw_tip_kind)kind;
    if (stage->tip == NXW_TIP_HOLES) {
        stage->holes = 1.0;
        nxw_require(r, map, "bore", of[kind]);
        nxw_require(r, map, "holes", of[kind]);
    } else if (stage->tip == NXW_TIP_BUBBLE_DIAMETER)
        nxw_require(r, map, "bubble diameter", of[kind]);
    nxw_read_fields(r, map, &nxw_fields_tip, 1u << kind, of[kind], stage);
    if (stage->holes != floor(stage->holes) && nxw_tree_get(map, "holes") != NULL) {
        const struct nxw_node *node = nxw_tree_get(map, "holes");
        nxw_fault_add(r->faults, node->line, node->column, "'holes' must be a whole number");
    }
    if (stage->tip == NXW_TIP_FRIT) {
        nxw_require(r, map, "diameter", of[kind]);
        read_grade(r, map, stage);
    } else
        nxw_refuse_key(r, map, "grade", of[kind]);
}

static void read_bath(struct nxw_reading *r, struct nxw_node *map, struct nxw_stage *stage)
{
    static const char *const others[] = {"kind", "stirred"};
    static const char *const of[] = {"a bath of the kind 'air'", "a bath of the kind 'water'",
                                     "a bath of the kind 'ice water'"};
    stage->bath = NXW_BATH_AIR;
    stage->bath_temperature_K = r->out->surroundings_temperature_K;
    if (map == NULL)
        return;
    size_t kind = NXW_BATH_AIR;
    nxw_check_keys(r, map, &nxw_fields_bath, others, COUNT(others));
    nxw_require(r, map, "kind", "a bath");
    if (!nxw_read_word(r, map, "kind", nxw_words_bath, COUNT(nxw_words_bath), &kind))
        return;
    stage->bath = (enum nxw_bath_kind)kind;
    if (stage->bath == NXW_BATH_ICE_WATER) {
        stage->bath_temperature_K = 273.15;
        stage->bath_water_kg = 1.0;
        nxw_require(r, map, "ice", of[kind]);
    }
    nxw_read_fields(r, map, &nxw_fields_bath, 1u << kind, of[kind], stage);
    (void)nxw_read_yes_no(r, map, "stirred", &stage->bath_stirred);
}

static void read_peroxide(struct nxw_reading *r, struct nxw_node *map, struct nxw_stage *stage)
{
    const char *text = nxw_read_text(r, map, "peroxide");
    if (text == NULL)
        return;
    const struct nxw_node *node = nxw_tree_get(map, "peroxide");
    char message[NXW_MESSAGE_LENGTH];
    double value;
    if (!nxw_peroxide_read(text, &value, message))
        nxw_fault_add(r->faults, node->line, node->column, "'peroxide: %.40s': %s", text, message);
    else if (!nxw_within(&value, 0.0, 0.35))
        nxw_fault_add(r->faults, node->line, node->column,
                      "'peroxide: %.40s' is not possible; at least 0 wt%%, at most 35 wt%%", text);
    else
        stage->peroxide_mass_fraction = value;
}

static void read_charge(struct nxw_reading *r, struct nxw_node *map, struct nxw_stage *stage,
                        size_t place)
{
    if (stage->kind == NXW_STAGE_EMPTY) {
        nxw_refuse_key(r, map, "peroxide", "an empty stage");
        nxw_refuse_key(r, map, "tip", "an empty stage");
        stage->liquid_m3 = 0.0;
        return;
    }
    read_peroxide(r, map, stage);
    read_tip(r, nxw_read_map(r, map, "tip"), stage);
    const struct nxw_node *liquid = nxw_tree_get(map, "liquid");
    r->notes->usual_liquid[place] = liquid == NULL;
    struct nxw_diagnosis d;
    if (liquid == NULL)
        stage->liquid_m3 = 0.6 * stage->volume_m3;
    else if (nxw_fill_check(stage, &d) != NXW_OK)
        nxw_fault_add(r->faults, liquid->line, liquid->column, "%s", d.text);
}

static void read_stage(struct nxw_reading *r, struct nxw_node *map, size_t place)
{
    struct nxw_stage *stage = &r->out->stages[place];
    size_t kind;
    nxw_check_keys(r, map, &nxw_fields_stage, STAGE_KEYS, COUNT(STAGE_KEYS));
    read_glass(r, map, stage, place);
    if (nxw_read_word(r, map, "kind", nxw_words_stage, COUNT(nxw_words_stage), &kind))
        stage->kind = (enum nxw_stage_kind)kind;
    nxw_read_fields(r, map, &nxw_fields_stage, 1u << stage->kind, "an empty stage", stage);
    if (stage->kind == NXW_STAGE_EMPTY && nxw_tree_get(map, "glass") == NULL &&
        nxw_tree_get(map, "inner diameter") == NULL) /* twice as tall as wide */
        stage->inner_diameter_m = cbrt(2.0 * stage->volume_m3 / acos(-1.0));
    read_charge(r, map, stage, place);
    read_bath(r, nxw_read_map(r, map, "bath"), stage);
    nxw_read_gas(r, nxw_read_map(r, map, "bleed"), &stage->bleed);
    (void)nxw_read_yes_no(r, map, "no surface", &stage->no_surface);
}

void nxw_read_train(struct nxw_reading *r, struct nxw_node *top)
{
    struct nxw_case *out = r->out;
    struct nxw_node *train = nxw_tree_get(top, "train");
    struct nxw_node none = {.kind = NXW_NODE_MAP, .line = top->line, .column = top->column};
    const struct nxw_stage ordinary = out->stages[0];
    out->n_stages = 1;
    if (train == NULL) {
        r->notes->usual_train = true;
        read_stage(r, &none, 0);
        return;
    }
    if (train->kind != NXW_NODE_LIST || train->n == 0 || train->n > NXW_STAGES_MAX) {
        nxw_fault_add(r->faults, train->line, train->column,
                      "'train' must be a list of 1 to %d stages, each behind '- '",
                      (int)NXW_STAGES_MAX);
        return;
    }
    out->n_stages = train->n;
    for (size_t i = 0; i < train->n; i++) {
        out->stages[i] = ordinary;
        if (train->children[i]->kind == NXW_NODE_MAP)
            read_stage(r, train->children[i], i);
        else
            nxw_fault_add(r->faults, train->children[i]->line, train->children[i]->column,
                          "a stage must hold 'key: value' entries");
    }
}
