#include <string.h>

#include "fuzz.h"

char *nxw_fuzz_text(const uint8_t *data, size_t size)
{
    char *text = malloc(size + 1);
    if (text == NULL)
        abort();
    if (size > 0)
        memcpy(text, data, size);
    text[size] = '\0';
    return text;
}
