/* SVG by small pieces. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "tell/picture_private.h"

void
svg_number(struct leat_out *out, double value)
{
	char text[32];
	long tenths;
	int len;

	if (!(fabs(value) < 1e6))
		value = value > 0 ? 1e6 : value < 0 ? -1e6 : 0;
	tenths = lround(value * 10);
	len = snprintf(text, sizeof(text), "%s%ld", tenths < 0 ? "-" : "", labs(tenths) / 10);
	if (labs(tenths) % 10 != 0)
		len += snprintf(text + len, sizeof(text) - (size_t)len, ".%ld", labs(tenths) % 10);
	leat_out_bytes(out, text, (size_t)len);
}

static void
attribute(struct leat_out *out, const char *name, double value)
{
	leat_out_char(out, ' ');
	leat_out_text(out, name);
	leat_out_text(out, "=\"");
	svg_number(out, value);
	leat_out_char(out, '"');
}

static void
word(struct leat_out *out, const char *name, const char *value)
{
	leat_out_char(out, ' ');
	leat_out_text(out, name);
	leat_out_text(out, "=\"");
	leat_out_text(out, value);
	leat_out_char(out, '"');
}

/* The code point at the head of text and its length; a byte that is no UTF-8 is U+FFFD of length 1. */
static uint32_t
code_point(struct leat_span text, size_t *len)
{
	const unsigned char *p = (const unsigned char *)text.ptr;

	for (*len = 1; *len <= 4 && *len <= text.len; ++*len) {
		if (!leat_utf8_valid(leat_span_make(text.ptr, *len)))
			continue;
		switch (*len) {
		case 1:
			return p[0];
		case 2:
			return (p[0] & 0x1fu) << 6 | (p[1] & 0x3fu);
		case 3:
			return (p[0] & 0x0fu) << 12 | (p[1] & 0x3fu) << 6 | (p[2] & 0x3fu);
		default:
			return (p[0] & 0x07u) << 18 | (p[1] & 0x3fu) << 12 | (p[2] & 0x3fu) << 6 | (p[3] & 0x3fu);
		}
	}
	*len = 1;
	return 0xfffd;
}

void
svg_escape(struct leat_out *out, struct leat_span text)
{
	while (text.len > 0) {
		size_t len;
		uint32_t c = code_point(text, &len);

		if (c == '&')
			leat_out_text(out, "&amp;");
		else if (c == '<')
			leat_out_text(out, "&lt;");
		else if (c == '>')
			leat_out_text(out, "&gt;");
		else if (c == '"')
			leat_out_text(out, "&quot;");
		else if (c == '\'')
			leat_out_text(out, "&#39;");
		else if (c == '\n' || c == '\r' || c == '\t' || c == 0x1f)
			leat_out_char(out, ' ');
		/* What XML 1.0 (section 2.2) has no place for is among what disturbs. */
		else if (c == 0xfffd || leat_utf8_disturbs(leat_span_make(text.ptr, len)))
			leat_out_char(out, '?');
		else
			leat_out_bytes(out, text.ptr, len);
		text = leat_span_make(text.ptr + len, text.len - len);
	}
}

void
svg_line(struct leat_out *out, double x1, double y1, double x2, double y2, const char *stroke, double width,
    const char *dash)
{
	leat_out_text(out, "<line");
	attribute(out, "x1", x1);
	attribute(out, "y1", y1);
	attribute(out, "x2", x2);
	attribute(out, "y2", y2);
	word(out, "stroke", stroke);
	attribute(out, "stroke-width", width);
	if (dash != NULL)
		word(out, "stroke-dasharray", dash);
	leat_out_text(out, "/>\n");
}

void
svg_rect(struct leat_out *out, double x, double y, double width, double height, const char *fill)
{
	leat_out_text(out, "<rect");
	attribute(out, "x", x);
	attribute(out, "y", y);
	attribute(out, "width", width);
	attribute(out, "height", height);
	word(out, "fill", fill);
	leat_out_text(out, "/>\n");
}

void
svg_text(struct leat_out *out, double x, double y, double size, enum svg_anchor anchor, const char *fill, bool bold,
    struct leat_span text)
{
	if (text.len == 0)
		return;
	leat_out_text(out, "<text");
	attribute(out, "x", x);
	attribute(out, "y", y);
	attribute(out, "font-size", size);
	if (anchor != SVG_START)
		word(out, "text-anchor", anchor == SVG_END ? "end" : "middle");
	word(out, "fill", fill);
	if (bold)
		word(out, "font-weight", "bold");
	leat_out_char(out, '>');
	svg_escape(out, text);
	leat_out_text(out, "</text>\n");
}

/* Thousandths of the size: widths of a wide sans-serif face, so that narrower ones have room to spare. */
static unsigned
advance(uint32_t c)
{
	if (c >= 0x300 && c <= 0x36f)
		return 0;
	if (c >= 0x1100)
		return c < 0x2000 ? 1000 : c < 0x2070 ? 900 : c < 0x2100 ? 600 : 1000;
	if (c >= 128)
		return 750;
	if (c < 33 || strchr("ijl.,:;'|!", (int)c) != NULL)
		return 340;
	if (strchr("ftr()[]/-\"", (int)c) != NULL)
		return 420;
	if (strchr("mwMW%@", (int)c) != NULL)
		return 1000;
	return c >= 'A' && c <= 'Z' ? 740 : 640;
}

double
svg_width(struct leat_span text, double size, bool bold)
{
	double sum = 0;

	while (text.len > 0) {
		size_t len;

		sum += advance(code_point(text, &len));
		text = leat_span_make(text.ptr + len, text.len - len);
	}
	return sum * size / 1000 * (bold ? 1.1 : 1);
}

struct leat_span
svg_cut(struct leat_buf *buf, struct leat_span text, double size, bool bold, double width)
{
	struct leat_span points = LEAT_SPAN("..."), rest = text;
	double room = width - svg_width(points, size, bold);

	if (svg_width(text, size, bold) <= width)
		return text;
	while (rest.len > 0) {
		size_t len;
		double next;

		code_point(rest, &len);
		next = svg_width(leat_span_make(rest.ptr, len), size, bold);
		if (next > room)
			break;
		room -= next;
		rest = leat_span_make(rest.ptr + len, rest.len - len);
	}
	leat_buf_reset(buf);
	if (leat_buf_add(buf, text.ptr, text.len - rest.len) != 0 || leat_buf_add_span(buf, points) != 0)
		return points;
	return leat_buf_span(buf);
}

struct leat_span
svg_row(struct leat_span *rest, double size, bool bold, double width)
{
	struct leat_span text = leat_span_trim(*rest);
	size_t len = 0;

	while (len < text.len) {
		size_t next = len + (len > 0), word = leat_span_find(leat_span_make(text.ptr + next, text.len - next), ' ');

		if (len > 0 && svg_width(leat_span_make(text.ptr, next + word), size, bold) > width)
			break;
		len = next + word;
	}
	*rest = leat_span_trim(leat_span_make(text.ptr + len, text.len - len));
	return leat_span_make(text.ptr, len);
}
