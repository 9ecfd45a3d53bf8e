/* What to do when fumes break through, and how a run ends, as the arrangement of the case asks. */
#ifndef NXW_BREAKTHROUGH_H
#define NXW_BREAKTHROUGH_H

#include "noxwash.h"

/* What keeps liquid from being sucked back when the source stops. */
enum nxw_guard {
    NXW_GUARD_NONE,
    NXW_GUARD_PURGE =
        1 << 0,              /* carrier from the start on, enough of it, that outlasts the source */
    NXW_GUARD_TRAP = 1 << 1, /* empty vessels ahead of the first bottle hold all the liquid, and
                                what the run asks of them where a vessel is given */
    NXW_GUARD_DRY = 1 << 2   /* no liquid that could be sucked back */
};
unsigned nxw_guards(const struct nxw_case *in, const struct nxw_result *result);

enum { NXW_BREAKTHROUGH_LENGTH = 720 };

/*
 * What to do when fumes break through.
 *
 * Given: in, result  of the run as planned; both NULL: any arrangement, as where there is no case
 */
void nxw_breakthrough_text(const struct nxw_case *in, const struct nxw_result *result,
                           char out[NXW_BREAKTHROUGH_LENGTH]);

/* What holds off suck-back at the end of the run, for the run sheet; empty: nothing is needed. */
const char *nxw_ending_text(const struct nxw_case *in, const struct nxw_result *result);

#endif
