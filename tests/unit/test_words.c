/*
 * The works' calendar and the trade's words.
 *
 * Weekdays are checked against ISO 8601:2004, which names 2000-01-01 a Saturday (from memory), and the C library's
 * gmtime_r.
 */
#include "unit.h"

#include <time.h>

#include "stream/points.h"
#include "tell/words.h"

static struct leat_calendar
calendar(const char *zone, const char *now)
{
	struct leat_calendar cal = { .day_start_s = 6 * 3600 };
	struct leat_error err;

	cal.zone = leat_zone_open(leat_span_of(zone), &err);
	assert_non_null(cal.zone);
	assert_int_equal(leat_time_parse(leat_span_of(now), &cal.now), 0);
	return cal;
}

static void
calendar_free(struct leat_calendar *cal)
{
	leat_zone_free((struct leat_zone *)(uintptr_t)cal->zone);
}

static void
test_day_start(void **state)
{
	static const struct {
		const char *text;
		int seconds;	/* -1: refused */
	} cases[] = {
		{ "06:00", 21600 }, { "0:00", 0 }, { "23:59", 86340 }, { "24:00", -1 }, { "6", -1 }, { "06:0", -1 }, { "06:60", -1 },
		{ "", -1 }, { "06:00:00", -1 }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		int seconds = -1;

		if (leat_calendar_day_start(leat_span_of(cases[i].text), &seconds) != 0)
			seconds = -1;
		if (seconds != cases[i].seconds)
			fail_msg("'%s': %d", cases[i].text, seconds);
	}
}

static void
test_weekday(void **state)
{
	(void)state;
	assert_int_equal(leat_weekday(leat_days_from_civil(2000, 1, 1)), 5);
	for (int64_t day = -800000; day < 2900000; day += 997) {
		time_t sec = (time_t)day * 86400;
		struct tm tm;

		assert_non_null(gmtime_r(&sec, &tm));
		assert_int_equal(leat_weekday(day), (tm.tm_wday + 6) % 7);
	}
	assert_int_equal(leat_weekday_find(LEAT_SPAN("mon")), 0);
	assert_int_equal(leat_weekday_find(LEAT_SPAN("SUNDAY")), 6);
	assert_int_equal(leat_weekday_find(LEAT_SPAN("mo")), -1);
	assert_int_equal(leat_weekday_find(LEAT_SPAN("")), -1);
}

/* The works' day begins at 06:00 on the clocks of the works, on the days of a clock change too. */
static void
test_works_day(void **state)
{
	static const struct {
		const char *time;
		int year, month, day;
	} cases[] = {
		{ "2025-02-04T04:59:59Z", 2025, 2, 3 }, { "2025-02-04T05:00:00Z", 2025, 2, 4 }, { "2025-02-04T23:30:00Z", 2025, 2, 4 },
		{ "2025-03-30T03:59:59Z", 2025, 3, 29 }, { "2025-03-30T04:00:00Z", 2025, 3, 30 },
		{ "2025-10-26T04:59:59Z", 2025, 10, 25 }, { "2025-10-26T05:00:00Z", 2025, 10, 26 },
		{ "2025-01-01T00:00:00Z", 2024, 12, 31 }
	};
	struct leat_calendar cal = calendar("CET-1CEST,M3.5.0,M10.5.0/3", "2025-02-04T04:30:00Z");

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_time t;

		assert_int_equal(leat_time_parse(leat_span_of(cases[i].time), &t), 0);
		assert_int_equal(leat_calendar_day(&cal, t),
		    leat_days_from_civil(cases[i].year, cases[i].month, cases[i].day));
	}
	calendar_free(&cal);
}

static void
test_times(void **state)
{
	static const struct {
		const char *now, *time, *words;
	} cases[] = {
		{ "2025-02-04T04:30:00Z", "2025-02-04T01:10:59Z", "today 02:10" },
		{ "2025-02-04T04:30:00Z", "2025-02-03T22:59:00Z", "Mon 3 Feb 23:59" },
		{ "2025-02-04T04:30:00Z", "2025-02-03T23:00:00Z", "today 00:00" },
		{ "2025-02-04T04:30:00Z", "2024-12-31T22:00:00Z", "Tue 31 Dec 2024 23:00" },
		/* The hour that comes twice is told apart. */
		{ "2025-10-27T04:30:00Z", "2025-10-26T00:30:00Z", "Sun 26 Oct 02:30+02:00" },
		{ "2025-10-27T04:30:00Z", "2025-10-26T01:30:00Z", "Sun 26 Oct 02:30+01:00" },
		{ "2025-10-27T04:30:00Z", "2025-10-26T02:00:00Z", "Sun 26 Oct 03:00" }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_calendar cal = calendar("CET-1CEST,M3.5.0,M10.5.0/3", cases[i].now);
		struct leat_text t = { .width = 60 };
		struct leat_time when;
		char expected[80];

		assert_int_equal(leat_time_parse(leat_span_of(cases[i].time), &when), 0);
		leat_words_time(&t, &cal, when);
		leat_text_end(&t, 0, 0);
		snprintf(expected, sizeof(expected), "%s\n", cases[i].words);
		unit_span(leat_buf_span(&t.page), expected);
		leat_text_free(&t);
		calendar_free(&cal);
	}
}

static void
test_points(void **state)
{
	static const struct {
		const char *point, *words;
	} cases[] = {
		{ "pressure", "grinding pressure" }, { "drain-flow", "case drain flow" }, { "pressure.max", "highest grinding pressure" },
		{ "iron.per-1000h", "rise in 1000 h of iron in the oil" }, { "count-6um.log2", "doublings of particles of 6 um and larger" },
		{ "external-leakage.low", "lower bound of external leakage" },
		{ "early-outflow.low", "least early outflow after a filling" },
		{ "early-outflow-rise", "rise of the early outflow after a filling" },
		{ "gas-loss-one.low", "least nitrogen loss of one shell in a month" },
		{ "iso4406-above-target", "cleanliness code above its target" },
		{ "pressure.p95", "percentile 95 of grinding pressure" }, { "oil-temperature.coverage", "coverage of oil temperature" },
		{ "pressure.good", "good time of grinding pressure" }, { "pressure.difference", "difference of grinding pressure" },
		{ "internal-leakage", "internal leakage" }, { "-", "" }, { "NM.PGR-2", "NM.PGR-2" }, { "a\nb", "a?b" }, { "", "" }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_text t = { .width = 60 };

		leat_words_point(&t, leat_span_of(cases[i].point));
		unit_span(leat_buf_span(&t.line), cases[i].words);
		leat_text_free(&t);
	}
}

static void
test_messages(void **state)
{
	static const struct {
		const char *message, *words;
	} cases[] = {
		{ "last logged 2025-08-21, and more", "last logged 21\037Aug\0372025, and more" },
		{ "about 2026-01-04 (from 2026-01-02 to 2026-01-05, four in five)",
		    "about 4\037Jan\0372026 (from 2\037Jan\0372026 to 5\037Jan\0372026, four in five)" },
		{ "2025-12-31", "31\037Dec\0372025" }, { "of 2025-02-20: 80 t", "of 20\037Feb\0372025: 80 t" },
		{ "on 2025-02-20. Then", "on 20\037Feb\0372025. Then" }, { "on 2025-02-20.", "on 20\037Feb\0372025." },
		/* No date, or the name of something. */
		{ "2025-02-03.csv is cut", "2025-02-03.csv is cut" }, { "in/2025-02-03", "in/2025-02-03" },
		{ "NM_2025-02-03 x", "NM_2025-02-03 x" }, { "2025-02-03T04:00", "2025-02-03T04:00" }, { "2025-13-01", "2025-13-01" },
		{ "2025-02-031", "2025-02-031" }, { "2025-02-0", "2025-02-0" }, { "12025-02-03 x", "12025-02-03 x" },
		{ "2025-02-03:x", "2025-02-03:x" }, { "", "" }
	};
	static const struct {
		const char *advice, *words;
	} advices[] = {
		{ "order a pump; until then watch it", "Order a pump. Until then watch it." }, { "See why.", "See why." },
		{ "Really?; yes!;; ;", "Really? Yes!" }, { "\303\266l; =1", "\303\266l. =1." }, { "", "" }, { " ; ", "" }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_text t = { .width = 60 };

		leat_words_message(&t, leat_span_of(cases[i].message));
		unit_span(leat_buf_span(&t.line), cases[i].words);
		leat_text_free(&t);
	}
	for (size_t i = 0; i < sizeof(advices) / sizeof(advices[0]); i++) {
		struct leat_text t = { .width = 60 };

		assert_int_equal(leat_words_sentences(&t, leat_span_of(advices[i].advice)), advices[i].words[0] != '\0');
		unit_span(leat_buf_span(&t.line), advices[i].words);
		leat_text_free(&t);
	}
}

/* No shipped point is left without words, and none is shown with its hyphens. */
static void
test_every_point(void **state)
{
	const struct leat_point_info *info;

	(void)state;
	for (size_t i = 0; (info = leat_point_at(i)) != NULL; i++) {
		struct leat_text t = { .width = 60 };

		leat_words_point(&t, leat_span_of(info->name));
		assert_true(t.line.len > 2 && !t.failed);
		if (leat_span_is(leat_buf_span(&t.line), info->name) && strchr(info->name, '-') != NULL)
			fail_msg("%s", info->name);
		leat_text_free(&t);
	}
}

static void
test_data_rules(void **state)
{
	(void)state;
	assert_true(leat_rule_is_data(LEAT_SPAN("stale")));
	assert_true(leat_rule_is_data(LEAT_SPAN("frozen")));
	assert_true(leat_rule_is_data(LEAT_SPAN("source-missing")));
	assert_false(leat_rule_is_data(LEAT_SPAN("hot-oil")));
	assert_false(leat_rule_is_data(LEAT_SPAN("")));
	assert_true(leat_rule_is_signal(LEAT_SPAN("impossible-rate")));
	assert_false(leat_rule_is_signal(LEAT_SPAN("source-missing")));
	assert_false(leat_rule_is_signal(LEAT_SPAN("unknown-tag")));
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_day_start), cmocka_unit_test(test_weekday), cmocka_unit_test(test_works_day),
		cmocka_unit_test(test_times), cmocka_unit_test(test_points), cmocka_unit_test(test_every_point),
		cmocka_unit_test(test_data_rules), cmocka_unit_test(test_messages)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
