/*
 * Times as other programs write them, and local times in the order of a file.
 */
#include "unit.h"

#include "base/foreign.h"

#define ISO LEAT_FORM_ISO
#define DMY LEAT_FORM_DMY
#define MDY LEAT_FORM_MDY
#define NAMED LEAT_FORM_NAMED
#define EPOCH LEAT_FORM_EPOCH
#define EPOCH_MS LEAT_FORM_EPOCH_MS
#define SERIAL LEAT_FORM_SERIAL
#define CLOCK LEAT_FORM_CLOCK

/* Writes what a text said: an instant ends in Z, a civil time does not, a clock alone tells the days to add. */
static void
describe(char *dst, size_t size, const struct leat_foreign *f)
{
	const struct leat_civil *c = &f->civil;
	char date[40] = "";
	char clock[80] = "";

	if (f->is_instant) {
		assert_false(f->has_date || f->has_clock);
		assert_true(size >= LEAT_TIME_MAX);
		leat_time_write(dst, f->instant);
		return;
	}
	if (f->has_date) {
		assert_true(leat_civil_valid(c));
		snprintf(date, sizeof(date), "%04d-%02d-%02d", c->year, c->month, c->day);
	}
	if (f->has_clock)
		snprintf(clock, sizeof(clock), "T%02d:%02d:%02d.%09d", c->hour, c->minute, c->second, (int)c->nsec);
	/* Fractions of 0 are left out, others shortened. */
	while (strchr(clock, '.') != NULL && (clock[strlen(clock) - 1] == '0' || clock[strlen(clock) - 1] == '.'))
		clock[strlen(clock) - 1] = '\0';
	snprintf(dst, size, "%s%s%s%s", date, clock, f->has_date || c->day == 0 ? "" : "+1",
	    f->dotted ? " dotted" : "");
}

struct reading {
	const char *text;
	enum leat_form form;
	const char *says;
};

static void
check_readings(const struct reading *cases, size_t count)
{
	struct leat_foreign f;
	char says[200];
	size_t i;

	for (i = 0; i < count; i++) {
		if (leat_foreign_parse(leat_span_of(cases[i].text), cases[i].form, &f) != 0)
			fail_msg("'%s' is not taken", cases[i].text);
		describe(says, sizeof(says), &f);
		if (strcmp(says, cases[i].says) != 0)
			fail_msg("'%s' says %s, not %s", cases[i].text, says, cases[i].says);
		assert_true(leat_foreign_forms(leat_span_of(cases[i].text)) & cases[i].form);
	}
}

#define CHECK(cases) check_readings((cases), sizeof(cases) / sizeof((cases)[0]))

static void
iso_forms(void **state)
{
	static const struct reading cases[] = {
		{ "2025-02-03", ISO, "2025-02-03" },
		{ "2025/02/03", ISO, "2025-02-03" },
		{ "2025/2/3", ISO, "2025-02-03" },
		{ "2025.02.03", ISO, "2025-02-03 dotted" },
		{ "2025.02.03.", ISO, "2025-02-03 dotted" },
		{ "2025. 02. 03. 4:05", ISO, "2025-02-03T04:05:00 dotted" },
		{ "2025-02-03T04:05", ISO, "2025-02-03T04:05:00" },
		{ "2025-02-03 04:05:06", ISO, "2025-02-03T04:05:06" },
		{ "2025-02-03t04:05:06.5", ISO, "2025-02-03T04:05:06.5" },
		{ "2025-02-03T04:05:06,789", ISO, "2025-02-03T04:05:06.789" },
		{ "2025-02-03T04:05:06.123456789", ISO, "2025-02-03T04:05:06.123456789" },
		{ "2025-02-03T04:05:06.1234567899", ISO, "2025-02-03T04:05:06.123456789" },
		{ "2025-02-03 04:05:06 PM", ISO, "2025-02-03T16:05:06" },
		{ "2025-02-03T04:05Z", ISO, "2025-02-03T04:05:00Z" },
		{ "2025-02-03T04:05:06Z", ISO, "2025-02-03T04:05:06Z" },
		{ "2025-02-03 04:05:06 UTC", ISO, "2025-02-03T04:05:06Z" },
		{ "2025-02-03T04:05:06+01:00", ISO, "2025-02-03T03:05:06Z" },
		{ "2025-02-03T04:05:06 -0330", ISO, "2025-02-03T07:35:06Z" },
		{ "2025-02-03T04:05+01", ISO, "2025-02-03T03:05:00Z" },
		{ "2025-02-03T24:00", ISO, "2025-02-04T00:00:00" },
		{ "2025-12-31 24:00:00", ISO, "2026-01-01T00:00:00" },
		{ "2024-02-28T24:00:00+01:00", ISO, "2024-02-28T23:00:00Z" },
		{ "1998-12-31T23:59:60Z", ISO, "1999-01-01T00:00:00Z" },
		{ "20250203T040506", ISO, "2025-02-03T04:05:06" },
		{ "20250203T0405", ISO, "2025-02-03T04:05:00" },
		{ "20250203T040506.25Z", ISO, "2025-02-03T04:05:06.25Z" },
		{ "20250203 04:05:06", ISO, "2025-02-03T04:05:06" },
		{ "20250203 4:05", ISO, "2025-02-03T04:05:00" },
		{ "20250203T240000", ISO, "2025-02-04T00:00:00" },
		{ "20250203040506", ISO, "2025-02-03T04:05:06" },
		{ "  2025-02-03T04:05:06  ", ISO, "2025-02-03T04:05:06" },
		{ "\xc2\xa0" "2025-02-03\xc2\xa0" "04:05", ISO, "2025-02-03T04:05:00" },
	};

	(void)state;
	CHECK(cases);
}

static void
day_first_and_month_first(void **state)
{
	static const struct reading cases[] = {
		{ "03/02/2025", DMY, "2025-02-03" },
		{ "03/02/2025", MDY, "2025-03-02" },
		{ "3.2.25", DMY, "2025-02-03 dotted" },
		{ "3. 2. 2025", DMY, "2025-02-03 dotted" },
		{ "03.02.2025.", DMY, "2025-02-03 dotted" },
		{ "03-02-2025", DMY, "2025-02-03" },
		{ "03/02/2025 4:05", DMY, "2025-02-03T04:05:00" },
		{ "3.2.25 04:05:06", DMY, "2025-02-03T04:05:06 dotted" },
		{ "03.02.2025 04:05:06,5", DMY, "2025-02-03T04:05:06.5 dotted" },
		{ "03.02.2025T04:05", DMY, "2025-02-03T04:05:00 dotted" },
		{ "31.12.2025 24:00:00", DMY, "2026-01-01T00:00:00 dotted" },
		{ "03.02.2025 04:05:06 +01:00", DMY, "2025-02-03T03:05:06Z" },
		{ "03/02/2025 04:05Z", MDY, "2025-03-02T04:05:00Z" },
		{ "02/03/2025 4:05:06 PM", MDY, "2025-02-03T16:05:06" },
		{ "02/03/2025, 4:05:06 p.m.", MDY, "2025-02-03T16:05:06" },
		{ "2/3/25 12:00 AM", MDY, "2025-02-03T00:00:00" },
		{ "2/3/25 12:00am", MDY, "2025-02-03T00:00:00" },
		{ "2/3/25 12:30 Pm", MDY, "2025-02-03T12:30:00" },
		{ "2/3/25 11:59 A.M.", MDY, "2025-02-03T11:59:00" },
		{ "2/3/2025 4:05:06\xe2\x80\xafPM", MDY, "2025-02-03T16:05:06" },
		{ "Mon 2/3/2025", MDY, "2025-02-03" },
		{ "Monday, 3.2.2025 4:05", DMY, "2025-02-03T04:05:00 dotted" },
		{ "01/01/69", DMY, "1969-01-01" },
		{ "01/01/99", DMY, "1999-01-01" },
		{ "01/01/68", DMY, "2068-01-01" },
		{ "01/01/00", DMY, "2000-01-01" },
		{ "29.02.24", DMY, "2024-02-29 dotted" },
	};

	(void)state;
	CHECK(cases);
}

static void
names_of_months(void **state)
{
	static const struct reading cases[] = {
		{ "03-Feb-2025", NAMED, "2025-02-03" },
		{ "03-FEB-25 04:05", NAMED, "2025-02-03T04:05:00" },
		{ "3/feb/2025", NAMED, "2025-02-03" },
		{ "3.Feb.2025", NAMED, "2025-02-03" },
		{ "3. Feb. 2025 4:05", NAMED, "2025-02-03T04:05:00" },
		{ "3 February 2025", NAMED, "2025-02-03" },
		{ "3 Feb, 2025", NAMED, "2025-02-03" },
		{ "Feb 3, 2025", NAMED, "2025-02-03" },
		{ "Feb. 3, 2025 4:05 PM", NAMED, "2025-02-03T16:05:00" },
		{ "february 3 2025, 04:05:06.5", NAMED, "2025-02-03T04:05:06.5" },
		{ "Feb-03-2025", NAMED, "2025-02-03" },
		{ "Mon 03 Feb 2025", NAMED, "2025-02-03" },
		{ "Mon, 03 Feb 2025 04:05:06 +0100", NAMED, "2025-02-03T03:05:06Z" },
		{ "Mon, 3 Feb 2025 04:05:06 GMT", NAMED, "2025-02-03T04:05:06Z" },
		{ "MONDAY 3 FEB 2025", NAMED, "2025-02-03" },
		{ "Thu 1 Jan 1970", NAMED, "1970-01-01" },
		{ "Wed 31 Dec 1969", NAMED, "1969-12-31" },
		{ "Mon 1 Jan 0001", NAMED, "0001-01-01" },
		{ "1 January 2025", NAMED, "2025-01-01" }, { "1 Mar 2025", NAMED, "2025-03-01" },
		{ "1 April 2025", NAMED, "2025-04-01" }, { "1 May 2025", NAMED, "2025-05-01" },
		{ "1 Jun 2025", NAMED, "2025-06-01" }, { "1 July 2025", NAMED, "2025-07-01" },
		{ "1 Aug 2025", NAMED, "2025-08-01" }, { "1 Sept 2025", NAMED, "2025-09-01" },
		{ "1 Sep 2025", NAMED, "2025-09-01" }, { "1 October 2025", NAMED, "2025-10-01" },
		{ "1 Nov 2025", NAMED, "2025-11-01" }, { "1 Dec 2025", NAMED, "2025-12-01" },
	};

	(void)state;
	CHECK(cases);
}

static void
plain_numbers(void **state)
{
	static const struct reading cases[] = {
		{ "1738555506", EPOCH, "2025-02-03T04:05:06Z" },
		{ "1738555506.25", EPOCH, "2025-02-03T04:05:06.25Z" },
		{ "1738555506,25", EPOCH, "2025-02-03T04:05:06.25Z" },
		{ "1738555506.1234567899", EPOCH, "2025-02-03T04:05:06.123456789Z" },
		{ "631152000", EPOCH, "1990-01-01T00:00:00Z" },
		{ "4133980799", EPOCH, "2100-12-31T23:59:59Z" },
		{ "1738555506250", EPOCH_MS, "2025-02-03T04:05:06.25Z" },
		{ "1738555506250.5", EPOCH_MS, "2025-02-03T04:05:06.2505Z" },
		{ "45691", SERIAL, "2025-02-03T00:00:00" },
		{ "45691.5", SERIAL, "2025-02-03T12:00:00" },
		{ "45691,5", SERIAL, "2025-02-03T12:00:00" },
		/* 04:05:06 is 0.1702083333... of a day. */
		{ "45691.1702083", SERIAL, "2025-02-03T04:05:06" },
		{ "45691.17020833333333333", SERIAL, "2025-02-03T04:05:06" },
		{ "45691.1702112269", SERIAL, "2025-02-03T04:05:06.25" },
		{ "45691.170208", SERIAL, "2025-02-03T04:05:06" },
		{ "45691.999999999", SERIAL, "2025-02-04T00:00:00" },
		{ "61.5", SERIAL, "1900-03-01T12:00:00" },
		{ "73050", SERIAL, "2099-12-31T00:00:00" },
	};

	(void)state;
	CHECK(cases);
}

static void
clocks_alone(void **state)
{
	static const struct reading cases[] = {
		{ "04:05", CLOCK, "T04:05:00" },
		{ "4:05:06", CLOCK, "T04:05:06" },
		{ "04:05:06.789", CLOCK, "T04:05:06.789" },
		{ "4:05 PM", CLOCK, "T16:05:00" },
		{ "4:05:06,5pm", CLOCK, "T16:05:06.5" },
		{ "12:00 am", CLOCK, "T00:00:00" },
		{ "00:00", CLOCK, "T00:00:00" },
		{ "24:00", CLOCK, "T00:00:00+1" },
		{ "24:00:00.000", CLOCK, "T00:00:00+1" },
	};

	(void)state;
	CHECK(cases);
}

static void
no_times_at_all(void **state)
{
	static const char *const cases[] = {
		"", " ", "x", "-", "0", "1", "12", "2025", "9999", "1.234", "1,5", "60.5", "60", "73051",
		"73050.5x", "45691.", "045691.5", "4569 1", "-45691", "+45691", "1e9", "0x10", "nan", "inf",
		"17385555061234567", "631151999", "4133980800", "20250203", "12345678901234", "18991231235959",
		"21010101000000", "202502030405", "2025-02-30", "2025-13-01", "2025-00-10", "2025-10-00",
		"2025-02", "2025-2", "2025-02-03T", "2025-02-03T4", "2025-02-03 04", "2025-02-03 04:5",
		"2025-02-03 04:05:6", "2025-02-03 04:60", "2025-02-03 04:05:60", "2025-02-03 25:00",
		"2025-02-03 24:01", "2025-02-03 24:00:00.1", "2025-02-03 24:00 AM", "9999-12-31 24:00",
		"2025-02-03 13:00 PM", "2025-02-03 0:30 AM", "2025-02-03 04:05:06.", "2025-02-03 04:05.5",
		"2025-02-03T04:05:06 CET", "2025-02-03T04:05:06+1", "2025-02-03T04:05:06+24:00",
		"2025-02-03T04:05:06+01:60", "2025-02-03T04:05:06Zx", "2025-02-03Z", "2025-02-03T040506",
		"2025-02/03", "2025.02-03", "2025--02-03", "20250203T4", "20250203T04050", "20250203,040506",
		"20250230T040506", "0000-01-01", "0001-01-01T00:00+01:00", "03/02-2025", "03.02/2025",
		"03/02/025", "03/02/20255", "003/02/2025", "32/01/2025", "00/01/2025", "29.02.2025", "03/02/",
		"03//02/2025", "03/02/2025 at 4:05", "Tue 2/3/2025 x", "Tuesday, 3.2.2025", "Mon2/3/2025",
		"Tue 03 Feb 2025", "Mon, 03 Fec 2025", "03-Feb/2025", "03 Feb-2025", "Feb 2025", "3Feb2025",
		"Feb 30, 2025", "Febr 3 2025", "Fe 3 2025", "03 Feb", "04:05Z", "04:05+01:00", "4", "4 PM",
		"4:5", "004:05", "04:05:06:07", "12:00 XM", "12:00 a.m", "running", "off", "18/16/13",
		"-1/2/2025", "\xc2", ("2025-02-03\xc2" "04:05"),
	};
	unsigned forms;
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		forms = leat_foreign_forms(leat_span_of(cases[i]));
		/* The code 18/16/13 of ISO 4406 is no date, as no month is 16. */
		if (forms != 0)
			fail_msg("'%s' is taken under %u", cases[i], forms);
	}
	assert_int_equal(leat_foreign_forms(leat_span_make(NULL, 0)), 0);
	assert_int_equal(leat_foreign_forms(LEAT_SPAN("2025-02-03\0")), 0);
}

static void
sets_of_forms(void **state)
{
	static const struct {
		const char *text;
		unsigned forms;
	} cases[] = {
		{ "2025-02-03", ISO },
		{ "2025.02.03 04:05", ISO },
		{ "03/02/2025", DMY | MDY },
		{ "03.02.2025", DMY | MDY },
		{ "13/02/2025", DMY },
		{ "02/13/2025", MDY },
		{ "12-12-12", DMY | MDY },
		/* The weekday tells which it is. */
		{ "Mon 03/02/2025", DMY },
		{ "Mon 02/03/2025", MDY },
		{ "03-Feb-2025", NAMED },
		{ "1738555506", EPOCH },
		{ "1738555506250", EPOCH_MS },
		{ "45691", SERIAL },
		{ "101.7", SERIAL },
		{ "04:05", CLOCK },
	};
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++)
		if (leat_foreign_forms(leat_span_of(cases[i].text)) != cases[i].forms)
			fail_msg("'%s' is %u", cases[i].text, leat_foreign_forms(leat_span_of(cases[i].text)));
}

static void
one_form_at_a_time(void **state)
{
	struct leat_foreign f;

	(void)state;
	assert_int_equal(leat_foreign_parse(LEAT_SPAN("2025-02-03"), DMY, &f), -1);
	assert_int_equal(leat_foreign_parse(LEAT_SPAN("02/13/2025"), DMY, &f), -1);
	assert_int_equal(leat_foreign_parse(LEAT_SPAN("45691"), EPOCH, &f), -1);
	assert_int_equal(leat_foreign_parse(LEAT_SPAN("1738555506"), EPOCH_MS, &f), -1);
	assert_int_equal(leat_foreign_parse(LEAT_SPAN("04:05"), ISO, &f), -1);
	assert_int_equal(leat_foreign_parse(LEAT_SPAN("2025-02-03"), (enum leat_form)(ISO | DMY), &f), -1);
	assert_int_equal(leat_foreign_parse(LEAT_SPAN("2025-02-03"), (enum leat_form)0, &f), -1);
}

static void
names_of_forms(void **state)
{
	static const char *const names[] = { "iso", "dmy", "mdy", "named", "epoch", "epoch-ms", "serial" };
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(names) / sizeof(names[0]); i++) {
		assert_string_equal(leat_form_name((enum leat_form)(1U << i)), names[i]);
		assert_int_equal(leat_form_find(leat_span_of(names[i])), 1U << i);
	}
	assert_string_equal(leat_form_name(CLOCK), "clock");
	assert_int_equal(leat_form_find(LEAT_SPAN("clock")), 0);
	assert_int_equal(leat_form_find(LEAT_SPAN("ISO")), 0);
	assert_int_equal(leat_form_find(LEAT_SPAN("")), 0);
}

static void
date_and_clock_of_two_columns(void **state)
{
	static const struct {
		const char *date;
		enum leat_form form;
		const char *clock;
		const char *says;	/* NULL: they do not go together */
	} cases[] = {
		{ "03.02.2025", DMY, "04:05:06", "2025-02-03T04:05:06 dotted" },
		{ "2025-02-03", ISO, "4:05:06.5 PM", "2025-02-03T16:05:06.5" },
		{ "28.02.2024", DMY, "24:00", "2024-02-29T00:00:00 dotted" },
		{ "03/02/2025 00:00:00", DMY, "04:05", "2025-02-03T04:05:00" },
		{ "45691", SERIAL, "04:05", "2025-02-03T04:05:00" },
		{ "45691.5", SERIAL, "04:05", NULL },
		{ "03/02/2025 00:01", DMY, "04:05", NULL },
		{ "2025-02-03T00:00:00Z", ISO, "04:05", NULL },
		{ "1738555506", EPOCH, "04:05", NULL },
		{ "9999-12-31", ISO, "24:00", NULL },
	};
	struct leat_foreign date, clock, out;
	char says[200];
	size_t i;

	(void)state;
	for (i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		assert_int_equal(leat_foreign_parse(leat_span_of(cases[i].date), cases[i].form, &date), 0);
		assert_int_equal(leat_foreign_parse(leat_span_of(cases[i].clock), CLOCK, &clock), 0);
		if (cases[i].says == NULL) {
			assert_int_equal(leat_foreign_join(&date, &clock, &out), -1);
			continue;
		}
		assert_int_equal(leat_foreign_join(&date, &clock, &out), 0);
		describe(says, sizeof(says), &out);
		assert_string_equal(says, cases[i].says);
		assert_int_equal(leat_foreign_join(&date, &clock, &date), 0);
		describe(says, sizeof(says), &date);
		assert_string_equal(says, cases[i].says);
	}
	assert_int_equal(leat_foreign_join(&date, &date, &out), -1);
	assert_int_equal(leat_foreign_join(&clock, &clock, &out), -1);
}

struct step {
	const char *local;
	enum leat_local status;
	const char *utc;
};

static void
walk(const char *zone_name, const struct step *steps, size_t count)
{
	struct leat_error err = { 0 };
	struct leat_zone *zone = leat_zone_open(leat_span_of(zone_name), &err);
	struct leat_local_clock clock = { .zone = zone };
	struct leat_foreign f;
	struct leat_time t;
	enum leat_local status;
	char text[LEAT_TIME_MAX];
	size_t i;

	assert_non_null(zone);
	for (i = 0; i < count; i++) {
		assert_int_equal(leat_foreign_parse(leat_span_of(steps[i].local), ISO, &f), 0);
		status = leat_local_resolve(&clock, &f.civil, &t);
		if (status != steps[i].status)
			fail_msg("step %zu, %s: status %d", i, steps[i].local, (int)status);
		if (status == LEAT_LOCAL_GAP)
			continue;
		leat_time_write(text, t);
		if (strcmp(text, steps[i].utc) != 0)
			fail_msg("step %zu, %s: %s", i, steps[i].local, text);
	}
	leat_zone_free(zone);
}

#define BERLIN "CET-1CEST,M3.5.0,M10.5.0/3"
#define WALK(zone, steps) walk((zone), (steps), sizeof(steps) / sizeof((steps)[0]))

static void
hour_that_comes_twice_in_order(void **state)
{
	static const struct step steps[] = {
		{ "2025-10-26 01:45", LEAT_LOCAL_OK, "2025-10-25T23:45:00Z" },
		{ "2025-10-26 02:00", LEAT_LOCAL_OK, "2025-10-26T00:00:00Z" },
		/* The same stamp again, as another tag has it. */
		{ "2025-10-26 02:00", LEAT_LOCAL_OK, "2025-10-26T00:00:00Z" },
		{ "2025-10-26 02:30", LEAT_LOCAL_OK, "2025-10-26T00:30:00Z" },
		{ "2025-10-26 02:59:59", LEAT_LOCAL_OK, "2025-10-26T00:59:59Z" },
		{ "2025-10-26 02:00", LEAT_LOCAL_OK, "2025-10-26T01:00:00Z" },
		{ "2025-10-26 02:00", LEAT_LOCAL_OK, "2025-10-26T01:00:00Z" },
		{ "2025-10-26 02:45", LEAT_LOCAL_OK, "2025-10-26T01:45:00Z" },
		{ "2025-10-26 03:00", LEAT_LOCAL_OK, "2025-10-26T02:00:00Z" },
	};

	(void)state;
	WALK(BERLIN, steps);
}

static void
hour_that_comes_twice_without_evidence(void **state)
{
	static const struct step starts_in_it[] = {
		{ "2025-10-26 02:30", LEAT_LOCAL_GUESSED, "2025-10-26T00:30:00Z" },
		{ "2025-10-26 02:40", LEAT_LOCAL_GUESSED, "2025-10-26T00:40:00Z" },
		/* Time cannot go back: this one is certain. */
		{ "2025-10-26 02:35", LEAT_LOCAL_OK, "2025-10-26T01:35:00Z" },
		{ "2025-10-26 03:05", LEAT_LOCAL_OK, "2025-10-26T02:05:00Z" },
	};
	static const struct step hourly[] = {
		{ "2025-10-26 01:30", LEAT_LOCAL_OK, "2025-10-25T23:30:00Z" },
		{ "2025-10-26 02:30", LEAT_LOCAL_GUESSED, "2025-10-26T00:30:00Z" },
		/* It goes on at its step, or a row came twice. */
		{ "2025-10-26 02:30", LEAT_LOCAL_GUESSED, "2025-10-26T01:30:00Z" },
		{ "2025-10-26 03:30", LEAT_LOCAL_OK, "2025-10-26T02:30:00Z" },
	};
	static const struct step hourly_once[] = {
		{ "2025-10-26 01:30", LEAT_LOCAL_OK, "2025-10-25T23:30:00Z" },
		{ "2025-10-26 02:30", LEAT_LOCAL_GUESSED, "2025-10-26T00:30:00Z" },
		{ "2025-10-26 03:30", LEAT_LOCAL_OK, "2025-10-26T02:30:00Z" },
	};
	static const struct step twice_within_it[] = {
		{ "2025-10-26 02:20", LEAT_LOCAL_GUESSED, "2025-10-26T00:20:00Z" },
		{ "2025-10-26 02:20", LEAT_LOCAL_GUESSED, "2025-10-26T00:20:00Z" },
		{ "2025-10-26 02:21", LEAT_LOCAL_GUESSED, "2025-10-26T00:21:00Z" },
	};
	static const struct step half_an_hour_at_most[] = {
		{ "2025-10-26 01:59", LEAT_LOCAL_OK, "2025-10-25T23:59:00Z" },
		{ "2025-10-26 02:29", LEAT_LOCAL_OK, "2025-10-26T00:29:00Z" },
		{ "2025-10-26 02:59:01", LEAT_LOCAL_GUESSED, "2025-10-26T00:59:01Z" },
	};
	static const struct step behind_it[] = {
		{ "2025-10-26 03:00", LEAT_LOCAL_OK, "2025-10-26T02:00:00Z" },
		{ "2025-10-26 02:30", LEAT_LOCAL_GUESSED, "2025-10-26T00:30:00Z" },
	};

	(void)state;
	WALK(BERLIN, starts_in_it);
	WALK(BERLIN, hourly);
	WALK(BERLIN, hourly_once);
	WALK(BERLIN, twice_within_it);
	WALK(BERLIN, half_an_hour_at_most);
	WALK(BERLIN, behind_it);
}

static void
half_hour_that_comes_twice(void **state)
{
	static const struct step steps[] = {
		{ "2025-04-06 01:20", LEAT_LOCAL_OK, "2025-04-05T14:20:00Z" },
		{ "2025-04-06 01:35", LEAT_LOCAL_OK, "2025-04-05T14:35:00Z" },
		{ "2025-04-06 01:50", LEAT_LOCAL_OK, "2025-04-05T14:50:00Z" },
		{ "2025-04-06 01:35", LEAT_LOCAL_OK, "2025-04-05T15:05:00Z" },
		{ "2025-04-06 02:00", LEAT_LOCAL_OK, "2025-04-05T15:30:00Z" },
	};

	(void)state;
	WALK("<+1030>-10:30<+11>-11,M10.1.0,M4.1.0", steps);
}

static void
hour_that_never_was(void **state)
{
	static const struct step steps[] = {
		{ "2025-03-30 01:59", LEAT_LOCAL_OK, "2025-03-30T00:59:00Z" },
		{ "2025-03-30 02:00", LEAT_LOCAL_GAP, NULL },
		{ "2025-03-30 02:59", LEAT_LOCAL_GAP, NULL },
		{ "2025-03-30 03:00", LEAT_LOCAL_OK, "2025-03-30T01:00:00Z" },
	};

	(void)state;
	WALK(BERLIN, steps);
}

static void
gap_does_not_move_the_clock(void **state)
{
	struct leat_error err = { 0 };
	struct leat_local_clock clock = { .zone = leat_zone_open(LEAT_SPAN(BERLIN), &err) };
	const struct leat_civil never = { 2025, 3, 30, 2, 30, 0, 0 };
	struct leat_time t = { 7, 7 };

	(void)state;
	assert_non_null(clock.zone);
	assert_int_equal(leat_local_resolve(&clock, &never, &t), LEAT_LOCAL_GAP);
	assert_false(clock.started);
	assert_int_equal(t.sec, 7);
	leat_zone_free((struct leat_zone *)clock.zone);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(iso_forms),
		cmocka_unit_test(day_first_and_month_first),
		cmocka_unit_test(names_of_months),
		cmocka_unit_test(plain_numbers),
		cmocka_unit_test(clocks_alone),
		cmocka_unit_test(no_times_at_all),
		cmocka_unit_test(sets_of_forms),
		cmocka_unit_test(one_form_at_a_time),
		cmocka_unit_test(names_of_forms),
		cmocka_unit_test(date_and_clock_of_two_columns),
		cmocka_unit_test(hour_that_comes_twice_in_order),
		cmocka_unit_test(hour_that_comes_twice_without_evidence),
		cmocka_unit_test(half_hour_that_comes_twice),
		cmocka_unit_test(hour_that_never_was),
		cmocka_unit_test(gap_does_not_move_the_clock),
	};

	return cmocka_run_group_tests_name("foreign", tests, NULL, NULL);
}
