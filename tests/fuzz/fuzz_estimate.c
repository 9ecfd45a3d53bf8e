/*
 * Runs of random valid cases: the bytes are the draws. Short trains, so that many are tried. A
 * result is finite and adds up; without one there is a sentence and no figure. How many cases have
 * none is the business of campaign_random.
 */
#include <math.h>

#include "fuzz.h"
#include "noxwash.h"

static const uint8_t *at;
static size_t left;

static double uniform(double low, double high)
{
    unsigned value = 0;
    for (int i = 0; i < 2 && left > 0; i++, left--)
        value = value << 8 | *at++;
    return low + (high - low) * (double)value / 65536.0;
}

static double logarithmic(double low, double high)
{
    return low * pow(high / low, uniform(0.0, 1.0));
}

#include "amounts.h"
#include "wide_case.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static struct nxw_result r;
    at = data;
    left = size;
    struct nxw_case c = wide_case();
    c.n_stages = 1 + c.n_stages % 2;
    const enum nxw_status status = nxw_estimate(&c, NULL, NULL, &r);
    MUST(status >= 0 || r.diagnosis.text[0] != '\0');
    MUST(status >= 0 || (isnan(r.kept_mol) && isnan(r.escaped_mol) && r.n_events == 0));
    if (status >= 0) {
        MUST(fabs(r.nitrogen_closure) * r.fed_mol <= 1e-6 * moved_mol(&r));
        MUST(isfinite(r.escaped_mol) && isfinite(r.kept_mol) && isfinite(r.held_mol));
    }
    return 0;
}
