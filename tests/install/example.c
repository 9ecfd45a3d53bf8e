/* The library from a program of one's own: C, and C++ as it stands. */
#include <math.h>
#include <noxwash.h>
#include <stdio.h>

/* Called as the run goes on; false cancels it. */
static bool before(const struct nxw_series_row *row, void *limit_s)
{
    return row->time_s < *(const double *)limit_s;
}

int main(void)
{
    static struct nxw_case bench; /* large: not on a small stack */
    static struct nxw_result result;
    double limit_s = 300.0;
    nxw_case_init(&bench);
    bench.source.kind = NXW_SOURCE_METERED;
    bench.source.duration_s = 600.0;
    bench.source.flow_mol_s = 1.4e-4; /* 0.2 L/min */
    bench.source.NO2_fraction = 0.05;
    bench.source.O2_fraction = 0.19; /* 0.05 x 1.4e-4 mol/s x 600 s = 4.2 mmol NO2 */
    const enum nxw_status cancelled = nxw_estimate(&bench, before, &limit_s, &result);
    const enum nxw_status status = nxw_estimate(&bench, NULL, NULL, &result);
    if (status < 0 || result.bytes != sizeof result)
        return fprintf(stderr, "%s: %s\n", nxw_status_text(status), result.diagnosis.text), 1;
    printf("noxwash %s: fed %.6f mol, kept %.1f %%; before that: %s\n", nxw_version(),
           result.fed_mol, 100.0 * result.kept_mol / result.fed_mol, nxw_status_text(cancelled));
    return fabs(result.nitrogen_closure) < 1e-4 ? 0 : 1;
}
