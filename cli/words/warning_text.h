/* A warning as a sentence of one run: with its figures and where in the train. */
#ifndef NXW_WARNING_TEXT_H
#define NXW_WARNING_TEXT_H

#include "noxwash.h"

enum { NXW_WARNING_TEXT_LENGTH = 1600 };

/* Given: index into nxw_warning_words of a warning that the result holds. */
void nxw_warning_text(const struct nxw_case *in, const struct nxw_result *result, size_t index,
                      char out[NXW_WARNING_TEXT_LENGTH]);

#endif
