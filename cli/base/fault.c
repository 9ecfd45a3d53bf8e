/* The list of faults of a file; and the spelling a fault proposes. */
#include "base/tree_node.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void nxw_fault_add(struct nxw_fault_list *list, size_t line, size_t column, const char *format, ...)
{
    if (list->n == list->room) {
        const size_t room = list->room > 0 ? 2 * list->room : 16;
        struct nxw_fault *more = realloc(list->faults, room * sizeof *more);
        if (more == NULL) {
            list->out_of_memory = true;
            return;
        }
        list->faults = more;
        list->room = room;
    }
    struct nxw_fault *f = &list->faults[list->n++];
    f->line = line;
    f->column = column;
    va_list arguments;
    va_start(arguments, format);
    (void)vsnprintf(f->text, sizeof f->text, format, arguments);
    va_end(arguments);
    nxw_make_printable(f->text); /* nothing of a file steers the terminal */
}

static bool before(const struct nxw_fault *a, const struct nxw_fault *b)
{
    return a->line < b->line || (a->line == b->line && a->column < b->column);
}

void nxw_fault_list_sort(struct nxw_fault_list *list)
{
    for (size_t i = 1; i < list->n; i++) {
        const struct nxw_fault f = list->faults[i];
        size_t j = i;
        for (; j > 0 && before(&f, &list->faults[j - 1]); j--)
            list->faults[j] = list->faults[j - 1];
        list->faults[j] = f;
    }
}

void nxw_fault_list_free(struct nxw_fault_list *list)
{
    free(list->faults);
    *list = (struct nxw_fault_list){0};
}

/* Longer words are not compared. */
enum { WORD_MAX = 96 };

/* Insertions, deletions and substitutions between two words of less than WORD_MAX bytes. */
static size_t spelling_distance(const char *a, const char *b)
{
    size_t row[WORD_MAX + 1];
    const size_t n = strlen(b);
    for (size_t j = 0; j <= n; j++)
        row[j] = j;
    for (size_t i = 1; a[i - 1] != '\0'; i++) {
        size_t diagonal = row[0];
        row[0] = i;
        for (size_t j = 1; j <= n; j++) {
            const size_t substitution = diagonal + (a[i - 1] != b[j - 1]);
            diagonal = row[j];
            size_t best = row[j] + 1;
            best = row[j - 1] + 1 < best ? row[j - 1] + 1 : best;
            row[j] = substitution < best ? substitution : best;
        }
    }
    return row[n];
}

/* 'bath temprature' means 'temperature': the last word alone counts too. */
const char *nxw_nearest_word(const char *word, const char *const *candidates, size_t n)
{
    if (strlen(word) >= WORD_MAX)
        return NULL;
    const char *last = strrchr(word, ' ');
    last = last != NULL ? last + 1 : word;
    const char *best = NULL;
    size_t least = WORD_MAX;
    for (size_t i = 0; i < n; i++) {
        if (strlen(candidates[i]) >= WORD_MAX)
            continue;
        const size_t whole = spelling_distance(word, candidates[i]);
        size_t part = last != word ? spelling_distance(last, candidates[i]) + 1 : whole;
        const size_t distance = whole < part ? whole : part;
        const size_t allowed = strlen(candidates[i]) / 3 + 1;
        if (distance <= allowed && distance < strlen(candidates[i]) && distance < least) {
            least = distance;
            best = candidates[i];
        }
    }
    return best;
}
