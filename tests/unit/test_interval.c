/* Intervals of tasks: month ends, leap days, dates that repeat. */
#include "unit.h"

#include "upkeep/interval.h"

static int64_t
day(const char *text)
{
	char stamp[32];
	struct leat_time t;

	snprintf(stamp, sizeof(stamp), "%sT00:00:00Z", text);
	assert_int_equal(leat_time_parse(leat_span_of(stamp), &t), 0);
	return t.sec / 86400;
}

static void
check_day(int64_t got, const char *expected, const char *what)
{
	int year, month, of_month;

	if (got != LEAT_DAY_NONE && got == day(expected))
		return;
	leat_civil_from_days(got, &year, &month, &of_month);
	fail_msg("%s: %04d-%02d-%02d, expected %s", what, year, month, of_month, expected);
}

static struct leat_interval
interval(const char *text)
{
	struct leat_interval i;
	const char *why;

	if (leat_interval_parse(leat_span_of(text), &i, &why) != 0)
		fail_msg("%s: %s", text, why);
	return i;
}

/* A day that a month lacks is its last, common practice of calendars (ISO 8601 leaves it open): each row was checked by hand
 * on a calendar; 1900 and 2100 are no leap years, 2000 is one (Gregorian rule). */
static void
test_shift(void **state)
{
	static const struct { const char *from, *length, *to; } rows[] = {
		{ "2025-01-31", "P1M", "2025-02-28" }, { "2024-01-31", "P1M", "2024-02-29" },
		{ "2024-02-29", "P1Y", "2025-02-28" }, { "2024-02-29", "P4Y", "2028-02-29" },
		{ "2000-02-29", "P100Y", "2100-02-28" }, { "1899-02-28", "P1Y1D", "1900-03-01" },
		{ "2025-11-30", "P3M", "2026-02-28" }, { "2025-08-31", "P6M", "2026-02-28" },
		{ "2025-12-31", "P2M", "2026-02-28" }, { "2025-10-31", "P1M", "2025-11-30" },
		{ "2025-02-04", "P12W", "2025-04-29" }, { "2024-02-28", "P1D", "2024-02-29" },
		{ "2025-02-28", "P1D", "2025-03-01" }, { "2025-12-31", "P1D", "2026-01-01" },
		{ "2025-01-31", "P1M1D", "2025-03-01" }, { "2024-11-10", "P1Y", "2025-11-10" },
		/* Over both changes of the clock in 2025 a day is a day. */
		{ "2025-03-29", "P7D", "2025-04-05" }, { "2025-10-25", "P7D", "2025-11-01" }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(rows) / sizeof(rows[0]); i++) {
		struct leat_interval every = interval(rows[i].length);

		check_day(leat_day_shift(day(rows[i].from), &every.length, 1), rows[i].to, rows[i].from);
	}
	assert_true(leat_day_shift(day("9999-12-31"), &(struct leat_duration){ .days = 1 }, 1) == LEAT_DAY_NONE);
	assert_true(leat_day_shift(day("9999-12-01"), &(struct leat_duration){ .months = 1 }, 1) == LEAT_DAY_NONE);
	assert_true(leat_day_shift(day("0001-01-01"), &(struct leat_duration){ .days = 1 }, -1) == LEAT_DAY_NONE);
}

/* Each date is counted from the first: after February the 31st comes back. */
static void
test_month_ends(void **state)
{
	static const char *const dates[] = {
		"2024-01-31", "2024-02-29", "2024-03-31", "2024-04-30", "2024-05-31", "2024-06-30", "2024-07-31", "2024-08-31"
	};
	struct leat_interval every = interval("R/2024-01-31/P1M");
	int64_t at = day("2023-06-01");

	(void)state;
	for (size_t i = 0; i < sizeof(dates) / sizeof(dates[0]); i++) {
		int64_t next = leat_interval_next(&every, at);

		check_day(next, dates[i], "next");
		if (i > 0)
			check_day(leat_interval_previous(&every, next), dates[i - 1], "previous");
		at = next;
	}
	check_day(leat_interval_previous(&every, day("2024-01-31")), "2023-12-31", "before the first");
}

/* A birthday on a leap day, and every 400 years of the calendar: 97 of 400 years have 29 February. */
static void
test_leap_days(void **state)
{
	struct leat_interval every = interval("R/2000-02-29/P1Y");
	int64_t at = day("2000-02-28");
	int leap = 0, year, month, of_month;

	(void)state;
	for (int i = 0; i < 400; i++) {
		at = leat_interval_next(&every, at);
		leat_civil_from_days(at, &year, &month, &of_month);
		assert_int_equal(year, 2000 + i);
		assert_int_equal(month, 2);
		assert_true(of_month == 28 || of_month == 29);
		leap += of_month == 29;
	}
	assert_int_equal(leap, 97);
}

/* The next date is later than the day, and none lies between. */
static void
test_next(void **state)
{
	static const char *const every[] = { "R/2020-01-31/P1M", "R/2020-02-29/P1Y", "R/2019-12-30/P1W", "R/2020-01-30/P1M1D",
		"R/2020-05-31/P18M", "R/2020-01-01/P1D" };

	(void)state;
	for (size_t i = 0; i < sizeof(every) / sizeof(every[0]); i++) {
		struct leat_interval e = interval(every[i]);
		int64_t times = 0;

		for (int64_t d = day("2019-12-01"); d < day("2031-01-01"); d += 3) {
			int64_t date;

			while ((date = leat_day_shift(e.first, &e.length, times)) <= d)
				times++;
			assert_true(leat_interval_next(&e, d) == date);
		}
	}
}

static void
test_refused(void **state)
{
	static const char *const bad[] = {
		"6 months", "P", "PT8H", "P1DT1H", "P0D", "P0M", "-P1D", "R/P1Y", "R/2025-02-30/P1Y", "R/2025-01-31", "R/2025-1-31/P1Y",
		"R3/2025-01-31/P1Y", "R/2025-01-31/P1Y/P1Y", "R/31.01.2025/P1Y", ""
	};
	struct leat_interval i;
	const char *why;

	(void)state;
	for (size_t k = 0; k < sizeof(bad) / sizeof(bad[0]); k++)
		if (leat_interval_parse(leat_span_of(bad[k]), &i, &why) == 0)
			fail_msg("'%s' was taken", bad[k]);
}

static void
test_words(void **state)
{
	static const struct { const char *length, *words; } rows[] = {
		{ "P1Y", "1 year" }, { "P18M", "1 year 6 months" }, { "P12W", "12 weeks" }, { "P7D", "1 week" },
		{ "P10D", "10 days" }, { "P1M1D", "1 month 1 day" }
	};
	char text[64];

	(void)state;
	for (size_t i = 0; i < sizeof(rows) / sizeof(rows[0]); i++) {
		struct leat_interval every = interval(rows[i].length);

		assert_string_equal(leat_interval_words(text, &every.length), rows[i].words);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_shift), cmocka_unit_test(test_month_ends), cmocka_unit_test(test_leap_days),
		cmocka_unit_test(test_next), cmocka_unit_test(test_refused), cmocka_unit_test(test_words)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
