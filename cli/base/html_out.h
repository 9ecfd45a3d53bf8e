/* HTML with nothing unescaped in it. */
#ifndef NXW_HTML_OUT_H
#define NXW_HTML_OUT_H

#include <stdio.h>

/* Head of a page with its style; the body is open afterwards. */
void nxw_html_begin(FILE *out, const char *title);
void nxw_html_end(FILE *out);

/* Text of anyone's, escaped; bytes that are not UTF-8 and control characters become U+FFFD. */
void nxw_html_text(FILE *out, const char *text);
void nxw_html_textn(FILE *out, const char *text, size_t length);

/* The same in an element that keeps its direction of writing to itself. */
void nxw_html_foreign(FILE *out, const char *text);

/* Text of the program's own: escaped, degC written as people do, a number kept with its unit. */
void nxw_html_say(FILE *out, const char *text);

/*
 * <tag ...>text</tag>, the text escaped.
 *
 * Given:    tag  with its attributes, such as "p class=note"; trusted
 */
void nxw_html_element(FILE *out, const char *tag, const char *text);
#if defined(__GNUC__)
__attribute__((format(printf, 3, 4)))
#endif
void nxw_html_elementf(FILE *out, const char *tag, const char *format, ...);

#endif
