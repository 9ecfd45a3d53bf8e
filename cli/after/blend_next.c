/* Weak acid in place of water in the next bottle: how much stronger it ends, and what it costs. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "after/blend_report.h"
#include "base/progress.h"
#include "base/text_layout.h"
#include "command/command.h"
#include "noxwash.h"
#include "words/cautions.h"

#define ROOM_K 293.15
#define NEAR 2e-4 /* of a share, for the start that meets a target: 0.03 mL of 150 mL */
enum { N_SHARES = 5, STEPS_MAX = 20 };

struct run {
    double share;      /* of the charge that is weak acid, by volume */
    double start, end; /* mass fraction of HNO3 in the bottle */
    double kept_mol, held_mol, escaped_mol, fed_mol;
    double bottle_mol; /* nitrate in this bottle at the end */
};

struct next {
    const char *path;
    struct nxw_case in;
    struct nxw_case_notes notes;
    struct nxw_result result;
    size_t stage;
    double weak;   /* mass fraction */
    double target; /* NAN: none */
    struct run rows[N_SHARES];
    bool met; /* the target can be met with this weak acid */
    struct run meets;
};

static enum nxw_exit run_share(struct next *n, double share, struct run *out)
{
    struct nxw_stage *stage = &n->in.stages[n->stage];
    const double acid_kg = share * nxw_acid_density_kg_m3(n->weak, ROOM_K);
    const double water_kg = (1.0 - share) * nxw_pure_water_density_kg_m3(ROOM_K);
    stage->acid_mass_fraction = n->weak * acid_kg / (acid_kg + water_kg);
    n->result.status = nxw_estimate(&n->in, nxw_go_on, NULL, &n->result);
    nxw_progress_step();
    if (n->result.status < 0)
        return nxw_run_failed(n->path, n->result.status, &n->result.diagnosis);
    const struct nxw_result *r = &n->result;
    *out = (struct run){share,
                        stage->acid_mass_fraction,
                        r->stages[n->stage].acid_mass_fraction,
                        r->kept_mol,
                        r->held_mol,
                        r->escaped_mol,
                        r->fed_mol,
                        r->stages[n->stage].nitrate_mol};
    return NXW_EXIT_DONE;
}

static enum nxw_exit read_stage(const char *text, struct next *n)
{
    char message[NXW_MESSAGE_LENGTH];
    double number = 1.0;
    n->stage = nxw_first_bottle(&n->in);
    if (text != NULL) {
        if (!nxw_number_read(text, &number, message))
            return nxw_blend_fault("--stage", message);
        if (!(number >= 1.0 && number <= (double)n->in.n_stages) || number != floor(number)) {
            (void)snprintf(message, sizeof message, "the train has stages 1 to %zu",
                           n->in.n_stages);
            return nxw_blend_fault("--stage", message);
        }
        n->stage = (size_t)number - 1;
    }
    if (n->stage >= n->in.n_stages || n->in.stages[n->stage].kind != NXW_STAGE_BOTTLE)
        return nxw_blend_fault("--stage", "this stage holds no liquid");
    return NXW_EXIT_DONE;
}

static enum nxw_exit read_all(const struct nxw_blend_options *o, struct next *n)
{
    char message[NXW_MESSAGE_LENGTH];
    n->path = o->next;
    n->target = NAN;
    if (o->weak_acid == NULL)
        return nxw_blend_fault("--weak-acid", "the strength of the weak acid at hand is missing, "
                                              "such as '6.7 wt%'");
    if (!nxw_acid_strength_read(o->weak_acid, ROOM_K, &n->weak, message))
        return nxw_blend_fault("--weak-acid", message);
    if (!nxw_within(&n->weak, 0.0, NXW_WEAK_ACID_MOST) || n->weak == 0.0)
        return nxw_blend_fault("--weak-acid", "weak acid lies between 0 and 40 wt%");
    if (o->target != NULL && !nxw_acid_strength_read(o->target, ROOM_K, &n->target, message))
        return nxw_blend_fault("--target", message);
    const enum nxw_exit code = nxw_read_case(n->path, &n->in, &n->notes);
    return code != NXW_EXIT_DONE ? code : read_stage(o->stage, n);
}

/* Acid is not planned together with strong peroxide. */
static enum nxw_exit check_peroxide(const struct next *n)
{
    const double peroxide = n->in.stages[n->stage].peroxide_mass_fraction;
    char message[NXW_PART_MESSAGE_LENGTH];
    if (!(peroxide > NXW_PEROXIDE_MOST))
        return NXW_EXIT_DONE;
    (void)snprintf(
        message, sizeof message,
        "%.200s: bottle %zu is charged with %.4g wt%% H2O2: acid is not planned together "
        "with peroxide above %.3g wt%% (it can heat up, boil and burst the vessel). Charge "
        "the bottle with %.3g wt%% or less, or without peroxide",
        n->path, n->stage + 1, 100.0 * peroxide, 100.0 * NXW_PEROXIDE_MOST,
        100.0 * NXW_PEROXIDE_MOST);
    return nxw_blend_outside(message);
}

/* The smallest share of weak acid that ends at the target; the end grows with the start. */
static enum nxw_exit find_target(struct next *n)
{
    if (isnan(n->target))
        return NXW_EXIT_DONE;
    struct run low = n->rows[0], high = n->rows[N_SHARES - 1];
    n->met = high.end >= n->target;
    n->meets = low.end >= n->target ? low : high;
    if (!n->met || low.end >= n->target)
        return NXW_EXIT_DONE;
    for (int i = 0; i < STEPS_MAX && high.share - low.share > NEAR; i++) {
        double share =
            low.share + (high.share - low.share) * (n->target - low.end) / (high.end - low.end);
        const double edge = 0.4 * NEAR;
        share = fmin(fmax(share + 0.5 * edge, low.share + edge), high.share - edge);
        struct run run = {0};
        const enum nxw_exit code = run_share(n, share, &run);
        if (code != NXW_EXIT_DONE)
            return code;
        if (run.end >= n->target)
            high = run;
        else
            low = run;
    }
    n->meets = high;
    return NXW_EXIT_DONE;
}

static double grams(double HNO3_mol) { return 1e3 * HNO3_mol * NXW_MOLAR_MASS_HNO3_KG_MOL; }

static void print_row(const struct next *n, const struct run *r)
{
    const double mL = 1e6 * n->in.stages[n->stage].liquid_m3;
    const struct run *water = &n->rows[0];
    (void)printf("  %7.0f %8.2f %8.2f %9.2f %9.2f %8.1f %8.2f %9.2f\n", r->share * mL,
                 100.0 * r->start, 100.0 * r->end, grams(r->bottle_mol), grams(r->kept_mol),
                 100.0 * r->kept_mol / r->fed_mol, 100.0 * r->escaped_mol / r->fed_mol,
                 grams(water->kept_mol - r->kept_mol) + 0.0);
}

static void print_target(const struct next *n)
{
    if (isnan(n->target))
        return;
    const double mL = 1e6 * n->in.stages[n->stage].liquid_m3;
    (void)fputs("\n", stdout);
    if (!n->met)
        nxw_wrapf(stdout, "  ", 2,
                  "%.3g wt%% is not reached: filled with the weak acid alone the bottle ends at "
                  "%.3g wt%%.",
                  100.0 * n->target, 100.0 * n->meets.end);
    else if (n->meets.share == 0.0)
        nxw_wrapf(stdout, "  ", 2, "%.3g wt%% is reached with water alone (%.3g wt%%).",
                  100.0 * n->target, 100.0 * n->meets.end);
    else
        nxw_wrapf(
            stdout, "  ", 2,
            "To end at %.3g wt%%, start with %.0f mL of the weak acid and %.0f mL of water "
            "(%.3g wt%%). Cost: %.2g g less HNO3 caught than with water, and %.2g mmol N more "
            "up the vent.",
            100.0 * n->target, n->meets.share * mL, (1.0 - n->meets.share) * mL,
            100.0 * n->meets.start, grams(n->rows[0].kept_mol - n->meets.kept_mol) + 0.0,
            1e3 * (n->meets.escaped_mol - n->rows[0].escaped_mol) + 0.0);
}

static void print_text(const struct next *n)
{
    const struct run *water = &n->rows[0], *full = &n->rows[N_SHARES - 1];
    nxw_wrapf(stdout, "", 0,
              "%s: bottle %zu charged with %.0f mL, of it so much weak acid of %.3g wt%% HNO3, the "
              "rest water%s",
              n->path, n->stage + 1, 1e6 * n->in.stages[n->stage].liquid_m3, 100.0 * n->weak,
              n->in.stages[n->stage].peroxide_mass_fraction > 0.0 ? ", with the case's peroxide"
                                                                  : "");
    (void)puts("\n     weak  starts     ends   acid in    caught   caught  escaped      lost\n"
               "     acid      at       at    bottle       now      now             by it\n"
               "       mL     wt%      wt%    g HNO3    g HNO3   % of N   % of N    g HNO3");
    for (int i = 0; i < N_SHARES; i++)
        print_row(n, &n->rows[i]);
    print_target(n);
    (void)fputs("\n", stdout);
    const double lost = grams(water->kept_mol - full->kept_mol);
    const double gained = grams(full->bottle_mol - water->bottle_mol);
    nxw_wrapf(stdout, "  ", 2,
              "Using the weak acid throughout ends at %.3g instead of %.3g wt%%: the bottle holds "
              "%.3g g more HNO3, of which the weak acid brought %.3g g; %.2g g %s than with water. "
              "%s",
              100.0 * full->end, 100.0 * water->end, gained, gained + lost, fabs(lost),
              lost >= 0.0 ? "less was caught" : "more was caught",
              full->escaped_mol > water->escaped_mol ? "More goes up the vent, too."
                                                     : "No more goes up the vent.");
    nxw_wrap(stdout, "  ", 2,
             "What is not caught as HNO3 is nitrous acid in the liquid, or escaped. The weak acid "
             "is taken to hold no nitrous acid: let it become colourless first, open to the hood. "
             "Constants carry errors: read the differences, not the last digit.");
    nxw_regulated_print(stdout, full->end);
    (void)fputs("\n", stdout);
    nxw_cautions_print(stdout, NULL);
}

static json_t *json_run(struct nxw_json *j, const struct next *n, const struct run *r)
{
    json_t *o = nxw_json_object(j);
    nxw_json_number(j, o, "weak_acid_mL", 1e6 * r->share * n->in.stages[n->stage].liquid_m3);
    nxw_json_number(j, o, "start_wt_pct", 100.0 * r->start);
    nxw_json_number(j, o, "end_wt_pct", 100.0 * r->end);
    nxw_json_number(j, o, "bottle_HNO3_g", grams(r->bottle_mol));
    nxw_json_number(j, o, "kept_mol", r->kept_mol);
    nxw_json_number(j, o, "held_mol", r->held_mol);
    nxw_json_number(j, o, "escaped_mol", r->escaped_mol);
    nxw_json_number(j, o, "fed_mol", r->fed_mol);
    return o;
}

static enum nxw_exit print_json(const struct next *n)
{
    struct nxw_json j = {0};
    json_t *root = nxw_blend_head(&j, "next bottle"), *rows = nxw_json_array(&j);
    nxw_json_text(&j, root, "case", n->path);
    nxw_json_integer(&j, root, "stage", (long)n->stage + 1);
    nxw_json_number(&j, root, "weak_acid_wt_pct", 100.0 * n->weak);
    for (int i = 0; i < N_SHARES; i++)
        nxw_json_add(&j, rows, json_run(&j, n, &n->rows[i]));
    nxw_json_put(&j, root, "rows", rows);
    if (!isnan(n->target)) {
        nxw_json_number(&j, root, "target_wt_pct", 100.0 * n->target);
        nxw_json_flag(&j, root, "target_met", n->met);
        nxw_json_put(&j, root, "at_target", json_run(&j, n, &n->meets));
    }
    return nxw_blend_finish(&j, root);
}

static enum nxw_exit run_all(const struct nxw_options *options, void *room)
{
    struct next *n = room;
    nxw_progress_expect(N_SHARES);
    enum nxw_exit code = read_all(&options->blend, n);
    if (code == NXW_EXIT_DONE)
        code = check_peroxide(n);
    for (int i = 0; i < N_SHARES && code == NXW_EXIT_DONE; i++)
        code = run_share(n, i / (N_SHARES - 1.0), &n->rows[i]);
    if (code == NXW_EXIT_DONE)
        code = find_target(n);
    nxw_progress_end();
    if (code != NXW_EXIT_DONE)
        return code;
    if (options->json)
        return print_json(n);
    print_text(n);
    return NXW_EXIT_DONE;
}

enum nxw_exit nxw_blend_next(const struct nxw_options *options)
{
    return nxw_with_work(sizeof(struct next), run_all, options);
}
