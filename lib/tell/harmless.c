/*
 * Findings as CSV for a spreadsheet.
 */
#include "tell/harmless.h"

#include <stdio.h>

#include "base/number.h"

/* Signs by which spreadsheets know a formula, in their full width (U+FF1D, U+FF0B, U+FF0D, U+FF20). */
static const char *const full_width[] = { "\xef\xbc\x9d", "\xef\xbc\x8b", "\xef\xbc\x8d", "\xef\xbc\xa0" };

static bool
begins_formula(struct leat_span text)
{
	if (text.len == 0)
		return false;
	if (text.ptr[0] != '\0' && strchr("=+-@\t\r\n", text.ptr[0]) != NULL)
		return true;
	for (size_t i = 0; i < sizeof(full_width) / sizeof(full_width[0]); i++) {
		if (leat_span_starts(text, full_width[i]))
			return true;
	}
	return false;
}

/* Where the piece at the head of text ends. */
static size_t
piece(struct leat_span text)
{
	size_t i = 0;

	while (i < text.len && strchr(",;\t\"", text.ptr[i]) == NULL)
		i++;
	return i;
}

/* The bytes of a blank at the head that does not show, or that a program may pass over: also no-break and ideographic blanks,
 * those of no width, and a byte order mark. */
static size_t
blank(struct leat_span text)
{
	static const char *const blanks[] = { " ", "\xc2\xa0", "\xe3\x80\x80", "\xe2\x80\x8b", "\xe2\x81\xa0", "\xef\xbb\xbf" };

	for (size_t i = 0; i < sizeof(blanks) / sizeof(blanks[0]); i++) {
		if (leat_span_starts(text, blanks[i]))
			return strlen(blanks[i]);
	}
	return 0;
}

/* Is it to be kept from being run?  cell: from the mark before it to the mark behind it. */
static bool
is_harmful(struct leat_span cell)
{
	struct leat_span inner = cell;
	double number;
	size_t n;

	while ((n = blank(inner)) > 0)
		inner = leat_span_make(inner.ptr + n, inner.len - n);
	if (!begins_formula(inner))
		return false;
	inner = leat_span_trim(inner);
	return !leat_span_is(inner, "-") && leat_double_parse(inner, &number) != 0;
}

int
leat_harmless_field(struct leat_buf *buf, struct leat_span text)
{
	if (leat_buf_add(buf, "\"", 1) != 0)
		return -1;
	for (;;) {
		struct leat_span cell = leat_span_make(text.ptr, piece(text));

		/* A TAB parts pieces and is harmful itself. */
		if ((is_harmful(cell) || (cell.len == 0 && text.len > 0 && text.ptr[0] == '\t')) && leat_buf_add(buf, "'", 1) != 0)
			return -1;
		if (cell.len > 0 && leat_buf_add_span(buf, cell) != 0)
			return -1;
		if (cell.len == text.len)
			break;
		if (leat_buf_add(buf, "\"\"", text.ptr[cell.len] == '"' ? 2 : 0) != 0)
			return -1;
		if (text.ptr[cell.len] != '"' && leat_buf_add(buf, text.ptr + cell.len, 1) != 0)
			return -1;
		text = leat_span_make(text.ptr + cell.len + 1, text.len - cell.len - 1);
	}
	return leat_buf_add(buf, "\"", 1);
}

static int
add_time(struct leat_buf *buf, struct leat_time t)
{
	char text[LEAT_TIME_MAX];

	if (leat_time_is_none(t))
		return leat_buf_add(buf, ",", 1);
	return leat_buf_add(buf, text, leat_time_write(text, t)) != 0 ? -1 : leat_buf_add(buf, ",", 1);
}

static int
add_texts(struct leat_buf *buf, const struct leat_span *text, size_t count)
{
	for (size_t i = 0; i < count; i++) {
		if ((text[i].len > 0 && leat_harmless_field(buf, text[i]) != 0) || leat_buf_add(buf, ",", 1) != 0)
			return -1;
	}
	return 0;
}

/* One row; each field adds the comma behind it, and the last becomes the line end. */
static int
add_row(struct leat_buf *buf, const struct leat_finding *f, bool further)
{
	const struct leat_span name[] = { f->asset, f->point, f->rule, leat_span_of(leat_status_name(f->status)), f->value, f->unit,
		f->limit };
	const struct leat_time time[] = { f->since, f->until, f->due, f->shelved };
	const struct leat_span last[] = { f->message, f->explains, f->per_day_low, f->per_day_high, f->per_day_unit };

	if (add_time(buf, f->time) != 0 || add_texts(buf, name, sizeof(name) / sizeof(name[0])) != 0)
		return -1;
	for (size_t i = 0; i < sizeof(time) / sizeof(time[0]); i++) {
		if (add_time(buf, time[i]) != 0)
			return -1;
	}
	if (add_texts(buf, last, further ? sizeof(last) / sizeof(last[0]) : 1) != 0)
		return -1;
	buf->data[buf->len - 1] = '\n';
	return 0;
}

/* The row that says how many are left out. */
static int
add_cut(struct leat_buf *buf, size_t count, struct leat_time now, bool further)
{
	char text[96];
	struct leat_finding f = { .time = now, .asset = LEAT_SPAN("-"), .rule = LEAT_SPAN("copy-cut"),
		.status = LEAT_STATUS_UNKNOWN, .since = LEAT_TIME_NONE, .until = LEAT_TIME_NONE, .due = LEAT_TIME_NONE,
		.shelved = LEAT_TIME_NONE };

	snprintf(text, sizeof(text), "%zu more findings are not in this copy; see the file of the night", count);
	f.message = leat_span_of(text);
	return add_row(buf, &f, further);
}

int
leat_harmless_findings(struct leat_buf *buf, const struct leat_findings *findings, struct leat_time now)
{
	bool further = false;
	size_t rows = 0;

	for (size_t i = 0; i < findings->count; i++) {
		const struct leat_finding *f = &findings->item[i];

		further = further || f->explains.len > 0 || f->per_day_low.len > 0 || f->per_day_high.len > 0;
	}
	if (leat_buf_printf(buf, "\xef\xbb\xbftime,asset,point,rule,status,value,unit,limit,since,until,due,shelved,message%s\n",
	    further ? ",explains,per_day_low,per_day_high,per_day_unit" : "") != 0)
		return -1;
	for (size_t i = 0; i < findings->count; i++) {
		if (leat_time_cmp(findings->item[i].time, now) <= 0 && rows++ < LEAT_HARMLESS_MOST &&
		    add_row(buf, &findings->item[i], further) != 0)
			return -1;
	}
	return rows > LEAT_HARMLESS_MOST ? add_cut(buf, rows - LEAT_HARMLESS_MOST, now, further) : 0;
}
