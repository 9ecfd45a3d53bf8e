/* The one function of every fuzz target, called by libFuzzer or by replay.c. */
#ifndef NXW_FUZZ_H
#define NXW_FUZZ_H

#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* Input as a terminated text; freed by the caller. */
char *nxw_fuzz_text(const uint8_t *data, size_t size);

/* What must hold for every input, whatever assert is compiled to. */
#define MUST(condition)                                                                            \
    do {                                                                                           \
        if (!(condition)) {                                                                        \
            (void)fprintf(stderr, "%s:%d: not true: %s\n", __FILE__, __LINE__, #condition);        \
            abort();                                                                               \
        }                                                                                          \
    } while (0)

#endif
