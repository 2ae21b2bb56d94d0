/*
 * Decoders of quoted-printable and encoded words, written from RFC 2045 and RFC 2047 for the tests of what encodes;
 * tests/published/test_mail.c holds them to the examples of both.
 */
#ifndef LEAT_TESTS_MAIL_DECODE_H
#define LEAT_TESTS_MAIL_DECODE_H

#include "unit.h"

#include "base/mem.h"

static inline int
decode_hex(const char *p)
{
	static const char digits[] = "0123456789ABCDEF";
	const char *a = p[0] != '\0' ? strchr(digits, p[0]) : NULL, *b = a != NULL && p[1] != '\0' ? strchr(digits, p[1]) : NULL;

	return b != NULL ? (int)((a - digits) * 16 + (b - digits)) : -1;
}

static inline void
decode_add(struct leat_buf *out, int byte)
{
	char c = (char)byte;

	assert_int_equal(leat_buf_add(out, &c, 1), 0);
}

/* Quoted-printable with LF line ends.  Fails where RFC 2045, section 6.7, has been broken. */
static inline void
decode_quoted_printable(struct leat_buf *out, struct leat_span text)
{
	size_t column = 0;

	for (size_t i = 0; i < text.len; i++) {
		if (text.ptr[i] == '\n') {
			assert_true(i == 0 || (text.ptr[i - 1] != ' ' && text.ptr[i - 1] != '\t'));
			decode_add(out, '\n');
			column = 0;
			continue;
		}
		assert_true(++column <= 76);
		if (text.ptr[i] != '=') {
			assert_true(text.ptr[i] == '\t' || (text.ptr[i] >= ' ' && text.ptr[i] <= '~'));
			decode_add(out, text.ptr[i]);
		} else if (i + 1 < text.len && text.ptr[i + 1] == '\n') {
			i++;
			column = 0;
		} else {
			char pair[3] = { i + 2 < text.len ? text.ptr[i + 1] : '\0', i + 2 < text.len ? text.ptr[i + 2] : '\0', '\0' };
			int byte = decode_hex(pair);

			assert_true(byte >= 0);
			decode_add(out, byte);
			i += 2;
			column += 2;
		}
	}
}

static inline void
decode_b(struct leat_buf *out, struct leat_span text)
{
	static const char digits[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

	assert_int_equal(text.len % 4, 0);
	for (size_t i = 0; i < text.len; i += 4) {
		unsigned bits = 0, n = 0;

		for (size_t k = 0; k < 4; k++) {
			const char *at = strchr(digits, text.ptr[i + k]);

			n += text.ptr[i + k] != '=';
			bits = bits << 6 | (at != NULL && *at != '\0' ? (unsigned)(at - digits) : 0);
		}
		for (size_t k = 0; k + 1 < n; k++)
			decode_add(out, (int)(bits >> (16 - 8 * k) & 255));
	}
}

static inline void
decode_q(struct leat_buf *out, struct leat_span text)
{
	for (size_t i = 0; i < text.len; i++) {
		if (text.ptr[i] == '=') {
			char pair[3] = { text.ptr[i + 1], text.ptr[i + 2], '\0' };

			assert_true(i + 2 < text.len && decode_hex(pair) >= 0);
			decode_add(out, decode_hex(pair));
			i += 2;
		} else
			decode_add(out, text.ptr[i] == '_' ? ' ' : text.ptr[i]);
	}
}

/* The value of a header: unfolded, encoded words decoded, blanks between two of them dropped.  Bytes are those of the
 * charset that each word names. */
static inline void
decode_header(struct leat_buf *out, struct leat_span text)
{
	bool after_word = false;

	while (text.len > 0) {
		size_t blanks = 0, end;
		struct leat_span word, charset, kind;

		while (blanks < text.len && (text.ptr[blanks] == ' ' || text.ptr[blanks] == '\n'))
			blanks++;
		for (end = blanks; end < text.len && text.ptr[end] != ' ' && text.ptr[end] != '\n'; end++)
			;
		word = leat_span_make(text.ptr + blanks, end - blanks);
		if (word.len > 7 && leat_span_starts(word, "=?") && leat_span_ends(word, "?=")) {
			assert_true(word.len <= 75);
			if (!after_word)
				for (size_t i = 0; i < blanks; i++)
					if (text.ptr[i] != '\n')
						decode_add(out, ' ');
			word = leat_span_make(word.ptr + 2, word.len - 4);
			assert_true(leat_span_next(&word, '?', &charset));
			assert_true(leat_span_next(&word, '?', &kind));
			(leat_span_is_nocase(kind, "B") ? decode_b : decode_q)(out, word);
			after_word = true;
		} else {
			for (size_t i = 0; i < end; i++)
				if (text.ptr[i] != '\n')
					decode_add(out, text.ptr[i]);
			after_word = false;
		}
		text = leat_span_make(text.ptr + end, text.len - end);
	}
}

#endif
