#include "series_csv.h"

#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

#define COLUMN(name)                                                                               \
    {                                                                                              \
#name, offsetof(struct nxw_series_row, name)                                               \
    }

static const struct {
    const char *name;
    size_t offset;
} COLUMNS[] = {
    COLUMN(fed_N_mol_s),
    COLUMN(kept_mol),
    COLUMN(nitrous_acid_mol),
    COLUMN(HOONO_mol),
    COLUMN(NO_aq_mol),
    COLUMN(NO2_aq_mol),
    COLUMN(peroxide_mol),
    COLUMN(temperature_K),
    COLUMN(liquid_m3),
    COLUMN(ice_kg),
    COLUMN(headspace_NO_fraction),
    COLUMN(headspace_NO2_fraction),
    COLUMN(headspace_HNO2_fraction),
    COLUMN(vent_NO_mol_s),
    COLUMN(vent_NO2_mol_s),
    COLUMN(vent_HNO2_mol_s),
    COLUMN(vent_HNO3_mol_s),
    COLUMN(vent_flow_mol_s),
    COLUMN(bubble_diameter_m),
    COLUMN(bubble_out_diameter_m),
};
enum { N_COLUMNS = sizeof COLUMNS / sizeof COLUMNS[0] };

bool nxw_series_csv_open(struct nxw_series_csv *series, const char *path)
{
    *series = (struct nxw_series_csv){.path = path};
    const int n = snprintf(series->temporary, sizeof series->temporary, "%s.XXXXXX", path);
    if (n < 0 || (size_t)n >= sizeof series->temporary) {
        errno = ENAMETOOLONG;
        return false;
    }
    const int descriptor = mkstemp(series->temporary);
    if (descriptor < 0)
        return false;
    const mode_t mask = umask(0);
    (void)umask(mask);
    series->file = fchmod(descriptor, 0666 & ~mask) == 0 ? fdopen(descriptor, "w") : NULL;
    if (series->file == NULL) {
        (void)close(descriptor);
        (void)unlink(series->temporary);
        return false;
    }
    (void)fputs("time_s,stage", series->file);
    for (size_t i = 0; i < N_COLUMNS; i++)
        (void)fprintf(series->file, ",%s", COLUMNS[i].name);
    return fputc('\n', series->file) != EOF;
}

bool nxw_series_csv_row(struct nxw_series_csv *series, const struct nxw_series_row *row)
{
    (void)fprintf(series->file, "%.10g,%zu", row->time_s, row->stage + 1);
    for (size_t i = 0; i < N_COLUMNS; i++) {
        const double value = *(const double *)(const void *)((const char *)row + COLUMNS[i].offset);
        if (isfinite(value))
            (void)fprintf(series->file, ",%.10g", value);
        else
            (void)fputc(',', series->file); /* no value: an empty field */
    }
    series->rows++;
    return fputc('\n', series->file) != EOF;
}

bool nxw_series_csv_close(struct nxw_series_csv *series, bool keep)
{
    bool good = ferror(series->file) == 0;
    good = fclose(series->file) == 0 && good;
    series->file = NULL;
    if (keep && good && rename(series->temporary, series->path) == 0)
        return true;
    const int reason = errno;
    (void)unlink(series->temporary);
    errno = reason;
    return !keep;
}
