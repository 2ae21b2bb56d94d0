/*
 * Finding the encoding of a text, and decoding it to UTF-8.
 */
#include "stream/decode.h"

#include <stdint.h>

#define REPLACEMENT 0xFFFDu

/* Windows-1252, 0x80..0x9F (the other bytes are as in ISO 8859-1); 0: undefined.  Source: the mapping table
 * CP1252.TXT that the Unicode Consortium publishes. */
static const uint16_t cp1252_high[32] = {
	0x20AC, 0,      0x201A, 0x0192, 0x201E, 0x2026, 0x2020, 0x2021,
	0x02C6, 0x2030, 0x0160, 0x2039, 0x0152, 0,      0x017D, 0,
	0,      0x2018, 0x2019, 0x201C, 0x201D, 0x2022, 0x2013, 0x2014,
	0x02DC, 0x2122, 0x0161, 0x203A, 0x0153, 0,      0x017E, 0x0178
};

static const struct {
	const char *name;
	enum leat_encoding encoding;
} names[] = {
	{ "auto", LEAT_ENCODING_AUTO },
	{ "utf-8", LEAT_ENCODING_UTF8 },
	{ "utf-16le", LEAT_ENCODING_UTF16LE },
	{ "utf-16be", LEAT_ENCODING_UTF16BE },
	{ "windows-1252", LEAT_ENCODING_CP1252 }
};

const char *
leat_encoding_name(enum leat_encoding encoding)
{
	size_t i;

	for (i = 0; i < sizeof(names) / sizeof(names[0]); i++) {
		if (names[i].encoding == encoding)
			return names[i].name;
	}
	return "utf-8";
}

int
leat_encoding_find(struct leat_span word)
{
	size_t i;

	for (i = 0; i < sizeof(names) / sizeof(names[0]); i++) {
		if (leat_span_is_nocase(word, names[i].name))
			return (int)names[i].encoding;
	}
	return -1;
}

size_t
leat_decode_mark(enum leat_encoding encoding, const unsigned char *bytes, size_t len)
{
	switch (encoding) {
	case LEAT_ENCODING_RAW:
	case LEAT_ENCODING_UTF8:
		return len >= 3 && memcmp(bytes, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
	case LEAT_ENCODING_UTF16LE:
		return len >= 2 && bytes[0] == 0xFF && bytes[1] == 0xFE ? 2 : 0;
	case LEAT_ENCODING_UTF16BE:
		return len >= 2 && bytes[0] == 0xFE && bytes[1] == 0xFF ? 2 : 0;
	default:
		return 0;
	}
}

/* How many bytes at the end are the beginning of a UTF-8 character whose rest lies beyond. */
static size_t
cut_tail(const unsigned char *bytes, size_t len)
{
	size_t back, need;

	for (back = 1; back <= 3 && back <= len; back++) {
		unsigned char c = bytes[len - back];

		if ((c & 0xC0) == 0x80)
			continue;
		need = c >= 0xF0 ? 4 : c >= 0xE0 ? 3 : c >= 0xC0 ? 2 : 1;
		return need > back ? back : 0;
	}
	return 0;
}

/* Well-formed UTF-8, but a NUL here and there is no reason to take the text for something else. */
static bool
is_utf8(const unsigned char *bytes, size_t len, bool whole)
{
	struct leat_span rest, part;

	if (!whole)
		len -= cut_tail(bytes, len);
	rest = leat_span_make((const char *)bytes, len);
	while (leat_span_next(&rest, '\0', &part)) {
		if (!leat_utf8_valid(part))
			return false;
	}
	return true;
}

enum leat_encoding
leat_decode_detect(const unsigned char *bytes, size_t len, bool whole)
{
	static const enum leat_encoding marked[] = {
		LEAT_ENCODING_UTF8, LEAT_ENCODING_UTF16LE, LEAT_ENCODING_UTF16BE
	};
	size_t i, pairs = len / 2, zero[2] = { 0, 0 };

	for (i = 0; i < sizeof(marked) / sizeof(marked[0]); i++) {
		if (leat_decode_mark(marked[i], bytes, len) > 0)
			return marked[i];
	}
	/* Separators, digits and Latin letters have a zero upper half in UTF-16; a degree sign has too. */
	for (i = 0; i < 2 * pairs; i++)
		zero[i & 1] += bytes[i] == 0;
	if (zero[1] > pairs / 2 && zero[0] <= pairs / 16)
		return LEAT_ENCODING_UTF16LE;
	if (zero[0] > pairs / 2 && zero[1] <= pairs / 16)
		return LEAT_ENCODING_UTF16BE;
	return is_utf8(bytes, len, whole) ? LEAT_ENCODING_UTF8 : LEAT_ENCODING_CP1252;
}

/* Writes one character of 1 to 4 bytes. */
static size_t
put_utf8(char *dst, uint32_t c)
{
	if (c < 0x80) {
		dst[0] = (char)c;
		return 1;
	}
	if (c < 0x800) {
		dst[0] = (char)(0xC0 | c >> 6);
		dst[1] = (char)(0x80 | (c & 0x3F));
		return 2;
	}
	if (c < 0x10000) {
		dst[0] = (char)(0xE0 | c >> 12);
		dst[1] = (char)(0x80 | (c >> 6 & 0x3F));
		dst[2] = (char)(0x80 | (c & 0x3F));
		return 3;
	}
	dst[0] = (char)(0xF0 | c >> 18);
	dst[1] = (char)(0x80 | (c >> 12 & 0x3F));
	dst[2] = (char)(0x80 | (c >> 6 & 0x3F));
	dst[3] = (char)(0x80 | (c & 0x3F));
	return 4;
}

static uint32_t
utf16_unit(enum leat_encoding encoding, const unsigned char *p)
{
	return encoding == LEAT_ENCODING_UTF16LE ? (uint32_t)(p[0] | p[1] << 8) : (uint32_t)(p[0] << 8 | p[1]);
}

/* Takes one character of UTF-16 off src.  Returns its bytes, or 0 when its rest has not come yet. */
static size_t
take_utf16(enum leat_encoding encoding, const unsigned char *src, size_t len, bool last, uint32_t *c)
{
	uint32_t low;

	*c = REPLACEMENT;
	if (len < 2)
		return last ? len : 0;
	low = utf16_unit(encoding, src);
	if (low < 0xD800 || low > 0xDFFF) {
		*c = low;
		return 2;
	}
	if (low >= 0xDC00)
		return 2;
	if (len < 4)
		return last ? 2 : 0;
	*c = 0x10000 + ((low - 0xD800) << 10);
	low = utf16_unit(encoding, src + 2);
	if (low < 0xDC00 || low > 0xDFFF) {
		*c = REPLACEMENT;
		return 2;
	}
	*c += low - 0xDC00;
	return 4;
}

size_t
leat_decode(enum leat_encoding encoding, const unsigned char *src, size_t len, bool last, size_t *used,
    char *dst, size_t size)
{
	size_t took, at = 0, written = 0;
	uint32_t c;

	while (at < len && size - written >= 4) {
		if (encoding == LEAT_ENCODING_CP1252) {
			c = src[at];
			took = 1;
			if (c >= 0x80 && c < 0xA0)
				c = cp1252_high[c - 0x80] != 0 ? cp1252_high[c - 0x80] : REPLACEMENT;
		} else {
			took = take_utf16(encoding, src + at, len - at, last, &c);
			if (took == 0)
				break;
		}
		written += put_utf8(dst + written, c);
		at += took;
	}
	*used = at;
	return written;
}
