#include "words/run_words.h"

#include "words/cautions.h"
#include "words/limit_digits.h"

static const struct nxw_word EVENTS[NXW_EVENT_COUNT] = {
    [NXW_EVENT_SOURCE_STARTS] = {"source_starts", "gas begins to come from the source"},
    [NXW_EVENT_SOURCE_ENDS] = {"source_ends", "the source has ended"},
    [NXW_EVENT_CARRIER_ENDS] = {"carrier_ends", "the carrier gas is shut off"},
    [NXW_EVENT_BROWN_HEADSPACE] = {"brown_headspace", "brown gas shows above the liquid"},
    [NXW_EVENT_BLUE_LIQUID] = {"blue_liquid", "the liquid turns blue-green with nitrous acid"},
    [NXW_EVENT_FIZZ] = {"fizz", "the liquid fizzes: nitrous acid gives off NO"},
    [NXW_EVENT_PEROXIDE_SPENT] = {"peroxide_spent", "the peroxide is used up"},
    [NXW_EVENT_ICE_GONE] = {"ice_gone", "the last ice has melted"},
    [NXW_EVENT_OVERFULL] = {"overfull", "the liquid has outgrown the bottle"},
    [NXW_EVENT_PEAK_TEMPERATURE] = {"peak_temperature", "the liquid is at its hottest"},
    [NXW_EVENT_DRAWN_BACK] = {"drawn_back", "air is drawn back through the vent"},
    [NXW_EVENT_LIQUID_DRAWN] = {"liquid_drawn",
                                "liquid of the next bottle is drawn up its tube and over"},
    [NXW_EVENT_FREEZING] = {"freezing", "the liquid may begin to freeze"},
    [NXW_EVENT_WATER_NEARLY_GONE] = {"water_nearly_gone", "hardly any water is left"},
    [NXW_EVENT_BOILING] = {"boiling", "the liquid boils"},
    [NXW_EVENT_VENT_ABOVE_LIMIT] = {"vent_above_limit", "NO2 leaves the vent at a marked rate"},
    [NXW_EVENT_END] = {"end", "end of the time followed"},
};

const struct nxw_word *nxw_event_word(enum nxw_event_kind kind) { return &EVENTS[kind]; }

const struct nxw_warning_word nxw_warning_words[NXW_WARNING_COUNT] = {
    {NXW_WARN_OVERFULL,
     {"overfull", "The liquid outgrew the bottle; the figures past that moment mean little."}},
    {NXW_WARN_HNO2_OUTSIDE_DATA,
     {"nitrous_acid_outside_data",
      "More than " NXW_NITROUS_MOST_DIGITS " mol/L nitrous acid gathered: beyond the data behind "
      "the constants."}},
    {NXW_WARN_STRONG_ACID_OUTSIDE_DATA,
     {"strong_acid_outside_data",
      "Strong acid that also holds much nitrous acid: beyond the data behind the constants."}},
    {NXW_WARN_FREEZING,
     {"freezing", "The liquid came to its freezing point: ice in the bottle can block the tip."}},
    {NXW_WARN_WATER_NEARLY_GONE,
     {"water_nearly_gone", "The water was nearly used up; the run ended there."}},
    {NXW_WARN_BOILING, {"boiling", "The liquid boiled; the run ended there."}},
    {NXW_WARN_DRAWN_BACK,
     {"drawn_back", "At times more gas was taken up than came, and the room's air came in at the "
                    "vent: keep its end in clean air and out of any liquid."}},
    {NXW_WARN_PEROXIDE_SPENT,
     {"peroxide_spent",
      "The peroxide ran out before the end; from then on the bottle worked as plain acid."}},
    {NXW_WARN_ICE_GONE, {"ice_gone", "The ice melted before the end: have more at hand."}},
    {NXW_WARN_LEGAL_STRENGTH, {"legal_strength", nxw_regulated_text}},
    {NXW_WARN_HOT,
     {"hot", "The liquid passed " NXW_HOT_DIGITS " degC: beyond the range of the constants."}},
    {NXW_WARN_SHALLOW, {"shallow", "The tip was not under the liquid."}},
    {NXW_WARN_HEADSPACE_SMALL,
     {"headspace_small",
      "The bottle is more than " NXW_FULLEST_DIGITS " % full: spray and foam can leave with the "
      "gas."}},
    {NXW_WARN_VENT_CLOSED,
     {"vent_closed", "The vent of this case is closed. That is for checks against sealed vessels "
                     "only: glass that is closed while gas comes bursts."}},
    {NXW_WARN_PEROXIDE_STRONG,
     {"peroxide_strong",
      "Peroxide above " NXW_PEROXIDE_DIGITS " wt% was charged: it can boil up by itself; use "
      "less."}},
    {NXW_WARN_JETTING,
     {"jetting",
      "The gas came as a jet, not as bubbles, or too fast for its frit, at its peak: bubble sizes "
      "are uncertain there. More holes, a wider bore or a wider frit."}},
    {NXW_WARN_WEEPING,
     {"weeping", "There is not gas enough for every hole to blow: at worst one of them carries it "
                 "all, in bigger bubbles. Fewer or finer holes."}},
    {NXW_WARN_BACK_PRESSURE,
     {"back_pressure", "The train resists more than ground joints bear before they part: a coarser "
                       "frit, less depth or a wider tube. Never fasten joints against pressure."}},
    {NXW_WARN_LIQUID_DRAWN,
     {"liquid_drawn",
      "More gas was taken up than came, and a bottle's liquid was drawn up its tube into the stage "
      "ahead: a little carrier gas, or an empty vessel between the two."}},
    {NXW_WARN_PEROXIDE_BETWEEN,
     {"peroxide_between", "The liquid drawn into the stage ahead holds peroxide: it reacts at once "
                          "with the nitrous acid there and heats it."}},
    {NXW_WARN_SUCK_BACK,
     {"suck_back",
      "When the hot vessel cools, liquid is drawn over to it: an empty vessel ahead of "
      "the first bottle, or carrier gas until it is cool."}},
    {NXW_WARN_STEAM_BURST,
     {"steam_burst", "The hot vessel is as hot as boiling water or hotter: the liquid that it "
                     "draws over flashes to steam there, spatters acid and can burst the glass."}},
    {NXW_WARN_DRAWN_TO_METAL,
     {"drawn_to_metal",
      "What the cooling vessel draws over meets hot metal and its salts: it spatters, and flashes "
      "to steam where they are hotter than it boils."}},
    {NXW_WARN_PEROXIDE_DRAWN,
     {"peroxide_drawn", "What the cooling vessel draws over brings peroxide: on hot glass or metal "
                        "salts it boils up."}},
};

#define WHY(name) #name, offsetof(struct nxw_why, name)

const struct nxw_why_word nxw_why_words[NXW_WHY_COUNT] = {
    {WHY(NO_never_oxidised_mol), NXW_MOLAR_MASS_NO_KG_MOL,
     "NO that found no oxygen, or no time, to turn to NO2",
     "air or oxygen ahead of the bottle and an empty volume to react in"},
    {WHY(NO_given_back_mol), NXW_MOLAR_MASS_NO_KG_MOL, "NO that nitrous acid gave back to the gas",
     "peroxide; a second bottle with air led in before it"},
    {WHY(NO_given_back_peroxide_spent_mol), NXW_MOLAR_MASS_NO_KG_MOL,
     "NO given back after the peroxide had run out", "more peroxide"},
    {WHY(NO2_too_dilute_mol), NXW_MOLAR_MASS_NO2_KG_MOL,
     "NO2 too thin for the slow reaction in the liquid",
     "less carrier gas; a deeper or a second bottle"},
    {WHY(NO2_path_too_short_mol), NXW_MOLAR_MASS_NO2_KG_MOL,
     "NO2 in bubbles too big or too short a time in the liquid", "a finer tip, more depth"},
    {WHY(NO2_reformed_swept_mol), NXW_MOLAR_MASS_NO2_KG_MOL,
     "NO that turned to NO2 above the liquid and was swept out", "a second bottle; peroxide"},
    {WHY(acid_vapour_mol), NXW_MOLAR_MASS_HNO2_KG_MOL, "vapour of nitrous and nitric acid",
     "a cooler bottle; a second one with plain water"},
};

double nxw_why_mol(const struct nxw_why *why, size_t index)
{
    return *(const double *)(const void *)((const char *)why + nxw_why_words[index].offset);
}

void nxw_why_largest_first(const struct nxw_why *why, size_t order[NXW_WHY_COUNT])
{
    for (size_t i = 0; i < NXW_WHY_COUNT; i++) {
        size_t place = i;
        while (place > 0 && nxw_why_mol(why, order[place - 1]) < nxw_why_mol(why, i)) {
            order[place] = order[place - 1];
            place--;
        }
        order[place] = i;
    }
}
