/* The style sheet of a page. */
#ifndef NXW_HTML_STYLE_H
#define NXW_HTML_STYLE_H

extern const char nxw_html_style[];

#endif
