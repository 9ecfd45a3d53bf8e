#include "case/blend_part.h"

#include <stdio.h>
#include <string.h>

#include "base/text_layout.h"

enum { WORDS_MAX = 6, WORD_LENGTH = 64 };
#define ROOM_K 293.15
#define MELTING_K 273.15

static bool refuse(char *message, const char *text)
{
    (void)snprintf(message, NXW_PART_MESSAGE_LENGTH, "%s", text);
    return false;
}

bool nxw_peroxide_ambiguous(const char *text, double *as_wt, double *as_wv)
{
    char copy[WORD_LENGTH], message[NXW_MESSAGE_LENGTH];
    double share;
    if (!nxw_quantity_read(text, NXW_DIM_SHARE, &share, message))
        return false;
    *as_wt = share;
    (void)snprintf(copy, sizeof copy, "%.17g w/v%%", 100.0 * share);
    return share <= 1.0 && nxw_peroxide_read(copy, as_wv, message);
}

bool nxw_peroxide_read_told(const char *text, double *value, char message[NXW_PART_MESSAGE_LENGTH])
{
    double as_wt, as_wv;
    char why[NXW_MESSAGE_LENGTH];
    if (nxw_peroxide_ambiguous(text, &as_wt, &as_wv)) {
        (void)snprintf(message, NXW_PART_MESSAGE_LENGTH,
                       "'%.20s' of peroxide has two meanings: %.3g g in 100 g (%.3g wt%%), or "
                       "%.3g g in 100 mL (%.3g w/v%%, which is %.3g wt%%); look at the label and "
                       "write wt%% or w/v%%",
                       text, 100.0 * as_wt, 100.0 * as_wt, 100.0 * as_wt, 100.0 * as_wt,
                       100.0 * as_wv);
        return false;
    }
    if (!nxw_peroxide_read(text, value, why))
        return refuse(message, why);
    if (!(*value >= 0.0 && *value <= 1.0))
        return refuse(message, "a strength lies between 0 and 100 wt%");
    return true;
}

/* Cut at commas; blanks around a word go. Returns how many, or 0 when it cannot be cut. */
static size_t cut(const char *text, char words[WORDS_MAX][WORD_LENGTH])
{
    size_t n = 0;
    while (n < WORDS_MAX) {
        text += strspn(text, " ");
        const size_t whole = strcspn(text, ",");
        size_t length = whole;
        while (length > 0 && text[length - 1] == ' ')
            length--;
        if (length == 0 || length >= WORD_LENGTH)
            return 0;
        memcpy(words[n], text, length);
        words[n++][length] = '\0';
        if (text[whole] == '\0')
            return n;
        text += whole + 1;
    }
    return 0;
}

/* Does the word end so? Then the rest of it, without blanks before. */
static bool ends_with(const char *word, const char *end, char rest[WORD_LENGTH])
{
    const size_t n = strlen(word), m = strlen(end);
    if (n <= m || strcmp(word + n - m, end) != 0 || word[n - m - 1] != ' ')
        return false;
    (void)snprintf(rest, WORD_LENGTH, "%.*s", (int)(n - m - 1), word);
    return true;
}

struct seen {
    bool acid, peroxide, water, temperature;
};

static bool told(char *message, const char *word, const char *why)
{
    (void)snprintf(message, NXW_PART_MESSAGE_LENGTH, "'%s': %s", word, why);
    return false;
}

/* One word after the amount. */
static bool read_word(const char *word, struct nxw_blend_part *p, struct seen *seen, char *message)
{
    char rest[WORD_LENGTH], why[NXW_MESSAGE_LENGTH], long_why[NXW_PART_MESSAGE_LENGTH];
    if (strcmp(word, "water") == 0) {
        seen->water = true;
        return true;
    }
    if (strcmp(word, "ice") == 0) {
        p->ice = true;
        return true;
    }
    if (ends_with(word, "acid", rest)) {
        seen->acid = true;
        return nxw_acid_strength_read(rest, ROOM_K, &p->acid_mass_fraction, why) ||
               told(message, word, why);
    }
    if (ends_with(word, "peroxide", rest)) {
        seen->peroxide = true;
        if (nxw_peroxide_read_told(rest, &p->peroxide_mass_fraction, long_why))
            return true;
        return refuse(message, long_why);
    }
    if (!nxw_quantity_read(word, NXW_DIM_TEMPERATURE, &p->temperature_K, why))
        return told(message, word,
                    "not understood; write such as '250 mL, 10 wt% acid, 20 degC', '1 L, 6 wt% "
                    "peroxide', '500 g, water' or '200 g, ice'");
    seen->temperature = true;
    return true;
}

static bool check(struct nxw_blend_part *p, const struct seen *seen, char *message)
{
    if (!seen->acid && !seen->peroxide && !seen->water && !p->ice)
        return refuse(message, "say what it is: '10 wt% acid', '6 wt% peroxide', 'water' or 'ice'");
    if ((seen->water || p->ice) && (seen->acid || seen->peroxide || (seen->water && p->ice)))
        return refuse(message, "water and ice stand alone; a solution is named by its strength");
    if (p->ice && seen->temperature && p->temperature_K != MELTING_K)
        return refuse(message, "ice is reckoned at 0 degC; leave its temperature out");
    if (p->acid_mass_fraction + p->peroxide_mass_fraction > 1.0)
        return refuse(message, "acid and peroxide together are more than the whole");
    if (!nxw_within(&p->temperature_K, 263.15, 368.15))
        return refuse(message, "the temperature of a part lies between -10 and 95 degC");
    return true;
}

bool nxw_part_read(const char *text, struct nxw_written_part *out,
                   char message[NXW_PART_MESSAGE_LENGTH])
{
    char words[WORDS_MAX][WORD_LENGTH], why[NXW_MESSAGE_LENGTH];
    struct nxw_blend_part *p = &out->part;
    *out = (struct nxw_written_part){.part = {.temperature_K = ROOM_K}};
    const size_t n = cut(text, words);
    if (n < 2)
        return refuse(message, "a part is an amount and what it is, with commas between: such as "
                               "'250 mL, 10 wt% acid, 20 degC'");
    struct seen seen = {0};
    for (size_t i = 1; i < n; i++)
        if (!read_word(words[i], p, &seen, message))
            return false;
    if (p->ice && !seen.temperature)
        p->temperature_K = MELTING_K;
    out->temperature_assumed = !seen.temperature && !p->ice;
    if (!check(p, &seen, message))
        return false;
    double amount;
    const double rho = nxw_liquid_density_kg_m3(p->acid_mass_fraction, p->peroxide_mass_fraction,
                                                p->ice ? ROOM_K : p->temperature_K);
    out->by_volume = nxw_quantity_read(words[0], NXW_DIM_VOLUME, &amount, why);
    if (!out->by_volume && !nxw_quantity_read(words[0], NXW_DIM_MASS, &amount, why))
        return told(message, words[0],
                    "an amount is a volume or a mass, in mL, L, m3, g, kg or mg");
    if (!(amount > 0.0))
        return told(message, words[0], "an amount is more than 0");
    if (out->by_volume && p->ice)
        return told(message, words[0], "weigh ice: give it in g or kg");
    p->mass_kg = out->by_volume ? amount * rho : amount;
    out->volume_m3 = out->by_volume ? amount : amount / rho;
    return true;
}

void nxw_part_words(const struct nxw_written_part *w, char *out, size_t size)
{
    const struct nxw_blend_part *p = &w->part;
    char what[96] = "";
    if (p->ice)
        (void)snprintf(what, sizeof what, "ice");
    else if (p->acid_mass_fraction > 0.0 && p->peroxide_mass_fraction > 0.0)
        (void)snprintf(what, sizeof what, "liquid with %.3g wt%% HNO3 and %.3g wt%% H2O2",
                       100.0 * p->acid_mass_fraction, 100.0 * p->peroxide_mass_fraction);
    else if (p->acid_mass_fraction > 0.0)
        (void)snprintf(what, sizeof what, "acid of %.3g wt%% HNO3", 100.0 * p->acid_mass_fraction);
    else if (p->peroxide_mass_fraction > 0.0)
        (void)snprintf(what, sizeof what, "peroxide of %.3g wt%% H2O2",
                       100.0 * p->peroxide_mass_fraction);
    else
        (void)snprintf(what, sizeof what, "water");
    char mL[NXW_AMOUNT_LENGTH], g[NXW_AMOUNT_LENGTH];
    nxw_number_text(1e6 * w->volume_m3, 3, mL);
    nxw_number_text(1e3 * p->mass_kg, 3, g);
    if (p->ice)
        (void)snprintf(out, size, "%s g of ice", g);
    else
        (void)snprintf(out, size, "%s mL (%s g) of %s at %.1f degC%s", mL, g, what,
                       p->temperature_K - MELTING_K, w->temperature_assumed ? " (assumed)" : "");
}
