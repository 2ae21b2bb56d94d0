/* Corrected case drain flow of a stream: what must not matter. */
#include "drain_pass.h"

static char warned[512];

static void
warn(const char *text)
{
	snprintf(warned, sizeof(warned), "%s", text);
}

/* Readings by the second give what those by the minute do, and need no more memory for the day. */
static void
test_by_second(void **state)
{
	struct day day = { DAY(120, 2.2, 160, 59.4, 50) };
	char quality[16], *rows;
	struct pass p[2];
	size_t cap[2];

	(void)state;
	for (int i = 0; i < 2; i++) {
		day.by_second = i == 1;
		rows = day_rows(&day);
		pass_open(&p[i], PLATE, rows);
		pass_run(&p[i], true);
		assert_int_equal(p[i].status, 0);
		cap[i] = p[i].drain.pump[0].day.cap;
		free(rows);
	}
	unit_close(value_of(p[1].text, FLOW, quality), value_of(p[0].text, FLOW, quality), 0);
	assert_string_equal(p[0].text, p[1].text);
	assert_int_equal(cap[0], cap[1]);
	pass_close(&p[0]);
	pass_close(&p[1]);
}

/* Rows at the days at which the clock changes: of 23 and 25 hours. */
static void
test_clock_changes(void **state)
{
	static const struct { const char *day; int64_t from; int minutes; } days[] = {
		{ "2025-03-30T04:00:00Z,", 1743206400 + 5 * 3600, 23 * 60 },	/* 2025-03-29 06:00 +01:00 */
		{ "2025-10-26T05:00:00Z,", 1761350400 + 4 * 3600, 25 * 60 },	/* 2025-10-25 06:00 +02:00 */
	};

	(void)state;
	for (size_t i = 0; i < 2; i++) {
		struct leat_buf text = { 0 };
		char time[LEAT_TIME_MAX], quality[16];
		struct pass p;

		for (int m = 1; m <= days[i].minutes + 30; m++) {
			leat_time_write(time, (struct leat_time){ days[i].from + m * 60, 0 });
			assert_int_equal(leat_buf_printf(&text, "%s,NM/pump-a,pump-running,on,,good\n%s,NM/pump-a,drain-flow,2,L/min,good\n"
			    "%s,NM/pump-a,pump-pressure,160,bar,good\n%s,NM,oil-temperature,50,degC,good\n", time, time, time, time), 0);
		}
		assert_int_equal(leat_buf_add(&text, "", 1), 0);
		pass_open(&p, PLATE ",zone,\"CET-1CEST,M3.5.0,M10.5.0/3\",,\n", text.data);
		pass_run(&p, true);
		assert_int_equal(p.status, 0);
		assert_int_equal(strncmp(p.text, days[i].day, strlen(days[i].day)), 0);
		unit_close(value_of(p.text, "drain-flow-corrected.coverage,", quality), 100.0 * (days[i].minutes - 24) / days[i].minutes,
		    0.0051);
		/* The next day has not ended. */
		assert_int_equal(p.drain.days, 1);
		pass_close(&p);
		leat_buf_free(&text);
	}
}

static void
test_other_dimension(void **state)
{
	struct pass p;

	(void)state;
	pass_open(&p, PLATE, "2025-11-03T06:00:00Z,NM/pump-a,pump-running,on,,good\n"
	    "2025-11-03T06:00:00Z,NM/pump-a,drain-flow,2,bar,good\n2025-11-03T06:10:00Z,NM/pump-a,pump-running,on,,good\n");
	pass_run(&p, true);
	assert_int_equal(p.status, -1);
	assert_non_null(strstr(p.err.text, "'drain-flow' of 'NM/pump-a' comes in 'bar'"));
	pass_close(&p);
	pass_open(&p, PLATE, "2025-11-03T06:00:00Z,NM/sample-return,viscosity-40,46,bar,good\n");
	pass_run(&p, true);
	assert_int_equal(p.status, -1);
	assert_non_null(strstr(p.err.text, "'viscosity-40' of 'NM/sample-return' comes in 'bar'"));
	pass_close(&p);
}

static void
test_told_once(void **state)
{
	struct day day = { STEADY };
	char *rows = day_rows(&day);
	struct pass p;

	(void)state;
	pass_open(&p, HEAD OIL, rows);
	p.drain.warn = warn;
	pass_run(&p, true);
	assert_non_null(strstr(warned, "the drain flow of 'NM/pump-a' cannot be corrected: give its 'reference-pressure'"));
	pass_close(&p);
	free(rows);
}

/* Random signals of a mill with two pumps: gaps, bad rows, rows of another making. */
static void
random_rows(struct leat_buf *rows, uint64_t *seed, int count)
{
	static const char *const point[] = {
		"NM/pump-a,pump-running", "NM/pump-b,pump-running", "NM,charging", "NM/pump-a,drain-flow", "NM/pump-a,pump-pressure",
		"NM,oil-temperature", "NM/sample-return,viscosity-40", "NM/pump-a,slot-flow", "NM/pump-b,drain-flow-corrected",
		"NM/pump-a,drain-flow-corrected.coverage"
	};
	static const char *const unit[] = { "", "", "", "L/min", "bar", "degC", "mm2/s", "L/min", "L/min", "%" };
	struct leat_time t = { 1762142400, 0 };

	for (int i = 0; i < count; i++) {
		unsigned n = random_below(seed, 10);
		char time[LEAT_TIME_MAX], value[24];

		if (random_below(seed, 500) == 0)
			t.sec += random_below(seed, 90000);
		t.sec += random_below(seed, 3) == 0 ? 0 : random_below(seed, 60);
		t.nsec = random_below(seed, 50) == 0 && t.nsec == 0 ? 500000000 : t.nsec;
		leat_time_write(time, t);
		if (n < 3)
			snprintf(value, sizeof(value), random_below(seed, n == 1 ? 40 : 12) == 0 ? n == 1 ? "on" : "off" : n == 1 ? "off" : "on");
		else
			snprintf(value, sizeof(value), "%.2f", n == 3 ? 2 + random_below(seed, 100) / 100.0 :
			    n == 4 ? 150.0 + random_below(seed, 20) : n == 5 ? 50 + random_below(seed, 100) / 1000.0 :
			    n == 6 ? 45.0 + random_below(seed, 3) : 3.0);
		if (random_below(seed, 15) == 0)
			assert_int_equal(leat_buf_printf(rows, "%s,%s,,%s,bad\n", time, point[n], unit[n]), 0);
		else
			assert_int_equal(leat_buf_printf(rows, "%s,%s,%s,%s,good\n", time, point[n], value, unit[n]), 0);
	}
	assert_int_equal(leat_buf_add(rows, "", 1), 0);
}

#define EASY PLATE ",warm-rate,100,K/h,\n,pump-settling,2,min,\n"

/* A second pass over what a first one wrote changes no byte, and time never goes back. */
static void
test_twice_is_once(void **state)
{
	uint64_t seed = 31;
	long long added = 0, told = 0;

	(void)state;
	for (int trial = 0; trial < 60; trial++) {
		struct leat_buf rows = { 0 };
		struct pass once, twice;

		random_rows(&rows, &seed, 2500);
		pass_open(&once, EASY, rows.data);
		pass_run(&once, false);
		assert_int_equal(once.status, 0);
		pass_open(&twice, EASY, once.text);
		pass_run(&twice, false);
		/* The reader stops when time goes back. */
		assert_int_equal(twice.status, 0);
		assert_int_equal(leat_readings_next(twice.l.in, &(struct leat_reading){ 0 }, &twice.err), LEAT_READINGS_END);
		assert_string_equal(once.text, twice.text);
		added += once.drain.added;
		told += strstr(once.text, ",NM/pump-a,drain-flow-corrected,1.") != NULL;
		pass_close(&twice);
		pass_close(&once);
		leat_buf_free(&rows);
	}
	/* Not of empty days alone. */
	assert_true(added > 500);
	assert_true(told > 20);
}

/* Nothing looks into the future: what is written of a stream that is cut is written of the whole one too. */
static void
test_cut_anywhere(void **state)
{
	uint64_t seed = 32;

	(void)state;
	for (int trial = 0; trial < 60; trial++) {
		struct leat_buf rows = { 0 };
		struct pass whole, part;

		random_rows(&rows, &seed, 1500);
		pass_open(&whole, EASY, rows.data);
		pass_run(&whole, true);
		rows_cut(rows.data, random_below(&seed, (unsigned)rows.len - 1));
		pass_open(&part, EASY, rows.data);
		pass_run(&part, true);
		assert_int_equal(strncmp(whole.text, part.text, strlen(part.text)), 0);
		pass_close(&part);
		pass_close(&whole);
		leat_buf_free(&rows);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_by_second),
		cmocka_unit_test(test_clock_changes),
		cmocka_unit_test(test_other_dimension),
		cmocka_unit_test(test_told_once),
		cmocka_unit_test(test_twice_is_once),
		cmocka_unit_test(test_cut_anywhere),
	};

	return cmocka_run_group_tests_name("drain, stream", tests, NULL, NULL);
}
