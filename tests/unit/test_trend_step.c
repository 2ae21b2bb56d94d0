/* Sudden changes, and what only looks like wear: changed meters, units, seasons, single wild days, stand-by pumps. */
#include "trend_pass.h"
#include "upkeep/renewal.h"

#define PUMP "MM/pump-a"
#define FLOW "drain-flow-corrected"

struct ratio {
	double ratio;
	const char *unit, *words;	/* words: part of them; NULL: no factor */
};

/* Factors between units: NIST SP 811 for gallon, psi; decades and 60 are exact. */
static void
test_factors(void **state)
{
	static const struct ratio ratios[] = {
		{ 0.264172, "L/min", "0.2642" }, { 3.785412, "L/min", "3.785" }, { 14.5038, "bar", "psi" },
		{ 0.0689476, "bar", "bar" }, { 6.894757, "bar", "kPa" }, { 0.145038, "bar", "kPa" }, { 10, "bar", "10" },
		{ 0.1, "L/min", "10" }, { 100, "bar", "100" }, { 0.01, "bar", "100" }, { 60, "L/min", "60" },
		{ 1.0 / 60, "L/min", "60" }, { 1.8, "degC", "1.8" }, { 1 / 1.8, "degC", "0.5556" }, { 10.2, "bar", "10" },
		{ 0.272, "L/min", "0.2642" }, { 0.264172, "bar", NULL }, { 14.5038, "L/min", NULL }, { 1.8, "L/min", NULL },
		{ 2, "L/min", NULL }, { 1, "bar", NULL }, { 0.285, "L/min", NULL }, { 1.25, "L/min", NULL }, { 0, "bar", NULL },
		{ -10, "bar", NULL }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(ratios) / sizeof(ratios[0]); i++) {
		const char *words = leat_trend_factor(ratios[i].ratio, leat_unit_find(leat_span_of(ratios[i].unit)),
		    LEAT_TREND_FACTOR_NEAR);

		print_message("%g %s\n", ratios[i].ratio, ratios[i].unit);
		if (ratios[i].words == NULL)
			assert_null(words);
		else
			assert_non_null(words != NULL ? strstr(words, ratios[i].words) : NULL);
	}
}

/* Daily values made by one of the shapes below. */
struct shape {
	const char *name;
	int days;
	double noise;		/* share */
	double wear;		/* share a day, from day 0 on */
	int at;			/* day of a sudden change, or of a single wild day; 0: none */
	double times;		/* ... to so much */
	int takes;		/* ... over so many days; 0: at once; -1: for that day alone */
	double season;		/* share, up and down over a year */
	const char *book;	/* a row of the logbook */
	enum leat_status wear_status, jump_status, step_status;
	const char *says;	/* in the message of the step or the jump */
};

#define OK LEAT_STATUS_OK
#define ALERT LEAT_STATUS_ALERT
#define ALARM LEAT_STATUS_ALARM
#define UNKNOWN LEAT_STATUS_UNKNOWN
/* Day 100 is 2025-04-11. */
#define METER "2025-04-17T08:00:00Z," PUMP ",meter-change,,drain-flow,,,,,ab,\n"

static double
shaped(const struct shape *s, int day, uint64_t *seed)
{
	double value = 1.8 * (1 + s->wear * day) * (1 + s->noise * noise_normal(seed));

	value *= 1 + s->season * sin(6.283185307 * (day + 60) / 365);
	if (s->takes < 0)
		return day == s->at ? value * s->times : value;
	if (s->at > 0 && day >= s->at)
		value *= s->takes > 0 && day < s->at + s->takes ?
		    1 + (s->times - 1) * (day - s->at + 1) / (s->takes + 1) : s->times;
	return value;
}

static void
test_shapes(void **state)
{
	static const struct shape shapes[] = {
		{ "sound", 150, 0.01, 0, 0, 0, 0, 0, "", OK, OK, OK, NULL },
		{ "sound, very even", 150, 0, 0, 0, 0, 0, 0, "", OK, OK, OK, NULL },
		{ "seasons", 400, 0.005, 0, 0, 0, 0, 0.04, "", OK, OK, OK, NULL },
		{ "one wild day", 150, 0.01, 0, 148, 3, -1, 0, "", OK, OK, OK, NULL },
		{ "one day without flow", 150, 0.01, 0, 148, 0.1, -1, 0, "", OK, OK, OK, NULL },
		{ "gallons, not logged", 150, 0.01, 0, 100, 0.264172, 0, 0, "", UNKNOWN, OK, ALERT, "0.2642" },
		{ "gallons, three days ago", 103, 0.005, 0, 100, 0.264172, 0, 0, "", UNKNOWN, OK, ALERT, "0.2642" },
		{ "gallons, logged", 150, 0.01, 0, 100, 0.264172, 0, 0, METER, OK, OK, OK, NULL },
		{ "gallons, logged a few days ago", 109, 0.01, 0, 100, 0.264172, 0, 0, METER, OK, OK, OK, NULL },
		{ "litres again, logged", 150, 0.01, 0, 100, 3.785412, 0, 0, METER, OK, OK, OK, NULL },
		{ "a little other meter, logged", 150, 0.003, 0, 100, 1.12, 0, 0, METER, OK, OK, OK, NULL },
		{ "the same meter, logged", 150, 0.01, 0, 0, 0, 0, 0, METER, OK, OK, OK, NULL },
		{ "ten times", 150, 0.01, 0, 100, 10, 0, 0, "", UNKNOWN, ALERT, OK, "a factor of 10" },
		{ "a jump that is none of a unit", 150, 0.01, 0, 100, 1.4, 0, 0, "", UNKNOWN, ALARM, OK, "hand measurement" },
		{ "a jump that takes five days", 150, 0.005, 0, 100, 1.4, 5, 0, "", UNKNOWN, ALARM, OK, NULL },
		{ "the same in forty days", 142, 0.005, 0, 100, 1.4, 40, 0, "", ALERT, OK, OK, NULL },
		{ "better, and nobody says why", 150, 0.01, 0, 100, 0.6, 0, 0, "", UNKNOWN, OK, ALERT, "log what was done" },
		{ "a step of a tenth", 150, 0.005, 0, 100, 1.1, 0, 0, "", OK, OK, OK, NULL }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(shapes) / sizeof(shapes[0]); i++) {
		const struct shape *s = &shapes[i];

		for (uint64_t seed = 1; seed <= 5; seed++) {
			struct leat_buf rows = { 0 };
			struct trend_made made = { .shipped = true, .book = s->book };
			const struct leat_finding *step, *jump;
			uint64_t random = seed;
			struct trend_pass p;

			for (int day = 0; day < s->days; day++)
				trend_pass_day(&rows, PUMP, FLOW, day, shaped(s, day, &random), "L/min", NAN);
			made.rows = rows.data;
			trend_pass_run(&p, &made);
			step = trend_pass_find(&p, PUMP, "pump-wear-step", false);
			jump = trend_pass_find(&p, PUMP, "pump-jump", false);
			print_message("%s, seed %d: wear %d jump %d step %d\n", s->name, (int)seed,
			    (int)trend_pass_case(&p, PUMP, "pump-wear")->status, (int)jump->status, (int)step->status);
			assert_int_equal(jump->status, s->jump_status);
			assert_int_equal(step->status, s->step_status);
			assert_int_equal(trend_pass_case(&p, PUMP, "pump-wear")->status, s->wear_status);
			if (s->says != NULL)
				assert_non_null(strstr(step->status != OK ? step->message.ptr : jump->message.ptr, s->says));
			trend_pass_close(&p);
			leat_buf_free(&rows);
		}
	}
}

/* Wear goes on over a change of the meter, and is foretold as if there had been none. */
static void
test_wear_over_meter(void **state)
{
	struct leat_buf rows = { 0 };
	struct trend_made made = { .shipped = true, .book = METER };
	const struct leat_trend_case *c;
	uint64_t seed = 9;
	struct trend_pass p;

	(void)state;
	for (int day = 0; day < 200; day++) {
		double y = cbrt(1.8) + 0.0008 * day;

		trend_pass_day(&rows, PUMP, FLOW, day, y * y * y * (day >= 97 ? 0.264172 : 1) * (1 + 0.003 * noise_normal(&seed)),
		    "L/min", NAN);
	}
	made.rows = rows.data;
	trend_pass_run(&p, &made);
	c = trend_pass_case(&p, PUMP, "pump-wear");
	assert_int_equal(c->scales, 1);
	unit_close(c->scale[0].ratio, 0.264172, 0.004);
	assert_true(leat_time_cmp(c->scale[0].at, trend_pass_time(97)) == 0);
	unit_close(c->level / c->baseline, pow((cbrt(1.8) + 0.0008 * 197) / (cbrt(1.8) + 0.0008 * 4.5), 3), 0.02);
	/* In the scale of the new meter. */
	unit_close(c->best.line.slope / cbrt(0.264172), 0.0008, 0.00002);
	trend_pass_close(&p);
	leat_buf_free(&rows);
}

/* A step ends as a finding once the logbook explains it, told once, and by a row that says ok. */
static void
test_explained(void **state)
{
	struct leat_buf rows = { 0 };
	/* Logged on the night after day 110. */
	struct trend_made made = { .shipped = true, .book = "2025-04-21T20:00:00Z," PUMP ",meter-change,,drain-flow,,,,,ab,\n" };
	const struct leat_finding *f;
	struct trend_pass p;

	(void)state;
	for (int day = 0; day < 120; day++)
		trend_pass_day(&rows, PUMP, FLOW, day, day < 100 ? 1.8 : 0.4755, "L/min", NAN);
	made.rows = rows.data;
	made.now = "2025-04-21T06:00:00Z";
	trend_pass_run(&p, &made);
	f = trend_pass_find(&p, PUMP, "pump-wear-step", false);
	assert_int_equal(f->status, LEAT_STATUS_ALERT);
	assert_true(leat_time_cmp(f->since, trend_pass_time(100)) == 0);
	trend_pass_close(&p);
	made.now = "2025-04-22T06:00:00Z";
	made.not_all = true;
	trend_pass_run(&p, &made);
	f = trend_pass_find(&p, PUMP, "pump-wear-step", true);
	assert_non_null(f);
	assert_true(leat_time_cmp(f->since, trend_pass_time(100)) == 0);
	assert_null(trend_pass_find(&p, PUMP, "pump-wear-step", false));
	trend_pass_close(&p);
	made.now = "2025-04-28T06:00:00Z";
	made.not_all = false;
	trend_pass_run(&p, &made);
	assert_null(trend_pass_find(&p, PUMP, "pump-wear-step", true));
	assert_int_equal(trend_pass_find(&p, PUMP, "pump-wear-step", false)->status, LEAT_STATUS_OK);
	trend_pass_close(&p);
	leat_buf_free(&rows);
}

/* A level that comes back ends its episode at the first value after which it is back. */
static void
test_back(void **state)
{
	struct leat_buf rows = { 0 };
	struct trend_made made = { .trends = "*,pressure.difference,,,,none,2,3,bar,,drift,,\n", .since = "2025-01-01T00:00:00Z" };
	const struct leat_finding *f;
	struct trend_pass p;

	(void)state;
	/* Up slowly, over 2 bar from day 50 on, and down again. */
	for (int day = 0; day < 160; day++)
		trend_pass_day(&rows, "NM", "pressure.difference", day, day < 80 ? 0.04 * day : day < 140 ? 3.2 - 0.06 * (day - 80) : -0.3,
		    "bar", NAN);
	made.rows = rows.data;
	trend_pass_run(&p, &made);
	f = trend_pass_find(&p, "NM", "drift", true);
	assert_non_null(f);
	/* Told up to sixty days ahead, ended where the median of five days is below 2 bar again: day 102. */
	assert_true(leat_time_cmp(f->since, trend_pass_time(51)) <= 0);
	assert_true(leat_time_cmp(f->until, trend_pass_time(98)) > 0 && leat_time_cmp(f->until, trend_pass_time(108)) < 0);
	trend_pass_close(&p);
	leat_buf_free(&rows);
}

/* A stand-by pump that has not run since has no new values, and nothing to be unknown. */
static void
test_stand_by(void **state)
{
	struct leat_buf rows = { 0 };
	struct trend_made made = { .shipped = true };
	struct trend_pass p;

	(void)state;
	for (int day = 0; day < 120; day++) {
		bool b = day >= 60 && day < 75;

		trend_pass_day(&rows, b ? "MM/pump-b" : PUMP, FLOW, day, b ? 1.5 : 1.8, "L/min", b ? 20.0 * (day - 60) :
		    20.0 * (day < 60 ? day : day - 15));
		if (!b && day >= 75) {
			char stamp[LEAT_TIME_MAX];

			leat_time_write(stamp, leat_time_add(trend_pass_time(day), 1));
			assert_int_equal(leat_buf_printf(&rows, "%s,MM/pump-b,running-hours,280.5,h,good\n", stamp), 0);
		}
	}
	made.rows = rows.data;
	trend_pass_run(&p, &made);
	assert_int_equal(trend_pass_case(&p, PUMP, "pump-wear")->status, LEAT_STATUS_OK);
	assert_int_equal(trend_pass_case(&p, "MM/pump-b", "pump-wear")->status, LEAT_STATUS_OK);
	unit_close(trend_pass_case(&p, "MM/pump-b", "pump-wear")->baseline, 1.5, 1e-9);
	assert_int_equal(trend_pass_find(&p, PUMP, "pump-wear-step", false)->status, LEAT_STATUS_OK);
	trend_pass_close(&p);
	leat_buf_free(&rows);
}

struct renewal {
	const char *event, *asset, *logged_point, *of, *point;
	bool renews, rescales;
};

static void
test_events(void **state)
{
	static const struct renewal renewals[] = {
		{ "pump-change", "NM/pump-a", "", "NM/pump-a", "slot-flow", true, false },
		{ "pump-change", "NM/pump-a", "", "NM/pump-b", "slot-flow", false, false },
		{ "pump-change", "NM/pump-a", "", "NM", "pressure", false, false },
		{ "pump-change", "NM/pump-a", "", "NM", "gas-compliance", false, true },
		{ "pump-change", "NM/pump-a", "", "NM", "gas-amount-compliance", false, true },
		{ "pump-change", "MM/pump-a", "", "NM", "gas-compliance", false, false },
		{ "pump-change", "NM/pump", "", "NM/pump-a", "slot-flow", false, false },
		{ "seal-change", "NM/cyl-1", "", "NM", "internal-leakage", true, false },
		{ "seal-change", "NM/cyl-1", "", "NM", "pressure", false, false },
		{ "seal-change", "NM/cyl-1", "", "NM/cyl-2", "seal-leakage", false, false },
		{ "filter-change", "NM/filter", "", "NM/filter", "filter-dp-corrected", true, false },
		{ "filter-change", "NM/filter", "", "NM/filter", "bypass-share", true, false },
		{ "filter-change", "NM/filter", "", "NM/filter", "bypass-time", true, false },
		{ "filter-change", "NM/filter", "", "NM/filter-2", "bypass-share", false, false },
		{ "meter-change", "NM/filter", "filter-dp", "NM/filter", "bypass-share", false, true },
		{ "gas-fill", "NM/accu-4", "", "NM", "gas-compliance", true, false },
		{ "gas-fill", "NM/accu-4", "", "NM/accu-3", "gas-amount", false, false },
		{ "oil-change", "NM", "", "NM/sample-return", "acid-number-rise", true, false },
		{ "oil-change", "NM", "", "NM", "internal-leakage", false, false },
		{ "baseline", "NM", "", "NM/pump-a", "slot-flow", true, false },
		{ "baseline", "NM/pump-a", "drain-flow", "NM/pump-a", "drain-flow-corrected", true, false },
		{ "baseline", "NM/pump-a", "pressure", "NM/pump-a", "drain-flow-corrected", false, false },
		{ "meter-change", "NM/pump-a", "drain-flow", "NM/pump-a", "slot-flow", false, true },
		{ "meter-change", "NM/pump-a", "drain-flow", "NM/pump-b", "slot-flow", false, false },
		{ "meter-change", "NM", "pressure", "NM/round", "pressure.difference", true, false },
		{ "meter-change", "NM", "pressure", "NM", "pressure.ratio", true, false },
		{ "meter-change", "NM", "pressure", "NM", "pressure-deviation", false, true },
		{ "meter-change", "NM", "pressure", "NM", "gas-compliance", false, true },
		{ "meter-change", "NM", "pressure", "NM", "internal-leakage", false, false },
		{ "seal-change", "NM/cyl-1", "", "NM", "pump-up-frequency", true, false },
		{ "gas-fill", "NM/accu-4", "", "NM", "pump-up-rate", true, false },
		{ "cleaning", "NM/cooler", "", "NM/cooler", "cooler-ua", false, false },
		{ "note", "NM/pump-a", "", "NM/pump-a", "slot-flow", false, false }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(renewals) / sizeof(renewals[0]); i++) {
		const struct renewal *r = &renewals[i];
		struct leat_log_entry e = { .event = leat_event_find(leat_span_of(r->event)), .asset = leat_span_of(r->asset),
			.point = leat_span_of(r->logged_point) };

		print_message("%s %s %s: %s %s\n", r->event, r->asset, r->logged_point, r->of, r->point);
		assert_non_null(e.event);
		assert_int_equal(leat_log_renews(&e, leat_span_of(r->of), leat_span_of(r->point)), r->renews);
		assert_int_equal(leat_log_rescales(&e, leat_span_of(r->of), leat_span_of(r->point)), r->rescales);
	}
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_factors),
		cmocka_unit_test(test_shapes),
		cmocka_unit_test(test_wear_over_meter),
		cmocka_unit_test(test_explained),
		cmocka_unit_test(test_back),
		cmocka_unit_test(test_stand_by),
		cmocka_unit_test(test_events)
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
