/* The words for events, warnings and ways of escape, shared by all reports. */
#ifndef NXW_RUN_WORDS_H
#define NXW_RUN_WORDS_H

#include "noxwash.h"

struct nxw_word {
    const char *name; /* for machines */
    const char *text; /* for people */
};

const struct nxw_word *nxw_event_word(enum nxw_event_kind kind);

struct nxw_warning_word {
    enum nxw_warning bit;
    struct nxw_word word; /* text: without figures; with them: warning_text.h */
};
enum { NXW_WARNING_COUNT = 24 };
extern const struct nxw_warning_word nxw_warning_words[NXW_WARNING_COUNT];

/* One way by which nitrogen escaped: what it is and what helps against it. */
struct nxw_why_word {
    const char *name;
    size_t offset; /* of the double in struct nxw_why */
    double molar_mass_kg_mol;
    const char *text, *remedy;
};
enum { NXW_WHY_COUNT = 7 };
extern const struct nxw_why_word nxw_why_words[NXW_WHY_COUNT];
double nxw_why_mol(const struct nxw_why *why, size_t index);

/* The indices of nxw_why_words, the largest amount first; equals keep their order. */
void nxw_why_largest_first(const struct nxw_why *why, size_t order[NXW_WHY_COUNT]);

#endif
