/* What constants rest on, and which of them no amount of a run depends on. */
#ifndef NXW_CONSTANT_KINDS_H
#define NXW_CONSTANT_KINDS_H

#include <stdbool.h>
#include <stddef.h>

/* Constants that rest on memory or judgement alone. */
size_t nxw_unproven_constants(void);

/* Marks of events and warnings, and errors of inputs: no amount of a run depends on them. */
bool nxw_constant_only_marks(const char *key);

#endif
