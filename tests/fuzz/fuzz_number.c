/*
 * Fuzzing the reading and writing of numbers: against strtod and printf of the C library, whose results are correctly
 * rounded, and the short way of reading against the long one, which zeros before the number bring about.
 */
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/number.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);
size_t fuzz_make(uint64_t *state, uint8_t *bytes);

#define TEXT_MAX 48

static void
require(bool holds)
{
	if (!holds)
		abort();
}

static size_t
digits(const char *p)
{
	return strspn(p, "0123456789");
}

/* Is it [+-]digits[.digits][(e|E)[+-]digits] or [+-].digits? */
static bool
is_number(const char *p)
{
	size_t before, after = 0;

	p += *p == '+' || *p == '-';
	before = digits(p);
	p += before;
	if (*p == '.') {
		after = digits(++p);
		if (after == 0)
			return false;
		p += after;
	}
	if (before + after == 0)
		return false;
	if (*p == 'e' || *p == 'E') {
		p++;
		p += *p == '+' || *p == '-';
		if (digits(p) == 0)
			return false;
		p += digits(p);
	}
	return *p == '\0';
}

/* Zeros before the first digit change nothing, but the text is too long for the short way. */
static void
check_long_way(const char *text, size_t len, const struct leat_number *num)
{
	char longer[TEXT_MAX + 24];
	size_t sign = *text == '+' || *text == '-';
	struct leat_number again;

	memcpy(longer, text, sign);
	memset(longer + sign, '0', 20);
	memcpy(longer + sign + 20, text + sign, len - sign);
	require(leat_number_parse(leat_span_make(longer, len + 20), &again) == 0);
	require(again.coefficient == num->coefficient && again.scale == num->scale && again.digits == num->digits);
}

static void
check_value(const char *text, const struct leat_number *num)
{
	const int64_t exact = INT64_C(1) << 53;
	double value = leat_number_value(num), other = strtod(text, NULL), twice;

	require(leat_double_parse(leat_span_of(text), &twice) == 0 && twice == value);
	if (num->digits <= 18 && num->coefficient <= exact && num->coefficient >= -exact && num->scale <= 22 && num->scale >= -22)
		require(value == other);
	else if (fabs(other) > 1e-290)
		/* One unit in the last place, and what the digits after the eighteenth are worth. */
		require(fabs(value - other) <= 0x1p-52 * fabs(other) * (num->digits > 18 ? 8 : 1));
}

static void
check_written(double value, int decimals)
{
	char ours[LEAT_NUMBER_MAX], theirs[LEAT_NUMBER_MAX];
	size_t len = leat_number_fixed(ours, value, decimals);

	snprintf(theirs, sizeof(theirs), "%.*f", decimals, value);
	/* "-0.00" is written as 0.00. */
	require(strcmp(ours, theirs[0] == '-' && strspn(theirs + 1, "0.") == strlen(theirs + 1) ? theirs + 1 : theirs) == 0);
	require(len == strlen(ours));
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	char text[TEXT_MAX + 1];
	struct leat_number num;
	bool taken;

	if (size > TEXT_MAX || memchr(data, '\0', size) != NULL)
		return 0;
	memcpy(text, data, size);
	text[size] = '\0';
	taken = leat_number_parse(leat_span_make(text, size), &num) == 0;
	/* What has the form is refused for its size alone. */
	require(taken ? is_number(text) : !is_number(text) || strpbrk(text, "eE") != NULL);
	if (!taken)
		return 0;
	check_long_way(text, size, &num);
	check_value(text, &num);
	check_written(leat_number_value(&num), (int)(size % 18));
	return 0;
}

/* Mostly a number, now and then with something in it that makes it another or none. */
size_t
fuzz_make(uint64_t *state, uint8_t *bytes)
{
	static const char odd[16] = "..--++eE 0,x9\t5\x80";
	size_t len, before, after;
	uint64_t draw;

	*state ^= *state << 13;
	*state ^= *state >> 7;
	*state ^= *state << 17;
	draw = *state >> 8;
	before = draw % 64 < 56 ? draw % 7 : draw % 21;
	after = draw >> 6 & 1 ? (draw >> 7) % ((draw >> 16 & 15) != 0 ? 5 : 21) : 0;
	len = 0;
	if ((draw >> 20 & 7) == 0)
		bytes[len++] = '-';
	for (size_t i = 0; i < before + after; i++) {
		if (i == before)
			bytes[len++] = '.';
		if (i % 8 == 0) {
			*state ^= *state << 13;
			*state ^= *state >> 7;
			*state ^= *state << 17;
		}
		bytes[len++] = (uint8_t)('0' + (*state >> i % 8 * 7 & 127) % 10);
	}
	if ((draw >> 24 & 15) == 0)
		len += (size_t)sprintf((char *)bytes + len, "e%d", (int)(draw >> 28 & 63) - 31);
	if ((draw >> 36 & 3) == 0 && len > 0)
		bytes[(draw >> 38) % len] = (uint8_t)odd[draw >> 48 & 15];
	return len;
}
