/* Periods: which lengths divide sensibly, and where they begin and end. */
#include "base/period.h"
#include "unit.h"

static void
test_lengths(void **state)
{
	static const struct {
		const char *text;
		int months, days, seconds;	/* all 0: refused */
	} cases[] = {
		{ "hour", 0, 0, 3600 }, { "PT1H", 0, 0, 3600 }, { "PT60M", 0, 0, 3600 }, { "PT10M", 0, 0, 600 },
		{ "PT1S", 0, 0, 1 }, { "PT8H", 0, 0, 28800 }, { "day", 0, 1, 0 }, { "P1D", 0, 1, 0 }, { "PT24H", 0, 1, 0 },
		{ "week", 0, 7, 0 }, { "P1W", 0, 7, 0 }, { "P7D", 0, 7, 0 }, { "month", 1, 0, 0 }, { "P3M", 3, 0, 0 },
		{ "P1Y", 12, 0, 0 }, { "year", 12, 0, 0 },
		{ "P2D", 0, 0, 0 }, { "P2W", 0, 0, 0 }, { "PT7M", 0, 0, 0 }, { "PT5H", 0, 0, 0 }, { "PT90M", 0, 0, 0 },
		{ "PT48H", 0, 0, 0 }, { "P5M", 0, 0, 0 }, { "P2Y", 0, 0, 0 }, { "P1DT1H", 0, 0, 0 }, { "PT0.5S", 0, 0, 0 },
		{ "PT0S", 0, 0, 0 }, { "P0D", 0, 0, 0 }, { "", 0, 0, 0 }, { "shift", 0, 0, 0 }, { "-P1D", 0, 0, 0 }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_grid grid = { 0 };
		int status = leat_grid_length(&grid, leat_span_of(cases[i].text));

		if (cases[i].months == 0 && cases[i].days == 0 && cases[i].seconds == 0) {
			if (status == 0)
				fail_msg("%s is taken", cases[i].text);
		} else if (status != 0 || grid.months != cases[i].months || grid.days != cases[i].days ||
		    grid.seconds != cases[i].seconds) {
			fail_msg("%s: %d, %d %d %d", cases[i].text, status, grid.months, grid.days, grid.seconds);
		}
	}
}

/* Clock changes of Europe/Berlin as a rule: put forward on 2025-03-30 at 02:00, back on 2025-10-26 at 03:00. */
#define BERLIN "CET-1CEST,M3.5.0,M10.5.0/3"

static void
test_bounds(void **state)
{
	static const struct {
		const char *zone;
		int day_start;
		const char *every, *at, *start, *end;
	} cases[] = {
		{ "UTC", 0, "day", "2025-11-03T23:59:59Z", "2025-11-03T00:00:00Z", "2025-11-04T00:00:00Z" },
		{ "UTC", 0, "day", "2025-11-04T00:00:00Z", "2025-11-04T00:00:00Z", "2025-11-05T00:00:00Z" },
		{ "UTC", 21600, "day", "2025-11-03T05:59:59Z", "2025-11-02T06:00:00Z", "2025-11-03T06:00:00Z" },
		{ BERLIN, 21600, "day", "2025-07-01T04:00:00Z", "2025-07-01T04:00:00Z", "2025-07-02T04:00:00Z" },
		/* 23 and 25 hours. */
		{ BERLIN, 21600, "day", "2025-03-29T12:00:00Z", "2025-03-29T05:00:00Z", "2025-03-30T04:00:00Z" },
		{ BERLIN, 21600, "day", "2025-10-25T12:00:00Z", "2025-10-25T04:00:00Z", "2025-10-26T05:00:00Z" },
		/* The night shift in which the clock changes has 7 or 9 hours. */
		{ BERLIN, 21600, "PT8H", "2025-03-30T03:59:59Z", "2025-03-29T21:00:00Z", "2025-03-30T04:00:00Z" },
		{ BERLIN, 21600, "PT8H", "2025-10-26T04:59:59Z", "2025-10-25T20:00:00Z", "2025-10-26T05:00:00Z" },
		{ BERLIN, 21600, "PT8H", "2025-10-26T05:00:00Z", "2025-10-26T05:00:00Z", "2025-10-26T13:00:00Z" },
		/* Both of the hours that the clock shows twice are hours. */
		{ BERLIN, 21600, "PT1H", "2025-10-26T00:30:00Z", "2025-10-26T00:00:00Z", "2025-10-26T01:00:00Z" },
		{ BERLIN, 21600, "PT1H", "2025-10-26T01:30:00Z", "2025-10-26T01:00:00Z", "2025-10-26T02:00:00Z" },
		/* A day that begins at a time which the clock skips, and which it shows twice. */
		{ BERLIN, 9000, "day", "2025-03-30T12:00:00Z", "2025-03-30T01:00:00Z", "2025-03-31T00:30:00Z" },
		{ BERLIN, 9000, "day", "2025-10-26T12:00:00Z", "2025-10-26T00:30:00Z", "2025-10-27T01:30:00Z" },
		/* Weeks from Monday, months, quarters, years; before 1970 too. */
		{ "UTC", 0, "week", "2025-11-09T23:00:00Z", "2025-11-03T00:00:00Z", "2025-11-10T00:00:00Z" },
		{ "UTC", 0, "week", "1969-12-31T00:00:00Z", "1969-12-29T00:00:00Z", "1970-01-05T00:00:00Z" },
		{ BERLIN, 21600, "month", "2025-11-01T04:59:59Z", "2025-10-01T04:00:00Z", "2025-11-01T05:00:00Z" },
		{ "UTC", 0, "P3M", "2025-12-31T00:00:00Z", "2025-10-01T00:00:00Z", "2026-01-01T00:00:00Z" },
		{ "UTC", 0, "year", "2024-02-29T00:00:00Z", "2024-01-01T00:00:00Z", "2025-01-01T00:00:00Z" },
		/* Half an hour off, and a fraction of a second. */
		{ "+05:30", 0, "PT1H", "2025-11-03T18:29:59.5Z", "2025-11-03T17:30:00Z", "2025-11-03T18:30:00Z" },
		{ "UTC", 0, "PT10M", "2025-11-03T18:29:59.5Z", "2025-11-03T18:20:00Z", "2025-11-03T18:30:00Z" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_error err;
		struct leat_zone *zone = leat_zone_open(leat_span_of(cases[i].zone), &err);
		struct leat_grid grid = { .zone = zone, .day_start = cases[i].day_start };
		struct leat_time at, start, end;
		char from[LEAT_TIME_MAX], to[LEAT_TIME_MAX];

		if (zone == NULL)
			fail_msg("%s", err.text);
		assert_int_equal(leat_grid_length(&grid, leat_span_of(cases[i].every)), 0);
		assert_int_equal(leat_time_parse(leat_span_of(cases[i].at), &at), 0);
		leat_grid_period(&grid, at, &start, &end);
		leat_time_write(from, start);
		leat_time_write(to, end);
		if (strcmp(from, cases[i].start) != 0 || strcmp(to, cases[i].end) != 0)
			fail_msg("%s every %s at %s: %s %s", cases[i].zone, cases[i].every, cases[i].at, from, to);
		leat_zone_free(zone);
	}
}

/* Periods leave no gap and hold the time they were asked for, to the ends of the calendar. */
static void
test_no_gap(void **state)
{
	static const char *const every[] = { "PT20M", "PT1H", "PT8H", "day", "week", "month" };
	static const char *const zones[] = { BERLIN, "UTC", "<+1030>-10:30<+11>-11,M10.1.0,M4.1.0" };
	static const char *const odd[] = { "0001-01-01T00:00:00Z", "9999-12-31T23:59:59Z" };

	(void)state;
	for (size_t z = 0; z < sizeof(zones) / sizeof(zones[0]); z++) {
		struct leat_zone *zone = leat_zone_open(leat_span_of(zones[z]), NULL);

		assert_non_null(zone);
		for (size_t e = 0; e < sizeof(every) / sizeof(every[0]); e++) {
			struct leat_grid grid = { .zone = zone, .day_start = 21600 };
			struct leat_time start, end, t, last;

			assert_int_equal(leat_grid_length(&grid, leat_span_of(every[e])), 0);
			assert_int_equal(leat_time_parse(LEAT_SPAN("2025-01-01T12:34:56Z"), &t), 0);
			leat_grid_period(&grid, t, &start, &last);
			for (int i = 0; i < 2000; i++) {
				leat_grid_period(&grid, last, &start, &end);
				assert_true(leat_time_cmp(start, last) == 0 && leat_time_cmp(end, start) > 0);
				last = end;
			}
			for (size_t i = 0; i < 2; i++) {
				assert_int_equal(leat_time_parse(leat_span_of(odd[i]), &t), 0);
				leat_grid_period(&grid, t, &start, &end);
				assert_true(leat_time_cmp(start, t) <= 0 && leat_time_cmp(t, end) < 0);
			}
		}
		leat_zone_free(zone);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_lengths),
		cmocka_unit_test(test_bounds),
		cmocka_unit_test(test_no_gap),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
