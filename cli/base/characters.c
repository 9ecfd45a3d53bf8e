#include "base/characters.h"

#include <string.h>

size_t nxw_character_length(const unsigned char *p, size_t left)
{
    if (p[0] < 0x80)
        return 1;
    const size_t n = p[0] >= 0xf0 ? 4 : p[0] >= 0xe0 ? 3 : 2;
    if (p[0] < 0xc2 || p[0] > 0xf4 || n > left)
        return 0;
    for (size_t i = 1; i < n; i++)
        if ((p[i] & 0xc0) != 0x80)
            return 0;
    if ((p[0] == 0xe0 && p[1] < 0xa0) || (p[0] == 0xed && p[1] > 0x9f) ||
        (p[0] == 0xf0 && p[1] < 0x90) || (p[0] == 0xf4 && p[1] > 0x8f))
        return 0;
    return n;
}

bool nxw_is_utf8(const char *text)
{
    size_t n = 1;
    for (size_t left = strlen(text); left > 0 && n > 0; left -= n, text += n)
        n = nxw_character_length((const unsigned char *)text, left);
    return n > 0;
}

unsigned nxw_code_point(const unsigned char *p, size_t n)
{
    static const unsigned char first[5] = {0xff, 0x7f, 0x1f, 0x0f, 0x07};
    unsigned code = p[0] & first[n];
    for (size_t i = 1; i < n; i++)
        code = code << 6 | (p[i] & 0x3fu);
    return code;
}

const char *nxw_hidden_character(const unsigned char *p, size_t n)
{
    const unsigned code = nxw_code_point(p, n);
    if (code == '\n' || code == '\r' || code == 0x2028 || code == 0x2029)
        return "a line break";
    if (code == '\t')
        return "a tab";
    if (code < 0x20 || (code >= 0x7f && code <= 0x9f))
        return "a control character";
    /* marks, embeddings, overrides and isolates of Unicode's bidirectional algorithm */
    if (n > 0 && (code == 0x061c || code == 0x200e || code == 0x200f ||
                  (code >= 0x202a && code <= 0x202e) || (code >= 0x2066 && code <= 0x2069)))
        return "a character that changes the direction of writing";
    return NULL;
}

const unsigned char *nxw_find_hidden(const char *text, const char **what)
{
    size_t left = strlen(text);
    for (const unsigned char *p = (const unsigned char *)text; left > 0;) {
        const size_t n = nxw_character_length(p, left);
        *what = nxw_hidden_character(p, n);
        if (*what != NULL)
            return p;
        p += n > 0 ? n : 1;
        left -= n > 0 ? n : 1;
    }
    *what = NULL;
    return NULL;
}

void nxw_make_printable(char *text)
{
    size_t left = strlen(text);
    for (unsigned char *p = (unsigned char *)text; left > 0;) {
        const size_t n = nxw_character_length(p, left), bytes = n > 0 ? n : 1;
        if (n == 0 || nxw_hidden_character(p, n) != NULL)
            memset(p, '?', bytes);
        p += bytes;
        left -= bytes;
    }
}
