#include "case/exposure_limits.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/units.h"
#include "case/catalogue.h"

enum { SUBSTANCE, NAME, AVERAGING, PPM, MG_PER_M3, KNOWN, SOURCE, FIELDS };

static bool read_limit(char *line, struct nxw_exposure_limit *limit)
{
    char *fields[NXW_CSV_FIELDS_MAX];
    char message[NXW_MESSAGE_LENGTH];
    if (nxw_csv_split(line, fields) != FIELDS ||
        !nxw_number_read(fields[PPM], &limit->ppm, message))
        return false;
    (void)snprintf(limit->substance, sizeof limit->substance, "%s", fields[SUBSTANCE]);
    (void)snprintf(limit->name, sizeof limit->name, "%s", fields[NAME]);
    (void)snprintf(limit->averaging, sizeof limit->averaging, "%s", fields[AVERAGING]);
    (void)snprintf(limit->source, sizeof limit->source, "%s", fields[SOURCE]);
    limit->memory = strcmp(fields[KNOWN], "memory") == 0;
    return true;
}

size_t nxw_exposure_limits(struct nxw_exposure_limit out[NXW_EXPOSURE_LIMITS_MAX])
{
    size_t length = 0, n = 0;
    const char *text = nxw_embedded_text("exposure_limits.csv", &length);
    const char *end = text != NULL ? text + length : NULL;
    while (text != NULL && text < end && n < NXW_EXPOSURE_LIMITS_MAX) {
        const char *stop = memchr(text, '\n', (size_t)(end - text));
        const size_t size = (size_t)((stop != NULL ? stop : end) - text);
        char line[400];
        if (size > 0 && size < sizeof line && text[0] != '#') {
            memcpy(line, text, size);
            line[size] = '\0';
            if (read_limit(line, &out[n])) /* the head line has no number of ppm */
                n++;
        }
        text += size + 1;
    }
    return n;
}

double nxw_short_limit_ppm(const char *substance)
{
    struct nxw_exposure_limit limits[NXW_EXPOSURE_LIMITS_MAX];
    const size_t n = nxw_exposure_limits(limits);
    double lowest = (double)NAN;
    for (size_t i = 0; i < n; i++)
        if (strcmp(limits[i].substance, substance) == 0 &&
            strstr(limits[i].averaging, "15-min") != NULL && !(limits[i].ppm >= lowest))
            lowest = limits[i].ppm;
    return lowest;
}
