/* What the blend command does, one task to a file. */
#ifndef NXW_BLEND_REPORT_H
#define NXW_BLEND_REPORT_H

#include "base/json_out.h"
#include "case/blend_part.h"
#include "command/options.h"

/* Acid up to here goes for weak: in place of water in a bottle, and beside peroxide; judgement. */
#define NXW_WEAK_ACID_MOST 0.40

/* A fault of an option, or of a value out of range. */
enum nxw_exit nxw_blend_fault(const char *option, const char *message);
enum nxw_exit nxw_blend_outside(const char *message);

/* The beginning and the end that all documents share; nxw_blend_finish tells the exit code. */
json_t *nxw_blend_head(struct nxw_json *j, const char *task);
enum nxw_exit nxw_blend_finish(struct nxw_json *j, json_t *root);

enum nxw_exit nxw_blend_mix(const struct nxw_options *options);      /* --part */
enum nxw_exit nxw_blend_peroxide(const struct nxw_options *options); /* --peroxide */
enum nxw_exit nxw_blend_next(const struct nxw_options *options);     /* --next-bottle */

#endif
