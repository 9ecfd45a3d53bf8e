/*
 * Runs a fuzz target over files, folders of files and dictionaries: what libFuzzer once found stays
 * tested with any compiler. A name that ends in .dict is read as one: each entry is an input.
 */
#define _DEFAULT_SOURCE
#include <dirent.h>
#include <string.h>
#include <sys/stat.h>

#include "fuzz.h"

enum { LONGEST = 1 << 20 };

static size_t inputs;

static void run(const uint8_t *data, size_t size)
{
    /* exactly as long as the input, so that a byte read past its end is seen */
    uint8_t *copy = malloc(size > 0 ? size : 1);
    if (copy == NULL)
        abort();
    memcpy(copy, data, size);
    (void)LLVMFuzzerTestOneInput(copy, size);
    free(copy);
    inputs++;
}

/* "text", with \\, \" and \xHH */
static void run_entry(const char *line)
{
    uint8_t entry[1024];
    size_t n = 0;
    const char *p = strchr(line, '"');
    if (line[0] == '#' || p == NULL)
        return;
    for (p++; *p != '\0' && *p != '"' && n < sizeof entry; n++) {
        char digits[3] = {0};
        if (p[0] == '\\' && p[1] == 'x' && p[2] != '\0' && p[3] != '\0') {
            memcpy(digits, p + 2, 2);
            entry[n] = (uint8_t)strtoul(digits, NULL, 16);
            p += 4;
        } else {
            p += p[0] == '\\' && p[1] != '\0';
            entry[n] = (uint8_t)*p++;
        }
    }
    run(entry, n);
}

static void run_file(const char *path)
{
    static char text[LONGEST + 1];
    FILE *file = fopen(path, "rb");
    if (file == NULL) {
        (void)fprintf(stderr, "%s: cannot be opened\n", path);
        exit(2);
    }
    const size_t size = fread(text, 1, LONGEST, file);
    (void)fclose(file);
    const size_t n = strlen(path);
    if (n < 5 || strcmp(path + n - 5, ".dict") != 0) {
        run((const uint8_t *)text, size);
        return;
    }
    text[size] = '\0';
    for (char *line = strtok(text, "\n"); line != NULL; line = strtok(NULL, "\n"))
        run_entry(line);
}

static void run_all(const char *path)
{
    DIR *folder = opendir(path);
    if (folder == NULL) {
        run_file(path);
        return;
    }
    for (struct dirent *entry = readdir(folder); entry != NULL; entry = readdir(folder)) {
        char name[4096];
        struct stat status;
        (void)snprintf(name, sizeof name, "%s/%s", path, entry->d_name);
        if (entry->d_name[0] != '.' && stat(name, &status) == 0 && S_ISREG(status.st_mode))
            run_file(name);
    }
    (void)closedir(folder);
}

int main(int argc, char **argv)
{
    run((const uint8_t *)"", 0);
    for (int i = 1; i < argc; i++) {
        const size_t before = inputs;
        run_all(argv[i]);
        if (inputs == before) { /* an empty folder proves nothing */
            (void)fprintf(stderr, "%s: no input\n", argv[i]);
            return 2;
        }
    }
    (void)printf("%zu inputs\n", inputs);
    return 0;
}
