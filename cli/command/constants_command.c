#include "command/constants_command.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>

#include "base/text_layout.h"
#include "base/tree.h"
#include "command/json_document.h"
#include "noxwash.h"

static const char *const KNOWN[] = {
    [NXW_KNOWN_PUBLISHED] = "published",
    [NXW_KNOWN_MEMORY] = "from memory",
    [NXW_KNOWN_COMPUTED] = "computed",
    [NXW_KNOWN_JUDGEMENT] = "judgement",
};

static void print_record(const struct nxw_parameter_record *p)
{
    char value[NXW_AMOUNT_LENGTH], low[NXW_AMOUNT_LENGTH], high[NXW_AMOUNT_LENGTH];
    char lead[80];
    nxw_number_text(p->value, 6, value);
    nxw_number_text(p->low, 6, low);
    nxw_number_text(p->high, 6, high);
    (void)snprintf(lead, sizeof lead, "%-28s ", p->key);
    (void)fprintf(stdout, "%s%s %s   range %s to %s %s   %s\n", lead, value, p->unit, low, high,
                  p->unit, KNOWN[p->known]);
    nxw_wrap(stdout, "    ", 4, p->source);
    if (p->note[0] != '\0')
        nxw_wrap(stdout, "    ", 4, p->note);
    if (p->group[0] != '\0')
        (void)fputs(strcmp(p->group, "cycle") == 0
                        ? "    in a thermodynamic cycle: what follows from it moves along\n"
                        : "    tied to H_NO2, which takes it along\n",
                    stdout);
}

static json_t *record_json(struct nxw_json *j, const struct nxw_parameter_record *p)
{
    json_t *o = nxw_json_object(j);
    nxw_json_text(j, o, "key", p->key);
    nxw_json_number(j, o, "value", p->value);
    nxw_json_text(j, o, "unit", p->unit);
    nxw_json_number(j, o, "low", p->low);
    nxw_json_number(j, o, "high", p->high);
    nxw_json_text(j, o, "group", p->group);
    nxw_json_text(j, o, "known", KNOWN[p->known]);
    nxw_json_text(j, o, "source", p->source);
    nxw_json_text(j, o, "note", p->note);
    return o;
}

static enum nxw_exit print_json(size_t first, size_t end)
{
    struct nxw_json json = {false}, *j = &json;
    json_t *root = nxw_document(j, "noxwash-constants-1"), *list = nxw_json_array(j);
    for (size_t i = first; i < end; i++)
        nxw_json_add(j, list, record_json(j, nxw_parameter_record(i)));
    nxw_json_put(j, json_object_get(root, "constants"), "records", list);
    errno = 0;
    if (nxw_json_print(j, stdout, root))
        return NXW_EXIT_DONE;
    return errno == ENOMEM ? NXW_EXIT_INTERNAL : NXW_EXIT_IO;
}

static enum nxw_exit unknown_key(const char *key)
{
    const char *words[NXW_PARAMETER_COUNT];
    for (size_t i = 0; i < nxw_parameter_count() && i < NXW_PARAMETER_COUNT; i++)
        words[i] = nxw_parameter_record(i)->key;
    const char *near = nxw_nearest_word(key, words, nxw_parameter_count());
    (void)fprintf(stderr, "noxwash: no constant is called '%s'%s%s%s\n", key,
                  near != NULL ? "; did you mean '" : "", near != NULL ? near : "",
                  near != NULL ? "'?" : "");
    return NXW_EXIT_USAGE;
}

enum nxw_exit nxw_constants_command(const struct nxw_options *options)
{
    size_t first = 0, end = nxw_parameter_count();
    if (options->n_operands == 1) {
        if (nxw_parameter_find(options->operands[0], &first) != NXW_OK)
            return unknown_key(options->operands[0]);
        end = first + 1;
    }
    if (options->json)
        return print_json(first, end);
    if (options->n_operands == 0)
        (void)fprintf(stdout, "Constants, table %s, hash %s\n\n", nxw_parameter_version(),
                      nxw_parameter_hash());
    for (size_t i = first; i < end; i++)
        print_record(nxw_parameter_record(i));
    return NXW_EXIT_DONE;
}
