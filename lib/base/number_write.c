/*
 * Exact decimal numbers: writing.
 */
#include "base/number.h"

#include <math.h>
#include <stdio.h>

#include "base/word.h"

#define DECIMALS_LIMIT 17

/* All exact as doubles and as integers. */
static const double power_of[DECIMALS_LIMIT + 1] = {
	1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17
};

/* The digits of n with decimals of them behind the point; returns the length, without a NUL. */
static size_t
write_digits(char *dst, uint64_t n, int decimals)
{
	char text[40], *p = text + sizeof(text);
	size_t len;
	int i;

	for (i = 0; i < decimals; i++) {
		*--p = (char)('0' + n % 10);
		n /= 10;
	}
	if (decimals > 0)
		*--p = '.';
	do {
		*--p = (char)('0' + n % 10);
		n /= 10;
	} while (n > 0);
	len = (size_t)(text + sizeof(text) - p);
	memcpy(dst, p, len);
	return len;
}

/* "-0.00" is 0. */
static size_t
drop_minus_of_zero(char *dst, size_t len)
{
	if (dst[0] != '-' || strspn(dst + 1, "0.") != len - 1)
		return len;
	memmove(dst, dst + 1, len);
	return len - 1;
}

/* The C library's own rounding is exact; it is only slow.  The process keeps the C locale, so the point is a point. */
static size_t
fixed_slowly(char *dst, double value, int decimals)
{
	int n = snprintf(dst, LEAT_NUMBER_MAX, "%.*f", decimals, value);

	if (n < 0 || n >= LEAT_NUMBER_MAX) {
		dst[0] = '\0';
		return 0;
	}
	return drop_minus_of_zero(dst, (size_t)n);
}

size_t
leat_number_fixed(char *dst, double value, int decimals)
{
	double size = fabs(value), scaled, above_half;
	uint64_t n;
	size_t len = 0;

	if (decimals < 0)
		decimals = 0;
	if (decimals > DECIMALS_LIMIT)
		decimals = DECIMALS_LIMIT;
	scaled = size * power_of[decimals];
	/* Below 2^51 the product is off by an eighth at most, so its whole part is right but for the rounding that
	 * follows.  Written so that NaN takes the slow way. */
	if (!(scaled < 0x1p51))
		return fixed_slowly(dst, value, decimals);
	n = (uint64_t)scaled;
	above_half = scaled - (double)n - 0.5;
	/* The error of the product, exact by fma, matters only as near to a half as the product may be off. */
	if (fabs(above_half) <= scaled * 0x1p-52)
		above_half += fma(size, power_of[decimals], -scaled);
	if (above_half > 0 || (above_half == 0 && n % 2 == 1))
		n++;
	if (value < 0 && n > 0)
		dst[len++] = '-';
	len += write_digits(dst + len, n, decimals);
	dst[len] = '\0';
	return len;
}

/* Writes the digits text (a whole number) times 10^-scale in plain notation. */
static size_t
write_plain(char *dst, bool negative, const char *digits, size_t count, long scale)
{
	size_t len = 0, whole, i;

	if (negative)
		dst[len++] = '-';
	if (scale <= 0) {
		memcpy(dst + len, digits, count);
		len += count;
		if (count == 1 && digits[0] == '0')
			scale = 0;
		for (; scale < 0; scale++)
			dst[len++] = '0';
		dst[len] = '\0';
		return len;
	}
	whole = (size_t)scale < count ? count - (size_t)scale : 0;
	if (whole == 0)
		dst[len++] = '0';
	memcpy(dst + len, digits, whole);
	len += whole;
	dst[len++] = '.';
	for (i = count - whole; i < (size_t)scale; i++)
		dst[len++] = '0';
	memcpy(dst + len, digits + whole, count - whole);
	len += count - whole;
	dst[len] = '\0';
	return len;
}

/* By way of "d.dddde+xx", for values whose last significant digit is left of the point or far right of it. */
static size_t
significant_slowly(char *dst, double value, int digits)
{
	char text[48], *p = text;
	long exponent = 0;
	bool negative = false, below = false;
	int i;

	snprintf(text, sizeof(text), "%.*e", digits - 1, value);
	if (*p == '-') {
		negative = true;
		p++;
	}
	/* The digits are packed to the front of text, over the sign and the point. */
	text[0] = *p++;
	if (digits > 1)
		p++;
	for (i = 1; i < digits; i++)
		text[i] = *p++;
	if (*p == 'e') {
		below = p[1] == '-';
		for (p += 2; *p >= '0' && *p <= '9'; p++)
			exponent = exponent * 10 + (*p - '0');
	}
	return write_plain(dst, negative, text, (size_t)digits, digits - 1 - (below ? -exponent : exponent));
}

/* The digits from the first that is not 0. */
static int
count_significant(const char *text)
{
	int n = 0;

	for (; *text != '\0'; text++) {
		if (*text >= '0' && *text <= '9' && (n > 0 || *text != '0'))
			n++;
	}
	return n;
}

size_t
leat_number_significant(char *dst, double value, int digits)
{
	double size = fabs(value);
	int decimals, have, try;
	size_t len;

	if (digits < 1)
		digits = 1;
	if (digits > DECIMALS_LIMIT)
		digits = DECIMALS_LIMIT;
	if (size == 0)
		return leat_number_fixed(dst, 0, digits - 1);
	/* decimals falls from digits - 1 with each digit more before the point, and grows with each zero behind it. */
	decimals = digits - 1;
	if (size >= 1) {
		while (decimals >= 0 && size >= power_of[digits - decimals])
			decimals--;
	} else {
		while (decimals <= DECIMALS_LIMIT && size * power_of[decimals - digits + 1] < 1)
			decimals++;
	}
	/* The first try may be one off: 9.996 rounds up to a digit more, and the product above may be rounded to 1. */
	for (try = 0; try < 3 && decimals >= 0 && decimals <= DECIMALS_LIMIT; try++) {
		len = leat_number_fixed(dst, value, decimals);
		have = count_significant(dst);
		if (have == digits)
			return len;
		decimals += have < digits ? 1 : -1;
	}
	return significant_slowly(dst, value, digits);
}

size_t
leat_number_trim(char *text, size_t len)
{
	if (memchr(text, '.', len) == NULL)
		return len;
	while (text[len - 1] == '0')
		len--;
	if (text[len - 1] == '.')
		len--;
	text[len] = '\0';
	return len;
}

size_t
leat_number_plain(char *dst, const struct leat_number *num)
{
	bool negative = num->coefficient < 0;
	uint64_t size = negative ? 0 - (uint64_t)num->coefficient : (uint64_t)num->coefficient;
	char digits[24];
	size_t count = write_digits(digits, size, 0);

	return write_plain(dst, negative, digits, count, num->scale);
}

int
leat_number_decimals(struct leat_span text)
{
	bool behind = false;
	size_t decimals = 0;

	/* Nearly all: a word tells. */
	if (text.len - 1 < sizeof(uint64_t)) {
		uint64_t word = leat_word_short(text.ptr, text.len), point = leat_word_equal(word, '.');

		decimals = point != 0 ? text.len - 1 - leat_word_first(point) : 0;
		return decimals > 0 && leat_word_are_digits(leat_word_digits(word >> (8 * (text.len - decimals)), decimals)) ?
		    (int)decimals : 0;
	}
	for (size_t i = 0; i < text.len; i++) {
		if (!behind)
			behind = text.ptr[i] == '.';
		else if (text.ptr[i] >= '0' && text.ptr[i] <= '9')
			decimals++;
		else
			return 0;
	}
	return decimals > 9 ? 9 : (int)decimals;
}
