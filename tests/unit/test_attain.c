/* Attainment: single rules, case by case.  What holds for any stream is in test_attain_stream.c. */
#include "attain_pass.h"

/* The day ends at 06:00 UTC. */
#define END "2025-11-03T06:00:00Z,"
#define T(time) "2025-11-03T" time "Z,"
#define GRINDING T("04:00:00") "NM,state,grinding,,good\n"
/* A sign of life each ten minutes, so that the state holds. */
#define LIFE T("04:10:00") "NM,level,600,mm,good\n" T("04:20:00") "NM,level,600,mm,good\n" \
	T("04:30:00") "NM,level,600,mm,good\n" T("04:40:00") "NM,level,600,mm,good\n" T("04:50:00") "NM,level,600,mm,good\n"
#define STOP T("05:00:00") "NM,state,hold,,good\n"
#define LAST T("06:00:00") "NM,level,600,mm,good\n"
#define SET PLATE_HEADER "NM,set-pressure,120,bar,\n"
#define HOLDS "tag,asset,point,hold\n,NM,pressure,PT1H\n,NM,state,PT1H\n"

struct wanted {
	const char *name;
	struct attain_in in;
	const char *key;		/* of the row, its time END */
	double value;
	const char *quality;		/* "": no row */
	double tolerance;
};

static void
expect(const struct wanted *w, size_t count)
{
	for (size_t i = 0; i < count; i++, w++) {
		struct leat_error err = { 0 };
		struct attain_in in = w->in;
		char key[96], *text;

		in.only = true;
		text = attain_pass(&in, &err);
		if (text == NULL)
			fail_msg("%s: %s", w->name, err.text);
		snprintf(key, sizeof(key), END "%s,", w->key);
		unit_row(w->name, text, key, w->value, w->tolerance, w->quality);
		free(text);
	}
}

/* The time mean of (0 s, 120)(600, 120)(660, 110)(3600, 110) is (600 x 120 + 60 x 115 + 2940 x 110) / 3600 = 111.75 where the
 * signal goes in lines.  Held from reading to reading it would be 111.83, and the mean of the readings 115. */
#define VECTOR ROWS_HEADER GRINDING T("04:00:00") "NM,pressure,120,bar,good\n" T("04:10:00") "NM,pressure,120,bar,good\n" \
	T("04:11:00") "NM,pressure,110,bar,good\n" T("04:30:00") "NM,level,600,mm,good\n" T("05:00:00") "NM,pressure,110,bar,good\n" \
	STOP LAST

static void
test_mean(void **state)
{
	const struct attain_in vector = { .rows = VECTOR, .plate = SET, .points = HOLDS };
	/* Within 3.6 bar of 120: 600 s, and 0.36 of the minute's line; below for the rest. */
	const double within = 600 + 0.36 * 60;
	const struct wanted cases[] = {
		{ "mean by time", vector, "NM,pressure-deviation", 111.75 - 120, "good", 0.0051 },
		{ "share by time", vector, "NM,pressure-attainment", 100 * within / 3600, "good", 0.0051 },
		{ "spell", vector, "NM,pressure-low-spell", (3600 - within) / 60, "good", 0.051 },
		{ "coverage", vector, "NM,pressure-attainment.coverage", 100, "good", 0.0051 },
		{ "a tenth", vector, "NM,pressure-deviation.p10", -10, "good", 0.0051 },
		{ "hours", vector, "NM,grinding-hours", 1, "uncertain", 0.0051 },
		{ "a tolerance of the nameplate", { .rows = VECTOR, .plate = SET "NM,pressure-tolerance,10,bar,\n",
		    .points = HOLDS }, "NM,pressure-attainment", 100, "good", 0.0051 },
		{ "the hold of a quarter of an hour", { .rows = VECTOR, .plate = SET }, "NM,pressure-attainment.coverage",
		    /* 26 min of pressure; the state is lost from 04:26 to the sign of life, and from 04:45 to 05:00. */
		    100 * 26 / 41.0, "good", 0.0051 },
		{ "less than half an hour", { .rows = VECTOR, .plate = SET }, "NM,pressure-attainment", NAN, "bad", 0 },
		{ "enough by the works' word", { .rows = VECTOR, .plate = SET "NM,admitted-least,20,min,\n" }, "NM,pressure-attainment",
		    100 * within / 1560, "good", 0.0051 },
		{ "too small a share by it", { .rows = VECTOR, .plate = SET "NM,admitted-least,20,min,\nNM,coverage-least,64,%,\n" },
		    "NM,pressure-attainment", 100 * within / 1560, "uncertain", 0.0051 },
		{ "another unit", { .rows = ROWS_HEADER GRINDING T("04:00:00") "NM,pressure,12,MPa,good\n" LIFE STOP LAST, .plate = SET,
		    .points = HOLDS }, "NM,pressure-deviation", 0, "good", 0.0051 },
		{ "no set point at all", { .rows = VECTOR, .points = HOLDS }, "NM,pressure-attainment", NAN, "bad", 0 },
		{ "a day that is not over", { .rows = ROWS_HEADER GRINDING T("04:00:00") "NM,pressure,120,bar,good\n" LIFE STOP,
		    .plate = SET, .points = HOLDS }, "NM,grinding-hours", NAN, "", 0 },
		{ "over by the clock", { .rows = ROWS_HEADER GRINDING T("04:00:00") "NM,pressure,120,bar,good\n" LIFE STOP,
		    .plate = SET, .points = HOLDS, .now = "2025-11-03T06:00:00Z" }, "NM,grinding-hours", 1, "uncertain", 0.0051 },
		{ "no state", { .rows = ROWS_HEADER T("04:00:00") "NM,pressure,120,bar,good\n" LAST, .plate = SET },
		    "NM,grinding-hours", NAN, "", 0 },
		{ "a state of another asset", { .rows = ROWS_HEADER T("04:00:00") "NM,pressure,120,bar,good\n"
		    T("04:00:00") "NM/pump-a,state,grinding,,good\n" LAST, .plate = SET }, "NM,grinding-hours", NAN, "", 0 },
		{ "round sheets are not the mill", { .rows = ROWS_HEADER GRINDING T("04:00:00") "NM/round,pressure,120,bar,good\n" LIFE STOP
		    LAST, .plate = SET, .points = HOLDS }, "NM,grinding-hours", NAN, "", 0 },
	};

	(void)state;
	expect(cases, sizeof(cases) / sizeof(cases[0]));
}

#define AT_120 GRINDING T("04:00:00") "NM,pressure,120,bar,good\n"

static void
test_setpoint(void **state)
{
	const char *raised = ROWS_HEADER AT_120 T("04:00:00") "NM,pressure-setpoint,120,bar,good\n" LIFE
	    T("04:50:00") "NM,pressure-setpoint,124,bar,good\n" STOP LAST;
	const char *noisy = ROWS_HEADER AT_120 T("04:00:00") "NM,pressure-setpoint,120,bar,good\n" LIFE
	    T("04:50:00") "NM,pressure-setpoint,120.3,bar,good\n" STOP LAST;
	const char *lost = ROWS_HEADER AT_120 T("04:00:00") "NM,pressure-setpoint,120,bar,good\n" LIFE
	    T("04:50:00") "NM,pressure-setpoint,0,bar,good\n" STOP LAST;
#define BOOK LEAT_LOGBOOK_HEADER "\n"
	const struct wanted cases[] = {
		/* 5 min after the first reading of it, 5 after the change; then 5 min at 4 bar below. */
		{ "changed", { .rows = raised, .plate = SET, .points = HOLDS }, "NM,pressure-attainment.coverage", 100 * 50 / 60.0, "good",
		    0.0051 },
		{ "changed: what is admitted", { .rows = raised, .plate = SET, .points = HOLDS }, "NM,pressure-attainment",
		    100 * 45 / 50.0, "good", 0.0051 },
		{ "changed: shift", { .rows = raised, .plate = SET, .points = HOLDS }, "NM,setpoint-shift", 4 * 10 / 60.0, "good", 0.0051 },
		{ "settling for a quarter of an hour", { .rows = raised, .plate = SET "NM,setpoint-settling,15,min,\n", .points = HOLDS },
		    "NM,pressure-attainment.coverage", 100 * 35 / 60.0, "good", 0.0051 },
		{ "noise is no change", { .rows = noisy, .plate = SET, .points = HOLDS }, "NM,pressure-attainment.coverage",
		    100 * 55 / 60.0, "good", 0.0051 },
		{ "put to zero", { .rows = lost, .plate = SET, .points = HOLDS }, "NM,pressure-attainment.coverage", 100 * 45 / 60.0,
		    "good", 0.0051 },
		{ "put to zero: no shift", { .rows = lost, .plate = SET, .points = HOLDS }, "NM,setpoint-shift", 0, "good", 0.0051 },
		{ "of the nameplate: no shift", { .rows = ROWS_HEADER AT_120 LIFE STOP LAST, .plate = SET, .points = HOLDS },
		    "NM,setpoint-shift", NAN, "", 0 },
		{ "nothing agreed", { .rows = raised, .points = HOLDS }, "NM,setpoint-shift", NAN, "", 0 },
		{ "logged", { .rows = raised, .plate = SET, .points = HOLDS,
		    .book = BOOK "2025-11-03T04:50:00Z,NM,pressure-setting,,,120,124,bar,,me,trial\n" }, "NM,setpoint-shift", 0, "good",
		    0.0051 },
		{ "logged before", { .rows = raised, .plate = SET, .points = HOLDS,
		    .book = BOOK "2025-10-03T04:50:00Z,NM,pressure-setting,,pressure-setpoint,120,12.2,MPa,,me,\n" }, "NM,setpoint-shift",
		    -2 * 50 / 60.0 + 2 * 10 / 60.0, "good", 0.0051 },
		{ "the last of two", { .rows = raised, .plate = SET, .points = HOLDS,
		    .book = BOOK "2025-10-03T04:50:00Z,NM,pressure-setting,,,120,130,bar,,me,\n"
		    "2025-10-04T04:50:00Z,NM,pressure-setting,,,130,120,bar,,me,\n" }, "NM,setpoint-shift", 4 * 10 / 60.0, "good", 0.0051 },
		{ "of another point, part, mill and event", { .rows = raised, .plate = SET, .points = HOLDS,
		    .book = BOOK "2025-10-03T04:50:00Z,NM,pressure-setting,,precharge-20,120,130,bar,,me,\n"
		    "2025-10-03T04:50:00Z,NM/pump-a,pressure-setting,,,120,130,bar,,me,\n"
		    "2025-10-03T04:50:00Z,MM,pressure-setting,,,120,130,bar,,me,\n"
		    "2025-10-03T04:50:00Z,NM,note,,pressure-setpoint,120,130,bar,,me,look\n" }, "NM,setpoint-shift", 4 * 10 / 60.0, "good",
		    0.0051 },
		{ "a nameplate since has the last word", { .rows = raised, .plate = SET "NM,set-pressure,124,bar,2025-10-20T00:00:00Z\n",
		    .points = HOLDS, .book = BOOK "2025-10-03T04:50:00Z,NM,pressure-setting,,,120,130,bar,,me,\n" }, "NM,setpoint-shift",
		    -4 * 50 / 60.0, "good", 0.0051 },
		{ "a nameplate of within the day", { .rows = raised, .plate = SET "NM,set-pressure,124,bar,2025-11-03T04:45:00Z\n",
		    .points = HOLDS }, "NM,setpoint-shift", -4 * 5 / 60.0, "good", 0.0051 },
	};

	(void)state;
	expect(cases, sizeof(cases) / sizeof(cases[0]));
}

#define FORCE SET "NM,bore,320,mm,\nNM,rod,200,mm,\n"

static void
test_cylinders(void **state)
{
#define HOLD_ALL HOLDS ",NM,head-pressure,PT1H\n,NM/cyl-1,pressure,PT1H\n" \
	",NM/cyl-2,pressure,PT1H\n,NM/cyl-2,head-pressure,PT1H\n"
	const char *two = ROWS_HEADER AT_120 T("04:00:00") "NM,head-pressure,10,bar,good\n"
	    T("04:00:00") "NM/cyl-1,pressure,125,bar,good\n"
	    T("04:00:00") "NM/cyl-2,pressure,119,bar,good\n" T("04:00:00") "NM/cyl-2,head-pressure,12,bar,good\n" LIFE STOP LAST;
	const char *deep = ROWS_HEADER AT_120 T("04:00:00") "NM/cyl-1,pressure,125,bar,good\n"
	    T("04:00:00") "NM/cyl-1/gauge,pressure,119,bar,good\n" LIFE STOP LAST;
	const char *doubtful = ROWS_HEADER AT_120 T("04:00:00") "NM/cyl-1,pressure,125,bar,good\n"
	    T("04:00:00") "NM/cyl-2,pressure,119,bar,uncertain\n" LIFE STOP LAST;
	const struct wanted cases[] = {
		{ "spread", { .rows = two, .plate = SET, .points = HOLD_ALL }, "NM,pressure-spread", 6, "good", 0.0051 },
		{ "of one there is none", { .rows = deep, .plate = SET, .points = HOLD_ALL }, "NM,pressure-spread", NAN, "", 0 },
		{ "of doubtful readings", { .rows = doubtful, .plate = SET, .points = HOLD_ALL }, "NM,pressure-spread", 6, "uncertain",
		    0.0051 },
		/* The vector of the trade practice. */
		{ "force by the mill's counter pressure", { .rows = two, .plate = FORCE, .points = HOLD_ALL }, "NM/cyl-1,grinding-force",
		    532, "good", 0.5 },
		{ "force by its own", { .rows = two, .plate = FORCE, .points = HOLD_ALL }, "NM/cyl-2,grinding-force",
		    1e-4 * (119 * 49008.8 - 12 * 80424.8), "good", 0.051 },
		{ "force of the mill", { .rows = two, .plate = FORCE, .points = HOLD_ALL }, "NM,grinding-force",
		    1e-4 * (120 * 49008.8 - 10 * 80424.8), "good", 0.051 },
		{ "no counter pressure", { .rows = deep, .plate = FORCE, .points = HOLD_ALL }, "NM,grinding-force", NAN, "", 0 },
		{ "no cylinder sheet", { .rows = two, .plate = SET, .points = HOLD_ALL }, "NM,grinding-force", NAN, "", 0 },
		{ "a counter pressure of a quarter of an hour", { .rows = two, .plate = FORCE,
		    .points = HOLDS ",NM/cyl-1,pressure,PT1H\n" }, "NM/cyl-1,grinding-force", NAN, "bad", 0 },
	};

	(void)state;
	expect(cases, sizeof(cases) / sizeof(cases[0]));
}

#define RELIEF SET "NM/relief,relief-pressure,130,bar,\nNM/pump-a,compensator-pressure,110,bar,\n"

static void
test_relief(void **state)
{
	/* Above 123.5 bar, 95 % of 130, while it rises from 120 to 127 and falls again: 2 x 3.5/7 of 10 min. */
	const char *peak = ROWS_HEADER AT_120 T("04:10:00") "NM,pressure,120,bar,good\n" T("04:20:00") "NM,pressure,127,bar,good\n"
	    T("04:30:00") "NM,pressure,120,bar,good\n" T("04:40:00") "NM/pump-a,pump-running,on,,good\n" STOP LAST;
	/* Off, and the pump at its compensator. */
	const char *pump = ROWS_HEADER T("04:00:00") "NM,state,hold,,good\n" T("04:00:00") "NM,pressure,100,bar,good\n"
	    T("04:00:00") "NM/pump-a,pump-pressure,128,bar,uncertain\n" LAST;
	const struct wanted cases[] = {
		{ "margin", { .rows = peak, .plate = RELIEF, .points = HOLDS }, "NM/relief,relief-margin", 3, "uncertain", 0.0051 },
		{ "margin of a day known well enough", { .rows = peak, .plate = RELIEF "NM,coverage-least,5,%,\n", .points = HOLDS },
		    "NM/relief,relief-margin", 3, "good", 0.0051 },
		{ "time", { .rows = peak, .plate = RELIEF, .points = HOLDS }, "NM/relief,relief-time", 10, "uncertain", 0.051 },
		{ "compensator", { .rows = peak, .plate = RELIEF, .points = HOLDS }, "NM/pump-a,compensator-margin", 20, "good", 0.0051 },
		{ "by the pump, in any state", { .rows = pump, .plate = RELIEF "NM,coverage-least,0,%,\n", .points = HOLDS },
		    "NM/relief,relief-margin", 2, "uncertain", 0.0051 },
		{ "a quarter of an hour of it", { .rows = pump, .plate = RELIEF, .points = HOLDS }, "NM/relief,relief-time", 15,
		    "uncertain", 0.051 },
		{ "no certificate", { .rows = peak, .plate = SET, .points = HOLDS }, "NM/relief,relief-margin", NAN, "", 0 },
		{ "no compensator", { .rows = peak, .plate = SET "NM,relief-pressure,130,bar,\n", .points = HOLDS },
		    "NM/pump-a,compensator-margin", NAN, "", 0 },
		{ "without grinding nothing but hours", { .rows = pump, .plate = RELIEF, .points = HOLDS }, "NM,pressure-attainment", NAN,
		    "", 0 },
		{ "hours of a day without grinding", { .rows = pump, .plate = RELIEF, .points = HOLDS }, "NM,grinding-hours", 0,
		    "uncertain", 0.0051 },
	};

	(void)state;
	expect(cases, sizeof(cases) / sizeof(cases[0]));
}

/* A day has 23 or 25 hours where the clock changes, and its rows are stamped so. */
static void
test_clock_change(void **state)
{
	static const struct { const char *name, *first, *key; double hours; } cases[] = {
		{ "forward", "2025-03-29T05:00:00Z", "2025-03-30T04:00:00Z,NM,grinding-hours,", 23 },
		{ "back", "2025-10-25T04:00:00Z", "2025-10-26T05:00:00Z,NM,grinding-hours,", 25 }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_error err = { 0 };
		struct leat_buf rows = { 0 };
		struct leat_time t;
		char time[LEAT_TIME_MAX], quality[16], *text;

		assert_int_equal(leat_time_parse(leat_span_of(cases[i].first), &t), 0);
		assert_int_equal(leat_buf_printf(&rows, ROWS_HEADER), 0);
		for (int k = 0; k < 26 * 6; k++, t.sec += 600) {
			leat_time_write(time, t);
			assert_int_equal(leat_buf_printf(&rows, "%s,NM,pressure,120,bar,good\n%s,NM,state,grinding,,good\n", time, time), 0);
		}
		assert_int_equal(leat_buf_add(&rows, "", 1), 0);
		text = attain_pass(&(struct attain_in){ .rows = rows.data, .only = true,
		    .plate = SET ",zone,\"CET-1CEST,M3.5.0,M10.5.0/3\",,\n" }, &err);
		assert_non_null(text);
		unit_close(value_of(text, cases[i].key, quality), cases[i].hours, 0.0051);
		assert_string_equal(quality, "good");
		free(text);
		leat_buf_free(&rows);
	}
}

/* What is read at the very end of a day is held into the next one, however long nothing follows. */
static void
test_silence(void **state)
{
	const char *rows = ROWS_HEADER T("06:00:00") "NM,state,grinding,,good\n" T("06:00:00") "NM,pressure,120,bar,good\n"
	    "2031-01-01T00:00:00Z,NM,pressure,120,bar,good\n2031-01-01T06:00:00Z,NM,pressure,120,bar,good\n";
	struct leat_error err = { 0 };
	char quality[16], *text = attain_pass(&(struct attain_in){ .rows = rows, .plate = RELIEF, .only = true }, &err);

	(void)state;
	assert_non_null(text);
	unit_close(value_of(text, "2025-11-04T06:00:00Z,NM,grinding-hours,", quality), 0.25, 0.0051);
	unit_close(value_of(text, "2025-11-04T06:00:00Z,NM/relief,relief-margin,", quality), 10, 0.0051);
	unit_close(value_of(text, "2031-01-01T06:00:00Z,NM/relief,relief-margin,", quality), 10, 0.0051);
	assert_null(strstr(text, "2025-11-03T06:00:00Z,NM,grinding"));
	assert_null(strstr(text, "2026"));
	/* What holds until changed is valid again as soon as the mill reports: 15 min after the reading of midnight. */
	unit_close(value_of(text, "2031-01-01T06:00:00Z,NM,grinding-hours,", quality), 0.25, 0.0051);
	free(text);
}

static void
test_units(void **state)
{
	static const struct { const char *name, *rows, *error; } cases[] = {
		{ "another dimension", ROWS_HEADER T("04:00:00") "NM,pressure,50,degC,good\n",
		    "'pressure' of 'NM' comes in 'degC', where 'bar' or a unit of its dimension is due" },
		{ "none that is known", ROWS_HEADER AT_120 T("04:10:00") "NM/cyl-1,head-pressure,50,barn,good\n",
		    "'head-pressure' of 'NM/cyl-1' comes in 'barn', where 'bar' or a unit of its dimension is due" },
		{ "the set point", ROWS_HEADER AT_120 T("04:00:00") "NM,pressure-setpoint,50,mm,good\n" LAST,
		    "'pressure-setpoint' of 'NM' comes in 'mm', where 'bar' or a unit of its dimension is due" }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_error err = { 0 };

		assert_null(attain_pass(&(struct attain_in){ .rows = cases[i].rows, .plate = SET }, &err));
		assert_string_equal(err.text, cases[i].error);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_mean), cmocka_unit_test(test_setpoint), cmocka_unit_test(test_cylinders),
		cmocka_unit_test(test_relief), cmocka_unit_test(test_clock_change), cmocka_unit_test(test_silence),
		cmocka_unit_test(test_units)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
