/*
 * Deadbands and delays from readings: the noise that was put in comes out, whatever the trend below it; spells; units; gates.
 */
#include <math.h>

#include "judge/steady.h"
#include "latest_of.h"
#include "random.h"

#define LIMITS "asset,point,when,low_alert,high_alert,unit,deadband,on_delay,off_delay,rule,advice\n"

struct run {
	struct latest_of l;
	struct table_file file;
	struct leat_limits limits;
	struct leat_tabular t;
};

static void
suggest(struct run *r, const char *limits, const char *rows)
{
	struct leat_points points = { 0 };
	struct leat_steady *steady;
	struct leat_reading reading;
	struct leat_error err = { 0 };

	memset(r, 0, sizeof(*r));
	r->file = table_file_text(limits);
	if (leat_limits_read(&r->limits, r->file.path, NULL, &err) != 0)
		fail_msg("%s", err.text);
	latest_open(&r->l, rows, NULL);
	steady = leat_steady_new(r->l.in, &r->limits, &points);
	assert_non_null(steady);
	while (leat_readings_next(r->l.in, &reading, &err) == LEAT_READINGS_ROW)
		assert_int_equal(leat_steady_take(steady, &reading, &err), 0);
	leat_tabular_begin(&r->t, LEAT_STEADY_COLUMNS);
	assert_int_equal(leat_steady_rows(steady, &r->t), 0);
	leat_steady_free(steady);
}

static void
done(struct run *r)
{
	leat_tabular_free(&r->t);
	leat_limits_free(&r->limits);
	latest_close(&r->l);
	table_file_drop(&r->file);
}

static size_t
rows_of(const struct run *r)
{
	return r->t.cells / r->t.columns - 1;
}

/* A cell of the first row. */
static struct leat_span
cell(const struct run *r, size_t column)
{
	size_t i = r->t.columns + column;

	return leat_span_make(r->t.text.data + r->t.at[i - 1], r->t.at[i] - r->t.at[i - 1]);
}

enum { DEADBAND = 8, ON_DELAY = 9, OFF_DELAY = 10, NOTE = 17 };

/* Nearly normal, mean 0, deviation 1. */
static double
noise(uint64_t *seed)
{
	double sum = -6;

	for (int i = 0; i < 12; i++)
		sum += random_below(seed, 1000000) / 1e6;
	return sum;
}

static void
add(struct leat_buf *rows, int minute, double value, const char *unit, const char *quality)
{
	assert_int_equal(leat_buf_printf(rows, "2025-03-%02dT%02d:%02d:00Z,NM,pressure,%.4f,%s,%s\n", 1 + minute / 1440,
	    minute / 60 % 24, minute % 60, value, unit, quality), 0);
}

/* A slow swing of 20 bar, noise of 0.4, and one reading in 50 wild: three times the noise, which are 1.2, rounded up to a
 * second digit. */
static void
test_noise(void **state)
{
	struct run r;
	struct leat_buf rows = { 0 };
	uint64_t seed = 5;
	double deadband;

	(void)state;
	for (int m = 0; m < 5000; m++)
		add(&rows, m, 120 + 10 * sin(m / 400.0) + 0.4 * noise(&seed) + (m % 50 == 7 ? 9 : 0), "bar", "good");
	suggest(&r, LIMITS "NM,pressure,,,128,bar,0.1,,,high-pressure,look\n", rows.data);
	assert_int_equal(rows_of(&r), 1);
	assert_int_equal(leat_double_parse(cell(&r, DEADBAND), &deadband), 0);
	unit_close(deadband, 1.25, 0.0501);
	done(&r);
	/* One that is wide enough stays, and nothing is said of it. */
	suggest(&r, LIMITS "NM,pressure,,,128,bar,2,PT6H,PT6H,high-pressure,look\n", rows.data);
	assert_int_equal(rows_of(&r), 0);
	done(&r);
	/* Where the signal never comes it does not matter. */
	suggest(&r, LIMITS "NM,pressure,,,200,bar,0.1,,,high-pressure,look\n", rows.data);
	assert_int_equal(rows_of(&r), 0);
	done(&r);
	/* The table is in MPa: the deadband too. */
	suggest(&r, LIMITS "NM,pressure,,,12.8,MPa,0.01,,,high-pressure,look\n", rows.data);
	assert_int_equal(rows_of(&r), 1);
	assert_int_equal(leat_double_parse(cell(&r, DEADBAND), &deadband), 0);
	unit_close(deadband, 0.125, 0.00501);
	done(&r);
	/* Noise as wide as the band is said and not suggested: such a row would be refused. */
	suggest(&r, LIMITS "NM,pressure,,127.5,128.2,bar,0.1,PT6H,PT6H,pressure,look\n", rows.data);
	assert_int_equal(rows_of(&r), 1);
	unit_span(cell(&r, DEADBAND), "0.1");
	assert_non_null(strstr(r.t.text.data, "too large for the band"));
	done(&r);
	leat_buf_free(&rows);
}

/* Spells of 3, 4 or 5 minutes over the limit, 20 minutes apart: delays that outlast them. */
static void
test_spells(void **state)
{
	struct run r;
	struct leat_buf rows = { 0 };

	(void)state;
	for (int m = 0; m < 1200; m++)
		add(&rows, m, m % 20 < 3 + m / 20 % 3 ? 131 : 125, "bar", "good");
	/* One of two hours is the real thing, and no spell. */
	for (int m = 1200; m < 1320; m++)
		add(&rows, m, 131, "bar", "good");
	suggest(&r, LIMITS "NM,pressure,,,130,bar,1,PT1M,,high-pressure,look\n", rows.data);
	assert_int_equal(rows_of(&r), 1);
	unit_span(cell(&r, ON_DELAY), "PT6M");
	unit_span(cell(&r, OFF_DELAY), "PT18M");
	unit_span(cell(&r, DEADBAND), "1");
	done(&r);
	leat_buf_reset(&rows);
	/* Nine are too few to say. */
	for (int m = 0; m < 180; m++)
		add(&rows, m, m % 20 > 10 && m % 20 < 15 ? 131 : 125, "bar", "good");
	suggest(&r, LIMITS "NM,pressure,,,130,bar,1,PT1M,,high-pressure,look\n", rows.data);
	assert_int_equal(rows_of(&r), 0);
	done(&r);
	leat_buf_free(&rows);
}

/* A spell that a gap or the gate cuts off has no length; bad readings are none. */
static void
test_cut_off(void **state)
{
	struct run r;
	struct leat_buf rows = { 0 };

	(void)state;
	for (int k = 0; k < 30; k++) {
		add(&rows, 60 * k, 125, "bar", "good");
		add(&rows, 60 * k + 1, 131, "bar", "good");
		add(&rows, 60 * k + 2, 125, "bar", "bad");
		/* 40 minutes without a reading, longer than a pressure holds. */
		add(&rows, 60 * k + 42, 125, "bar", "good");
	}
	suggest(&r, LIMITS "NM,pressure,,,130,bar,1,,,high-pressure,look\n", rows.data);
	assert_int_equal(rows_of(&r), 0);
	done(&r);
	/* The gate is never known to be true. */
	suggest(&r, LIMITS "NM,pressure,state=grinding,,126,bar,0.1,,,high-pressure,look\n", rows.data);
	assert_int_equal(rows_of(&r), 0);
	done(&r);
	leat_buf_free(&rows);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_noise), cmocka_unit_test(test_spells), cmocka_unit_test(test_cut_off)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
