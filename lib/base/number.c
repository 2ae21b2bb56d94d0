/*
 * Exact decimal numbers: reading and comparing.
 */
#include "base/number.h"

#include <math.h>

#include "base/word.h"

#define KEEP 18			/* digits that always fit an int64_t */
#define SCALE_LIMIT 400
#define SIZE_LIMIT 300		/* every number read is below 10^300 in size, so that no value is ever infinite */

static const int64_t int_power[KEEP + 1] = {
	1, 10, 100, 1000, 10000, 100000, 1000000, 10000000, 100000000, 1000000000,
	INT64_C(10000000000), INT64_C(100000000000), INT64_C(1000000000000), INT64_C(10000000000000),
	INT64_C(100000000000000), INT64_C(1000000000000000), INT64_C(10000000000000000),
	INT64_C(100000000000000000), INT64_C(1000000000000000000)
};

/* All powers of ten that a double holds exactly (IEEE 754 binary64). */
#define EXACT_POWER 22
static const double exact_power[EXACT_POWER + 1] = {
	1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19,
	1e20, 1e21, 1e22
};

/* A number while it is read. */
struct scan {
	const char *p, *end;
	uint64_t coefficient;
	long scale;
	long significant;	/* digits from the first that is not 0 */
	bool round_up;		/* the first digit that did not fit is 5 or more */
};

/* 0..9, or something larger. */
static unsigned
digit_of(char c)
{
	return (unsigned)(unsigned char)c - '0';
}

/* Takes a run of digits; step is 1 behind the point, where each digit kept adds to the scale, and 0 before it.
 * Returns how many digits there were. */
static long
scan_digits(struct scan *s, int step)
{
	const char *start = s->p, *first;
	unsigned d;

	if (s->significant == 0) {
		while (s->p < s->end && *s->p == '0')
			s->p++;
		s->scale += step * (s->p - start);
	}
	first = s->p;
	if (s->end - first <= KEEP - s->significant) {
		/* All that can follow fits: the common case, without a test a digit. */
		for (; s->p < s->end && (d = digit_of(*s->p)) <= 9; s->p++)
			s->coefficient = s->coefficient * 10 + d;
		s->significant += s->p - first;
		s->scale += step * (s->p - first);
		return s->p - start;
	}
	for (; s->p < s->end && (d = digit_of(*s->p)) <= 9; s->p++, s->significant++) {
		if (s->significant < KEEP) {
			s->coefficient = s->coefficient * 10 + d;
			s->scale += step;
		} else {
			if (s->significant == KEEP)
				s->round_up = d >= 5;
			s->scale += step - 1;
		}
	}
	return s->p - start;
}

static int
scan_exponent(struct scan *s)
{
	long exponent = 0;
	bool negative = false;
	const char *start;
	unsigned d;

	s->p++;
	if (s->p < s->end && (*s->p == '-' || *s->p == '+'))
		negative = *s->p++ == '-';
	start = s->p;
	for (; s->p < s->end && (d = digit_of(*s->p)) <= 9; s->p++) {
		/* Beyond any scale that is allowed: more digits change nothing. */
		if (exponent < 100000000)
			exponent = exponent * 10 + (long)d;
	}
	if (s->p == start)
		return -1;
	s->scale += negative ? exponent : -exponent;
	return 0;
}

static int
scan_finish(struct scan *s, bool negative, struct leat_number *out)
{
	long kept = s->significant < KEEP ? s->significant : KEEP;

	if (s->round_up && ++s->coefficient == (uint64_t)int_power[KEEP]) {
		s->coefficient /= 10;
		s->scale--;
	}
	if (s->scale < -SCALE_LIMIT || s->scale > SCALE_LIMIT || kept - s->scale > SIZE_LIMIT)
		return -1;
	out->coefficient = negative ? -(int64_t)s->coefficient : (int64_t)s->coefficient;
	out->scale = (int)s->scale;
	out->digits = s->significant < 1 ? 1 : s->significant > 1000000 ? 1000000 : (int)s->significant;
	return 0;
}

/* Reads [+-]digits[.digits] of 1 to 8 characters in one word, nearly without a branch.  False for all else. */
static LEAT_INLINE bool
read_word(struct leat_span text, int64_t *coefficient, int *scale)
{
	uint64_t word = leat_word_short(text.ptr, text.len), point;
	bool negative = false;
	size_t digits = text.len;
	int64_t c;

	if ((char)word == '-' || (char)word == '+') {
		negative = (char)word == '-';
		word >>= 8;
		digits--;
	}
	point = leat_word_equal(word, '.');
	*scale = 0;
	if (point != 0) {
		*scale = (int)(--digits - leat_word_first(point));
		if (*scale == 0)
			return false;
		word = leat_word_cut(word, point);
	}
	if (digits == 0)
		return false;
	word = leat_word_digits(word, digits);
	if (!leat_word_are_digits(word))
		return false;
	c = leat_word_number(word);
	*coefficient = negative ? -c : c;
	return true;
}

/* The same of up to KEEP characters, digit by digit. */
static bool
read_few(struct leat_span text, int64_t *coefficient, int *scale)
{
	const char *p = text.ptr, *end = text.ptr + text.len, *start, *point = NULL;
	bool negative = false;
	int64_t c = 0;
	unsigned d;

	if (*p == '-' || *p == '+')
		negative = *p++ == '-';
	for (start = p; p < end; p++) {
		d = digit_of(*p);
		if (d <= 9)
			c = c * 10 + (int64_t)d;
		else if (*p == '.' && point == NULL)
			point = p;
		else
			return false;
	}
	if (start == end || point == end - 1)
		return false;
	*coefficient = negative ? -c : c;
	*scale = point != NULL ? (int)(end - point) - 1 : 0;
	return true;
}

/* Reads [+-]digits[.digits] of 1 to KEEP characters, which is nearly all there is to read: one pass, no digit counted.
 * False for all else, right or wrong. */
static inline bool
read_short(struct leat_span text, int64_t *coefficient, int *scale)
{
	if (text.len - 1 < sizeof(uint64_t))
		return read_word(text, coefficient, scale);
	return text.len - 1 < KEEP && read_few(text, coefficient, scale);
}

static bool
parse_short(struct leat_span text, struct leat_number *out)
{
	const char *start = text.ptr, *end = text.ptr + text.len;

	if (!read_short(text, &out->coefficient, &out->scale))
		return false;
	start += *start == '-' || *start == '+';
	out->digits = (int)(end - start) - (out->scale > 0);
	for (; out->digits > 1 && (*start == '0' || *start == '.'); start++) {
		if (*start == '0')
			out->digits--;
	}
	return true;
}

int
leat_number_parse(struct leat_span text, struct leat_number *out)
{
	struct scan s = { .p = text.ptr };
	bool negative = false;
	long before;

	if (text.len == 0)
		return -1;
	if (parse_short(text, out))
		return 0;
	s.end = text.ptr + text.len;
	if (*s.p == '-' || *s.p == '+')
		negative = *s.p++ == '-';
	before = scan_digits(&s, 0);
	if (s.p < s.end && *s.p == '.') {
		s.p++;
		if (scan_digits(&s, 1) == 0)
			return -1;
	} else if (before == 0) {
		return -1;
	}
	if (s.p < s.end && (*s.p == 'e' || *s.p == 'E') && scan_exponent(&s) != 0)
		return -1;
	if (s.p != s.end)
		return -1;
	return scan_finish(&s, negative, out);
}

/* A sum of two doubles, the second below half a unit in the last place of the first: about 106 bits. */
struct twofold {
	double high, low;
};

static struct twofold
twofold_make(double a, double b)
{
	double sum = a + b;

	return (struct twofold){ sum, b - (sum - a) };
}

/* x times 10^power, 0 <= power <= EXACT_POWER.  fma gives the exact error of the product. */
static struct twofold
twofold_times(struct twofold x, int power)
{
	double f = exact_power[power], high = x.high * f;

	return twofold_make(high, fma(x.high, f, -high) + x.low * f);
}

static struct twofold
twofold_over(struct twofold x, int power)
{
	double f = exact_power[power], high = x.high / f;

	return twofold_make(high, (fma(-high, f, x.high) + x.low) / f);
}

/* The way for numbers that a single operation on exact operands does not give. */
static double
value_far(int64_t coefficient, int scale)
{
	struct twofold x;
	double high = (double)coefficient;
	int lift = scale > 200 ? 600 : 0, step;

	/* Kept clear of the subnormal numbers, where the low part would be lost, until the end. */
	x = twofold_make(ldexp(high, lift), ldexp((double)(coefficient - (int64_t)high), lift));
	for (; scale > 0; scale -= step) {
		step = scale < EXACT_POWER ? scale : EXACT_POWER;
		x = twofold_over(x, step);
	}
	for (; scale < 0; scale += step) {
		step = -scale < EXACT_POWER ? -scale : EXACT_POWER;
		x = twofold_times(x, step);
	}
	return lift != 0 ? ldexp(x.high, -lift) : x.high;
}

double
leat_number_value(const struct leat_number *num)
{
	const int64_t exact = INT64_C(1) << 53;
	int64_t c = num->coefficient;

	/* Both operands are exact, so the one operation rounds correctly. */
	if (c >= -exact && c <= exact) {
		if (num->scale >= 0 && num->scale <= EXACT_POWER)
			return (double)c / exact_power[num->scale];
		if (num->scale < 0 && num->scale >= -EXACT_POWER)
			return (double)c * exact_power[-num->scale];
	}
	return value_far(c, num->scale);
}

/* All but a number of one word. */
static LEAT_APART int
parse_far(struct leat_span text, double *out)
{
	struct leat_number num;

	if ((text.len - 1 >= KEEP || !read_few(text, &num.coefficient, &num.scale)) && leat_number_parse(text, &num) != 0)
		return -1;
	*out = leat_number_value(&num);
	return 0;
}

/* Both a coefficient of eight digits and the power are exact, so the one operation rounds correctly. */
static LEAT_INLINE bool
parse_word(struct leat_span text, double *out, int *scale)
{
	int64_t coefficient;

	if (text.len - 1 >= sizeof(uint64_t) || !read_word(text, &coefficient, scale))
		return false;
	*out = (double)coefficient / exact_power[*scale];
	return true;
}

int
leat_double_parse(struct leat_span text, double *out)
{
	int scale;

	return parse_word(text, out, &scale) ? 0 : parse_far(text, out);
}

static LEAT_APART int
decimals_far(struct leat_span text, double *out, int *decimals)
{
	*decimals = leat_number_decimals(text);
	return parse_far(text, out);
}

int
leat_double_decimals(struct leat_span text, double *out, int *decimals)
{
	int scale;

	if (!parse_word(text, out, &scale))
		return decimals_far(text, out, decimals);
	*decimals = scale;
	return 0;
}

int
leat_int_parse(struct leat_span text, int64_t min, int64_t max, int64_t *out)
{
	const char *p = text.ptr, *end = text.ptr + text.len;
	bool negative = false;
	uint64_t value = 0, limit;
	int64_t result;
	unsigned d;

	if (text.len == 0)
		return -1;
	if (*p == '-' || *p == '+')
		negative = *p++ == '-';
	if (p == end)
		return -1;
	limit = negative ? (uint64_t)INT64_MAX + 1 : INT64_MAX;
	for (; p < end; p++) {
		d = digit_of(*p);
		if (d > 9 || value > (limit - d) / 10)
			return -1;
		value = value * 10 + d;
	}
	/* The size of INT64_MIN does not fit an int64_t; one less does. */
	result = !negative ? (int64_t)value : value == 0 ? 0 : -(int64_t)(value - 1) - 1;
	if (result < min || result > max)
		return -1;
	*out = result;
	return 0;
}

/* coefficient / 10^drop, rounded half away from zero. */
static int64_t
round_off(int64_t coefficient, long drop)
{
	int64_t power, quotient, rest;

	/* At most 18 digits: with 19 dropped nothing reaches a half. */
	if (drop > KEEP)
		return 0;
	power = int_power[drop];
	quotient = coefficient / power;
	rest = coefficient % power;
	if (rest < 0)
		rest = -rest;
	if (rest >= power - rest)
		quotient += coefficient < 0 ? -1 : 1;
	return quotient;
}

bool
leat_number_agree(const struct leat_number *a, const struct leat_number *b)
{
	if (a->scale > b->scale)
		return round_off(a->coefficient, (long)a->scale - b->scale) == b->coefficient;
	return round_off(b->coefficient, (long)b->scale - a->scale) == a->coefficient;
}
