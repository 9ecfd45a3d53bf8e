/*
 * Answers questions of the outside judges, one a line, with 17 digits:
 *     quantity NAME [INPUT ...]    a quantity by its name, SI
 *     unit TEXT|SI                 factor and offset of a unit of the published values
 *     constant NAME                of nature
 *     chi_square X DEGREES         chance of so much or more
 *     curve AT X Y X Y X Y ...     the monotone curve through rows, and its slope
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/constants_of_nature.h"
#include "base/curve.h"
#include "noxwash.h"
#include "selftest/published_units.h"
#include "selftest/quantity.h"

static int quantity(char *rest)
{
    double inputs[NXW_QUANTITY_INPUTS_MAX], value;
    size_t n = 0;
    const char *name = strtok(rest, " ");
    for (const char *p = strtok(NULL, " "); p != NULL && n < NXW_QUANTITY_INPUTS_MAX;
         p = strtok(NULL, " ")) {
        char *end = NULL;
        inputs[n++] = strtod(p, &end);
        if (*end != '\0')
            return 1;
    }
    if (name == NULL || nxw_quantity(name, n, inputs, &value) != NXW_OK)
        return 1;
    return printf("%.17g\n", value) < 0;
}

static int unit(char *rest)
{
    char *bar = strchr(rest, '|');
    if (bar == NULL)
        return 1;
    *bar = '\0';
    const struct nxw_published_unit *u = nxw_published_unit(rest, bar + 1);
    return u == NULL || printf("%.17g %.17g\n", u->factor, u->offset) < 0;
}

static int constant(const char *name)
{
    static const struct {
        const char *name;
        double value;
    } constants[] = {{"pi", NXW_PI},
                     {"R", NXW_GAS_CONSTANT},
                     {"g", NXW_GRAVITY_M_S2},
                     {"atm", NXW_ATMOSPHERE_PA}};
    for (size_t i = 0; i < sizeof constants / sizeof constants[0]; i++)
        if (strcmp(name, constants[i].name) == 0)
            return printf("%.17g\n", constants[i].value) < 0;
    return 1;
}

static int chi_square(const char *rest)
{
    double x;
    unsigned degrees;
    if (sscanf(rest, "%lf %u", &x, &degrees) != 2)
        return 1;
    return printf("%.17g\n", nxw_chi_square_tail(x, degrees)) < 0;
}

static int curve(char *rest)
{
    double number[64], slope;
    size_t n = 0;
    for (char *p = strtok(rest, " "); p != NULL && n < 64; p = strtok(NULL, " ")) {
        char *end = NULL;
        number[n++] = strtod(p, &end);
        if (*end != '\0')
            return 1;
    }
    if (n < 7) /* three rows at least */
        return 1;
    double x[32], y[32];
    const size_t rows = (n - 1) / 2;
    for (size_t i = 0; i < rows; i++) {
        x[i] = number[1 + 2 * i];
        y[i] = number[2 + 2 * i];
    }
    const double value = nxw_curve_monotone(x, y, rows, number[0], &slope);
    return printf("%.17g %.17g\n", value, slope) < 0;
}

int main(void)
{
    char line[1000];
    while (fgets(line, sizeof line, stdin) != NULL) {
        line[strcspn(line, "\n")] = '\0';
        char *rest = strchr(line, ' ');
        if (rest == NULL)
            return 1;
        *rest++ = '\0';
        const int bad = strcmp(line, "quantity") == 0     ? quantity(rest)
                        : strcmp(line, "unit") == 0       ? unit(rest)
                        : strcmp(line, "constant") == 0   ? constant(rest)
                        : strcmp(line, "chi_square") == 0 ? chi_square(rest)
                        : strcmp(line, "curve") == 0      ? curve(rest)
                                                          : 1;
        if (bad) {
            fprintf(stderr, "no answer: %s %s\n", line, rest);
            return 1;
        }
    }
    return 0;
}
