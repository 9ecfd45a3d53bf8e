#include "study/size_target.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text_layout.h"
#include "base/units.h"

static const struct nxw_target_name NAMES[NXW_TARGET_COUNT] = {
    {"--capture", "kept as HNO3, of the nitrogen fed", "at least", "capture_fraction", "%", 100.0,
     0.0},
    {"--vent", "NO and NO2 at the vent, peaks added up", "at most", "vent_mg_min", "mg/min",
     NXW_MG_MIN, 0.0},
    {"--strength", "HNO3 in the first bottle", "at least", "strength_wt_pct", "wt%", 100.0, 0.0},
    {"--peak-temperature", "hottest liquid", "at most", "peak_temperature_K", "degC", 1.0, 273.15},
};

/* By NO2 alone, NO alone, both; and by the time. */
#define HOOD(what, mean)                                                                           \
    {                                                                                              \
        "--vent", what " in the hood's air, " mean, "at most", "hood_ppm", "ppm", 1e6, 0.0         \
    }
#define HOOD_ALL(what)                                                                             \
    {                                                                                              \
        HOOD(what, "peak"), HOOD(what, "15-min mean"), HOOD(what, "8-h mean")                      \
    }
static const struct nxw_target_name HOOD_NAMES[3][NXW_HOOD_MEANS] = {
    HOOD_ALL("NO2"), HOOD_ALL("NO"), HOOD_ALL("NO and NO2")};

const struct nxw_target_name *nxw_target_name(const struct nxw_targets *targets,
                                              enum nxw_target_kind kind)
{
    const struct nxw_vent_target *v = &targets->vent;
    if (kind != NXW_TARGET_VENT || !v->in_hood)
        return &NAMES[kind];
    return &HOOD_NAMES[v->NO && v->NO2 ? 2 : v->NO ? 1 : 0][v->mean];
}

double nxw_vent_reached(const struct nxw_vent_target *target, const struct nxw_case *in,
                        const struct nxw_result *r)
{
    if (!target->in_hood)
        return r->vent_peak_NO_kg_s + r->vent_peak_NO2_kg_s;
    return (target->NO2 ? nxw_hood_air_NO2(in, r).fraction[target->mean] : 0.0) +
           (target->NO ? nxw_hood_air_NO(in, r).fraction[target->mean] : 0.0);
}

/* ------------------------------------------------------------------------------ the vent */

/* "NIOSH REL (15-min STEL)" */
static void add_limit(const struct nxw_exposure_limit *limit, char *message)
{
    const size_t used = strlen(message);
    (void)snprintf(message + used, NXW_TARGET_MESSAGE - used, "%s %g ppm, %s (%s)",
                   used > 0 && message[used - 1] != ':' ? ";" : "", limit->ppm, limit->name,
                   limit->averaging);
}

/* Do a limit's name and time have all the words? */
static bool has_words(const struct nxw_exposure_limit *limit, const char *words)
{
    char whole[96], copy[96], *rest = NULL;
    (void)snprintf(whole, sizeof whole, "%s %s", limit->name, limit->averaging);
    (void)snprintf(copy, sizeof copy, "%s", words);
    bool any = false;
    for (char *word = strtok_r(copy, " ", &rest); word; word = strtok_r(NULL, " ", &rest)) {
        if (strstr(whole, word) == NULL)
            return false;
        any = true;
    }
    return any;
}

/* The lowest limit of a substance with these words, if they name one time of counting. */
static bool find_limit(const char *substance, const char *words, struct nxw_exposure_limit *found,
                       char *message)
{
    struct nxw_exposure_limit all[NXW_EXPOSURE_LIMITS_MAX];
    const size_t n = nxw_exposure_limits(all);
    size_t matches = 0;
    bool one_time = true;
    for (size_t i = 0; i < n; i++) {
        if (strcmp(all[i].substance, substance) != 0 || !has_words(&all[i], words))
            continue;
        one_time = one_time && (matches == 0 || nxw_limit_mean(&all[i]) == nxw_limit_mean(found));
        if (matches++ == 0 || all[i].ppm < found->ppm)
            *found = all[i];
    }
    if (matches > 0 && one_time)
        return true;
    (void)snprintf(message, NXW_TARGET_MESSAGE,
                   matches == 0
                       ? "no limit of %s has these words; there are:"
                       : "these words fit limits of %s over different times; give more of:",
                   substance);
    for (size_t i = 0; i < n; i++)
        if (strcmp(all[i].substance, substance) == 0 && (matches == 0 || has_words(&all[i], words)))
            add_limit(&all[i], message);
    return false;
}

/* " NO2 STEL" behind the sign of multiplication. */
static bool read_limit(const char *text, struct nxw_vent_target *target, char *message)
{
    char substance[8] = "";
    int n = 0;
    (void)sscanf(text, " %7s%n", substance, &n);
    target->NO2 = strcmp(substance, "NO2") == 0;
    target->NO = strcmp(substance, "NO") == 0;
    if (!target->NO && !target->NO2) {
        (void)snprintf(message, NXW_TARGET_MESSAGE,
                       "a limit of NO2 or NO is wanted, such as '1 x NO2 STEL'");
        return false;
    }
    if (!find_limit(substance, text + n, &target->limit, message))
        return false;
    target->mean = nxw_limit_mean(&target->limit);
    return true;
}

/* " NO2" behind ppm, or nothing: both. */
static bool read_which(const char *text, struct nxw_vent_target *target, char *message)
{
    const char *which = text + strspn(text, " ");
    target->NO2 = which[0] == '\0' || strcmp(which, "NO2") == 0;
    target->NO = which[0] == '\0' || strcmp(which, "NO") == 0;
    if (!target->NO && !target->NO2)
        (void)snprintf(message, NXW_TARGET_MESSAGE,
                       "'ppm' counts NO and NO2 together; 'ppm NO2' or 'ppm NO' one of them");
    return target->NO || target->NO2;
}

bool nxw_vent_target_read(const char *text, struct nxw_vent_target *target, double *wanted,
                          char message[NXW_TARGET_MESSAGE])
{
    static const char *const signs[] = {"mg/min", "ppm", " x "};
    char number[64], why[NXW_MESSAGE_LENGTH];
    *target = (struct nxw_vent_target){0};
    for (size_t i = 0; i < sizeof signs / sizeof signs[0]; i++) {
        const char *sign = strstr(text, signs[i]);
        if (sign == NULL || (size_t)(sign - text) >= sizeof number)
            continue;
        const char *rest = sign + strlen(signs[i]);
        if (i == 0 && rest[0] != '\0')
            continue;
        memcpy(number, text, (size_t)(sign - text));
        number[sign - text] = '\0';
        if (!nxw_number_read(number, wanted, why)) {
            (void)snprintf(message, NXW_TARGET_MESSAGE, "%s", why);
            return false;
        }
        target->in_hood = i > 0;
        target->multiple = i == 2 ? *wanted : 0.0;
        if (i == 1 ? !read_which(rest, target, message)
                   : i == 2 && !read_limit(rest, target, message))
            return false;
        *wanted *= i == 0 ? 1.0 / NXW_MG_MIN : i == 1 ? 1e-6 : 1e-6 * target->limit.ppm;
        return true;
    }
    (void)snprintf(message, NXW_TARGET_MESSAGE,
                   "the unit is missing or does not fit; accepted: mg/min; ppm, ppm NO2 or ppm NO "
                   "in the hood's air; a multiple of a limit, such as '1 x NO2 STEL'");
    return false;
}

/* ------------------------------------------------------------------------------- targets */

static bool possible(struct nxw_targets *targets, enum nxw_target_kind kind, char *message)
{
    static const double most[NXW_TARGET_COUNT] = {1.0, 1.0, 1.0, 373.15};
    static const double least[NXW_TARGET_COUNT] = {0.0, 0.0, 0.0, 273.15};
    double *value = &targets->wanted[kind];
    if (nxw_within(value, least[kind], most[kind]) && *value > least[kind])
        return true;
    const struct nxw_target_name *t = nxw_target_name(targets, kind);
    (void)snprintf(message, NXW_TARGET_MESSAGE, "above %g and at most %g %s is possible",
                   least[kind] * t->scale - t->offset, most[kind] * t->scale - t->offset, t->unit);
    return false;
}

static bool read_target(enum nxw_target_kind kind, const char *text, struct nxw_targets *targets)
{
    static const enum nxw_dimension dimensions[NXW_TARGET_COUNT] = {
        NXW_DIM_SHARE, NXW_DIM_COUNT, NXW_DIM_MASS_FRACTION, NXW_DIM_TEMPERATURE};
    char message[NXW_TARGET_MESSAGE];
    double *value = &targets->wanted[kind];
    *value = (double)NAN;
    if (text == NULL)
        return true;
    targets->given[kind] = true;
    if ((kind == NXW_TARGET_VENT ? nxw_vent_target_read(text, &targets->vent, value, message)
                                 : nxw_quantity_read(text, dimensions[kind], value, message)) &&
        possible(targets, kind, message))
        return true;
    (void)fprintf(stderr, "noxwash: %s '%.40s': %s\n", NAMES[kind].option, text, message);
    return false;
}

bool nxw_targets_read(const char *const texts[NXW_TARGET_COUNT], struct nxw_targets *targets)
{
    bool any = false;
    for (int i = 0; i < NXW_TARGET_COUNT; i++) {
        if (!read_target((enum nxw_target_kind)i, texts[i], targets))
            return false;
        any = any || targets->given[i];
    }
    if (!any)
        (void)fputs("noxwash: no target; give --capture '95 %', --vent '10 mg/min', --strength "
                    "'5 wt%' or --peak-temperature '40 degC'\n",
                    stderr);
    return any;
}
