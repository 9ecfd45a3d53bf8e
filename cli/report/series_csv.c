#include "report/series_csv.h"

#include <math.h>

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

const char *nxw_series_csv_open(struct nxw_series_csv *series, const char *path)
{
    *series = (struct nxw_series_csv){0};
    return nxw_out_file_open(&series->out, path);
}

static bool heading(struct nxw_series_csv *series)
{
    if (series->rows > 0 && !nxw_out_file_restart(&series->out))
        return false;
    series->rows = 0;
    (void)fputs("time_s,stage", series->out.file);
    for (size_t i = 0; i < N_COLUMNS; i++)
        (void)fprintf(series->out.file, ",%s", COLUMNS[i].name);
    return fputc('\n', series->out.file) != EOF;
}

bool nxw_series_csv_row(struct nxw_series_csv *series, const struct nxw_series_row *row)
{
    if (row->begins && !heading(series))
        return false;
    (void)fprintf(series->out.file, "%.10g,%zu", row->time_s, row->stage + 1);
    for (size_t i = 0; i < N_COLUMNS; i++) {
        const double value = *(const double *)(const void *)((const char *)row + COLUMNS[i].offset);
        if (isfinite(value))
            (void)fprintf(series->out.file, ",%.10g", value);
        else
            (void)fputc(',', series->out.file); /* no value: an empty field */
    }
    series->rows++;
    return fputc('\n', series->out.file) != EOF;
}

const char *nxw_series_csv_close(struct nxw_series_csv *series, bool keep)
{
    return nxw_out_file_close(&series->out, keep);
}
