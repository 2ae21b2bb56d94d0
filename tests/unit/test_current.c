/* The latest readings: what is valid when, and who has the point. */
#include "latest_of.h"
#include "unit.h"

static const struct leat_latest *
find(const struct latest_of *l, const char *asset, const char *point, const char *now)
{
	uint32_t series = leat_current_resolve(&l->current, leat_span_of(asset), LEAT_SPAN(""), leat_span_of(point));

	return leat_current_series(&l->current, series, time_of(now));
}

/* Pressures are held 15 min, temperatures 60 min, unknown numbers 15 min (common practice). */
static void
test_hold(void **state)
{
	static const char rows[] =
	    "2025-11-03T04:00:00Z,NM,pressure,121.5,bar,good\n"
	    "2025-11-03T04:00:00Z,NM,oil-temperature,47,degC,uncertain\n"
	    "2025-11-03T04:00:00Z,NM,tie-rod-strain,3,mm,good\n";
	static const struct {
		const char *point, *now;
		bool valid;
	} cases[] = {
		{ "pressure", "2025-11-03T04:00:00Z", true },
		{ "pressure", "2025-11-03T04:15:00Z", true },
		{ "pressure", "2025-11-03T04:15:00.000000001Z", false },
		{ "oil-temperature", "2025-11-03T05:00:00Z", true },
		{ "oil-temperature", "2025-11-03T05:00:01Z", false },
		{ "tie-rod-strain", "2025-11-03T04:15:00Z", true },
		{ "tie-rod-strain", "2025-11-03T04:15:01Z", false },
		{ "level", "2025-11-03T04:00:00Z", false }
	};
	struct latest_of l;
	const struct leat_latest *latest;

	(void)state;
	latest_all(&l, rows, NULL);
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++)
		if ((find(&l, "NM", cases[i].point, cases[i].now) != NULL) != cases[i].valid)
			fail_msg("%s at %s", cases[i].point, cases[i].now);
	latest = find(&l, "NM", "pressure", "2025-11-03T04:01:00Z");
	assert_true(latest->is_number);
	unit_close(latest->number, 121.5, 0);
	assert_string_equal(latest->unit->name, "bar");
	assert_int_equal(find(&l, "NM", "oil-temperature", "2025-11-03T04:01:00Z")->quality, LEAT_UNCERTAIN);
	latest_close(&l);
}

/* A reading that is only a sign that its mill reports keeps a switch valid, and is not kept itself; a bad one does not. */
static void
test_report(void **state)
{
	static const char rows[] =
	    "2025-11-03T04:00:00Z,NM/pump-a,pump-running,on,,good\n"
	    "2025-11-03T06:00:00Z,NM,level,600,mm,good\n"
	    "2025-11-03T06:20:00Z,NM,level,,mm,bad\n";
	struct leat_error err = { 0 };
	struct leat_reading r;
	struct latest_of l;

	(void)state;
	latest_open(&l, rows, NULL);
	assert_true(latest_next(&l));
	for (int i = 0; i < 2; i++) {
		assert_int_equal(leat_readings_next(l.in, &r, &err), LEAT_READINGS_ROW);
		assert_int_equal(leat_current_report(&l.current, &r), 0);
	}
	assert_non_null(find(&l, "NM/pump-a", "pump-running", "2025-11-03T06:15:00Z"));
	assert_null(find(&l, "NM/pump-a", "pump-running", "2025-11-03T06:15:01Z"));
	assert_null(find(&l, "NM", "level", "2025-11-03T06:00:00Z"));
	latest_close(&l);
}

/* A switch and a set point are valid until changed, while the mill reports. */
static void
test_until_changed(void **state)
{
	static const char rows[] =
	    "2025-11-03T04:00:00Z,NM/pump-a,pump-running,on,,good\n"
	    "2025-11-03T04:00:00Z,NM,pressure-setpoint,125,bar,good\n"
	    "2025-11-03T04:00:00Z,NM,own-word,open,,good\n"
	    "2025-11-03T04:00:00Z,MM/pump-a,pump-running,on,,good\n"
	    "2025-11-03T06:00:00Z,NM/cooler,oil-in-temperature,48,degC,good\n";
	struct latest_of l;

	(void)state;
	latest_all(&l, rows, NULL);
	assert_non_null(find(&l, "NM/pump-a", "pump-running", "2025-11-03T06:15:00Z"));
	assert_null(find(&l, "NM/pump-a", "pump-running", "2025-11-03T06:15:01Z"));
	assert_non_null(find(&l, "NM", "pressure-setpoint", "2025-11-03T06:10:00Z"));
	assert_non_null(find(&l, "NM", "own-word", "2025-11-03T06:10:00Z"));
	assert_null(find(&l, "NM", "own-word", "2025-11-03T07:00:00Z"));
	/* The other mill has been silent since four. */
	assert_non_null(find(&l, "MM/pump-a", "pump-running", "2025-11-03T04:15:00Z"));
	assert_null(find(&l, "MM/pump-a", "pump-running", "2025-11-03T06:00:00Z"));
	latest_close(&l);
}

static void
test_table_holds(void **state)
{
	static const char rows[] =
	    "2025-11-03T04:00:00Z,NM/pump-a,pump-running,on,,good\n"
	    "2025-11-03T04:00:00Z,NM,oil-temperature,47,degC,good\n";
	struct leat_points points;
	struct latest_of l;

	(void)state;
	assert_int_equal(leat_points_read(&points, "testdata/tables/good-tab-points.csv", NULL, NULL), 0);
	latest_all(&l, rows, &points);
	assert_non_null(find(&l, "NM", "oil-temperature", "2025-11-03T06:00:00Z"));
	assert_null(find(&l, "NM", "oil-temperature", "2025-11-03T06:00:01Z"));
	assert_non_null(find(&l, "NM/pump-a", "pump-running", "2025-11-03T04:30:00Z"));
	assert_null(find(&l, "NM/pump-a", "pump-running", "2025-11-03T04:30:01Z"));
	latest_close(&l);
	leat_points_free(&points);
}

/* A bad reading says nothing: what was known before it lives out its hold, and the mill is not kept alive by it. */
static void
test_bad_quality(void **state)
{
	static const char rows[] =
	    "2025-11-03T04:00:00Z,NM,pressure,121.5,bar,good\n"
	    "2025-11-03T04:00:00Z,NM,mill-running,on,,good\n"
	    "2025-11-03T04:00:00Z,NM,charging,on,,good\n"
	    "2025-11-03T04:05:00Z,NM,pressure,,bar,bad\n"
	    "2025-11-03T04:05:00Z,NM,charging,,,bad\n"
	    "2025-11-03T04:06:00Z,NM,charging,,,bad\n"
	    "2025-11-03T04:09:00Z,NM,feed-rate,180,t/h,good\n"
	    "2025-11-03T04:40:00Z,NM,level,,mm,bad\n";
	struct latest_of l;

	(void)state;
	latest_all(&l, rows, NULL);
	unit_close(find(&l, "NM", "pressure", "2025-11-03T04:15:00Z")->number, 121.5, 0);
	assert_null(find(&l, "NM", "pressure", "2025-11-03T04:15:01Z"));
	assert_non_null(find(&l, "NM", "mill-running", "2025-11-03T04:24:00Z"));
	assert_null(find(&l, "NM", "mill-running", "2025-11-03T04:40:00Z"));
	assert_non_null(find(&l, "NM", "charging", "2025-11-03T04:20:00Z"));
	assert_null(find(&l, "NM", "charging", "2025-11-03T04:20:01Z"));
	assert_null(find(&l, "NM", "level", "2025-11-03T04:40:00Z"));
	latest_close(&l);
}

static void
test_parents(void **state)
{
	static const char rows[] =
	    "2025-11-03T04:00:00Z,NM,oil-temperature,47,degC,good\n"
	    "2025-11-03T04:01:00Z,NM/pump-a,oil-temperature,51,degC,good\n"
	    "2025-11-03T04:01:00Z,NM/pump-a,drain-flow,1.8,L/min,good\n";
	struct latest_of l;

	(void)state;
	latest_open(&l, rows, NULL);
	assert_true(latest_next(&l));
	unit_close(find(&l, "NM/pump-a", "oil-temperature", "2025-11-03T04:00:00Z")->number, 47, 0);
	assert_true(latest_next(&l) && latest_next(&l));
	unit_close(find(&l, "NM/pump-a", "oil-temperature", "2025-11-03T04:02:00Z")->number, 51, 0);
	unit_close(find(&l, "NM/pump-a/shaft", "oil-temperature", "2025-11-03T04:02:00Z")->number, 51, 0);
	unit_close(find(&l, "NM/pump-b", "oil-temperature", "2025-11-03T04:02:00Z")->number, 47, 0);
	/* Not from a child, and not from a mill whose name only begins alike. */
	assert_null(find(&l, "NM", "drain-flow", "2025-11-03T04:02:00Z"));
	assert_null(find(&l, "NM2", "oil-temperature", "2025-11-03T04:02:00Z"));
	/* A child that once had the point hides its parent's, even when its own value is old. */
	assert_null(find(&l, "NM/pump-a", "oil-temperature", "2025-11-03T06:00:00Z"));
	latest_close(&l);
}

static void
test_switch(void **state)
{
	static const struct {
		const char *value;
		int on;
	} cases[] = {
		{ "on", 1 }, { "ON", 1 }, { "true", 1 }, { "1", 1 }, { "1.0", 1 }, { "-3", 1 },
		{ "off", 0 }, { "Off", 0 }, { "false", 0 }, { "0", 0 }, { "0.00", 0 },
		{ "grinding", -1 }, { "18/16/13", -1 }, { "yes", -1 }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct latest_of l;
		char rows[96];

		snprintf(rows, sizeof(rows), "2025-11-03T04:00:00Z,NM,charging,%s,,good\n", cases[i].value);
		latest_all(&l, rows, NULL);
		assert_int_equal(leat_latest_switch(&l.current, find(&l, "NM", "charging", "2025-11-03T04:00:00Z")),
		    cases[i].on);
		latest_close(&l);
	}
}

/* The unit follows the readings, also when spelt otherwise or longer than any unit's name. */
static void
test_unit_changes(void **state)
{
	static const char rows[] =
	    "2025-11-03T04:00:00Z,NM,pressure,121.5,bar,good\n"
	    "2025-11-03T04:01:00Z,NM,pressure,12.15,MPa,good\n"
	    "2025-11-03T04:02:00Z,NM,pressure,12.15,a-unit-that-nobody-knows-of,good\n"
	    "2025-11-03T04:03:00Z,NM,pressure,12.15,,good\n"
	    "2025-11-03T04:04:00Z,NM,pressure,121.5,bar,good\n";
	static const char *const names[] = { "bar", "MPa", NULL, NULL, "bar" };
	struct latest_of l;

	(void)state;
	latest_open(&l, rows, NULL);
	for (size_t i = 0; i < 5; i++) {
		assert_true(latest_next(&l));
		if (names[i] == NULL)
			assert_null(l.current.latest[l.last.series].unit);
		else
			assert_string_equal(l.current.latest[l.last.series].unit->name, names[i]);
	}
	latest_close(&l);
}

/* Garbage words do not grow memory with the rows, and are not taken for a known word. */
static void
test_many_words(void **state)
{
	struct leat_buf rows = { 0 };
	struct latest_of l;
	uint32_t known;

	(void)state;
	for (unsigned i = 0; i < LEAT_CURRENT_WORDS + 1000; i++)
		assert_int_equal(leat_buf_printf(&rows, "2025-11-03T04:00:00Z,NM,own-word,word-%u,,good\n", i), 0);
	assert_int_equal(leat_buf_printf(&rows, "2025-11-03T04:00:00Z,NM,state,grinding,,good\n"), 0);
	assert_int_equal(leat_buf_printf(&rows, "2025-11-03T04:00:00Z,NM,own-word,word-7,,good\n"), 0);
	assert_int_equal(leat_buf_add(&rows, "", 1), 0);
	latest_all(&l, rows.data, NULL);
	assert_true(l.current.words.count <= LEAT_CURRENT_WORDS);
	known = find(&l, "NM", "own-word", "2025-11-03T04:00:00Z")->word;
	assert_true(known != LEAT_NAME_NONE);
	unit_span(l.current.words.name[known], "word-7");
	assert_int_equal(find(&l, "NM", "state", "2025-11-03T04:00:00Z")->word, LEAT_NAME_NONE);
	assert_int_equal(leat_latest_switch(&l.current, find(&l, "NM", "state", "2025-11-03T04:00:00Z")), -1);
	latest_close(&l);
	leat_buf_free(&rows);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_hold),
		cmocka_unit_test(test_report),
		cmocka_unit_test(test_until_changed),
		cmocka_unit_test(test_table_holds),
		cmocka_unit_test(test_bad_quality),
		cmocka_unit_test(test_parents),
		cmocka_unit_test(test_switch),
		cmocka_unit_test(test_unit_changes),
		cmocka_unit_test(test_many_words)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
