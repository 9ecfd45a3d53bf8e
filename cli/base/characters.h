/* Characters of UTF-8, and those that no text for people may hold. */
#ifndef NXW_CHARACTERS_H
#define NXW_CHARACTERS_H

#include <stdbool.h>
#include <stddef.h>

/* Bytes of the UTF-8 character at p, 0 if it is none; left: bytes there are. */
size_t nxw_character_length(const unsigned char *p, size_t left);
bool nxw_is_utf8(const char *text);

/* The number of the UTF-8 character of n bytes at p, as in U+202E. */
unsigned nxw_code_point(const unsigned char *p, size_t n);

/*
 * What a character is that could steer a terminal or show a text in another order than it has,
 * such as "a control character"; NULL for all others. n: its bytes; 0: a byte that is none, of
 * which 0x80 to 0x9f are control characters where a terminal takes bytes as they come.
 */
const char *nxw_hidden_character(const unsigned char *p, size_t n);

/* The first such character of a text, or NULL; what: as above. */
const unsigned char *nxw_find_hidden(const char *text, const char **what);

/* Puts '?' in the place of each byte of such characters and of what is not UTF-8. */
void nxw_make_printable(char *text);

#endif
