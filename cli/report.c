#include "report.h"

#include <math.h>

static const double G_HNO3 = 63.012, G_NO = 30.006, G_NO2 = 46.005, G_HNO2 = 47.013;

static double percent(double part, const struct nxw_result *r)
{
    return r->fed_mol > 0.0 ? 100.0 * part / r->fed_mol : 0.0;
}

static const char *event_text(enum nxw_event_kind kind)
{
    switch (kind) {
    case NXW_EVENT_SOURCE_STARTS:
        return "gas starts to come";
    case NXW_EVENT_SOURCE_ENDS:
        return "the source has ended";
    case NXW_EVENT_CARRIER_ENDS:
        return "the carrier gas ends";
    case NXW_EVENT_BROWN_HEADSPACE:
        return "brown gas shows above the liquid";
    case NXW_EVENT_BLUE_LIQUID:
        return "the liquid takes a blue-green tint (nitrous acid)";
    case NXW_EVENT_FIZZ:
        return "the liquid begins to fizz (NO comes out of it)";
    case NXW_EVENT_PEROXIDE_SPENT:
        return "the peroxide is spent";
    case NXW_EVENT_ICE_GONE:
        return "the ice has melted";
    case NXW_EVENT_OVERFULL:
        return "the bottle is overfull";
    case NXW_EVENT_PEAK_TEMPERATURE:
        return "warmest";
    case NXW_EVENT_DRAWN_BACK:
        return "air is drawn back through the vent";
    case NXW_EVENT_FREEZING:
        return "the liquid passes its freezing point";
    case NXW_EVENT_WATER_NEARLY_GONE:
        return "the water is nearly gone: the run ends here";
    case NXW_EVENT_BOILING:
        return "the liquid boils: the run ends here";
    case NXW_EVENT_VENT_ABOVE_LIMIT:
        return "more than a trace of NO2 leaves by the vent";
    case NXW_EVENT_END:
        return "end of the standing time";
    case NXW_EVENT_COUNT:
        break;
    }
    return "";
}

static void escaped_line(FILE *out, const char *name, double mol, double g_mol,
                         const struct nxw_result *r)
{
    if (mol * g_mol < 1e-4)
        fprintf(out, "    as %-22s less than 0.0001 g\n", name);
    else
        fprintf(out, "    as %-22s about %8.2g g   %6.2g %% of N\n", name, mol * g_mol,
                percent(mol, r));
}

static void stage_text(FILE *out, const struct nxw_case *in, const struct nxw_result *r, size_t i)
{
    const struct nxw_stage_result *s = &r->stages[i];
    if (in->stages[i].kind == NXW_STAGE_EMPTY) {
        fprintf(out, "\nstage %zu, empty vessel\n", i + 1);
        return;
    }
    fprintf(out, "\nbottle %zu at the end\n", i + 1);
    fprintf(out, "  liquid                    %8.0f mL\n", s->liquid_m3 * 1e6);
    fprintf(out, "  acid strength             %8.2g wt%% HNO3 (%.2g mol/L)\n",
            100.0 * s->acid_mass_fraction, s->acid_mol_m3 * 1e-3);
    fprintf(out, "  hydrometer will read      %8.3f g/cm3 at %.1f degC, %.3f g/cm3 at 20 degC\n",
            s->density_kg_m3 * 1e-3, s->temperature_K - 273.15, s->density_reference_kg_m3 * 1e-3);
    if (s->nitrous_acid_mol * G_HNO2 < 1e-4)
        fprintf(out, "  nitrous acid left             none\n");
    else
        fprintf(out, "  nitrous acid left         %8.2g g HNO2 (part of it leaves on warming)\n",
                s->nitrous_acid_mol * G_HNO2);
    if (s->peroxide_start_mol > 0.0)
        fprintf(out, "  peroxide used, left       %8.2g g, %.2g g H2O2\n",
                (s->peroxide_start_mol - s->peroxide_mol) * 34.014, s->peroxide_mol * 34.014);
    fprintf(out, "  warmest                   %8.1f degC after %.0f min\n",
            s->peak_temperature_K - 273.15, s->peak_at_s / 60.0);
    if (s->ice_start_kg > 0.0)
        fprintf(out, "  ice melted                %8.0f g of %.0f g\n", 1e3 * s->ice_melted_kg,
                1e3 * s->ice_start_kg);
    if (s->bubble_diameter_m > 0.0)
        fprintf(out, "  bubbles at the peak       %8.1f mm across, %.0f mm under the surface\n",
                1e3 * s->bubble_diameter_m, 1e3 * s->depth_m);
}

static void why_line(FILE *out, double mol, const char *text)
{
    const double g = 14.007 * mol;
    if (g >= 1e-4)
        fprintf(out, "  %9.2g g  %s\n", g, text);
}

void nxw_report_text(FILE *out, const struct nxw_case *in, const struct nxw_case_notes *notes,
                     const struct nxw_result *r, bool why)
{
    fprintf(out, "estimate of %s, constants %s (%s)\n", in->name, nxw_parameter_version(),
            nxw_parameter_hash());
    if (notes->n_overrides > 0)
        fprintf(out, "(%zu constants are set by the case)\n", notes->n_overrides);
    fprintf(out, "\nnitrogen (N)\n");
    fprintf(out, "  led in                    %8.4g mol (NO %.3g, NO2 %.3g, HNO3 vapour %.2g)\n",
            r->fed_mol, r->fed_NO_mol, r->fed_NO2_mol, r->fed_HNO3_mol);
    fprintf(out, "  kept as nitric acid       %8.3g g HNO3   %5.1f %% of N\n",
            r->kept_mol * G_HNO3, percent(r->kept_mol, r));
    fprintf(out, "  held in all               %8.3g mol      %5.1f %% of N (with nitrous acid)\n",
            r->held_mol, percent(r->held_mol, r));
    fprintf(out, "  escaped                   %8.2g mol  about %.2g %% of N\n", r->escaped_mol,
            percent(r->escaped_mol, r));
    escaped_line(out, "NO", r->escaped_NO_mol, G_NO, r);
    escaped_line(out, "NO2", r->escaped_NO2_mol, G_NO2, r);
    escaped_line(out, "HNO2 vapour", r->escaped_HNO2_mol, G_HNO2, r);
    escaped_line(out, "HNO3 vapour", r->escaped_HNO3_mol, G_HNO3, r);
    fprintf(out, "  still above the liquid    %8.2g mol\n", r->in_flight_mol);
    for (size_t i = 0; i < r->n_stages; i++)
        stage_text(out, in, r, i);

    fprintf(out, "\nat the vent (always lead it into a working hood)\n");
    fprintf(out, "  NO2 at the peak %.2g mg/min, worst 15-minute mean %.2g mg/min\n",
            r->vent_peak_NO2_kg_s * 6e7, r->vent_mean15_NO2_kg_s * 6e7);
    fprintf(out, "  NO  at the peak %.2g mg/min, worst 15-minute mean %.2g mg/min\n",
            r->vent_peak_NO_kg_s * 6e7, r->vent_mean15_NO_kg_s * 6e7);
    if (in->hood_flow_m3_s > 0.0)
        fprintf(out, "  in the hood: NO2 %.2g ppm, NO %.2g ppm at the peak\n",
                1e6 * r->hood_peak_NO2_fraction, 1e6 * r->hood_peak_NO_fraction);
    fprintf(out, "  limits for people: NO2 1 ppm over 15 min (NIOSH), NO 25 ppm over 8 h (OSHA)\n");

    fprintf(out, "\nwhat will be seen\n");
    for (size_t i = 0; i < r->n_events; i++)
        fprintf(out, "  %6.1f min  %s\n", r->events[i].time_s / 60.0,
                event_text(r->events[i].kind));
    if (!why)
        return;
    const struct nxw_why *w = &r->why;
    fprintf(out, "\nwhy it escaped (grams of N; the parts add up to what escaped)\n");
    why_line(out, w->NO_never_oxidised_mol, "NO that found no oxygen, or no time");
    why_line(out, w->NO_given_back_mol, "NO given back by nitrous acid");
    why_line(out, w->NO_given_back_peroxide_spent_mol, "the same, after the peroxide was spent");
    why_line(out, w->NO2_too_dilute_mol, "NO2 too dilute for a quick uptake");
    why_line(out, w->NO2_path_too_short_mol, "NO2 whose path through the liquid was too short");
    why_line(out, w->NO2_reformed_swept_mol, "NO2 formed above the liquid and swept out");
    why_line(out, w->acid_vapour_mol, "vapour of nitrous and nitric acid");
}

static bool run(const struct nxw_case *c, struct nxw_result *r)
{
    return nxw_estimate(c, NULL, NULL, r) >= 0;
}

void nxw_report_verdict(FILE *out, const struct nxw_case *in, const struct nxw_result *r)
{
    static struct nxw_case c;
    static struct nxw_result other;
    fprintf(out, "\nverdict\n");
    if (r->fed_mol <= 0.0) {
        fprintf(out, "  No nitrogen oxides come; there is nothing to catch.\n");
        return;
    }
    fprintf(out, "  The train keeps %.0f %% of the nitrogen as nitric acid; about %.2g %% escapes.\n",
            percent(r->kept_mol, r), percent(r->escaped_mol, r));
    if (r->receiver_HNO3_mol > 0.0)
        fprintf(out,
                "  Extra yield from the scrubber: %.3g g HNO3, %.0f %% of the %.3g g in the "
                "receiver.\n",
                r->kept_mol * G_HNO3, 100.0 * r->kept_mol / r->receiver_HNO3_mol,
                r->receiver_HNO3_mol * G_HNO3);
    struct nxw_stage *s = &c.stages[0];
    c = *in;
    if (s->kind == NXW_STAGE_EMPTY)
        return;
    s->volume_m3 *= 2.0;
    s->liquid_m3 *= 2.0;
    s->inner_diameter_m *= cbrt(2.0);
    if (run(&c, &other))
        fprintf(out,
                "  A bottle of twice the size: escape %.2g %% instead of %.2g %%, so %s.\n",
                percent(other.escaped_mol, &other), percent(r->escaped_mol, r),
                r->escaped_mol > 1.3 * other.escaped_mol && percent(r->escaped_mol, r) > 1.0
                    ? "a bigger bottle helps"
                    : "this one is big enough as bottles go");
    c = *in;
    const double need = 1.2 * (0.5 * (r->fed_NO2_mol + r->fed_HNO2_mol) + 1.5 * r->fed_NO_mol);
    const double share = fmin(need * 0.034014 / (s->liquid_m3 * 1000.0), 0.12);
    if (s->peroxide_mass_fraction < 0.5 * share) {
        s->peroxide_mass_fraction = share;
        if (run(&c, &other))
            fprintf(out,
                    "  Peroxide, %.2g wt%% in the bottle (%.2g g H2O2): %+.2g g HNO3, escape %.2g "
                    "%%, warmest %.0f degC.\n",
                    100.0 * share, other.stages[0].peroxide_start_mol * 34.014,
                    (other.kept_mol - r->kept_mol) * G_HNO3, percent(other.escaped_mol, &other),
                    other.stages[0].peak_temperature_K - 273.15);
    }
    c = *in;
    if (s->bath != NXW_BATH_ICE_WATER) {
        s->bath = NXW_BATH_ICE_WATER;
        s->bath_temperature_K = 273.15;
        s->ice_kg = 0.4;
        s->liquid_temperature_K = NAN;
        if (run(&c, &other))
            fprintf(out,
                    "  Ice water around it: %+.2g g HNO3, escape %.2g %%, warmest %.0f degC; %.2g g "
                    "nitrous acid stay in the liquid.\n",
                    (other.kept_mol - r->kept_mol) * G_HNO3, percent(other.escaped_mol, &other),
                    other.stages[0].peak_temperature_K - 273.15,
                    other.stages[0].nitrous_acid_mol * G_HNO2);
    }
    if (r->warnings & (NXW_WARN_HNO2_OUTSIDE_DATA | NXW_WARN_STRONG_ACID_OUTSIDE_DATA))
        fprintf(out, "  So much nitrous acid lies outside what anyone measured: take care.\n");
    if (r->warnings & NXW_WARN_LEGAL_STRENGTH)
        fprintf(out, "  The liquid passes 3 wt%% nitric acid: regulated in many places.\n");
}

void nxw_report_cautions(FILE *out)
{
    fputs("\ncautions\n"
          "  Brown fumes (NO2) injure the lungs, and the worst may come 3 to 30 hours later:\n"
          "  whoever breathed them needs medical observation even if well. Work in a working\n"
          "  fume hood, with gloves, goggles and acid-proof clothing. Never close the train: a\n"
          "  blocked vent or frit bursts glass, and liquid with nitrous acid or peroxide gives\n"
          "  off gas while it stands. Put an empty trap before the bottle: liquid is drawn back\n"
          "  when heating stops. If fumes break through: heat away, keep purging, open nothing.\n"
          "  Fill peroxide in before the run, at or below 12 %, cold, vented, away from organic\n"
          "  matter and metal salts. Acid and peroxide above small strengths are regulated in\n"
          "  many places: local law, local codes and a licensed or qualified person decide; this\n"
          "  program only estimates.\n",
          out);
}
