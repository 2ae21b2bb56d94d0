/* Leakage and gas of a mill: which cycles count, what refuses them, and what comes out.  The formulas have tests of their own
 * (tests/published/test_leakage.c). */
#include "leakage_pass.h"

#include "random.h"

#define LASTING(hours_) .hours = (hours_), .period_s = 1807, .on_s = 16
#define HEALTHY LASTING(20)

static void
run(struct pass *p, const struct day *d, const char *book)
{
	char *rows = day_rows(d);

	pass_open(p, d->plate != NULL ? d->plate : PLATE, book, rows);
	pass_run(p, true);
	if (p->status < 0)
		fail_msg("%s: %s", d->name, p->err.text);
	free(rows);
}

/* 39 L/min for 16 s in 1807 s are 0.3455 L/min; the mean pressure of such a cycle is within a bar of 123.7. */
static void
test_gates(void **state)
{
	const double healthy = 39 * 16 / 1807.0 * 125 / 123.7;
	const struct {
		struct day day;
		double leakage;		/* NaN: none */
		const char *quality, *gas;	/* gas empty: no row */
	} cases[] = {
		{ { "by switches alone", HEALTHY }, healthy, "good", "good" },
		{ { "switches and samples", HEALTHY, .repeats = true }, healthy, "good", "good" },
		{ { "samples each second", HEALTHY, .sampled_s = 1 }, healthy, "good", "good" },
		{ { "samples each 7 s, more than twice within the filling", HEALTHY, .sampled_s = 7 }, healthy, "good", "good" },
		{ { "samples each 9 s, less than twice", HEALTHY, .sampled_s = 9 }, NAN, "bad", "bad" },
		{ { "samples each minute", HEALTHY, .sampled_s = 60 }, NAN, "bad", "bad" },
		/* The gas as set fills in 15.75 s: see the cycle worked out below.  39 are counted in 20 h. */
		{ { "samples each minute, and a counter", HEALTHY, .sampled_s = 60, .counter = true }, 39 * 15.75 * 39 / 72000, "uncertain",
		    "bad" },
		{ { "a pump that starts and stops", HEALTHY, .pump = true }, healthy, "good", "good" },
		/* Without switching pressures nobody knows the rise of a filling: no row. */
		{ { "no pump flow", HEALTHY, .plate = "asset,property,value,unit,from\nNM,set-pressure,125,bar,\n" }, NAN, "bad", "" },
		{ { "no oil in the nameplate", HEALTHY, .plate = "asset,property,value,unit,from\nNM,set-pressure,125,bar,\n"
		    ",rated-flow,39,L/min,\n" }, healthy, "uncertain", "" },
		{ { "no switching pressures, and a pressure each 3 s", HEALTHY, .step_s = 3, .plate = "asset,property,value,unit,from\n"
		    "NM,set-pressure,125,bar,\n,rated-flow,39,L/min,\nNM,oil-viscosity-40,46,mm2/s,\n"
		    "NM,oil-viscosity-100,6.8,mm2/s,\n,reference-temperature,48,degC,\n" }, healthy, "good", "good" },
		{ { "uncertain switches", HEALTHY, .quality = "uncertain" }, NAN, "bad", "bad" },
		{ { "too short a day: nothing is admitted before 4 h of grinding", LASTING(4) }, NAN, "bad", "bad" },
		{ { "the works says the shells are warm at once", LASTING(4), .plate = PLATE ",balance-settling,0,min,\n" },
		    healthy, "good", "good" },
		{ { "an export that is lost for hours", HEALTHY, .lost_from_s = 5 * 3600, .lost_s = 12 * 3600 }, healthy, "uncertain",
		    "uncertain" },
		{ { "each seventh charge is missing in the list", HEALTHY, .missing = 7 }, healthy, "good", "good" },
		/* At 120 bar slots leak less, so the same flow is more at 125. */
		{ { "a set point that is lowered", HEALTHY, .lower_after_h = 12, .lower_bar = 120 }, healthy, "good", "good" },
		{ { "short cycles: the gas never settles, the filling tells it", .hours = 20, .period_s = 417, .on_s = 16 },
		    39 * 16 / 417.0 * 125 / 124.1, "good", "good" },
		{ { "so short that the gas stays hot", .hours = 20, .period_s = 300, .on_s = 16 }, 39 * 16 / 300.0 * 125 / 124.3, "good",
		    "bad" },
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct pass p;
		char quality[16];
		double value;

		run(&p, &cases[i].day, BOOK);
		value = value_of(p.text, DAY_END "internal-leakage,", quality);
		if (strcmp(quality, cases[i].quality) != 0 || isnan(value) != isnan(cases[i].leakage) ||
		    fabs(value - cases[i].leakage) > 0.01 * cases[i].leakage)
			fail_msg("%s: %.4f %s, expected %.4f %s\n%s", cases[i].day.name, value, quality, cases[i].leakage,
			    cases[i].quality, p.text);
		value_of(p.text, DAY_END "gas-compliance,", quality);
		if (strcmp(quality, cases[i].gas) != 0)
			fail_msg("%s: gas %s, expected %s\n%s", cases[i].day.name, quality, cases[i].gas, p.text);
		pass_close(&p);
	}
}

/* A cycle worked out with the reference equation: 15.75 s of 39 L/min in 30.1 min take a bank of 939 mol from 120 to 130 bar;
 * its compliance at 125 bar and 48 degC is 1.532 L/bar.  Two openings an hour; one at
 * either end of 20 hours may not count. */
static void
test_values(void **state)
{
	const struct day d = { "healthy", HEALTHY }, pump = { "pump", HEALTHY, .pump = true };
	struct pass p;
	char quality[16];

	(void)state;
	run(&p, &d, BOOK);
	unit_close(value_of(p.text, DAY_END "gas-amount-compliance,", quality) * 15.75 / 16, 939, 0.012 * 939);
	unit_close(value_of(p.text, DAY_END "gas-compliance,", quality) * 15.75 / 16, 1.532, 0.015 * 1.532);
	unit_close(value_of(p.text, DAY_END "pump-up-frequency,", quality), 3600 / 1807.0, 0.07);
	unit_close(value_of(p.text, DAY_END "pump-up-duty,", quality), 1600 / 1807.0, 0.001);
	unit_close(value_of(p.text, DAY_END "pump-up-rate,", quality), 37.5, 0.01);
	value_of(p.text, DAY_END "pump-start-frequency,", quality);
	assert_string_equal(quality, "");
	/* 16 whole hours of 20 and some minutes. */
	unit_close(value_of(p.text, DAY_END "internal-leakage.coverage,", quality), 78, 3);
	pass_close(&p);
	run(&p, &pump, BOOK);
	unit_close(value_of(p.text, DAY_END "pump-start-frequency,", quality), 3600 / 1807.0, 0.07);
	value_of(p.text, DAY_END "pump-up-frequency,", quality);
	assert_string_equal(quality, "");
	pass_close(&p);
}

/* Random cycles at one pressure against a plain sum; the valve's rows come when it moves, and in half of the runs each minute
 * besides, on which grid by chance a cycle in fifty begins and is not known well enough. */
static void
test_random(void **state)
{
	uint64_t seed = 3;

	(void)state;
	for (int run = 0; run < 16; run++) {
		struct leat_buf text = { 0 };
		int s = 0, next = 0, shut = 0, on_sum = 0, whole = 0, first = -1, last_on = 0;
		bool repeats = run % 2, counted = false;
		char t[48], quality[16];
		struct pass p;
		double value;

		for (; s < 86400; s++) {
			day_stamp(t, s);
			if (s == next) {
				/* The day begins at 06:00; its first four hours do not count. */
				if (counted) {
					on_sum += last_on;
					whole += s - first;
				}
				counted = s > 4 * 3600;
				first = s;
				last_on = 12 + (int)random_below(&seed, 4);
				shut = s + last_on;
				next = s + 700 + (int)random_below(&seed, 200);
			}
			if (s == first || s == shut || (repeats && s % 60 == 0))
				assert_int_equal(leat_buf_printf(&text, "%s,charging,%s,,good\n", t, s < shut ? "on" : "off"), 0);
			if (s % 60 == 0)
				assert_int_equal(leat_buf_printf(&text, "%s,pressure,125,bar,good\n%s,oil-temperature,48,degC,good\n"
				    "%s,state,grinding,,good\n", t, t, t), 0);
		}
		assert_int_equal(leat_buf_printf(&text, "2025-11-04T06:00:01Z,NM,pressure,5,bar,good\n"), 0);
		assert_int_equal(leat_buf_add(&text, "", 1), 0);
		pass_open(&p, PLATE, BOOK, text.data);
		pass_run(&p, true);
		value = value_of(p.text, DAY_END "internal-leakage,", quality);
		assert_string_equal(quality, "good");
		unit_close(value, 39.0 * on_sum / whole, repeats ? 0.01 : 0.0006);
		pass_close(&p);
		leat_buf_free(&text);
	}
}

/* A second pass changes nothing, and rows of other assets stay. */
static void
test_twice(void **state)
{
	const struct day d = { "healthy", HEALTHY, .more = "2025-11-03T05:59:00Z,XX,internal-leakage,9,L/min,good\n" };
	char *rows = day_rows(&d), *first;
	struct pass p;

	(void)state;
	pass_open(&p, PLATE, BOOK, rows);
	pass_run(&p, false);
	assert_int_equal(p.leaks.replaced, 0);
	assert_non_null(strstr(p.text, "XX,internal-leakage,9"));
	first = strdup(p.text);
	pass_close(&p);
	pass_open(&p, PLATE, BOOK, first);
	pass_run(&p, false);
	assert_true(p.leaks.replaced > 0);
	assert_string_equal(p.text, first);
	pass_close(&p);
	free(first);
	free(rows);
}

/* The drain of a pump each 10 min of whole days: so much, and in the first hour of each day, while the oil in the tank is cold,
 * so much. */
static void
drain_days(struct leat_buf *text, int first, int days, double lpm, double cold_lpm)
{
	for (int s = 0; s < days * 86400; s += 600)
		assert_int_equal(leat_buf_printf(text, "2025-10-%02dT%02d:%02d:00Z,NM/pump-a,drain-flow,%.3f,L/min,good\n",
		    first + s / 86400, s / 3600 % 24, s / 60 % 60, s % 86400 < 3600 ? cold_lpm : lpm), 0);
}

/* A pump that sweeps 28 cm3 at 1475 1/min, 41.3 L/min, and drains 2 of them.  When its meter shows gallons as litres, 0.2642 of
 * that (NIST Handbook 44, appendix C), the last good mean stays, whatever cold starts look like; when it is mended, or a pump
 * is changed by the logbook, what it shows counts. */
static void
test_drain_meter(void **state)
{
	static const struct {
		const char *name, *book;
		double then, then_cold, after, after_cold, drain;
		int days;		/* of then; up to eight there are no readings */
	} cases[] = {
		{ "a meter that stays", "", 2, 2, 2, 2, 2, 8 },
		{ "litres to gallons", "", 0.528, 0.528, 0.528, 0.528, 2, 8 },
		{ "litres to gallons, cold starts", "", 0.528, 1.7, 0.528, 0.528, 2, 8 },
		{ "litres to gallons, and cold after a week of rest", "", 0.528, 0.528, 0.528, 1.7, 2, 1 },
		{ "and mended", "", 0.528, 1.7, 2.4, 2.4, 2.4, 8 },
		{ "a drain that grows", "", 3, 3, 4, 4, 4, 8 },
		{ "another pump", "2025-10-19T00:00:00Z,NM/pump-a,pump-change,,,,,,,AB,\n", 1.1, 1.1, 1.1, 1.1, 1.1, 8 }
	};

	(void)state;
	for (size_t i = 0; i < sizeof(cases) / sizeof(cases[0]); i++) {
		struct leat_buf more = { 0 };
		struct day d = { "drain", HEALTHY, .plate = PLATE "NM/pump-a,displacement,28,cm3/r,\nNM/pump-a,speed,1475,r/min,\n" };
		double leakage;
		char book[256], quality[16];
		struct pass p;

		assert_int_equal(leat_buf_printf(&more, "2025-10-09T00:00:00Z,NM,state,off,,good\n2025-10-09T00:00:00Z,NM,pressure,0,bar,good\n"
		    "2025-10-09T00:00:00Z,NM/pump-a,pump-running,on,,good\n"), 0);
		drain_days(&more, 10, 9, 2, 2);
		drain_days(&more, 19, cases[i].days, cases[i].then, cases[i].then_cold);
		drain_days(&more, 27, 5, cases[i].after, cases[i].after_cold);
		assert_int_equal(leat_buf_add(&more, "", 1), 0);
		d.more = more.data;
		snprintf(book, sizeof(book), BOOK "%s", cases[i].book);
		run(&p, &d, book);
		leakage = value_of(p.text, DAY_END "internal-leakage,", quality);
		if (!(fabs(leakage / (16 / 1807.0 * 125 / 123.7) - (41.3 - cases[i].drain)) < 0.15))
			fail_msg("%s: %.3f, as by a pump flow of %.2f", cases[i].name, leakage, leakage / (16 / 1807.0 * 125 / 123.7));
		pass_close(&p);
		leat_buf_free(&more);
	}
}

static void
test_wrong_unit(void **state)
{
	struct pass p;

	(void)state;
	pass_open(&p, PLATE, BOOK, "2025-11-03T06:00:00Z,NM,pressure,120,degC,good\n2025-11-03T06:01:00Z,NM,pressure,120,bar,good\n");
	pass_run(&p, true);
	assert_int_equal(p.status, -1);
	assert_non_null(strstr(p.err.text, "'pressure' of 'NM' comes in 'degC'"));
	pass_close(&p);
}

int
main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_gates),
		cmocka_unit_test(test_values),
		cmocka_unit_test(test_random),
		cmocka_unit_test(test_twice),
		cmocka_unit_test(test_drain_meter),
		cmocka_unit_test(test_wrong_unit),
	};

	return cmocka_run_group_tests(tests, NULL, NULL);
}
