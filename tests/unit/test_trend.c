/* The trend engine: what it makes of series whose truth is known, and what of series that tell nothing. */
#include "trend_pass.h"

#define PUMP "NM/pump-a"
#define FLOW "drain-flow-corrected"
#define LIMIT_ROW "*,drain-flow-corrected,,running-hours,cube-root,none,,3.6,L/min,,limit,,\n"

/* A pump that is sound until a day and then wears so that the cube root of its flow rises evenly. */
static double
worn(double hours, double from, double per_hour)
{
	double y = cbrt(1.8) + (hours > from ? (hours - from) * per_hour : 0);

	return y * y * y;
}

/* Rows of a pump that runs 20 h a day and wears from a day on, with noise of that share. */
static struct leat_buf
pump_rows(int days, int from, double per_hour, double noise, uint64_t seed)
{
	struct leat_buf rows = { 0 };

	for (int day = 0; day < days; day++)
		trend_pass_day(&rows, PUMP, FLOW, day, worn(20.0 * day, 20.0 * from, per_hour) *
		    (1 + noise * noise_normal(&seed)), "L/min", 20.0 * day);
	return rows;
}

/* A drain flow of 1.8 L/min that grew to 2.7 L/min in 4000 h by its cube root reaches 3.6 L/min at 7184 h, and not at
 * 8000 h as a straight line has it: (3.6^1/3 - 1.8^1/3) / (2.7^1/3 - 1.8^1/3) * 4000 h, by hand. */
static void
test_cube_root(void **state)
{
	double per_hour = (cbrt(2.7) - cbrt(1.8)) / 4000;
	struct leat_buf rows = pump_rows(201, 0, per_hour, 0, 1);
	struct trend_made made = { .trends = LIMIT_ROW, .rows = rows.data };
	const struct leat_trend_case *c;
	struct leat_time date[3];
	struct trend_pass p;

	(void)state;
	trend_pass_run(&p, &made);
	assert_int_equal(p.status, 0);
	c = trend_pass_case(&p, PUMP, "limit");
	assert_true(c->by_hours);
	unit_close(c->best.to[LEAT_TO_ALARM].p50, 7184, 2);
	/* 3184 h ahead at 20 h a day. */
	assert_true(leat_trend_dates(c, &c->best.to[LEAT_TO_ALARM], date));
	unit_close(leat_time_diff(date[1], trend_pass_time(200)) / 86400, 3184 / 20.0, 0.2);
	trend_pass_close(&p);
	leat_buf_free(&rows);
}

/* An element whose differential pressure doubles in 600 h from 15 % of the bypass's on reaches 80 % at 600 log2(80/15) =
 * 1449 h.  A day at 0, which has no logarithm, does not matter. */
static void
test_exponential(void **state)
{
	struct leat_buf rows = { 0 };
	struct trend_made made = { .trends = "*,bypass-share,,running-hours,exponential,none,80,100,%,,loading,,\n" };
	const struct leat_trend_case *c;
	struct trend_pass p;

	(void)state;
	for (int day = 0; day < 45; day++)
		trend_pass_day(&rows, "NM/filter", "bypass-share", day, day == 20 ? 0 : 15 * exp2(20.0 * day / 600), "%", 20.0 * day);
	made.rows = rows.data;
	trend_pass_run(&p, &made);
	assert_int_equal(p.status, 0);
	c = trend_pass_case(&p, "NM/filter", "loading");
	assert_true(c->by_hours);
	unit_close(c->best.line.slope, log(2) / 600, 1e-6);
	unit_close(c->best.to[LEAT_TO_ALERT].p50, 600 * log2(80 / 15.0), 2);
	unit_close(c->best.to[LEAT_TO_ALARM].p50, 600 * log2(100 / 15.0), 2);
	trend_pass_close(&p);
	leat_buf_free(&rows);
}

/* Acid that goes with the ageing of the oil: 8e-5 mgKOH/g for each hour at 50 degC, 10 of them a day until summer and 40 from
 * then on.  1.0 is reached at 12500 h, 4100 h after the last sample at 8400 h, so in 102.5 days, by hand. */
static void
test_ageing(void **state)
{
	struct leat_buf rows = { 0 };
	struct trend_made made = { .shipped = true };
	const struct leat_trend_case *c;
	struct leat_time date[3];
	struct trend_pass p;

	(void)state;
	for (int day = 0; day <= 345; day += 15) {
		double aged_h = day < 180 ? 10.0 * day : 1800 + 40.0 * (day - 180);
		char stamp[LEAT_TIME_MAX];

		leat_time_write(stamp, trend_pass_time(day));
		assert_int_equal(leat_buf_printf(&rows, "%s,NM,ageing-hours,%.1f,h,good\n", stamp, aged_h), 0);
		trend_pass_day(&rows, "NM/sample-return", "acid-number-rise", day, 8e-5 * aged_h, "mgKOH/g", NAN);
	}
	made.rows = rows.data;
	trend_pass_run(&p, &made);
	assert_int_equal(p.status, 0);
	c = trend_pass_case(&p, "NM/sample-return", "acid-number");
	assert_true(c->by_hours);
	unit_close(c->per_day, 40, 1e-9);
	unit_close(c->best.to[LEAT_TO_ALARM].p50, 12500, 5);
	assert_true(leat_trend_dates(c, &c->best.to[LEAT_TO_ALARM], date));
	unit_close(leat_time_diff(date[1], trend_pass_time(345)) / 86400, 102.5, 0.5);
	trend_pass_close(&p);
	leat_buf_free(&rows);
}

/* The control bleed of a compensator is taken off before the cube root, of limits too. */
static void
test_bleed(void **state)
{
	struct leat_buf rows = { 0 };
	struct trend_made made = { .trends = LIMIT_ROW, .plate = PUMP ",control-bleed,0.5,L/min,\n" };
	const struct leat_trend_case *c;
	struct trend_pass p;

	(void)state;
	/* 0.5 L/min, and a leakage from 1 to 8 L/min whose root goes from 1 to 2 in 4000 h; 3.1 L/min are a root of 1.375. */
	for (int day = 0; day < 60; day++)
		trend_pass_day(&rows, PUMP, FLOW, day, 0.5 + pow(1 + 20.0 * day / 4000, 3), "L/min", 20.0 * day);
	made.rows = rows.data;
	trend_pass_run(&p, &made);
	c = trend_pass_case(&p, PUMP, "limit");
	unit_close(c->offset, 0.5, 0);
	unit_close(c->best.line.slope, 1.0 / 4000, 1e-7);
	unit_close(c->best.to[LEAT_TO_ALARM].p50, 4000 * (cbrt(3.1) - 1), 2);
	trend_pass_close(&p);
	leat_buf_free(&rows);
}

struct night {
	int day;
	enum leat_status status;
	bool ahead;
};

/* A pump wears from day 100 on: its flow reaches 1.5 times the baseline on day 284 and twice that on day 431. */
static void
test_nights(void **state)
{
	double per_hour = (cbrt(2.7) - cbrt(1.8)) / (20.0 * 184);
	struct leat_buf rows = pump_rows(460, 100, per_hour, 0.004, 7);
	static const struct night nights[] = {
		{ 5, LEAT_STATUS_UNKNOWN, false }, { 20, LEAT_STATUS_OK, false }, { 99, LEAT_STATUS_OK, false },
		{ 150, LEAT_STATUS_OK, false }, { 200, LEAT_STATUS_OK, false }, { 250, LEAT_STATUS_ALERT, true },
		{ 280, LEAT_STATUS_ALERT, true }, { 295, LEAT_STATUS_ALERT, false }, { 420, LEAT_STATUS_ALERT, false },
		{ 445, LEAT_STATUS_ALARM, false }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(nights) / sizeof(nights[0]); i++) {
		char now[LEAT_TIME_MAX];
		struct trend_made made = { .shipped = true, .rows = rows.data, .now = now };
		const struct leat_trend_case *c;
		struct trend_pass p;

		leat_time_write(now, trend_pass_time(nights[i].day));
		trend_pass_run(&p, &made);
		c = trend_pass_case(&p, PUMP, "pump-wear");
		print_message("day %d\n", nights[i].day);
		assert_int_equal(c->status, nights[i].status);
		assert_int_equal(c->ahead, nights[i].ahead);
		if (nights[i].day >= 10)
			unit_close(c->baseline, 1.8, 0.01);
		if (nights[i].day == 250) {
			struct leat_time date[3];

			/* The line is that of the wear: the sound months before it are left out. */
			unit_close((double)c->best.from, 100, 15);
			unit_close(c->best.line.slope, per_hour, 0.03 * per_hour);
			assert_true(leat_trend_dates(c, &c->best.to[LEAT_TO_ALERT], date));
			unit_close(leat_time_diff(date[1], trend_pass_time(284)) / 86400, 0, 4);
		}
		/* No date farther ahead than what was fitted. */
		if (c->fitted && isfinite(c->best.to[LEAT_TO_ALARM].p50) && !c->best.late[LEAT_TO_ALARM])
			assert_true(c->best.to[LEAT_TO_ALARM].p50 <= 2 * c->x[c->n - 1] - c->x[c->best.from]);
		trend_pass_close(&p);
	}
	leat_buf_free(&rows);
}

/* Each night says the same beginning of an episode, and none ends it before its time. */
static void
test_same_beginning(void **state)
{
	double per_hour = (cbrt(2.7) - cbrt(1.8)) / (20.0 * 184);
	struct leat_buf rows = pump_rows(460, 100, per_hour, 0.004, 11);
	struct leat_time since = LEAT_TIME_NONE;

	(void)state;
	for (int day = 245; day <= 445; day += 9) {
		char now[LEAT_TIME_MAX];
		struct trend_made made = { .shipped = true, .rows = rows.data, .now = now };
		const struct leat_finding *f;
		struct trend_pass p;

		leat_time_write(now, trend_pass_time(day));
		trend_pass_run(&p, &made);
		assert_null(trend_pass_find(&p, PUMP, "pump-wear", true));
		f = trend_pass_find(&p, PUMP, "pump-wear", false);
		assert_non_null(f);
		assert_true(f->status == LEAT_STATUS_ALERT || f->status == LEAT_STATUS_ALARM);
		if (leat_time_is_none(since))
			since = f->since;
		assert_true(leat_time_cmp(f->since, since) == 0);
		assert_true(leat_time_cmp(f->time, f->since) >= 0);
		trend_pass_close(&p);
	}
	/* Before the alert limit was reached, by up to the sixty days that are told ahead. */
	assert_true(leat_time_cmp(since, trend_pass_time(200)) > 0 && leat_time_cmp(since, trend_pass_time(250)) < 0);
	leat_buf_free(&rows);
}

/* A pump that is changed: its episode ends with it, and the new one has a baseline of its own. */
static void
test_pump_change(void **state)
{
	struct leat_buf rows = pump_rows(300, 60, 5e-5, 0.002, 3);
	const char *book = "2025-10-29T09:00:00Z," PUMP ",pump-change,,,,,,P-2,ab,\n";	/* day 301 */
	struct trend_made made = { .shipped = true, .book = book };
	const struct leat_finding *f;
	const struct leat_trend_case *c;
	struct trend_pass p;

	(void)state;
	for (int day = 302; day < 330; day++)
		trend_pass_day(&rows, PUMP, FLOW, day, 1.7, "L/min", 20.0 * (day - 301));
	made.rows = rows.data;

	made.now = "2025-10-30T05:30:00Z";
	trend_pass_run(&p, &made);
	f = trend_pass_find(&p, PUMP, "pump-wear", true);
	assert_non_null(f);
	assert_true(leat_time_cmp(f->until, time_of("2025-10-29T09:00:00Z")) == 0);
	assert_non_null(strstr(f->message.ptr, "until the pump-change of 2025-10-29"));
	f = trend_pass_find(&p, PUMP, "pump-wear", false);
	assert_int_equal(f->status, LEAT_STATUS_UNKNOWN);
	trend_pass_close(&p);

	/* Told once; then unknown until the baseline is there; then in order. */
	made.now = "2025-11-02T05:30:00Z";
	trend_pass_run(&p, &made);
	assert_null(trend_pass_find(&p, PUMP, "pump-wear", true));
	assert_int_equal(trend_pass_find(&p, PUMP, "pump-wear", false)->status, LEAT_STATUS_UNKNOWN);
	trend_pass_close(&p);
	made.now = "2025-11-20T05:30:00Z";
	trend_pass_run(&p, &made);
	c = trend_pass_case(&p, PUMP, "pump-wear");
	assert_int_equal(c->status, LEAT_STATUS_OK);
	unit_close(c->baseline, 1.7, 1e-9);
	/* The day of the change and the one after are not taken: 24 h of running in. */
	assert_true(leat_time_cmp(c->time[0], time_of("2025-10-30T09:00:00Z")) > 0);
	trend_pass_close(&p);
	leat_buf_free(&rows);
}

/* Falling limits: the gas of an accumulator, and a number as baseline. */
static void
test_falling(void **state)
{
	struct leat_buf rows = { 0 };
	struct trend_made made = { .trends = "*,pressure,,,,100,95,90,bar,,weak,,\n" };
	const struct leat_trend_case *c;
	uint64_t seed = 5;
	struct trend_pass p;

	(void)state;
	for (int day = 0; day < 80; day++)
		trend_pass_day(&rows, "NM", "pressure", day, 100 - 0.1 * day + 0.05 * noise_normal(&seed), "bar", NAN);
	made.rows = rows.data;
	trend_pass_run(&p, &made);
	c = trend_pass_case(&p, "NM", "weak");
	assert_int_equal(c->status, LEAT_STATUS_ALERT);
	unit_close(c->level, 92.3, 0.2);
	/* 90 bar on day 100. */
	unit_close(c->best.to[LEAT_TO_ALARM].p50 - c->date[0], 100, 1);
	trend_pass_close(&p);
	leat_buf_free(&rows);
}

/* Limits in another unit than the readings'. */
static void
test_units(void **state)
{
	struct leat_buf rows = { 0 };
	struct trend_made made = { .trends = "*,pressure,,,,none,,900,kPa,,high,,\n" };
	struct trend_pass p;

	(void)state;
	for (int day = 0; day < 30; day++)
		trend_pass_day(&rows, "NM", "pressure", day, 9.5, "bar", NAN);
	made.rows = rows.data;
	trend_pass_run(&p, &made);
	unit_close(trend_pass_case(&p, "NM", "high")->alarm, 9, 1e-12);
	assert_int_equal(trend_pass_case(&p, "NM", "high")->status, LEAT_STATUS_ALARM);
	trend_pass_close(&p);
	leat_buf_free(&rows);
}

struct odd {
	const char *name;
	int days;
	double start, step;	/* value on day i: start + step i */
	int gap_after, gap;	/* days that are missing */
	enum leat_status status;
};

/* Nothing, one, two, equal, negative and missing values: a status that is honest, and numbers or nothing. */
static void
test_odd(void **state)
{
	static const struct odd odds[] = {
		{ "one", 1, 1.8, 0, 0, 0, LEAT_STATUS_UNKNOWN },
		{ "two", 2, 1.8, 0, 0, 0, LEAT_STATUS_UNKNOWN },
		{ "nine", 9, 1.8, 0, 0, 0, LEAT_STATUS_UNKNOWN },
		{ "ten equal", 10, 1.8, 0, 0, 0, LEAT_STATUS_OK },
		{ "equal", 120, 1.8, 0, 0, 0, LEAT_STATUS_OK },
		{ "zero", 40, 0, 0, 0, 0, LEAT_STATUS_UNKNOWN },
		{ "falling below zero", 60, 1, -0.05, 0, 0, LEAT_STATUS_OK },
		{ "below the bleed", 60, 0.1, 0, 0, 0, LEAT_STATUS_OK },
		{ "months without a value", 60, 1.8, 0, 30, 90, LEAT_STATUS_UNKNOWN },
		{ "a week without a value", 60, 1.8, 0, 30, 7, LEAT_STATUS_OK }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(odds) / sizeof(odds[0]); i++) {
		const struct odd *o = &odds[i];
		struct leat_buf rows = { 0 };
		struct trend_made made = { .shipped = true, .plate = PUMP ",control-bleed,0.5,L/min,\n" };
		const struct leat_trend_case *c;
		struct trend_pass p;

		for (int d = 0; d < o->days; d++)
			trend_pass_day(&rows, PUMP, FLOW, d + (o->gap > 0 && d >= o->gap_after ? o->gap : 0), o->start + o->step * d,
			    "L/min", NAN);
		made.rows = rows.data;
		print_message("%s\n", o->name);
		trend_pass_run(&p, &made);
		assert_int_equal(p.status, 0);
		c = trend_pass_case(&p, PUMP, "pump-wear");
		assert_int_equal(c->status, o->status);
		if (c->fitted) {
			struct leat_time date[3];

			assert_true(isfinite(c->best.line.slope) && isfinite(c->best.kendall.p));
			assert_false(o->step == 0 && leat_trend_dates(c, &c->best.to[LEAT_TO_ALERT], date));
		}
		trend_pass_close(&p);
		leat_buf_free(&rows);
	}
}

/* A step forward of the export's clock and days that come twice give days without order only once: one value a works' day. */
static void
test_days(void **state)
{
	struct leat_buf rows = { 0 };
	struct trend_made made = { .trends = "*,pressure,,,,none,,900,bar,,high,,\n" };
	const struct leat_trend_case *c;
	struct trend_pass p;

	(void)state;
	for (int day = 0; day < 12; day++)
		for (int k = 0; k < 9; k++) {
			struct leat_time t = leat_time_add(trend_pass_time(day), 7200 + 3600 * k);
			char stamp[LEAT_TIME_MAX];

			leat_time_write(stamp, t);
			/* One in three is wild: the median of the day does not see it. */
			assert_int_equal(leat_buf_printf(&rows, "%s,NM,pressure,%d,bar,good\n%s,NM,pressure,%d,bar,good\n"
			    "%s,NM,oil-temperature,50,degC,bad\n%s,MM,pressure,,bar,bad\n%s,SM,pressure,5,bar,uncertain\n", stamp,
			    k % 3 == 0 ? 1000 : 100 + day, stamp, k % 3 == 0 ? 1000 : 100 + day, stamp, stamp, stamp), 0);
		}
	made.rows = rows.data;
	trend_pass_run(&p, &made);
	c = trend_pass_case(&p, "NM", "high");
	assert_int_equal(c->n, 12);
	for (size_t i = 0; i < c->n; i++)
		unit_close(c->value[i], 100 + (double)i, 0);
	/* Bad and uncertain readings make no value. */
	assert_int_equal(trend_pass_case(&p, "SM", "high")->n, 0);
	assert_int_equal(trend_pass_find(&p, "SM", "high", false)->status, LEAT_STATUS_UNKNOWN);
	trend_pass_close(&p);
	leat_buf_free(&rows);
}

/* More readings a day than are kept: the median is still that of the whole day, within a thousandth of its range. */
static void
test_seconds(void **state)
{
	enum { A_DAY = 30000 };
	struct leat_buf rows = { 0 };
	struct trend_made made = { .trends = "*,pressure,,,,none,,900,bar,,high,,\n" };
	const struct leat_trend_case *c;
	struct trend_pass p;

	(void)state;
	for (int day = 0; day < 3; day++)
		for (int k = 0; k < A_DAY; k++) {
			char stamp[LEAT_TIME_MAX];

			leat_time_write(stamp, leat_time_add(trend_pass_time(day), 7200 + k));
			assert_int_equal(leat_buf_printf(&rows, "%s,NM,pressure,%d,bar,good\n", stamp, k % 1000), 0);
		}
	made.rows = rows.data;
	trend_pass_run(&p, &made);
	assert_true(p.trend->watch[0].daily.buffered <= LEAT_DAILY_BUFFER);
	assert_int_equal(p.trend->watch[0].daily.kept, 3 * A_DAY);
	c = trend_pass_case(&p, "NM", "high");
	assert_int_equal(c->n, 3);
	for (size_t i = 0; i < c->n; i++)
		unit_close(c->value[i], 499.5, 8);
	trend_pass_close(&p);
	leat_buf_free(&rows);
}

/* Shipped rows that match nothing are silent; a works' row is not, unless it stands in place of a shipped one. */
static void
test_unmatched(void **state)
{
	static const char trends[] =
	    "XX,pressure,,,,none,,900,bar,,lonely,,\n"
	    "XX/pump,drain-flow-corrected,,,,first,1.5x,2x,,,pump-wear,,\n"
	    "\"*\",cooler-ua,,,,as-new,0.8x,0.7x,,,cooler-fouling,,\n"
	    "YY,pressure,,,,none,,,bar,,off,,\n";
	struct leat_buf rows = pump_rows(20, 20, 0, 0, 1);
	struct trend_made made = { .trends = trends, .rows = rows.data };
	struct trend_pass p;
	size_t unmatched = 0;

	(void)state;
	trend_pass_run(&p, &made);
	for (size_t i = 0; i < p.found.count; i++)
		unmatched += p.found.item[i].status == LEAT_STATUS_UNKNOWN;
	assert_int_equal(unmatched, 2);
	assert_non_null(trend_pass_find(&p, "XX", "lonely", false));
	assert_non_null(trend_pass_find(&p, "XX/pump", "pump-wear", false));
	assert_non_null(strstr(p.warned, "'XX'"));
	assert_true(leat_trend_counted(p.trend).unmatched_shipped >= 8);
	trend_pass_close(&p);
	leat_buf_free(&rows);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_cube_root),
		cmocka_unit_test(test_exponential),
		cmocka_unit_test(test_bleed),
		cmocka_unit_test(test_nights),
		cmocka_unit_test(test_same_beginning),
		cmocka_unit_test(test_pump_change),
		cmocka_unit_test(test_falling),
		cmocka_unit_test(test_units),
		cmocka_unit_test(test_odd),
		cmocka_unit_test(test_ageing),
		cmocka_unit_test(test_days),
		cmocka_unit_test(test_seconds),
		cmocka_unit_test(test_unmatched)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
