/* What a case file cannot get wrong, but a caller who fills the struct can. */
#ifndef NXW_CASE_NUMBERS_H
#define NXW_CASE_NUMBERS_H

#include "noxwash.h"

/*
 * Kinds that are none of their enum, and numbers that a file is held to by its reader.
 *
 * Given:    in         with n_stages and n_rows within their bounds
 *           diagnosis  or NULL
 * Status:   NXW_OK; NXW_ERROR_CASE with path and sentence
 */
enum nxw_status nxw_case_numbers_check(const struct nxw_case *in, struct nxw_diagnosis *diagnosis);

#endif
