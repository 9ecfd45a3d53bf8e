#include "decide/sweep_about.h"

#include <string.h>

#include "words/cautions.h"

enum { ABOUT_MAX = 12 + NXW_REPEATS_MAX };

/* One line of the table about. told: what differs, when it differs from what is wanted. */
struct about {
    char key[32];
    char value[NXW_ABOUT_VALUE];
    const char *told;
};

static void about_line(struct about *a, size_t *n, const char *key, const char *told,
                       const char *value)
{
    (void)snprintf(a[*n].key, sizeof a[*n].key, "%s", key);
    (void)snprintf(a[*n].value, sizeof a[*n].value, "%s", value);
    a[(*n)++].told = told;
}

/* A text too long for a line is held by its start and its fingerprint. */
static void about_vary(struct about *a, size_t *n, const char *key, const char *told,
                       const char *given)
{
    char text[NXW_ABOUT_VALUE];
    const size_t length = strlen(given);
    if (length < NXW_ABOUT_VALUE)
        (void)snprintf(text, sizeof text, "%s", given);
    else {
        int kept = 360;
        while (kept > 0 && ((unsigned char)given[kept] & 0xc0) == 0x80) /* within a character */
            kept--;
        (void)snprintf(text, sizeof text, "%.*s ... %016llx", kept, given,
                       (unsigned long long)nxw_hash(NXW_HASH_START, given, length));
    }
    about_line(a, n, key, told, text);
}

/* What the rows rest on, in the order in which differences are told. */
static size_t about_lines(const struct nxw_sweep_identity *identity, struct about a[ABOUT_MAX])
{
    static const char *const version = "was made by another version of the program";
    static const char *const constants = "rests on another set of constants";
    static const char *const other = "holds another sweep";
    const struct nxw_plan *plan = identity->plan;
    size_t n = 0;
    char text[64];
    about_line(a, &n, "schema", version, NXW_SWEEP_SCHEMA);
    about_line(a, &n, "program_version", version, nxw_version());
    about_line(a, &n, "program_commit", version, nxw_commit());
    about_line(a, &n, "constants_version", constants, nxw_parameter_version());
    about_line(a, &n, "constants_hash", constants, nxw_parameter_hash());
    (void)snprintf(text, sizeof text, "%016llx", (unsigned long long)identity->case_hash);
    about_line(a, &n, "case_hash", "is of another case, or of the case before a change,", text);
    for (size_t i = 0; i < NXW_REPEATS_MAX; i++) {
        char key[32];
        (void)snprintf(key, sizeof key, "vary_%zu", i + 1);
        about_vary(a, &n, key, other, i < plan->n_varies ? plan->varies[i].given : "");
    }
    (void)snprintf(text, sizeof text, "%llu", (unsigned long long)plan->n_cases);
    about_line(a, &n, "cases", other, text);
    if (plan->sampled)
        (void)snprintf(text, sizeof text, "%llu", (unsigned long long)plan->seed);
    about_line(a, &n, "sample_seed", other, plan->sampled ? text : "");
    (void)snprintf(text, sizeof text, "%llu/%llu", (unsigned long long)plan->part,
                   (unsigned long long)plan->parts);
    about_line(a, &n, "part", "holds another part of the sweep", text);
    return n;
}

static enum nxw_exit refuse_foreign(const char *path, const char *told, const char *there,
                                    const char *wanted)
{
    (void)fprintf(stderr,
                  "noxwash: %s %s (%s there, %s here); nothing was changed; give another "
                  "--out, or remove it\n",
                  path, told, there[0] != '\0' ? there : "none",
                  wanted[0] != '\0' ? wanted : "none");
    return NXW_EXIT_CASE;
}

enum nxw_exit nxw_sweep_about_check(struct nxw_sweep_db *d,
                                    const struct nxw_sweep_identity *identity)
{
    struct about wanted[ABOUT_MAX];
    const size_t n = about_lines(identity, wanted);
    for (size_t i = 0; i < n; i++) {
        char there[NXW_ABOUT_VALUE];
        if (!nxw_sweep_db_about(d, wanted[i].key, there))
            return nxw_sweep_db_refuse(d, "does not tell the '%s' of its sweep", wanted[i].key);
        if (strcmp(there, wanted[i].value) != 0)
            return refuse_foreign(d->path, wanted[i].told, there, wanted[i].value);
    }
    return NXW_EXIT_DONE;
}

bool nxw_sweep_about_put(struct nxw_sweep_db *d, const struct nxw_sweep_identity *identity)
{
    struct about lines[ABOUT_MAX];
    const size_t n = about_lines(identity, lines);
    bool good = true;
    for (size_t i = 0; i < n && good; i++)
        good = nxw_sweep_db_put_about(d, lines[i].key, lines[i].value);
    good = good && nxw_sweep_db_put_about(d, "case_path", identity->case_path);
    struct nxw_cautions cautions;
    nxw_cautions_make(NULL, &cautions);
    for (size_t i = 0; i < cautions.n && good; i++) {
        char key[32];
        (void)snprintf(key, sizeof key, "caution_%zu", i + 1);
        good = nxw_sweep_db_put_about(d, key, cautions.text[i]);
    }
    return good;
}

enum nxw_exit nxw_sweep_about_same(struct nxw_sweep_db *outcome, struct nxw_sweep_db *part)
{
    static const struct nxw_plan none = {.parts = 1};
    const struct nxw_sweep_identity identity = {.plan = &none};
    struct about lines[ABOUT_MAX];
    const size_t n = about_lines(&identity, lines); /* for the keys and what is told */
    for (size_t i = 0; i < n; i++) {
        char here[NXW_ABOUT_VALUE] = "", there[NXW_ABOUT_VALUE] = "";
        const bool is_part = strcmp(lines[i].key, "part") == 0;
        if (!nxw_sweep_db_about(part, lines[i].key, there))
            return nxw_sweep_db_refuse(part, "does not tell the '%s' of its sweep", lines[i].key);
        if (!nxw_sweep_db_about(outcome, lines[i].key, here))
            return nxw_sweep_db_refuse(outcome, "does not tell the '%s' of its sweep",
                                       lines[i].key);
        if (is_part && strcmp(here, "1/1") != 0) {
            (void)fprintf(stderr,
                          "noxwash: %s is itself part %s; name the outcome first, then the parts\n",
                          outcome->path, here);
            return NXW_EXIT_CASE;
        }
        if (!is_part && strcmp(here, there) != 0) {
            (void)fprintf(stderr, "noxwash: %s %s than %s (%s there, %s here)\n", part->path,
                          lines[i].told, outcome->path, there, here);
            return NXW_EXIT_CASE;
        }
    }
    return NXW_EXIT_DONE;
}

bool nxw_sweep_about_copy(struct nxw_sweep_db *outcome, struct nxw_sweep_db *part)
{
    sqlite3_stmt *query = NULL;
    int status = sqlite3_prepare_v2(part->db, "SELECT key, value FROM about ORDER BY rowid", -1,
                                    &query, NULL);
    bool good = status == SQLITE_OK;
    while (good && (status = sqlite3_step(query)) == SQLITE_ROW) {
        const char *key = (const char *)sqlite3_column_text(query, 0);
        const char *value = (const char *)sqlite3_column_text(query, 1);
        good = key != NULL && value != NULL &&
               nxw_sweep_db_put_about(outcome, key, strcmp(key, "part") == 0 ? "1/1" : value);
    }
    good = good && status == SQLITE_DONE;
    (void)sqlite3_finalize(query);
    return good;
}
