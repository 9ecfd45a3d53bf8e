/* How the library says no. */
#ifndef NXW_DIAGNOSIS_H
#define NXW_DIAGNOSIS_H

#include "noxwash.h"

/* Fill a diagnosis, or none where it is NULL, and give the status back. */
#if defined(__GNUC__)
__attribute__((format(printf, 3, 4)))
#endif
enum nxw_status
nxw_refuse(struct nxw_diagnosis *diagnosis, enum nxw_status status, const char *format, ...);

/* Nothing is wrong so far. */
void nxw_diagnosis_clear(struct nxw_diagnosis *diagnosis);

#endif
