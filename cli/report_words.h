/* The words for events, warnings and ways of escape, shared by all reports. */
#ifndef NXW_REPORT_WORDS_H
#define NXW_REPORT_WORDS_H

#include "noxwash.h"

#define NXW_MOLAR_MASS_NO_KG_MOL 0.030006 /* sums of the IUPAC atomic masses */
#define NXW_MOLAR_MASS_NO2_KG_MOL 0.046005
#define NXW_MOLAR_MASS_HNO2_KG_MOL 0.047013
#define NXW_MOLAR_MASS_HNO3_KG_MOL 0.063012
#define NXW_MOLAR_MASS_H2O2_KG_MOL 0.034014
#define NXW_PEROXIDE_BOUGHT 0.30 /* mass fraction of peroxide as commonly bought */

struct nxw_word {
    const char *name; /* for machines */
    const char *text; /* for people */
};

const struct nxw_word *nxw_event_word(enum nxw_event_kind kind);

struct nxw_warning_word {
    enum nxw_warning bit;
    bool outside;         /* the constants do not reach so far: --strict refuses */
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

/* Constants that rest on memory or judgement alone. */
size_t nxw_unproven_constants(void);

/* Marks of events and warnings, and errors of inputs: no amount of a run depends on them. */
bool nxw_constant_only_marks(const char *key);

/* The first stage that holds liquid; n_stages when there is none. */
size_t nxw_first_bottle(const struct nxw_case *in);

#endif
