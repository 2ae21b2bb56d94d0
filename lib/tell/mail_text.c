/*
 * Encodings of a mail's parts and headers.
 */
#include "tell/mail_text.h"

#include <stdlib.h>

#include "tell/mail_private.h"

/* An encoded word may be that long (RFC 2047, section 2). */
#define WORD_MOST 75u
static const char word_q[] = "=?UTF-8?Q?", word_b[] = "=?UTF-8?B?", word_end[] = "?=";
#define FRAME (sizeof(word_q) - 1 + sizeof(word_end) - 1)

static const char hex[] = "0123456789ABCDEF";
static const char base64[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

/* May the byte at i stand for itself?  A blank may not end a line. */
static bool
is_plain(struct leat_span text, size_t i, bool first)
{
	char c = text.ptr[i];

	if (c == ' ' || c == '\t')
		return i + 1 < text.len && text.ptr[i + 1] != '\n';
	if (first && (c == '.' || (c == 'F' && leat_span_starts(leat_span_make(text.ptr + i, text.len - i), "From "))))
		return false;
	return c > ' ' && c < 127 && c != '=';
}

int
leat_mail_quoted_printable(struct leat_buf *buf, struct leat_span text)
{
	size_t column = 0;

	for (size_t i = 0; i < text.len; i++) {
		unsigned char c = (unsigned char)text.ptr[i];
		char out[3] = { '=', hex[c >> 4], hex[c & 15] };
		size_t len = is_plain(text, i, column == 0) ? 1 : 3;
		bool last = i + 1 < text.len && text.ptr[i + 1] == '\n';

		if (c == '\n') {
			if (leat_buf_add(buf, "\n", 1) != 0)
				return -1;
			column = 0;
			continue;
		}
		if (len == 1)
			out[0] = (char)c;
		/* The last of a line may fill it; any other leaves room for the soft line break. */
		if (column + len + (last ? 0 : 1) > LEAT_MAIL_WORD_LINE) {
			if (leat_buf_add(buf, "=\n", 2) != 0)
				return -1;
			column = 0;
			if (len == 1 && !is_plain(text, i, true)) {
				len = 3;
				out[0] = '=';
			}
		}
		if (leat_buf_add(buf, out, len) != 0)
			return -1;
		column += len;
	}
	return column == 0 ? 0 : leat_buf_add(buf, "=\n", 2);
}

/* The bytes of the character at the head of text. */
static size_t
character(struct leat_span text)
{
	size_t len = 1;

	while (len < text.len && ((unsigned char)text.ptr[len] & 0xc0) == 0x80)
		len++;
	return len;
}

/* Letters, digits and what else may stand for itself in a word of a phrase (RFC 2047, section 5). */
static bool
is_q_byte(char c)
{
	return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
	    (c != '\0' && strchr("!*+-/", c) != NULL);
}

static size_t
q_length(struct leat_span text)
{
	size_t sum = 0;

	for (size_t i = 0; i < text.len; i++)
		sum += is_q_byte(text.ptr[i]) || text.ptr[i] == ' ' ? 1 : 3;
	return sum;
}

static size_t
b_length(struct leat_span text)
{
	return (text.len + 2) / 3 * 4;
}

static int
add_q(struct leat_buf *buf, struct leat_span text)
{
	for (size_t i = 0; i < text.len; i++) {
		unsigned char c = (unsigned char)text.ptr[i];
		char out[3] = { '=', hex[c >> 4], hex[c & 15] };
		bool plain = is_q_byte(text.ptr[i]) || c == ' ';

		if (plain)
			out[0] = c == ' ' ? '_' : (char)c;
		if (leat_buf_add(buf, out, plain ? 1 : 3) != 0)
			return -1;
	}
	return 0;
}

static int
add_b(struct leat_buf *buf, struct leat_span text)
{
	for (size_t i = 0; i < text.len; i += 3) {
		unsigned long bits = 0;
		char out[4];

		for (size_t k = 0; k < 3; k++)
			bits = bits << 8 | (i + k < text.len ? (unsigned char)text.ptr[i + k] : 0);
		for (size_t k = 0; k < 4; k++)
			out[k] = i + k <= text.len ? base64[bits >> (18 - 6 * k) & 63] : '=';
		if (leat_buf_add(buf, out, 4) != 0)
			return -1;
	}
	return 0;
}

int
mail_encoded_words(struct leat_buf *buf, struct leat_span text, size_t *column)
{
	/* Q is the one to read where most of it is ASCII (RFC 2047, section 4). */
	bool b = q_length(text) > 2 * text.len;
	size_t (*length)(struct leat_span) = b ? b_length : q_length;

	while (text.len > 0) {
		size_t room = LEAT_MAIL_WORD_LINE - *column, n = 0;

		if (room > WORD_MOST)
			room = WORD_MOST;
		/* A character is not cut: each word stands for itself. */
		while (n < text.len) {
			size_t next = n + character(leat_span_make(text.ptr + n, text.len - n));

			if (FRAME + length(leat_span_make(text.ptr, next)) > room)
				break;
			n = next;
		}
		if (n > 0) {
			struct leat_span part = leat_span_make(text.ptr, n);

			if (leat_buf_add(buf, b ? word_b : word_q, sizeof(word_q) - 1) != 0 || (b ? add_b : add_q)(buf, part) != 0 ||
			    leat_buf_add(buf, word_end, sizeof(word_end) - 1) != 0)
				return -1;
			*column += FRAME + length(part);
			text = leat_span_make(text.ptr + n, text.len - n);
		}
		if (text.len > 0) {
			if (leat_buf_add(buf, "\n ", 2) != 0)
				return -1;
			*column = 1;
		}
	}
	return 0;
}

bool
mail_is_ascii(struct leat_span text)
{
	for (size_t i = 0; i < text.len; i++) {
		if (text.ptr[i] < ' ' || text.ptr[i] > '~')
			return false;
	}
	return true;
}

/* Can it stand in a header as it is?  Blanks are where it folds: one at either end, or two together, would be lost. */
static bool
is_plain_header(struct leat_span text)
{
	size_t word = 0;

	if (!mail_is_ascii(text) || (text.len > 0 && (text.ptr[0] == ' ' || text.ptr[text.len - 1] == ' ')))
		return false;
	for (size_t i = 0; i < text.len; i++) {
		if (text.ptr[i] == ' ' && word == 0)
			return false;
		word = text.ptr[i] == ' ' ? 0 : word + 1;
		if (word > LEAT_MAIL_LINE - 1 || (text.ptr[i] == '=' && i + 1 < text.len && text.ptr[i + 1] == '?'))
			return false;
	}
	return true;
}

int
mail_folded_words(struct leat_buf *buf, struct leat_span text, size_t *column)
{
	struct leat_span rest = text, word;
	bool first = true;

	while (leat_span_next(&rest, ' ', &word)) {
		if (!first || *column + word.len > LEAT_MAIL_LINE) {
			bool fold = *column + 1 + word.len > LEAT_MAIL_LINE;

			if (leat_buf_add(buf, fold ? "\n " : " ", fold ? 2 : 1) != 0)
				return -1;
			*column = fold ? 1 : *column + 1;
		}
		if (leat_buf_add_span(buf, word) != 0)
			return -1;
		*column += word.len;
		first = false;
	}
	return 0;
}

int
leat_mail_header(struct leat_buf *buf, const char *name, struct leat_span text)
{
	size_t column = strlen(name) + 2;
	char *masked;
	int result;

	if (leat_buf_printf(buf, "%s: ", name) != 0)
		return -1;
	if (is_plain_header(text))
		result = mail_folded_words(buf, text, &column);
	else {
		masked = malloc(text.len + 1);
		if (masked == NULL)
			return -1;
		leat_mask(masked, text.len + 1, text);
		result = mail_encoded_words(buf, leat_span_of(masked), &column);
		free(masked);
	}
	return result == 0 ? leat_buf_add(buf, "\n", 1) : -1;
}

int
leat_mail_date(struct leat_buf *buf, const struct leat_zone *zone, struct leat_time t)
{
	static const char day[] = "ThuFriSatSunMonTueWed", month[] = "JanFebMarAprMayJunJulAugSepOctNovDec";
	struct leat_civil c = leat_zone_civil(zone, t);
	int64_t days = leat_days_from_civil(c.year, c.month, c.day);
	int east = leat_zone_offset(zone, t.sec) / 60, weekday = (int)((days % 7 + 7) % 7);

	return leat_buf_printf(buf, "%.3s, %d %.3s %04d %02d:%02d:%02d %c%02d%02d", day + 3 * weekday, c.day,
	    month + 3 * (c.month - 1), c.year, c.hour, c.minute, c.second, east < 0 ? '-' : '+', (east < 0 ? -east : east) / 60,
	    (east < 0 ? -east : east) % 60);
}
