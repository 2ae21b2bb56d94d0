/* Cleanliness codes as text, and what must hold of them whatever the count. */
#include <math.h>

#include "physics/cleanliness.h"
#include "random.h"
#include "unit.h"

#define COUNT(array) (sizeof(array) / sizeof((array)[0]))

static void
test_codes(void **state)
{
	static const struct {
		const char *text, *written;
	} codes[] = {
		{ "18/16/13", "18/16/13" }, { "12/10/08", "12/10/8" }, { " 18 / 16 / 13 ", "18/16/13" }, { "0/0/0", "0/0/0" },
		{ "16/13", "-/16/13" }, { "-/16/13", "-/16/13" }, { "*/19/14", "*/19/14" }, { "14/12/>=7", "14/12/>=7" },
		{ "14/12/>= 7", "14/12/>=7" }, { ">28/25/20", ">28/25/20" }, { "28/27/0", "28/27/0" }, { "19/-/-", "19/-/-" }
	};

	(void)state;
	for (size_t i = 0; i < COUNT(codes); i++) {
		struct leat_iso4406 code;
		char text[LEAT_ISO4406_MAX];
		const char *why = "";

		if (leat_iso4406_parse(leat_span_of(codes[i].text), &code, &why) != 0)
			fail_msg("'%s': %s", codes[i].text, why);
		assert_int_equal(leat_iso4406_write(text, &code), strlen(codes[i].written));
		assert_string_equal(text, codes[i].written);
		assert_false(leat_iso4406_date(leat_span_of(codes[i].text)));
	}
}

static void
test_no_codes(void **state)
{
	static const struct {
		const char *text;
		bool date;
	} texts[] = {
		{ "12.10.2008", true }, { "2008-10-12", true }, { "12/10/2008", true }, { "12.10.08", true }, { "12-Oct-08", true },
		{ "12. Okt 2008", true }, { "Oct-08", true }, { "2008-10-12 00:00:00", true }, { "2008-10-12T00:00:00", true },
		{ "12/10/08 00:00", true }, { "39733", true }, { "39733.0", true }, { "45931", true }, { "1. M\xc3\xa4r 08", true },
		{ "18.16.13", false }, { "18-16-13", false }, { "18", false }, { "", false }, { "18/16/13/10", false },
		{ "29/16/13", false }, { "18//13", false }, { "-/-/-", false }, { ">27/16/13", false }, { "n.d.", false },
		{ "abc", false }, { "18/16/x", false }, { "118/16/13", false }, { "1234567", false }, { "18/16/13 b", false },
		{ "/", false }, { "//", false }, { "12/10/", false }, { "99999", false }, { "2008", false }
	};

	(void)state;
	for (size_t i = 0; i < COUNT(texts); i++) {
		struct leat_iso4406 code;
		const char *why = NULL;

		if (leat_iso4406_parse(leat_span_of(texts[i].text), &code, &why) == 0)
			fail_msg("'%s' is taken as a code", texts[i].text);
		if (leat_iso4406_date(leat_span_of(texts[i].text)) != texts[i].date)
			fail_msg("'%s': a date is %d", texts[i].text, !texts[i].date);
		assert_non_null(why);
		assert_int_equal(strncmp(why, "a date", 6) == 0, texts[i].date);
	}
}

/* Random bytes of what codes and dates are made of: whatever is taken as a code is one when it is written again. */
static void
test_random_texts(void **state)
{
	static const char bytes[] = "0123456789/-*>=. TOct:,";
	uint64_t seed = 4406;
	int codes = 0;

	(void)state;
	for (int i = 0; i < 200000; i++) {
		struct leat_iso4406 code, again;
		char text[16], written[LEAT_ISO4406_MAX];
		size_t len = random_below(&seed, sizeof(text));
		const char *why;

		for (size_t k = 0; k < len; k++)
			text[k] = random_below(&seed, 2) ? (char)('0' + random_below(&seed, 10)) :
			    random_below(&seed, 2) ? '/' : bytes[random_below(&seed, sizeof(bytes) - 1)];
		if (leat_iso4406_parse(leat_span_make(text, len), &code, &why) != 0)
			continue;
		codes++;
		len = leat_iso4406_write(written, &code);
		assert_true(len < sizeof(written));
		assert_int_equal(leat_iso4406_parse(leat_span_make(written, len), &again, &why), 0);
		for (int k = 0; k < LEAT_ISO4406_PLACES; k++)
			assert_int_equal(again.number[k], code.number[k]);
	}
	assert_true(codes > 100);
}

static void
test_monotone(void **state)
{
	uint64_t seed = 1999;

	(void)state;
	for (int i = 0; i < 100000; i++) {
		double a = exp2((double)random_below(&seed, 40000) / 1000 - 10), b = exp2((double)random_below(&seed, 40000) / 1000 - 10);
		double low = a < b ? a : b, high = a < b ? b : a;

		assert_true(leat_iso4406_number(low) <= leat_iso4406_number(high));
		for (int size = 0; size < LEAT_PARTICLES; size++)
			assert_true(leat_as4059_class((enum leat_particle)size, low) <= leat_as4059_class((enum leat_particle)size, high));
		for (int band = 0; band < LEAT_NAS1638_BANDS; band++)
			assert_true(leat_nas1638_band(band, low) <= leat_nas1638_band(band, high));
	}
}

/* Twice the count is one number more.  Only where the standard's rounded limits are not twice the one below is it none, or
 * two: by that gap and nowhere else. */
static void
test_doubling(void **state)
{
	uint64_t seed = 2021;
	int odd = 0;

	(void)state;
	for (int i = 0; i < 100000; i++) {
		double count = exp2((double)random_below(&seed, 27000) / 1000 - 6);
		int before = leat_iso4406_number(count), after = leat_iso4406_number(2 * count);
		double upper = leat_iso4406_limit(before), lower = leat_iso4406_limit(before - 1);
		bool over = 2 * count > leat_iso4406_limit(before + 1), under = 2 * count <= upper;

		if (after == before + 1)
			continue;
		odd++;
		if (after == before + 2)
			assert_true(over && leat_iso4406_limit(before + 1) < 2 * upper && count > leat_iso4406_limit(before + 1) / 2);
		else if (after == before)
			assert_true(under && upper > 2 * lower);
		else
			fail_msg("%g is %d, twice as much is %d", count, before, after);
	}
	assert_true(odd > 100);
}

static void
test_no_counts(void **state)
{
	(void)state;
	assert_int_equal(leat_iso4406_number(-1), LEAT_ISO4406_NOT_COUNTED);
	assert_int_equal(leat_iso4406_number(NAN), LEAT_ISO4406_NOT_COUNTED);
	assert_int_equal(leat_iso4406_number(INFINITY), LEAT_ISO4406_NOT_COUNTED);
	assert_int_equal(leat_as4059_class(LEAT_PARTICLE_6, NAN), -1);
	assert_int_equal(leat_nas1638_band(0, -0.1), -1);
	unit_close(leat_iso4406_limit(-1), 0, 0);
	assert_true(isinf(leat_iso4406_limit(LEAT_ISO4406_OVER)));
	assert_string_equal(leat_as4059_name(99), "");
}

static void
test_target(void **state)
{
	static const struct {
		const char *code, *target;
		int places, above;
		bool rises;
	} cases[] = {
		{ "18/16/13", "18/16/13", 3, 0, false }, { "20/16/13", "18/16/13", 3, 2, false },
		{ "17/15/12", "18/16/13", 3, -1, false }, { "12/10/15", "18/16/13", 3, 2, true },
		{ "-/17/13", "18/16/13", 2, 1, false }, { "*/15/12", "18/16/13", 2, -1, false },
		{ "18/-/-", "-/16/13", 0, 0, false }, { ">28/16/13", "18/16/13", 3, 11, false },
		{ "18/-/19", "18/16/13", 2, 6, true }
	};

	(void)state;
	for (size_t i = 0; i < COUNT(cases); i++) {
		struct leat_iso4406 code, target;
		const char *why;
		int above;

		assert_int_equal(leat_iso4406_parse(leat_span_of(cases[i].code), &code, &why), 0);
		assert_int_equal(leat_iso4406_parse(leat_span_of(cases[i].target), &target, &why), 0);
		assert_int_equal(leat_iso4406_above(&code, &target, &above), cases[i].places);
		assert_int_equal(above, cases[i].above);
		assert_int_equal(leat_iso4406_rises(&code), cases[i].rises);
	}
}

/* Counts are cumulative: those of a larger size are never more. */
static void
test_rising_counts(void **state)
{
	static const double steady[LEAT_PARTICLES] = { 100, 100, 20, 20, 3, 0 }, rising[LEAT_PARTICLES] = { 100, 110, 20, 5, 6, 0 };
	const double other_unit[LEAT_PARTICLES] = { 1, 0.3, 3 * 0.1, 0, 0, 0 };

	(void)state;
	assert_false(leat_particles_rise(steady, 0x3f));
	assert_true(leat_particles_rise(rising, 0x3));
	assert_false(leat_particles_rise(rising, 0xd));
	assert_true(leat_particles_rise(rising, 0x18));
	assert_false(leat_particles_rise(rising, 0));
	/* 3 times 0.1 is not quite 0.3. */
	assert_true(other_unit[2] > other_unit[1]);
	assert_false(leat_particles_rise(other_unit, 0x7));
	assert_int_equal(leat_nas1638_class(other_unit, 0x6, (int[LEAT_NAS1638_BANDS]){ 0 }), 0);
}

int
main(void)
{
	static const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_codes),
		cmocka_unit_test(test_no_codes),
		cmocka_unit_test(test_random_texts),
		cmocka_unit_test(test_monotone),
		cmocka_unit_test(test_doubling),
		cmocka_unit_test(test_no_counts),
		cmocka_unit_test(test_target),
		cmocka_unit_test(test_rising_counts),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
