/* HTML: references for what the language takes for itself. */
#include "tell/html.h"

#include "tell/text.h"

/* The bytes of the well-formed character at the head of text, or 0. */
static size_t
character(struct leat_span text)
{
	for (size_t len = 1; len <= 4 && len <= text.len; len++)
		if (leat_utf8_valid(leat_span_make(text.ptr, len)))
			return len;
	return 0;
}

/* What stands for that byte, or NULL: itself. */
static const char *
reference(char c)
{
	switch (c) {
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
	case '\r':
	case '\t':
		return " ";
	default:
		return c == LEAT_TEXT_GLUE[0] ? "&nbsp;" : NULL;
	}
}

int
leat_html_text(struct leat_buf *buf, struct leat_span text)
{
	while (text.len > 0) {
		size_t len = character(text);
		const char *other = len == 1 ? reference(text.ptr[0]) : NULL;

		if (other == NULL && (len == 0 || leat_utf8_disturbs(leat_span_make(text.ptr, len))))
			other = "?";
		if (other != NULL ? leat_buf_add(buf, other, strlen(other)) != 0 : leat_buf_add(buf, text.ptr, len) != 0)
			return -1;
		len = len == 0 ? 1 : len;
		text = leat_span_make(text.ptr + len, text.len - len);
	}
	return 0;
}
