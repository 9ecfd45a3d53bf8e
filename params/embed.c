/*
 * Build-time: turns text files into one table of named strings.
 *
 *   embed out.c name=path ...
 */
#include <stdio.h>
#include <string.h>

int main(int argc, char **argv)
{
    if (argc < 2)
        return 2;
    FILE *out = fopen(argv[1], "w");
    if (out == NULL)
        return 1;
    (void)fputs("#include \"base/embedded_files.h\"\n", out);
    for (int i = 2; i < argc; i++) {
        const char *path = strchr(argv[i], '=');
        FILE *in = path != NULL ? fopen(path + 1, "rb") : NULL;
        if (in == NULL) {
            (void)fprintf(stderr, "embed: cannot read %s\n", argv[i]);
            return 1;
        }
        (void)fprintf(out, "static const char file_%d[] = {", i);
        for (int c = fgetc(in), n = 0; c != EOF; c = fgetc(in), n++)
            (void)fprintf(out, "%s(char)%d,", n % 12 == 0 ? "\n" : "", c);
        (void)fputs("0};\n", out);
        const int whole = !ferror(in);
        (void)fclose(in);
        if (!whole) {
            (void)fprintf(stderr, "embed: cannot read %s\n", argv[i]);
            return 1;
        }
    }
    (void)fputs("const struct nxw_embedded_file nxw_embedded_files[] = {\n", out);
    for (int i = 2; i < argc; i++) {
        const int name = (int)(strchr(argv[i], '=') - argv[i]);
        (void)fprintf(out, "    {\"%.*s\", file_%d, sizeof file_%d - 1},\n", name, argv[i], i, i);
    }
    (void)fputs("    {NULL, NULL, 0}, /* not counted */\n};\n", out);
    (void)fprintf(out, "const size_t nxw_embedded_file_count = %d;\n", argc - 2);
    const int written = !ferror(out);
    return fclose(out) == 0 && written ? 0 : 1;
}
