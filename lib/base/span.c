/*
 * Text spans.
 */
#include "base/span.h"

#include <stdint.h>

/* Locale-free: ctype.h would follow the locale of whoever calls setlocale. */
static unsigned char
lower(unsigned char c)
{
	return c >= 'A' && c <= 'Z' ? (unsigned char)(c + ('a' - 'A')) : c;
}

bool
leat_span_is_nocase(struct leat_span a, const char *s)
{
	size_t i;

	for (i = 0; i < a.len; i++) {
		if (s[i] == '\0' || lower((unsigned char)a.ptr[i]) != lower((unsigned char)s[i]))
			return false;
	}
	return s[i] == '\0';
}

int
leat_span_cmp(struct leat_span a, struct leat_span b)
{
	size_t common = a.len < b.len ? a.len : b.len;
	int order = common > 0 ? memcmp(a.ptr, b.ptr, common) : 0;

	if (order != 0)
		return order;
	return a.len < b.len ? -1 : a.len > b.len;
}

bool
leat_span_starts(struct leat_span a, const char *prefix)
{
	size_t len = strlen(prefix);

	return len == 0 || (a.len >= len && memcmp(a.ptr, prefix, len) == 0);
}

bool
leat_span_ends(struct leat_span a, const char *suffix)
{
	size_t len = strlen(suffix);

	return len == 0 || (a.len >= len && memcmp(a.ptr + a.len - len, suffix, len) == 0);
}

size_t
leat_span_find(struct leat_span a, char c)
{
	const char *at = a.len > 0 ? memchr(a.ptr, c, a.len) : NULL;

	return at != NULL ? (size_t)(at - a.ptr) : a.len;
}

static bool
is_blank(char c)
{
	return c == ' ' || c == '\t';
}

struct leat_span
leat_span_trim(struct leat_span a)
{
	while (a.len > 0 && is_blank(a.ptr[0])) {
		a.ptr++;
		a.len--;
	}
	while (a.len > 0 && is_blank(a.ptr[a.len - 1]))
		a.len--;
	return a;
}

/* The blanks that spreadsheets and word processors put into numbers: U+00A0, U+202F, U+2009. */
static const char *const wide_blank[] = { "\xc2\xa0", "\xe2\x80\xaf", "\xe2\x80\x89" };

/* Bytes of the blank, plain or wide, at the start (or at the end) of a; 0 when there is none. */
static size_t
blank_length(struct leat_span a, bool at_end)
{
	size_t i;

	if (a.len == 0)
		return 0;
	if (is_blank(at_end ? a.ptr[a.len - 1] : a.ptr[0]))
		return 1;
	for (i = 0; i < sizeof(wide_blank) / sizeof(wide_blank[0]); i++) {
		if (at_end ? leat_span_ends(a, wide_blank[i]) : leat_span_starts(a, wide_blank[i]))
			return strlen(wide_blank[i]);
	}
	return 0;
}

struct leat_span
leat_span_trim_wide(struct leat_span a)
{
	size_t n;

	while ((n = blank_length(a, false)) > 0) {
		a.ptr += n;
		a.len -= n;
	}
	while ((n = blank_length(a, true)) > 0)
		a.len -= n;
	return a;
}

bool
leat_span_next(struct leat_span *rest, char sep, struct leat_span *token)
{
	size_t at;

	if (rest->ptr == NULL)
		return false;
	at = leat_span_find(*rest, sep);
	*token = leat_span_make(rest->ptr, at);
	if (at == rest->len)
		*rest = leat_span_make(NULL, 0);
	else
		*rest = leat_span_make(rest->ptr + at + 1, rest->len - at - 1);
	return true;
}

static bool
is_mark(char c, const char *marks)
{
	return c == ' ' || c == '\t' || (c != '\0' && strchr(marks, c) != NULL);
}

bool
leat_span_word(struct leat_span *rest, const char *marks, struct leat_span *word)
{
	while (rest->len > 0 && is_mark(rest->ptr[0], marks))
		*rest = leat_span_make(rest->ptr + 1, rest->len - 1);
	*word = leat_span_make(rest->ptr, 0);
	while (rest->len > 0 && !is_mark(rest->ptr[0], marks)) {
		word->len++;
		*rest = leat_span_make(rest->ptr + 1, rest->len - 1);
	}
	return word->len > 0;
}

bool
leat_glob(struct leat_span pattern, struct leat_span text)
{
	size_t p = 0, t = 0, star = SIZE_MAX, retry = 0;

	/* Only the last '*' needs another try: an earlier one that matched less can never match more.  So the work is
	 * bounded by the product of the lengths. */
	while (t < text.len) {
		if (p < pattern.len && pattern.ptr[p] == '*') {
			star = p++;
			retry = t;
		} else if (p < pattern.len && (pattern.ptr[p] == '?' || pattern.ptr[p] == text.ptr[t])) {
			p++;
			t++;
		} else if (star != SIZE_MAX) {
			p = star + 1;
			t = ++retry;
		} else {
			return false;
		}
	}
	while (p < pattern.len && pattern.ptr[p] == '*')
		p++;
	return p == pattern.len;
}

/* Two weights can be added without overflow, and any number of literal bytes beside a wildcard stays below it. */
#define WEIGHT_EXACT (1 << 24)

int
leat_glob_weight(struct leat_span pattern)
{
	size_t i, literal = 0;

	for (i = 0; i < pattern.len; i++) {
		if (pattern.ptr[i] != '*' && pattern.ptr[i] != '?')
			literal++;
	}
	if (literal == pattern.len)
		return WEIGHT_EXACT;
	return literal < WEIGHT_EXACT ? (int)literal : WEIGHT_EXACT - 1;
}

static bool
is_tail(unsigned char c)
{
	return (c & 0xc0) == 0x80;
}

/* Bytes of the well-formed character at p, which has left bytes (at least 1); 0 when it is malformed or NUL.  The
 * ranges of the second byte are those of RFC 3629, section 4. */
static size_t
utf8_length(const unsigned char *p, size_t left)
{
	unsigned char c = p[0], low = 0x80, high = 0xbf;
	size_t i, len;

	if (c < 0x80)
		return c != 0;
	if (c >= 0xc2 && c <= 0xdf) {
		len = 2;
	} else if (c >= 0xe0 && c <= 0xef) {
		len = 3;
		low = c == 0xe0 ? 0xa0 : 0x80;
		high = c == 0xed ? 0x9f : 0xbf;
	} else if (c >= 0xf0 && c <= 0xf4) {
		len = 4;
		low = c == 0xf0 ? 0x90 : 0x80;
		high = c == 0xf4 ? 0x8f : 0xbf;
	} else {
		return 0;
	}
	if (left < len || p[1] < low || p[1] > high)
		return 0;
	for (i = 2; i < len; i++) {
		if (!is_tail(p[i]))
			return 0;
	}
	return len;
}

bool
leat_utf8_valid(struct leat_span a)
{
	const uint64_t ones = UINT64_C(0x0101010101010101), tops = UINT64_C(0x8080808080808080);
	const unsigned char *p = (const unsigned char *)a.ptr;
	size_t left = a.len, n;
	uint64_t word;

	while (left > 0) {
		/* Nearly all input is ASCII: eight bytes at once, none of them NUL. */
		if (left >= sizeof(word)) {
			memcpy(&word, p, sizeof(word));
			if (((word | (word - ones)) & tops) == 0) {
				p += sizeof(word);
				left -= sizeof(word);
				continue;
			}
		}
		n = utf8_length(p, left);
		if (n == 0)
			return false;
		p += n;
		left -= n;
	}
	return true;
}

/* The same of the len bytes of one character at p. */
static bool
disturbs(const unsigned char *p, size_t len)
{
	if (len == 1)
		return p[0] < 0x20 || p[0] == 0x7f;
	if (len == 2)
		return p[0] == 0xc2 && p[1] < 0xa0;
	if (len != 3)
		return false;
	if (p[0] == 0xe2 && p[1] == 0x80)
		return p[2] == 0x8e || p[2] == 0x8f || (p[2] >= 0xa8 && p[2] <= 0xae);
	return (p[0] == 0xe2 && p[1] == 0x81 && p[2] >= 0xa6 && p[2] <= 0xa9) || (p[0] == 0xef && p[1] == 0xbf && p[2] >= 0xbe);
}

bool
leat_utf8_disturbs(struct leat_span a)
{
	return disturbs((const unsigned char *)a.ptr, a.len);
}

char *
leat_mask(char *dst, size_t size, struct leat_span a)
{
	const unsigned char *p = (const unsigned char *)a.ptr;
	size_t left = a.len, out = 0, cut = 0, n;
	bool good;

	if (size == 0)
		return dst;
	while (left > 0) {
		n = utf8_length(p, left);
		good = n > 0 && !disturbs(p, n);
		if (n == 0)
			n = 1;
		if (out + (good ? n : 1) >= size)
			break;
		if (good)
			memcpy(dst + out, p, n);
		else
			dst[out] = '?';
		out += good ? n : 1;
		/* Where "..." still fits behind the text. */
		if (out + 3 < size)
			cut = out;
		p += n;
		left -= n;
	}
	if (left > 0) {
		for (out = cut; out + 1 < size && out < cut + 3; out++)
			dst[out] = '.';
	}
	dst[out] = '\0';
	return dst;
}

unsigned long
leat_span_hash(struct leat_span a, unsigned long seed)
{
	uint64_t h = seed != 0 ? seed : UINT64_C(14695981039346656037);
	size_t i;

	for (i = 0; i < a.len; i++) {
		h ^= (unsigned char)a.ptr[i];
		h *= UINT64_C(1099511628211);
	}
	return (unsigned long)h;
}
