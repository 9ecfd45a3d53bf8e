/*
 * Layer (a): the tests of hostile numbers leave nothing of noxwash.h out. A function that is
 * declared and not asked, or a member of a struct that comes in and not tried, fails.
 */
#include <ctype.h>

#include "../hostile.h"

static const char *const FUNCTIONS[] = {
#define NAME(function) #function,
    HOSTILE_CASES(NAME) HOSTILE_FIGURES(NAME) HOSTILE_READINGS(NAME)
#undef NAME
};

/* The header without its comments. */
static char *header(void)
{
    static char text[200000];
    FILE *file = fopen(NXW_SOURCE_DIR "/model/noxwash.h", "r");
    assert_non_null(file);
    const size_t length = fread(text, 1, sizeof text - 1, file);
    (void)fclose(file);
    assert_true(length > 1000 && length < sizeof text - 1);
    text[length] = '\0';
    for (char *from = strstr(text, "/*"); from != NULL; from = strstr(from, "/*")) {
        char *end = strstr(from, "*/");
        assert_non_null(end);
        memset(from, ' ', (size_t)(end + 2 - from));
    }
    return text;
}

static bool is_covered(const char *name, size_t length)
{
    for (size_t i = 0; i < COUNT(FUNCTIONS); i++)
        if (strlen(FUNCTIONS[i]) == length && strncmp(FUNCTIONS[i], name, length) == 0)
            return true;
    return false;
}

static bool is_letter(char c) { return isalnum((unsigned char)c) || c == '_'; }

/* Every function that is declared is asked here, and nothing else is. */
static void every_function_is_asked(void **state)
{
    (void)state;
    const char *text = header();
    size_t declared = 0;
    bool good = true;
    for (const char *at = strstr(text, "nxw_"); at != NULL; at = strstr(at + 1, "nxw_")) {
        size_t length = 0;
        while (is_letter(at[length]))
            length++;
        const char *line = at;
        while (line > text && line[-1] != '\n')
            line--;
        if (is_letter(at[-1]) || at[length] != '(' || strncmp(line, "typedef", 7) == 0)
            continue;
        declared++;
        if (!is_covered(at, length))
            print_error("not asked here: %.*s\n", (int)length, at);
        good = good && is_covered(at, length);
    }
    assert_true(good);
    assert_int_equal(declared, COUNT(FUNCTIONS));
}

/* Every numeric member, kind and flag of the structs that come in stands in MEMBERS. */
static void every_member_is_tried(void **state)
{
    (void)state;
    const char *text = header();
    bool good = true;
    size_t seen = 0;
    for (size_t s = 0; s < COUNT(STRUCTS); s++) {
        char head[64], line[400];
        (void)snprintf(head, sizeof head, "struct %s {", STRUCTS[s]);
        const char *at = strstr(text, head);
        assert_non_null(at);
        at += strlen(head);
        for (const char *end = strstr(at, "};"); at < end; at += strcspn(at, ";") + 1) {
            (void)snprintf(line, sizeof line, "%.*s", (int)strcspn(at, ";"), at);
            char *word = line + strspn(line, " \n");
            if (strncmp(word, "double ", 7) != 0 && strncmp(word, "size_t ", 7) != 0 &&
                strncmp(word, "bool ", 5) != 0 && strncmp(word, "enum ", 5) != 0)
                continue; /* a name, a pointer or another struct of this list */
            word += strcspn(word, " ") + 1;
            if (strncmp(word, "nxw_", 4) == 0)
                word += strcspn(word, " ") + 1;
            for (word = strtok(word, ", \n"); word != NULL; word = strtok(NULL, ", \n")) {
                char name[128];
                bool found = false;
                (void)snprintf(name, sizeof name, "%s.%s", STRUCTS[s], word);
                for (size_t m = 0; m < COUNT(MEMBERS); m++)
                    found = found || strcmp(MEMBERS[m].name, name) == 0;
                if (!found)
                    print_error("not tried here: %s\n", name);
                good = good && found;
                seen++;
            }
        }
    }
    assert_true(good);
    assert_int_equal(seen, COUNT(MEMBERS));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_function_is_asked),
        cmocka_unit_test(every_member_is_tried),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
