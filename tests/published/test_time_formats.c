/*
 * Times against what is published: RFC 3339, RFC 5322, RFC 8536, ECMA-376, ISO 8601, the tz database; and against the
 * C library.
 */
#include "unit.h"

#include <time.h>
#include <unistd.h>

#include "base/foreign.h"
#include "base/zone.h"

static int64_t
utc(const char *text)
{
	struct leat_time t = LEAT_TIME_NONE;

	if (leat_time_parse(leat_span_of(text), &t) != 0)
		fail_msg("'%s' is no time", text);
	return t.sec;
}

/* RFC 3339, section 5.6 (grammar) and section 5.8 (examples).  The examples with a leap second or of 1937, the notes
 * on a blank and on small letters, and the meaning of -00:00 (section 4.3) are from memory. */
static void
rfc3339(void **state)
{
	static const struct {
		const char *text;
		const char *utc;	/* NULL: not RFC 3339 */
	} cases[] = {
		{ "1985-04-12T23:20:50.52Z", "1985-04-12T23:20:50.52Z" },	/* printed in 5.8 */
		{ "1996-12-19T16:39:57-08:00", "1996-12-20T00:39:57Z" },	/* printed in 5.8 */
		/* POSIX time has no 23:59:60: it is the second that follows. */
		{ "1990-12-31T23:59:60Z", "1991-01-01T00:00:00Z" },		/* 5.8 */
		{ "1990-12-31T15:59:60-08:00", "1991-01-01T00:00:00Z" },	/* 5.8 */
		{ "1937-01-01T12:00:27.87+00:20", "1937-01-01T11:40:27.87Z" },	/* 5.8 */
		{ "2025-03-30T02:30:00+01:00", "2025-03-30T01:30:00Z" },
		{ "2025-10-26T02:30:00+02:00", "2025-10-26T00:30:00Z" },
		{ "2025-02-29T00:00:00Z", NULL },				/* no leap year */
		{ "2024-02-29T00:00:00Z", "2024-02-29T00:00:00Z" },
		{ "2025-1-5T00:00:00Z", NULL },					/* two digits required */
		{ "2025-01-05 00:00:00Z", "2025-01-05T00:00:00Z" },		/* note in 5.6 */
		{ "2025-01-05T24:00:00Z", NULL },				/* hour 00..23 */
		{ "2025-W01-7", NULL },
		{ "2025-01-05T00:00:00-00:00", "2025-01-05T00:00:00Z" },	/* 4.3 */
		{ "2025-01-05t00:00:00z", "2025-01-05T00:00:00Z" },		/* note in 5.6 */
	};
	char text[LEAT_TIME_MAX];
	struct leat_time t;
	size_t i;
	int status;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		status = leat_time_parse(leat_span_of(cases[i].text), &t);
		if ((status == 0) != (cases[i].utc != NULL))
			fail_msg("'%s': %d", cases[i].text, status);
		if (status != 0)
			continue;
		leat_time_write(text, t);
		assert_string_equal(text, cases[i].utc);
	}
}

/* Leap years of the Gregorian calendar, as almanacs list them; RFC 3339, appendix C gives the rule (from memory). */
static void
leap_years(void **state)
{
	static const int leap[] = { 1600, 1904, 1996, 2000, 2004, 2020, 2024, 2028, 2096, 2104, 2400 };
	static const int common[] = { 1700, 1800, 1900, 1999, 2001, 2022, 2023, 2025, 2026, 2100, 2200, 2300 };
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(leap) / sizeof(leap[0]); i++)
		assert_int_equal(leat_days_in_month(leap[i], 2), 29);
	for (i = 0; i < sizeof(common) / sizeof(common[0]); i++)
		assert_int_equal(leat_days_in_month(common[i], 2), 28);
}

/* The C library's gmtime_r, at random instants of the years 1..9999. */
static void
civil_as_the_c_library(void **state)
{
	uint64_t seed = 6364136223846793005U;
	struct leat_civil c;
	struct tm tm;
	time_t sec;
	int i;

	(void)state;
	if (sizeof(time_t) < 8) {
		printf("skip civil_as_the_c_library: its time ends in 2038\n");
		skip();
	}
	for (i = 0; i < 200000; i++) {
		seed = seed * 6364136223846793005U + 1442695040888963407U;
		sec = (time_t)((int64_t)((seed >> 16) % UINT64_C(315537897600)) - INT64_C(62135596800));
		assert_non_null(gmtime_r(&sec, &tm));
		c = leat_civil_from_time((struct leat_time){ sec, 0 }, 0);
		if (c.year != tm.tm_year + 1900 || c.month != tm.tm_mon + 1 || c.day != tm.tm_mday ||
		    c.hour != tm.tm_hour || c.minute != tm.tm_min || c.second != tm.tm_sec)
			fail_msg("%lld differs", (long long)sec);
		assert_int_equal(leat_time_from_civil(&c, 0).sec, sec);
	}
}

/* ECMA-376 part 4, section 3.17.4.1: the 1900 system, whose day 60 is a 29 February that never was.  2006-02-01 is
 * there as 37287 of the 1904 system, which is less by 1462; the other days from 61 on are counted from 1900-03-01. */
static void
serial_days(void **state)
{
	static const struct {
		const char *text;
		const char *local;	/* NULL: not taken */
	} cases[] = {
		{ "61.0", "1900-03-01T00:00:00Z" },
		{ "25569", "1970-01-01T00:00:00Z" },
		{ "36526", "2000-01-01T00:00:00Z" },
		{ "38749", "2006-02-01T00:00:00Z" },
		{ "45351", "2024-02-29T00:00:00Z" },
		{ "45746", "2025-03-30T00:00:00Z" },
		{ "45956", "2025-10-26T00:00:00Z" },
		{ "45746.5", "2025-03-30T12:00:00Z" },
		{ "60.0", NULL },	/* the day that never was */
		{ "59.0", NULL },	/* days before it are not taken: a reading is more likely */
		{ "2958465", NULL },	/* 9999-12-31 likewise */
	};
	struct leat_foreign f;
	size_t i;
	int status;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		status = leat_foreign_parse(leat_span_of(cases[i].text), LEAT_FORM_SERIAL, &f);
		if ((status == 0) != (cases[i].local != NULL))
			fail_msg("'%s': %d", cases[i].text, status);
		if (status != 0)
			continue;
		assert_false(f.is_instant);
		assert_int_equal(leat_time_from_civil(&f.civil, 0).sec, utc(cases[i].local));
	}
}

/* Dates of mail: RFC 5322, section 3.3, and the examples of its appendix A (from memory); RFC 1123 form as in HTTP's
 * example, RFC 9110, 5.6.7 (from memory). */
static void
dates_of_mail(void **state)
{
	static const struct {
		const char *text, *utc;
	} cases[] = {
		{ "Fri, 21 Nov 1997 09:55:06 -0600", "1997-11-21T15:55:06Z" },
		{ "Tue, 1 Jul 2003 10:52:37 +0200", "2003-07-01T08:52:37Z" },
		{ "Thu, 13 Feb 1969 23:32:54 -0330", "1969-02-14T03:02:54Z" },
		{ "21 Nov 97 09:55:06 GMT", "1997-11-21T09:55:06Z" },
		{ "Sun, 06 Nov 1994 08:49:37 GMT", "1994-11-06T08:49:37Z" },
	};
	struct leat_foreign f;
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		assert_int_equal(leat_foreign_parse(leat_span_of(cases[i].text), LEAT_FORM_NAMED, &f), 0);
		assert_true(f.is_instant);
		assert_int_equal(f.instant.sec, utc(cases[i].utc));
	}
}

/* ISO 8601's usual example of a duration (from memory). */
static void
iso8601_duration(void **state)
{
	struct leat_duration d;

	(void)state;
	assert_int_equal(leat_duration_parse(LEAT_SPAN("P3Y6M4DT12H30M5S"), &d), 0);
	assert_int_equal(d.months, 42);
	assert_int_equal(d.days, 4);
	unit_close(d.seconds, 12 * 3600 + 30 * 60 + 5, 0);
}

struct change {
	const char *zone;
	const char *rule;
	const char *utc;
	int before_min, after_min;	/* minutes east of UTC */
};

/* Changes of clocks after the tz database, release 2026f, and the same places' POSIX rules from the end of their zone
 * data.  The changes of Lord Howe follow from its rule there (first Sundays of April and October). */
static const struct change changes[] = {
	{ "Europe/Berlin", "CET-1CEST,M3.5.0,M10.5.0/3", "2025-03-30T01:00:00Z", 60, 120 },
	{ "Europe/Berlin", "CET-1CEST,M3.5.0,M10.5.0/3", "2025-10-26T01:00:00Z", 120, 60 },
	{ "Europe/Berlin", "CET-1CEST,M3.5.0,M10.5.0/3", "2026-03-29T01:00:00Z", 60, 120 },
	{ "Europe/Berlin", "CET-1CEST,M3.5.0,M10.5.0/3", "2026-10-25T01:00:00Z", 120, 60 },
	{ "America/New_York", "EST5EDT,M3.2.0,M11.1.0", "2025-03-09T07:00:00Z", -300, -240 },
	{ "America/New_York", "EST5EDT,M3.2.0,M11.1.0", "2025-11-02T06:00:00Z", -240, -300 },
	{ "America/New_York", "EST5EDT,M3.2.0,M11.1.0", "2026-03-08T07:00:00Z", -300, -240 },
	{ "America/New_York", "EST5EDT,M3.2.0,M11.1.0", "2026-11-01T06:00:00Z", -240, -300 },
	{ "Europe/London", "GMT0BST,M3.5.0/1,M10.5.0", "2025-03-30T01:00:00Z", 0, 60 },
	{ "Europe/London", "GMT0BST,M3.5.0/1,M10.5.0", "2025-10-26T01:00:00Z", 60, 0 },
	{ "Australia/Lord_Howe", "<+1030>-10:30<+11>-11,M10.1.0,M4.1.0", "2025-04-05T15:00:00Z", 660, 630 },
	{ "Australia/Lord_Howe", "<+1030>-10:30<+11>-11,M10.1.0,M4.1.0", "2025-10-04T15:30:00Z", 630, 660 },
};

/* Before the change, at it, and what the clocks skip or show twice, second by second. */
static void
check_change(const char *name, const struct change *change)
{
	struct leat_error err = { 0 };
	struct leat_zone *zone = leat_zone_open(leat_span_of(name), &err);
	int64_t at = utc(change->utc);
	int64_t shift = (change->after_min - change->before_min) * 60;
	int64_t local, first, last;
	struct leat_civil c;
	struct leat_time found[2];
	int expected, count;

	if (zone == NULL)
		fail_msg("%s: %s", name, err.text);
	assert_int_equal(leat_zone_offset(zone, at - 1), change->before_min * 60);
	assert_int_equal(leat_zone_offset(zone, at), change->after_min * 60);
	assert_int_equal(leat_zone_next_change(zone, (struct leat_time){ at - 1, 999999999 }).sec, at);
	/* The local times from first up to last do not exist, or happen twice. */
	first = at + (shift > 0 ? change->before_min : change->after_min) * 60;
	last = at + (shift > 0 ? change->after_min : change->before_min) * 60;
	for (local = first - 3; local < last + 3; local++) {
		c = leat_civil_from_time((struct leat_time){ local, 0 }, 0);
		count = leat_zone_instants(zone, &c, found);
		expected = local < first || local >= last ? 1 : shift > 0 ? 0 : 2;
		assert_int_equal(count, expected);
		if (count == 2) {
			assert_int_equal(found[0].sec, local - change->before_min * 60);
			assert_int_equal(found[1].sec, local - change->after_min * 60);
		}
	}
	leat_zone_free(zone);
}

static void
changes_by_rule(void **state)
{
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(changes) / sizeof(changes[0]); i++)
		check_change(changes[i].rule, &changes[i]);
}

static void
changes_by_name(void **state)
{
	size_t i;

	(void)state;
	if (access("/usr/share/zoneinfo/Europe/Berlin", R_OK) != 0) {
		printf("skip changes_by_name: no zone data on this system\n");
		skip();
	}
	for (i = 0; i < sizeof(changes) / sizeof(changes[0]); i++)
		check_change(changes[i].zone, &changes[i]);
}

/* RFC 8536, section 3.3.1 and appendix B (from memory): rules that POSIX alone does not allow. */
static void
rules_of_rfc8536(void **state)
{
	static const struct change wide[] = {
		/* The Thursday before the last Sunday at 26:00 is Friday 02:00. */
		{ NULL, "IST-2IDT,M3.4.4/26,M10.5.0", "2025-03-28T00:00:00Z", 120, 180 },
		{ NULL, "IST-2IDT,M3.4.4/26,M10.5.0", "2025-10-25T23:00:00Z", 180, 120 },
		/* The evening before. */
		{ NULL, "<-03>3<-02>,M3.5.0/-2,M10.5.0/-1", "2025-03-30T01:00:00Z", -180, -120 },
		{ NULL, "<-03>3<-02>,M3.5.0/-2,M10.5.0/-1", "2025-10-26T01:00:00Z", -120, -180 },
	};
	struct leat_error err = { 0 };
	struct leat_zone *zone;
	int64_t sec;
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(wide) / sizeof(wide[0]); i++)
		check_change(wide[i].rule, &wide[i]);
	/* Summer time from 1 January to 31 December, 24:00 and the difference: all the year. */
	zone = leat_zone_open(LEAT_SPAN("EST5EDT,0/0,J365/25"), &err);
	assert_non_null(zone);
	for (sec = utc("2024-12-01T00:00:00Z"); sec < utc("2026-02-01T00:00:00Z"); sec += 3600)
		assert_int_equal(leat_zone_offset(zone, sec), -4 * 3600);
	leat_zone_free(zone);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(rfc3339),
		cmocka_unit_test(leap_years),
		cmocka_unit_test(civil_as_the_c_library),
		cmocka_unit_test(serial_days),
		cmocka_unit_test(dates_of_mail),
		cmocka_unit_test(iso8601_duration),
		cmocka_unit_test(changes_by_rule),
		cmocka_unit_test(changes_by_name),
		cmocka_unit_test(rules_of_rfc8536),
	};

	return cmocka_run_group_tests_name("published times", tests, NULL, NULL);
}
