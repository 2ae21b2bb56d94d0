/*
 * Exact decimal numbers, reading and comparing: lib/base/number.c.
 *
 * Outside references: the C library's strtod, which rounds correctly, and POSIX regular expressions for what is a
 * number.
 */
#include "unit.h"

#include <regex.h>

#include "base/number.h"
#include "random.h"

/* Doubles of one sign, in order, are one apart in their bits. */
static uint64_t
ulps_apart(double a, double b)
{
	uint64_t x, y;

	memcpy(&x, &a, sizeof(x));
	memcpy(&y, &b, sizeof(y));
	return x > y ? x - y : y - x;
}

static void
parse_reads_what_is_written(void **state)
{
	static const struct {
		const char *text;
		int64_t coefficient;
		int scale, digits;
	} cases[] = {
		{ "52.30", 5230, 2, 4 },
		{ "1.5e3", 15, -2, 2 },
		{ "1.5E-3", 15, 4, 2 },
		{ "+7", 7, 0, 1 },
		{ "-7.0", -70, 1, 2 },
		{ ".5", 5, 1, 1 },
		{ "-.5", -5, 1, 1 },
		{ "0", 0, 0, 1 },
		{ "-0", 0, 0, 1 },
		{ "0.00", 0, 2, 1 },
		{ "000", 0, 0, 1 },
		{ "007", 7, 0, 1 },
		{ "0010", 10, 0, 2 },
		{ "0.0050", 50, 4, 2 },
		{ "00.0050e1", 50, 3, 2 },
		{ "100", 100, 0, 3 },
		{ "123456789012345678", 123456789012345678, 0, 18 },
		{ "1234567890.12345678", 123456789012345678, 8, 18 },
		{ "-1234567890.12345678", -123456789012345678, 8, 18 },
		{ "0.0000000000000000000000123", 123, 25, 3 },
		/* Nineteen digits and more: the rest is rounded away, half away from zero. */
		{ "1234567890123456784", 123456789012345678, -1, 19 },
		{ "1234567890123456785", 123456789012345679, -1, 19 },
		{ "-1234567890123456785", -123456789012345679, -1, 19 },
		{ "12345678901234567.8512", 123456789012345679, 1, 21 },
		{ "0.1234567890123456784999", 123456789012345678, 18, 22 },
		{ "9999999999999999995", 100000000000000000, -2, 19 },
		{ "1.0000000000000000000000001", 100000000000000000, 17, 26 },
		{ "1e299", 1, -299, 1 },
		{ "1e-400", 1, 400, 1 },
		{ "0e299", 0, -299, 1 }
	};
	struct leat_number num;
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		memset(&num, 0xff, sizeof(num));
		if (leat_number_parse(leat_span_of(cases[i].text), &num) != 0 ||
		    num.coefficient != cases[i].coefficient || num.scale != cases[i].scale ||
		    num.digits != cases[i].digits) {
			fail_msg("%s: %lld scale %d digits %d", cases[i].text, (long long)num.coefficient, num.scale,
			    num.digits);
		}
	}
}

static void
parse_refuses_the_rest(void **state)
{
	static const char *const cases[] = {
		"", " ", "+", "-", ".", "-.", "e", "e5", ".e5", "5.", "-5.", "5.e3", "1e", "1e+", "1e-", "1e1.5", "1 ",
		" 1", "1\n", "--1", "+-1", "1-", "1..2", "1.2.3", "1,5", "0x10", "0x1p3", "1f", "nan", "NaN", "inf",
		"-inf", "INFINITY", "1e300", "1e99999999999999999999", "0.1e301", "1e-401", "0e-401", "1e-99999999999999999999",
		"1_000", "1'000", "\302\2401", "\357\274\221"
	};
	struct leat_number num;
	double value;
	char huge[400];
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		if (leat_number_parse(leat_span_of(cases[i]), &num) == 0 ||
		    leat_double_parse(leat_span_of(cases[i]), &value) == 0)
			fail_msg("'%s' was taken", cases[i]);
	}
	assert_int_equal(leat_number_parse(leat_span_make(NULL, 0), &num), -1);
	assert_int_equal(leat_number_parse(leat_span_make("1\0", 2), &num), -1);
	assert_int_equal(leat_number_parse(leat_span_make("1\0002", 3), &num), -1);
	memset(huge, '9', sizeof(huge));
	assert_int_equal(leat_number_parse(leat_span_make(huge, 301), &num), -1);
	assert_int_equal(leat_number_parse(leat_span_make(huge, 300), &num), -1);	/* rounds up to 1e300 */
	assert_int_equal(leat_number_parse(leat_span_make(huge, 299), &num), 0);
}

/* What is a number, said by a regular expression: every text over the characters that matter, at random. */
static void
parse_follows_its_grammar(void **state)
{
	static const char letters[] = "0123459.+-eEx 00..";
	regex_t number, whole;
	uint64_t seed = 20250203;
	struct leat_number num;
	int64_t value;
	char text[16];
	int round, i, len, taken = 0;

	(void)state;
	assert_int_equal(regcomp(&number, "^[+-]?([0-9]+(\\.[0-9]+)?|\\.[0-9]+)([eE][+-]?[0-9]+)?$",
	    REG_EXTENDED | REG_NOSUB), 0);
	assert_int_equal(regcomp(&whole, "^[+-]?[0-9]+$", REG_EXTENDED | REG_NOSUB), 0);
	for (round = 0; round < 300000; round++) {
		len = (int)random_below(&seed, 8);
		for (i = 0; i < len; i++)
			text[i] = letters[random_below(&seed, sizeof(letters) - 1)];
		text[len] = '\0';
		/* The range of exponents is no part of the grammar. */
		if (strpbrk(text, "eE") != NULL && labs(strtol(strpbrk(text, "eE") + 1, NULL, 10)) > 99)
			continue;
		if ((leat_number_parse(leat_span_of(text), &num) == 0) != (regexec(&number, text, 0, NULL, 0) == 0))
			fail_msg("'%s' as a number", text);
		if ((leat_int_parse(leat_span_of(text), INT64_MIN, INT64_MAX, &value) == 0) !=
		    (regexec(&whole, text, 0, NULL, 0) == 0))
			fail_msg("'%s' as a whole number", text);
		taken += leat_number_parse(leat_span_of(text), &num) == 0;
	}
	regfree(&number);
	regfree(&whole);
	/* The generator makes enough of both kinds. */
	assert_true(taken > 20000 && taken < 250000);
}

static void
values_are_those_of_strtod(void **state)
{
	uint64_t seed = 7;
	int round, digits, exponent;
	double expected, got;
	struct leat_number num;
	char text[64];
	size_t len;

	(void)state;
	for (round = 0; round < 400000; round++) {
		/* A third each: as instruments write, long, and with an exponent of any size. */
		digits = 1 + (int)random_below(&seed, round % 3 == 0 ? 8 : 24);
		exponent = round % 3 == 2 ? (int)random_below(&seed, 640) - 360 : 0;
		len = random_decimal(&seed, text, digits, exponent);
		if (leat_number_parse(leat_span_make(text, len), &num) != 0) {
			if (exponent == 0)
				fail_msg("%s refused", text);
			continue;
		}
		expected = strtod(text, NULL);
		got = leat_number_value(&num);
		if (num.coefficient == 0 && expected == 0)
			continue;	/* the sign of a zero is not kept */
		if (num.digits <= 15 && abs(num.scale) <= 22 && got != expected)
			fail_msg("%s: %.17g, strtod %.17g", text, got, expected);
		/* Digits beyond the eighteenth are rounded away, which may move the value by half a unit more. */
		if (ulps_apart(got, expected) > 1)
			fail_msg("%s: %.17g, strtod %.17g", text, got, expected);
	}
}

static void
whole_numbers_have_limits(void **state)
{
	static const struct {
		const char *text;
		int64_t min, max, value;
		bool good;
	} cases[] = {
		{ "10", 1, 10, 10, true },
		{ "11", 1, 10, 0, false },
		{ "0", 1, 10, 0, false },
		{ "-3", -3, 3, -3, true },
		{ "+3", -3, 3, 3, true },
		{ "0008", 0, 10, 8, true },
		{ "9223372036854775807", INT64_MIN, INT64_MAX, INT64_MAX, true },
		{ "9223372036854775808", INT64_MIN, INT64_MAX, 0, false },
		{ "-9223372036854775808", INT64_MIN, INT64_MAX, INT64_MIN, true },
		{ "-9223372036854775809", INT64_MIN, INT64_MAX, 0, false },
		{ "99999999999999999999999", INT64_MIN, INT64_MAX, 0, false },
		{ "18446744073709551616", INT64_MIN, INT64_MAX, 0, false },
		{ "1.0", 0, 10, 0, false },
		{ "1e1", 0, 10, 0, false },
		{ "", 0, 10, 0, false },
		{ "-", -1, 10, 0, false },
		{ "0x1", 0, 10, 0, false }
	};
	int64_t value;
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		value = 4711;
		if ((leat_int_parse(leat_span_of(cases[i].text), cases[i].min, cases[i].max, &value) == 0) !=
		    cases[i].good || value != (cases[i].good ? cases[i].value : 4711))
			fail_msg("%s", cases[i].text);
	}
}

static bool
agree(const char *a, const char *b)
{
	struct leat_number x, y;

	if (leat_number_parse(leat_span_of(a), &x) != 0 || leat_number_parse(leat_span_of(b), &y) != 0)
		fail_msg("%s or %s is no number", a, b);
	if (leat_number_agree(&x, &y) != leat_number_agree(&y, &x))
		fail_msg("%s and %s: not symmetric", a, b);
	return leat_number_agree(&x, &y);
}

static void
readings_agree_at_the_coarser_precision(void **state)
{
	static const struct {
		const char *a, *b;
		bool agree;
	} cases[] = {
		{ "83.1", "83.14", true },
		{ "83.1", "83.2", false },
		{ "83.1", "83.15", false },
		{ "83.2", "83.15", true },
		{ "83.1", "83.149999999999999", true },
		{ "-83.2", "-83.15", true },
		{ "-83.1", "-83.15", false },
		{ "83", "83.00", true },
		{ "0.0", "-0.04", true },
		{ "0.0", "0.05", false },
		{ "0.1", "-0.1", false },
		{ "1.5e3", "1523", true },
		{ "1.5e3", "1550", false },
		{ "1.6e3", "1550", true },
		{ "1500", "1523", false },
		{ "0", "0.499999999999999999", true },
		{ "1", "0.500000000000000000", true },
		{ "1", "0.99999999999999999", true },
		{ "0", "1e-300", true },
		{ "0e299", "5e298", false },
		{ "1e299", "5e298", true },
		{ "1e299", "1e-300", false },
		/* One hundredth is not a binary fraction: 0.285 must round to 0.29. */
		{ "0.29", "0.285", true },
		{ "1.005", "1.01", true }
	};
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		if (agree(cases[i].a, cases[i].b) != cases[i].agree)
			fail_msg("%s and %s", cases[i].a, cases[i].b);
	}
}

/* A coarse reading c and a finer one, off by r / 10^extra of its last place. */
static void
agreement_is_rounding(void **state)
{
	uint64_t seed = 99;
	int round, extra, scale;
	int64_t c, r, power;
	struct leat_number coarse, fine;
	bool expected;

	(void)state;
	for (round = 0; round < 300000; round++) {
		extra = (int)random_below(&seed, 9);
		for (power = 1, r = extra; r > 0; r--)
			power *= 10;
		c = (int64_t)random_below(&seed, 1000000) + 1;
		r = (int64_t)random_below(&seed, (unsigned)(2 * power < 2000000000 ? 2 * power + 1 : 2000000000)) - power;
		if (random_below(&seed, 4) == 0 && power > 1)
			r = (random_below(&seed, 2) == 0 ? 1 : -1) * power / 2;
		scale = (int)random_below(&seed, 9) - 4;
		coarse = (struct leat_number){ c, scale, 1 };
		fine = (struct leat_number){ c * power + r, scale + extra, 1 };
		expected = power == 1 ? r == 0 : 2 * r >= -power && 2 * r < power;
		if (leat_number_agree(&coarse, &fine) != expected || leat_number_agree(&fine, &coarse) != expected)
			fail_msg("%lld and %lld / 10^%d", (long long)c, (long long)fine.coefficient, extra);
		coarse.coefficient = -coarse.coefficient;
		fine.coefficient = -fine.coefficient;
		if (leat_number_agree(&coarse, &fine) != expected || !leat_number_agree(&fine, &fine))
			fail_msg("-%lld and %lld / 10^%d", (long long)c, (long long)fine.coefficient, extra);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(parse_reads_what_is_written),
		cmocka_unit_test(parse_refuses_the_rest),
		cmocka_unit_test(parse_follows_its_grammar),
		cmocka_unit_test(values_are_those_of_strtod),
		cmocka_unit_test(whole_numbers_have_limits),
		cmocka_unit_test(readings_agree_at_the_coarser_precision),
		cmocka_unit_test(agreement_is_rounding)
	};

	return cmocka_run_group_tests_name("number", tests, NULL, NULL);
}
