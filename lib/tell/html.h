/*
 * HTML: the text of anybody, made safe.
 */
#ifndef LEAT_TELL_HTML_H
#define LEAT_TELL_HTML_H

#include "base/mem.h"

/* Adds text as the content of an element or of a quoted attribute: & < > " ' become references, what disturbs
 * (leat_utf8_disturbs) and malformed UTF-8 '?', line ends and tabs blanks, and LEAT_TEXT_GLUE (tell/text.h) a no-break blank.
 * 0, or -1 when memory is out. */
int leat_html_text(struct leat_buf *buf, struct leat_span text) LEAT_MUST_USE;

#endif
