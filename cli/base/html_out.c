#include "base/html_out.h"

#include <stdarg.h>
#include <stdbool.h>
#include <string.h>

#include "base/html_style.h"

static const char REPLACEMENT[] = "\xef\xbf\xbd"; /* U+FFFD */

/* Length of the UTF-8 sequence at text, 0 when it is none; its code point. */
static size_t decode(const unsigned char *text, size_t length, unsigned long *code)
{
    static const struct {
        unsigned char mask, lead;
        unsigned long least; /* less is written too long */
    } forms[] = {{0x80, 0x00, 0}, {0xe0, 0xc0, 0x80}, {0xf0, 0xe0, 0x800}, {0xf8, 0xf0, 0x10000}};
    for (size_t n = 1; n <= 4; n++) {
        if ((text[0] & forms[n - 1].mask) != forms[n - 1].lead)
            continue;
        if (n > length)
            return 0;
        *code = text[0] & (unsigned char)~forms[n - 1].mask;
        for (size_t i = 1; i < n; i++) {
            if ((text[i] & 0xc0) != 0x80)
                return 0;
            *code = *code << 6 | (text[i] & 0x3fu);
        }
        const bool surrogate = *code >= 0xd800 && *code <= 0xdfff;
        return *code >= forms[n - 1].least && *code <= 0x10ffff && !surrogate ? n : 0;
    }
    return 0;
}

static const char *escape(unsigned long code)
{
    switch (code) {
    case '&':
        return "&amp;";
    case '<':
        return "&lt;";
    case '>':
        return "&gt;";
    case '"':
        return "&quot;";
    case '\'':
        return "&#39;";
    case '\n':
    case '\t':
        return NULL;
    default: /* C0, DEL, C1 and the noncharacters have no place in HTML */
        return code < 0x20 || (code >= 0x7f && code < 0xa0) || (code & 0xfffe) == 0xfffe ||
                       (code >= 0xfdd0 && code <= 0xfdef)
                   ? REPLACEMENT
                   : NULL;
    }
}

void nxw_html_textn(FILE *out, const char *text, size_t length)
{
    const unsigned char *at = (const unsigned char *)text;
    while (length > 0) {
        unsigned long code = 0;
        const size_t n = decode(at, length, &code);
        const char *instead = n == 0 ? REPLACEMENT : escape(code);
        if (instead != NULL)
            (void)fputs(instead, out);
        else
            (void)fwrite(at, 1, n, out);
        at += n == 0 ? 1 : n;
        length -= n == 0 ? 1 : n;
    }
}

void nxw_html_text(FILE *out, const char *text) { nxw_html_textn(out, text, strlen(text)); }

void nxw_html_foreign(FILE *out, const char *text)
{
    (void)fputs("<bdi class=\"foreign\">", out);
    nxw_html_text(out, text);
    (void)fputs("</bdi>", out);
}

void nxw_html_say(FILE *out, const char *text)
{
    const char *from = text;
    for (const char *at = text; *at != '\0'; at++) {
        const bool degrees = strncmp(at, "degC", 4) == 0;
        const bool after_digit = at > text && *at == ' ' && at[-1] >= '0' && at[-1] <= '9';
        if (!degrees && !after_digit)
            continue;
        nxw_html_textn(out, from, (size_t)(at - from));
        (void)fputs(degrees ? "&deg;C" : "&nbsp;", out); /* a number stays with its unit */
        at += degrees ? 3 : 0;
        from = at + 1;
    }
    nxw_html_text(out, from);
}

void nxw_html_element(FILE *out, const char *tag, const char *text)
{
    (void)fprintf(out, "<%s>", tag);
    nxw_html_say(out, text);
    (void)fprintf(out, "</%.*s>\n", (int)strcspn(tag, " "), tag);
}

void nxw_html_elementf(FILE *out, const char *tag, const char *format, ...)
{
    char text[2048];
    va_list arguments;
    va_start(arguments, format);
    (void)vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    nxw_html_element(out, tag, text);
}

void nxw_html_begin(FILE *out, const char *title)
{
    (void)fputs("<!DOCTYPE html>\n<html lang=\"en-GB\">\n<head>\n<meta charset=\"utf-8\">\n"
                "<meta name=\"viewport\" content=\"width=device-width,initial-scale=1\">\n"
                "<title>",
                out);
    nxw_html_text(out, title);
    (void)fprintf(out, "</title>\n<style>\n%s</style>\n</head>\n<body>\n", nxw_html_style);
}

void nxw_html_end(FILE *out) { (void)fputs("</body>\n</html>\n", out); }
