/* Attainment: what a pump holds at no demand, cylinders at one instant, and the day that is not over. */
#include "attain_pass.h"
#include "unit.h"

/* The day ends at 06:00 UTC. */
#define T(time) "2025-11-03T" time "Z,"
#define PLATE PLATE_HEADER "NM,set-pressure,120,bar,\nNM/pump-a,compensator-pressure,160,bar,\n"
#define HOLDS "tag,asset,point,hold\n,NM,pressure,PT2H\n,NM,state,PT2H\n,NM,oil-temperature,PT2H\n" \
	",NM/pump-a,pump-pressure,PT2H\n,NM,charging,PT2H\n,NM/cyl-1,pressure,PT2H\n,NM/cyl-2,pressure,PT2H\n"
#define GRINDING T("04:00:00") "NM,state,grinding,,good\n" T("04:00:00") "NM,pressure,120,bar,good\n"
#define WARM T("04:00:00") "NM,oil-temperature,50,degC,good\n"
#define COLD T("04:00:00") "NM,oil-temperature,39,degC,good\n"
#define SHUT T("04:00:00") "NM,charging,off,,good\n"
#define PUMP T("04:00:00") "NM/pump-a,pump-pressure,"
#define LAST T("06:00:00") "NM,level,600,mm,good\n"

struct wanted {
	const char *name;
	struct attain_in in;
	const char *key;
	double value;
	const char *quality;		/* "": no row */
};

static void
expect(const struct wanted *w, size_t count)
{
	for (size_t i = 0; i < count; i++, w++) {
		struct leat_error err = { 0 };
		struct attain_in in = w->in;
		char quality[16], *text;
		double value;

		in.only = true;
		in.points = HOLDS;
		if (in.plate == NULL)
			in.plate = PLATE;
		text = attain_pass(&in, &err);
		if (text == NULL)
			fail_msg("%s: %s", w->name, err.text);
		value = value_of(text, w->key, quality);
		if (strcmp(quality, w->quality) != 0 || isnan(value) != isnan(w->value) || fabs(value - w->value) > 0.0501)
			fail_msg("%s: %.3f %s, expected %.3f %s\n%s", w->name, value, quality, w->value, w->quality, text);
		free(text);
	}
}

#define OBSERVED T("06:00:00") "NM/pump-a,compensator-pressure-observed,"
#define SHIFT T("06:00:00") "NM/pump-a,compensator-shift,"

static void
test_demand(void **state)
{
	/* An hour at 168 bar, a quarter of one while the mill is charged, the rest at 168 again. */
	const char *charged = ROWS_HEADER GRINDING WARM SHUT PUMP "168,bar,good\n"
	    T("04:59:59") "NM/pump-a,pump-pressure,168,bar,good\n" T("05:00:00") "NM,charging,on,,good\n"
	    T("05:00:00") "NM/pump-a,pump-pressure,130,bar,good\n" T("05:15:00") "NM,charging,off,,good\n"
	    T("05:15:00") "NM/pump-a,pump-pressure,168,bar,good\n" LAST;
	/* Longer at the pressure of charging than at that of the compensator. */
	const char *long_charged = ROWS_HEADER GRINDING WARM SHUT PUMP "152,bar,good\n" T("04:45:00") "NM,charging,on,,good\n"
	    T("04:45:00") "NM/pump-a,pump-pressure,130,bar,good\n" LAST;
	const char *unread = ROWS_HEADER GRINDING WARM PUMP "168,bar,good\n" T("05:30:00") "NM/pump-a,pump-pressure,168,bar,good\n"
	    LAST;
	const struct wanted cases[] = {
		{ "mode", { .rows = charged }, OBSERVED, 168, "good" },
		{ "shift", { .rows = charged }, SHIFT, 5, "good" },
		{ "another unit", { .rows = ROWS_HEADER GRINDING WARM SHUT PUMP "15.2,MPa,good\n" LAST }, SHIFT, -5, "good" },
		{ "the charging valve was never read", { .rows = unread }, OBSERVED, 168, "uncertain" },
		{ "doubtful readings", { .rows = ROWS_HEADER GRINDING WARM SHUT PUMP "168,bar,uncertain\n" LAST }, OBSERVED, 168,
		    "uncertain" },
		{ "cold oil", { .rows = ROWS_HEADER GRINDING COLD SHUT PUMP "168,bar,good\n"
		    LAST }, OBSERVED, NAN, "" },
		{ "warm by the nameplate", { .rows = ROWS_HEADER GRINDING COLD SHUT PUMP "168,bar,good\n" LAST,
		    .plate = PLATE "NM,warm-from,35,degC,\n" }, OBSERVED, 168, "good" },
		{ "in another unit", { .rows = ROWS_HEADER GRINDING T("04:00:00") "NM,oil-temperature,105,degF,good\n" SHUT
		    PUMP "168,bar,good\n" LAST }, OBSERVED, 168, "good" },
		{ "oil not read", { .rows = ROWS_HEADER GRINDING SHUT PUMP "168,bar,good\n" LAST }, OBSERVED, NAN, "" },
		{ "charging all the time", { .rows = ROWS_HEADER GRINDING WARM T("04:00:00") "NM,charging,on,,good\n"
		    PUMP "168,bar,good\n" LAST }, OBSERVED, NAN, "" },
		{ "a pump that is off", { .rows = ROWS_HEADER GRINDING WARM SHUT PUMP "0.4,bar,good\n" LAST }, OBSERVED, NAN, "" },
		{ "far above", { .rows = ROWS_HEADER GRINDING WARM SHUT PUMP "1e9,bar,good\n" LAST }, OBSERVED, NAN, "" },
		{ "no setting", { .rows = ROWS_HEADER GRINDING WARM SHUT PUMP "168,bar,good\n" LAST, .plate = PLATE_HEADER }, OBSERVED,
		    NAN, "" },
		{ "too short", { .rows = ROWS_HEADER GRINDING WARM SHUT PUMP "168,bar,good\n"
		    T("04:20:00") "NM/pump-a,pump-pressure,,bar,bad\n"
		    LAST }, OBSERVED, NAN, "bad" },
		{ "at rest too", { .rows = ROWS_HEADER T("04:00:00") "NM,state,hold,,good\n"
		    T("04:00:00") "NM,pressure,120,bar,good\n" WARM SHUT PUMP "168,bar,good\n" LAST }, OBSERVED, 168, "good" },
	};
	struct leat_error err = { 0 };
	char *text = attain_pass(&(struct attain_in){ .rows = long_charged, .plate = PLATE, .points = HOLDS, .explain = true },
	    &err);

	(void)state;
	expect(cases, sizeof(cases) / sizeof(cases[0]));
	/* A line falls from 152 to 130 up to the valve's opening; what follows does not count. */
	assert_non_null(text);
	assert_non_null(strstr(text, "observed    NM/pump-a: longest at "));
	assert_non_null(strstr(text, " bar in 45.00 min at no demand, oil from 40 degC; "));
	free(text);
}

static void
test_spread(void **state)
{
#define CYL(time, n, bar) T(time) "NM/cyl-" n ",pressure," bar ",bar,good\n"
#define MAX T("06:00:00") "NM,pressure-spread.max,"
	const char *both = ROWS_HEADER GRINDING CYL("04:00:00", "1", "120") CYL("04:00:00", "2", "121")
	    CYL("04:30:00", "1", "120") CYL("04:30:00", "2", "127") CYL("05:00:00", "1", "120") CYL("05:00:00", "2", "121") LAST;
	/* Never at one time: what they differ by may be the time between them. */
	const char *apart = ROWS_HEADER GRINDING CYL("04:01:00", "1", "120") CYL("04:02:00", "2", "121")
	    CYL("04:30:00", "1", "110") CYL("04:31:00", "2", "127") LAST;
	const char *standing = ROWS_HEADER GRINDING CYL("04:00:00", "1", "120") CYL("04:00:00", "2", "121")
	    CYL("05:00:00", "1", "120") CYL("05:00:00", "2", "121") T("05:30:00") "NM,state,hold,,good\n" CYL("05:40:00", "1", "20")
	    CYL("05:40:00", "2", "90") LAST;
	const struct wanted cases[] = {
		{ "together", { .rows = both }, MAX, 7, "good" },
		{ "the mean of the same", { .rows = both }, T("06:00:00") "NM,pressure-spread,", (2 * 0.5 * 4 + 1) / 2.0, "good" },
		{ "apart", { .rows = apart }, MAX, NAN, "" },
		{ "not while the mill stands", { .rows = standing }, MAX, 1, "good" },
	};

	(void)state;
	expect(cases, sizeof(cases) / sizeof(cases[0]));
}

static void
test_partial(void **state)
{
	const char *rows = ROWS_HEADER GRINDING T("04:40:00") "NM,pressure,100,bar,good\n";
	const struct wanted cases[] = {
		{ "not over", { .rows = rows }, T("04:40:00") "NM,grinding-hours,", NAN, "" },
		{ "as far as it is read", { .rows = rows, .partial = true }, T("04:40:00") "NM,grinding-hours,", 40 / 60.0, "uncertain" },
		{ "as far as the clock", { .rows = rows, .partial = true, .now = "2025-11-03T05:30:00Z" },
		    T("05:30:00") "NM,grinding-hours,", 1.5, "uncertain" },
		/* Within 3.6 bar of 120 for 3.6 / 20 of the way. */
		{ "its share", { .rows = rows, .partial = true }, T("04:40:00") "NM,pressure-attainment,", 18, "good" },
		/* The state held for two hours, and is known again from 06:30. */
		{ "over and begun", { .rows = ROWS_HEADER GRINDING T("06:30:00") "NM,state,grinding,,good\n"
		    T("07:00:00") "NM,pressure,120,bar,good\n", .partial = true }, T("07:00:00") "NM,grinding-hours,", 0.5, "good" },
		{ "over to the instant", { .rows = ROWS_HEADER GRINDING LAST, .partial = true }, T("06:00:00") "NM,grinding-hours,", 2,
		    "uncertain" },
	};
	struct leat_error err = { 0 };
	char *once = attain_pass(&(struct attain_in){ .rows = rows, .plate = PLATE, .points = HOLDS, .partial = true }, &err);
	char *twice;

	(void)state;
	expect(cases, sizeof(cases) / sizeof(cases[0]));
	twice = attain_pass(&(struct attain_in){ .rows = once, .plate = PLATE, .points = HOLDS, .partial = true }, &err);
	assert_string_equal(once, twice);
	free(once);
	free(twice);
}

/* What is lacking is said, and only that. */
static void
test_lacks(void **state)
{
	static const struct { const char *name, *rows, *plate, *said; } cases[] = {
		{ "set point", ROWS_HEADER GRINDING LAST, PLATE_HEADER, "no attainment: " },
		{ "agreed pressure", ROWS_HEADER GRINDING T("04:00:00") "NM,pressure-setpoint,120,bar,good\n" LAST, PLATE_HEADER,
		    "no setpoint-shift: " },
		{ "relief", ROWS_HEADER GRINDING LAST, PLATE_HEADER, "no relief-margin, " },
		{ "bore", ROWS_HEADER GRINDING T("04:00:00") "NM,head-pressure,10,bar,good\n" LAST, PLATE_HEADER, "no grinding-force: " },
		{ "compensator", ROWS_HEADER GRINDING PUMP "160,bar,good\n" LAST, PLATE_HEADER, "no compensator-shift: " }
	};
	const char *full = PLATE "NM/relief,relief-pressure,180,bar,\nNM,bore,320,mm,\nNM,rod,200,mm,\n";

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_error err = { 0 };
		char *text = attain_pass(&(struct attain_in){ .rows = cases[i].rows, .plate = cases[i].plate, .points = HOLDS,
		    .explain = true }, &err);

		assert_non_null(text);
		if (strstr(text, cases[i].said) == NULL)
			fail_msg("%s is not missed:\n%s", cases[i].name, text);
		free(text);
		text = attain_pass(&(struct attain_in){ .rows = cases[i].rows, .plate = full, .points = HOLDS, .explain = true }, &err);
		assert_non_null(text);
		if (strstr(text, "not told") != NULL)
			fail_msg("%s: nothing is missing:\n%s", cases[i].name, text);
		free(text);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_demand), cmocka_unit_test(test_spread), cmocka_unit_test(test_partial), cmocka_unit_test(test_lacks)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
