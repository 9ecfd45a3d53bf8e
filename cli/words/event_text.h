/* An event of a run as a line for people. */
#ifndef NXW_EVENT_TEXT_H
#define NXW_EVENT_TEXT_H

#include "noxwash.h"

enum { NXW_EVENT_TEXT_LENGTH = 160 };

/* "the liquid is at its hottest, 31.2 degC (stage 2)"; false: not worth telling. */
bool nxw_event_text(const struct nxw_case *in, const struct nxw_event *event,
                    char out[NXW_EVENT_TEXT_LENGTH]);

#endif
