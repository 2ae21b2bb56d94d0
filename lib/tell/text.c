/*
 * Composing and wrapping lines.
 */
#include "tell/text.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

#define GLUE '\037'

struct range {
	uint32_t first, last;
};

/* Characters without a column of their own: combining marks, joiners, direction marks, variation selectors (Unicode
 * general categories Mn, Me and Cf; the blocks that texts of a works can hold). */
static const struct range zero_width[] = {
	{ 0x0300, 0x036f }, { 0x0483, 0x0489 }, { 0x0591, 0x05bd }, { 0x0610, 0x061a }, { 0x064b, 0x065f },
	{ 0x093c, 0x093c }, { 0x0941, 0x0948 }, { 0x094d, 0x094d }, { 0x1ab0, 0x1ace }, { 0x1dc0, 0x1dff },
	{ 0x200b, 0x200f }, { 0x202a, 0x202e }, { 0x2060, 0x2064 }, { 0x20d0, 0x20f0 }, { 0xfe00, 0xfe0f },
	{ 0xfe20, 0xfe2f }, { 0xfeff, 0xfeff }, { 0xe0100, 0xe01ef }
};

/* Characters of two columns: East Asian Width W and F of Unicode Standard Annex 11. */
static const struct range wide[] = {
	{ 0x1100, 0x115f }, { 0x2e80, 0x303e }, { 0x3041, 0x33ff }, { 0x3400, 0x4dbf }, { 0x4e00, 0x9fff },
	{ 0xa000, 0xa4cf }, { 0xa960, 0xa97f }, { 0xac00, 0xd7a3 }, { 0xf900, 0xfaff }, { 0xfe30, 0xfe6f },
	{ 0xff01, 0xff60 }, { 0xffe0, 0xffe6 }, { 0x1f300, 0x1f64f }, { 0x1f900, 0x1f9ff }, { 0x20000, 0x3fffd }
};

static bool
in_ranges(uint32_t c, const struct range *range, size_t count)
{
	size_t i;

	for (i = 0; i < count && c >= range[i].first; i++) {
		if (c <= range[i].last)
			return true;
	}
	return false;
}

/* Takes one character off the text; its columns go to *columns.  Returns its bytes, at least 1. */
static size_t
take_character(struct leat_span text, size_t *columns)
{
	const unsigned char *p = (const unsigned char *)text.ptr;
	size_t len = p[0] >= 0xf0 ? 4 : p[0] >= 0xe0 ? 3 : p[0] >= 0xc2 ? 2 : 1;
	uint32_t c = p[0];
	size_t i;

	*columns = 1;
	if (len == 1 || len > text.len || !leat_utf8_valid(leat_span_make(text.ptr, len)))
		return 1;
	c &= len == 4 ? 0x07u : len == 3 ? 0x0fu : 0x1fu;
	for (i = 1; i < len; i++)
		c = c << 6 | (p[i] & 0x3fu);
	if (in_ranges(c, zero_width, sizeof(zero_width) / sizeof(zero_width[0])))
		*columns = 0;
	else if (in_ranges(c, wide, sizeof(wide) / sizeof(wide[0])))
		*columns = 2;
	return len;
}

size_t
leat_text_columns(struct leat_span text)
{
	size_t sum = 0, columns, n;

	while (text.len > 0) {
		n = take_character(text, &columns);
		sum += columns;
		text.ptr += n;
		text.len -= n;
	}
	return sum;
}

static void
put(struct leat_text *t, struct leat_buf *buf, const char *bytes, size_t len)
{
	if (!t->failed && leat_buf_add(buf, bytes, len) != 0)
		t->failed = true;
}

static void
put_blanks(struct leat_text *t, size_t count)
{
	for (; count > 0; count--)
		put(t, &t->page, " ", 1);
}

void
leat_text_add(struct leat_text *t, const char *fmt, ...)
{
	char text[512];
	va_list ap;
	int len;

	va_start(ap, fmt);
	len = vsnprintf(text, sizeof(text), fmt, ap);
	va_end(ap);
	if (len < 0 || (size_t)len >= sizeof(text))
		t->failed = true;
	else
		put(t, &t->line, text, (size_t)len);
}

/* Adds masked text with every run of blanks as one blank. */
static void
add_masked(struct leat_text *t, struct leat_span text, const char *blank)
{
	char *masked = malloc(text.len + 1);
	size_t i, len;

	if (masked == NULL) {
		t->failed = true;
		return;
	}
	leat_mask(masked, text.len + 1, text);
	len = strlen(masked);
	for (i = 0; i < len; i++) {
		if (masked[i] != ' ')
			put(t, &t->line, masked + i, 1);
		else if (i + 1 < len && masked[i + 1] != ' ')
			put(t, &t->line, blank, 1);
	}
	free(masked);
}

void
leat_text_add_plain(struct leat_text *t, struct leat_span text)
{
	add_masked(t, text, " ");
}

void
leat_text_add_glued(struct leat_text *t, struct leat_span text)
{
	add_masked(t, text, LEAT_TEXT_GLUE);
}

static bool
is_number_byte(char c)
{
	return (c >= '0' && c <= '9') || c == '.' || c == ',' || c == '-' || c == '+';
}

/* How many bytes of a word too wide for a row go onto it: up to the last of '/,;-_' that fits, else as many as fit,
 * but never so that a number is cut; the whole word when it is one number from end to end. */
static size_t
break_word(struct leat_span word, size_t room)
{
	struct leat_span rest = word;
	size_t used = 0, at, good = 0, soft = 0, columns, n;

	while (rest.len > 0) {
		n = take_character(rest, &columns);
		if (used + columns > room && (soft > 0 || good > 0))
			break;
		used += columns;
		rest.ptr += n;
		rest.len -= n;
		at = word.len - rest.len;
		if (rest.len > 0 && is_number_byte(word.ptr[at - 1]) && is_number_byte(rest.ptr[0]))
			continue;
		good = at;
		if (strchr("/,;-_", word.ptr[at - 1]) != NULL)
			soft = at;
	}
	if (rest.len == 0 && used <= room)
		return word.len;
	return soft > 0 ? soft : good;
}

static void
put_word(struct leat_text *t, struct leat_span word)
{
	size_t i;

	for (i = 0; i < word.len; i++)
		put(t, &t->page, word.ptr[i] == GLUE ? " " : word.ptr + i, 1);
}

/* Cuts glue where a glued group is wider than a whole row: better a break there than inside a word. */
static struct leat_span
ungrouped(struct leat_span word, size_t room)
{
	if (leat_text_columns(word) > room)
		word.len = leat_span_find(word, GLUE);
	return word;
}

void
leat_text_end(struct leat_text *t, size_t first, size_t rest)
{
	struct leat_span text = leat_buf_span(&t->line), word;
	size_t at = first, start = first, n;

	put_blanks(t, first);
	while (text.len > 0 && !t->failed) {
		if (text.ptr[0] == ' ' || text.ptr[0] == GLUE) {
			text.ptr++;
			text.len--;
			continue;
		}
		word = ungrouped(leat_span_make(text.ptr, leat_span_find(text, ' ')), t->width - rest);
		if (at > start && at + 1 + leat_text_columns(word) > t->width) {
			put(t, &t->page, "\n", 1);
			put_blanks(t, rest);
			at = start = rest;
		} else if (at > start) {
			put(t, &t->page, " ", 1);
			at++;
		}
		n = at + leat_text_columns(word) > t->width ? break_word(word, t->width - at) : word.len;
		put_word(t, leat_span_make(word.ptr, n));
		at += leat_text_columns(leat_span_make(word.ptr, n));
		text.ptr += n;
		text.len -= n;
		if (n < word.len) {
			put(t, &t->page, "\n", 1);
			put_blanks(t, rest);
			at = start = rest;
		}
	}
	put(t, &t->page, "\n", 1);
	leat_buf_reset(&t->line);
}

void
leat_text_verbatim(struct leat_text *t, const char *text)
{
	put(t, &t->page, text, strlen(text));
}

void
leat_text_free(struct leat_text *t)
{
	leat_buf_free(&t->page);
	leat_buf_free(&t->line);
}
