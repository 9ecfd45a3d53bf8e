/* The library from a program of one's own: C, and C++ as it stands. */
#include <noxwash.h>

#include <math.h>
#include <stdio.h>

/* Called as the run goes on; false cancels it. */
static bool before(const struct nxw_series_row *row, void *limit_s)
{
    return row->time_s < *(const double *)limit_s;
}

int main(void)
{
    static struct nxw_case bench;
    static struct nxw_result result;
    double limit_s = 300.0;
    nxw_case_init(&bench);
    bench.source.kind = NXW_SOURCE_METERED;
    bench.source.shape = NXW_SHAPE_STEADY;
    bench.source.duration_s = 600.0;
    bench.source.flow_mol_s = 1.4e-4; /* 0.2 L/min */
    bench.source.NO2_fraction = 0.05;
    bench.source.O2_fraction = 0.19;
    bench.standing_s = 0.0;

    const enum nxw_status cancelled = nxw_estimate(&bench, before, &limit_s, &result);
    const enum nxw_status status = nxw_estimate(&bench, NULL, NULL, &result);
    if (status < 0 || result.bytes != sizeof result) {
        (void)fprintf(stderr, "%s: %s\n", nxw_status_text(status), result.diagnosis.text);
        return 1;
    }
    /* 0.05 x 1.4e-4 mol/s over 600 s = 4.2 mmol; the rise and the fall of the flow: 1 in 1000 */
    (void)printf("noxwash %s: fed %.6f mol, kept %.1f %%, escaped %.1f %%; before that: %s\n",
                 nxw_version(), result.fed_mol, 100.0 * result.kept_mol / result.fed_mol,
                 100.0 * result.escaped_mol / result.fed_mol, nxw_status_text(cancelled));
    return fabs(result.fed_mol - 4.2e-3) < 4.2e-6 && fabs(result.nitrogen_closure) < 1e-4 ? 0 : 1;
}
