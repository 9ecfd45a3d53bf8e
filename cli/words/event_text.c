#include "words/event_text.h"

#include <math.h>
#include <stdio.h>

#include "base/text_layout.h"
#include "words/run_words.h"

#define MOLAR_VOLUME_L 24.055 /* L/mol as gas at 20 degC and 1 atm */

enum { AMOUNT = NXW_AMOUNT_LENGTH };

/* What goes behind the words, such as the temperature; empty where the value is no finding. */
static void value_text(const struct nxw_event *e, char out[AMOUNT + 16])
{
    char text[AMOUNT] = "";
    const char *about = "about ", *unit = "";
    switch (e->kind) {
    case NXW_EVENT_PEAK_TEMPERATURE:
    case NXW_EVENT_FREEZING:
    case NXW_EVENT_BOILING:
        about = "";
        nxw_temperature_text(e->value, text);
        break;
    case NXW_EVENT_FIZZ:
        about = "at the most about ";
        unit = " mL/min";
        nxw_number_text(e->value * MOLAR_VOLUME_L * 6e4, 2, text);
        break;
    case NXW_EVENT_DRAWN_BACK:
        unit = " mL";
        nxw_number_text(e->value * MOLAR_VOLUME_L * 1e3, 2, text);
        break;
    case NXW_EVENT_LIQUID_DRAWN:
        unit = " mL";
        nxw_number_text(e->value * 1e6, 2, text);
        break;
    case NXW_EVENT_VENT_ABOVE_LIMIT:
        about = "";
        unit = " mg/min";
        nxw_number_text(e->value * NXW_MG_MIN, 2, text);
        break;
    default:
        break; /* brown and blue: the mark that was passed */
    }
    out[0] = '\0';
    if (text[0] != '\0' && isfinite(e->value) && e->value > 0.0)
        (void)snprintf(out, AMOUNT + 16, ", %s%.20s%s", about, text, unit);
}

static bool belongs_to_a_stage(enum nxw_event_kind kind)
{
    return kind != NXW_EVENT_SOURCE_STARTS && kind != NXW_EVENT_SOURCE_ENDS &&
           kind != NXW_EVENT_CARRIER_ENDS && kind != NXW_EVENT_END &&
           kind != NXW_EVENT_VENT_ABOVE_LIMIT;
}

bool nxw_event_text(const struct nxw_case *in, const struct nxw_event *event,
                    char out[NXW_EVENT_TEXT_LENGTH])
{
    char value[AMOUNT + 16], stage[24] = "";
    out[0] = '\0';
    if (event->kind == NXW_EVENT_PEAK_TEMPERATURE &&
        in->stages[event->stage].kind == NXW_STAGE_EMPTY)
        return false;
    value_text(event, value);
    if (in->n_stages > 1 && belongs_to_a_stage(event->kind))
        (void)snprintf(stage, sizeof stage, " (stage %u)", (unsigned)(event->stage + 1) % 100u);
    (void)snprintf(out, NXW_EVENT_TEXT_LENGTH, "%s%s%s", nxw_event_word(event->kind)->text, value,
                   stage);
    return true;
}
