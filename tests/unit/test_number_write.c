/*
 * Exact decimal numbers, writing: lib/base/number_write.c.
 *
 * Outside reference: the C library's printf, which rounds the exact value of a double half to even.
 */
#include "unit.h"

#include <float.h>
#include <math.h>

#include "base/number.h"
#include "random.h"

static void
decimals_as_written(void **state)
{
	static const struct {
		const char *text;
		int decimals;
	} table[] = {
		{ "", 0 }, { "121", 0 }, { "121.", 0 }, { "121.5", 1 }, { "-0.50", 2 }, { ".125", 3 }, { "1.5e3", 0 },
		{ "0.1234567890123", 9 }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(table) / sizeof(table[0]); i++)
		assert_int_equal(leat_number_decimals(leat_span_of(table[i].text)), table[i].decimals);
}

static void
check_fixed(double value, int decimals)
{
	char got[LEAT_NUMBER_MAX], expected[512], *text = expected;
	size_t len = leat_number_fixed(got, value, decimals);

	snprintf(expected, sizeof(expected), "%.*f", decimals, value);
	if (text[0] == '-' && strtod(text, NULL) == 0 && strpbrk(text, "123456789") == NULL)
		text++;
	if (strcmp(got, text) != 0 || len != strlen(got))
		fail_msg("%a with %d decimals: '%s', printf '%s'", value, decimals, got, text);
}

static void
fixed_writes_as_printf(void **state)
{
	static const double values[] = {
		0, -0.0, 0.5, 1.5, 2.5, -0.5, -2.5, 0.125, 0.375, 0.05, 0.15, 0.25, 0.35, 1.005, 2.675, 1e15, 1e16, 1e22,
		1e299, -1e299, 4503599627370495.5, 4503599627370496.5, 2251799813685247.75, 2251799813685248.5,
		9007199254740993.0, 0.1, 1.0 / 3, 5e-324, DBL_MIN, 0.49999999999999994, 0.99999999999999989, 1e-17, 5e-18
	};
	uint64_t seed = 3, bits;
	double value;
	size_t i;
	int d, round;

	(void)state;
	for (i = 0; i < sizeof(values) / sizeof(values[0]); i++) {
		for (d = 0; d <= 17; d++) {
			check_fixed(values[i], d);
			check_fixed(-values[i], d);
			check_fixed(nextafter(values[i], 1e300), d);
			check_fixed(nextafter(values[i], -1e300), d);
		}
	}
	for (round = 0; round < 300000; round++) {
		bits = random_next(&seed);
		switch (round % 4) {
		case 0:		/* as readings are: few digits, then a factor */
			value = (double)random_below(&seed, 1000000) / 1000 * (round % 8 == 0 ? 1 : 1.0 / 14.5);
			break;
		case 1:		/* halves: a tie at some number of decimals */
			value = (double)(bits >> 40) / (1 << random_below(&seed, 18));
			break;
		case 2:		/* decimal halves, nearest double: just above or below a tie */
			value = ((double)(bits >> 34) + 0.5) / pow(10, random_below(&seed, 12));
			break;
		default:	/* any double below 1e300 */
			memcpy(&value, &bits, sizeof(value));
			if (!(fabs(value) < 1e300))
				continue;
			break;
		}
		check_fixed(value, (int)random_below(&seed, 18));
		check_fixed(-value, (int)random_below(&seed, 5));
	}
	/* Out of range is held to the range. */
	assert_int_equal(leat_number_fixed((char[LEAT_NUMBER_MAX]){ 0 }, 1.25, -1), 1);
	assert_int_equal(leat_number_fixed((char[LEAT_NUMBER_MAX]){ 0 }, 1.25, 99), 19);
}

static void
significant_cases(void **state)
{
	static const struct {
		double value;
		int digits;
		const char *expected;
	} cases[] = {
		{ 0.04567, 3, "0.0457" },
		{ 98765, 3, "98800" },
		{ 98765, 5, "98765" },
		{ 98765, 6, "98765.0" },
		{ 0, 3, "0.00" },
		{ -0.0, 3, "0.00" },
		{ 0, 1, "0" },
		{ 9.996, 3, "10.0" },
		{ 0.09996, 3, "0.100" },
		{ 99999.6, 5, "100000" },
		{ 999.96, 4, "1000" },
		{ 9.5, 1, "10" },	/* one digit, the tens: half to even is 10 */
		{ 8.5, 1, "8" },
		{ -52.3, 6, "-52.3000" },
		{ 1e20, 3, "100000000000000000000" },
		{ 1.25e-9, 2, "0.0000000013" },	/* the nearest double is above 1.25e-9 */
		{ 1.5e-30, 4, "0.000000000000000000000000000001500" },
		{ 206.84271879504, 6, "206.843" }
	};
	char got[LEAT_NUMBER_MAX];
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		assert_int_equal(leat_number_significant(got, cases[i].value, cases[i].digits), strlen(cases[i].expected));
		assert_string_equal(got, cases[i].expected);
	}
}

/* The digits, from the first that is not 0, are those of printf's %e; what stands left of the last is zeros. */
static void
significant_digits_are_those_of_printf(void **state)
{
	uint64_t seed = 5, bits;
	char got[LEAT_NUMBER_MAX], text[64], shown[LEAT_NUMBER_MAX], wanted[64];
	int round, digits, n, i;
	double value;
	const char *p;

	(void)state;
	for (round = 0; round < 200000; round++) {
		bits = random_next(&seed);
		memcpy(&value, &bits, sizeof(value));
		if (round % 2 == 0)
			value = (double)random_below(&seed, 10000000) / pow(10, random_below(&seed, 10)) + 1e-9;
		if (!(fabs(value) < 1e300) || value == 0)
			continue;
		digits = 1 + (int)random_below(&seed, 17);
		leat_number_significant(got, value, digits);
		snprintf(text, sizeof(text), "%.*e", digits - 1, value);
		for (p = text, n = 0; *p != 'e'; p++) {
			if (*p >= '0' && *p <= '9')
				wanted[n++] = *p;
		}
		for (p = got, i = 0; *p != '\0'; p++) {
			if (*p >= '0' && *p <= '9' && (i > 0 || *p != '0'))
				shown[i++] = *p;
		}
		shown[i] = '\0';
		if (strncmp(shown, wanted, (size_t)digits) != 0 || strspn(shown + digits, "0") != strlen(shown + digits) ||
		    (i > digits && strchr(got, '.') != NULL) || strtod(got, NULL) != strtod(text, NULL))
			fail_msg("%a with %d digits: '%s', printf '%s'", value, digits, got, text);
	}
}

static void
zeros_behind_the_point(void **state)
{
	static const struct {
		const char *text, *expected;
	} cases[] = {
		{ "1.500", "1.5" }, { "20.0", "20" }, { "20", "20" }, { "100", "100" }, { "0.00", "0" }, { "-0.050", "-0.05" },
		{ "10.010", "10.01" }, { "7.25", "7.25" }
	};
	char text[LEAT_NUMBER_MAX];

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		snprintf(text, sizeof(text), "%s", cases[i].text);
		assert_int_equal(leat_number_trim(text, strlen(text)), strlen(cases[i].expected));
		assert_string_equal(text, cases[i].expected);
	}
}

static void
plain_keeps_the_text(void **state)
{
	static const struct {
		const char *text, *expected;
	} cases[] = {
		{ "52.30", "52.30" }, { "1.5e3", "1500" }, { "1.5e-3", "0.0015" }, { "-.5", "-0.5" }, { "0.00", "0.00" },
		{ "-0.0", "0.0" }, { "0e5", "0" }, { "+7", "7" }, { "007", "7" }, { "1e-5", "0.00001" },
		{ "100", "100" }, { "-123456789012345678", "-123456789012345678" }
	};
	struct leat_number num;
	char got[LEAT_NUMBER_MAX], text[64];
	uint64_t seed = 11;
	size_t i, len;
	int round;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		assert_int_equal(leat_number_parse(leat_span_of(cases[i].text), &num), 0);
		assert_int_equal(leat_number_plain(got, &num), strlen(cases[i].expected));
		assert_string_equal(got, cases[i].expected);
	}
	/* The longest that can be read. */
	assert_int_equal(leat_number_parse(LEAT_SPAN("-123456789012345678e-382"), &num), 0);
	assert_true(leat_number_plain(got, &num) < LEAT_NUMBER_MAX);
	num = (struct leat_number){ -999999999999999999, -400, 18 };
	assert_int_equal(leat_number_plain(got, &num), 419);
	num = (struct leat_number){ -999999999999999999, 400, 18 };
	assert_int_equal(leat_number_plain(got, &num), 403);
	/* What was read, is written. */
	for (round = 0; round < 100000; round++) {
		len = random_decimal(&seed, text, 1 + (int)random_below(&seed, 18), 0);
		if (leat_number_parse(leat_span_make(text, len), &num) != 0)
			fail_msg("%s refused", text);
		leat_number_plain(got, &num);
		if (strtod(got, NULL) != strtod(text, NULL))
			fail_msg("%s became %s", text, got);
		if (strchr(text, '.') != NULL && strlen(strchr(got, '.')) != strlen(strchr(text, '.')))
			fail_msg("%s became %s", text, got);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(decimals_as_written),
		cmocka_unit_test(fixed_writes_as_printf),
		cmocka_unit_test(significant_cases),
		cmocka_unit_test(significant_digits_are_those_of_printf),
		cmocka_unit_test(zeros_behind_the_point),
		cmocka_unit_test(plain_keeps_the_text)
	};

	return cmocka_run_group_tests_name("number_write", tests, NULL, NULL);
}
