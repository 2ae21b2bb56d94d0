/* iCalendar content lines. */
#include "tell/icalendar.h"

#define LINE_OCTETS 75u

/* The bytes of the UTF-8 sequence that begins at p, 1 where it is none. */
static size_t
sequence(const char *p, const char *end)
{
	unsigned char c = (unsigned char)*p;
	size_t len = c >= 0xf0 ? 4 : c >= 0xe0 ? 3 : c >= 0xc0 ? 2 : 1;

	return len <= (size_t)(end - p) && leat_utf8_valid(leat_span_make(p, len)) ? len : 1;
}

/* Writes a logical line, folded as late as it may be; the blank that begins a further row counts. */
static void
fold(struct leat_out *out, struct leat_span line)
{
	const char *p = line.ptr, *end = line.ptr + line.len;
	size_t used = 0;

	while (p < end) {
		size_t len = sequence(p, end);

		if (used + len > LINE_OCTETS) {
			leat_out_text(out, "\r\n ");
			used = 1;
		}
		leat_out_bytes(out, p, len);
		used += len;
		p += len;
	}
	leat_out_text(out, "\r\n");
}

static int
escape(struct leat_buf *line, struct leat_span text)
{
	const char *p = text.ptr, *end = text.ptr + text.len;

	while (p < end) {
		size_t len = sequence(p, end);
		const char *as = NULL;

		if (len == 1 && (*p == '\\' || *p == ';' || *p == ','))
			as = *p == '\\' ? "\\\\" : *p == ';' ? "\\;" : "\\,";
		else if (len == 1 && *p == '\n')
			as = "\\n";
		else if (len == 1 && *p != '\t' && ((unsigned char)*p < 0x20 || (unsigned char)*p >= 0x7f))
			as = "?";
		if (leat_buf_add(line, as != NULL ? as : p, as != NULL ? strlen(as) : len) != 0)
			return -1;
		p += len;
	}
	return 0;
}

void
leat_ical_line(struct leat_out *out, const char *name, const char *value)
{
	leat_out_text(out, name);
	leat_out_char(out, ':');
	leat_out_text(out, value);
	leat_out_text(out, "\r\n");
}

int
leat_ical_text(struct leat_out *out, const char *name, struct leat_span text)
{
	struct leat_buf line = { 0 };
	int result = leat_buf_printf(&line, "%s:", name) != 0 || escape(&line, text) != 0 ? -1 : 0;

	if (result == 0)
		fold(out, leat_buf_span(&line));
	leat_buf_free(&line);
	return result;
}

void
leat_ical_begin(struct leat_out *out, const char *product)
{
	leat_ical_line(out, "BEGIN", "VCALENDAR");
	leat_ical_line(out, "VERSION", "2.0");
	leat_ical_line(out, "PRODID", product);
	leat_ical_line(out, "CALSCALE", "GREGORIAN");
}

void
leat_ical_end(struct leat_out *out)
{
	leat_ical_line(out, "END", "VCALENDAR");
}

void
leat_ical_date(struct leat_out *out, const char *name, int64_t day)
{
	int year, month, of_month;
	char text[64];

	leat_civil_from_days(day, &year, &month, &of_month);
	leat_out_text(out, name);
	snprintf(text, sizeof(text), "%04d%02d%02d", year, month, of_month);
	leat_ical_line(out, ";VALUE=DATE", text);
}

void
leat_ical_time(struct leat_out *out, const char *name, struct leat_time t)
{
	struct leat_civil c = leat_civil_from_time(t, 0);
	char text[96];

	snprintf(text, sizeof(text), "%04d%02d%02dT%02d%02d%02dZ", c.year, c.month, c.day, c.hour, c.minute, c.second);
	leat_ical_line(out, name, text);
}
