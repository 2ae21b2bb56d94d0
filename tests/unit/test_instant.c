/*
 * Instants, civil dates, RFC 3339 and durations.
 */
#include "unit.h"

#include "base/instant.h"

/* A small generator, so that a failure comes again. */
static uint64_t
next_random(uint64_t *state)
{
	*state ^= *state << 13;
	*state ^= *state >> 7;
	*state ^= *state << 17;
	return *state;
}

static struct leat_time
parse(const char *text)
{
	struct leat_time t = LEAT_TIME_NONE;

	if (leat_time_parse(leat_span_of(text), &t) != 0)
		fail_msg("'%s' is not taken", text);
	return t;
}

static void
assert_written(struct leat_time t, const char *expected)
{
	char text[LEAT_TIME_MAX];
	size_t len = leat_time_write(text, t);

	assert_string_equal(text, expected);
	assert_int_equal(len, strlen(expected));
}

static void
parse_takes(void **state)
{
	static const struct {
		const char *text;
		int64_t sec;
		int32_t nsec;
	} cases[] = {
		{ "1970-01-01T00:00:00Z", 0, 0 },
		{ "1969-12-31T23:59:59.5Z", -1, 500000000 },
		{ "2025-02-03T04:05:06Z", 1738555506, 0 },
		{ "2025-02-03t04:05:06z", 1738555506, 0 },
		{ "2025-02-03 04:05:06Z", 1738555506, 0 },
		{ "2025-02-03T05:05:06+01:00", 1738555506, 0 },
		{ "2025-02-02T23:35:06-04:30", 1738555506, 0 },
		{ "2025-02-03T04:05:06-00:00", 1738555506, 0 },
		{ "2025-02-03T04:05:06.1Z", 1738555506, 100000000 },
		{ "2025-02-03T04:05:06.000000001Z", 1738555506, 1 },
		{ "2025-02-03T04:05:06.123456789+00:00", 1738555506, 123456789 },
		{ "0001-01-01T00:00:00Z", INT64_C(-62135596800), 0 },
		{ "0001-01-01T23:59:00+23:59", INT64_C(-62135596800), 0 },
		{ "9999-12-31T23:59:59Z", INT64_C(253402300799), 0 },
		{ "1998-12-31T23:59:60Z", 915148800, 0 },
		{ "1998-12-31T15:59:60.25-08:00", 915148800, 250000000 },
		{ "1997-06-30T23:59:60Z", 867715200, 0 },
	};
	struct leat_time t;
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		t = parse(cases[i].text);
		if (t.sec != cases[i].sec || t.nsec != cases[i].nsec)
			fail_msg("'%s' gives %lld s, %ld ns", cases[i].text, (long long)t.sec, (long)t.nsec);
	}
}

static void
parse_refuses(void **state)
{
	static const char *const cases[] = {
		"", "2025", "2025-02-03", "2025-02-03T04:05Z", "2025-02-03T04:05:06", "2025-02-03T04:05:06.Z",
		"2025-02-03T04:05:06.1234567890Z", "2025-02-03T04:05:06,5Z", "2025-02-03T04:05:06+0100",
		"2025-02-03T04:05:06+01", "2025-02-03T04:05:06+01:0", "2025-02-03T04:05:06+24:00",
		"2025-02-03T04:05:06+01:60", "2025-02-03T04:05:06Z ", " 2025-02-03T04:05:06Z",
		"2025-02-03T04:05:06ZZ",
		"2025-02-03_04:05:06Z", "2025/02/03T04:05:06Z", "2025-02-03T04.05.06Z", "2025-2-03T04:05:006Z",
		"2025-13-03T04:05:06Z", "2025-00-03T04:05:06Z", "2025-02-00T04:05:06Z", "2025-02-29T04:05:06Z",
		"1900-02-29T04:05:06Z", "2025-04-31T04:05:06Z", "2025-02-03T24:00:00Z", "2025-02-03T04:60:06Z",
		"2025-02-03T04:05:60Z", "2025-02-03T23:59:60Z", "1998-12-31T23:59:61Z", "1998-12-31T23:58:60Z",
		"1998-12-31T23:59:60+01:00", "0000-01-01T00:00:00Z", "0001-01-01T00:00:00+00:01",
		"9999-12-31T23:59:59-00:01", "+025-02-03T04:05:06Z", "2025-02-03T04:05:06.5", "2025-02-0aT04:05:06Z",
		("2025-02-03T04:05:06\xe2\x88\x92" "01:00"),
	};
	struct leat_time t;
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++)
		if (leat_time_parse(leat_span_of(cases[i]), &t) == 0)
			fail_msg("'%s' is taken", cases[i]);
	assert_int_equal(leat_time_parse(leat_span_make(NULL, 0), &t), -1);
	assert_int_equal(leat_time_parse(LEAT_SPAN("2025-02-03T04:05:06\0"), &t), -1);
	/* A span does not end in NUL: what follows it is not looked at. */
	assert_int_equal(leat_time_parse(leat_span_make("2025-02-03T04:05:06Zjunk", 20), &t), 0);
}

static void
write_is_shortest(void **state)
{
	(void)state;
	assert_written((struct leat_time){ 0, 0 }, "1970-01-01T00:00:00Z");
	assert_written((struct leat_time){ -1, 999999999 }, "1969-12-31T23:59:59.999999999Z");
	assert_written((struct leat_time){ 1738555506, 250000000 }, "2025-02-03T04:05:06.25Z");
	assert_written((struct leat_time){ 1738555506, 100 }, "2025-02-03T04:05:06.0000001Z");
	assert_written((struct leat_time){ 1738555506, 10000000 }, "2025-02-03T04:05:06.01Z");
	assert_written((struct leat_time){ INT64_C(253402300799), 1 }, "9999-12-31T23:59:59.000000001Z");
	assert_written((struct leat_time){ INT64_C(-62135596800), 0 }, "0001-01-01T00:00:00Z");
	/* Beyond the calendar: the nearest end. */
	assert_written((struct leat_time){ INT64_MAX, 0 }, "9999-12-31T23:59:59Z");
	assert_written(LEAT_TIME_NONE, "0001-01-01T00:00:00Z");
}

static void
write_then_parse_is_identity(void **state)
{
	uint64_t seed = 88172645463325252;
	char text[LEAT_TIME_MAX];
	struct leat_time t, back;
	int32_t divisor;
	int i;

	(void)state;
	for (i = 0; i < 200000; i++) {
		t.sec = (int64_t)(next_random(&seed) % UINT64_C(315537897600)) - INT64_C(62135596800);
		for (divisor = 1; next_random(&seed) % 3 != 0 && divisor < 100000000; divisor *= 10)
			;
		t.nsec = (int32_t)(next_random(&seed) % 1000000000) / divisor * divisor;
		leat_time_write(text, t);
		back = parse(text);
		if (leat_time_cmp(t, back) != 0)
			fail_msg("%s came back otherwise", text);
	}
}

static void
every_day_of_the_calendar(void **state)
{
	int year = 1, month = 1, day = 1;
	int y, m, d;
	int64_t days;

	(void)state;
	for (days = -719162; days <= 2932896; days++) {
		leat_civil_from_days(days, &y, &m, &d);
		if (y != year || m != month || d != day || leat_days_from_civil(y, m, d) != days)
			fail_msg("day %lld is %d-%d-%d, not %d-%d-%d", (long long)days, y, m, d, year, month, day);
		if (++day > leat_days_in_month(year, month)) {
			day = 1;
			year += month == 12;
			month = month % 12 + 1;
		}
	}
	assert_int_equal(year, 10000);
	leat_civil_from_days(INT64_MIN, &y, &m, &d);
	assert_true(y == 1 && m == 1 && d == 1);
	leat_civil_from_days(INT64_MAX, &y, &m, &d);
	assert_true(y == 9999 && m == 12 && d == 31);
}

static void
months_and_validity(void **state)
{
	const struct leat_civil good = { 2024, 2, 29, 23, 59, 59, 999999999 };
	struct leat_civil c;

	(void)state;
	assert_int_equal(leat_days_in_month(2024, 2), 29);
	assert_int_equal(leat_days_in_month(2000, 2), 29);
	assert_int_equal(leat_days_in_month(1900, 2), 28);
	assert_int_equal(leat_days_in_month(2025, 4), 30);
	assert_int_equal(leat_days_in_month(2025, 0), 0);
	assert_int_equal(leat_days_in_month(2025, 13), 0);
	assert_true(leat_civil_valid(&good));
#define BROKEN(field, value) (c = good, c.field = (value), assert_false(leat_civil_valid(&c)))
	BROKEN(year, 2023);
	BROKEN(year, 0);
	BROKEN(year, 10000);
	BROKEN(month, 0);
	BROKEN(month, 13);
	BROKEN(day, 0);
	BROKEN(day, 30);
	BROKEN(hour, 24);
	BROKEN(hour, -1);
	BROKEN(minute, 60);
	BROKEN(second, 60);
	BROKEN(nsec, 1000000000);
	BROKEN(nsec, -1);
#undef BROKEN
}

static void
civil_with_offsets(void **state)
{
	struct leat_civil c = leat_civil_from_time((struct leat_time){ 1738555506, 7 }, -34200);

	(void)state;
	assert_true(c.year == 2025 && c.month == 2 && c.day == 2);
	assert_true(c.hour == 18 && c.minute == 35 && c.second == 6 && c.nsec == 7);
	assert_int_equal(leat_time_from_civil(&c, -34200).sec, 1738555506);
	assert_int_equal(leat_time_from_civil(&c, 0).sec, 1738555506 - 34200);
}

static void
adding_and_comparing(void **state)
{
	const struct leat_time t = { 100, 900000000 };
	struct leat_time sum;

	(void)state;
	sum = leat_time_add(t, 0.2);
	assert_true(sum.sec == 101 && sum.nsec == 100000000);
	sum = leat_time_add(t, -1.95);
	assert_true(sum.sec == 98 && sum.nsec == 950000000);
	sum = leat_time_add((struct leat_time){ 0, 0 }, -1e-9);
	assert_true(sum.sec == -1 && sum.nsec == 999999999);
	sum = leat_time_add((struct leat_time){ 0, 0 }, -1e-12);
	assert_true(sum.sec == 0 && sum.nsec == 0);
	assert_true(leat_time_is_none(leat_time_add(LEAT_TIME_NONE, 1)));
	assert_true(leat_time_is_none(leat_time_add(t, 1e300)));
	assert_true(leat_time_is_none(leat_time_add(t, -1e300 * 1e300)));
	assert_true(leat_time_is_none(leat_time_add(t, 1e300 * 1e300 * 0)));
	assert_int_equal(leat_time_cmp(t, t), 0);
	assert_int_equal(leat_time_cmp(t, (struct leat_time){ 101, 0 }), -1);
	assert_int_equal(leat_time_cmp((struct leat_time){ 100, 900000001 }, t), 1);
	assert_int_equal(leat_time_cmp(LEAT_TIME_NONE, t), -1);
	unit_close(leat_time_diff(t, (struct leat_time){ 99, 0 }), 1.9, 1e-12);
	unit_close(leat_time_diff((struct leat_time){ 99, 0 }, t), -1.9, 1e-12);
}

static void
durations_parse(void **state)
{
	static const struct {
		const char *text;
		int32_t months, days;
		double seconds;
	} cases[] = {
		{ "P1D", 0, 1, 0 },
		{ "P2W", 0, 14, 0 },
		{ "P1W2D", 0, 9, 0 },
		{ "P1Y", 12, 0, 0 },
		{ "P1Y2M", 14, 0, 0 },
		{ "P1M", 1, 0, 0 },
		{ "PT1M", 0, 0, 60 },
		{ "PT15M", 0, 0, 900 },
		{ "PT0.25S", 0, 0, 0.25 },
		{ "PT0,25S", 0, 0, 0.25 },
		{ "PT90S", 0, 0, 90 },
		{ "P0D", 0, 0, 0 },
		{ "P3Y6M4DT12H30M5S", 42, 4, 45005 },
		{ "PT999999999H", 0, 0, 3599999996400.0 },
	};
	struct leat_duration d;
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		if (leat_duration_parse(leat_span_of(cases[i].text), &d) != 0)
			fail_msg("'%s' is not taken", cases[i].text);
		if (d.months != cases[i].months || d.days != cases[i].days)
			fail_msg("'%s' gives %ld months, %ld days", cases[i].text, (long)d.months, (long)d.days);
		unit_close(d.seconds, cases[i].seconds, 1e-12);
	}
}

static void
durations_refused(void **state)
{
	static const char *const cases[] = {
		"", "P", "PT", "P1", "1D", "PD", "-P1D", "+P1D", "P-1D", "P1DT", "P1D ", " P1D", "p1d", "P1.5D",
		"P1.0D", "PT1.5H", "PT1.S", "PT.5S", "P1H", "PT1D", "PT1Y", "P1D1W", "PT1S1M", "P1M1M", "PT1M1H",
		"PT1HT1M", "P1DTT1H", "P1234567890D", "PT1.0123456789S", "P999999999Y", "P999999999W", "P1S",
		"15 min", "P1X",
	};
	struct leat_duration d;
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++)
		if (leat_duration_parse(leat_span_of(cases[i]), &d) == 0)
			fail_msg("'%s' is taken", cases[i]);
	assert_int_equal(leat_duration_parse(leat_span_make(NULL, 0), &d), -1);
}

static void
duration_lengths(void **state)
{
	const struct leat_duration day_and_half = { 0, 1, 43200 };
	const struct leat_duration month = { 1, 0, 0 };
	double seconds = -1;

	(void)state;
	assert_int_equal(leat_duration_seconds(&day_and_half, &seconds), 0);
	unit_close(seconds, 129600, 0);
	assert_int_equal(leat_duration_seconds(&month, &seconds), -1);
}

static void
shifting(void **state)
{
	static const struct {
		const char *from, *by;
		int sign;
		const char *to;
	} cases[] = {
		{ "2025-01-31T06:00:00Z", "P1M", 1, "2025-02-28T06:00:00Z" },
		{ "2024-01-31T06:00:00Z", "P1M", 1, "2024-02-29T06:00:00Z" },
		{ "2025-03-31T06:00:00Z", "P1M", -1, "2025-02-28T06:00:00Z" },
		{ "2025-05-31T06:00:00Z", "P1M", -1, "2025-04-30T06:00:00Z" },
		{ "2024-02-29T06:00:00Z", "P1Y", 1, "2025-02-28T06:00:00Z" },
		{ "2024-02-29T06:00:00Z", "P4Y", 1, "2028-02-29T06:00:00Z" },
		{ "2096-02-29T06:00:00Z", "P4Y", 1, "2100-02-28T06:00:00Z" },
		{ "2025-01-15T06:00:00Z", "P13M", -1, "2023-12-15T06:00:00Z" },
		{ "2025-12-31T23:59:59.5Z", "PT0.5S", 1, "2026-01-01T00:00:00Z" },
		{ "2025-01-01T00:00:00Z", "P1D", -1, "2024-12-31T00:00:00Z" },
		{ "2025-01-01T00:00:00Z", "P1WT1H", 1, "2025-01-08T01:00:00Z" },
		/* Months first, then days: the other order would give 28 February and 28 January. */
		{ "2025-01-30T00:00:00Z", "P1M1D", 1, "2025-03-01T00:00:00Z" },
		{ "2025-03-01T00:00:00Z", "P1M1D", -1, "2025-01-31T00:00:00Z" },
		{ "9999-11-30T00:00:00Z", "P1M", 1, "9999-12-30T00:00:00Z" },
		{ "0001-02-01T00:00:00Z", "P1M", -1, "0001-01-01T00:00:00Z" },
		{ "9999-12-30T00:00:00Z", "P1M", 1, NULL },
		{ "9999-12-30T00:00:00Z", "P2D", 1, NULL },
		{ "0001-01-30T00:00:00Z", "P1M", -1, NULL },
		{ "0001-01-01T00:00:00Z", "PT1S", -1, NULL },
		{ "2025-01-01T00:00:00Z", "P99999999Y", 1, NULL },
	};
	struct leat_duration d;
	struct leat_time t;
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		assert_int_equal(leat_duration_parse(leat_span_of(cases[i].by), &d), 0);
		t = leat_time_shift(parse(cases[i].from), &d, cases[i].sign);
		if (cases[i].to != NULL)
			assert_written(t, cases[i].to);
		else
			assert_true(leat_time_is_none(t));
	}
	assert_true(leat_time_is_none(leat_time_shift(LEAT_TIME_NONE, &d, 1)));
}

static void
words_for_people(void **state)
{
	static const struct {
		double seconds;
		const char *words;
	} cases[] = {
		{ 0, "0 s" }, { 0.4, "0 s" }, { 50, "50 s" }, { 59.4, "59 s" }, { 59.6, "1 min" }, { 60, "1 min" },
		{ 90, "1 min 30 s" }, { 720, "12 min" }, { 3599.4, "59 min 59 s" }, { 3599.6, "1 h" },
		{ 3600, "1 h" },
		{ 11400, "3 h 10 min" }, { 11429, "3 h 10 min" }, { 11431, "3 h 11 min" }, { 86399, "1 d" },
		{ 86400, "1 d" }, { 352800, "4 d 2 h" }, { 8640000, "100 d" }, { -11400, "-3 h 10 min" },
		{ -0.2, "0 s" },
		{ 1e300, "unknown" },
	};
	char text[40];
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		assert_int_equal(leat_duration_words(text, cases[i].seconds), strlen(cases[i].words));
		assert_string_equal(text, cases[i].words);
	}
	leat_duration_words(text, 1e300 * 1e300 * 0);
	assert_string_equal(text, "unknown");
	assert_true(leat_duration_words(text, -9.99e14) < sizeof(text));
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(parse_takes),
		cmocka_unit_test(parse_refuses),
		cmocka_unit_test(write_is_shortest),
		cmocka_unit_test(write_then_parse_is_identity),
		cmocka_unit_test(every_day_of_the_calendar),
		cmocka_unit_test(months_and_validity),
		cmocka_unit_test(civil_with_offsets),
		cmocka_unit_test(adding_and_comparing),
		cmocka_unit_test(durations_parse),
		cmocka_unit_test(durations_refused),
		cmocka_unit_test(duration_lengths),
		cmocka_unit_test(shifting),
		cmocka_unit_test(words_for_people),
	};

	return cmocka_run_group_tests_name("instant", tests, NULL, NULL);
}
